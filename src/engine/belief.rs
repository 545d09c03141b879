//! What we believe of the lowest price a seller would take: a spread of chances over even cells of price, moved by what they answer.

/// How a seller answers an offer, given their lowest price.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Acceptance {
    /// Width of the logistic, dollars; 0 is a sharp step at the lowest price.
    pub width: f64,
    /// An offer from here on is surely taken: the figure they named themselves. Infinite where there is none.
    pub certain_from: f64,
}

impl Acceptance {
    /// A seller who takes every offer at or over the lowest price and no other.
    pub const SHARP: Self = Self {
        width: 0.0,
        certain_from: f64::INFINITY,
    };

    /// Chance that an offer is taken by a seller whose lowest price lies in the cell of this middle and this width.
    fn chance(&self, offer: f64, lowest: f64, cell: f64) -> f64 {
        if offer >= self.certain_from {
            1.0
        } else if self.width > 0.0 {
            logistic((offer - lowest) / self.width)
        } else {
            ((offer - lowest) / cell + 0.5).clamp(0.0, 1.0)
        }
    }
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + libm::exp(-x))
}

/// Chances over the seller's lowest price, in even cells.
#[derive(Debug, Clone, PartialEq)]
pub struct Belief {
    from: f64,
    cell: f64,
    chances: Vec<f64>,
}

impl Belief {
    /// From any distribution function (up to an added number and a factor) over `from..to` dollars, in this many cells; what lies outside
    /// is left out.
    #[must_use]
    pub fn from_cdf(from: f64, to: f64, cells: usize, cdf: impl Fn(f64) -> f64) -> Self {
        let edges = Edges::new(from, to, cells);
        let mut under = cdf(edges.at(0));
        let chances = (1..=edges.cells)
            .map(|at| {
                let next = cdf(edges.at(at));
                let chance = (next - under).max(0.0);
                under = next;
                chance
            })
            .collect();
        edges.belief(chances)
    }

    /// Middles of the cells, dollars, rising, with the chance of each.
    pub fn cells(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let first = self.from + 0.5 * self.cell;
        let mut at = 0.0;
        self.chances.iter().map(move |chance| {
            let middle = first + at * self.cell;
            at += 1.0;
            (middle, *chance)
        })
    }

    /// Mean of their lowest price, dollars.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.cells().map(|(price, chance)| price * chance).sum()
    }

    /// Chance that an offer is taken.
    #[must_use]
    pub fn takes(&self, offer: f64, acceptance: Acceptance) -> f64 {
        self.answers(offer, acceptance)
            .zip(&self.chances)
            .map(|(takes, chance)| takes * chance)
            .sum()
    }

    /// Chance that an offer is taken in each cell.
    pub(crate) fn answers(
        &self,
        offer: f64,
        acceptance: Acceptance,
    ) -> impl Iterator<Item = f64> + '_ {
        self.cells()
            .map(move |(lowest, _)| acceptance.chance(offer, lowest, self.cell))
    }

    /// Chances of the cells alone.
    pub(crate) fn chances(&self) -> &[f64] {
        &self.chances
    }

    /// After they refused an offer: a lean, no wall, unless the acceptance is sharp.
    #[must_use]
    pub fn refused(&self, offer: f64, acceptance: Acceptance) -> Self {
        let factors = self
            .answers(offer, acceptance)
            .map(|takes| 1.0 - takes)
            .collect();
        self.weighed(factors)
    }

    /// After they named a figure: they would take it, and it stands between their lowest price and so much over it
    /// (`greatest_markup`, a share of the lowest price, any markup up to it alike; infinite: any figure over the lowest price).
    /// Edges as soft as the width, dollars; 0 is sharp.
    #[must_use]
    pub fn named(&self, figure: f64, greatest_markup: f64, width: f64) -> Self {
        let edge = Acceptance {
            width,
            certain_from: f64::INFINITY,
        };
        let least = figure / (1.0 + greatest_markup);
        let factors = self
            .cells()
            .map(|(lowest, _)| {
                let under = edge.chance(figure, lowest, self.cell);
                if greatest_markup.is_finite() {
                    let over = 1.0 - edge.chance(least, lowest, self.cell);
                    under * over * figure / lowest
                } else {
                    under
                }
            })
            .collect();
        self.weighed(factors)
    }

    /// Weighed anew; an answer that this belief holds impossible leaves it as it was.
    fn weighed(&self, factors: Vec<f64>) -> Self {
        let mut chances = factors;
        for (factor, chance) in chances.iter_mut().zip(&self.chances) {
            *factor *= chance;
        }
        let total: f64 = chances.iter().sum();
        if !(total > 1e-12 && total.is_finite()) {
            return self.clone();
        }
        for chance in &mut chances {
            *chance /= total;
        }
        Self { chances, ..*self }
    }

    /// Density at the middle of each cell over its greatest, with the first and the last middle, dollars: as drawn.
    #[must_use]
    pub fn hill(&self) -> (f64, f64, Vec<f64>) {
        let greatest = self
            .chances
            .iter()
            .copied()
            .fold(f64::MIN_POSITIVE, f64::max);
        let first = self.from + 0.5 * self.cell;
        let last = self.cells().last().map_or(first, |(price, _)| price);
        (
            first,
            last,
            self.chances
                .iter()
                .map(|chance| chance / greatest)
                .collect(),
        )
    }
}

struct Edges {
    from: f64,
    width: f64,
    cells: usize,
}

impl Edges {
    fn new(from: f64, to: f64, cells: usize) -> Self {
        let cells = cells.max(1);
        let width = (to - from).max(1e-6);
        Self { from, width, cells }
    }

    #[expect(clippy::cast_precision_loss, reason = "a few thousand cells")]
    fn at(&self, edge: usize) -> f64 {
        self.from + self.width * (edge as f64 / self.cells as f64)
    }

    #[expect(clippy::cast_precision_loss, reason = "a few thousand cells")]
    fn belief(self, mut chances: Vec<f64>) -> Belief {
        let total: f64 = chances.iter().sum();
        let even = 1.0 / self.cells as f64;
        for chance in &mut chances {
            *chance = if total > 0.0 { *chance / total } else { even };
        }
        Belief {
            from: self.from,
            cell: self.width / self.cells as f64,
            chances,
        }
    }
}
