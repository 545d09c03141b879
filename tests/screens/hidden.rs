//! With `h` on, no figure of the car's money, no chance, no stop is in any cell of any screen at any size.

use super::golden::{SCREENS, on};
use wrenchworth::tui::say;

/// Every figure that could be shown of the car in hand, in the ways figures are shown.
fn figures(desk: &super::common::Desk) -> Vec<String> {
    let mut found = Vec::new();
    for car in &desk.app.data.cars {
        let Some(figures) = car.figures.as_deref() else {
            continue;
        };
        let record = car.car();
        let offer = &figures.offer;
        let all = [
            figures.limit.price,
            figures.limit.low,
            figures.limit.high,
            offer.open,
            offer.settle,
            record.listing.asking,
        ];
        found.extend(all.into_iter().flatten().map(say::money));
        found.extend(record.worth.own.iter().map(|own| say::money(own.likely)));
        found.extend(
            figures
                .faults
                .iter()
                .filter(|fault| fault.takes >= 20.0)
                .map(|fault| format!("−{:.0}", fault.takes)),
        );
        found.push(say::about(figures.unseen.cash.mean));
    }
    // Miles and years may look like sums; a figure under three letters would be in many words.
    found.retain(|figure| figure.chars().count() > 2);
    found
}

const WORDS: [&str; 14] = [
    "limit",
    "LIMIT",
    "settle",
    "worth",
    "asks",
    "floor",
    "STOP",
    "■",
    "%",
    "▁",
    "━",
    "╍",
    "they would take",
    "offer",
];

#[test]
fn hidden_means_no_figure_in_any_cell() {
    for (name, keys) in SCREENS {
        let mut desk = on(keys);
        let figures = figures(&desk);
        let shown = desk.text();
        assert!(
            WORDS.iter().any(|word| shown.contains(word)),
            "{name} shows money before"
        );
        desk.keys("h");
        for size in [(30, 10), (40, 18), (80, 24), (120, 40), (160, 50)] {
            desk.size(size.0, size.1);
            let text = desk.text();
            for figure in &figures {
                assert!(
                    !text.contains(figure.as_str()),
                    "{name} {size:?}: {figure}\n{text}"
                );
            }
            for word in WORDS {
                assert!(!text.contains(word), "{name} {size:?}: {word}\n{text}");
            }
        }
        desk.size(80, 24).keys("$");
        assert_eq!(desk.text(), shown, "{name} comes back as it was");
    }
}

#[test]
fn hidden_the_list_is_in_order_of_name_and_marks_are_gone() {
    let mut desk = on("gc");
    desk.keys("h");
    let text = desk.text();
    let place = |word: &str| text.find(word).unwrap_or_else(|| panic!("{word}\n{text}"));
    assert!(place("Bittern") < place("Dabchick") && place("Dabchick") < place("Vintry"));
    assert!(!text.contains("A Dabchick"));
}

#[test]
fn hidden_no_key_reveals() {
    let mut desk = on("gm");
    desk.keys("h");
    let before = desk.app.clone();
    for key in ["w", "a", "e", "x", "s", "/", "b", "d", "n", "2", "{Enter}"] {
        desk.keys(key);
        assert!(desk.app.overlay.is_none(), "{key}");
        assert_eq!(desk.app.data.cars, before.data.cars, "{key}");
    }
    assert!(desk.app.hidden);
}

#[test]
fn hiding_closes_what_lies_over_the_screen() {
    let mut desk = on("gm");
    desk.keys("vw");
    assert!(desk.app.overlay.is_some());
    desk.keys("h");
    assert!(desk.app.overlay.is_none() && desk.app.hidden);
}
