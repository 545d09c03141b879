//! What the computer of the car tells of its own memory: codes, and whether "no codes" means anything.

use super::readings::{Yardstick, answered};
use crate::car::obd::{CodeRead, CodeState, ReaderText};
use crate::car::{Answer, CarRecord, CheckExtras, Known, Observation, Reading};
use crate::trade::code::{Owner, Structure};
use crate::trade::{SignKind, Tables};
use jiff::civil::{Date, DateTime};

/// The signs that the memory is told by.
pub const LAMP: &str = "engine-lamp-on";
/// Self-tests not ready.
pub const READINESS: &str = "readiness-monitors";
/// Distance and warm-ups since clearing.
pub const CLEARED: &str = "since-cleared";
/// Distance driven with the lamp on.
pub const LAMP_DISTANCE: &str = "lamp-distance";
/// All codes at once: none stored or pending.
pub const ALL_CODES: &str = "codes-read";

/// What "no codes" is worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Memory {
    /// Nothing was read.
    #[default]
    NotRead,
    /// The lamp is on, or codes are stored: it speaks for itself.
    Speaks,
    /// Lamp off, ready, and driven far enough since clearing: no codes is evidence.
    Clean,
    /// One self-test open, or cleared within 200 miles.
    Unsure,
    /// More self-tests open than the place's rule allows: a car with unknown codes.
    Unready,
    /// Lamp off, not ready, and hardly driven since: state unknown, probably cleared.
    ProbablyCleared,
}

impl Memory {
    /// True where no code says nothing of the car.
    #[must_use]
    pub fn says_nothing(self) -> bool {
        matches!(self, Self::ProbablyCleared | Self::Unready)
    }

    /// In words; empty where nothing was read.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::NotRead => "",
            Self::Speaks => "the lamp or a code speaks for itself",
            Self::Clean => "ready, and driven far enough since clearing: no code is evidence",
            Self::Unsure => "one self-test open, or lately cleared: no code proves little",
            Self::Unready => {
                "more self-tests open than the place's rule allows: the codes are not known"
            }
            Self::ProbablyCleared => {
                "state unknown, probably cleared: no code proves nothing, and somebody chose the moment"
            }
        }
    }
}

/// One code, with what its number says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CodeFinding {
    /// The code.
    pub code: String,
    /// How it stands.
    pub state: CodeState,
    /// The sign under which it is weighed; none: kept, not priced.
    pub sign: Option<String>,
    /// In words: what it is, or that only the maker says.
    pub words: String,
}

/// The memory of the car's computer.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scan {
    /// What "no codes" is worth.
    pub memory: Memory,
    /// Codes on file.
    pub codes: Vec<CodeFinding>,
}

/// The sign under which a code is weighed: the one that the table of codes names, else the sign of its own number.
#[must_use]
pub fn sign_of(tables: &Tables, code: &str) -> Option<String> {
    tables.sign_named(code).map(|row| row.id.clone())
}

/// What a code's number says by itself.
#[must_use]
pub fn code_words(tables: &Tables, code: &str) -> String {
    let Some(structure) = Structure::of(code) else {
        return "no trouble code".to_owned();
    };
    if let Some(row) = tables.code_named(code) {
        let place = row
            .place()
            .map_or_else(String::new, |place| format!(", {place}"));
        return format!("{}{place}", row.meaning);
    }
    if let Some(row) = tables.sign_named(code) {
        return row.name.clone();
    }
    match structure.owner {
        Owner::Maker => {
            "the maker's own code: only the maker's manual says what it means; not priced"
                .to_owned()
        }
        Owner::Reserved => "kept back by the standard: read it again".to_owned(),
        Owner::Standard => match structure.subsystem_words() {
            "" => "a standard code without a row here; not priced".to_owned(),
            words => format!("a standard code, {words}, without a row here; not priced"),
        },
    }
}

/// Works the memory through.
#[must_use]
pub fn scan(car: &CarRecord, tables: &Tables, today: Date) -> Scan {
    let codes = car.codes.iter().map(|read| CodeFinding {
        code: read.code.clone(),
        state: read.state,
        sign: sign_of(tables, &read.code),
        words: code_words(tables, &read.code),
    });
    Scan {
        memory: memory(car, tables, today),
        codes: codes.collect(),
    }
}

/// What "no codes" is worth, from the answers and readings on file under the limits in force.
#[must_use]
pub fn memory(car: &CarRecord, tables: &Tables, today: Date) -> Memory {
    let yardstick = Yardstick::new(tables, car, None, today);
    let level = |sign: &str| {
        let seen = car
            .observations
            .iter()
            .rev()
            .find(|seen| seen.sign == sign)?;
        match answered(car, tables, &yardstick, sign, seen.answer) {
            Answer::Level(level) => Some(level),
            Answer::NotSeen | Answer::NotFitted => None,
        }
    };
    let (lamp, ready, cleared) = (level(LAMP), level(READINESS), level(CLEARED));
    let stored = car
        .codes
        .iter()
        .any(|code| code.state != CodeState::Pending);
    if stored || lamp.is_some_and(|lamp| lamp > 0) {
        return Memory::Speaks;
    }
    match (ready, cleared) {
        (None, None) => Memory::NotRead,
        (Some(ready), Some(cleared)) if ready >= 1 && cleared >= 2 => Memory::ProbablyCleared,
        (Some(ready), _) if ready >= 2 => Memory::Unready,
        (Some(0), Some(0)) => Memory::Clean,
        (Some(0), None) | (None, Some(0)) => Memory::NotRead,
        _ => Memory::Unsure,
    }
}

/// True for an answer that "no codes" stands behind: a code not there, or the lamp out.
pub(crate) fn is_silence_of_memory(kind: SignKind, sign: &str) -> bool {
    kind == SignKind::Code || matches!(sign, LAMP | ALL_CODES)
}

/// Puts what a reader shows on file: codes, their signs, readiness and counters, as measured at that time.
pub fn put_on_file(car: &mut CarRecord, tables: &Tables, read: &ReaderText, at: DateTime) {
    for code in &read.codes {
        put_code(car, tables, code, read.lamp_on, at);
    }
    if let Some(lamp) = read.lamp_on {
        answer(car, tables, LAMP, usize::from(lamp), at);
    }
    let mut measured = |sign: &str, values: Vec<f64>| {
        let typed = values.iter().map(|value| format!("{value:.1}"));
        let typed = typed.collect::<Vec<_>>().join(" ");
        let reading = Reading {
            values,
            typed,
            ..Reading::default()
        };
        measure(car, tables, sign, reading, at);
    };
    if let Some(count) = read.not_ready {
        measured(READINESS, vec![f64::from(count)]);
    }
    if let Some(miles) = read.since_clear_miles {
        measured(
            CLEARED,
            [Some(miles), read.warm_ups].into_iter().flatten().collect(),
        );
    }
    if let Some(miles) = read.lamp_miles {
        measured(LAMP_DISTANCE, vec![miles]);
    }
}

/// Puts one code on file, and its sign at the level that its state means.
pub fn put_code(
    car: &mut CarRecord,
    tables: &Tables,
    code: &CodeRead,
    lamp_on: Option<bool>,
    at: DateTime,
) {
    match car.codes.iter_mut().find(|known| known.code == code.code) {
        Some(known) => known.state = code.state,
        None => car.codes.push(code.clone()),
    }
    car.codes.sort();
    let Some(sign) = sign_of(tables, &code.code) else {
        return;
    };
    let levels = tables.sign(&sign).map_or(2, |row| row.levels.len());
    let lit = lamp_on == Some(true) || code.state == CodeState::Permanent;
    let level = match code.state {
        CodeState::Pending => 1,
        CodeState::Stored | CodeState::Permanent if lit => 2,
        CodeState::Stored | CodeState::Permanent => 1,
    };
    answer(car, tables, &sign, level.min(levels.saturating_sub(1)), at);
}

/// Puts a reading on file, with its level as it stands now beside it.
pub fn measure(car: &mut CarRecord, tables: &Tables, sign: &str, reading: Reading, at: DateTime) {
    let Some(row) = tables.sign(sign) else { return };
    let level = Yardstick::new(tables, car, None, at.date())
        .read(row, &reading)
        .map_or(0, |verdict| verdict.level);
    let extras = car.checks.entry(sign.to_owned()).or_default();
    *extras = CheckExtras {
        reading: Some(reading),
        ..std::mem::take(extras)
    };
    set(car, sign, Answer::Level(level), Known::Measured, at);
}

fn answer(car: &mut CarRecord, tables: &Tables, sign: &str, level: usize, at: DateTime) {
    if tables.sign(sign).is_some() {
        set(car, sign, Answer::Level(level), Known::Measured, at);
    }
}

/// The one observation of a sign, put in place of an older one; what was admitted stays admitted.
pub fn set(car: &mut CarRecord, sign: &str, answer: Answer, known: Known, at: DateTime) {
    let old = car.observations.iter().find(|seen| seen.sign == sign);
    let seen = Observation {
        sign: sign.to_owned(),
        answer,
        known,
        admitted: old.is_some_and(|old| old.admitted),
        note: old.map(|old| old.note.clone()).unwrap_or_default(),
        at: Some(at),
    };
    match car.observations.iter_mut().find(|seen| seen.sign == sign) {
        Some(place) => *place = seen,
        None => car.observations.push(seen),
    }
}
