//! Why: one sentence, what the figure is made of, numbered; each part opens the same way, down to rows and entries.

use crate::engine::{TraceKind, TraceNode};
use crate::tui::app::App;
use crate::tui::keys::Act;
use crate::tui::say;
use crate::tui::screens::money;

/// A node of the trace of the car in hand, or of what the ladder joins.
#[must_use]
pub fn node(app: &App, id: &str) -> Option<TraceNode> {
    let figures = app.data.figures()?;
    let known = figures.trace.nodes.get(id).cloned();
    known.or_else(|| money::joined(app, id))
}

/// A node in one line: what it is and its figure.
#[must_use]
pub fn line(node: &TraceNode) -> String {
    format!("{} {}", node.label, figure(node))
        .trim_end()
        .to_owned()
}

/// The figure of a node: as it is given, else its amount: shares as percent, the rest as whole numbers.
#[must_use]
pub fn figure(node: &TraceNode) -> String {
    if !node.value.is_empty() {
        return node.value.clone();
    }
    match (node.kind, node.amount) {
        (_, None) => String::new(),
        // A setting without a figure of its own says it in its source.
        (TraceKind::Setting, Some(amount)) if amount.abs() < f64::EPSILON => String::new(),
        (TraceKind::Row | TraceKind::Setting | TraceKind::Product, Some(amount))
            if (0.0..1.0).contains(&amount) =>
        {
            say::percent(amount)
        }
        (_, Some(amount)) => say::whole(amount),
    }
}

/// True where a why can be opened.
#[must_use]
pub fn has_node(app: &App, id: &str) -> bool {
    app.data
        .figures()
        .is_some_and(|figures| figures.trace.nodes.contains_key(id))
        || money::joined(app, id).is_some()
}

/// The path from the figure asked about to the one in sight.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Why {
    /// Trace ids, the first one asked about.
    pub path: Vec<String>,
    /// Part in hand.
    pub at: usize,
}

impl Why {
    /// The why of a figure.
    #[must_use]
    pub fn of(id: String) -> Self {
        Self {
            path: vec![id],
            at: 0,
        }
    }

    /// The node in sight.
    #[must_use]
    pub fn node(&self, app: &App) -> Option<TraceNode> {
        node(app, self.path.last()?)
    }

    /// How many parts it is made of.
    #[must_use]
    pub fn parts(&self, app: &App) -> usize {
        self.node(app).map_or(0, |node| node.parts.len())
    }

    /// False if it closes.
    pub fn act(&mut self, app: &App, act: Act) -> bool {
        let parts = self.parts(app);
        let last = parts.saturating_sub(1);
        match act {
            Act::Digit(digit) => self.open(app, usize::from(digit).saturating_sub(1)),
            Act::Open => self.open(app, self.at),
            Act::UpOne if self.path.len() > 1 => {
                self.path.pop();
                self.at = 0;
            }
            Act::UpOne | Act::Back => return false,
            Act::Down => self.at = (self.at + 1).min(last),
            Act::Up => self.at = self.at.saturating_sub(1),
            Act::PageDown => self.at = (self.at + 8).min(last),
            Act::PageUp => self.at = self.at.saturating_sub(8),
            _ => {}
        }
        true
    }

    fn open(&mut self, app: &App, part: usize) {
        let id = self
            .node(app)
            .and_then(|node| node.parts.get(part).cloned());
        let known = |id: &String| has_node(app, id);
        // A trace is a tree by make; should it ever be a ring, the path still ends.
        if let Some(id) = id.filter(known).filter(|_| self.path.len() < 12) {
            self.path.push(id);
            self.at = 0;
        }
    }
}
