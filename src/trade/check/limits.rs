//! Checks of the limits, and of how signs take their level from a reading.

use super::Found;
use crate::trade::rows::{LimitRow, Pattern, ReadingSpec, SignRow};
use crate::trade::tables::Tables;

/// Items whose limit is no row of the table: a house rule, or a figure made of others.
const WITHOUT_ROWS: &[&str] = &["treadwear", "compression"];

pub(super) fn limit(row: &LimitRow, found: &mut Found) {
    let table = "limits";
    found.unless(!row.source.is_empty(), table, &row.id, "no source");
    found.unless(
        row.least.is_some() || row.greatest.is_some(),
        table,
        &row.id,
        "neither least nor greatest",
    );
    found.unless(
        row.least
            .zip(row.greatest)
            .is_none_or(|(least, greatest)| least <= greatest),
        table,
        &row.id,
        "least is over greatest",
    );
    found.unless(
        [row.least, row.greatest, row.per_wheel_mm, row.wheel_from_in]
            .into_iter()
            .flatten()
            .all(f64::is_finite),
        table,
        &row.id,
        "a figure is no number",
    );
    found.unless(
        row.per_wheel_mm.is_none_or(|per| per > 0.0),
        table,
        &row.id,
        "per_wheel_mm is not above zero",
    );
}

pub(super) fn reading(tables: &Tables, row: &SignRow, spec: &ReadingSpec, found: &mut Found) {
    let table = "signs";
    found.unless(
        !spec.parts.is_empty(),
        table,
        &row.id,
        "a reading of nothing",
    );
    let known = |item: &str| {
        WITHOUT_ROWS.contains(&item) || tables.limits.iter().any(|limit| limit.item == item)
    };
    for part in spec.parts.iter().filter(|part| !known(&part.item)) {
        found.add(table, &row.id, format!("no limit is of “{}”", part.item));
    }
    for limit in &tables.limits {
        let of = spec.parts.iter().find(|part| part.item == limit.item);
        let unit = limit.unit.to_lowercase();
        // The age of a tire is held in years, whatever its code.
        if let Some(part) = of.filter(|_| unit != "years")
            && part.quantity.neutral(1.0, &unit, false).is_none()
        {
            found.add(
                "limits",
                &limit.id,
                format!("“{}” is no unit of {}", limit.unit, row.id),
            );
        }
    }
    found.unless(
        spec.bands.iter().all(|band| band.level < row.levels.len()),
        table,
        &row.id,
        "a band of its reading names no level",
    );
    found.unless(
        spec.pattern != Pattern::Each || !spec.bands.is_empty(),
        table,
        &row.id,
        "its reading leads to no level",
    );
}
