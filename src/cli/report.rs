//! `report CAR…`.

use super::args::{AudienceWord, Global, ReportArgs};
use super::failure::Failure;
use super::out_file;
use super::places::{buyer_for, knowledge, run_of, slug_of};
use crate::engine::findings::findings;
use crate::report::WeighedCar;
use crate::report::html::{self, Audience, ReportWish};
use crate::store;
use std::io::Write;

/// Writes one page of the cars, each weighed for its own buyer.
///
/// # Errors
/// The first file that cannot be used, a name that is taken, or standard output gone.
pub fn run(wanted: &ReportArgs, global: &Global, out: &mut impl Write) -> Result<(), Failure> {
    if let Some(path) = &wanted.out {
        out_file::must_be_free(path)?;
    }
    let (knowledge, run) = (knowledge(global)?, run_of(global));
    let mut done = Vec::with_capacity(wanted.cars.len());
    for path in &wanted.cars {
        let record = store::load_car(path)?.car;
        let (buyer, name) = buyer_for(path, global, knowledge.tables())?;
        let mut appraisal = knowledge.appraise(&record, &buyer, &run);
        knowledge.explain(&mut appraisal, &record, &buyer, &run);
        appraisal.assumptions.buyer = name;
        let found = findings(&record, knowledge.tables(), &buyer, run.today);
        done.push((slug_of(path), record, appraisal, found));
    }
    let cars: Vec<WeighedCar<'_>> = done
        .iter()
        .map(|(slug, record, appraisal, found)| WeighedCar {
            slug,
            name: &record.name,
            record,
            appraisal,
            findings: Some(found),
        })
        .collect();
    let wish = ReportWish {
        audience: match wanted.audience {
            AudienceWord::Me => Audience::Me,
            AudienceWord::Scrutineer => Audience::Scrutineer,
            AudienceWord::Seller => Audience::Seller,
        },
        with_names: wanted.with_names,
    };
    let page = html::report(&cars, knowledge.tables(), wish);
    match &wanted.out {
        Some(path) => out_file::write(path, &page),
        None => Ok(out.write_all(page.as_bytes())?),
    }
}
