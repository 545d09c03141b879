//! `compare CAR…`.

use super::args::Global;
use super::failure::{Failure, shown};
use super::places::{buyer_for, knowledge, run_of, slug_of, style_of};
use super::weigh::write_json;
use crate::car::CarRecord;
use crate::report::{json, text, words};
use crate::store;
use std::io::Write;
use std::path::PathBuf;

/// Weighs the cars against each other for one buyer: the one named, else the one beside the first car.
///
/// # Errors
/// The first file that cannot be used, cars of unlike currency, or standard output gone.
pub fn run(cars: &[PathBuf], global: &Global, out: &mut impl Write) -> Result<(), Failure> {
    let knowledge = knowledge(global)?;
    let mut records: Vec<(String, CarRecord)> = Vec::with_capacity(cars.len());
    for path in cars {
        records.push((slug_of(path), store::load_car(path)?.car));
    }
    let Some((first, (_, first_record))) = cars.first().zip(records.first()) else {
        return Err(Failure::Usage("name the cars to compare.".to_owned()));
    };
    let currency = |record: &CarRecord| words::currency_mark(&record.currency);
    if let Some(odd) = records
        .iter()
        .position(|(_, record)| currency(record) != currency(first_record))
    {
        let path = cars.get(odd).map_or_else(String::new, |path| shown(path));
        return Err(Failure::Data(format!(
            "{path}: its currency is not that of {}. Compare cars of one currency.",
            shown(first)
        )));
    }
    let (buyer, name) = buyer_for(first, global, knowledge.tables())?;
    let named: Vec<(&str, &CarRecord)> = records
        .iter()
        .map(|(slug, record)| (slug.as_str(), record))
        .collect();
    let run = run_of(global);
    let mut comparison = knowledge.compare(&named, &buyer, &run);
    for car in &mut comparison.cars {
        car.appraisal.assumptions.buyer.clone_from(&name);
        if let Some((_, record)) = records.iter().find(|(slug, _)| *slug == car.slug) {
            knowledge.explain(&mut car.appraisal, record, &buyer, &run);
        }
    }
    let plain: Vec<&CarRecord> = named.iter().map(|(_, record)| *record).collect();
    if global.json {
        write_json(out, &json::compare(&comparison, &plain))
    } else {
        let marks: Vec<String> = plain.iter().map(|record| currency(record)).collect();
        Ok(out.write_all(text::compare(&comparison, &marks, style_of(global)).as_bytes())?)
    }
}
