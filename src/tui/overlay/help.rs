//! Help: made of the key table, this screen first, then everywhere. Enter does the one in hand.

use crate::tui::app::App;
use crate::tui::keys::{self, Act, Context, Group, KeyRow};

/// The row in hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Help {
    /// Row in hand.
    pub at: usize,
}

/// What help answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// Stays.
    Stay,
    /// Closes.
    Close,
    /// Closes and does it.
    Do(Act),
}

impl Help {
    /// Help of the screen in sight.
    #[must_use]
    pub fn here(_app: &App) -> Self {
        Self::default()
    }

    /// An act over the help; the screen under it is in force.
    pub fn act(&mut self, app: &App, act: Act) -> Answer {
        let rows = rows(app);
        let last = rows.len().saturating_sub(1);
        match act {
            Act::Back => return Answer::Close,
            Act::Open => {
                return rows
                    .get(self.at)
                    .map_or(Answer::Close, |row| Answer::Do(row.act));
            }
            Act::Down => self.at = (self.at + 1).min(last),
            Act::Up => self.at = self.at.saturating_sub(1),
            Act::PageDown => self.at = (self.at + 8).min(last),
            Act::PageUp => self.at = self.at.saturating_sub(8),
            _ => {}
        }
        Answer::Stay
    }
}

/// The rows that work on the screen under the help: its own first.
#[must_use]
pub fn rows(app: &App) -> Vec<&'static KeyRow> {
    let under = if app.hidden {
        Context::Hidden
    } else {
        Context::Screen(app.screen)
    };
    let active: Vec<&'static KeyRow> = keys::active_in(app, under).collect();
    let of = |group: Group| active.iter().copied().filter(move |row| row.group == group);
    of(Group::Here).chain(of(Group::Everywhere)).collect()
}

/// Keys and words of a row, as help shows them.
#[must_use]
pub fn words(row: &KeyRow) -> (String, &'static str) {
    let keys: Vec<String> = row.keys.iter().map(|key| key.label()).collect();
    (keys.join(" "), row.words)
}
