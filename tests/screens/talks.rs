//! An offer or an answer: who, then the sum; a sum typed at once is understood or asked about.

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
