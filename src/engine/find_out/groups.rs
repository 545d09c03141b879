//! The order of checks: those that settle one sign on file stand together, in walking order; groups by the best check in them.

use std::cmp::Ordering;
use std::collections::BTreeMap;

/// Differences under this are ties, dollars.
const TIE: f64 = 2.0;

/// A check that could move the limit by less than this has no question to share where nothing pays, dollars.
const IDLE: f64 = 10.0;

/// What a check's place depends on.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ranked {
    /// The sign that it settles, if any.
    pub group: Option<usize>,
    /// Places of checks still open that come before it, for without them its answer means little.
    pub first: Vec<usize>,
    /// Stage and order of the walk.
    pub walking: (usize, u32),
    pub net: f64,
    /// Value and proof.
    pub value: f64,
    pub most: f64,
}

/// Places of the checks, the best first, each with the group it stands in, if any.
pub(super) fn order(checks: &[Ranked]) -> Vec<(usize, Option<usize>)> {
    let homes = homes(checks);
    let mut groups: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
    for (at, home) in homes.iter().enumerate() {
        let key = home.map_or((1, at), |group| (0, group));
        groups.entry(key).or_default().push(at);
    }
    let mut groups: Vec<Vec<usize>> = groups.into_values().collect();
    for group in &mut groups {
        group.sort_by_key(|at| (checks[*at].walking, *at));
    }
    let best = |group: &Vec<usize>| {
        let members = group.iter().map(|at| &checks[*at]);
        members.max_by(|a, b| better(a, b))
    };
    groups.sort_by(|a, b| match (best(a), best(b)) {
        (Some(one), Some(other)) => better(other, one),
        _ => Ordering::Equal,
    });
    let placed = groups.into_iter().flatten();
    placed.map(|at| (at, homes[at])).collect()
}

/// The group of each check. A check that pays for itself goes with its question, and what must be done first goes with it; one that does
/// not stands alone at its own figure.
fn homes(checks: &[Ranked]) -> Vec<Option<usize>> {
    let pays_now = |check: &Ranked| check.net > 0.0 && check.value >= TIE;
    // Where nothing is worth its time at the price, the questions stand in the order of what they could move.
    let idle = !checks.iter().any(pays_now);
    let pays =
        |check: &Ranked| pays_now(check) || (idle && check.net > f64::MIN && check.most >= IDLE);
    let mut homes: Vec<Option<usize>> = checks
        .iter()
        .map(|check| check.group.filter(|_| pays(check)))
        .collect();
    for check in checks.iter().filter(|check| pays(check)) {
        for before in &check.first {
            if let (Some(group), Some(home)) = (check.group, homes.get_mut(*before)) {
                // What leads to a test belongs where the test belongs, whatever else it would settle by itself.
                *home = Some(group);
            }
        }
    }
    homes
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

#[cfg(test)]
mod tests {
    use super::*;

    fn check(group: Option<usize>, first: &[usize], walking: usize, net: f64) -> Ranked {
        Ranked {
            group,
            first: first.to_vec(),
            walking: (walking, 0),
            net,
            value: net.max(0.0),
            most: net.abs(),
        }
    }

    #[test]
    fn what_comes_first_goes_with_the_check_that_needs_it_though_it_is_worth_nothing_itself() {
        let checks = [
            check(None, &[], 1, 40.0),
            check(Some(3), &[2, 3], 9, 90.0),
            check(None, &[], 2, -0.1),
            check(Some(3), &[], 4, 0.0),
            check(Some(3), &[], 8, 10.0),
        ];
        let placed = order(&checks);
        let places: Vec<usize> = placed.iter().map(|one| one.0).collect();
        assert_eq!(places, [2, 3, 4, 1, 0]);
        assert_eq!(placed[0].1, Some(3));
        assert_eq!(placed[4].1, None);
    }

    #[test]
    fn a_test_that_does_not_pay_brings_nothing_with_it() {
        let checks = [
            check(Some(3), &[1], 9, -5.0),
            check(None, &[], 2, 0.0),
            check(None, &[], 2, 40.0),
        ];
        assert!(order(&checks).iter().all(|one| one.1.is_none()));
    }
}
