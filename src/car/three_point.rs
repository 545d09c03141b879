//! Low, likely, high: the one way an unsure figure is written down.

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;

/// A figure known only as a least, a most likely and a greatest value, `low <= likely <= high`.
///
/// Written in files as `[low, likely, high]`. The unit is the owner's: dollars, hours, seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreePoint {
    low: f64,
    likely: f64,
    high: f64,
}

/// Why three numbers are no [`ThreePoint`].
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ThreePointError {
    /// One of them is not a finite number.
    #[error("a range needs three finite numbers")]
    NotFinite,
    /// They are out of order.
    #[error("a range runs low, likely, high; {0}, {1}, {2} does not")]
    OutOfOrder(f64, f64, f64),
}

impl ThreePoint {
    /// A range of three ordered numbers.
    ///
    /// # Errors
    /// [`ThreePointError`] when a number is not finite or they are out of order.
    pub fn new(low: f64, likely: f64, high: f64) -> Result<Self, ThreePointError> {
        if !(low.is_finite() && likely.is_finite() && high.is_finite()) {
            return Err(ThreePointError::NotFinite);
        }
        if low > likely || likely > high {
            return Err(ThreePointError::OutOfOrder(low, likely, high));
        }
        Ok(Self { low, likely, high })
    }

    /// A figure known exactly. A number that is not finite counts as zero.
    #[must_use]
    pub fn exactly(value: f64) -> Self {
        let value = if value.is_finite() { value } else { 0.0 };
        Self {
            low: value,
            likely: value,
            high: value,
        }
    }

    /// Least value.
    #[must_use]
    pub fn low(self) -> f64 {
        self.low
    }

    /// Most likely value.
    #[must_use]
    pub fn likely(self) -> f64 {
        self.likely
    }

    /// Greatest value.
    #[must_use]
    pub fn high(self) -> f64 {
        self.high
    }

    /// All three times a factor of zero or more; a negative or broken factor counts as zero.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        let factor = if factor.is_finite() {
            factor.max(0.0)
        } else {
            0.0
        };
        Self {
            low: self.low * factor,
            likely: self.likely * factor,
            high: self.high * factor,
        }
    }
}

impl fmt::Display for ThreePoint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {} {}", self.low, self.likely, self.high)
    }
}

impl Serialize for ThreePoint {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        [self.low, self.likely, self.high].serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for ThreePoint {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let [low, likely, high] = <[f64; 3]>::deserialize(deserializer)?;
        Self::new(low, likely, high).map_err(serde::de::Error::custom)
    }
}
