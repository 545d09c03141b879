//! `compare CAR…`, and cars set side by side for other commands.

use super::args::{CompareArgs, Global};
use super::failure::{Failure, shown};
use super::out_file;
use super::places::{buyer_for, knowledge, run_of, slug_of, style_of};
use super::weigh::write_json;
use crate::car::{Buyer, CarRecord};
use crate::engine::compare::Entrant;
use crate::engine::findings::{Findings, findings};
use crate::engine::preference::EVEN;
use crate::engine::{Comparison, Knowledge, Run};
use crate::report::full::{Compared, ReportWish, side_by_side};
use crate::report::{WeighedCar, csv, html, json, markdown, text, words};
use crate::store;
use std::io::Write;
use std::path::PathBuf;

/// Cars as they lie in their files.
pub(super) type Records = Vec<(String, CarRecord)>;

/// Weighs the cars against each other for one buyer: the one named, else the one beside the first car.
///
/// # Errors
/// The first file that cannot be used, cars of unlike currency, a name that is taken, or standard output gone.
pub fn run(wanted: &CompareArgs, global: &Global, out: &mut impl Write) -> Result<(), Failure> {
    if let Some(path) = &wanted.out {
        out_file::must_be_free(path)?;
    }
    let knowledge = knowledge(global)?;
    let records = load(&wanted.cars)?;
    if let Some(odd) = odd_currency(&records) {
        let path = |at: usize| {
            wanted
                .cars
                .get(at)
                .map_or_else(String::new, |path| shown(path))
        };
        return Err(Failure::Data(format!(
            "{}: its currency is not that of {}. Compare cars of one currency.",
            path(odd),
            path(0)
        )));
    }
    let Some(first) = wanted.cars.first() else {
        return Err(Failure::Usage("name the cars to compare.".to_owned()));
    };
    let (buyer, name) = buyer_for(first, global, knowledge.tables())?;
    let run = run_of(global);
    let done = SideBySide::weigh(&knowledge, &records, &buyer, &name, &run);
    let preference = done.comparison.preferred(wanted.weights.unwrap_or(EVEN));
    let plain: Vec<&CarRecord> = records.iter().map(|(_, record)| record).collect();
    if global.json {
        return write_json(out, &json::compare(&done.comparison, &plain, &preference));
    }
    let compared = Compared {
        comparison: &done.comparison,
        preference: &preference,
    };
    let wish = ReportWish {
        with_names: wanted.with_names,
        ..ReportWish::default()
    };
    let page = |cars: &[WeighedCar<'_>]| side_by_side(cars, compared, wish);
    let cars = done.cars(&records);
    let written = if wanted.form.html {
        html::page(&page(&cars))
    } else if wanted.form.markdown {
        markdown::written(&page(&cars))
    } else if wanted.form.csv {
        csv::compare(&done.comparison, &plain, &preference)
    } else {
        let marks: Vec<String> = (plain.iter())
            .map(|record| words::currency_mark(&record.currency))
            .collect();
        text::compare(&done.comparison, &marks, &preference, style_of(global))
    };
    out_file::put(wanted.out.as_deref(), &written, out)
}

/// Slug and record of each file.
///
/// # Errors
/// The first file that cannot be used.
pub(super) fn load(paths: &[PathBuf]) -> Result<Records, Failure> {
    let mut records = Vec::with_capacity(paths.len());
    for path in paths {
        records.push((slug_of(path), store::load_car(path)?.car));
    }
    Ok(records)
}

/// The first car whose currency is not that of the first.
pub(super) fn odd_currency(records: &Records) -> Option<usize> {
    let currency = |record: &CarRecord| words::currency_mark(&record.currency);
    let first = currency(&records.first()?.1);
    records
        .iter()
        .position(|(_, record)| currency(record) != first)
}

/// Cars weighed in shared luck for one buyer, with their reasons and findings.
pub(super) struct SideBySide {
    pub comparison: Comparison,
    findings: Vec<Findings>,
}

impl SideBySide {
    pub(super) fn weigh(
        knowledge: &Knowledge,
        records: &Records,
        buyer: &Buyer,
        name: &str,
        run: &Run,
    ) -> Self {
        let plain: Vec<&CarRecord> = records.iter().map(|(_, record)| record).collect();
        let entrants = weigh_at_once(knowledge, records, buyer, run);
        let mut comparison = knowledge.side_by_side(entrants, &plain, buyer, run);
        for car in &mut comparison.cars {
            name.clone_into(&mut car.appraisal.assumptions.buyer);
        }
        let found = plain.iter();
        Self {
            comparison,
            findings: found
                .map(|record| findings(record, knowledge.tables(), buyer, run.today))
                .collect(),
        }
    }

    /// The cars as reports take them.
    pub(super) fn cars<'a>(&'a self, records: &'a Records) -> Vec<WeighedCar<'a>> {
        let made = self.comparison.cars.iter().zip(records);
        made.zip(&self.findings)
            .map(|((car, (slug, record)), found)| WeighedCar {
                slug,
                name: &record.name,
                record,
                appraisal: &car.appraisal,
                findings: Some(found),
            })
            .collect()
    }
}

/// Every car on a thread of its own; luck has addresses, so the figures are those of one thread.
fn weigh_at_once(
    knowledge: &Knowledge,
    records: &Records,
    buyer: &Buyer,
    run: &Run,
) -> Vec<Entrant> {
    let one = |(slug, record): &(String, CarRecord)| {
        let mut entrant = knowledge.entrant((slug, record), buyer, run);
        knowledge.explain(&mut entrant.car.appraisal, record, buyer, run);
        entrant
    };
    std::thread::scope(|scope| {
        let started: Vec<_> = records
            .iter()
            .map(|record| scope.spawn(move || one(record)))
            .collect();
        let ended = started.into_iter().zip(records);
        ended
            .map(|(thread, record)| thread.join().unwrap_or_else(|_| one(record)))
            .collect()
    })
}
