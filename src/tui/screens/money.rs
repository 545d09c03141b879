//! Money: where you stand when you must name a figure.

use super::{Fns, Part, Screen, asked, cars};
use crate::engine::{Appraisal, RungKind, TraceKind, TraceNode};
use crate::tui::app::{App, Effect};
use crate::tui::forms::Purpose;
use crate::tui::geometry::ladder::{self, Step};
use crate::tui::keys::Act;
use crate::tui::overlay;
use crate::tui::{layout, say};

/// The plan of offers, with the rail at narrow widths.
pub const PLAN: usize = 0;
/// The ladder.
pub const LADDER: usize = 1;
/// Offers and answers.
pub const TALKS: usize = 2;
/// What it comes to.
pub const SETTLE: usize = 3;
/// The seller as read.
pub const SELLER: usize = 4;

/// The functions of this screen.
pub const FNS: Fns = Fns {
    parts,
    act,
    why,
    first_focus,
};

fn first_focus(app: &mut App) {
    let cursor = app.views.cursor_mut(Screen::Money);
    cursor.part = PLAN;
    cursor.set_row(0);
}

fn parts(app: &App) -> Vec<Part> {
    let talks = app.data.record().map_or(0, |car| car.talks.len());
    let Some(figures) = app.data.figures() else {
        return vec![Part::new("plan", String::new(), 0)];
    };
    let limit = figures
        .limit
        .price
        .map_or_else(|| "no limit".to_owned(), say::money);
    let worth = figures.worth.as_ref().map_or_else(
        || "costs only".to_owned(),
        |worth| format!("worth {} down to {limit}", say::about(worth.mean)),
    );
    let settle = figures.you_are_up.as_ref().map_or_else(String::new, |up| {
        format!("you are up {}", say::about(up.p50))
    });
    let said = if talks == 0 {
        "none yet".to_owned()
    } else {
        format!("{talks} so far")
    };
    vec![
        Part::new("plan", String::new(), plan(figures).len()),
        Part::new("ladder", worth, steps(app).len()),
        Part::new("talks", said, talks),
        Part::new("if you settle", settle, SETTLE_ROWS),
        Part::new(
            "they, as we read it",
            "e edit".to_owned(),
            figures.offer.cues.len(),
        ),
    ]
}

/// Rows of what it comes to: all you pay, you are up, hours, cheap.
pub const SETTLE_ROWS: usize = 4;

/// The steps of the ladder, joined to what the size holds.
#[must_use]
pub fn steps(app: &App) -> Vec<Step> {
    let rows = layout::ladder_rows(app.size);
    app.data
        .figures()
        .map_or_else(Vec::new, |figures| ladder::steps(&figures.ladder, rows))
}

/// The why of a joined rung: the trace knows the rungs, not what a small terminal joins.
#[must_use]
pub fn joined(app: &App, id: &str) -> Option<TraceNode> {
    let nodes = &app.data.figures()?.trace.nodes;
    let step = steps(app)
        .into_iter()
        .find(|step| step.trace_id == id && !step.joined.is_empty())?;
    let amounts = step
        .joined
        .iter()
        .filter_map(|part| nodes.get(part)?.amount);
    Some(TraceNode {
        amount: Some(amounts.sum()),
        sentence: "Joined for want of rows: these rungs add up to it.".to_owned(),
        label: step.label,
        value: String::new(),
        kind: TraceKind::Sum,
        parts: step.joined,
        source: String::new(),
    })
}

/// One figure of the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// Label.
    pub label: &'static str,
    /// Figure.
    pub amount: f64,
    /// Chance that they would take it, where known.
    pub chance: Option<f64>,
}

/// The figures of the plan, in order; a donor or a car without worth has none.
#[must_use]
pub fn plan(figures: &Appraisal) -> Vec<Planned> {
    let offer = &figures.offer;
    let chance = |amount: crate::car::Money| {
        offer
            .would_take
            .iter()
            .find(|(known, _)| *known == amount)
            .map(|(_, chance)| *chance)
    };
    let planned = |label: &'static str, amount: crate::car::Money| Planned {
        label,
        amount: say::to_f64(amount),
        chance: chance(amount),
    };
    let mut rows = Vec::new();
    let labels = ["open", "if no", "if no again", "and then"];
    let steps = if offer.steps.is_empty() {
        offer.open.into_iter().collect()
    } else {
        offer.steps.clone()
    };
    for (at, amount) in steps.iter().enumerate() {
        let label = labels.get(at).copied().unwrap_or("and then");
        if Some(*amount) != offer.settle || at == 0 {
            rows.push(planned(label, *amount));
        }
    }
    if let Some(settle) = offer.settle {
        rows.push(planned("settle", settle));
    }
    if let Some(take) = offer.take_it_at.filter(|take| Some(*take) != offer.settle) {
        rows.push(planned("take any up to", take));
    }
    if let Some(limit) = figures.limit.price {
        rows.push(planned("never over", limit));
    }
    rows
}

/// True with a limit to reckon two prices from.
#[must_use]
pub fn has_limit(app: &App) -> bool {
    app.data
        .figures()
        .is_some_and(|out| out.limit.price.is_some())
}

/// True with an offer or answer to remove.
#[must_use]
pub fn has_talks(app: &App) -> bool {
    app.data.record().is_some_and(|car| !car.talks.is_empty())
}

fn why(app: &App) -> Option<String> {
    let figures = app.data.figures()?;
    let cursor = app.views.cursor(Screen::Money);
    let id = match cursor.part {
        LADDER => steps(app)
            .get(cursor.row())
            .map(|step| step.trace_id.clone())?,
        PLAN => match plan(figures).get(cursor.row()) {
            Some(row) if row.label != "never over" => figures.offer.trace_id.clone(),
            _ => figures.limit.trace_id.clone(),
        },
        TALKS => figures.offer.trace_id.clone(),
        SELLER => {
            let cue = figures.offer.cues.get(cursor.row())?;
            format!("cue/{}", cue.id)
        }
        _ => match cursor.row() {
            2 => figures.repair.trace_id.clone(),
            3 => figures.chances.trace_id.clone(),
            _ => figures.limit.trace_id.clone(),
        },
    };
    overlay::why::has_node(app, &id).then_some(id)
}

/// The mark of a stroke by how well a rung is known.
#[must_use]
pub fn stroke(kind: RungKind) -> char {
    match kind {
        RungKind::Seen | RungKind::Lift => '━',
        RungKind::Likely => '╍',
        RungKind::Unseen | RungKind::Right => '┄',
        RungKind::Rule | RungKind::Room => '─',
        RungKind::Worth => 'w',
        RungKind::Limit => 'L',
    }
}

fn act(app: &mut App, act: Act) -> Vec<Effect> {
    match act {
        Act::Add => cars::form(app, Purpose::Offer),
        Act::Other => asked::ask_two(app),
        Act::Mind => asked::ask_mind(app),
        Act::Letter => {
            let paper = overlay::letter::open(app);
            app.open(overlay::Overlay::Letter(paper))
        }
        Act::Edit => cars::form(app, Purpose::Seller),
        Act::Bought => cars::form(app, Purpose::Bought),
        Act::Note => cars::form(app, Purpose::Note(None)),
        Act::Remove => {
            let effects = app.edit("last offer or answer removed", |car| {
                car.talks.pop();
            });
            app.replan();
            effects
        }
        _ => Vec::new(),
    }
}
