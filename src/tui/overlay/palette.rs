//! Do by name: every act that works on the screen under it, and every screen; a word narrows, Enter does it.

use super::help;
use crate::tui::app::App;
use crate::tui::forms::Entry;
use crate::tui::keys::{Act, KEYS, Key, On};
use crate::tui::screens::Screen;
use nucleo_matcher::pattern::{CaseMatching, Normalization, Pattern};
use nucleo_matcher::{Config, Matcher, Utf32Str};

/// The word typed and the row in hand.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Palette {
    /// Word.
    pub query: Entry,
    /// Row in hand, among those found.
    pub at: usize,
}

/// One thing that can be done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Deed {
    /// What is done.
    pub act: Act,
    /// In words.
    pub words: String,
    /// The word for it on the key line, found by it too.
    pub short: &'static str,
    /// The key that does it too.
    pub key: String,
}

impl Deed {
    /// A screen called by its own name comes before acts that only speak of it.
    fn boost(&self, word: &str) -> u32 {
        let Act::Go(screen) = self.act else { return 0 };
        let named = screen.name().to_lowercase();
        if named.starts_with(&word.to_lowercase()) {
            1_000
        } else {
            0
        }
    }
}

/// What the palette answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// Stays.
    Stay,
    /// Closes.
    Close,
    /// Closes and does it.
    Do(Act),
}

/// All that can be done here, in the order of the help, then the screens.
fn all(app: &App) -> Vec<Deed> {
    let mut deeds: Vec<Deed> = Vec::new();
    let screens = KEYS.iter().filter_map(|row| match (row.on, row.act) {
        (On::Go, Act::Go(screen)) => Some((screen, row.keys.first()?.label())),
        _ => None,
    });
    for row in help::rows(app) {
        let known = deeds.iter().any(|deed| deed.act == row.act);
        if !known && row.act != Act::Palette {
            deeds.push(Deed {
                act: row.act,
                words: row.words.to_owned(),
                short: row.short,
                key: row.keys.first().map_or_else(String::new, |key| key.label()),
            });
        }
    }
    let open = |screen: &Screen| !screen.is_of_a_car() || app.data.car().is_some();
    deeds.extend(
        screens
            .filter(|(screen, _)| open(screen))
            .map(|(screen, key)| Deed {
                act: Act::Go(screen),
                words: format!("go to {}", screen.name()),
                short: "",
                key: format!("g {key}"),
            }),
    );
    deeds
}

impl Palette {
    /// What the word leaves, best first.
    #[must_use]
    pub fn found(&self, app: &App) -> Vec<Deed> {
        let deeds = all(app);
        let word = self.query.text().trim();
        if word.is_empty() {
            return deeds;
        }
        let pattern = Pattern::parse(word, CaseMatching::Ignore, Normalization::Smart);
        let mut matcher = Matcher::new(Config::DEFAULT);
        let mut buffer = Vec::new();
        let mut scored: Vec<(u32, Deed)> = deeds
            .into_iter()
            .filter_map(|deed| {
                let said = format!("{} {}", deed.short, deed.words);
                let text = Utf32Str::new(&said, &mut buffer);
                let score = pattern.score(text, &mut matcher)?;
                Some((score + deed.boost(word), deed))
            })
            .collect();
        scored.sort_by_key(|(score, _)| std::cmp::Reverse(*score));
        scored.into_iter().map(|(_, deed)| deed).collect()
    }

    /// An act over the palette; the screen under it is in force.
    pub fn act(&mut self, app: &App, act: Act) -> Answer {
        let found = self.found(app);
        let last = found.len().saturating_sub(1);
        self.at = match act {
            Act::Back => return Answer::Close,
            Act::Open => {
                return found
                    .get(self.at)
                    .map_or(Answer::Stay, |deed| Answer::Do(deed.act));
            }
            Act::Down => (self.at + 1).min(last),
            Act::Up => self.at.saturating_sub(1),
            Act::PageDown => (self.at + 8).min(last),
            Act::PageUp => self.at.saturating_sub(8),
            _ => self.at,
        };
        Answer::Stay
    }

    /// A key of the word.
    pub fn type_key(&mut self, key: Key) {
        if self.query.type_key(key) {
            self.at = 0;
        }
    }

    /// A paste into the word.
    pub fn paste(&mut self, text: &str) {
        self.query.insert(text);
        self.at = 0;
    }
}
