//! temporary
use super::weighing::{MoneyColumns, Weighing};
pub(crate) fn rules_prices(_w: &Weighing<'_>, _m: &MoneyColumns) -> Option<(f64, f64)> { None }
