//! House rules of a capped event: the highest price that keeps the counted money inside the cap, and the penalty for going over.

use super::amounts::dollars;
use super::curve::Curve;
use super::luck::{LANES, Luck, StableId, Threshold};
use super::pert::QuantileTable;
use crate::car::{HouseRules, ThreePoint};
use crate::trade::settings::LimitSettings;

/// A part to be sold off so that its money counts back.
#[derive(Debug, Clone, PartialEq)]
pub struct Sale {
    /// Id, the address of its luck.
    pub id: String,
    /// Price, dollars.
    pub price: ThreePoint,
}

/// Penalty steps for so much counted money, dollars: full steps over the cap, or started ones where the rules count them; never under zero.
/// Where the penalty step is nothing, anything over the cap is past all steps.
#[must_use]
pub fn penalty_steps(rules: &HouseRules, counted: f64) -> u32 {
    let over = counted - dollars(rules.cap);
    let step = dollars(rules.penalty_step);
    // Written so that a sum that is no number costs nothing.
    let costs = over > 0.0;
    if !costs {
        return 0;
    }
    if step <= 0.0 {
        return u32::MAX;
    }
    // Sums of cents in floating dollars: a hair over a whole step is that step.
    let steps = over / step;
    let whole = if rules.started_steps_count {
        libm::ceil(steps - 1e-9)
    } else {
        libm::floor(steps + 1e-9)
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped"
    )]
    let steps = whole.clamp(0.0, f64::from(u32::MAX)) as u32;
    steps
}

/// The two lines of the house rules over the price, dollars: hopeful, cautious.
///
/// Hopeful: cap and accepted steps, every sale at its likely price, less the counted cost already known. Cautious: the middle over the
/// draws of the same with every counted cost of the draw (seen or not), each sale at its three points and falling through with its chance.
/// `counted_per_draw` holds all counted money of a draw but the price: work, fit-out, what is spent; exempt classes left out.
/// Without draws the cautious line has no sale and the known cost.
#[must_use]
pub fn rules_lines(
    rules: &HouseRules,
    counted_known: f64,
    counted_per_draw: &[f64],
    sales: &[Sale],
    luck: Luck,
    table: &QuantileTable,
    settings: &LimitSettings,
) -> (f64, f64) {
    let room = dollars(rules.cap) + f64::from(rules.accepted_steps) * dollars(rules.penalty_step);
    let sales = if rules.sales_count_back { sales } else { &[] };
    let likely: f64 = sales.iter().map(|sale| sale.price.likely()).sum();
    let hopeful = room + likely - counted_known;
    let mut lines: Vec<f64> = counted_per_draw
        .iter()
        .map(|counted| room - counted)
        .collect();
    for sale in sales {
        let id = |what| StableId::of(&["sale", &sale.id, what]);
        let (falls, price) = (id("falls through"), id("price"));
        let falls_through = Threshold::of(settings.sale_falls_through);
        let prices = Curve::of(&[(sale.price, 1.0)], table);
        for (turn, lines) in (0u32..).zip(lines.chunks_mut(LANES)) {
            let lost = luck.under(falls, turn, falls_through);
            for (lane, (line, price)) in lines.iter_mut().zip(luck.bytes(price, turn)).enumerate() {
                if lost >> lane & 1 == 0 {
                    *line += prices.at(price);
                }
            }
        }
    }
    (hopeful, middle(&mut lines).unwrap_or(room - counted_known))
}

/// The value in the middle, or the mean of the two there.
fn middle(values: &mut [f64]) -> Option<f64> {
    let count = values.len();
    let half = count / 2;
    if count == 0 {
        return None;
    }
    let (under, upper, _) = values.select_nth_unstable_by(half, f64::total_cmp);
    let upper = *upper;
    if count % 2 == 1 {
        return Some(upper);
    }
    let lower = under.iter().copied().fold(f64::MIN, f64::max);
    Some(0.5 * (lower + upper))
}
