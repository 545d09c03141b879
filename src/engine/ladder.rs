//! The best rising offers against a belief: dynamic programming over a grid of prices, then each step moved until nothing gains.

use super::belief::{Acceptance, Belief};

/// Prices among which the offers are sought, dollars.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OfferGrid {
    /// Least offer.
    pub from: f64,
    /// Greatest offer.
    pub to: f64,
    /// Prices tried at first, evenly from one to the other.
    pub points: usize,
    /// Step at which moving them further ends.
    pub finest: f64,
}

/// Rising offers, and what comes of them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ladder {
    /// Offers, rising; empty where no offer gains.
    pub offers: Vec<f64>,
    /// Expected gain, dollars.
    pub gain: f64,
    /// Chance that one of them is taken.
    pub chance: f64,
}

/// What given offers bring, made in turn until one is taken or the seller breaks off (`quit`: chance of that after refusing an offer);
/// a deal gains `value` less the offer.
#[must_use]
pub fn outcome(
    belief: &Belief,
    acceptance: Acceptance,
    quit: &dyn Fn(f64) -> f64,
    value: f64,
    offers: &[f64],
) -> Ladder {
    let mut left: Vec<f64> = belief.chances().to_vec();
    let (mut gain, mut chance) = (0.0, 0.0);
    for offer in offers {
        let stays = 1.0 - quit(*offer).clamp(0.0, 1.0);
        let mut taken = 0.0;
        for (left, takes) in left.iter_mut().zip(belief.answers(*offer, acceptance)) {
            taken += *left * takes;
            *left *= (1.0 - takes) * stays;
        }
        gain += taken * (value - offer);
        chance += taken;
    }
    Ladder {
        offers: offers.to_vec(),
        gain,
        chance,
    }
}

/// The best ladder of at most so many offers. `value` is what the car is worth to the buyer at no price, less the best alternative.
///
/// The programme's state is the last refused offer (a refusal of a higher one says all that a refusal of a lower one said; exact for a
/// sharp seller, near for a soft one); the offers are then moved with the whole history reckoned.
#[must_use]
pub fn best_ladder(
    belief: &Belief,
    acceptance: Acceptance,
    quit: &dyn Fn(f64) -> f64,
    value: f64,
    grid: &OfferGrid,
    offers: usize,
) -> Ladder {
    // The comparison is written so that a bound that is no number ends here too.
    let sound = grid.from <= grid.to && value.is_finite();
    if !sound || offers == 0 {
        return Ladder::default();
    }
    let prices = prices(grid);
    let start = programme(belief, acceptance, quit, value, &prices, offers);
    if start.is_empty() {
        return Ladder::default();
    }
    moved(&start, grid, prices.len(), &|offers| {
        outcome(belief, acceptance, quit, value, offers)
    })
}

#[expect(clippy::cast_precision_loss, reason = "a few hundred points")]
fn prices(grid: &OfferGrid) -> Vec<f64> {
    let steps = grid.points.max(2) - 1;
    (0..=steps)
        .map(|at| {
            let share = at as f64 / steps as f64;
            // Written so that the last price is the end to the last bit.
            grid.from * (1.0 - share) + grid.to * share
        })
        .collect()
}

/// The programme over the grid. Row 0 of `taken` is "nothing refused yet", row i + 1 "price i refused"; its columns are the next price.
fn programme(
    belief: &Belief,
    acceptance: Acceptance,
    quit: &dyn Fn(f64) -> f64,
    value: f64,
    prices: &[f64],
    offers: usize,
) -> Vec<f64> {
    let count = prices.len();
    let answers: Vec<Vec<f64>> = prices
        .iter()
        .map(|price| belief.answers(*price, acceptance).collect())
        .collect();
    let mut left: Vec<Vec<f64>> = vec![belief.chances().to_vec()];
    left.extend(answers.iter().map(|takes| {
        let refused = takes.iter().zip(belief.chances());
        refused
            .map(|(takes, chance)| (1.0 - takes) * chance)
            .collect()
    }));
    let gains: Vec<Vec<f64>> = left
        .iter()
        .enumerate()
        .map(|(row, left)| {
            let next = prices.iter().zip(&answers).skip(row);
            next.map(|(price, takes)| (value - price) * dot(left, takes))
                .collect()
        })
        .collect();
    let stays: Vec<f64> = prices
        .iter()
        .map(|p| 1.0 - quit(*p).clamp(0.0, 1.0))
        .collect();
    let mut best = vec![0.0; count + 1];
    let mut choices: Vec<Vec<Option<usize>>> = Vec::new();
    for _ in 0..offers {
        let mut now = vec![0.0; count + 1];
        let mut choice = vec![None; count + 1];
        for (row, gains) in gains.iter().enumerate() {
            for (gain, at) in gains.iter().zip(row..) {
                let total = gain + stays[at] * best[at + 1];
                if total > now[row] {
                    now[row] = total;
                    choice[row] = Some(at);
                }
            }
        }
        best = now;
        choices.push(choice);
    }
    let mut row = 0;
    let mut chosen = Vec::new();
    for choice in choices.iter().rev() {
        let Some(at) = choice[row] else { break };
        chosen.push(prices[at]);
        row = at + 1;
    }
    chosen
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Moves each offer up and down, by half the grid's spacing and ever less, as long as something gains; the order is kept.
#[expect(clippy::cast_precision_loss, reason = "a few hundred points")]
fn moved(
    start: &[f64],
    grid: &OfferGrid,
    points: usize,
    outcome: &dyn Fn(&[f64]) -> Ladder,
) -> Ladder {
    const MOST_SWEEPS: usize = 400;
    let mut best = outcome(start);
    let mut step = (grid.to - grid.from) / (points.max(2) - 1) as f64;
    let finest = grid.finest.max(1e-9 * (1.0 + grid.to.abs()));
    let mut sweeps = 0;
    while step > finest && sweeps < MOST_SWEEPS {
        step = (0.5 * step).max(finest);
        let mut gained = true;
        while gained && sweeps < MOST_SWEEPS {
            gained = false;
            sweeps += 1;
            for at in 0..best.offers.len() {
                for by in [step, -step] {
                    let mut tried = best.offers.clone();
                    let least = if at == 0 { grid.from } else { tried[at - 1] };
                    let most = tried.get(at + 1).copied().unwrap_or(grid.to);
                    tried[at] = (tried[at] + by).clamp(least, most);
                    let tried = outcome(&tried);
                    if tried.gain > best.gain * (1.0 + 1e-12) {
                        best = tried;
                        gained = true;
                    }
                }
            }
        }
    }
    best
}
