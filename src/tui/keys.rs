//! The one key table: keys, where they work, what they do, and the words for the key line and the help.

mod table;

use crate::tui::app::{Action, App};
use crate::tui::screens::Screen;
pub use table::KEYS;

/// A key as the terminal sends it, without its modifiers but Ctrl.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Key {
    /// A letter, digit or mark.
    Char(char),
    /// Ctrl and a small letter.
    Ctrl(char),
    /// Enter.
    Enter,
    /// Esc.
    Esc,
    /// Tab.
    Tab,
    /// Shift-Tab.
    BackTab,
    /// Up.
    Up,
    /// Down.
    Down,
    /// Left.
    Left,
    /// Right.
    Right,
    /// Page up.
    PageUp,
    /// Page down.
    PageDown,
    /// Home.
    Home,
    /// End.
    End,
    /// Backspace.
    Backspace,
    /// Delete.
    Delete,
}

impl Key {
    /// Name of the key on the key line.
    #[must_use]
    pub fn label(self) -> String {
        match self {
            Self::Char(' ') => "Space".to_owned(),
            Self::Char(c) => c.to_string(),
            Self::Ctrl(c) => format!("Ctrl-{}", c.to_ascii_uppercase()),
            Self::Up => "↑".to_owned(),
            Self::Down => "↓".to_owned(),
            Self::Left => "←".to_owned(),
            Self::Right => "→".to_owned(),
            Self::PageUp => "PgUp".to_owned(),
            Self::PageDown => "PgDn".to_owned(),
            Self::BackTab => "Shift-Tab".to_owned(),
            other => format!("{other:?}"),
        }
    }
}

/// Where a key is looked up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Context {
    /// The sentence of a terminal that is too small.
    TooSmall,
    /// A screen.
    Screen(Screen),
    /// Any screen while money is hidden.
    Hidden,
    /// After `g`.
    Go,
    /// Why.
    Why,
    /// A letter before every figure.
    Tags,
    /// Help.
    Help,
    /// A form, its field in hand empty or not.
    Form {
        /// The field in hand is empty text.
        empty: bool,
        /// The field in hand is a choice.
        choice: bool,
    },
    /// Sign picker, typing.
    Picker,
    /// Sign picker, at the level.
    Level,
    /// Stop notice.
    Stop,
    /// A question answered by Enter or Esc.
    Sure,
    /// Narrowing a list.
    Narrow,
    /// Do by name, typing.
    Palette,
    /// A letter, a notice or a draft.
    Letter,
    /// What would change the mind.
    Mind,
}

impl Context {
    /// True where letters are text.
    #[must_use]
    pub fn takes_text(self) -> bool {
        matches!(
            self,
            Self::Form { .. } | Self::Picker | Self::Narrow | Self::Tags | Self::Palette
        )
    }
}

/// What a key does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Act {
    /// Go to a screen.
    Go(Screen),
    /// Ask where to go.
    GoMenu,
    /// Back to the screen before.
    GoBack,
    /// Screen before in the chain.
    ScreenBefore,
    /// Screen after in the chain.
    ScreenAfter,
    /// Row down.
    Down,
    /// Row up.
    Up,
    /// Page down.
    PageDown,
    /// Page up.
    PageUp,
    /// First row.
    First,
    /// Last row.
    Last,
    /// Sideways left.
    Left,
    /// Sideways right.
    Right,
    /// Next part.
    NextPart,
    /// Part before.
    PartBefore,
    /// Open, accept.
    Open,
    /// Back, leave.
    Back,
    /// Up one in a why.
    UpOne,
    /// Why of the row in hand.
    Why,
    /// Why of any figure.
    Tags,
    /// Take back.
    Undo,
    /// Do again.
    Redo,
    /// Hide or show money.
    Hide,
    /// Narrow the list.
    Narrow,
    /// Help.
    Help,
    /// Quit from Cars.
    Quit,
    /// End from anywhere.
    End,
    /// Suspend.
    Suspend,
    /// Redraw.
    Redraw,
    /// A digit answers the row.
    Digit(u8),
    /// Add.
    Add,
    /// Remove.
    Remove,
    /// Edit.
    Edit,
    /// Note.
    Note,
    /// Order.
    Order,
    /// Cross a row on or off.
    Cross,
    /// Other ways.
    Other,
    /// Proof.
    Proof,
    /// Bought.
    Bought,
    /// The reading of a sign: admitted, seen.
    Kind,
    /// To the check most worth its minutes.
    FindOut,
    /// Do by name.
    Palette,
    /// The letter with the offer.
    Letter,
    /// What would change the mind.
    Mind,
    /// Copy what is in hand.
    Copy,
    /// The advert in the user's own editor.
    Editor,
    /// Read a file in.
    ReadIn,
    /// On without an answer.
    Skip,
    /// The check before.
    CheckBefore,
    /// A number.
    Number,
    /// How much time there is.
    TimePlan,
}

/// Where a row of the table holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum On {
    /// Every screen, money shown.
    Screens,
    /// Every screen, money shown or hidden.
    AllScreens,
    /// These screens, money shown.
    Some(&'static [Screen]),
    /// Only while money is hidden.
    Hidden,
    /// The sentence state.
    TooSmall,
    /// After `g`.
    Go,
    /// Why.
    Why,
    /// Letters before figures.
    Tags,
    /// Help.
    Help,
    /// Any form.
    Form,
    /// A form on an empty text field.
    FormEmpty,
    /// Sign picker, typing.
    Picker,
    /// Sign picker, at the level.
    Level,
    /// Stop notice.
    Stop,
    /// A question.
    Sure,
    /// Narrowing.
    Narrow,
    /// Do by name.
    Palette,
    /// A letter, a notice or a draft.
    Letter,
    /// What would change the mind.
    Mind,
    /// Everywhere at all.
    Anywhere,
}

impl On {
    /// True if the row holds in a context.
    #[must_use]
    pub fn covers(self, context: Context) -> bool {
        match (self, context) {
            (Self::Anywhere, _)
            | (Self::Screens | Self::AllScreens, Context::Screen(_))
            | (Self::AllScreens | Self::Hidden, Context::Hidden)
            | (Self::TooSmall, Context::TooSmall)
            | (Self::Go, Context::Go)
            | (Self::Why, Context::Why)
            | (Self::Help, Context::Help)
            | (Self::Tags, Context::Tags)
            | (Self::Form, Context::Form { .. })
            | (Self::FormEmpty, Context::Form { empty: true, .. })
            | (Self::Picker, Context::Picker)
            | (Self::Level, Context::Level)
            | (Self::Stop, Context::Stop)
            | (Self::Sure, Context::Sure)
            | (Self::Narrow, Context::Narrow)
            | (Self::Palette, Context::Palette)
            | (Self::Letter, Context::Letter)
            | (Self::Mind, Context::Mind) => true,
            (Self::Some(screens), Context::Screen(screen)) => screens.contains(&screen),
            _ => false,
        }
    }
}

/// Heading in the help.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Group {
    /// This screen's own.
    Here,
    /// The same on every screen.
    Everywhere,
    /// Of an overlay: on its key line, not in the help of a screen.
    Over,
}

/// One row of the table.
#[derive(Debug, Clone, Copy)]
pub struct KeyRow {
    /// Keys, the one that is shown first.
    pub keys: &'static [Key],
    /// Where.
    pub on: On,
    /// What it does.
    pub act: Act,
    /// Words on the key line; empty: not on it.
    pub short: &'static str,
    /// Words in the help.
    pub words: &'static str,
    /// Heading.
    pub group: Group,
    /// Whether it works in this very state.
    pub when: fn(&App) -> bool,
}

/// The row that a key means in this state.
#[must_use]
pub fn row_for(app: &App, key: Key) -> Option<&'static KeyRow> {
    let context = app.context();
    KEYS.iter()
        .find(|row| row.on.covers(context) && row.keys.contains(&key) && (row.when)(app))
}

/// What a key does in this state.
#[must_use]
pub fn action(app: &App, key: Key) -> Action {
    match row_for(app, key) {
        Some(row) => Action::Act(row.act),
        None if app.context().takes_text() => Action::Type(key),
        None => Action::Nothing(key),
    }
}

/// The rows that work in this state, in the order of the table.
pub fn active(app: &App) -> impl Iterator<Item = &'static KeyRow> {
    active_in(app, app.context())
}

/// The rows that work in a context, such as the screen under an overlay.
pub fn active_in(app: &App, context: Context) -> impl Iterator<Item = &'static KeyRow> {
    KEYS.iter()
        .filter(move |row| row.on.covers(context) && (row.when)(app))
}

/// Words of the key line, most needed first: key, words.
#[must_use]
pub fn key_line(app: &App) -> Vec<(Key, &'static str)> {
    active(app)
        .filter(|row| !row.short.is_empty())
        .filter_map(|row| Some((*row.keys.first()?, row.short)))
        .collect()
}

#[cfg(test)]
mod tests;
