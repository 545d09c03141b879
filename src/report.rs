//! Numbers become words here and only here: JSON for scripts, plain linear text for people.
//!
//! Uses the car, trade and engine layers. No clock, files, environment or printing: everything is returned.

pub mod csv;
pub mod full;
pub mod html;
pub mod json;
pub mod letter;
pub mod look_up;
pub mod markdown;
pub mod mind;
pub mod papers;
pub mod proven;
pub mod readings;
pub mod side;
pub mod text;
pub mod words;

use crate::car::CarRecord;
use crate::engine::Appraisal;
use crate::engine::findings::Findings;

/// One weighed car, as the reports take it.
#[derive(Debug, Clone, Copy)]
pub struct WeighedCar<'a> {
    /// Slug of its file.
    pub slug: &'a str,
    /// Name as shown.
    pub name: &'a str,
    /// What was recorded.
    pub record: &'a CarRecord,
    /// What follows from it.
    pub appraisal: &'a Appraisal,
    /// What follows by law and arithmetic alone; absent where it was not asked for.
    pub findings: Option<&'a Findings>,
}
