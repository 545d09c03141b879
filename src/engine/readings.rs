//! From a measured reading to the level of its sign, under the limits in force.

use super::evidence::current;
use crate::car::reading::{self, Asked};
use crate::car::tire::age_years;
use crate::car::{Answer, Buyer, CarRecord, Quantity, Reading};
use crate::trade::limits::{Circumstances, Verdict, least_treadwear_grade, verdict};
use crate::trade::{Grade, LimitRow, Pattern, ReadingSpec, Side, SignRow, Tables};
use jiff::civil::Date;
use std::borrow::Cow;

/// Item of the treadwear grade, whose limit is a house rule.
const TREADWEAR: &str = "treadwear";
/// Rule set of limits that the buyer's house rules set.
pub const HOUSE: &str = "house";

/// What readings are held against.
#[derive(Debug, Clone)]
pub struct Yardstick<'a> {
    limits: Cow<'a, [LimitRow]>,
    in_force: Cow<'a, [String]>,
    year: Option<u16>,
    today: Date,
}

/// One number of a reading and what the limits say of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// What it is: `at rest`, `each cylinder`.
    pub label: String,
    /// Item of the limits table.
    pub item: String,
    /// What it measures.
    pub quantity: Quantity,
    /// The number held against the limits: neutral units; the age of a tire in years.
    pub value: f64,
    /// Grade of the gravest limit broken.
    pub grade: Option<Grade>,
    /// Side it is broken on.
    pub side: Side,
    /// The row broken, else the first one that it stays inside of; none where no rule set in force has a figure.
    pub row: Option<LimitRow>,
    /// Least and greatest of that row, as the number is given.
    pub bounds: (Option<f64>, Option<f64>),
}

/// A reading as a whole.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingVerdict {
    /// Level of the sign.
    pub level: usize,
    /// Its numbers.
    pub measured: Vec<Measured>,
}

/// Rule sets in force, the one that decides first named first: the buyer's choice, else the tables' own.
fn in_force<'a>(tables: &'a Tables, buyer: Option<&Buyer>) -> &'a [String] {
    let settings = &tables.settings;
    let chosen = buyer.and_then(|buyer| settings.rule_set_choices.get(buyer.rule_set?.word()));
    chosen.unwrap_or(&settings.rule_sets)
}

impl<'a> Yardstick<'a> {
    /// The limits in force for a car on a day; with a buyer, the house rules among them.
    #[must_use]
    pub fn new(tables: &'a Tables, car: &CarRecord, buyer: Option<&Buyer>, today: Date) -> Self {
        let mut yardstick = Self {
            limits: Cow::Borrowed(&tables.limits),
            in_force: Cow::Borrowed(in_force(tables, buyer)),
            year: car.particulars.year,
            today,
        };
        let rules = buyer.and_then(|buyer| {
            let plain = tables.purpose(&buyer.purpose)?.house_rules.as_ref();
            plain.map(|plain| buyer.house_rules.as_ref().unwrap_or(plain))
        });
        if let Some(least) = rules.and_then(|rules| rules.least_treadwear) {
            yardstick.limits.to_mut().push(house_row(least));
            yardstick.in_force.to_mut().insert(0, HOUSE.to_owned());
        }
        yardstick
    }

    /// Level and verdicts of a reading of a sign; `None` for a sign that is not measured, or a reading without its numbers.
    #[must_use]
    pub fn read(&self, sign: &SignRow, reading: &Reading) -> Option<ReadingVerdict> {
        let spec = sign.reading.as_ref()?;
        if reading.values.iter().any(|value| !value.is_finite()) {
            return None;
        }
        let least = spec.parts.iter().filter(|part| !part.optional).count();
        if reading.values.len() < least || reading.values.is_empty() {
            return None;
        }
        let mut found = match spec.pattern {
            Pattern::Each => self.each(spec, reading),
            Pattern::Cylinders => self.cylinders(reading),
            Pattern::Trims => self.trims(spec, reading)?,
        };
        found.level = found.level.min(sign.levels.len().saturating_sub(1));
        Some(found)
    }

    fn hold(&self, item: &str, quantity: Quantity, value: f64, reading: &Reading) -> Held<'_> {
        let here = Circumstances {
            wheel_in: reading.wheel_in,
            words: &reading.words,
            year: self.year,
        };
        let value = if quantity == Quantity::TireDate {
            age_years(value, self.today)
        } else {
            value
        };
        let found = verdict(&self.limits, &self.in_force, item, quantity, value, &here);
        let bounds = found.row().map_or((None, None), |row| {
            crate::trade::limits::bounds(row, quantity, &here)
        });
        Held {
            value,
            found,
            bounds,
        }
    }

    fn each(&self, spec: &ReadingSpec, reading: &Reading) -> ReadingVerdict {
        let mut level = 0;
        let mut measured = Vec::new();
        for (at, value) in reading.values.iter().enumerate() {
            let Some(part) = spec.parts.get(at).or(spec.parts.last()) else {
                continue;
            };
            let held = self.hold(&part.item, part.quantity, *value, reading);
            if let Some((row, side)) = held.found.broken {
                level = level.max(level_of(spec, row.grade, side));
            }
            measured.push(held.measured(&part.label, &part.item, part.quantity));
        }
        ReadingVerdict { level, measured }
    }

    /// Even; all low; one low; two neighbors low.
    fn cylinders(&self, reading: &Reading) -> ReadingVerdict {
        let (item, quantity) = ("compression-spread", Quantity::Percent);
        let highest = reading.values.iter().copied().fold(0.0, f64::max);
        let share = |value: f64| {
            if highest > 0.0 {
                value / highest * 100.0
            } else {
                100.0
            }
        };
        let lowest = reading.values.iter().copied().fold(f64::INFINITY, f64::min);
        let low = |value: &f64| {
            let held = self.hold(item, quantity, share(*value), reading);
            held.found.broken.is_some()
        };
        let neighbors = reading.values.windows(2).any(|pair| pair.iter().all(low));
        let spread = self.hold(item, quantity, share(lowest), reading);
        let all = self.hold("compression-lowest", Quantity::Pressure, highest, reading);
        let level = if neighbors {
            3
        } else if spread.found.broken.is_some() {
            2
        } else {
            usize::from(all.found.broken.is_some())
        };
        ReadingVerdict {
            level,
            measured: vec![
                spread.measured("lowest against highest", item, quantity),
                all.measured("highest", "compression-lowest", Quantity::Pressure),
            ],
        }
    }

    /// Within; high at idle only; high at both alike; higher with revs; below zero.
    fn trims(&self, spec: &ReadingSpec, reading: &Reading) -> Option<ReadingVerdict> {
        let (idle, revs) = match reading.values.as_slice() {
            [idle, revs, ..] => (*idle, *revs),
            _ => return None,
        };
        let held = |value: f64| self.hold("trim", Quantity::Percent, value, reading);
        let side = |held: &Held<'_>| held.found.broken.map(|(_, side)| side);
        let (at_idle, at_revs) = (held(idle), held(revs));
        let level = match (side(&at_idle), side(&at_revs)) {
            (None, None) => 0,
            (Some(Side::Under), _) | (_, Some(Side::Under)) => 4,
            (Some(_), None) => 1,
            (None, Some(_)) => 3,
            (Some(_), Some(_)) if revs > idle * 1.25 => 3,
            (Some(_), Some(_)) => 2,
        };
        let label = |at: usize| spec.parts.get(at).map_or("", |part| part.label.as_str());
        Some(ReadingVerdict {
            level,
            measured: vec![
                at_idle.measured(label(0), "trim", Quantity::Percent),
                at_revs.measured(label(1), "trim", Quantity::Percent),
            ],
        })
    }
}

/// A number, and the limits it was held against.
struct Held<'a> {
    value: f64,
    found: Verdict<'a>,
    bounds: (Option<f64>, Option<f64>),
}

impl Held<'_> {
    fn measured(&self, label: &str, item: &str, quantity: Quantity) -> Measured {
        Measured {
            label: label.to_owned(),
            item: item.to_owned(),
            quantity,
            value: self.value,
            grade: self.found.grade(),
            side: self.found.broken.map_or(Side::Any, |(_, side)| side),
            row: self.found.row().cloned(),
            bounds: self.bounds,
        }
    }
}

fn level_of(spec: &ReadingSpec, grade: Grade, side: Side) -> usize {
    spec.bands
        .iter()
        .filter(|band| band.grade == grade && (band.side == Side::Any || band.side == side))
        .map(|band| band.level)
        .max()
        .unwrap_or(0)
}

fn house_row(least: u32) -> LimitRow {
    let grade = least_treadwear_grade(least);
    LimitRow {
        id: "house-treadwear".to_owned(),
        rule_set: HOUSE.to_owned(),
        item: TREADWEAR.to_owned(),
        grade: Grade::Limit,
        unit: String::new(),
        least: Some(f64::from(grade)),
        greatest: None,
        on_it_is_outside: false,
        when: String::new(),
        wheel_from_in: None,
        per_wheel_mm: None,
        year_from: None,
        year_to: None,
        vehicle: "tires with a treadwear grade".to_owned(),
        source: format!("your house rules: least treadwear {least}"),
        as_of: String::new(),
        note: if grade == least {
            String::new()
        } else {
            format!(
                "Grades are multiples of 20 (49 CFR 575.104): {least} and {grade} admit the same tires."
            )
        },
    }
}

/// The answer that counts for a sign: where a reading is on file its level under the limits in force, else the answer given.
#[must_use]
pub fn answered(
    car: &CarRecord,
    tables: &Tables,
    yardstick: &Yardstick<'_>,
    sign: &str,
    given: Answer,
) -> Answer {
    if !matches!(given, Answer::Level(_)) {
        return given;
    }
    let reading = car
        .checks
        .get(sign)
        .and_then(|check| check.reading.as_ref());
    let level = reading.and_then(|reading| {
        let row = tables.sign(current(tables, sign))?;
        Some(yardstick.read(row, reading)?.level)
    });
    level.map_or(given, Answer::Level)
}

/// A reading on file, with its verdict.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingFinding {
    /// Sign id.
    pub sign: String,
    /// Name of the sign.
    pub name: String,
    /// The level that follows, in words.
    pub level_words: String,
    /// What was read.
    pub reading: Reading,
    /// What the limits say.
    pub verdict: ReadingVerdict,
}

/// Every reading on file that counts, with its verdict, by sign id.
#[must_use]
pub fn readings(
    car: &CarRecord,
    tables: &Tables,
    buyer: &Buyer,
    today: Date,
) -> Vec<ReadingFinding> {
    let yardstick = Yardstick::new(tables, car, Some(buyer), today);
    let counts = |sign: &str| {
        let mut seen = car.observations.iter();
        seen.any(|seen| seen.sign == sign && matches!(seen.answer, Answer::Level(_)))
    };
    car.checks
        .iter()
        .filter(|(sign, _)| counts(sign))
        .filter_map(|(sign, check)| {
            let reading = check.reading.as_ref()?;
            let row = tables.sign(current(tables, sign))?;
            let verdict = yardstick.read(row, reading)?;
            Some(ReadingFinding {
                sign: row.id.clone(),
                name: row.name.clone(),
                level_words: row.levels.get(verdict.level).cloned().unwrap_or_default(),
                reading: reading.clone(),
                verdict,
            })
        })
        .collect()
}

/// What a reading of a sign asks for: the quantities in order, and the words that may stand beside them.
fn asked_of<'a>(spec: &ReadingSpec, limits: &'a [LimitRow]) -> (Vec<Quantity>, Vec<&'a str>) {
    let quantities = spec.parts.iter().map(|part| part.quantity).collect();
    let mut words: Vec<&str> = limits
        .iter()
        .filter(|row| !row.when.is_empty())
        .filter(|row| spec.parts.iter().any(|part| part.item == row.item))
        .map(|row| row.when.as_str())
        .collect();
    words.sort_unstable();
    words.dedup();
    (quantities, words)
}

/// Reads what was typed for a sign that is measured, under the tables' own rule sets.
///
/// # Errors
/// One sentence.
pub fn read_typed(sign: &SignRow, tables: &Tables, typed: &str) -> Result<Reading, String> {
    read_typed_for(sign, tables, None, typed)
}

/// The same for a buyer: where the UK's limits come first, a bare number is millimeters.
///
/// # Errors
/// One sentence.
pub fn read_typed_for(
    sign: &SignRow,
    tables: &Tables,
    buyer: Option<&Buyer>,
    typed: &str,
) -> Result<Reading, String> {
    let Some(spec) = &sign.reading else {
        return Err(format!("{} is answered by eye.", sign.name));
    };
    let (quantities, words) = asked_of(spec, &tables.limits);
    let asked = Asked {
        quantities: &quantities,
        least: spec.parts.iter().filter(|part| !part.optional).count(),
        greatest: spec.parts.len().max(spec.most),
        words: &words,
        metric: in_force(tables, buyer).iter().any(|set| set == "uk-mot"),
    };
    reading::read(&asked, typed)
}
