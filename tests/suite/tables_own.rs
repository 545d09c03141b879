//! Figures of the user's own: each change is a partial row with its reason, can be taken back alone, and is what the loader lays over.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use crate::mini::TEXTS;
use serde_json::{Value, json};
use wrenchworth::trade::own::{apply, figures, own};
use wrenchworth::trade::{Overlay, OwnChange, Tables};

fn change(table: &str, id: &str, field: &str, to: Option<(Value, &str)>) -> OwnChange {
    OwnChange {
        table: table.to_owned(),
        id: id.to_owned(),
        field: field.to_owned(),
        to: to.map(|(value, reason)| (value, reason.to_owned())),
    }
}

fn made(overlays: &[Overlay], change: &OwnChange) -> (Vec<Overlay>, Tables) {
    apply(&TEXTS, overlays, "tables", change).unwrap()
}

#[test]
fn every_figure_offered_can_be_changed_to_what_it_is_and_the_tables_stay_as_they_were() {
    let plain = Tables::from_texts(&TEXTS, &[]).unwrap();
    let mut tried = 0;
    let ids = |table: &str| -> Vec<String> {
        match table {
            "faults" => plain.faults.iter().map(|row| row.id.clone()).collect(),
            "repairs" => plain.repairs.iter().map(|row| row.id.clone()).collect(),
            "operations" => plain.operations.iter().map(|row| row.id.clone()).collect(),
            "signs" => plain.signs.iter().map(|row| row.id.clone()).collect(),
            "limits" => plain.limits.iter().map(|row| row.id.clone()).collect(),
            _ => plain.tools.iter().map(|row| row.id.clone()).collect(),
        }
    };
    for table in [
        "faults",
        "repairs",
        "operations",
        "signs",
        "limits",
        "tools",
    ] {
        for id in ids(table) {
            for figure in figures(&plain, table, &id) {
                let same = change(
                    table,
                    &id,
                    &figure.field,
                    Some((figure.value.clone(), "as it is")),
                );
                let (overlays, tables) = made(&[], &same);
                let again = figures(&tables, table, &id);
                assert!(again.contains(&figure), "{table} {id} {figure:?}");
                // Taken back, it is the same table to the last field.
                let (_, back) = made(&overlays, &change(table, &id, &figure.field, None));
                assert_eq!(back, plain, "{table} {id} {}", figure.field);
                tried += 1;
            }
        }
    }
    assert!(tried > 30, "only {tried} figures are offered");
}

#[test]
fn two_changes_of_one_row_keep_their_own_reasons_and_go_one_by_one() {
    let (first, _) = made(
        &[],
        &change(
            "tools",
            "torque-wrench",
            "buy",
            Some((json!([9, 9, 9]), "flea market")),
        ),
    );
    let id = Tables::from_texts(&TEXTS, &[]).unwrap().faults[0]
        .id
        .clone();
    let (second, _) = made(
        &first,
        &change("faults", &id, "prior", Some((json!(0.2), "seen often"))),
    );
    let (third, tables) = made(
        &second,
        &change("faults", &id, "owner_sees", Some((json!(0.9), "loud"))),
    );
    let reasons: Vec<String> = own(&third).into_iter().map(|own| own.reason).collect();
    assert_eq!(reasons, ["flea market", "seen often", "loud"]);
    let fault = tables.fault(&id).unwrap();
    assert!((fault.prior - 0.2).abs() < 1e-12 && (fault.owner_sees - 0.9).abs() < 1e-12);
    let (fourth, tables) = made(&third, &change("faults", &id, "prior", None));
    let fault = tables.fault(&id).unwrap();
    assert!((fault.prior - 0.2).abs() > 1e-12 && (fault.owner_sees - 0.9).abs() < 1e-12);
    assert_eq!(own(&fourth).len(), 2);
}

#[test]
fn what_a_person_wrote_into_the_file_by_hand_stays_when_another_figure_changes() {
    let id = Tables::from_texts(&TEXTS, &[]).unwrap().faults[0]
        .id
        .clone();
    let by_hand = Overlay {
        table: "faults".to_owned(),
        place: "tables/faults.json".to_owned(),
        text: json!([{"id": id, "prior": 0.11, "owner_sees": 0.5, "reason": "club"}]).to_string(),
    };
    let (after, tables) = made(
        &[by_hand],
        &change("faults", &id, "prior", Some((json!(0.3), "mine"))),
    );
    let fault = tables.fault(&id).unwrap();
    assert!((fault.prior - 0.3).abs() < 1e-12 && (fault.owner_sees - 0.5).abs() < 1e-12);
    assert!(after[0].text.contains("club") && after[0].text.contains("mine"));
}

#[test]
fn a_change_is_refused_in_a_sentence_with_its_place() {
    let id = Tables::from_texts(&TEXTS, &[]).unwrap().faults[0]
        .id
        .clone();
    let refused = |change: &OwnChange| {
        apply(&TEXTS, &[], "tables", change)
            .unwrap_err()
            .to_string()
    };
    for (one, wanted) in [
        (
            change("faults", &id, "prior", Some((json!(0.3), " "))),
            "no reason",
        ),
        (
            change("faults", &id, "priors", Some((json!(0.3), "x"))),
            "no such figure",
        ),
        (
            change("faults", "NONE", "prior", Some((json!(0.3), "x"))),
            "no such figure",
        ),
        (
            change("faults", &id, "prior", Some((json!("much"), "x"))),
            "prior",
        ),
        (change("faults", &id, "prior", None), "nothing of yours"),
        (
            change(
                "tools",
                "torque-wrench",
                "buy",
                Some((json!([3, 2, 1]), "x")),
            ),
            "torque-wrench",
        ),
    ] {
        let told = refused(&one);
        assert!(told.contains(wanted) && told.contains("tables/"), "{told}");
    }
}
