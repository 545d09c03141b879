//! What follows from papers and plates by law and arithmetic: numbers, years, disclosure, and every contradiction between facts that
//! carry a date or a count.

mod clashes;
mod numbers;

use crate::car::{CarRecord, OdometerStatement, TireDate};
use crate::trade::Tables;
use crate::trade::settings::OdometerRule;
use jiff::civil::Date;
pub use numbers::{VinFinding, VinState};

/// Whether the odometer must be disclosed in the United States.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Disclosure {
    /// It must.
    Required,
    /// Exempt by age since this year.
    ExemptSince(u16),
}

/// The rule on disclosure for a model year sold in a calendar year (49 CFR 580.17(a)(3), (4)); `None` where the tables have no rule.
/// States may ask for more; over 16,000 lb and what is not self-propelled is exempt at any age.
#[must_use]
pub fn disclosure(rules: &[OdometerRule], model_year: u16, sold_in: i16) -> Option<Disclosure> {
    let rule = rules.iter().find(|rule| model_year <= rule.year_to)?;
    let since = model_year.saturating_add(rule.years);
    Some(if i32::from(sold_in) >= i32::from(since) {
        Disclosure::ExemptSince(since)
    } else {
        Disclosure::Required
    })
}

/// Two facts that cannot both be true, or one that cannot be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contradiction {
    /// Id in words, such as `receipt-over-odometer`.
    pub id: &'static str,
    /// One sentence with both facts.
    pub sentence: String,
}

/// A tire's date code, read.
#[derive(Debug, Clone, PartialEq)]
pub struct TireFinding {
    /// As typed.
    pub code: String,
    /// Week and year, or why it is none.
    pub date: Result<TireDate, String>,
    /// Age in whole and tenth years today; at least so old where the decade is not told.
    pub age_years: Option<f64>,
}

/// What the papers say of one car.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Papers {
    /// Every number read.
    pub vins: Vec<VinFinding>,
    /// Disclosure of the odometer today.
    pub disclosure: Option<Disclosure>,
    /// What is said of the odometer.
    pub odometer: Option<OdometerStatement>,
    /// Miles an ordinary car of this age has gone.
    pub ordinary_miles: Option<f64>,
    /// Miles on this one.
    pub miles: Option<f64>,
    /// Date codes of the tires.
    pub tires: Vec<TireFinding>,
    /// Title, lien and owner, in words.
    pub title: Vec<String>,
    /// What cannot all be true.
    pub contradictions: Vec<Contradiction>,
}

impl Papers {
    /// True if nothing is on file that papers speak of.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.vins.is_empty()
            && self.tires.is_empty()
            && self.title.is_empty()
            && self.contradictions.is_empty()
            && self.odometer.is_none()
    }
}

/// Works the papers through.
#[must_use]
pub fn papers(car: &CarRecord, tables: &Tables, today: Date) -> Papers {
    let facts = &car.particulars;
    let settings = &tables.settings;
    let sold_in = car.bought_on.unwrap_or(today).year();
    let age = facts
        .year
        .map(|year| i32::from(today.year()) - i32::from(year));
    let ordinary_miles = age.and_then(|age| {
        let at = usize::try_from(age.max(1)).ok()?.checked_sub(1)?;
        let last = settings.ordinary_miles.last();
        settings.ordinary_miles.get(at).or(last).copied()
    });
    Papers {
        vins: numbers::vins(car, today),
        disclosure: facts
            .year
            .and_then(|year| disclosure(&settings.odometer_rules, year, sold_in)),
        odometer: car.papers.odometer,
        ordinary_miles,
        miles: facts.odometer_miles,
        tires: tires(car, today),
        title: title(car),
        contradictions: clashes::all(car, tables, today),
    }
}

fn tires(car: &CarRecord, today: Date) -> Vec<TireFinding> {
    let read = |code: &String| {
        let date = TireDate::parse(code);
        TireFinding {
            code: code.clone(),
            age_years: date.as_ref().ok().map(|date| date.age_years(today)),
            date: date.map_err(|why| why.to_string()),
        }
    };
    car.papers.tires.iter().map(read).collect()
}

/// Title, brands, lien, owner.
fn title(car: &CarRecord) -> Vec<String> {
    let papers = &car.papers;
    let mut said = Vec::new();
    match papers.seller_is_owner {
        Some(true) => said.push("The seller is the owner named on the title.".to_owned()),
        Some(false) => said.push(
            "The seller is not the owner named on the title: no money without the owner's written authority."
                .to_owned(),
        ),
        None => {}
    }
    if !papers.brands.is_empty() {
        said.push(format!(
            "Brand on the title: {}. Worth is that of a branded car.",
            papers.brands
        ));
    }
    if !papers.lender.is_empty() {
        said.push(if papers.released {
            format!(
                "Lender on the title: {}; the release is in hand.",
                papers.lender
            )
        } else {
            format!(
                "Lender on the title: {}, no release: pay at the lender's desk or not at all.",
                papers.lender
            )
        });
    }
    match papers.odometer {
        Some(OdometerStatement::NotActual) => {
            said.push("The odometer is declared not actual: the miles are not known.".to_owned());
        }
        Some(OdometerStatement::OverLimits) => said.push(
            "The odometer is declared over its mechanical limits: add a turn of the counter."
                .to_owned(),
        ),
        _ => {}
    }
    said
}
