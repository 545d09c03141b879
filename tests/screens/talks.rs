//! An offer or an answer: who, then the sum; a sum typed at once is understood or asked about.

use super::common::Desk;
use super::golden::on;
use wrenchworth::car::{Money, Who};

/// The talks kept, as who and sum, after keys in the form of an offer on a car that they ask 1,850 for.
fn talked(keys: &str) -> (Vec<(Who, Option<Money>)>, String) {
    let mut desk = on("gm");
    assert_eq!(desk.car().listing.asking, Some(Money::whole(1850)));
    let before = desk.car().talks.len();
    desk.keys("a").keys(keys);
    let new = desk.car().talks[before..]
        .iter()
        .map(|said| (said.who, said.amount))
        .collect();
    (new, desk.text())
}

#[test]
fn an_offer_or_answer_is_understood_or_asked_about_but_never_misread() {
    let they = |sum: i64| vec![(Who::They, Some(Money::whole(sum)))];
    let you = |sum: i64| vec![(Who::You, Some(Money::whole(sum)))];
    for (keys, kept) in [
        // Who, then the sum, as the key table has it.
        ("21700{Enter}", they(1700)),
        ("11075{Enter}", you(1075)),
        ("1900{Enter}{Enter}", you(900)),
        ("{Tab}1700{Enter}2{Enter}", they(1700)),
        // A sum at once, that no digit of a choice begins: who is asked, and one digit answers.
        ("950{Enter}1{Enter}", you(950)),
        ("$1700{Enter}2{Enter}", they(1700)),
        // A sum at once, that may begin with a choice: it is asked about first.
        ("1700{Enter}1700{Enter}2{Enter}", they(1700)),
        ("1700{Enter}{Enter}", you(700)),
        ("1,700{Enter}1,700{Enter}2{Enter}", they(1700)),
        ("1.7k{Enter}1.7k{Enter}2{Enter}", they(1700)),
        // A plain no has no sum.
        ("2{Enter}", vec![(Who::They, None)]),
    ] {
        let (talks, text) = talked(keys);
        assert_eq!(talks, kept, "{keys}\n{text}");
    }
    for keys in [
        "1700{Enter}",
        "1,700{Enter}",
        "1.2k{Enter}",
        "950{Enter}",
        "$1700{Enter}",
    ] {
        let (talks, text) = talked(keys);
        assert_eq!(talks, [], "{keys} was not asked about");
        assert!(text.contains("said"), "{keys}\n{text}");
    }
}

/// What is in sight, its lines and boxes joined into one line of words.
fn seen(desk: &Desk) -> String {
    let words = desk.text().replace(['│', '─', '\n'], " ");
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Keys in the form of an offer, on a car bought or not, after these talks; what was kept and what is said.
fn kept(before: &str, keys: &str) -> (usize, String) {
    let mut desk = on("gm");
    desk.keys(before);
    let count = desk.car().talks.len();
    desk.keys("a").keys(keys);
    let text = seen(&desk);
    (desk.car().talks.len() - count, text)
}

#[test]
fn bad_input_in_the_talks_is_told_and_kept_only_where_it_may_be_meant() {
    // Over the limit: refused; with a reason in words it is kept, for it was said.
    let (count, text) = kept("", "11900{Enter}");
    assert!(count == 0 && text.contains("over your limit"), "{text}");
    assert_eq!(kept("", "11900{Enter}{Tab}said it in haste{Enter}").0, 1);
    // Under an own offer of before: asked about once.
    let first = "a11075{Enter}";
    let (count, text) = kept(first, "900{Enter}1{Enter}");
    assert!(count == 0 && text.contains("under your earlier"), "{text}");
    assert_eq!(kept(first, "900{Enter}1{Enter}{Enter}").0, 1);
    // Their figure under an own offer is a yes: asked about once.
    let (count, text) = kept(first, "900{Enter}2{Enter}");
    assert!(count == 0 && text.contains("a yes, at"), "{text}");
    assert_eq!(kept(first, "900{Enter}2{Enter}{Enter}").0, 1);
    // Days run in order and not ahead.
    let day = |sum: &str, day: &str| format!("2{sum}{{Tab}}{{Tab}}{day}{{Enter}}");
    let (count, text) = kept(first, &day("1700", "2026-11-20"));
    assert!(count == 0 && text.contains("after today"), "{text}");
    let (count, text) = kept(first, &day("1700", "2026-11-10"));
    assert!(
        count == 0 && text.contains("before the last line"),
        "{text}"
    );
    assert_eq!(kept("", &day("1700", "2026-11-10")).0, 1);
    assert_eq!(kept(first, &day("1700", "2026-11-14")).0, 1);
    let (count, text) = kept("", &day("1700", "soon"));
    assert!(count == 0 && text.contains("a day such as"), "{text}");
    // Nothing is said about a car that is bought.
    let (count, text) = kept("b{Enter}", "21700{Enter}");
    assert!(count == 0 && text.contains("the talks are over"), "{text}");
    // An offer without a sum is none.
    let (count, text) = kept("", "1{Enter}");
    assert!(count == 0 && text.contains("needs a sum"), "{text}");
}

#[test]
fn the_letter_opens_scrolls_changes_its_kind_and_is_copied() {
    let mut desk = on("gm");
    desk.size(80, 24).keys("l");
    let text = seen(&desk);
    assert!(
        text.contains("I can pay $") && text.contains("letter, offer 1"),
        "{text}"
    );
    desk.keys("c");
    assert!(desk.app.overlay.is_some());
    let copied = desk.app.copied.clone().unwrap();
    assert_eq!(copied.name, "dabchick-letter");
    assert!(copied.text.contains("I can pay $") && !copied.text.contains("for you alone"));
    desk.keys("2");
    assert!(
        seen(&desk).contains("I would be glad to have it"),
        "{}",
        seen(&desk)
    );
    desk.keys("3");
    assert!(seen(&desk).contains("for the phone"), "{}", seen(&desk));
    desk.keys("4");
    assert!(seen(&desk).contains("notice of danger"), "{}", seen(&desk));
    desk.keys("5");
    assert!(
        seen(&desk).contains("no price is agreed"),
        "{}",
        seen(&desk)
    );
    desk.keys("c");
    assert_eq!(desk.said(), "nothing here to copy");
    desk.keys("{Tab}v");
    assert!(
        seen(&desk).contains("No two prices are worked out"),
        "{}",
        seen(&desk)
    );
    desk.keys("V");
    assert!(seen(&desk).contains("bill of sale"), "{}", seen(&desk));
    desk.keys("l");
    assert!(desk.app.overlay.is_none());
    // Narrow: line by line down to its grounds, and no further.
    desk.size(40, 18).keys("l");
    let top = seen(&desk);
    desk.keys(&"j".repeat(60));
    let end = seen(&desk);
    assert!(end.contains("not spoken of") && end != top, "{end}");
    desk.keys("k");
    assert_ne!(seen(&desk), end, "no key is lost past the end");
    desk.keys("<");
    assert_eq!(seen(&desk), top);
    // Money hidden: the letter goes too.
    desk.keys("h");
    assert!(desk.app.overlay.is_none() && !seen(&desk).contains("I can pay"));
}

#[test]
fn the_letter_of_a_later_row_of_the_plan_is_that_offer() {
    let mut desk = on("gm");
    desk.size(80, 24).keys("jl");
    let text = seen(&desk);
    assert!(text.contains("letter, offer 2"), "{text}");
}

#[test]
fn a_price_agreed_in_the_log_is_the_price_of_the_drafts() {
    let mut desk = on("gm");
    desk.size(80, 24)
        .keys("a11075{Enter}")
        .keys("a21075{Enter}");
    desk.keys("l5");
    assert!(
        seen(&desk).contains("received $1,075 from the buyer"),
        "{}",
        seen(&desk)
    );
    desk.keys("6");
    assert!(
        seen(&desk).contains("sells the car named here to the buyer for $1,075"),
        "{}",
        seen(&desk)
    );
}

#[test]
fn two_prices_stand_on_the_plan_until_the_car_is_changed() {
    let mut desk = on("gm");
    desk.size(120, 40).keys("o");
    let first = seen(&desk);
    assert!(
        first.contains("two prices, o one of 2 checks")
            && first.contains("oil level: as it should be"),
        "{first}"
    );
    desk.size(80, 24).keys("l7");
    assert!(
        seen(&desk).contains("if one check that we do together comes out well (oil level"),
        "{}",
        seen(&desk)
    );
    desk.keys("l").size(120, 40).keys("o");
    assert!(
        seen(&desk).contains("1,325 if carpet lifted comes out well, 1,175 if not"),
        "{}",
        seen(&desk)
    );
    desk.keys("a21700{Enter}");
    assert!(
        !seen(&desk).contains("two prices, o"),
        "they hold for the talks as they stood"
    );
}

#[test]
fn what_would_change_the_mind_opens_by_its_key_and_by_name() {
    for keys in ["m", ":change my mind{Enter}"] {
        let mut desk = on("gm");
        desk.size(80, 24).keys(keys);
        let text = seen(&desk);
        for words in [
            "As it stands: buy",
            "carpet lifted: silt line (4%; it ends the deal)",
            "with cold start: long rattle",
        ] {
            assert!(text.contains(words), "{keys}: no “{words}” in {text}");
        }
        desk.keys("c");
        assert_eq!(desk.app.copied.clone().unwrap().name, "dabchick-mind");
        desk.keys("m");
        assert!(desk.app.overlay.is_none());
    }
}
