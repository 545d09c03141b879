//! Links worked out from the tables, as JSON.

use crate::trade::{DerivedLinks, Tables};
use serde_json::{Value, json};

/// Every sign that has faults: its scale, its levels with no fault, and for each fault its levels where it alone is there.
#[must_use]
pub fn derived(tables: &Tables, links: &DerivedLinks) -> Value {
    tables
        .signs
        .iter()
        .zip(&links.signs)
        .filter(|(_, sign)| !sign.faults.is_empty())
        .map(|(row, sign)| {
            let faults: Vec<Value> = sign
                .faults
                .iter()
                .filter_map(|link| {
                    let fault = tables.faults.get(link.fault)?;
                    let weight = row
                        .causes
                        .as_ref()
                        .and_then(|causes| causes.weights.get(&fault.id));
                    Some(
                        json!({ "fault": fault.id, "cause_weight": weight, "levels": link.levels }),
                    )
                })
                .collect();
            json!({ "sign": row.id, "scale": sign.scale, "no_fault": sign.leak, "faults": faults })
        })
        .collect()
}
