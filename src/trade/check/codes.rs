//! Checks of the trouble codes and of the user's weak spots.

use super::Found;
use crate::trade::code::{Owner, Structure};
use crate::trade::rows::SignKind;
use crate::trade::tables::Tables;
use std::collections::BTreeMap;

/// Most codes that may share a sign: beyond that they do not say the same.
const MOST_TO_A_SIGN: usize = 12;

pub(super) fn codes(tables: &Tables, found: &mut Found) {
    let table = "codes";
    let mut to_a_sign: BTreeMap<&str, usize> = BTreeMap::new();
    for row in &tables.codes {
        *to_a_sign.entry(row.sign.as_str()).or_default() += 1;
        let structure = Structure::of(&row.id);
        found.unless(structure.is_some(), table, &row.id, "it is no trouble code");
        found.unless(
            structure.is_none_or(|code| code.owner != Owner::Maker || !row.note.is_empty()),
            table,
            &row.id,
            "it is in a range that makers fill as they like, and no note says so",
        );
        found.unless(!row.meaning.is_empty(), table, &row.id, "no meaning");
        found.unless(!row.source.is_empty(), table, &row.id, "no source");
        found.unless(
            row.cylinder
                .is_none_or(|cylinder| (1..=12).contains(&cylinder))
                && row.bank.is_none_or(|bank| (1..=2).contains(&bank)),
            table,
            &row.id,
            "no engine has that cylinder or bank",
        );
        let sign = tables.sign(&row.sign);
        found.unless(
            sign.is_some_and(|sign| sign.kind == SignKind::Code),
            table,
            &row.id,
            "its sign is no code sign of the tables",
        );
    }
    for (sign, count) in to_a_sign {
        found.unless(
            count <= MOST_TO_A_SIGN,
            "signs",
            sign,
            "more than 12 codes share it",
        );
    }
}

pub(super) fn weak_spots(tables: &Tables, found: &mut Found) {
    let table = "weak-spots";
    let most = tables.settings.diagnosis.greatest_weak_spot;
    for row in &tables.weak_spots {
        let place = format!("{}, {}", row.model, row.fault);
        found.unless(
            tables.fault(&row.fault).is_some(),
            table,
            &place,
            "no fault has that id",
        );
        if !(row.times >= 1.0 / most && row.times <= most) {
            found.add(
                table,
                &place,
                format!("times is not between 1/{most} and {most}"),
            );
        }
    }
}
