//! Which faults this car can have, and how likely each is before anything was looked at.

use crate::car::{
    Drive, Fuel, Gearbox, Particulars, SaltWinters, SizeClass, Steering, TimingDrive,
};
use crate::trade::derive::DerivedLinks;
use crate::trade::settings::DiagnosisSettings;
use crate::trade::{AppliesIf, FaultRow, Tables, WeakSpot};
use jiff::civil::Date;

/// A car as far as priors ask: facts known, age and miles against the reference.
#[derive(Debug, Clone)]
pub(crate) struct Situation {
    pub facts: Particulars,
    /// Age over the reference age.
    pub age: f64,
    /// Miles over the reference miles.
    pub miles: f64,
    /// Parts of known age, by row of the faults table: how many times likelier to be bad now than one of unknown history.
    pub known_age: Vec<(usize, f64)>,
    /// What had to be assumed, in words.
    pub assumed: Vec<String>,
}

/// A fact that a row can ask for, with the words of the note when it is not known.
pub(crate) const FACTS: [&str; 10] = [
    "fuel",
    "gearbox",
    "driven wheels",
    "cam belt or chain",
    "power steering",
    "class of car",
    "turbo",
    "hybrid",
    "air conditioning",
    "sunroof",
];

impl Situation {
    /// Age is the calendar year less the model year, at least 1.
    pub(crate) fn of(facts: Particulars, settings: &DiagnosisSettings, today: Date) -> Self {
        let mut assumed = Vec::new();
        let age = facts.year.map_or_else(
            || {
                assumed.push(format!(
                    "year not known: reckoned as {:.0} years old",
                    settings.reference_age_years
                ));
                1.0
            },
            |year| {
                f64::from((i32::from(today.year()) - i32::from(year)).max(1))
                    / settings.reference_age_years
            },
        );
        let miles = facts
            .odometer_miles
            .filter(|miles| miles.is_finite() && *miles >= 0.0);
        let miles = miles.map_or_else(
            || {
                assumed.push(format!(
                    "miles not known: reckoned as {}",
                    super::amounts::with_commas(settings.reference_miles)
                ));
                1.0
            },
            |miles| miles.max(1.0) / settings.reference_miles,
        );
        Self {
            facts,
            age,
            miles,
            known_age: Vec::new(),
            assumed,
        }
    }

    /// Chance of the fault at each level of care; `None` where this car cannot have it. Marks the facts that were asked and not known.
    pub(crate) fn chances(
        &self,
        row: &FaultRow,
        hazard: f64,
        settings: &DiagnosisSettings,
        asked: &mut [bool],
    ) -> Option<[f64; 5]> {
        let share = share(&row.applies_if, &self.facts, settings, asked)?;
        let salt = match (row.salt, self.facts.salt_winters) {
            (true, Some(SaltWinters::None)) => settings.salt_factors[0],
            (true, Some(SaltWinters::Some)) => settings.salt_factors[1],
            (true, Some(SaltWinters::Many)) => settings.salt_factors[2],
            _ => 1.0,
        };
        let here = hazard
            * salt
            * libm::pow(self.miles, row.miles_exponent)
            * libm::pow(self.age, row.age_exponent);
        Some(
            settings
                .care_levels
                .map(|care| -share * libm::expm1(-here * care)),
        )
    }
}

/// The faults that this car can have: row and chance at each level of care, in the order of the table.
pub(crate) fn priors(
    situation: &Situation,
    tables: &Tables,
    links: &DerivedLinks,
    notes: &mut Vec<String>,
) -> Vec<(usize, [f64; 5])> {
    let settings = &tables.settings.diagnosis;
    let mut asked = [false; FACTS.len()];
    let found = tables
        .faults
        .iter()
        .zip(&links.hazards)
        .enumerate()
        .filter_map(|(at, (row, hazard))| {
            let (times, told) = weak_spots(row, &situation.facts, tables);
            let by_age = situation.known_age.iter().find(|known| known.0 == at);
            let times = times * by_age.map_or(1.0, |known| known.1);
            let chances = situation.chances(row, *hazard * times, settings, &mut asked)?;
            notes.extend(told);
            Some((at, chances))
        })
        .collect();
    let missing: Vec<&str> = FACTS
        .iter()
        .zip(asked)
        .filter_map(|(fact, asked)| asked.then_some(*fact))
        .collect();
    if !missing.is_empty() {
        notes.push(format!(
            "not known: {}; faults that ask for it count at the share of ordinary cars that have it",
            missing.join(", ")
        ));
    }
    found
}

/// How many times likelier the user's weak spots of this model make a fault, within the greatest allowed, and what to say of them.
pub(crate) fn weak_spots(row: &FaultRow, car: &Particulars, tables: &Tables) -> (f64, Vec<String>) {
    let spots: Vec<_> = tables
        .weak_spots
        .iter()
        .filter(|spot| spot.fault == row.id && is_of(spot, car))
        .collect();
    let most = tables.settings.diagnosis.greatest_weak_spot.max(1.0);
    let times: f64 = spots.iter().map(|spot| spot.times.max(0.0)).product();
    let told = spots
        .iter()
        .map(|spot| {
            format!(
                "{}: counted {} times as likely on this model: {}",
                row.name, spot.times, spot.reason
            )
        })
        .collect();
    (times.clamp(1.0 / most, most), told)
}

/// The car's make and model have every word of the weak spot, and its year lies inside; a year not known counts as inside.
fn is_of(spot: &WeakSpot, car: &Particulars) -> bool {
    let name = format!("{} {}", car.make, car.model).to_lowercase();
    let words: Vec<&str> = name.split_whitespace().collect();
    let mut wanted = spot.model.split_whitespace().peekable();
    wanted.peek().is_some()
        && wanted.all(|word| words.contains(&word.to_lowercase().as_str()))
        && car.year.is_none_or(|year| {
            spot.year_from.is_none_or(|from| year >= from)
                && spot.year_to.is_none_or(|to| year <= to)
        })
}

/// Share at which a row counts: 1 where it applies, `None` where it cannot, less where a fact is not known.
fn share(
    row: &AppliesIf,
    car: &Particulars,
    settings: &DiagnosisSettings,
    asked: &mut [bool],
) -> Option<f64> {
    let answers = [
        listed(&row.fuel, car.fuel, Fuel::ALL, settings, Fuel::word),
        listed(
            &row.gearbox,
            car.gearbox,
            Gearbox::ALL,
            settings,
            Gearbox::word,
        ),
        listed(&row.drive, car.drive, Drive::ALL, settings, Drive::word),
        listed(
            &row.timing,
            car.timing,
            TimingDrive::ALL,
            settings,
            TimingDrive::word,
        ),
        listed(
            &row.steering,
            car.steering,
            Steering::ALL,
            settings,
            Steering::word,
        ),
        listed(
            &row.size_class,
            car.size_class,
            SizeClass::ALL,
            settings,
            SizeClass::word,
        ),
        wanted(row.turbo, car.turbo, settings, "turbo"),
        wanted(row.hybrid, car.hybrid, settings, "hybrid"),
        wanted(
            row.air_conditioning,
            car.air_conditioning,
            settings,
            "air_conditioning",
        ),
        wanted(row.sunroof, car.sunroof, settings, "sunroof"),
    ];
    if answers.contains(&Fit::No) {
        return None;
    }
    let mut share = 1.0;
    for (asked, answer) in asked.iter_mut().zip(answers) {
        if let Fit::Unknown(having) = answer {
            *asked = true;
            share *= having;
        }
    }
    match (row.year_from.is_some() || row.year_to.is_some(), car.year) {
        (true, Some(year))
            if row.year_from.is_some_and(|from| year < from)
                || row.year_to.is_some_and(|to| year > to) =>
        {
            None
        }
        (true, None) => Some(share * settings.unknown_fact_share),
        _ => Some(share),
    }
}

/// Share at which a row that asks for facts counts on this car: 0 where it cannot, less than 1 where a fact is not known.
pub(crate) fn share_that_applies(
    asks: &AppliesIf,
    car: &Particulars,
    settings: &DiagnosisSettings,
) -> f64 {
    share(asks, car, settings, &mut [false; FACTS.len()]).unwrap_or(0.0)
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Fit {
    Yes,
    No,
    /// Not known: the share of ordinary cars that would fit.
    Unknown(f64),
}

/// Share of ordinary cars with a value; a value the settings do not name counts at their plain share.
fn having(settings: &DiagnosisSettings, word: &str) -> f64 {
    settings
        .ordinary_shares
        .get(word)
        .copied()
        .unwrap_or(settings.unknown_fact_share)
}

fn listed<T: Copy + PartialEq>(
    list: &[T],
    fact: Option<T>,
    all: &[T],
    settings: &DiagnosisSettings,
    word: impl Fn(T) -> &'static str,
) -> Fit {
    if list.is_empty() || all.iter().all(|value| list.contains(value)) {
        return Fit::Yes;
    }
    match fact {
        Some(fact) if list.contains(&fact) => Fit::Yes,
        Some(_) => Fit::No,
        None => Fit::Unknown(
            list.iter()
                .map(|value| having(settings, word(*value)))
                .sum::<f64>()
                .min(1.0),
        ),
    }
}

fn wanted(row: Option<bool>, fact: Option<bool>, settings: &DiagnosisSettings, word: &str) -> Fit {
    match (row, fact) {
        (None, _) => Fit::Yes,
        (Some(row), Some(fact)) if row == fact => Fit::Yes,
        (Some(_), Some(_)) => Fit::No,
        (Some(true), None) => Fit::Unknown(having(settings, word)),
        (Some(false), None) => Fit::Unknown(1.0 - having(settings, word)),
    }
}

/// "Not fitted" settles a fact where the sign itself asks for it and the particulars are silent.
pub(crate) fn not_fitted(asks: &AppliesIf, facts: &mut Particulars) {
    for (row, fact) in [
        (asks.turbo, &mut facts.turbo),
        (asks.hybrid, &mut facts.hybrid),
        (asks.air_conditioning, &mut facts.air_conditioning),
        (asks.sunroof, &mut facts.sunroof),
    ] {
        if row == Some(true) && fact.is_none() {
            *fact = Some(false);
        }
    }
}
