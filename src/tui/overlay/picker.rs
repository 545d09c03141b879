//! The sign picker: any word narrows, Enter takes the sign, one digit gives its level.

mod find;

use super::{Overlay, StopNotice};
use crate::car::{Answer, CodeRead, CodeState, Known, Observation};
use crate::trade::{SignKind, SignRow};
use crate::tui::app::{App, Effect};
use crate::tui::forms::Entry;
use crate::tui::keys::{Act, Key};
use crate::tui::say;

/// Kinds that Tab steps through; the first one is all.
pub const KINDS: [(&str, Option<SignKind>); 7] = [
    ("all", None),
    ("symptoms", Some(SignKind::Symptom)),
    ("codes", Some(SignKind::Code)),
    ("checks", Some(SignKind::Check)),
    ("tests", Some(SignKind::Test)),
    ("admitted", Some(SignKind::Admission)),
    ("papers", Some(SignKind::Paper)),
];

/// How a sign can be known: words, how, said by them before it was found.
pub const WAYS: [(&str, Known, bool); 5] = [
    ("seen by you", Known::Seen, false),
    ("measured by you", Known::Measured, false),
    ("on paper", Known::Paper, false),
    ("they said so first", Known::Said, true),
    ("they said so when asked", Known::Said, false),
];

/// The picker.
#[derive(Debug, Clone, PartialEq)]
pub struct Picker {
    /// Words typed.
    pub query: Entry,
    /// Kind, a place in [`KINDS`].
    pub kind: usize,
    /// Row in hand.
    pub at: usize,
    /// Ids found, best first.
    pub found: Vec<String>,
    /// The sign taken, waiting for its level.
    pub level: Option<Level>,
}

/// A sign waiting for its level.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Level {
    /// Sign.
    pub sign: String,
    /// How it is known, a place in [`WAYS`].
    pub way: usize,
}

impl Picker {
    /// The picker, or at once the level of a sign.
    #[must_use]
    pub fn new(app: &App, sign: Option<String>) -> Self {
        let mut picker = Self {
            query: Entry::default(),
            kind: 0,
            at: 0,
            found: Vec::new(),
            level: None,
        };
        picker.search(app);
        if let Some(row) = sign.and_then(|sign| app.data.tables.sign(&sign)) {
            picker.level = Some(Level::of(row, app));
        }
        picker
    }

    fn search(&mut self, app: &App) {
        let kind = KINDS.get(self.kind).and_then(|(_, kind)| *kind);
        let signs = app
            .data
            .tables
            .signs
            .iter()
            .filter(|sign| kind.is_none_or(|kind| sign.kind == kind));
        self.found = find::signs(signs, self.query.text());
        // A trouble code names one sign: that stands first, whatever else is spelled like it.
        let tables = &app.data.tables;
        if let Some(code) = tables.code_named(self.query.text())
            && let Some(at) = self.found.iter().position(|id| *id == code.sign)
        {
            self.found[..=at].rotate_right(1);
        }
        self.at = 0;
    }

    /// A key of the words.
    pub fn type_key(&mut self, app: &App, key: Key) {
        if self.query.type_key(key) {
            self.search(app);
        }
    }

    /// A paste into the words.
    pub fn paste(&mut self, app: &App, text: &str) {
        self.query.insert(text);
        self.search(app);
    }

    /// The sign in hand.
    #[must_use]
    pub fn in_hand<'a>(&self, app: &'a App) -> Option<&'a SignRow> {
        let id = match &self.level {
            Some(level) => &level.sign,
            None => self.found.get(self.at)?,
        };
        app.data.tables.sign(id)
    }
}

impl Level {
    fn of(row: &SignRow, app: &App) -> Self {
        let known = app
            .data
            .record()
            .and_then(|car| car.observations.iter().find(|seen| seen.sign == row.id));
        let way = match known {
            Some(seen) => WAYS
                .iter()
                .position(|(_, how, admitted)| *how == seen.known && *admitted == seen.admitted)
                .unwrap_or(0),
            None if row.kind == SignKind::Admission => 3,
            None if row.kind == SignKind::Paper => 2,
            None => 0,
        };
        Self {
            sign: row.id.clone(),
            way,
        }
    }
}

/// An act over the picker.
pub fn act(app: &mut App, mut picker: Picker, act: Act) -> Vec<Effect> {
    if picker.level.is_some() {
        return level_act(app, picker, act);
    }
    let last = picker.found.len().saturating_sub(1);
    match act {
        Act::Back => return Vec::new(),
        Act::Open => return take(app, picker),
        Act::Down => picker.at = (picker.at + 1).min(last),
        Act::Up => picker.at = picker.at.saturating_sub(1),
        Act::PageDown => picker.at = (picker.at + 6).min(last),
        Act::PageUp => picker.at = picker.at.saturating_sub(6),
        Act::Kind => {
            picker.kind = (picker.kind + 1) % KINDS.len();
            picker.search(app);
        }
        _ => {}
    }
    app.open(Overlay::Picker(picker))
}

/// Takes the sign in hand; words that no sign has become a note.
fn take(app: &mut App, mut picker: Picker) -> Vec<Effect> {
    if let Some(read) = codes_typed(app, &picker) {
        return crate::tui::screens::walk::put_reader(app, &read);
    }
    if let Some(row) = picker.in_hand(app) {
        picker.level = Some(Level::of(row, app));
        return app.open(Overlay::Picker(picker));
    }
    let words = crate::car::text::one_line(picker.query.text());
    if words.is_empty() {
        return app.open(Overlay::Picker(picker));
    }
    let effects = app.edit("note", |car| car.notes.push(words));
    app.say("kept as a note on the car; it moves no figure".to_owned());
    effects
}

/// Codes typed with their state, or of a number that no sign stands for: kept as they are, whatever is spelled like them.
fn codes_typed(app: &App, picker: &Picker) -> Option<crate::car::obd::ReaderText> {
    let query = picker.query.text();
    let read = crate::car::obd::reader_text(query);
    let odd = |code: &str| crate::engine::scan::sign_of(&app.data.tables, code).is_none();
    let low = query.to_lowercase();
    let state = ["pending", "stored", "permanent"]
        .iter()
        .any(|word| low.contains(word));
    let counts = !read.codes.is_empty() && (state || read.codes.iter().any(|one| odd(&one.code)));
    counts.then_some(read)
}

fn level_act(app: &mut App, mut picker: Picker, act: Act) -> Vec<Effect> {
    let Some(level) = picker.level.clone() else {
        return Vec::new();
    };
    match act {
        Act::Back => picker.level = None,
        Act::Kind => {
            picker.level = Some(Level {
                way: (level.way + 1) % WAYS.len(),
                ..level
            });
        }
        Act::Cross => return answer(app, &level, None, Answer::NotFitted),
        Act::Digit(0) => return answer(app, &level, None, Answer::NotSeen),
        Act::Digit(digit) => {
            let at = usize::from(digit) - 1;
            let known = picker.in_hand(app).is_some_and(|row| at < row.levels.len());
            if known {
                let code = code_of(app, &picker, &level.sign);
                return answer(app, &level, code, Answer::Level(at));
            }
            app.say(format!("{digit} is no level of this sign"));
        }
        _ => {}
    }
    app.open(Overlay::Picker(picker))
}

/// The one code that was typed to find a sign.
fn code_of(app: &App, picker: &Picker, sign: &str) -> Option<String> {
    let read = crate::car::obd::reader_text(picker.query.text());
    let [one] = read.codes.as_slice() else {
        return None;
    };
    let named = crate::engine::scan::sign_of(&app.data.tables, &one.code);
    (named.as_deref() == Some(sign)).then(|| one.code.clone())
}

/// Puts the answer on the car; the same sign stays one sign.
fn answer(app: &mut App, level: &Level, code: Option<String>, answer: Answer) -> Vec<Effect> {
    let Some(row) = app.data.tables.sign(&level.sign).cloned() else {
        return Vec::new();
    };
    let words = match answer {
        Answer::Level(at) => row.levels.get(at).cloned().unwrap_or_default(),
        Answer::NotSeen => "not seen".to_owned(),
        Answer::NotFitted => "not fitted".to_owned(),
    };
    let (_, known, admitted) = WAYS.get(level.way).copied().unwrap_or(WAYS[0]);
    let before = app
        .data
        .record()
        .is_some_and(|car| car.observations.iter().any(|seen| seen.sign == level.sign));
    let label = format!("{}: {}", say::clip(&row.name, 30), say::clip(&words, 24));
    let at = app.data.now;
    let effects = app.edit(&label, |car| {
        let note = car
            .observations
            .iter()
            .find(|seen| seen.sign == level.sign)
            .map(|seen| seen.note.clone())
            .unwrap_or_default();
        let seen = Observation {
            sign: level.sign.clone(),
            answer,
            known,
            admitted,
            note,
            at: Some(at),
        };
        match car
            .observations
            .iter_mut()
            .find(|seen| seen.sign == level.sign)
        {
            Some(place) => *place = seen,
            None => car.observations.push(seen),
        }
        // The code itself stays on file: it may name a cylinder or a bank.
        if let (Some(code), Answer::Level(1..)) = (code, answer)
            && car.codes.iter().all(|known| known.code != code)
        {
            let state = if answer == Answer::Level(1) {
                CodeState::Pending
            } else {
                CodeState::Stored
            };
            car.codes.push(CodeRead { code, state });
            car.codes.sort();
        }
    });
    if effects.is_empty() {
        return effects;
    }
    app.say(if before {
        format!("already on file; this counts instead: {label}")
    } else {
        label
    });
    if let Some(notice) = stop(app, &row, answer, &words) {
        app.overlay = Some(Overlay::Stop(notice));
    }
    effects
}

/// The stop of an answer, if this purpose has stops of its group.
fn stop(app: &App, row: &SignRow, answer: Answer, words: &str) -> Option<StopNotice> {
    let stop = row.stop.as_ref()?;
    let Answer::Level(at) = answer else {
        return None;
    };
    let purpose = app.data.tables.purpose(&app.data.buyer.purpose)?;
    (at >= stop.from_level && purpose.stops.contains(&stop.group)).then(|| StopNotice {
        sign: row.id.clone(),
        finding: format!("{}: {words}", row.name),
        sentence: stop.sentence.clone(),
    })
}
