//! The date code at the end of a tire identification number (49 CFR 574.5).

use jiff::civil::Date;

/// When a tire was made, as far as its code tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct TireDate {
    /// Week of the year, 1 the first full calendar week.
    pub week: u8,
    /// Year; of a three-digit code only its last digit is known, and this is the latest year it can mean.
    pub year: u16,
    /// True for a three-digit code: the decade is not told.
    pub decade_unknown: bool,
}

/// Why a text is no date code.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TireDateError {
    /// Not three or four digits at its end.
    #[error(
        "“{0}” is no tire date: the last four digits of the DOT number, week and year, such as 3623."
    )]
    Shape(String),
    /// No such week.
    #[error("week {0} is in no year: read the code again.")]
    Week(u8),
}

/// Last year in which a three-digit code was molded: four digits are required from July 2000 (64 FR 36807, date from memory).
const LAST_THREE_DIGIT_YEAR: u16 = 2000;

impl TireDate {
    /// Reads the code alone (`3623`, `317`) or a whole number that ends in it.
    ///
    /// # Errors
    /// [`TireDateError`] says what is wrong with it.
    pub fn parse(typed: &str) -> Result<Self, TireDateError> {
        let bare: String = typed
            .chars()
            .filter(|c| !c.is_whitespace() && *c != '-')
            .collect();
        let shape = || TireDateError::Shape(typed.chars().take(24).collect());
        if !bare.is_ascii() {
            return Err(shape());
        }
        // Three or four digits alone are the code; at the end of a whole number only four can be told from what stands before them.
        let digits = if bare.len() <= 4 {
            bare.as_str()
        } else {
            bare.get(bare.len() - 4..).unwrap_or_default()
        };
        if !(3..=4).contains(&digits.len()) || !digits.bytes().all(|b| b.is_ascii_digit()) {
            return Err(shape());
        }
        let (week, year) = digits.split_at(2);
        let week: u8 = week.parse().map_err(|_| shape())?;
        let year: u16 = year.parse().map_err(|_| shape())?;
        if !(1..=53).contains(&week) {
            return Err(TireDateError::Week(week));
        }
        Ok(if digits.len() == 4 {
            Self {
                week,
                year: 2000 + year,
                decade_unknown: false,
            }
        } else {
            let latest = if year == 0 {
                LAST_THREE_DIGIT_YEAR
            } else {
                LAST_THREE_DIGIT_YEAR - 10 + year
            };
            Self {
                week,
                year: latest,
                decade_unknown: true,
            }
        })
    }

    /// The years it can mean, latest first.
    #[must_use]
    pub fn years(self) -> Vec<u16> {
        if self.decade_unknown {
            vec![self.year, self.year - 10]
        } else {
            vec![self.year]
        }
    }

    /// The latest moment it can mean: the year, with its weeks as a fraction.
    #[must_use]
    pub fn latest(self) -> f64 {
        f64::from(self.year) + (f64::from(self.week) - 1.0) / 52.0
    }

    /// Age in years on a day; at least so old where the decade is not told. Below zero for a code from the future.
    #[must_use]
    pub fn age_years(self, today: Date) -> f64 {
        age_years(self.latest(), today)
    }
}

/// Age in years, on a day, of something made in a year with its weeks as a fraction.
#[must_use]
pub fn age_years(made: f64, today: Date) -> f64 {
    f64::from(today.year()) + (f64::from(today.day_of_year()) - 1.0) / 365.25 - made
}
