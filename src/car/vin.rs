//! Vehicle identification numbers: shape and check digit.

use serde::{Deserialize, Serialize};
use std::fmt;

/// A 17-character identification number: capital letters without I, O and Q, and digits (49 CFR 565.13, 565.15).
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Vin(String);

/// Why a text is no identification number.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum VinError {
    /// Wrong length.
    #[error("VIN: 17 characters needed, {0} typed")]
    Length(usize),
    /// A letter that the rule leaves out because it looks like a digit.
    #[error("VIN: {letter} in place {place} is never used; read it again, it is likely {likely}")]
    NeverUsed {
        /// The letter.
        letter: char,
        /// Place, counted from 1.
        place: usize,
        /// What it most likely is.
        likely: char,
    },
    /// Neither letter nor digit.
    #[error("VIN: “{character}” in place {place} is neither letter nor digit")]
    NotAllowed {
        /// The character.
        character: char,
        /// Place, counted from 1.
        place: usize,
    },
}

impl Vin {
    /// Reads a number as typed: blanks and hyphens dropped, letters raised.
    ///
    /// # Errors
    /// [`VinError`] says which character, where, and what it likely is.
    pub fn parse(typed: &str) -> Result<Self, VinError> {
        let text: String = typed
            .chars()
            .filter(|c| !c.is_whitespace() && *c != '-')
            .map(|c| c.to_ascii_uppercase())
            .collect();
        for (at, character) in text.chars().enumerate() {
            let place = at + 1;
            match character {
                'I' => {
                    return Err(VinError::NeverUsed {
                        letter: 'I',
                        place,
                        likely: '1',
                    });
                }
                'O' | 'Q' => {
                    return Err(VinError::NeverUsed {
                        letter: character,
                        place,
                        likely: '0',
                    });
                }
                c if c.is_ascii_uppercase() || c.is_ascii_digit() => {}
                character => return Err(VinError::NotAllowed { character, place }),
            }
        }
        match text.len() {
            17 => Ok(Self(text)),
            length => Err(VinError::Length(length)),
        }
    }

    /// True if the ninth character is the check digit that the others ask for (49 CFR 565.15(c)).
    ///
    /// Proves nothing on a car that was not built for North America.
    #[must_use]
    pub fn check_digit_fits(&self) -> bool {
        const WEIGHTS: [u32; 17] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
        let sum: u32 = self
            .0
            .bytes()
            .zip(WEIGHTS)
            .map(|(byte, weight)| value(byte) * weight)
            .sum();
        let wanted = match sum % 11 {
            10 => 'X',
            digit => char::from_digit(digit, 10).unwrap_or('X'),
        };
        self.0.chars().nth(8) == Some(wanted)
    }

    /// The number as written.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// Transliteration of 49 CFR 565.15, table III.
fn value(byte: u8) -> u32 {
    match byte {
        b'0'..=b'9' => u32::from(byte - b'0'),
        b'A'..=b'H' => u32::from(byte - b'A') + 1,
        b'J'..=b'N' => u32::from(byte - b'J') + 1,
        b'P' => 7,
        b'R' => 9,
        b'S'..=b'Z' => u32::from(byte - b'S') + 2,
        _ => 0,
    }
}

impl TryFrom<String> for Vin {
    type Error = VinError;
    fn try_from(text: String) -> Result<Self, VinError> {
        Self::parse(&text)
    }
}

impl From<Vin> for String {
    fn from(vin: Vin) -> Self {
        vin.0
    }
}

impl fmt::Display for Vin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn the_rules_own_example_number_computes() {
        // 49 CFR 565.15: seventeen ones give 89 = 1 mod 11.
        assert!(Vin::parse("11111111111111111").unwrap().check_digit_fits());
        assert!(!Vin::parse("11111111211111111").unwrap().check_digit_fits());
    }

    #[test]
    fn letters_that_look_like_digits_are_named_with_their_place() {
        assert_eq!(
            Vin::parse("1111111111111111O").unwrap_err().to_string(),
            "VIN: O in place 17 is never used; read it again, it is likely 0"
        );
        assert_eq!(Vin::parse("1234").unwrap_err(), VinError::Length(4));
    }
}
