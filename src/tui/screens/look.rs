//! Look up: any table as rows, a page each with source and links, and figures of the user's own over those of the tables.

mod page;

use super::{Fns, Part, Screen};
use crate::report::look_up::{self, Kind, entries, find};
use crate::trade::own::top;
use crate::trade::{Own, OwnChange, OwnFigure};
use crate::tui::acts::Done;
use crate::tui::app::{App, Effect};
use crate::tui::forms::{self, Purpose};
use crate::tui::keys::Act;
use crate::tui::overlay::{self, Overlay};
use crate::tui::ports::OwnTables;
pub use page::{PageRow, figure_words, page, value_words};
use std::sync::Arc;

/// What was found.
pub const FOUND: usize = 0;
/// The page of the row in hand.
pub const PAGE: usize = 1;
/// Figures of the user's own.
pub const OWN: usize = 2;

/// Most rows found.
const MOST: usize = 400;

/// A row by kind and id.
pub type RowId = (Kind, String);

/// What this sitting adds to the screen.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LookView {
    /// Word typed.
    pub word: String,
    /// Kind, counted from 1 in [`Kind::ALL`]; 0: all.
    pub kind: usize,
    /// Rows found.
    pub found: Vec<RowId>,
    /// Rows gone to by links, the newest last.
    pub gone_to: Vec<RowId>,
    /// It was searched at least once.
    searched: bool,
}

/// The functions of this screen.
pub const FNS: Fns = Fns {
    parts,
    act,
    why: |_| None,
    first_focus,
};

fn first_focus(app: &mut App) {
    if !app.views.look.searched {
        search(app);
    }
}

/// Gone to by its own key: the word is in hand. Who only walks through the screens goes on with the next key.
pub fn open_word(app: &mut App) {
    if !app.hidden && app.screen == Screen::Look && app.views.look.word.is_empty() {
        app.overlay = Some(Overlay::narrow(""));
    }
}

fn parts(app: &App) -> Vec<Part> {
    let look = &app.views.look;
    let own = app.data.own.len();
    let mut out = vec![
        Part::new("found", look.found.len().to_string(), look.found.len()),
        Part::new("page", String::new(), page(app).len()),
    ];
    if own > 0 {
        out.push(Part::new("yours", own.to_string(), own));
    }
    out
}

/// Rows like the word, of the kind in hand; all of them without a word.
pub fn search(app: &mut App) {
    let look = &app.views.look;
    let kind = look.kind.checked_sub(1).and_then(|at| Kind::ALL.get(at));
    let tables = Arc::clone(&app.data.tables);
    let mut all = entries(&tables);
    all.retain(|entry| kind.is_none_or(|kind| entry.kind == *kind));
    let found = if look.word.trim().is_empty() {
        all
    } else {
        find(&all, &look.word, MOST)
    };
    let found = found
        .into_iter()
        .map(|entry| (entry.kind, entry.id.to_owned()))
        .collect();
    let look = &mut app.views.look;
    look.found = found;
    look.gone_to.clear();
    look.searched = true;
    let cursor = app.views.cursor_mut(Screen::Look);
    cursor.part = FOUND;
    cursor.rows = [0; super::MOST_PARTS];
}

/// The word is another one.
pub fn narrow(app: &mut App, word: &str) {
    if app.views.look.word != word {
        word.clone_into(&mut app.views.look.word);
        search(app);
    }
}

/// Why nothing was found, in a sentence.
#[must_use]
pub fn nothing(app: &App) -> Option<String> {
    let look = &app.views.look;
    if let Some(why) = look_up::not_ours(&app.data.tables, &look.word) {
        return Some(why);
    }
    look.found.is_empty().then(|| {
        format!(
            "Nothing has “{}”. Try a shorter word, a code such as P0171, or an id.",
            crate::report::words::clean(&look.word)
        )
    })
}

/// The row whose page is open.
#[must_use]
pub fn row(app: &App) -> Option<RowId> {
    let look = &app.views.look;
    let at = app.views.cursor(Screen::Look).rows[FOUND];
    look.gone_to.last().or_else(|| look.found.get(at)).cloned()
}

/// The row of the page in hand.
#[must_use]
pub fn on_page(app: &App) -> Option<PageRow> {
    let cursor = app.views.cursor(Screen::Look);
    let at = (cursor.part == PAGE).then_some(cursor.rows[PAGE])?;
    page(app).into_iter().nth(at)
}

/// The change of the user's own in hand.
#[must_use]
pub fn own_in_hand(app: &App) -> Option<&Own> {
    let cursor = app.views.cursor(Screen::Look);
    if cursor.part == OWN {
        return app.data.own.get(cursor.rows[OWN]);
    }
    let (kind, id) = row(app)?;
    let PageRow::Figure(figure) = on_page(app)? else {
        return None;
    };
    own_of(app, kind, &id, &figure)
}

/// The user's own change of a figure.
#[must_use]
pub fn own_of<'a>(app: &'a App, kind: Kind, id: &str, figure: &OwnFigure) -> Option<&'a Own> {
    let mut own = app.data.own.iter().rev();
    own.find(|own| own.table == kind.table() && own.id == id && own.field == top(&figure.field))
}

/// True where the row in hand opens.
#[must_use]
pub fn can_open(app: &App) -> bool {
    match app.views.cursor(Screen::Look).part {
        FOUND => row(app).is_some(),
        PAGE => matches!(on_page(app), Some(PageRow::Link(_) | PageRow::Figure(_))),
        _ => own_row(app).is_some(),
    }
}

/// True on a figure that can be changed.
#[must_use]
pub fn can_edit(app: &App) -> bool {
    matches!(on_page(app), Some(PageRow::Figure(_)))
}

/// True on a change of the user's own.
#[must_use]
pub fn can_remove(app: &App) -> bool {
    own_in_hand(app).is_some()
}

/// True for a code or a sign, with a car in hand.
#[must_use]
pub fn can_add(app: &App) -> bool {
    let sign = matches!(row(app), Some((Kind::Code | Kind::Sign, _)));
    sign && app.data.car().is_some_and(|car| car.error.is_none())
}

/// The row of a change of the user's own.
fn own_row(app: &App) -> Option<RowId> {
    let own = own_in_hand(app)?;
    let kind = Kind::ALL
        .into_iter()
        .find(|kind| kind.table() == own.table)?;
    Some((kind, own.id.clone()))
}

fn act(app: &mut App, act: Act) -> Vec<Effect> {
    match act {
        Act::Narrow => {
            let word = app.views.look.word.clone();
            app.open(Overlay::narrow(&word))
        }
        Act::Other => {
            let look = &mut app.views.look;
            look.kind = (look.kind + 1) % (Kind::ALL.len() + 1);
            search(app);
            Vec::new()
        }
        Act::Open => open(app),
        Act::Edit => edit(app),
        Act::Remove => take_back(app),
        Act::Add => add(app),
        _ => Vec::new(),
    }
}

fn open(app: &mut App) -> Vec<Effect> {
    match app.views.cursor(Screen::Look).part {
        FOUND => stand_on_page(app),
        OWN => {
            if let Some(row) = own_row(app) {
                app.views.look.gone_to.push(row);
                stand_on_page(app);
            }
        }
        _ => match on_page(app) {
            Some(PageRow::Link(link)) => {
                app.views.look.gone_to.push((link.kind, link.id));
                stand_on_page(app);
            }
            Some(PageRow::Figure(_)) => return edit(app),
            _ => {}
        },
    }
    Vec::new()
}

fn stand_on_page(app: &mut App) {
    let cursor = app.views.cursor_mut(Screen::Look);
    cursor.part = PAGE;
    cursor.rows[PAGE] = 0;
}

/// Esc: the row before, then the list. True if there was something to go back to.
pub fn back(app: &mut App) -> bool {
    if app.views.cursor(Screen::Look).part != PAGE {
        return false;
    }
    if app.views.look.gone_to.pop().is_some() {
        app.views.cursor_mut(Screen::Look).rows[PAGE] = 0;
        if !app.views.look.gone_to.is_empty() {
            return true;
        }
    }
    app.views.cursor_mut(Screen::Look).part = FOUND;
    true
}

/// Another row of the list is in hand: its own page is open.
pub fn came_to(app: &mut App) {
    if app.views.cursor(Screen::Look).part == FOUND {
        app.views.look.gone_to.clear();
        app.views.cursor_mut(Screen::Look).rows[PAGE] = 0;
    }
}

fn edit(app: &mut App) -> Vec<Effect> {
    let (Some((kind, id)), Some(PageRow::Figure(figure))) = (row(app), on_page(app)) else {
        return Vec::new();
    };
    let purpose = Purpose::Own {
        table: kind.table().to_owned(),
        id,
        field: figure.field,
    };
    let form = forms::open(purpose, app);
    app.open(Overlay::Form(form))
}

fn take_back(app: &mut App) -> Vec<Effect> {
    let Some(own) = own_in_hand(app).cloned() else {
        return Vec::new();
    };
    let change = OwnChange {
        table: own.table.clone(),
        id: own.id.clone(),
        field: own.field.clone(),
        to: None,
    };
    change_own(
        app,
        change,
        format!("{} of {}: ours again", own.field, own.id),
    )
}

/// Makes a change of the user's own, as one step.
pub fn change_own(app: &mut App, after: OwnChange, label: String) -> Vec<Effect> {
    let field = top(&after.field).to_owned();
    let known = app
        .data
        .own
        .iter()
        .rev()
        .find(|own| own.table == after.table && own.id == after.id && own.field == field);
    let before = OwnChange {
        field,
        to: known.map(|own| (own.value.clone(), own.reason.clone())),
        ..after.clone()
    };
    app.acts.push(Done::Own {
        before: Box::new(before),
        after: Box::new(after.clone()),
        label,
    });
    vec![Effect::ChangeOwn(Box::new(after))]
}

/// The tables with the change came, or why not.
pub fn changed(app: &mut App, result: Result<Box<OwnTables>, String>) -> Vec<Effect> {
    match result {
        Err(why) => {
            app.acts.forget_last_own();
            app.say(why);
            Vec::new()
        }
        Ok(now) => {
            app.data.tables = Arc::new(now.tables);
            app.data.own = now.own;
            app.data.remember_bottom_line();
            let cars = app.data.cars.len();
            app.say(format!(
                "kept; reprices {cars} {}",
                if cars == 1 { "car" } else { "cars" }
            ));
            app.weigh_all()
        }
    }
}

/// Puts a code or a sign on the car in hand: asks how it is.
fn add(app: &mut App) -> Vec<Effect> {
    let sign = match row(app) {
        Some((Kind::Sign, id)) => Some(id),
        Some((Kind::Code, id)) => app.data.tables.code(&id).map(|code| code.sign.clone()),
        _ => None,
    };
    match sign {
        Some(sign) => overlay::open_picker(app, Some(sign)),
        None => Vec::new(),
    }
}
