//! Stands in for calls of the engine and the store until they are joined; nothing else in this layer knows.

use crate as house;

#[path = "../../tests/fixtures/appraisal.rs"]
mod fixed;

/// The engine's two calls.
pub mod engine {
    use super::fixed;
    use crate::car::{Buyer, CarRecord};
    use crate::engine::{Appraisal, ComparedCar, Comparison, Knowledge, Run};

    /// An appraisal by hand.
    pub fn appraise(
        _knowledge: &Knowledge,
        _record: &CarRecord,
        buyer: &Buyer,
        run: &Run,
    ) -> Appraisal {
        let mut appraisal = fixed::appraisal();
        appraisal.assumptions.date = run.today;
        appraisal.assumptions.seed = run.seed;
        appraisal.assumptions.draws = run.draws;
        appraisal.assumptions.purpose.clone_from(&buyer.purpose);
        appraisal
    }

    /// A comparison by hand.
    pub fn compare(
        knowledge: &Knowledge,
        cars: &[(&str, &CarRecord)],
        buyer: &Buyer,
        run: &Run,
    ) -> Comparison {
        let cars: Vec<ComparedCar> = cars
            .iter()
            .map(|(slug, record)| ComparedCar {
                slug: (*slug).to_owned(),
                name: record.name.clone(),
                appraisal: appraise(knowledge, record, buyer, run),
            })
            .collect();
        fixed::comparison(cars)
    }
}

/// The store's two calls.
pub mod store {
    use crate::car::{Buyer, CarFile, SCHEMA};
    use crate::cli::places::reason;
    use serde::de::DeserializeOwned;
    use std::fs;
    use std::path::Path;

    const MOST_BYTES: u64 = 16 * 1024 * 1024;

    /// Why a file cannot be used.
    #[derive(Debug, thiserror::Error)]
    #[error("{0}")]
    pub struct StoreError(String);

    /// Reads a car file.
    pub fn load_car(path: &Path) -> Result<CarFile, StoreError> {
        let file: CarFile = load(path, "a car file")?;
        schema(path, file.schema)?;
        Ok(file)
    }

    /// Reads a buyer file.
    pub fn load_buyer(path: &Path) -> Result<Buyer, StoreError> {
        let buyer: Buyer = load(path, "a buyer file")?;
        schema(path, buyer.schema)?;
        Ok(buyer)
    }

    fn schema(path: &Path, schema: u32) -> Result<(), StoreError> {
        if schema > SCHEMA {
            return Err(StoreError(format!(
                "{}: written by a newer version (format {schema}, this one reads {SCHEMA}). Use that version; the file is left as it is.",
                path.display()
            )));
        }
        Ok(())
    }

    fn load<T: DeserializeOwned>(path: &Path, wanted: &str) -> Result<T, StoreError> {
        let fail = |what: String| StoreError(format!("{}: {what}. Name {wanted}.", path.display()));
        let facts = fs::metadata(path).map_err(|error| fail(reason(&error)))?;
        if facts.is_dir() {
            return Err(fail("it is a folder".to_owned()));
        }
        if facts.len() > MOST_BYTES {
            return Err(fail("it is over 16 MB".to_owned()));
        }
        let text = fs::read_to_string(path).map_err(|error| fail(reason(&error)))?;
        let mut json = serde_json::Deserializer::from_str(&text);
        serde_path_to_error::deserialize(&mut json).map_err(|error| {
            let place = error.path().to_string();
            let place = if place == "." {
                String::new()
            } else {
                format!(" in {place}")
            };
            fail(format!("it is not {wanted}{place}: {}", error.inner()))
        })
    }
}
