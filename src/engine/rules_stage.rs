//! What the house rules allow for this car: counted money of every draw, and what may be sold off.

use super::draws::mean;
use super::hazard::share_that_applies;
use super::house_rules::{Sale, rules_lines};
use super::luck::Luck;
use super::weighing::{MoneyColumns, Weighing};

/// The hopeful and the cautious price under the house rules; `None` where the purpose has none.
pub(crate) fn rules_prices(weighing: &Weighing<'_>, columns: &MoneyColumns) -> Option<(f64, f64)> {
    let rules = weighing.house_rules()?;
    let tables = weighing.knowledge.tables();
    let counted_fit_out = columns.fit_out.counted.mean();
    let counted: Vec<f64> = weighing
        .columns
        .counted_cash
        .iter()
        .map(|cash| cash + counted_fit_out)
        .collect();
    // Known: what is seen or likely, at its mean; the unseen is the cautious line's.
    let known = (mean(&counted) - mean(&weighing.columns.unseen_cash)).max(0.0);
    let (hopeful, cautious) = rules_lines(
        rules,
        known,
        &counted,
        &sales(weighing),
        Luck::new(weighing.run.seed),
        weighing.knowledge.quantiles(),
        &tables.settings.limit,
    );
    Some((hopeful, cautious))
}

/// Parts that this car can spare: not restricted by law, not needed on the road, tied to no safety item, not spoiled by a likely fault.
fn sales(weighing: &Weighing<'_>) -> Vec<Sale> {
    let tables = weighing.knowledge.tables();
    let settings = &tables.settings.diagnosis;
    let spoiled = |id: &String| {
        weighing
            .diagnosis
            .faults
            .iter()
            .any(|fault| fault.id == *id && fault.chance >= 0.5)
    };
    tables
        .sellables
        .iter()
        .filter(|row| !row.restricted && !row.needed_on_road && row.tied_to.is_empty())
        .filter(|row| {
            share_that_applies(&row.applies_if, &weighing.car.particulars, settings) >= 1.0
        })
        .filter(|row| !row.spoiled_by.iter().any(spoiled))
        .map(|row| Sale {
            id: row.id.clone(),
            price: row.price,
        })
        .collect()
}
