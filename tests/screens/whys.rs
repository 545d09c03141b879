//! Every figure opens, with the real engine on the sample cars: a letter, then parts that add up, down to rows, entries and settings.

use super::common::Desk;
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;
use wrenchworth::car::{Buyer, CarRecord};
use wrenchworth::engine::{Appraisal, Comparison, Knowledge, Run, TraceKind};
use wrenchworth::trade::{EMBEDDED, Tables};
use wrenchworth::tui::keys::Key;
use wrenchworth::tui::overlay::{Overlay, why};
use wrenchworth::tui::ports::Engine;

struct Real(Knowledge);

impl Engine for Real {
    fn appraise(&self, car: &CarRecord, buyer: &Buyer, run: &Run) -> Appraisal {
        let mut appraisal = self.0.appraise(car, buyer, run);
        self.0.explain(&mut appraisal, car, buyer, run);
        appraisal
    }

    fn compare(&self, cars: &[(&CarRecord, &str)], buyer: &Buyer, run: &Run) -> Comparison {
        let cars: Vec<(&str, &CarRecord)> = cars.iter().map(|(car, slug)| (*slug, *car)).collect();
        self.0.compare(&cars, buyer, run)
    }

    fn tables(&self) -> Tables {
        self.0.tables().clone()
    }
}

/// The sample cars with their real figures.
fn samples() -> Desk {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-listings");
    let cars = ["dabchick-2009", "lamprey-2007", "oriole-2012"].map(|slug| {
        let path = folder.join(format!("{slug}.car.json"));
        (
            slug.to_owned(),
            wrenchworth::store::load_car(&path).unwrap(),
        )
    });
    let tables = Tables::from_texts(&EMBEDDED, &[]).unwrap();
    Desk::with_engine(cars.into(), Arc::new(Real(Knowledge::new(tables))), 300)
}

/// Walks a why down to its leaves: every part is there, sums add up to the cent, every leaf says what it stands on.
fn sound(desk: &Desk, id: &str, seen: &mut BTreeSet<String>) {
    if !seen.insert(id.to_owned()) {
        return;
    }
    let node = why::node(&desk.app, id).unwrap_or_else(|| panic!("{id} is not in the trace"));
    if node.parts.is_empty() {
        let said = !node.sentence.is_empty() || !node.source.is_empty() || !node.value.is_empty();
        assert!(said || node.amount.is_some(), "{id} says nothing");
        return;
    }
    let parts: Vec<_> = node
        .parts
        .iter()
        .map(|part| why::node(&desk.app, part))
        .collect();
    let amounts: Option<Vec<f64>> = parts.iter().map(|part| part.as_ref()?.amount).collect();
    if let (TraceKind::Sum, Some(amount), Some(amounts)) = (node.kind, node.amount, amounts) {
        let sum: f64 = amounts.iter().sum();
        assert!(
            (sum - amount).abs() < 0.005,
            "{id}: {amounts:?} is {sum}, not {amount}"
        );
    }
    for part in &node.parts {
        sound(desk, part, seen);
    }
}

#[test]
fn every_figure_of_every_screen_opens_down_to_what_it_stands_on() {
    let mut desk = samples();
    desk.app.marks = ["dabchick-2009", "oriole-2012"].map(str::to_owned).to_vec();
    let mut opened = 0;
    for keys in ["gc", "gs", "gf", "gm", "gb", "gy"] {
        desk.keys(keys);
        let mut seen = BTreeSet::new();
        for at in 0.. {
            // The part in hand comes first: asked anew each time, the order stays the same.
            desk.keys("gc").keys(keys).keys("W");
            let Some(Overlay::Tags(tags)) = &desk.app.overlay else {
                panic!("{keys} has no figure that opens");
            };
            let Some(id) = tags.list.get(at).map(|tag| tag.id.clone()) else {
                desk.keys("{Esc}");
                break;
            };
            for _ in 0..at / 26 {
                desk.key(Key::Char(' '));
            }
            desk.key(Key::Char(char::from(b'a' + u8::try_from(at % 26).unwrap())));
            let Some(Overlay::Why(open)) = &desk.app.overlay else {
                panic!("{keys}: letter {at} opened nothing");
            };
            assert_eq!(open.path, std::slice::from_ref(&id), "{keys} {at}");
            desk.keys("{Esc}");
            sound(&desk, &id, &mut seen);
            opened += 1;
        }
    }
    assert!(opened > 60, "{opened}");
}

#[test]
fn a_rung_joined_for_want_of_rows_opens_the_rungs_it_was_joined_from() {
    let mut desk = samples();
    let mut joined = 0;
    for size in [(40, 18), (80, 24), (120, 40), (160, 50)] {
        desk.size(size.0, size.1).keys("gm");
        for step in wrenchworth::tui::screens::money::steps(&desk.app) {
            if step.joined.is_empty() {
                continue;
            }
            joined += 1;
            let node = why::node(&desk.app, &step.trace_id).unwrap();
            assert_eq!(node.parts, step.joined);
            assert!(node.parts.len() > 1);
            // Shown in fives, made of cents.
            let amount = node.amount.unwrap();
            assert!(
                (amount - step.amount).abs() <= 5.0 + 1e-9
                    || step.amount.abs() < amount.abs() + 130.0,
                "{step:?} {amount}"
            );
            sound(&desk, &step.trace_id, &mut BTreeSet::new());
        }
    }
    assert!(joined > 0, "no size joins rungs of this car");
}

#[test]
fn reasons_say_miles_with_their_comma() {
    let desk = samples();
    let figures = desk.app.data.figures().unwrap();
    let words: Vec<&String> = figures
        .faults
        .iter()
        .flat_map(|fault| &fault.reasons)
        .map(|reason| &reason.words)
        .collect();
    assert!(
        words.iter().any(|words| words.contains("168,240 miles")),
        "{words:?}"
    );
    assert!(words.iter().all(|words| !words.contains("168240")));
}
