//! Papers and plates: numbers, years, tire codes, disclosure, contradictions, through the function that Story and `weigh` call.
//!
//! Sources: `vin_examples.csv` (worked examples of 49 CFR 565.15 and public test suites, each with its source), `vin_10000.txt` (10,000
//! random numbers judged by the library vininfo 1.11.0, `verify_checksum(check_year=False)`, half of them given the right digit by it),
//! `vin_model_years.csv` (49 CFR 565), `odometer_exemption.csv` (49 CFR 580.17), `miles_by_age_lu2006.csv` (NHTSA DOT HS 809 952, from
//! memory, checked against the published totals).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::mini;
use jiff::civil::{Date, date};
use wrenchworth::car::vin::{Slip, corrections};
use wrenchworth::car::{
    CarRecord, CheckExtras, OdometerStatement, Reading, Receipt, TireDate, Vin, VinRead,
};
use wrenchworth::engine::papers::{Disclosure, Papers, VinState, papers};
use wrenchworth::trade::Tables;

const TODAY: Date = date(2026, 11, 25);

fn of(car: &CarRecord) -> Papers {
    papers(car, &Tables::embedded().unwrap(), TODAY)
}

fn with_vin(text: &str, american: Option<bool>) -> Papers {
    let mut car = CarRecord::default();
    car.papers.north_american = american;
    car.papers.vins.push(VinRead {
        place: "dash".to_owned(),
        text: text.to_owned(),
    });
    of(&car)
}

fn ids(car: &CarRecord) -> Vec<&'static str> {
    of(car)
        .contradictions
        .iter()
        .map(|clash| clash.id)
        .collect()
}

#[test]
fn every_worked_example_of_the_check_digit_comes_out() {
    let csv = include_str!("../reference/vin_examples.csv");
    let mut seen = 0;
    for line in csv.lines().skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let [text, _, check, sum, _, expected, ..] = fields.as_slice() else {
            panic!("{line}");
        };
        let found = &with_vin(text, None).vins[0];
        match (*expected, Vin::parse(text)) {
            ("valid", Ok(vin)) => {
                assert_eq!(found.state, VinState::Fits, "{line}");
                assert_eq!(vin.check_digit().to_string(), *check);
                assert_eq!(vin.weighted_sum().to_string(), *sum);
            }
            ("not a North American VIN", Ok(_)) => {
                assert_eq!(found.state, VinState::NoCheckDigit, "{line}");
                assert!(found.words().contains("proves nothing"));
            }
            ("invalid", Ok(vin)) if !sum.is_empty() => {
                assert_eq!(found.state, VinState::DoesNotFit, "{line}");
                assert_eq!(vin.check_digit().to_string(), *check);
            }
            // U is no code of a year.
            ("invalid", Ok(vin)) => assert!(vin.model_years().is_empty(), "{line}"),
            ("invalid", Err(_)) => {
                assert!(matches!(found.state, VinState::NotANumber(_)), "{line}");
            }
            _ => panic!("{line}"),
        }
        seen += 1;
    }
    assert_eq!(seen, 15);
}

#[test]
fn ten_thousand_random_numbers_agree_with_another_library() {
    let mut fits = 0;
    let mut car = CarRecord::default();
    for line in include_str!("../reference/vin_10000.txt").lines() {
        let (text, good) = line.split_once(' ').unwrap();
        car.papers.vins.push(VinRead {
            place: "title".to_owned(),
            text: text.to_owned(),
        });
        let passes = Vin::parse(text).unwrap().check_digit_fits();
        assert_eq!(passes, good == "1", "{text}");
        fits += usize::from(passes);
    }
    assert_eq!(fits, 5_465);
    // The same through the page that shows them; the numbers themselves all differ, which it lists too.
    car.papers.vins.truncate(200);
    let found = of(&car);
    for (vin, line) in found
        .vins
        .iter()
        .zip(include_str!("../reference/vin_10000.txt").lines())
    {
        assert_eq!(vin.state == VinState::Fits, line.ends_with('1'), "{line}");
    }
}

#[test]
fn the_seventh_character_tells_the_two_cycles_of_thirty_years_apart() {
    for line in include_str!("../reference/vin_model_years.csv")
        .lines()
        .skip(1)
    {
        let fields: Vec<&str> = line.split(',').collect();
        let seventh = if fields[2] == "numeric" { '4' } else { 'A' };
        let text = format!("1ZZZZZ{seventh}Z1{}Z123456", fields[0]);
        let years = Vin::parse(&text).unwrap().model_years();
        let year: u16 = fields[1].parse().unwrap();
        assert_eq!(years[0], year, "{line}");
        assert_eq!(years[0].abs_diff(years[1]), 30);
    }
    // 2039 has not come: only 2009 is left of the two.
    assert_eq!(with_vin("1ZZZZZAZ19Z123456", None).vins[0].years, [2009]);
}

#[test]
fn every_misread_and_every_swap_of_neighbors_that_would_pass_is_offered() {
    let good = Vin::parse("1M8GDM9AXKP042788").unwrap();
    for (digit, letter) in [('0', 'O'), ('1', 'I'), ('5', 'S'), ('8', 'B'), ('2', 'Z')] {
        for place in 1..=17 {
            let c = good.at(place).unwrap();
            let wrong = match c {
                c if c == digit => letter,
                c if c == letter => digit,
                _ => continue,
            };
            let text: String = (1..=17)
                .map(|at| {
                    if at == place {
                        wrong
                    } else {
                        good.at(at).unwrap()
                    }
                })
                .collect();
            let found = corrections(&text);
            assert!(found.iter().any(|one| one.vin == good), "{text}: {found:?}");
        }
    }
    for place in 1..17 {
        let mut text: Vec<char> = good.as_str().chars().collect();
        text.swap(place - 1, place);
        let text: String = text.into_iter().collect();
        let found = corrections(&text);
        let still_passes = Vin::parse(&text).is_ok_and(|vin| vin.check_digit_fits());
        assert!(
            still_passes || found.iter().any(|one| one.vin == good),
            "{text}"
        );
        for one in found {
            assert!(one.vin.check_digit_fits());
        }
    }
    assert_eq!(corrections("too short"), []);
}

/// Every pair of places of every worked example that is valid: swapped, the true number is among those that would pass, or the swap itself
/// passes and no check digit can tell.
#[test]
fn any_two_characters_in_each_others_place_are_found_again() {
    let csv = include_str!("../reference/vin_examples.csv");
    let valid = csv.lines().filter(|line| line.contains(",valid,"));
    let mut swaps = 0;
    for good in valid.filter_map(|line| Vin::parse(line.split(',').next()?).ok()) {
        let chars: Vec<char> = good.as_str().chars().collect();
        for first in 0..17 {
            for second in first + 1..17 {
                let mut wrong = chars.clone();
                wrong.swap(first, second);
                let text: String = wrong.into_iter().collect();
                let found = &with_vin(&text, None).vins[0];
                if text == good.as_str() || found.state == VinState::NoCheckDigit {
                    continue;
                }
                swaps += 1;
                let passes = Vin::parse(&text).is_ok_and(|vin| vin.check_digit_fits());
                let again = found.corrections.iter().any(|one| one.vin == good);
                assert!(passes || again, "{good} as {text}: {found:?}");
                let order: Vec<Slip> = found.corrections.iter().map(|one| one.slip).collect();
                assert!(order.is_sorted(), "{order:?}");
                assert!(found.words().len() < 220, "{}", found.words());
            }
        }
    }
    assert!(swaps > 500, "{swaps}");
}

#[test]
fn two_numbers_are_compared_place_by_place_and_the_year_with_the_cars() {
    let mut car = CarRecord::default();
    for (place, text) in [
        ("title", "1M8GDM9AXKP042788"),
        ("dash", "1M8GDM9AXKP042789"),
    ] {
        car.papers.vins.push(VinRead {
            place: place.to_owned(),
            text: text.to_owned(),
        });
    }
    car.particulars.year = Some(2004);
    let found = of(&car);
    let words: Vec<&str> = found
        .contradictions
        .iter()
        .map(|clash| clash.sentence.as_str())
        .collect();
    assert_eq!(
        words,
        [
            "The VIN of the title and of the dash differ in place 17.",
            "The VIN of the title is of model year 1989 or 2019, the car is said to be of 2004."
        ]
    );
}

#[test]
fn a_failed_check_digit_proves_nothing_on_a_car_built_elsewhere() {
    assert_eq!(
        with_vin("1M8GDM9A1KP042788", None).vins[0].state,
        VinState::DoesNotFit
    );
    let elsewhere = &with_vin("1M8GDM9A1KP042788", Some(false)).vins[0];
    assert_eq!(elsewhere.state, VinState::NoCheckDigit);
    assert_eq!(elsewhere.corrections, []);
}

#[test]
fn the_odometer_table_comes_out_year_by_year() {
    let mut car = CarRecord::default();
    for line in include_str!("../reference/odometer_exemption.csv")
        .lines()
        .skip(1)
    {
        let (model, first) = line.split_once(',').unwrap();
        car.particulars.year = Some(model.parse().unwrap());
        let first: i16 = first.trim().parse().unwrap();
        let mut rule = |year: i16| {
            car.bought_on = Some(date(year, 1, 1));
            of(&car).disclosure.unwrap()
        };
        assert_eq!(rule(first - 1), Disclosure::Required, "{line}");
        assert_eq!(
            rule(first),
            Disclosure::ExemptSince(u16::try_from(first).unwrap()),
            "{line}"
        );
    }
    car.bought_on = None;
    car.papers.odometer = Some(OdometerStatement::Exempt);
    car.particulars.year = Some(2012);
    assert_eq!(ids(&car), ["exempt-against-law"]);
    car.particulars.year = Some(2009);
    assert_eq!(ids(&car), [""; 0]);
}

#[test]
fn a_tire_code_gives_week_year_and_age() {
    // 49 CFR 574.5 and 64 FR 36807: 0301 is the third week of 2001, 031 of 1991 or 1981.
    let read = |code: &str| TireDate::parse(code).unwrap();
    assert_eq!((read("0301").week, read("0301").years()), (3, vec![2001]));
    assert_eq!((read("2501").week, read("2501").years()), (25, vec![2001]));
    assert_eq!((read("3623").week, read("3623").years()), (36, vec![2023]));
    assert_eq!(
        (read("317").week, read("317").years()),
        (31, vec![1997, 1987])
    );
    assert_eq!(
        (read("031").week, read("031").years()),
        (3, vec![1991, 1981])
    );
    assert_eq!(read("DOT XY12 ABCD 3623").week, 36);
    for bad in ["0001", "5401", "12", "12345x", "", "٣٦٢٣"] {
        assert!(TireDate::parse(bad).is_err(), "{bad}");
    }
    let mut car = CarRecord::default();
    car.papers.tires = vec!["4716".to_owned(), "317".to_owned(), "9901".to_owned()];
    let found = of(&car).tires;
    assert!((found[0].age_years.unwrap() - 10.0).abs() < 0.05);
    assert!(found[1].age_years.unwrap() > 26.0);
    assert_eq!(
        found[2].date,
        Err("week 99 is in no year: read the code again.".to_owned())
    );
}

#[test]
fn miles_are_high_for_an_age_against_the_published_schedule() {
    let mut car = CarRecord::default();
    for line in include_str!("../reference/miles_by_age_lu2006.csv")
        .lines()
        .skip(1)
        .take(25)
    {
        let fields: Vec<&str> = line.split(',').collect();
        let age: u16 = fields[0].parse().unwrap();
        car.particulars.year = Some(2026 - age);
        let miles = of(&car).ordinary_miles.unwrap();
        assert_eq!(miles.to_string(), fields[3]);
    }
    let words = wrenchworth::report::papers::for_its_age(231_000.0, 178_102.0);
    assert!(
        words.starts_with("high: 231,000 against 178,102"),
        "{words}"
    );
}

fn receipt(what: &str, on: Option<Date>, miles: Option<f64>) -> Receipt {
    Receipt {
        what: what.to_owned(),
        on,
        miles,
    }
}

#[test]
fn every_kind_of_contradiction_is_found_and_a_straight_story_has_none() {
    let mut car = mini::car();
    car.papers.title_on = Some(date(2015, 7, 1));
    car.papers.owned_since = Some(2015);
    car.papers.owners = Some(1);
    car.papers.tires = vec!["1023".to_owned()];
    car.papers.receipts = vec![
        receipt("brakes", Some(date(2019, 5, 1)), Some(45_000.0)),
        receipt("four tires", Some(date(2023, 6, 1)), Some(92_000.0)),
    ];
    assert_eq!(ids(&car), [""; 0], "{:?}", of(&car).contradictions);

    type Change = fn(&mut CarRecord);
    let changes: [(&str, Change); 12] = [
        ("receipt-in-the-future", |car| {
            car.papers.receipts[0].on = Some(date(2027, 1, 1));
        }),
        ("receipt-before-the-car", |car| {
            car.papers.receipts[0].on = Some(date(2009, 1, 1));
        }),
        ("receipt-over-odometer", |car| {
            car.papers.receipts[1].miles = Some(150_000.0);
        }),
        ("miles-fall", |car| {
            car.papers.receipts[0].miles = Some(99_000.0);
        }),
        ("miles-a-year", |car| {
            car.papers.receipts[1].miles = Some(46_000.0);
        }),
        ("tire-in-the-future", |car| {
            car.papers.tires.push("4030".to_owned());
        }),
        ("tire-before-the-car", |car| {
            car.papers.tires.push("1010".to_owned());
        }),
        ("tire-against-miles", |car| {
            car.papers.tires.push("1015".to_owned());
        }),
        ("tire-after-its-receipt", |car| {
            car.papers.tires.push("5023".to_owned());
        }),
        ("one-owner-against-title", |car| {
            car.papers.title_on = Some(date(2022, 3, 1));
        }),
        ("owned-since-against-title", |car| {
            car.papers.title_on = Some(date(2022, 3, 1));
        }),
        ("title-in-the-future", |car| {
            car.papers.title_on = Some(date(2027, 3, 1));
        }),
    ];
    for (id, change) in changes {
        let mut other = car.clone();
        change(&mut other);
        assert!(
            ids(&other).contains(&id),
            "{id}: {:?}",
            of(&other).contradictions
        );
    }
}

#[test]
fn two_hundred_miles_since_the_battery_and_three_since_clearing_are_two_events() {
    let mut car = mini::car();
    let cleared = |miles: f64| CheckExtras {
        reading: Some(Reading {
            values: vec![miles],
            ..Reading::default()
        }),
        ..CheckExtras::default()
    };
    car.papers.receipts = vec![receipt("new battery", None, Some(127_788.0))];
    car.checks.insert("since-cleared".to_owned(), cleared(3.0));
    let found = of(&car).contradictions;
    assert_eq!(
        found[0].sentence,
        "“new battery” is 212 mi ago, the codes were cleared 3 mi ago: two different events."
    );
    car.checks
        .insert("since-cleared".to_owned(), cleared(205.0));
    assert_eq!(ids(&car), [""; 0]);
    car.checks
        .insert("since-cleared".to_owned(), cleared(130_000.0));
    assert_eq!(ids(&car), ["cleared-before-the-odometer"]);
}

#[test]
fn answers_and_papers_that_differ_are_named() {
    let mut car = mini::car();
    for sign in ["title-words", "lien-line", "title-in-sellers-name"] {
        car.observations.push(mini::saw(sign, 0));
    }
    car.papers.brands = "salvage".to_owned();
    car.papers.lender = "Tansy Falls Savings".to_owned();
    car.papers.seller_is_owner = Some(false);
    assert_eq!(
        ids(&car),
        [
            "brand-against-answer",
            "lender-against-answer",
            "owner-against-answer"
        ]
    );
    car.papers.released = true;
    assert_eq!(ids(&car).len(), 2);
}
