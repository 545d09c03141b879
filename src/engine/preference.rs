//! Which car comes first by cheap, reliable and fast under given weights, and how often each takes each rank when the weights are not known.
//!
//! Stochastic multicriteria acceptability analysis (Lahdelma, Hokkanen & Salminen 1998; SMAA-2, Lahdelma & Salminen 2001), done exactly:
//! all weights equally likely, the triangle of weights is cut along the lines of equal score, and the areas are summed. The scores are the
//! chances themselves, on their fixed scale from 0 to 1, so that another car never reorders the rest.

mod cells;

use super::figures::ThreeChances;
use super::triangle::Shares;
use serde::Serialize;

/// A corner of the triangle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Corner {
    /// Cheap.
    Cheap,
    /// Reliable.
    Reliable,
    /// Fast.
    Fast,
}

impl Corner {
    /// All three, in the order spoken.
    pub const ALL: [Self; 3] = [Self::Cheap, Self::Reliable, Self::Fast];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Cheap => "cheap",
            Self::Reliable => "reliable",
            Self::Fast => "fast",
        }
    }
}

/// One car under weights.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Preferred {
    /// Its chances by the weights given; `None` for a car that is not ranked.
    pub score: Option<f64>,
    /// Share of all weights under which it is first, second and so on; ties are shared. Empty for a car that is not ranked.
    pub ranks: Vec<f64>,
    /// The mean of the weights that put it first.
    pub central: Option<Shares>,
}

/// The least change of one corner's weight, the other two keeping their proportion, that puts another car first.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Flip {
    /// Corner.
    pub corner: Corner,
    /// Its weight now.
    pub from: f64,
    /// Its weight from which on the order is another.
    pub to: f64,
    /// First now.
    pub first: usize,
    /// First beyond that weight.
    pub then: usize,
}

/// Cars in the order of what matters to the buyer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Preference {
    /// The weights, as shares of the corners that are in play.
    pub weights: Shares,
    /// Corners whose chance is known for every car that is ranked; the others count for nothing.
    pub corners: Vec<Corner>,
    /// By car.
    pub cars: Vec<Preferred>,
    /// Ranked cars, the best first.
    pub order: Vec<usize>,
    /// What would put another car first.
    pub flip: Option<Flip>,
}

/// Even weights.
pub const EVEN: Shares = Shares {
    cheap: 1.0 / 3.0,
    fast: 1.0 / 3.0,
    reliable: 1.0 / 3.0,
};

/// Under this two scores are a tie.
const TIE: f64 = 1e-12;

/// In the order of [`Corner::ALL`].
type Three = [f64; 3];

fn three(shares: Shares) -> Three {
    [shares.cheap, shares.reliable, shares.fast]
}

fn shares([cheap, reliable, fast]: Three) -> Shares {
    Shares {
        cheap,
        fast,
        reliable,
    }
}

/// Puts cars in order by weights; `None` stands for a car that is not to be ranked, such as one with a stop. Weights are brought inside
/// the triangle first. A corner that is unknown for a ranked car is out of play for all, never a nought.
#[must_use]
pub fn preference(cars: &[Option<ThreeChances>], weights: Shares) -> Preference {
    let known = |corner: usize| {
        cars.iter().flatten().all(|chances| {
            let all = [chances.cheap, chances.reliable, chances.fast];
            all[corner].is_some_and(f64::is_finite)
        })
    };
    let ranked = cars.iter().any(Option::is_some);
    let in_play: [bool; 3] = [0, 1, 2].map(|corner| ranked && known(corner));
    let weights = within(three(weights.brought_inside()), in_play);
    let anything = in_play.contains(&true);
    let rows: Vec<Option<Three>> = cars
        .iter()
        .map(|chances| {
            let chances = chances.as_ref().filter(|_| anything)?;
            let all = [chances.cheap, chances.reliable, chances.fast];
            // A corner out of play is the same for all: it cuts nothing.
            Some(
                [0, 1, 2].map(|corner| match (in_play[corner], all[corner]) {
                    (true, Some(chance)) => chance,
                    _ => 0.0,
                }),
            )
        })
        .collect();
    let ranks = cells::ranks(&rows);
    let scores: Vec<Option<f64>> = rows
        .iter()
        .map(|row| row.as_ref().map(|row| score(row, &weights)))
        .collect();
    let mut order: Vec<usize> = (0..rows.len()).filter(|at| rows[*at].is_some()).collect();
    order.sort_by(|a, b| {
        let (one, other) = (scores[*a].unwrap_or(0.0), scores[*b].unwrap_or(0.0));
        other.total_cmp(&one).then(a.cmp(b))
    });
    Preference {
        weights: shares(weights),
        corners: (Corner::ALL.into_iter().zip(in_play))
            .filter_map(|(corner, there)| there.then_some(corner))
            .collect(),
        flip: flip(&rows, &order, &weights, in_play),
        cars: scores
            .into_iter()
            .zip(ranks)
            .map(|(score, ranks)| Preferred {
                score,
                central: ranks.central.map(|center| shares(within(center, in_play))),
                ranks: ranks.shares,
            })
            .collect(),
        order,
    }
}

/// Weights on the corners in play alone, adding up to 1; even where nothing is left.
fn within(weights: Three, in_play: [bool; 3]) -> Three {
    let kept = [0, 1, 2].map(|at| if in_play[at] { weights[at] } else { 0.0 });
    let sum: f64 = kept.iter().sum();
    if sum > TIE {
        return kept.map(|weight| weight / sum);
    }
    let count: f64 = in_play.iter().map(|there| f64::from(*there)).sum();
    in_play.map(|there| f64::from(there) / count.max(1.0))
}

fn score(row: &Three, weights: &Three) -> f64 {
    row.iter()
        .zip(weights)
        .map(|(chance, weight)| chance * weight)
        .sum()
}

/// Along each corner's weight t the score is a line, `t x_corner + (1 - t) x_others`; the nearest crossing with the first car's line is the
/// flip: t* = (s1 - s2) / (d · (x2 - x1)) away.
fn flip(
    rows: &[Option<Three>],
    order: &[usize],
    weights: &Three,
    in_play: [bool; 3],
) -> Option<Flip> {
    let first = *order.first()?;
    let best = rows.get(first)?.as_ref()?;
    let mut nearest: Option<Flip> = None;
    for (at, corner) in Corner::ALL.into_iter().enumerate() {
        let mut others = in_play;
        others[at] = false;
        if !in_play[at] || !others.contains(&true) {
            continue;
        }
        let rest = within(*weights, others);
        for (other, row) in rows.iter().enumerate() {
            let Some(row) = row.as_ref().filter(|_| other != first) else {
                continue;
            };
            // How far the other is ahead with none of the weight on this corner, and with all of it.
            let (none, all) = (score(row, &rest) - score(best, &rest), row[at] - best[at]);
            let slope = all - none;
            let to = -none / slope;
            if slope.abs() < TIE || !(1e-9..=1.0 - 1e-9).contains(&to) {
                continue;
            }
            let from = weights[at];
            let found = Flip {
                corner,
                from,
                to,
                first,
                then: other,
            };
            if nearest.is_none_or(|known| (to - from).abs() < (known.to - known.from).abs() - TIE) {
                nearest = Some(found);
            }
        }
    }
    nearest
}
