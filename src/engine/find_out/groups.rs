//! The order of checks: those that settle one sign on file stand together, in walking order; groups by the best check in them.

use std::cmp::Ordering;
use std::collections::BTreeMap;

/// Differences under this are ties, dollars.
const TIE: f64 = 2.0;

/// What a check's place depends on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ranked {
    /// The sign that it settles, if any.
    pub group: Option<usize>,
    /// Stage and order of the walk.
    pub walking: (usize, u32),
    pub net: f64,
    /// Value and proof.
    pub value: f64,
    pub most: f64,
}

/// Places of the checks, the best first.
pub(super) fn order(checks: &[Ranked]) -> Vec<usize> {
    let mut groups: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
    for (at, check) in checks.iter().enumerate() {
        // A check that pays for itself goes with its question; one that does not stands alone at its own figure.
        let key = match check.group {
            Some(group) if check.net > 0.0 && check.value >= TIE => (0, group),
            _ => (1, at),
        };
        groups.entry(key).or_default().push(at);
    }
    let mut groups: Vec<Vec<usize>> = groups.into_values().collect();
    for group in &mut groups {
        group.sort_by_key(|at| (checks[*at].walking, *at));
    }
    let best = |group: &Vec<usize>| {
        group
            .iter()
            .map(|at| &checks[*at])
            .max_by(|a, b| better(a, b))
            .copied()
    };
    groups.sort_by(|a, b| match (best(a), best(b)) {
        (Some(one), Some(other)) => better(&other, &one),
        _ => Ordering::Equal,
    });
    groups.into_iter().flatten().collect()
}

/// By net; where the net is a tie or the value next to nothing, by the most it could be worth. Nets are compared in steps of a tie, so that
/// the order holds throughout.
fn better(one: &Ranked, other: &Ranked) -> Ordering {
    let step = |check: &Ranked| {
        if check.value < TIE && check.net > f64::MIN {
            // Worth nothing at the price: only the most counts.
            f64::MIN_POSITIVE
        } else {
            (check.net / TIE).floor()
        }
    };
    step(one)
        .total_cmp(&step(other))
        .then(one.most.total_cmp(&other.most))
}
