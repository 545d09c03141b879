//! What a code reader shows, as text: trouble codes, readiness, counters, from its own words or from raw replies of service 01.
//!
//! Layout of PID 01 and scaling of the others: the open libraries obd 0.7.3 and py-obdii 0.10.5b0 agree on them; SAE J1979 itself was
//! not read. Nothing is sent to a car: codes are never cleared here.

use super::text;
use serde::{Deserialize, Serialize};

/// How a code stands in the computer.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum CodeState {
    /// This or the last drive cycle, not yet confirmed (service 07).
    Pending,
    /// Confirmed (service 03).
    #[default]
    Stored,
    /// Confirmed and not to be cleared by a reader (service 0A, from model year 2010).
    Permanent,
}

/// A trouble code read off the car.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct CodeRead {
    /// Five characters: `P0171`.
    pub code: String,
    /// How it stands.
    #[serde(default)]
    pub state: CodeState,
}

/// A value of service 01, in the unit of the standard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Value {
    /// What it is.
    pub what: &'static str,
    /// The number.
    pub value: f64,
    /// Its unit.
    pub unit: &'static str,
}

/// PID 01: lamp, count of codes, self-tests.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Status {
    /// The lamp is commanded on.
    pub lamp_on: bool,
    /// Count of stored codes.
    pub codes: u8,
    /// Compression ignition.
    pub diesel: bool,
    /// Self-tests that are fitted and not complete.
    pub not_ready: u8,
    /// Self-tests that are fitted.
    pub fitted: u8,
}

/// Reads the four bytes of PID 01. A self-test counts as not ready only where it is fitted and its bit says not complete; bit 4 of the
/// tests that do not run all the time is reserved, on diesels bit 2 as well.
#[must_use]
pub fn status(bytes: [u8; 4]) -> Status {
    let [a, b, fitted, open] = bytes;
    let diesel = b & 0b1000 != 0;
    let known: u8 = if diesel { 0b1110_1011 } else { 0b1110_1111 };
    let often = b & 0b111;
    let often_open = (b >> 4) & 0b111;
    let count = |bits: u8| u8::try_from(bits.count_ones()).unwrap_or(0);
    Status {
        lamp_on: a & 0x80 != 0,
        codes: a & 0x7f,
        diesel,
        not_ready: count(often & often_open) + count(fitted & open & known),
        fitted: count(often) + count(fitted & known),
    }
}

/// Decodes one PID of service 01; `None` for one not known here or too short a reply.
#[must_use]
pub fn decode(pid: u8, bytes: &[u8]) -> Option<Value> {
    let a = f64::from(*bytes.first()?);
    let two = || Some(a * 256.0 + f64::from(*bytes.get(1)?));
    let of = |what, value, unit| Some(Value { what, value, unit });
    match pid {
        0x04 => of("engine load", a * 100.0 / 255.0, "%"),
        0x05 => of("coolant", a - 40.0, "C"),
        0x06 => of("short trim, bank 1", (a - 128.0) * 100.0 / 128.0, "%"),
        0x07 => of("long trim, bank 1", (a - 128.0) * 100.0 / 128.0, "%"),
        0x08 => of("short trim, bank 2", (a - 128.0) * 100.0 / 128.0, "%"),
        0x09 => of("long trim, bank 2", (a - 128.0) * 100.0 / 128.0, "%"),
        0x0a => of("fuel pressure", a * 3.0, "kPa"),
        0x0b => of("manifold pressure", a, "kPa"),
        0x0c => of("engine speed", two()? / 4.0, "rpm"),
        0x0d => of("speed", a, "km/h"),
        0x0e => of("timing advance", a / 2.0 - 64.0, "deg"),
        0x0f => of("intake air", a - 40.0, "C"),
        0x10 => of("air flow", two()? / 100.0, "g/s"),
        0x11 => of("throttle", a * 100.0 / 255.0, "%"),
        0x1f => of("run time", two()?, "s"),
        0x21 => of("distance with lamp on", two()?, "km"),
        0x2f => of("fuel level", a * 100.0 / 255.0, "%"),
        0x30 => of("warm-ups since cleared", a, ""),
        0x31 => of("distance since cleared", two()?, "km"),
        0x33 => of("barometer", a, "kPa"),
        0x42 => of("module voltage", two()? / 1000.0, "V"),
        0x46 => of("ambient", a - 40.0, "C"),
        0x4d => of("time with lamp on", two()?, "min"),
        0x4e => of("time since cleared", two()?, "min"),
        0x5b => of("hybrid battery life", a * 100.0 / 255.0, "%"),
        0x5c => of("oil", a - 40.0, "C"),
        _ => None,
    }
}

/// Kilometers in a mile, exact.
const KM_PER_MILE: f64 = 1.609_344;

/// What a pasted or typed text of a reader says.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ReaderText {
    /// Codes, each once at its gravest state.
    pub codes: Vec<CodeRead>,
    /// The lamp is on.
    pub lamp_on: Option<bool>,
    /// Self-tests not ready.
    pub not_ready: Option<u8>,
    /// Miles since the codes were cleared.
    pub since_clear_miles: Option<f64>,
    /// Warm-ups since.
    pub warm_ups: Option<f64>,
    /// Miles with the lamp on.
    pub lamp_miles: Option<f64>,
}

impl ReaderText {
    /// True if nothing of a reader was found in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// Reads a text line by line. A line without codes that names a state (`Pending codes:`) holds for the lines after it.
#[must_use]
pub fn reader_text(typed: &str) -> ReaderText {
    let mut found = ReaderText::default();
    let mut heading = CodeState::Stored;
    for line in text::sanitise(typed).lines() {
        let low = line.to_lowercase();
        let named = state_named(&low);
        let codes = codes_in(line);
        if codes.is_empty() {
            heading = named.unwrap_or(heading);
            if !raw(&low, &mut found) {
                words(&low, &mut found);
            }
        }
        for code in codes {
            put_code(&mut found.codes, code, named.unwrap_or(heading));
        }
    }
    found.codes.sort();
    found
}

fn put_code(codes: &mut Vec<CodeRead>, code: String, state: CodeState) {
    match codes.iter_mut().find(|known| known.code == code) {
        Some(known) => known.state = known.state.max(state),
        None => codes.push(CodeRead { code, state }),
    }
}

fn state_named(line: &str) -> Option<CodeState> {
    [
        ("pending", CodeState::Pending),
        ("permanent", CodeState::Permanent),
        ("stored", CodeState::Stored),
        ("confirmed", CodeState::Stored),
    ]
    .into_iter()
    .find(|(word, _)| line.contains(word))
    .map(|(_, state)| state)
}

/// Every code in a line, raised: a letter of P, C, B, U, a digit 0 to 3, three hexadecimal digits, standing alone.
#[must_use]
pub fn codes_in(line: &str) -> Vec<String> {
    line.split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|word| word.len() == 5)
        .filter(|word| {
            let mut bytes = word.bytes();
            let letter = bytes.next().is_some_and(|b| b"PCBUpcbu".contains(&b));
            let kind = bytes.next().is_some_and(|b| (b'0'..=b'3').contains(&b));
            letter && kind && bytes.all(|b| b.is_ascii_hexdigit())
        })
        .map(str::to_ascii_uppercase)
        .collect()
}

/// A raw reply such as `41 31 00 03`, or `4131 0003`; true if it was one.
fn raw(line: &str, found: &mut ReaderText) -> bool {
    let bare: String = line
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '>')
        .collect();
    if bare.len() < 6
        || !bare.len().is_multiple_of(2)
        || !bare.bytes().all(|b| b.is_ascii_hexdigit())
    {
        return false;
    }
    let bytes: Option<Vec<u8>> = (0..bare.len())
        .step_by(2)
        .map(|at| u8::from_str_radix(bare.get(at..at + 2)?, 16).ok())
        .collect();
    let Some([service, pid, data @ ..]) = bytes.as_deref() else {
        return false;
    };
    if *service != 0x41 {
        return false;
    }
    if let (0x01, [a, b, c, d, ..]) = (*pid, data) {
        let status = status([*a, *b, *c, *d]);
        found.lamp_on = Some(status.lamp_on);
        found.not_ready = Some(status.not_ready);
        return true;
    }
    let Some(value) = decode(*pid, data) else {
        return false;
    };
    match *pid {
        0x21 => found.lamp_miles = Some(value.value / KM_PER_MILE),
        0x30 => found.warm_ups = Some(value.value),
        0x31 => found.since_clear_miles = Some(value.value / KM_PER_MILE),
        _ => {}
    }
    true
}

/// A line in a reader's words: `Distance since codes cleared: 3 km`, `MIL: OFF`, `Catalyst: not ready`.
fn words(line: &str, found: &mut ReaderText) {
    let spoken: Vec<&str> = line.split(|c: char| !c.is_ascii_alphanumeric()).collect();
    // A mile and a mill are no malfunction indicator lamp.
    let lamp = spoken.contains(&"mil") || line.contains("lamp");
    let number = number_in(line);
    let km = line.contains("km") || line.contains("kilomet");
    let distance = number.map(|value| if km { value / KM_PER_MILE } else { value });
    let far = line.contains("distance") || line.contains("miles") || km || line.contains(" mi");
    if line.contains("warm") && number.is_some() {
        found.warm_ups = number;
    } else if line.contains("clear") && far && number.is_some() {
        found.since_clear_miles = distance;
    } else if lamp && far && number.is_some() {
        found.lamp_miles = distance;
    } else if lamp {
        if spoken.contains(&"off") {
            found.lamp_on = Some(false);
        } else if spoken.contains(&"on") {
            found.lamp_on = Some(true);
        }
    } else if line.contains("not ready")
        || line.contains("incomplete")
        || line.contains("not complete")
    {
        // Either a count (`2 not ready`) or one line for each self-test.
        let count = number.unwrap_or(1.0).clamp(0.0, 20.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to 20"
        )]
        let count = count as u8;
        found.not_ready = Some(found.not_ready.unwrap_or(0).saturating_add(count));
    } else if line.contains("all ready") || line.contains("all complete") {
        found.not_ready = Some(0);
    }
}

fn number_in(line: &str) -> Option<f64> {
    line.split(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
        .map(|word| word.trim_matches(['.', ',']).replace(',', ""))
        .find(|word| word.contains(|c: char| c.is_ascii_digit()))
        .and_then(|word| word.parse().ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_of_a_reader_gives_codes_with_their_states_and_counters() {
        let found = reader_text(
            "Stored: p0171, P0420\nPending codes:\nP0300\nPermanent\nP0420\nMIL: OFF\nCatalyst: not ready\nEVAP incomplete\n\
             Distance since codes cleared: 3 km\nWarm-ups: 2",
        );
        let codes: Vec<(&str, CodeState)> = found
            .codes
            .iter()
            .map(|one| (one.code.as_str(), one.state))
            .collect();
        assert_eq!(
            codes,
            [
                ("P0171", CodeState::Stored),
                ("P0300", CodeState::Pending),
                ("P0420", CodeState::Permanent)
            ]
        );
        assert_eq!(
            (found.lamp_on, found.not_ready, found.warm_ups),
            (Some(false), Some(2), Some(2.0))
        );
        assert!((found.since_clear_miles.unwrap_or(0.0) - 3.0 / 1.609_344).abs() < 1e-12);
    }

    #[test]
    fn raw_replies_are_read_too_and_prose_is_not() {
        let found = reader_text("41 01 81 07 65 21\n41310003\n>41 30 02\n41 21 00 10");
        assert_eq!((found.lamp_on, found.not_ready), (Some(true), Some(2)));
        assert!(found.lamp_miles.is_some() && found.since_clear_miles.is_some());
        assert!(reader_text("Runs every day, 34 miles round trip to the mill.").is_empty());
    }
}
