#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::*;
use crate::car::Money;
use proptest::prelude::*;

fn sum(typed: &str) -> Result<String, String> {
    match money(&ASKING, typed) {
        Ok(read) => Ok(read.map_or_else(|| "not known".into(), |m| m.to_string())),
        Err(error) => Err(error.to_string()),
    }
}

fn three(typed: &str) -> Result<String, String> {
    match money_range(&WORTH, typed) {
        Ok(Some(r)) => Ok(format!("{} {} {}", r.low, r.likely, r.high)),
        Ok(None) => Ok("not known".into()),
        Err(error) => Err(error.to_string()),
    }
}

#[test]
fn money_is_read_as_typed() {
    for (typed, read) in [
        ("1285", "1285"),
        ("1,285", "1285"),
        ("$1285", "1285"),
        ("$ 1,285.50", "1285.5"),
        ("1285 €", "1285"),
        ("£0.99", "0.99"),
        ("1.2k", "1200"),
        ("1.2 K", "1200"),
        ("1.234k", "1234"),
        ("0", "0"),
        (".5", "0.5"),
        ("1,234,567", "1234567"),
        ("", "not known"),
        ("  \t", "not known"),
    ] {
        assert_eq!(sum(typed).as_deref(), Ok(read), "{typed}");
    }
}

#[test]
fn money_that_could_mean_two_things_is_asked() {
    for (typed, sentence) in [
        ("1.234", "1.234: 1,234 or 1.23? Leave the point out."),
        ("12.500", "12.500: 12,500 or 12.5? Leave the point out."),
        (
            "-50",
            "asking price: -50 is below zero; type it without the minus.",
        ),
        (
            "\u{2212}50",
            "asking price: -50 is below zero; type it without the minus.",
        ),
        (
            "$-50",
            "asking price: $-50 is below zero; type it without the minus.",
        ),
        (
            "12,5",
            "asking price: 12,5 has a comma where no thousands end; type a point before fractions, or leave the comma out.",
        ),
        (
            "1.234,56",
            "asking price: 1.234,56 has points where thousands end; type it like 123,456 or leave them out.",
        ),
        (
            "cheap",
            "asking price: “cheap” is not a number; type it like 1285, 1,285 or 1.2k.",
        ),
        (
            "12 apples",
            "asking price: “12 apples” is not a number; type it like 1285, 1,285 or 1.2k.",
        ),
        (
            "20000k",
            "asking price: 20,000,000 is outside 0 to 10,000,000; type it again.",
        ),
        (
            "0.125",
            "asking price: 0.125 has more than two digits after the point; type cents with two.",
        ),
    ] {
        assert_eq!(sum(typed), Err(sentence.to_owned()), "{typed}");
    }
}

#[test]
fn a_range_of_money_is_low_likely_high() {
    for (typed, read) in [
        ("80-120", "80 100 120"),
        ("80 – 120", "80 100 120"),
        ("$80-$120", "80 100 120"),
        ("80 to 120", "80 100 120"),
        ("80 100 120", "80 100 120"),
        ("1k-1.5k", "1000 1250 1500"),
        ("1.2 k", "1200 1200 1200"),
        ("800-1.2k", ""),
        ("2000-2.4k", "2000 2200 2400"),
        ("0-1.2k", "0 600 1200"),
        ("1,285", "1285 1285 1285"),
        ("", "not known"),
    ] {
        match read {
            "" => assert!(three(typed).unwrap_err().ends_with("Write the k on each.")),
            read => assert_eq!(three(typed).as_deref(), Ok(read), "{typed}"),
        }
    }
    for typed in [
        "120-80",
        "-80-120",
        "80 120",
        "1 2 3 4",
        "80-",
        "80-120k",
        "1.234-2000",
        "80 70 120",
        "a-b",
    ] {
        let sentence = three(typed).unwrap_err();
        assert!(
            sentence.ends_with('.') && !sentence.contains('\n'),
            "{typed}: {sentence}"
        );
    }
}

#[test]
fn miles_take_thousands_and_kilometers() {
    for (typed, read) in [
        ("146k", 146_000.0),
        ("146,000", 146_000.0),
        ("146k mi", 146_000.0),
        ("146kmi", 146_000.0),
        ("235000km", 146_022.2),
        ("235k km", 146_022.2),
        ("12 miles", 12.0),
    ] {
        let miles = miles(&ODOMETER, typed).unwrap().unwrap();
        assert!((miles - read).abs() < 0.1, "{typed}: {miles}");
    }
    assert_eq!(miles(&ODOMETER, "").unwrap(), None);
    assert_eq!(
        miles(&ODOMETER, "146.000").unwrap_err().to_string(),
        "146.000: 146,000 or 146? Leave the point out."
    );
    assert_eq!(
        miles(&ODOMETER, "3000k").unwrap_err().to_string(),
        "odometer: 3,000,000 mi is outside 0 to 2,000,000 mi; type it again."
    );
    assert!(miles(&ODOMETER, "5 furlongs").is_err());
}

#[test]
fn hours_take_minutes() {
    for (typed, read) in [
        ("1.5", 1.5),
        ("1.5h", 1.5),
        ("90min", 1.5),
        ("1h30", 1.5),
        ("1 h 30 min", 1.5),
        ("1:30", 1.5),
        ("2 hours", 2.0),
        ("0:05", 1.0 / 12.0),
    ] {
        let hours = hours(&HOURS, typed).unwrap().unwrap();
        assert!((hours - read).abs() < 1e-9, "{typed}: {hours}");
    }
    for typed in ["1:75", "1:", "h", "-1h", "90 days", "1:30:00"] {
        assert!(hours(&HOURS, typed).is_err(), "{typed}");
    }
}

#[test]
fn years_shares_and_whole_numbers() {
    assert_eq!(year("2009").unwrap(), Some(2009));
    assert_eq!(
        year("09").unwrap_err().to_string(),
        "year: “09” is not a year; type four digits like 2009."
    );
    assert_eq!(
        year("1802").unwrap_err().to_string(),
        "year: 1802 is outside 1900 to 2100; type it again."
    );
    assert!(year("+209").is_err() && year("20.9").is_err());
    assert_eq!(percent(&TAX.named("tax"), "12%").unwrap(), Some(0.12));
    assert_eq!(percent(&TAX.named("tax"), "6.25").unwrap(), Some(0.0625));
    assert_eq!(
        percent(&TAX.named("tax"), "120").unwrap_err().to_string(),
        "tax: 120% is outside 0 to 100%; type it again."
    );
    assert_eq!(whole(&CYLINDERS, "6").unwrap(), Some(6));
    assert!(whole(&CYLINDERS, "6.5").is_err() && whole(&CYLINDERS, "24").is_err());
    assert_eq!(number(&POWER, "120 hp").unwrap(), Some(120.0));
    assert!(number(&POWER, "90 kw").is_err());
}

#[test]
fn tread_and_pressure_take_both_worlds_of_units() {
    let tread = |typed, bare| inches(&TREAD, typed, bare).unwrap().unwrap() * 32.0;
    assert!((tread("5", Length::ThirtySeconds) - 5.0).abs() < 1e-9);
    assert!((tread("5", Length::Millimeters) - 6.299).abs() < 1e-3);
    assert!((tread("4mm", Length::ThirtySeconds) - 5.039).abs() < 1e-3);
    assert!((tread("3/8", Length::ThirtySeconds) - 12.0).abs() < 1e-9);
    assert!((tread("0.375in", Length::Millimeters) - 12.0).abs() < 1e-9);
    assert!(inches(&TREAD, "3/0", Length::Inches).is_err());
    // NIST SP 811: 2.2 bar = 220 kPa = 31.908 psi.
    for typed in ["2.2bar", "220kpa"] {
        assert!(
            (psi(typed).unwrap().unwrap() - 31.908).abs() < 1e-3,
            "{typed}"
        );
    }
    assert_eq!(psi("32psi").unwrap(), Some(32.0));
}

proptest! {
    #[test]
    fn nothing_typed_is_a_panic_or_a_sentence_of_two_lines(typed in "\\PC{0,20}|[0-9kmih:., /-]{0,14}") {
        let errors = [
            money(&SUM, &typed).err(),
            money_range(&WORTH, &typed).err(),
            miles(&ODOMETER, &typed).err(),
            hours(&HOURS, &typed).err(),
            year(&typed).err(),
            percent(&TAX, &typed).err(),
            whole(&CYLINDERS, &typed).err(),
            inches(&TREAD, &typed, Length::Inches).err(),
            psi(&typed).err(),
        ];
        for error in errors.into_iter().flatten() {
            let sentence = error.to_string();
            prop_assert!(!sentence.contains('\n') && sentence.ends_with('.') && sentence.len() < 300);
        }
    }

    #[test]
    fn a_sum_written_with_commas_reads_back(units in 0..10_000_000i64) {
        let read = money(&SUM, &grouped(&units.to_string())).unwrap();
        prop_assert_eq!(read, Some(Money::whole(units)));
    }
}
