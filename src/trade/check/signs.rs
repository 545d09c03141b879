//! Checks of the signs: levels, link strengths, tests, and what they point to.

use super::{Found, share};
use crate::trade::rows::{Causes, Hits, SignKind, SignRow, TestOf};
use crate::trade::tables::Tables;

pub(super) fn sign(tables: &Tables, row: &SignRow, found: &mut Found) {
    let table = "signs";
    let bad = row.levels.len().saturating_sub(1);
    found.unless(bad >= 1, table, &row.id, "fewer than two levels");
    found.unless(!row.question.is_empty(), table, &row.id, "no question");
    found.unless(!row.source.is_empty(), table, &row.id, "no source");
    let speaks = row.causes.is_some()
        || row.hits.is_some()
        || row.test_of.is_some()
        || !row.care.is_empty()
        || !row.openness.is_empty();
    found.unless(
        speaks || row.kind == SignKind::Admission || row.stop.is_some() || forbids(tables, &row.id),
        table,
        &row.id,
        "it speaks of nothing",
    );
    if let Some(told) = &row.causes {
        causes(tables, row, told, found);
    }
    if let Some(told) = &row.hits {
        hits(tables, row, told, found);
    }
    if let Some(told) = &row.test_of {
        test(tables, row, told, found);
    }
    if let Some(spec) = &row.reading {
        super::limits::reading(tables, row, spec, found);
    }
    links(tables, row, found);
}

/// Cause weights and how they spread over the levels.
fn causes(tables: &Tables, row: &SignRow, causes: &Causes, found: &mut Found) {
    let table = "signs";
    let bad = row.levels.len().saturating_sub(1);
    let sum: f64 = causes.weights.values().sum();
    found.unless(
        sum <= 1.0 + 1e-9 && causes.weights.values().all(|weight| *weight > 0.0),
        table,
        &row.id,
        "cause weights are not above 0 and up to 1 in all",
    );
    let shares: f64 = causes.level_shares.iter().sum();
    let fits = if causes.level_shares.is_empty() {
        bad == 1
    } else {
        causes.level_shares.len() == bad && (shares - 1.0).abs() < 1e-6
    };
    found.unless(
        fits,
        table,
        &row.id,
        "level_shares do not fit the levels, or do not add up to 1",
    );
    found.all(
        table,
        &row.id,
        "fault",
        &causes.weights.keys().cloned().collect::<Vec<_>>(),
        |id| tables.fault(id).is_some(),
    );
}

/// Hit rates and false alarms.
fn hits(tables: &Tables, row: &SignRow, hits: &Hits, found: &mut Found) {
    let table = "signs";
    let bad = row.levels.len().saturating_sub(1);
    let fits = |rates: &Vec<f64>| {
        rates.len() == bad
            && rates.iter().all(|rate| share(*rate))
            && rates.iter().sum::<f64>() <= 1.0 + 1e-9
    };
    found.unless(
        hits.rates.values().all(fits) && fits(&hits.false_alarm),
        table,
        &row.id,
        "hit rates do not fit the levels",
    );
    let alarm: f64 = hits.false_alarm.iter().sum();
    found.unless(
        alarm <= tables.settings.diagnosis.greatest_false_alarm + 1e-9,
        table,
        &row.id,
        "false alarms are over the greatest allowed",
    );
    found.all(
        table,
        &row.id,
        "fault",
        &hits.rates.keys().cloned().collect::<Vec<_>>(),
        |id| tables.fault(id).is_some(),
    );
}

/// Outcomes of a test of a symptom, cause by cause.
fn test(tables: &Tables, row: &SignRow, test: &TestOf, found: &mut Found) {
    let table = "signs";
    let fits = |chances: &Vec<f64>| {
        chances.len() == row.levels.len() && (chances.iter().sum::<f64>() - 1.0).abs() < 1e-6
    };
    found.unless(
        test.rows.values().all(fits) && fits(&test.other),
        table,
        &row.id,
        "a test row does not add up to 1",
    );
    found.all(table, &row.id, "sign", &test.signs, |id| {
        tables.sign(id).is_some()
    });
    found.all(
        table,
        &row.id,
        "fault",
        &test.rows.keys().cloned().collect::<Vec<_>>(),
        |id| tables.fault(id).is_some(),
    );
}

/// Care, the stop, and the rows it names.
fn links(tables: &Tables, row: &SignRow, found: &mut Found) {
    let table = "signs";
    if !row.care.is_empty() {
        let columns = (0..5).all(|column| {
            (row.care.iter().map(|level| level[column]).sum::<f64>() - 1.0).abs() < 1e-6
        });
        found.unless(
            columns && row.care.len() == row.levels.len(),
            table,
            &row.id,
            "care columns do not add up to 1",
        );
    }
    if !row.openness.is_empty() {
        let columns = (0..3).all(|column| {
            (row.openness.iter().map(|level| level[column]).sum::<f64>() - 1.0).abs() < 1e-6
        });
        found.unless(
            columns && row.openness.len() == row.levels.len(),
            table,
            &row.id,
            "openness columns do not add up to 1",
        );
    }
    found.unless(
        row.stop
            .as_ref()
            .is_none_or(|stop| (1..row.levels.len()).contains(&stop.from_level)),
        table,
        &row.id,
        "the stop names no level",
    );
    found.all(table, &row.id, "sign", &row.subsumed_by, |id| {
        tables.sign(id).is_some()
    });
    found.all(table, &row.id, "sign to answer first", &row.first, |id| {
        *id != row.id
            && tables
                .sign(id)
                .is_some_and(|other| !other.first.contains(&row.id))
    });
    found.all(table, &row.id, "gate or sign", &row.blocked_by, |id| {
        tables.settings.gates.contains_key(id) || tables.sign(id).is_some()
    });
    found.all(table, &row.id, "tool", &row.tools, |id| {
        tables.tool(id).is_some()
    });
    found.all(table, &row.id, "caution", &row.cautions, |id| {
        tables.caution(id).is_some()
    });
}

/// True for a sign that makes others dangerous: it says nothing of the car, but of what may be done.
fn forbids(tables: &Tables, sign: &str) -> bool {
    let mut gates = tables.settings.gates.values();
    gates.any(|gate| gate.because.iter().any(|block| block.sign == sign))
}

/// Gates and lists of the walk name signs, at levels those have.
pub(super) fn walk(tables: &Tables, found: &mut Found) {
    for (name, gate) in &tables.settings.gates {
        for block in &gate.because {
            let row = tables.sign(&block.sign);
            let fits = row.is_some_and(|row| (1..row.levels.len()).contains(&block.from_level));
            if !fits {
                found.add(
                    "settings",
                    name,
                    format!("no level {} of “{}”", block.from_level, block.sign),
                );
            }
        }
    }
    found.all(
        "settings",
        "quick_list",
        "sign",
        &tables.settings.quick_list,
        |id| tables.sign(id).is_some(),
    );
}
