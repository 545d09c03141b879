//! Identification numbers read off the car and its papers.

use crate::car::vin::{Correction, Slip, corrections};
use crate::car::{CarRecord, Vin};
use jiff::civil::Date;

/// How a number stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum VinState {
    /// The check digit fits.
    Fits,
    /// It does not, on a car that should have one.
    DoesNotFit,
    /// None is to be expected: not built for North America, or a filler in its place.
    NoCheckDigit,
    /// It is no number at all, and why.
    NotANumber(String),
}

/// One number, read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VinFinding {
    /// Where it was read.
    pub place: String,
    /// As read.
    pub text: String,
    /// How it stands.
    pub state: VinState,
    /// Model years it can mean, likelier first, none in the future of today's model year.
    pub years: Vec<u16>,
    /// Numbers that would pass, one misread or one swap away; only where it does not fit.
    pub corrections: Vec<Correction>,
}

impl VinFinding {
    /// In words.
    #[must_use]
    pub fn words(&self) -> String {
        match &self.state {
            VinState::Fits => "check digit fits".to_owned(),
            VinState::DoesNotFit => match self.close() {
                None => "check digit does not fit: read it again, then suspect it".to_owned(),
                Some(close) => format!("check digit does not fit: read it again. {close}"),
            },
            VinState::NoCheckDigit => {
                "not built for North America: no check digit is to be expected, so it proves nothing"
                    .to_owned()
            }
            VinState::NotANumber(why) => match self.close() {
                None => why.clone(),
                Some(close) => format!("{why}. {close}"),
            },
        }
    }

    /// The numbers that would pass, the likelier slips by name and of the others how many.
    fn close(&self) -> Option<String> {
        let (apart, near): (Vec<_>, Vec<_>) =
            (self.corrections.iter()).partition(|one| one.slip == Slip::Apart);
        let named = if near.is_empty() { &apart } else { &near };
        let named: Vec<&str> = named
            .iter()
            .take(NAMED)
            .map(|one| one.vin.as_str())
            .collect();
        let more = self.corrections.len() - named.len();
        let more = match more {
            0 => String::new(),
            1 => ", and one more with two characters exchanged".to_owned(),
            more => format!(", and {more} more with two characters exchanged"),
        };
        (!named.is_empty()).then(|| format!("These would pass: {}{more}", named.join(", ")))
    }
}

/// Corrections that are named in words; the JSON has all.
const NAMED: usize = 4;

/// The particulars' own number first, then those of the papers.
pub(super) fn vins(car: &CarRecord, today: Date) -> Vec<VinFinding> {
    let own = car.particulars.vin.as_ref();
    let own = own.map(|vin| ("particulars", vin.as_str()));
    let read = car.papers.vins.iter();
    let read = read.map(|read| (read.place.as_str(), read.text.as_str()));
    own.into_iter()
        .chain(read)
        .map(|(place, text)| one(place, text, car.papers.north_american, today))
        .collect()
}

fn one(place: &str, text: &str, north_american: Option<bool>, today: Date) -> VinFinding {
    let (state, years) = match Vin::parse(text) {
        Err(why) => (VinState::NotANumber(why.to_string()), Vec::new()),
        Ok(vin) => {
            let state = match (vin.check_digit_fits(), north_american) {
                (_, Some(false)) => VinState::NoCheckDigit,
                (true, _) => VinState::Fits,
                (false, Some(true)) => VinState::DoesNotFit,
                (false, None) if vin.ninth_can_be_a_check_digit() => VinState::DoesNotFit,
                (false, None) => VinState::NoCheckDigit,
            };
            // The model year runs ahead of the calendar by one at most.
            let next = today.year() + 1;
            let years = vin.model_years().into_iter();
            let years = years.filter(|year| i32::from(*year) <= i32::from(next));
            (state, years.collect())
        }
    };
    let corrections = match state {
        VinState::DoesNotFit | VinState::NotANumber(_) => corrections(text),
        _ => Vec::new(),
    };
    VinFinding {
        place: place.to_owned(),
        text: text.to_owned(),
        state,
        years,
        corrections,
    }
}
