//! The cost ladder: rungs folded to the rows there are, rounded so that they still add up, and where their strokes hang.

use super::cell_of;
use crate::engine::{Rung, RungKind, TraceId};
use crate::tui::say;

/// One rung as shown.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Label.
    pub label: String,
    /// Amount, signed, in dollars; the total on the first and on the last.
    pub amount: f64,
    /// Total before it.
    pub from: f64,
    /// Total after it.
    pub to: f64,
    /// Stroke.
    pub kind: RungKind,
    /// What opens it; for a joined rung `joined/` and its kind.
    pub trace_id: TraceId,
    /// The rungs that were joined into it; none for a rung of its own.
    pub joined: Vec<TraceId>,
}

/// A rung, and those joined into it.
struct Folded {
    rung: Rung,
    joined: Vec<TraceId>,
}

/// The steps of a ladder: the mean room leaves, and as many small rungs are joined as it takes to fit the rows.
///
/// Shown totals are rounded to 5s, each rung is the difference of two shown totals: so the rungs always add up.
#[must_use]
pub fn steps(rungs: &[Rung], rows: usize) -> Vec<Step> {
    let shown: Vec<Folded> = rungs
        .iter()
        .filter(|rung| rung.kind != RungKind::Room)
        .map(|rung| Folded {
            rung: rung.clone(),
            joined: Vec::new(),
        })
        .collect();
    let folded = fold(shown, rows.max(4));
    let mut exact = 0.0;
    let mut total = 0.0;
    let last = folded.len();
    folded
        .into_iter()
        .enumerate()
        .map(|(at, Folded { rung, joined })| {
            let cash = say::to_f64(rung.cash);
            let from = total;
            match rung.kind {
                RungKind::Worth | RungKind::Limit => exact = cash,
                _ => exact += cash,
            }
            // The rung before the limit takes what rounding left over.
            total = match rungs.last() {
                Some(limit) if limit.kind == RungKind::Limit && at + 2 >= last => {
                    say::to_f64(limit.cash)
                }
                _ => say::fives(exact),
            };
            let amount = match rung.kind {
                RungKind::Worth | RungKind::Limit => total,
                _ => total - from,
            };
            Step {
                label: rung.label,
                amount,
                from,
                to: total,
                kind: rung.kind,
                trace_id: rung.trace_id,
                joined,
            }
        })
        .collect()
}

/// Joins rungs of one kind, the smallest first, until they fit.
fn fold(mut rungs: Vec<Folded>, rows: usize) -> Vec<Folded> {
    for kind in [
        RungKind::Likely,
        RungKind::Seen,
        RungKind::Right,
        RungKind::Rule,
        RungKind::Lift,
        RungKind::Unseen,
    ] {
        if rungs.len() <= rows {
            break;
        }
        let many = rungs.iter().filter(|known| known.rung.kind == kind).count();
        if many < 2 {
            continue;
        }
        let over = rungs.len() - rows;
        join_smallest(&mut rungs, kind, (over + 1).min(many));
    }
    rungs
}

/// Joins the `count` smallest rungs of a kind into one, at the place of the last of the kind.
fn join_smallest(rungs: &mut Vec<Folded>, kind: RungKind, count: usize) {
    let mut places: Vec<usize> = (0..rungs.len())
        .filter(|at| rungs[*at].rung.kind == kind)
        .collect();
    let all = places.len() == count;
    let Some(last_place) = places.last().copied() else {
        return;
    };
    places.sort_by_key(|at| {
        let cash = rungs[*at].rung.cash;
        // What the engine joined already goes first, so that two rungs of leftovers never stand side by side.
        let joined = rungs[*at].rung.label.contains(" more, ");
        (!joined, if cash.is_negative() { -cash } else { cash }, *at)
    });
    places.truncate(count);
    places.sort_unstable();
    let cash = places.iter().map(|at| rungs[*at].rung.cash).sum();
    let id = format!("joined/{kind:?}");
    let joined = Folded {
        rung: Rung {
            id: id.clone(),
            label: joined_label(kind, all),
            cash,
            kind,
            trace_id: id,
        },
        joined: places
            .iter()
            .map(|at| rungs[*at].rung.trace_id.clone())
            .collect(),
    };
    let before = places.iter().filter(|at| **at <= last_place).count();
    for at in places.iter().rev() {
        rungs.remove(*at);
    }
    let place = (last_place + 1).saturating_sub(before).min(rungs.len());
    rungs.insert(place, joined);
}

fn joined_label(kind: RungKind, all: bool) -> String {
    match (kind, all) {
        (RungKind::Likely, true) => "likely, together".to_owned(),
        (RungKind::Likely, false) => "the rest, likely".to_owned(),
        (RungKind::Seen, true) => "found and seen".to_owned(),
        (RungKind::Seen, false) => "the rest, seen".to_owned(),
        (RungKind::Rule, true) => "fees, margin, lived with".to_owned(),
        (RungKind::Rule, false) => "the rest, by rule".to_owned(),
        (RungKind::Right, _) => "being right, tax, rounding".to_owned(),
        (RungKind::Lift, _) => "what lifts it".to_owned(),
        _ => "not seen".to_owned(),
    }
}

/// Cells of a stroke: first cell and length, never under one cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stroke {
    /// First cell.
    pub at: usize,
    /// Cells.
    pub cells: usize,
}

/// Strokes that hang one under the other on a scale; the first and the last step are marks, not strokes.
#[must_use]
pub fn hang(steps: &[Step], least: f64, greatest: f64, width: usize) -> Vec<Stroke> {
    steps
        .iter()
        .map(|step| {
            let (from, to) = match step.kind {
                RungKind::Worth | RungKind::Limit => (step.to, step.to),
                _ => (step.from, step.to),
            };
            let from = cell_of(from, least, greatest, width);
            let to = cell_of(to, least, greatest, width);
            Stroke {
                at: from.min(to),
                cells: from.abs_diff(to).max(1),
            }
        })
        .collect()
}

/// Length of a stroke that starts at the left: one cell a step of the amount, never under one cell.
#[must_use]
pub fn flat(step: &Step, per_cell: f64, most: usize) -> usize {
    if matches!(step.kind, RungKind::Worth | RungKind::Limit) || per_cell <= 0.0 {
        return 0;
    }
    super::to_cell((step.amount.abs() / per_cell).round()).clamp(1, most.max(1))
}

/// Dollars a cell for strokes from the left: 50, or a sixth of the greatest.
#[must_use]
pub fn per_cell(steps: &[Step]) -> f64 {
    let greatest = steps
        .iter()
        .filter(|step| !matches!(step.kind, RungKind::Worth | RungKind::Limit))
        .map(|step| step.amount.abs())
        .fold(0.0, f64::max);
    (greatest / 6.0).max(50.0)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::expect_used)]
    use super::*;
    use crate::car::Money;
    use proptest::prelude::*;

    fn rung(kind: RungKind, cents: i64) -> Rung {
        Rung {
            id: format!("{kind:?}"),
            label: format!("{kind:?}"),
            cash: Money::from_decimal(rust_decimal::Decimal::new(cents, 2)),
            kind,
            trace_id: "x".to_owned(),
        }
    }

    /// A ladder as the engine gives it: means to the cent down to the room, then down to a rounded limit.
    fn any_ladder() -> impl Strategy<Value = Vec<Rung>> {
        let amounts = proptest::collection::vec((0_usize..5, -60_000_i64..0), 0..30);
        (200_000_i64..900_000, amounts, -50_000_i64..0).prop_map(|(worth, amounts, right)| {
            let kinds = [
                RungKind::Seen,
                RungKind::Likely,
                RungKind::Unseen,
                RungKind::Rule,
                RungKind::Lift,
            ];
            let mut rungs = vec![rung(RungKind::Worth, worth)];
            let mut total = worth;
            for (kind, cents) in amounts {
                let cents = if kinds[kind] == RungKind::Lift {
                    -cents
                } else {
                    cents
                };
                total += cents;
                rungs.push(rung(kinds[kind], cents));
            }
            rungs.push(rung(RungKind::Room, total));
            let limit = (total + right).div_euclid(2_500) * 2_500;
            rungs.push(rung(RungKind::Right, limit - total));
            rungs.push(rung(RungKind::Limit, limit));
            rungs
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 10_000, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn on_any_car_the_rungs_add_up_to_the_limit_and_end_in_its_column(ladder in any_ladder(), rows in 4_usize..30, width in 10_usize..90) {
            let steps = steps(&ladder, rows);
            let worth = steps.first().expect("worth").amount;
            let limit = steps.last().expect("limit").amount;
            let middle: f64 = steps[1..steps.len() - 1].iter().map(|step| step.amount).sum();
            prop_assert!((worth + middle - limit).abs() < 1e-6, "{worth} {middle} {limit}");
            let least = steps.iter().map(|step| step.to).fold(f64::INFINITY, f64::min);
            let greatest = steps.iter().map(|step| step.to).fold(f64::NEG_INFINITY, f64::max);
            let strokes = hang(&steps, least, greatest, width);
            let column = cell_of(limit, least, greatest, width);
            let before = &steps[steps.len() - 2];
            let last = strokes[steps.len() - 2];
            let end = if before.amount <= 0.0 { last.at } else { last.at + last.cells };
            prop_assert!(steps.len() < 3 || end == column || last.cells == 1);
            prop_assert!(strokes.iter().all(|stroke| stroke.cells >= 1));
        }

        #[test]
        fn joined_rungs_keep_the_sum(ladder in any_ladder(), rows in 4_usize..40) {
            let before: Money = ladder.iter().filter(|rung| rung.kind != RungKind::Room).map(|rung| rung.cash).sum();
            let kept: Vec<Folded> = ladder
                .into_iter()
                .filter(|rung| rung.kind != RungKind::Room)
                .map(|rung| Folded { rung, joined: Vec::new() })
                .collect();
            let after: Money = fold(kept, rows).iter().map(|folded| folded.rung.cash).sum();
            prop_assert_eq!(before, after);
        }
    }
}
