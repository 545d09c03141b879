//! Miles as they stand in files: a bare number. A text is refused with the number to write.

use super::entry::{self, KM_PER_MILE};
use serde::Deserializer;
use serde::de::{self, Visitor};
use std::fmt;

/// Reads miles, absent or null for not known.
///
/// # Errors
/// The reader's, or one sentence for a text in the place of the number.
pub fn miles<'de, D: Deserializer<'de>>(from: D) -> Result<Option<f64>, D::Error> {
    from.deserialize_any(Miles)
}

struct Miles;

impl Visitor<'_> for Miles {
    type Value = Option<f64>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("miles as a number without quotes")
    }

    fn visit_unit<E: de::Error>(self) -> Result<Self::Value, E> {
        Ok(None)
    }

    fn visit_f64<E: de::Error>(self, number: f64) -> Result<Self::Value, E> {
        Ok(Some(number))
    }

    #[allow(
        clippy::cast_precision_loss,
        reason = "no odometer has sixteen digits; what is above is refused later"
    )]
    fn visit_u64<E: de::Error>(self, number: u64) -> Result<Self::Value, E> {
        Ok(Some(number as f64))
    }

    #[allow(
        clippy::cast_precision_loss,
        reason = "no odometer has sixteen digits; what is above is refused later"
    )]
    fn visit_i64<E: de::Error>(self, number: i64) -> Result<Self::Value, E> {
        Ok(Some(number as f64))
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Self::Value, E> {
        let short: String = text.chars().take(24).collect();
        let meant = entry::miles(&entry::ODOMETER, text).ok().flatten();
        Err(E::custom(match meant {
            Some(miles) if text.to_lowercase().contains("km") => format!(
                "“{short}” is in kilometers, write the miles as a number without quotes: {miles:.0} (1 mile is {KM_PER_MILE} km)"
            ),
            Some(miles) => format!("“{short}” is a text, write the number without quotes: {miles}"),
            None => {
                format!("“{short}” is not a number, write the miles without quotes, such as 146000")
            }
        }))
    }
}
