//! Checks of whole tables: what the types cannot hold.

mod codes;
mod limits;
mod settings;
mod signs;

use super::rows::{AppliesIf, FaultRow, RepairRow};
use super::tables::Tables;
use std::collections::BTreeSet;
use std::fmt;

/// One thing wrong with the tables, with its place.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct TableProblem {
    /// Table.
    pub table: &'static str,
    /// Row id.
    pub row: String,
    /// What is wrong, in words.
    pub what: String,
}

impl fmt::Display for TableProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, row {}: {}", self.table, self.row, self.what)
    }
}

/// Everything wrong with these tables; empty if they can be used.
#[must_use]
pub fn check(tables: &Tables) -> Vec<TableProblem> {
    let mut found = Found::default();
    ids(tables, &mut found);
    for row in &tables.faults {
        fault(tables, row, &mut found);
    }
    for row in &tables.repairs {
        repair(tables, row, &mut found);
    }
    for row in &tables.operations {
        found.all("operations", &row.id, "tool", &row.needs, |id| {
            tables.tool(id).is_some()
        });
        found.all("operations", &row.id, "caution", &row.cautions, |id| {
            tables.caution(id).is_some()
        });
        found.unless(
            row.home_factor >= 1.0,
            "operations",
            &row.id,
            "home_factor is under 1",
        );
        found.unless(
            row.hours.low() >= 0.0,
            "operations",
            &row.id,
            "hours are under zero",
        );
    }
    for row in &tables.signs {
        signs::sign(tables, row, &mut found);
    }
    codes::codes(tables, &mut found);
    codes::weak_spots(tables, &mut found);
    signs::walk(tables, &mut found);
    for row in &tables.limits {
        limits::limit(row, &mut found);
    }
    others(tables, &mut found);
    settings::settings(tables, &mut found);
    reachable(tables, &mut found);
    found.0.sort();
    found.0
}

#[derive(Default)]
struct Found(Vec<TableProblem>);

impl Found {
    fn add(&mut self, table: &'static str, row: &str, what: impl Into<String>) {
        self.0.push(TableProblem {
            table,
            row: row.to_owned(),
            what: what.into(),
        });
    }

    fn unless(&mut self, holds: bool, table: &'static str, row: &str, what: &str) {
        if !holds {
            self.add(table, row, what);
        }
    }

    fn all(
        &mut self,
        table: &'static str,
        row: &str,
        kind: &str,
        ids: &[String],
        known: impl Fn(&str) -> bool,
    ) {
        for id in ids {
            if !known(id) {
                self.add(table, row, format!("no {kind} has the id “{id}”"));
            }
        }
    }
}

fn ids(tables: &Tables, found: &mut Found) {
    let mut twins = |table: &'static str, ids: Vec<&String>| {
        for pair in ids.windows(2) {
            if let [a, b] = pair
                && a == b
            {
                found.add(table, a, "the id stands twice");
            }
        }
    };
    twins("faults", tables.faults.iter().map(|row| &row.id).collect());
    twins(
        "repairs",
        tables.repairs.iter().map(|row| &row.id).collect(),
    );
    twins(
        "operations",
        tables.operations.iter().map(|row| &row.id).collect(),
    );
    twins("codes", tables.codes.iter().map(|row| &row.id).collect());
    twins("signs", tables.signs.iter().map(|row| &row.id).collect());
    twins("limits", tables.limits.iter().map(|row| &row.id).collect());
    twins("tools", tables.tools.iter().map(|row| &row.id).collect());
    twins(
        "cautions",
        tables.cautions.iter().map(|row| &row.id).collect(),
    );
    twins(
        "sellables",
        tables.sellables.iter().map(|row| &row.id).collect(),
    );
    twins(
        "purposes",
        tables.purposes.iter().map(|row| &row.id).collect(),
    );
}

fn share(value: f64) -> bool {
    (0.0..=1.0).contains(&value)
}

fn fault(tables: &Tables, row: &FaultRow, found: &mut Found) {
    let table = "faults";
    found.unless(
        row.prior > 0.0 && row.prior < 0.95,
        table,
        &row.id,
        "prior is not between 0 and .95",
    );
    found.unless(
        share(row.owner_sees),
        table,
        &row.id,
        "owner_sees is not a share",
    );
    found.unless(
        row.hidden_share.is_none_or(share),
        table,
        &row.id,
        "hidden_share is not a share",
    );
    found.unless(
        share(row.strand_share),
        table,
        &row.id,
        "strand_share is not a share",
    );
    found.unless(
        row.strands_per_1000_miles >= 0.0,
        table,
        &row.id,
        "strands_per_1000_miles is under zero",
    );
    found.unless(
        row.power_kept > 0.0 && row.power_kept <= 1.0,
        table,
        &row.id,
        "power_kept is not above 0 and up to 1",
    );
    found.unless(
        row.life
            .is_none_or(|life| life.eta_miles > 0.0 && life.beta > 0.0),
        table,
        &row.id,
        "life is not above zero",
    );
    found.unless(
        !row.severities.is_empty(),
        table,
        &row.id,
        "it does nothing: no severity",
    );
    found.unless(
        !row.repairs.is_empty(),
        table,
        &row.id,
        "no repair cures it",
    );
    found.unless(!row.source.is_empty(), table, &row.id, "no source");
    found.all(table, &row.id, "repair", &row.repairs, |id| {
        tables.repair(id).is_some()
    });
    found.all(table, &row.id, "caution", &row.cautions, |id| {
        tables.caution(id).is_some()
    });
}

fn repair(tables: &Tables, row: &RepairRow, found: &mut Found) {
    let table = "repairs";
    found.unless(
        (1..=5).contains(&row.skill),
        table,
        &row.id,
        "skill is not 1 to 5",
    );
    found.unless(
        row.parts.iter().all(|part| part.new.low() >= 0.0),
        table,
        &row.id,
        "a price is under zero",
    );
    found.all(table, &row.id, "operation", &row.operations, |id| {
        tables.operation(id).is_some()
    });
    found.all(table, &row.id, "operation", &row.follow_ups, |id| {
        tables.operation(id).is_some()
    });
    found.all(table, &row.id, "fault", &row.also_cures, |id| {
        tables.fault(id).is_some()
    });
    found.all(table, &row.id, "fault", &row.renews, |id| {
        tables.fault(id).is_some()
    });
    found.all(table, &row.id, "tool", &row.tools, |id| {
        tables.tool(id).is_some()
    });
    found.all(table, &row.id, "caution", &row.cautions, |id| {
        tables.caution(id).is_some()
    });
    found.unless(
        tables.sign(&row.proof_of_cure).is_some(),
        table,
        &row.id,
        "proof_of_cure is no sign",
    );
    found.unless(
        row.safety.is_none() || !row.cautions.is_empty(),
        table,
        &row.id,
        "safety work without a caution",
    );
    found.unless(!row.source.is_empty(), table, &row.id, "no source");
    let used = tables
        .faults
        .iter()
        .any(|fault| fault.repairs.contains(&row.id));
    found.unless(used, table, &row.id, "no fault names it");
}

fn others(tables: &Tables, found: &mut Found) {
    for row in &tables.sellables {
        found.all("sellables", &row.id, "fault", &row.spoiled_by, |id| {
            tables.fault(id).is_some()
        });
        found.all("sellables", &row.id, "caution", &row.cautions, |id| {
            tables.caution(id).is_some()
        });
    }
    for row in &tables.purposes {
        found.unless(
            row.confidence > 0.0 && row.confidence < 1.0,
            "purposes",
            &row.id,
            "confidence is not between 0 and 1",
        );
        for item in &row.fit_out {
            found.all("purposes", &row.id, "caution", &item.cautions, |id| {
                tables.caution(id).is_some()
            });
        }
    }
}

/// Every fault shows somewhere, and every caution is used.
fn reachable(tables: &Tables, found: &mut Found) {
    let mut shown: BTreeSet<&str> = BTreeSet::new();
    let mut used: BTreeSet<&str> = BTreeSet::new();
    for row in &tables.signs {
        if let Some(causes) = &row.causes {
            shown.extend(causes.weights.keys().map(String::as_str));
        }
        if let Some(hits) = &row.hits {
            shown.extend(hits.rates.keys().map(String::as_str));
        }
        used.extend(row.cautions.iter().map(String::as_str));
    }
    used.extend(
        tables
            .faults
            .iter()
            .flat_map(|row| &row.cautions)
            .map(String::as_str),
    );
    used.extend(
        tables
            .repairs
            .iter()
            .flat_map(|row| &row.cautions)
            .map(String::as_str),
    );
    used.extend(
        tables
            .operations
            .iter()
            .flat_map(|row| &row.cautions)
            .map(String::as_str),
    );
    used.extend(
        tables
            .sellables
            .iter()
            .flat_map(|row| &row.cautions)
            .map(String::as_str),
    );
    used.extend(
        tables
            .purposes
            .iter()
            .flat_map(|row| &row.fit_out)
            .flat_map(|item| &item.cautions)
            .map(String::as_str),
    );
    for row in &tables.faults {
        found.unless(
            shown.contains(row.id.as_str()),
            "faults",
            &row.id,
            "no sign shows it",
        );
    }
    for row in &tables.cautions {
        found.unless(
            used.contains(row.id.as_str()),
            "cautions",
            &row.id,
            "nothing uses it",
        );
        found.unless(!row.source.is_empty(), "cautions", &row.id, "no source");
    }
}

impl AppliesIf {
    /// True if it asks nothing.
    #[must_use]
    pub fn asks_nothing(&self) -> bool {
        *self == Self::default()
    }
}
