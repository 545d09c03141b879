//! The three chances and the pace.

use super::basics::TraceId;
use serde::Serialize;

/// The three chances; `None` is unknown, never zero.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct ThreeChances {
    /// Chance that everything paid stays inside the wallet.
    pub cheap: Option<f64>,
    /// Chance of covering the horizon without being stranded.
    pub reliable: Option<f64>,
    /// Share of ordinary cars it out-accelerates.
    pub fast: Option<f64>,
}

/// Place on the triangle, before and after the work.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Chances {
    /// As it stands.
    pub before: ThreeChances,
    /// With the work done.
    pub after: ThreeChances,
    /// Corners offered: `cheap`, `reliable`, `fast`.
    pub offers: Vec<String>,
    /// In words: `cheap and reliable, not fast`.
    pub words: String,
    /// Why a chance is unknown, in words.
    pub unknown_because: Vec<String>,
    /// Race only: expected share of the laps completed.
    pub laps_share: Option<f64>,
    /// Trace.
    pub trace_id: TraceId,
}

/// Straight-line pace, put right.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Pace {
    /// 0 to 60 mph, seconds.
    pub zero_to_60_mph_s: f64,
    /// Quarter mile, seconds.
    pub quarter_mile_s: f64,
    /// Speed at its end, mph.
    pub quarter_mile_mph: f64,
    /// Honest band either way, seconds.
    pub band_s: f64,
}
