//! State and updates of the screens, one file each. A new screen is its file, a line in [`Screen`] and a line in [`of`].

pub mod asked;
pub mod cars;
pub mod faults;
pub mod look;
pub mod money;
pub mod side;
pub mod story;
pub mod walk;
pub mod you;

use crate::tui::app::{App, Effect};
use crate::tui::keys::Act;

/// The screens, in the order of their chain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Screen {
    /// The notebook.
    #[default]
    Cars,
    /// What is said and what proves it.
    Story,
    /// Check by check round the car.
    Walk,
    /// Chances, costs and routes.
    Faults,
    /// Rail, ladder, plan, talks.
    Money,
    /// Up to four cars.
    Side,
    /// The buyer.
    You,
    /// The tables.
    Look,
}

impl Screen {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Cars,
        Self::Story,
        Self::Walk,
        Self::Faults,
        Self::Money,
        Self::Side,
        Self::You,
        Self::Look,
    ];

    /// Name where there is room.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Cars => "Cars",
            Self::Story => "Story",
            Self::Walk => "Walk-around",
            Self::Faults => "Faults",
            Self::Money => "Money",
            Self::Side => "Side by side",
            Self::You => "You",
            Self::Look => "Look up",
        }
    }

    /// Name at medium widths.
    #[must_use]
    pub fn short(self) -> &'static str {
        match self {
            Self::Side => "Side",
            Self::Walk => "Walk",
            Self::Look => "Look",
            other => other.name(),
        }
    }

    /// Word in files.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Cars => "cars",
            Self::Story => "story",
            Self::Walk => "walk",
            Self::Faults => "faults",
            Self::Money => "money",
            Self::Side => "side",
            Self::You => "you",
            Self::Look => "look",
        }
    }

    /// A screen by its word in files.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|screen| screen.word() == word)
    }

    /// True where a car must be in hand.
    #[must_use]
    pub fn is_of_a_car(self) -> bool {
        matches!(self, Self::Story | Self::Walk | Self::Faults | Self::Money)
    }

    /// The screen so many places on in the chain, round the end.
    #[must_use]
    pub fn step(self, by: isize) -> Self {
        let count = Self::ALL.len();
        let at = Self::ALL
            .iter()
            .position(|screen| *screen == self)
            .unwrap_or(0);
        let next = at.saturating_add_signed(by + isize::try_from(count).unwrap_or(0)) % count;
        Self::ALL.get(next).copied().unwrap_or_default()
    }

    fn place(self) -> usize {
        Self::ALL
            .iter()
            .position(|screen| *screen == self)
            .unwrap_or(0)
    }
}

/// Most parts of a screen.
pub const MOST_PARTS: usize = 9;

/// Where a screen stands: the part in hand and the row in hand of each part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Cursor {
    /// Part in hand.
    pub part: usize,
    /// Row in hand of each part.
    pub rows: [usize; MOST_PARTS],
}

impl Cursor {
    /// Row in hand of the part in hand.
    #[must_use]
    pub fn row(&self) -> usize {
        self.rows.get(self.part).copied().unwrap_or(0)
    }

    /// Stands on a row of the part in hand.
    pub fn set_row(&mut self, row: usize) {
        if let Some(place) = self.rows.get_mut(self.part) {
            *place = row;
        }
    }
}

/// Where every screen stands.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Views {
    cursors: [Cursor; Screen::ALL.len()],
    /// Cars: order and narrowing.
    pub cars: cars::CarsView,
    /// Faults: order and narrowing.
    pub faults: faults::FaultsView,
    /// Side by side: order and weights.
    pub side: side::SideView,
    /// Look up: word, rows found, rows gone to.
    pub look: look::LookView,
    /// Walk-around: what this sitting adds.
    pub walk: walk::WalkView,
    /// Money: what it waits for.
    pub money: asked::MoneyView,
}

impl Views {
    /// Cursor of a screen.
    #[must_use]
    pub fn cursor(&self, screen: Screen) -> Cursor {
        self.cursors
            .get(screen.place())
            .copied()
            .unwrap_or_default()
    }

    /// Cursor of a screen, to move.
    pub fn cursor_mut(&mut self, screen: Screen) -> &mut Cursor {
        &mut self.cursors[screen.place()]
    }
}

/// One part of a screen: its name and how many rows can be stood on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// Name.
    pub name: &'static str,
    /// What stands beside the name: a count, a figure.
    pub note: String,
    /// Rows.
    pub rows: usize,
}

impl Part {
    /// A part.
    #[must_use]
    pub fn new(name: &'static str, note: String, rows: usize) -> Self {
        Self { name, note, rows }
    }
}

/// What a screen answers with.
pub struct Fns {
    /// Its parts.
    pub parts: fn(&App) -> Vec<Part>,
    /// Its own acts.
    pub act: fn(&mut App, Act) -> Vec<Effect>,
    /// The trace of the row in hand.
    pub why: fn(&App) -> Option<String>,
    /// Where to stand when it is entered.
    pub first_focus: fn(&mut App),
}

/// The functions of a screen.
#[must_use]
pub fn of(screen: Screen) -> Fns {
    match screen {
        Screen::Cars => cars::FNS,
        Screen::Story => story::FNS,
        Screen::Walk => walk::FNS,
        Screen::Faults => faults::FNS,
        Screen::Money => money::FNS,
        Screen::Side => side::FNS,
        Screen::You => you::FNS,
        Screen::Look => look::FNS,
    }
}

/// Parts of the screen in sight.
#[must_use]
pub fn parts(app: &App) -> Vec<Part> {
    (of(app.screen).parts)(app)
}

/// Cursor of the screen in sight.
#[must_use]
pub fn cursor(app: &App) -> Cursor {
    app.views.cursor(app.screen)
}

/// True if the row in hand has a figure to ask about.
#[must_use]
pub fn has_why(app: &App) -> bool {
    (of(app.screen).why)(app).is_some()
}

/// True with figures of the car in hand on the screen in sight.
#[must_use]
pub fn has_figures(app: &App) -> bool {
    app.data.figures().is_some() && parts(app).iter().any(|part| part.rows > 0) && has_why(app)
}

/// True with more than one part.
#[must_use]
pub fn has_parts(app: &App) -> bool {
    parts(app).len() > 1
}

/// True with something to copy.
#[must_use]
pub fn can_copy(app: &App) -> bool {
    crate::tui::copy::here(app).is_some()
}

/// True if Esc goes back to something.
#[must_use]
pub fn can_back(app: &App) -> bool {
    let narrowed = match app.screen {
        Screen::Cars => !app.views.cars.narrow.is_empty(),
        Screen::Faults => !app.views.faults.narrow.is_empty(),
        _ => false,
    };
    narrowed || cursor(app).part > 0
}

/// The screen's own acts.
pub fn act(app: &mut App, act: Act) -> Vec<Effect> {
    if act == Act::Back && app.screen == Screen::Look && look::back(app) {
        clamp(app);
        return Vec::new();
    }
    if act == Act::Back {
        match app.screen {
            Screen::Cars if !app.views.cars.narrow.is_empty() => app.views.cars.narrow.clear(),
            Screen::Faults if !app.views.faults.narrow.is_empty() => {
                app.views.faults.narrow.clear();
            }
            screen => {
                let cursor = app.views.cursor_mut(screen);
                cursor.part = cursor.part.saturating_sub(1);
            }
        }
        clamp(app);
        return Vec::new();
    }
    if let (Act::Left | Act::Right, false) = (act, app.screen == Screen::Side) {
        let part = if act == Act::Left {
            Act::PartBefore
        } else {
            Act::NextPart
        };
        walk(app, part);
        return Vec::new();
    }
    let effects = (of(app.screen).act)(app, act);
    clamp(app);
    effects
}

/// Stands where a screen is entered.
pub fn first_focus(app: &mut App) {
    (of(app.screen).first_focus)(app);
    clamp(app);
}

/// Rows of a page.
fn page(app: &App) -> usize {
    usize::from(app.size.1).saturating_sub(10).max(1)
}

/// Moves the row or the part in hand.
pub fn walk(app: &mut App, act: Act) {
    let parts = parts(app);
    let page = page(app);
    let cursor = app.views.cursor_mut(app.screen);
    let rows = parts.get(cursor.part).map_or(0, |part| part.rows);
    let last = rows.saturating_sub(1);
    let row = cursor.row();
    let next = match act {
        Act::Down => (row + 1).min(last),
        Act::Up => row.saturating_sub(1),
        Act::PageDown => (row + page).min(last),
        Act::PageUp => row.saturating_sub(page),
        Act::First => 0,
        Act::Last => last,
        _ => row,
    };
    cursor.set_row(next);
    let count = parts.len().max(1);
    match act {
        Act::NextPart => cursor.part = (cursor.part + 1) % count,
        Act::PartBefore => cursor.part = (cursor.part + count - 1) % count,
        _ => {}
    }
    came_to(app);
}

/// The car of the row that was just stood on comes to hand.
pub fn came_to(app: &mut App) {
    match app.screen {
        Screen::Cars => cars::take_in_hand(app),
        Screen::Walk => walk::came_to(app),
        Screen::Look => look::came_to(app),
        Screen::Side => {
            if let Some(slug) = side::in_hand(app) {
                app.data.hand = Some(slug);
            }
        }
        _ => {}
    }
}

/// Keeps cursors inside what there is.
pub fn clamp(app: &mut App) {
    for screen in Screen::ALL {
        let parts = (of(screen).parts)(app);
        let cursor = app.views.cursor_mut(screen);
        cursor.part = cursor.part.min(parts.len().saturating_sub(1));
        for (row, part) in cursor.rows.iter_mut().zip(&parts) {
            *row = (*row).min(part.rows.saturating_sub(1));
        }
    }
    if app.screen.is_of_a_car() && app.data.car().is_none_or(|car| car.error.is_some()) {
        app.screen = Screen::Cars;
    }
    if app.screen == Screen::Cars {
        cars::stand_on_hand(app);
    }
}
