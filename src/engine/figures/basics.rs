//! What an appraisal is run with, and an unsure figure.

use jiff::civil::Date;
use serde::Serialize;

/// Key of a node in the [`Trace`](super::Trace), such as `limit`, `fault/ENG01`, `rung/unseen`.
pub type TraceId = String;

/// What an appraisal is run with, besides car, buyer and tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// The day it is reckoned on.
    pub today: Date,
    /// Seed of all draws.
    pub seed: u64,
    /// Number of draws, 1 or more.
    pub draws: u32,
}

/// An unsure figure, in dollars, hours or whatever its owner says.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Spread {
    /// Mean over the draws.
    pub mean: f64,
    /// Standard deviation over the draws.
    pub sd: f64,
    /// One draw in ten lies under this.
    pub p10: f64,
    /// Two in ten under.
    pub p20: f64,
    /// Three in ten under.
    pub p30: f64,
    /// Half under.
    pub p50: f64,
    /// Eight in ten under.
    pub p80: f64,
    /// Nine in ten under.
    pub p90: f64,
}
