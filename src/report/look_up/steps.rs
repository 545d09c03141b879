//! Repairs, labor steps, limits, cautions and tools in words.

use super::{caution_words, sourced};
use crate::report::{readings, words};
use crate::trade::{
    CautionRow, Grade, LimitRow, OperationRow, RepairRow, SafetyClass, Tables, ToolRow,
};

/// A labor step: hours, what it needs, which repairs share it.
pub(super) fn operation(tables: &Tables, row: &OperationRow) -> Vec<(&'static str, String)> {
    let needs: Vec<String> = row
        .needs
        .iter()
        .map(|id| {
            let tool = tables.tool(id);
            tool.map_or_else(|| id.clone(), |tool| tool.name.clone())
        })
        .collect();
    let repairs: Vec<&str> = tables
        .repairs
        .iter()
        .filter(|repair| repair.operations.contains(&row.id) || repair.follow_ups.contains(&row.id))
        .map(|repair| repair.name.as_str())
        .collect();
    let machine = if row.garage_machine {
        "on a garage's machine, even when the rest is done at home"
    } else {
        ""
    };
    vec![
        (
            "hours",
            format!(
                "{} at a garage, ×{} at home",
                words::hours_range(row.hours.low(), row.hours.high()),
                row.home_factor
            ),
        ),
        ("where done", machine.to_owned()),
        ("needs", needs.join("; ")),
        ("part of", repairs.join("; ")),
        ("caution", caution_words(tables, &row.cautions)),
        ("note", row.note.clone()),
        ("source", sourced(&row.source, &row.as_of)),
    ]
}

/// A limit of a reading: figures, rule set, what it means to be outside.
pub(super) fn limit(row: &LimitRow) -> Vec<(&'static str, String)> {
    let figure = |figure: Option<f64>| {
        figure.map_or_else(String::new, |figure| {
            format!("{figure} {}", row.unit).trim().to_owned()
        })
    };
    let outside = match row.grade {
        Grade::Watch => "passes; worth watching",
        Grade::Renew => "passes; to be renewed or put right soon",
        Grade::Limit => "fails",
        Grade::Danger => "fails, and is not to be driven",
    };
    let years = match (row.year_from, row.year_to) {
        (None, None) => String::new(),
        (Some(from), None) => format!("model years from {from}"),
        (None, Some(to)) => format!("model years up to {to}"),
        (Some(from), Some(to)) => format!("model years {from} to {to}"),
    };
    vec![
        ("rule set", readings::rule_set(&row.rule_set).to_owned()),
        ("least", figure(row.least)),
        ("greatest", figure(row.greatest)),
        ("outside it", outside.to_owned()),
        ("only where", row.when.clone()),
        ("years", years),
        ("vehicle", row.vehicle.clone()),
        ("note", row.note.clone()),
        ("source", sourced(&row.source, &row.as_of)),
    ]
}

/// A repair: who does it, parts, steps, tools, what it cures.
pub(super) fn repair(tables: &Tables, row: &RepairRow) -> Vec<(&'static str, String)> {
    let mut told = vec![(
        "skill",
        format!("{} of 5 in {}", row.skill, row.system.shown()),
    )];
    if row.garage_only {
        told.push(("where done", "garage only".to_owned()));
    }
    if let Some(class) = row.safety {
        told.push((
            "safety",
            format!(
                "{}: at a garage unless you take it home in words",
                safety_word(class)
            ),
        ));
    }
    for part in &row.parts {
        let used = part.used.map_or_else(String::new, |used| {
            format!(
                ", used {}",
                words::money_range(used.low(), used.high(), "$")
            )
        });
        let new = words::money_range(part.new.low(), part.new.high(), "$");
        told.push(("part", format!("{}, new {new}{used}", part.name)));
    }
    let steps: Vec<String> = row
        .operations
        .iter()
        .chain(&row.follow_ups)
        .filter_map(|id| tables.operation(id))
        .map(|step| {
            let hours = words::hours_range(step.hours.low(), step.hours.high());
            format!("{} ({hours} at a garage)", step.name)
        })
        .collect();
    told.push(("steps", steps.join("; ")));
    let tools: Vec<String> = row
        .tools
        .iter()
        .map(|id| {
            tables
                .tool(id)
                .map_or_else(|| id.clone(), |tool| tool.name.clone())
        })
        .collect();
    told.push(("tools", tools.join("; ")));
    let cures: Vec<String> = tables
        .faults
        .iter()
        .filter(|fault| fault.repairs.contains(&row.id) || row.also_cures.contains(&fault.id))
        .map(|fault| fault.name.clone())
        .collect();
    told.push(("cures", cures.join("; ")));
    let proof = tables
        .sign(&row.proof_of_cure)
        .map_or_else(|| row.proof_of_cure.clone(), |sign| sign.name.clone());
    told.push(("proof of cure", format!("{proof}: gone")));
    told.push(("caution", caution_words(tables, &row.cautions)));
    told.push(("note", row.note.clone()));
    told.push(("source", sourced(&row.source, &row.as_of)));
    told
}

fn safety_word(class: SafetyClass) -> &'static str {
    match class {
        SafetyClass::Brakes => "brakes",
        SafetyClass::Steering => "steering",
        SafetyClass::Restraints => "air bags and belts",
        SafetyClass::Fuel => "fuel",
        SafetyClass::Structure => "structure",
        SafetyClass::Refrigerant => "refrigerant",
        SafetyClass::HighVoltage => "high voltage",
        SafetyClass::Springs => "springs under load",
    }
}

/// A caution with its source.
pub(super) fn caution(row: &CautionRow) -> Vec<(&'static str, String)> {
    vec![
        ("caution", row.sentence.clone()),
        ("note", row.note.clone()),
        ("source", sourced(&row.source, &row.as_of)),
    ]
}

/// A tool: what it costs to buy and to hire.
pub(super) fn tool(row: &ToolRow) -> Vec<(&'static str, String)> {
    let price = |range: Option<crate::car::ThreePoint>| {
        range.map_or_else(String::new, |range| {
            words::money_range(range.low(), range.high(), "$")
        })
    };
    vec![
        ("buy", price(row.buy)),
        ("hire", price(row.hire)),
        ("note", row.note.clone()),
        ("source", sourced(&row.source, &row.as_of)),
    ]
}
