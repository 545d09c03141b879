//! `weigh CAR…`.

use super::args::Global;
use super::failure::Failure;
use super::places::{buyer_for, knowledge, run_of, slug_of, style_of};
use crate::car::CarRecord;
use crate::engine::Appraisal;
use crate::engine::find_out::Mind;
use crate::engine::findings::{Findings, findings};
use crate::report::{WeighedCar, json, text};
use crate::store;
use std::io::Write;
use std::path::PathBuf;

/// A car read and weighed.
struct Done {
    slug: String,
    /// What would change the mind; reckoned for scripts alone.
    mind: Option<Mind>,
    record: CarRecord,
    appraisal: Appraisal,
    findings: Findings,
}

/// Weighs the cars, each for its own buyer, and writes them in the order given.
///
/// # Errors
/// The first file that cannot be used, or standard output gone.
pub fn run(cars: &[PathBuf], global: &Global, out: &mut impl Write) -> Result<(), Failure> {
    let knowledge = knowledge(global)?;
    let run = run_of(global);
    let mut done = Vec::with_capacity(cars.len());
    for path in cars {
        let record = store::load_car(path)?.car;
        let (buyer, name) = buyer_for(path, global, knowledge.tables())?;
        let mut appraisal = knowledge.appraise(&record, &buyer, &run);
        knowledge.explain(&mut appraisal, &record, &run);
        appraisal.assumptions.buyer = name;
        let findings = findings(&record, knowledge.tables(), &buyer, run.today);
        let mind = global
            .json
            .then(|| knowledge.change_my_mind(&record, &buyer, &run, &appraisal));
        done.push(Done {
            slug: slug_of(path),
            mind,
            record,
            appraisal,
            findings,
        });
    }
    let weighed: Vec<WeighedCar<'_>> = done
        .iter()
        .map(|car| WeighedCar {
            slug: &car.slug,
            name: &car.record.name,
            record: &car.record,
            appraisal: &car.appraisal,
            findings: Some(&car.findings),
        })
        .collect();
    if global.json {
        let minds: Vec<Mind> = done.iter().filter_map(|car| car.mind.clone()).collect();
        write_json(out, &json::weigh_with_minds(&weighed, &minds))
    } else {
        Ok(out.write_all(text::weigh(&weighed, style_of(global)).as_bytes())?)
    }
}

/// JSON on lines of its own, ended by a line end.
///
/// # Errors
/// Standard output gone.
pub fn write_json(out: &mut impl Write, value: &serde_json::Value) -> Result<(), Failure> {
    let text = format!("{value:#}\n");
    Ok(out.write_all(text.as_bytes())?)
}
