//! What the car would be worth once right: from cars like it, the user's own range, or both. Never from a price list of models.
//!
//! Every comparable is moved to this car's age and miles by one known pair of slopes of log price (or, when all are of this car's
//! model year, by the slope of miles within a year), asked is brought to sold, and center and spread are found as
//! [`shrunk`](super::shrunk) says. The line there runs over "how far apart the known slopes put the two cars", so its slope is 1:
//! never a free line through a handful of cars, never a slope of miles alone beside an age correction.

use super::amounts::dollars;
use super::beta::student_quantile;
use super::normal;
use super::pert::{CLASSIC_LAMBDA, Pert, QuantileTable, UnitGrid};
use super::shrunk::{Level, Point, Prior, level};
use crate::car::{
    Comparable, MoneyRange, Particulars, PriceKind, ThreePoint, WorthBasis, WorthMeans,
};
use crate::trade::settings::WorthSettings;

/// How far a handful of cars may bend the known slopes, as a share of them: not at all. Measured on 90 cars of three models
/// (`tests/engine_worth.rs`): any bend made cars left out worse told, at 3 to 20 comparables.
const SLOPE_SD: f64 = 0.0;
/// A car further off than this many spreads pulls no harder (Huber's usual 1.345 keeps 95 % efficiency on clean data).
const WILD_BEYOND: f64 = 1.345;
/// The tails of Student's t are cut at this chance on either side: beyond it the tails, not the market, would make the price.
const CUT: f64 = 0.001;

/// What worth is reckoned from.
#[derive(Debug, Clone, Copy)]
pub struct WorthInputs<'a> {
    /// This car.
    pub particulars: &'a Particulars,
    /// Own range and comparables.
    pub basis: &'a WorthBasis,
    /// What worth means; for wanted parts, comparables stay out.
    pub means: WorthMeans,
    /// Slopes, spread, discount.
    pub settings: &'a WorthSettings,
    /// Quantiles.
    pub table: &'a QuantileTable,
}

/// A comparable after it was moved to this car.
#[derive(Debug, Clone, PartialEq)]
pub struct MovedComparable {
    /// Its name.
    pub name: String,
    /// Dollars, as if it had this car's age and miles and had sold.
    pub moved_price: f64,
    /// Its share of the level, 0 to 1; the shares of all comparables and of the own range add up to 1.
    pub weight: f64,
    /// What was done to it, in words: `asked, not sold: −5%`, `2 years older: +20%`.
    pub steps: Vec<String>,
}

#[derive(Debug, Clone, PartialEq)]
enum Shape {
    /// The user's range and nothing else.
    Own(Pert),
    /// Student's t in log price.
    Logs,
}

/// Worth as a distribution, dollars.
#[derive(Debug, Clone, PartialEq)]
pub struct Worth {
    /// Logarithm of the middle value.
    pub log_center: f64,
    /// Spread of the logarithm, before the widening for few cars.
    pub log_sd: f64,
    /// Degrees of freedom of the widening; infinite when only an own range is given.
    pub freedom: f64,
    /// Comparables as moved, in the user's order; those without a price or a likeness have weight 0.
    pub moved: Vec<MovedComparable>,
    /// Share of the level that is the user's own range.
    pub own_weight: f64,
    /// Limits and likely value of the own range as read, if any.
    pub own: Option<ThreePoint>,
    /// All comparables are of this car's model year, and the slope within a year was used.
    pub same_year: bool,
    shape: Shape,
    /// Dollars at every place of the grid.
    grid: Vec<f64>,
}

impl Worth {
    /// Dollars under which the worth lies with chance `u`; rises with `u`, never under zero.
    #[must_use]
    pub fn value(&self, u: f64) -> f64 {
        let least = UnitGrid::least();
        let u = match &self.shape {
            Shape::Own(pert) if u < least || u > 1.0 - least || u.is_nan() => {
                return pert.quantile(u).max(0.0);
            }
            Shape::Own(_) => u,
            Shape::Logs if u.is_nan() => 0.5,
            Shape::Logs => u.clamp(CUT, 1.0 - CUT),
        };
        let (at, along) = UnitGrid::cell(u);
        let lower = self.grid.get(at).copied().unwrap_or_default();
        let upper = self.grid.get(at + 1).copied().unwrap_or(lower);
        lower + along * (upper - lower)
    }
}

/// Worth from what the user gave.
///
/// # Errors
/// A sentence saying what is missing.
pub fn worth(inputs: &WorthInputs<'_>) -> Result<Worth, String> {
    let own = own_range(inputs.basis.own);
    let candidates: &[Comparable] = if inputs.means == WorthMeans::Parts {
        &[]
    } else {
        &inputs.basis.comparables
    };
    let moves = Moves::new(inputs, candidates);
    let points: Vec<Point> = candidates.iter().map(|c| moves.point(c)).collect();
    let prior = Prior {
        slope: 1.0,
        slope_sd: SLOPE_SD,
        spread: inputs.settings.spread,
        spread_weight: inputs.settings.spread_weight,
        wild_beyond: WILD_BEYOND,
    };
    let found = level(&points, 0.0, &prior);
    let moved = |found: &Level, own_weight: f64| -> Vec<MovedComparable> {
        let total: f64 = found.weights.iter().sum();
        candidates
            .iter()
            .zip(&points)
            .zip(&found.weights)
            .map(|((c, p), w)| moves.moved(c, p, found.slope, (1.0 - own_weight) * w / total))
            .collect()
    };
    match (found, own) {
        (None, None) => Err(missing(inputs)),
        (None, Some(own)) => Ok(own_only(own, inputs.table)),
        (Some(found), own) => {
            let logs = combine(&found, own);
            Ok(Worth {
                log_center: logs.center,
                log_sd: logs.sd,
                freedom: logs.freedom,
                moved: moved(&found, logs.own_weight),
                own_weight: logs.own_weight,
                own: own.map(|pert| pert.range()),
                same_year: moves.same_year,
                shape: Shape::Logs,
                grid: logs.grid(),
            })
        }
    }
}

fn missing(inputs: &WorthInputs<'_>) -> String {
    if inputs.means == WorthMeans::Parts {
        "worth not known: say what the parts you want are worth to you, low, likely, high"
            .to_owned()
    } else if inputs.basis.comparables.is_empty() {
        "worth not known: put in a car like it, or your own low, likely, high".to_owned()
    } else {
        "worth not known: no car put in has a price and is at all alike".to_owned()
    }
}

/// The own range as a distribution; a range out of order is taken in order.
fn own_range(range: Option<MoneyRange>) -> Option<Pert> {
    let range = range?;
    let mut ends = [range.low, range.likely, range.high].map(|m| dollars(m).max(0.0));
    ends.sort_by(f64::total_cmp);
    let [low, likely, high] = ends;
    let stated = ThreePoint::new(low, likely, high).ok()?;
    (high > 0.0).then(|| Pert::read_as(stated, range.reading, CLASSIC_LAMBDA))
}

fn own_only(own: Pert, table: &QuantileTable) -> Worth {
    let (log_center, log_sd) = logs_of(&own);
    Worth {
        log_center,
        log_sd,
        freedom: f64::INFINITY,
        moved: Vec::new(),
        own_weight: 1.0,
        own: Some(own.range()),
        same_year: false,
        shape: Shape::Own(own),
        grid: (0..UnitGrid::LEN)
            .map(|at| table.quantile(own.range(), UnitGrid::place(at)).max(0.0))
            .collect(),
    }
}

/// Middle and spread of the logarithm, from the quantiles at 10, 50 and 90 %.
fn logs_of(own: &Pert) -> (f64, f64) {
    let log_at = |u: f64| libm::log(own.quantile(u).max(1.0));
    let spread = (log_at(0.9) - log_at(0.1)) / (2.0 * normal::quantile(0.9));
    (log_at(0.5), spread)
}

struct Logs {
    center: f64,
    sd: f64,
    freedom: f64,
    own_weight: f64,
}

/// Comparables and own range by precision. The own range speaks of this one car, so part of its variance (as much as the comparables'
/// spread, at most half) is this car's own and the rest is doubt about the level; without comparables it comes out as it went in.
fn combine(found: &Level, own: Option<Pert>) -> Logs {
    let spread2 = found.spread * found.spread;
    let seen = 1.0 / found.center_variance.max(1e-12);
    let Some(own) = own else {
        return Logs {
            center: found.center,
            sd: found.error(),
            freedom: found.freedom,
            own_weight: 0.0,
        };
    };
    let (own_center, own_sd) = logs_of(&own);
    let own2 = (own_sd * own_sd).max(1e-8);
    let car2 = spread2.min(0.5 * own2);
    let held = 1.0 / (own2 - car2);
    Logs {
        center: (seen * found.center + held * own_center) / (seen + held),
        sd: (1.0 / (seen + held) + car2).sqrt(),
        freedom: found.freedom + 1.0,
        own_weight: held / (seen + held),
    }
}

impl Logs {
    fn grid(&self) -> Vec<f64> {
        let mut grid = vec![0.0; UnitGrid::LEN];
        for at in 0..=UnitGrid::LEN / 2 {
            // The cell in which the cut lies must still be right.
            let t = student_quantile(UnitGrid::place(at).max(0.9 * CUT), self.freedom);
            grid[at] = libm::exp(self.center + t * self.sd);
            grid[UnitGrid::LEN - 1 - at] = libm::exp(self.center - t * self.sd);
        }
        grid
    }
}

/// How comparables are moved to this car.
struct Moves<'a> {
    settings: &'a WorthSettings,
    particulars: &'a Particulars,
    same_year: bool,
}

impl<'a> Moves<'a> {
    fn new(inputs: &WorthInputs<'a>, candidates: &[Comparable]) -> Self {
        let year = inputs.particulars.year;
        Self {
            settings: inputs.settings,
            particulars: inputs.particulars,
            same_year: year.is_some() && candidates.iter().all(|c| c.year == year),
        }
    }

    /// Log price of the comparable over this car by its age: negative for an older one.
    fn by_age(&self, c: &Comparable) -> Option<f64> {
        let older = f64::from(self.particulars.year?) - f64::from(c.year?);
        Some(self.settings.log_price_per_year * older)
    }

    /// The same by its miles.
    fn by_miles(&self, c: &Comparable) -> Option<f64> {
        let more = (c.miles? - self.particulars.odometer_miles?) / 1000.0;
        let slope = if self.same_year {
            self.settings.log_price_per_1000_miles_same_year
        } else {
            self.settings.log_price_per_1000_miles
        };
        more.is_finite().then_some(slope * more)
    }

    fn discount(&self, c: &Comparable) -> f64 {
        match c.kind {
            PriceKind::Asked => libm::log1p(-self.settings.asked_discount),
            PriceKind::Sold => 0.0,
        }
    }

    fn point(&self, c: &Comparable) -> Point {
        let price = dollars(c.price);
        Point {
            x: self.by_age(c).unwrap_or(0.0) + self.by_miles(c).unwrap_or(0.0),
            y: libm::log(price.max(f64::MIN_POSITIVE)) + self.discount(c),
            weight: if price > 0.0 && c.alike.is_finite() {
                c.alike.clamp(0.0, 1.0)
            } else {
                0.0
            },
        }
    }

    fn moved(&self, c: &Comparable, p: &Point, slope: f64, weight: f64) -> MovedComparable {
        let usable = p.weight > 0.0;
        MovedComparable {
            name: c.name.clone(),
            moved_price: if usable {
                libm::exp(p.y - slope * p.x)
            } else {
                dollars(c.price)
            },
            weight,
            steps: if usable {
                self.steps(c, slope)
            } else {
                vec!["left out: no price, or not alike at all".to_owned()]
            },
        }
    }

    fn steps(&self, c: &Comparable, slope: f64) -> Vec<String> {
        let mut steps = Vec::new();
        if c.kind == PriceKind::Asked {
            steps.push(format!("asked, not sold: {}", percent(self.discount(c))));
        }
        match (self.by_age(c), self.particulars.year, c.year) {
            (Some(by), Some(ours), Some(theirs)) if ours != theirs => {
                let years = ours.abs_diff(theirs);
                let word = if theirs < ours { "older" } else { "newer" };
                let plural = if years == 1 { "year" } else { "years" };
                steps.push(format!("{years} {plural} {word}: {}", percent(-slope * by)));
            }
            (None, ..) => steps.push("year not known: not moved for age".to_owned()),
            _ => {}
        }
        match (self.by_miles(c), self.particulars.odometer_miles, c.miles) {
            (Some(by), Some(ours), Some(theirs)) => {
                let thousands = libm::round((theirs - ours).abs() / 1000.0);
                if thousands >= 1.0 {
                    let word = if theirs > ours { "more" } else { "fewer" };
                    steps.push(format!(
                        "{thousands} thousand miles {word}: {}",
                        percent(-slope * by)
                    ));
                }
            }
            _ => steps.push("miles not known: not moved for miles".to_owned()),
        }
        steps
    }
}

/// A change of log price as a signed percentage.
fn percent(log: f64) -> String {
    let whole = libm::round(100.0 * libm::expm1(log));
    if whole < 0.0 {
        format!("−{}%", -whole)
    } else {
        format!("+{}%", whole.abs())
    }
}
