//! Why, drawn: the sentence, the numbered parts, the source.

use super::Look;
use super::line::{Paint, Rows};
use super::window;
use crate::engine::{TraceKind, TraceNode};
use crate::tui::app::App;
use crate::tui::draw::sheet::Sheet;
use crate::tui::layout::Regions;
use crate::tui::overlay::why::{Why, figure, line};
use crate::tui::say;
use crate::tui::theme::Meaning;

fn heading(kind: TraceKind) -> &'static str {
    match kind {
        TraceKind::Sum => "made of, adding up",
        TraceKind::Product => "made of, weighing on it",
        TraceKind::Choice => "the one of these that binds",
        TraceKind::Draws => "over the draws, made of",
        TraceKind::Entry | TraceKind::Row | TraceKind::Setting => "with it",
    }
}

fn ground(kind: TraceKind) -> &'static str {
    match kind {
        TraceKind::Entry => "your entry",
        TraceKind::Row => "table row",
        TraceKind::Setting => "setting",
        TraceKind::Draws => "over the draws",
        _ => "from",
    }
}

pub fn draw(app: &App, why: &Why, look: &Look, regions: &Regions, buffer: &mut Sheet<'_>) {
    let node = why.node(app);
    let title = node
        .as_ref()
        .map_or_else(|| "why?".to_owned(), |node| format!("why?  {}", line(node)));
    let parts = node.as_ref().map_or(0, |node| node.parts.len());
    let want = u16::try_from(parts + 9).unwrap_or(40);
    let inside = window::open(
        look,
        regions,
        &title,
        "1-9 open   - up   w or Esc close",
        (74, want),
        buffer,
    );
    let width = usize::from(inside.width);
    let mut rows = Rows::default();
    let Some(node) = &node else {
        rows.words(
            look,
            Meaning::Plain,
            "This figure is being worked out anew.",
            width,
        );
        window::draw_inside(look, &rows, inside, buffer, None);
        return;
    };
    rows.words(look, Meaning::Plain, &node.sentence, width.min(60));
    made_of(app, node, look, width, &mut rows);
    rows.text(Paint::new(look));
    if !node.source.is_empty() {
        let source = format!("{}: {}", ground(node.kind), node.source);
        rows.words(look, Meaning::Quiet, &source, width);
    }
    if why.path.len() == 1 {
        stands_on(app, look, width, &mut rows);
    }
    let in_hand = (parts > 0).then_some(why.at);
    window::draw_inside(look, &rows, inside, buffer, in_hand);
}

/// The parts, numbered; a part that opens no further has its source beside it.
fn made_of(app: &App, node: &TraceNode, look: &Look, width: usize, rows: &mut Rows) {
    if !node.parts.is_empty() {
        rows.text(Paint::new(look));
        rows.text(Paint::new(look).put(Meaning::Quiet, heading(node.kind)));
    }
    let nodes = app.data.figures().map(|figures| &figures.trace.nodes);
    for (at, id) in node.parts.iter().enumerate() {
        let part = nodes.and_then(|nodes| nodes.get(id));
        let (label, value, source) = part.map_or((id.as_str(), String::new(), ""), |part| {
            (&part.label, figure(part), &part.source)
        });
        let digit = if at < 9 {
            (at + 1).to_string()
        } else {
            " ".to_owned()
        };
        let deeper = part.is_some_and(|part| !part.parts.is_empty());
        let source = if deeper { "" } else { source };
        let room = width.saturating_sub(16).min(34);
        let meaning = if value.starts_with('−') {
            Meaning::Takes
        } else {
            Meaning::Plain
        };
        let paint = Paint::new(look)
            .put(Meaning::Heading, digit)
            .gap(1)
            .left(Meaning::Plain, label, room)
            .right(meaning, &value, 12.max(say::width(&value)))
            .gap(2);
        let left = width.saturating_sub(paint.cells());
        rows.row(at, paint.put(Meaning::Quiet, say::clip(source, left)));
    }
}

/// What every figure stands on: tables, draws, seed, buyer, and what had to be assumed.
fn stands_on(app: &App, look: &Look, width: usize, rows: &mut Rows) {
    let Some(figures) = app.data.figures() else {
        return;
    };
    let on = &figures.assumptions;
    let words = format!(
        "stands on  tables {}, {} draws, seed {}, {}",
        on.tables_as_of,
        say::whole(f64::from(on.draws)),
        on.seed,
        on.buyer
    );
    rows.words(look, Meaning::Quiet, &words, width);
    for assumed in on.assumed.iter().take(4) {
        let words = format!("assumed: {}", assumed.words);
        rows.words(look, Meaning::Quiet, &words, width);
    }
}
