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

    /// The ninth character that the others ask for (49 CFR 565.15(c)).
    #[must_use]
    pub fn check_digit(&self) -> char {
        match self.weighted_sum() % 11 {
            10 => 'X',
            digit => char::from_digit(digit, 10).unwrap_or('X'),
        }
    }

    /// True if the ninth character is the check digit that the others ask for.
    ///
    /// Proves nothing on a car that was not built for North America.
    #[must_use]
    pub fn check_digit_fits(&self) -> bool {
        self.at(9) == Some(self.check_digit())
    }

    /// Sum of the values times the weights of their places.
    #[must_use]
    pub fn weighted_sum(&self) -> u32 {
        const WEIGHTS: [u32; 17] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
        let values = self.0.bytes().map(value);
        values
            .zip(WEIGHTS)
            .map(|(value, weight)| value * weight)
            .sum()
    }

    /// True if the ninth character can be a check digit at all; elsewhere than North America it may be a filler.
    #[must_use]
    pub fn ninth_can_be_a_check_digit(&self) -> bool {
        matches!(self.at(9), Some('0'..='9' | 'X'))
    }

    /// Model years that the tenth character can mean, the likelier first; none where it is no code of a year (U, Z and 0 never are).
    ///
    /// The codes come round every 30 years. On cars and light trucks of the North American market the seventh character tells: a digit
    /// up to 2009, a letter from 2010 on (49 CFR 565.15(b) and the older 565.25(b)); on others both stay possible.
    #[must_use]
    pub fn model_years(&self) -> Vec<u16> {
        const CODES: &str = "ABCDEFGHJKLMNPRSTVWXY123456789";
        let Some(at) = self.at(10).and_then(|code| CODES.find(code)) else {
            return Vec::new();
        };
        let first = 1980 + u16::try_from(at).unwrap_or(0);
        let letter = self.at(7).is_some_and(|c| c.is_ascii_alphabetic());
        if letter {
            vec![first + 30, first]
        } else {
            vec![first, first + 30]
        }
    }

    /// Places, counted from 1, in which two numbers differ.
    #[must_use]
    pub fn differs(&self, other: &Self) -> Vec<usize> {
        let pairs = self.0.bytes().zip(other.0.bytes()).enumerate();
        pairs
            .filter(|(_, (a, b))| a != b)
            .map(|(at, _)| at + 1)
            .collect()
    }

    /// The character in a place, counted from 1.
    #[must_use]
    pub fn at(&self, place: usize) -> Option<char> {
        self.0.chars().nth(place.checked_sub(1)?)
    }

    /// The number as written.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// A number that would pass, and what would have to have been misread or mistyped for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Correction {
    /// The number.
    pub vin: Vin,
    /// Places that change, counted from 1.
    pub places: Vec<usize>,
    /// What happened on the way.
    pub slip: Slip,
}

/// How a number came to be wrong, the likelier first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Slip {
    /// One character was taken for another that looks like it.
    Misread,
    /// Two neighbors stand in each other's place.
    Neighbors,
    /// Two characters further apart stand in each other's place.
    Apart,
}

/// Characters that are taken for each other: 0 and O (and Q), 1 and I, 5 and S, 8 and B, 2 and Z.
const LOOKALIKES: [(char, char); 5] = [('0', 'O'), ('1', 'I'), ('5', 'S'), ('8', 'B'), ('2', 'Z')];

/// Every number that passes the check digit and lies one misread character, or one swap of two characters, from what was typed: misreads
/// first, then neighbors, then what stands further apart. Letters that are never used (I, O, Q) are read as the digits they look like, first
/// of all. Empty for a text that has not 17 characters.
#[must_use]
pub fn corrections(typed: &str) -> Vec<Correction> {
    let raised = typed.chars().filter(|c| !c.is_whitespace() && *c != '-');
    let raised: Vec<char> = raised.map(|c| c.to_ascii_uppercase()).collect();
    let mut never: Vec<usize> = Vec::new();
    let chars: Vec<char> = (1..)
        .zip(&raised)
        .map(|(place, c)| {
            let digit = match c {
                'I' => '1',
                'O' | 'Q' => '0',
                other => return *other,
            };
            never.push(place);
            digit
        })
        .collect();
    if chars.len() != 17 {
        return Vec::new();
    }
    let mut found: Vec<Correction> = Vec::new();
    let mut try_it = |chars: &[char], mut places: Vec<usize>, slip: Slip| {
        let text: String = chars.iter().collect();
        let Ok(vin) = Vin::parse(&text) else { return };
        if vin.check_digit_fits() && !found.iter().any(|known| known.vin == vin) {
            places.extend(never.iter().copied());
            places.sort_unstable();
            places.dedup();
            found.push(Correction { vin, places, slip });
        }
    };
    if !never.is_empty() {
        try_it(&chars, Vec::new(), Slip::Misread);
    }
    for at in 0..chars.len() {
        for (digit, letter) in LOOKALIKES {
            let other = match chars[at] {
                c if c == digit => letter,
                c if c == letter => digit,
                _ => continue,
            };
            let mut changed = chars.clone();
            changed[at] = other;
            try_it(&changed, vec![at + 1], Slip::Misread);
        }
    }
    for apart in 1..chars.len() {
        let slip = if apart == 1 {
            Slip::Neighbors
        } else {
            Slip::Apart
        };
        for at in apart..chars.len() {
            if chars[at - apart] != chars[at] {
                let mut changed = chars.clone();
                changed.swap(at - apart, at);
                try_it(&changed, vec![at - apart + 1, at + 1], slip);
            }
        }
    }
    found
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
