//! A reading held against the limits in force: pure look-up, with the row and its source beside every answer.

use super::rows::{Grade, LimitRow, Side};
use crate::car::Quantity;

/// What chooses between rows of one item.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Circumstances<'a> {
    /// Diameter of the steering wheel, inches.
    pub wheel_in: Option<f64>,
    /// Words that stand beside the reading.
    pub words: &'a [String],
    /// Model year.
    pub year: Option<u16>,
}

/// What the limits say of one reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict<'a> {
    /// The gravest limit that is broken, with the side it is broken on; none where it is inside all of them.
    pub broken: Option<(&'a LimitRow, Side)>,
    /// All rows that were held against it, gravest last.
    pub against: Vec<&'a LimitRow>,
}

impl<'a> Verdict<'a> {
    /// Grade of what is broken.
    #[must_use]
    pub fn grade(&self) -> Option<Grade> {
        self.broken.map(|(row, _)| row.grade)
    }

    /// The row to name: the one that is broken, else the first one it stays inside of.
    #[must_use]
    pub fn row(&self) -> Option<&'a LimitRow> {
        self.broken
            .map(|(row, _)| row)
            .or_else(|| self.against.first().copied())
    }
}

/// Least figure in force for a treadwear grade: molded grades are multiples of 20 (49 CFR 575.104(d)(2)(i)), so a rule of 190 and one
/// of 200 admit the same tires.
#[must_use]
pub fn least_treadwear_grade(rule: u32) -> u32 {
    rule.div_ceil(20).saturating_mul(20)
}

/// Holds a reading, in neutral units, against the rule sets in force, first named first. For each grade the first rule set with a
/// figure for this item decides: a figure of the user's own takes the place of the law's and of the handbook's.
#[must_use]
pub fn verdict<'a>(
    limits: &'a [LimitRow],
    in_force: &[String],
    item: &str,
    quantity: Quantity,
    value: f64,
    here: &Circumstances<'_>,
) -> Verdict<'a> {
    let mut against: Vec<&LimitRow> = Vec::new();
    for grade in [Grade::Watch, Grade::Renew, Grade::Limit, Grade::Danger] {
        let row = in_force.iter().find_map(|rule_set| {
            let of_set = limits
                .iter()
                .filter(|row| row.rule_set == *rule_set && row.item == item && row.grade == grade);
            chosen(of_set, here)
        });
        against.extend(row);
    }
    let broken = against
        .iter()
        .rev()
        .find_map(|row| Some((*row, outside(row, quantity, value, here)?)));
    Verdict { broken, against }
}

/// Of the rows of one rule set, item and grade: the one whose word was said, else one without a word; then the greatest wheel size that
/// the wheel reaches. A wheel between two sizes of a table takes the smaller, which is the stricter; one not given takes the smallest.
fn chosen<'a>(
    rows: impl Iterator<Item = &'a LimitRow>,
    here: &Circumstances<'_>,
) -> Option<&'a LimitRow> {
    rows.filter(|row| row.when.is_empty() || here.words.contains(&row.when))
        .filter(|row| {
            row.wheel_from_in
                .is_none_or(|from| here.wheel_in.is_some_and(|wheel| wheel >= from - NEAR))
        })
        .filter(|row| {
            // A rule of some years is not held against a car whose year is not known, unless it is the newest one.
            let year = here.year.unwrap_or(u16::MAX);
            row.year_from.is_none_or(|from| year >= from) && row.year_to.is_none_or(|to| year <= to)
        })
        .max_by(|a, b| {
            let key = |row: &LimitRow| (!row.when.is_empty(), row.wheel_from_in.unwrap_or(0.0));
            let (a, b) = (key(a), key(b));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
        })
}

/// Two figures this near are the same: a limit in millimeters and a reading in inches meet only so nearly.
const NEAR: f64 = 1e-9;

fn outside(
    row: &LimitRow,
    quantity: Quantity,
    value: f64,
    here: &Circumstances<'_>,
) -> Option<Side> {
    let (least, greatest) = bounds(row, quantity, here);
    let on = |figure: f64| (value - figure).abs() <= NEAR * figure.abs().max(1.0);
    if let Some(least) = least
        && (value < least || on(least))
        && (!on(least) || row.on_it_is_outside)
    {
        return Some(Side::Under);
    }
    if let Some(greatest) = greatest
        && (value > greatest || on(greatest))
        && (!on(greatest) || row.on_it_is_outside)
    {
        return Some(Side::Over);
    }
    None
}

/// Least and greatest of a row in neutral units, for the wheel at hand.
#[must_use]
pub fn bounds(
    row: &LimitRow,
    quantity: Quantity,
    here: &Circumstances<'_>,
) -> (Option<f64>, Option<f64>) {
    let scale = match (row.per_wheel_mm, here.wheel_in) {
        (Some(per), Some(wheel)) => wheel * 25.4 / per,
        _ => 1.0,
    };
    let neutral = |figure: Option<f64>| {
        let figure = figure? * scale;
        quantity
            .neutral(figure, &row.unit.to_lowercase(), false)
            .or(Some(figure))
    };
    (neutral(row.least), neutral(row.greatest))
}
