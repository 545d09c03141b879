//! Papers in words: label and sentence, for reports and screens.

use crate::engine::papers::{Disclosure, Papers, TireFinding};

/// Every fact of the papers as label and words; contradictions stand apart.
#[must_use]
pub fn facts(papers: &Papers) -> Vec<(String, String)> {
    let mut rows: Vec<(String, String)> = Vec::new();
    for vin in &papers.vins {
        let years: Vec<String> = vin.years.iter().map(ToString::to_string).collect();
        let years = if years.is_empty() {
            String::new()
        } else {
            format!("; model year {}", years.join(" or "))
        };
        rows.push((
            format!("VIN, {}", vin.place),
            format!("{}: {}{years}", vin.text, vin.words()),
        ));
    }
    for words in &papers.title {
        rows.push(("title".to_owned(), words.clone()));
    }
    if let Some(rule) = papers.disclosure {
        rows.push(("odometer law".to_owned(), disclosure(rule)));
    }
    if let (Some(miles), Some(ordinary)) = (papers.miles, papers.ordinary_miles) {
        rows.push(("miles for its age".to_owned(), for_its_age(miles, ordinary)));
    }
    for tire in &papers.tires {
        rows.push((format!("tire {}", tire.code), self::tire(tire)));
    }
    rows
}

fn disclosure(rule: Disclosure) -> String {
    match rule {
        Disclosure::Required => {
            "the seller must state the miles on the title (49 CFR 580.17)".to_owned()
        }
        Disclosure::ExemptSince(year) => {
            format!("exempt since {year} by age (49 CFR 580.17): papers with miles matter the more")
        }
    }
}

/// Against the miles of an ordinary car of its age.
#[must_use]
pub fn for_its_age(miles: f64, ordinary: f64) -> String {
    let share = miles / ordinary.max(1.0);
    let word = if share > 1.25 {
        "high"
    } else if share < 0.75 {
        "low"
    } else {
        "ordinary"
    };
    format!(
        "{word}: {} against {} of an ordinary car (NHTSA DOT HS 809 952)",
        super::words::whole(miles),
        super::words::whole(ordinary)
    )
}

fn tire(tire: &TireFinding) -> String {
    match (&tire.date, tire.age_years) {
        (Ok(date), Some(age)) if date.decade_unknown => {
            let years: Vec<String> = date.years().iter().map(ToString::to_string).collect();
            format!(
                "week {} of {}: at least {age:.0} years old, the decade is not told",
                date.week,
                years.join(" or ")
            )
        }
        (Ok(date), Some(age)) => {
            format!("week {} of {}: {age:.1} years old", date.week, date.year)
        }
        (Err(why), _) => why.clone(),
        (Ok(_), None) => String::new(),
    }
}
