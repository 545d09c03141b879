//! What makes the car unsafe, told to the seller whether or not there is a deal.

use super::{Ground, Part, Statement};
use crate::report::proven::Proven;

/// One sentence a finding that can hurt somebody, and one that says why it is told.
pub(super) fn notice(proven: &[Proven<'_>]) -> Vec<Statement> {
    proven
        .iter()
        .filter(|one| one.is_unsafe())
        .map(|one| Statement {
            part: Part::Notice,
            words: format!(
                "Whatever becomes of the sale, for your safety ({}): I would not drive it before a licensed garage has looked at that.",
                one.found
            ),
            ground: Ground {
                id: one.id(),
                words: one.when.clone(),
            },
        })
        .collect()
}
