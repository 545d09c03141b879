//! What must hold whatever is on file: a thousand invented cars for each property.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::diagnosis_kit;

use diagnosis_kit::*;
use proptest::prelude::*;
use serde_json::{Map, json};
use wrenchworth::car::{Answer, CarRecord, Claim, ClaimedSign, Known, Pin, Stamp};
use wrenchworth::engine::diagnosis::Diagnosis;
use wrenchworth::engine::luck::Luck;
use wrenchworth::trade::Tables;
use wrenchworth::trade::settings::Settings;

/// Eight faults, six checks (two of one act), one symptom with cause weights and a test of it, one sign of care.
fn invent(dice: &mut Dice, settings: Settings) -> Tables {
    let id = |f: usize| format!("F{f}");
    let faults = (0..8)
        .map(|f| {
            let severity = ["strands", "unsafe", "annoys"][dice.below(3)];
            let more = json!({
                "owner_sees": dice.unit(), "hidden_share": 0.5 * dice.unit(), "severities": [severity],
            });
            fault(&id(f), 0.01 + 0.4 * dice.unit(), more)
        })
        .collect();
    let mut signs: Vec<_> = (0..6)
        .map(|s| {
            let mut rates = Map::new();
            for f in 0..8 {
                if dice.chance(0.3) {
                    let sum = 0.95 * dice.unit();
                    rates.insert(id(f), json!(dice.shares(2, sum)));
                }
            }
            let act = if s < 2 { "drive" } else { "" };
            let hits = json!({"rates": rates, "false_alarm": [0.03 * dice.unit(), 0.01]});
            sign(&format!("s{s}"), 3, json!({"hits": hits, "act": act}))
        })
        .collect();
    let weights: Map<_, _> = (0..5).map(|f| (id(f), json!(0.15))).collect();
    signs.push(sign(
        "symptom",
        2,
        json!({"kind": "symptom", "causes": {"weights": weights}}),
    ));
    let rows: Map<_, _> = (0..3)
        .map(|f| (id(f), json!(dice.shares(2, 1.0))))
        .collect();
    let test = json!({"signs": ["symptom"], "rows": rows, "other": [0.5, 0.5]});
    signs.push(sign("test", 2, json!({"kind": "test", "test_of": test})));
    let care = json!([[0.2, 0.3, 0.5, 0.6, 0.8], [0.8, 0.7, 0.5, 0.4, 0.2]]);
    signs.push(sign("care", 2, json!({"kind": "paper", "care": care})));
    tables(faults, signs, settings)
}

/// A car with some signs answered, each up to this level.
fn answered(dice: &mut Dice, tables: &Tables, above_benign: bool) -> CarRecord {
    let mut car = reference_car();
    for row in &tables.signs {
        if dice.chance(0.6) {
            let bad = above_benign && dice.chance(0.5);
            let level = if bad {
                1 + dice.below(row.levels.len() - 1)
            } else {
                0
            };
            let mut seen = saw(&row.id, level);
            seen.known = [Known::Said, Known::Paper, Known::Seen, Known::Measured][dice.below(4)];
            seen.admitted = bad && dice.chance(0.3);
            car.observations.push(seen);
        }
    }
    car.listing.whole_text_on_file = dice.chance(0.5);
    car.particulars.in_use_proven = dice.chance(0.3);
    car
}

/// Everything that comes out, and forty draws, as bytes.
fn bytes(found: &Diagnosis) -> String {
    let (mut present, mut causes) = (vec![], vec![]);
    let mut sampler = found.sampler();
    let draws: Vec<String> = (0..10)
        .map(|turn| {
            sampler.draw(Luck::new(2), turn, &mut present, &mut causes);
            format!("{present:?}{causes:?}")
        })
        .collect();
    format!("{found:?}{draws:?}")
}

fn chances(found: &Diagnosis) -> Vec<f64> {
    found.faults.iter().map(|fault| fault.chance).collect()
}

/// Faults that no observed sign above benign can come from.
fn untied(found: &Diagnosis) -> Vec<String> {
    (found.faults.iter().filter(|fault| !fault.tied))
        .map(|fault| fault.id.clone())
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1_000, failure_persistence: None, ..ProptestConfig::default() })]

    /// In one component; through care and explaining away the mixture may move others down by a little.
    #[test]
    fn a_pinned_fault_tied_to_nothing_never_lowers_another(seed: u64) {
        let mut dice = Dice(seed);
        let tables = invent(&mut dice, one_component());
        let mut car = answered(&mut dice, &tables, true);
        let before = run(&car, &tables);
        let Some(pinned) = untied(&before).first().cloned() else { return Ok(()) };
        car.pins.insert(pinned.clone(), Pin::Certain);
        let after = run(&car, &tables);
        for (old, new) in before.faults.iter().zip(&after.faults) {
            prop_assert!(new.chance >= old.chance - 1e-13, "{} by {pinned}", old.id);
        }
    }

    /// With nothing above benign it holds in the whole mixture.
    #[test]
    fn a_pinned_fault_never_lowers_another_while_all_is_benign(seed: u64) {
        let mut dice = Dice(seed);
        let tables = invent(&mut dice, settings());
        let mut car = answered(&mut dice, &tables, false);
        let before = run(&car, &tables);
        car.pins.insert(format!("F{}", dice.below(8)), Pin::Certain);
        let after = run(&car, &tables);
        for (old, new) in before.faults.iter().zip(&after.faults) {
            prop_assert!(new.chance >= old.chance - 1e-13, "{}", old.id);
        }
    }

    #[test]
    fn while_all_is_benign_one_benign_answer_more_raises_no_fault(seed: u64) {
        let mut dice = Dice(seed);
        let tables = invent(&mut dice, settings());
        let mut car = answered(&mut dice, &tables, false);
        let before = run(&car, &tables);
        for row in &tables.signs {
            if car.observations.iter().all(|one| one.sign != row.id) {
                car.observations.push(saw(&row.id, 0));
                let after = run(&car, &tables);
                for (old, new) in before.faults.iter().zip(&after.faults) {
                    prop_assert!(new.chance <= old.chance + 1e-13, "{} by {}", old.id, row.id);
                }
                car.observations.pop();
            }
        }
    }

    #[test]
    fn a_sign_not_seen_gives_the_bytes_of_one_never_opened(seed: u64) {
        let mut dice = Dice(seed);
        let tables = invent(&mut dice, settings());
        let mut car = answered(&mut dice, &tables, true);
        let never = bytes(&run(&car, &tables));
        for row in &tables.signs {
            let mut seen = saw(&row.id, 0);
            seen.answer = if dice.chance(0.5) { Answer::NotSeen } else { Answer::NotFitted };
            if dice.chance(0.5) {
                car.observations.push(seen);
            }
        }
        prop_assert_eq!(never, bytes(&run(&car, &tables)));
    }

    #[test]
    fn the_same_sign_twice_counts_once(seed: u64) {
        let mut dice = Dice(seed);
        let tables = invent(&mut dice, settings());
        let mut car = answered(&mut dice, &tables, true);
        let once = bytes(&run(&car, &tables));
        let again = car.observations.clone();
        for mut seen in again {
            // The same once more, or hearsay of another level that a more direct report overrules.
            if seen.known > Known::Said && dice.chance(0.5) {
                seen.known = Known::Said;
                seen.admitted = false;
                seen.answer = Answer::Level(1);
            }
            car.observations.push(seen);
        }
        prop_assert_eq!(once, bytes(&run(&car, &tables)));
    }

    #[test]
    fn the_order_of_entry_does_not_matter(seed: u64) {
        let mut dice = Dice(seed);
        let tables = invent(&mut dice, settings());
        let mut car = answered(&mut dice, &tables, true);
        let one_way = bytes(&run(&car, &tables));
        for at in (1..car.observations.len()).rev() {
            car.observations.swap(at, dice.below(at + 1));
        }
        prop_assert_eq!(one_way, bytes(&run(&car, &tables)));
    }

    /// Without the whole text on file silence says nothing: what an owner sees of a fault then moves no chance.
    #[test]
    fn silence_counts_only_with_the_whole_text_on_file(seed: u64) {
        let mut dice = Dice(seed);
        let tables = invent(&mut dice, settings());
        let mut blind = tables.clone();
        blind.faults.iter_mut().for_each(|row| row.owner_sees = 0.0);
        let mut car = answered(&mut dice, &tables, true);
        car.listing.whole_text_on_file = false;
        prop_assert_eq!(bytes(&run(&car, &tables)), bytes(&run(&car, &blind)));
        car.listing.whole_text_on_file = true;
        car.observations.iter_mut().for_each(|seen| seen.admitted = false);
        prop_assert_ne!(chances(&run(&car, &tables)), chances(&run(&car, &blind)));
    }

    /// A seller's praise without proof moves nothing; proved on paper it counts like an answer.
    #[test]
    fn praise_without_proof_changes_nothing_at_all(seed: u64) {
        let mut dice = Dice(seed);
        let tables = invent(&mut dice, settings());
        let mut car = answered(&mut dice, &tables, true);
        let before = bytes(&run(&car, &tables));
        for row in &tables.signs {
            let (proof, stamp) = [
                (None, Stamp::Open),
                (None, Stamp::Proved),
                (Some(Known::Said), Stamp::Proved),
                (Some(Known::Paper), Stamp::Open),
                (Some(Known::Seen), Stamp::Contradicted),
                (Some(Known::Paper), Stamp::Unseen),
            ][dice.below(6)];
            let sign = Some(ClaimedSign { id: row.id.clone(), level: 0 });
            car.claims.push(Claim { text: "runs great".to_owned(), pro: true, proof, stamp, sign, replaced: None });
        }
        prop_assert_eq!(before, bytes(&run(&car, &tables)));
    }
}
