//! What a form accepts, the check of files accepts: nothing typed on a screen makes a file that will not open again.

use super::common::Desk;
use proptest::prelude::*;
use wrenchworth::car::check::{buyer_problems, problems};
use wrenchworth::tui::forms::{self, Entry, Purpose};
use wrenchworth::tui::overlay::Overlay;

/// Numbers at, just inside and just outside of every bound, as people type them, and what is no number at all.
fn typed() -> impl Strategy<Value = String> {
    let edges = [
        "",
        "0",
        "1",
        "1.5",
        "-1",
        "−3",
        "0.04",
        "0.05",
        "0.5",
        "2",
        "4",
        "5",
        "16",
        "17",
        "20",
        "20.5",
        "49",
        "50",
        "99",
        "99.5",
        "100",
        "100.1",
        "150",
        "168",
        "168.5",
        "199",
        "200",
        "255",
        "256",
        "300",
        "999",
        "1000",
        "1000.1",
        "1899",
        "1900",
        "2000",
        "2001",
        "2009",
        "2100",
        "2101",
        "3000",
        "3001",
        "10000",
        "10001",
        "12500",
        "12501",
        "20000",
        "20001",
        "29999",
        "30000",
        "2000000",
        "2000001",
        "10000000",
        "10000001",
        "1e9",
        "NaN",
        "inf",
        "235000km",
        "3300000km",
        "146k",
        "12%",
        "$1,850",
        "1.850,00",
        "1.234",
        "80-120",
        "80 100 120",
        "120 100 80",
        "90min",
        "200h",
        "x",
    ];
    prop_oneof![
        8 => proptest::sample::select(edges.to_vec()).prop_map(str::to_owned),
        2 => (0_u64..100_000_000).prop_map(|number| number.to_string()),
        1 => (0.0_f64..5_000.0).prop_map(|number| format!("{number:.2}")),
        1 => "[ -~]{0,12}",
    ]
}

fn purpose() -> impl Strategy<Value = Purpose> {
    proptest::sample::select(vec![
        Purpose::NewCar,
        Purpose::Particulars,
        Purpose::Seller,
        Purpose::Worth,
        Purpose::Comparable(None),
        Purpose::Comparable(Some(0)),
        Purpose::Offer,
        Purpose::Bought,
        Purpose::BuyerMoney,
        Purpose::BuyerTime,
        Purpose::HouseRules,
        Purpose::Wish(None),
        Purpose::Papers,
        Purpose::Receipt(None),
    ])
}

/// Opens a form, puts the texts into its fields, and keeps it as far as it lets itself be kept.
fn fill(desk: &mut Desk, purpose: Purpose, texts: &[String], choice: usize) {
    let mut form = forms::open(purpose, &mut desk.app);
    for (field, text) in form.fields.iter_mut().zip(texts.iter().cycle()) {
        match &field.kind {
            forms::Kind::Choice(words) => field.picked = Some(choice % words.len()),
            _ => field.entry = Entry::of(text),
        }
    }
    let fields = form.fields.len();
    desk.app.overlay = Some(Overlay::Form(form));
    for _ in 0..fields {
        if desk.app.overlay.is_some() {
            desk.keys("{Enter}");
        }
    }
    desk.keys("{Esc}");
    desk.app.draft = None;
    desk.app.overlay = None;
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_a_form_accepts_the_check_of_files_accepts(
        filled in proptest::collection::vec(
            (purpose(), proptest::collection::vec(typed(), 1..8), 0_usize..4),
            1..5,
        )
    ) {
        let mut desk = Desk::driveway();
        for (purpose, texts, choice) in filled {
            fill(&mut desk, purpose, &texts, choice);
        }
        let shelf = desk.shelf.borrow();
        for (slug, file) in &shelf.cars {
            prop_assert_eq!(problems(file), [], "{}", slug);
        }
        prop_assert_eq!(buyer_problems(&shelf.buyer), []);
    }
}

#[test]
fn a_number_in_every_field_is_kept_where_it_is_in_bounds() {
    let mut desk = Desk::driveway();
    for (purpose, texts) in [
        (Purpose::BuyerMoney, "2000 0 60 15 90 60 2 6 100"),
        (Purpose::BuyerTime, "60 60 2"),
        (Purpose::HouseRules, "500 10 60 x safety x 190"),
    ] {
        let texts: Vec<String> = texts.split(' ').map(str::to_owned).collect();
        fill(&mut desk, purpose, &texts, 0);
    }
    let buyer = &desk.app.data.buyer;
    assert_eq!(buyer.confidence, Some(0.6));
    assert!((buyer.garage_parts_markup - 0.6).abs() < 1e-12);
    assert!((buyer.hours_a_week - 60.0).abs() < 1e-9);
    assert_eq!(
        buyer.house_rules.as_ref().map(|rules| rules.accepted_steps),
        Some(60)
    );
}
