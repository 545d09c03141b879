//! Why: one sentence, what the figure is made of, numbered; each part opens the same way, down to rows and entries.

use crate::engine::TraceNode;
use crate::tui::app::App;
use crate::tui::keys::Act;

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
    pub fn node<'a>(&self, app: &'a App) -> Option<&'a TraceNode> {
        app.data.figures()?.trace.nodes.get(self.path.last()?)
    }

    /// False if it closes.
    pub fn act(&mut self, app: &App, act: Act) -> bool {
        let parts = self.node(app).map_or(0, |node| node.parts.len());
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
            .and_then(|node| node.parts.get(part))
            .cloned();
        let known = |id: &String| {
            app.data
                .figures()
                .is_some_and(|figures| figures.trace.nodes.contains_key(id))
        };
        // A trace is a tree by make; should it ever be a ring, the path still ends.
        if let Some(id) = id.filter(known).filter(|_| self.path.len() < 12) {
            self.path.push(id);
            self.at = 0;
        }
    }
}
