//! A sample is never changed: its first change waits for an answer, then goes into a copy of the user's own, or nowhere.

use super::{Action, App, Effect};
use crate::tui::overlay::{Overlay, Sure, Then};
use crate::tui::ports::Access;

/// A change that waits: the state with it, and what is then to be done.
#[derive(Debug, Clone, PartialEq)]
pub struct Pending {
    app: App,
    effects: Vec<Effect>,
}

/// True for a save of a car of which only the place of the walk has changed.
fn only_the_place(before: &App, after: &App, effect: &Effect) -> bool {
    let Effect::Save(slug) = effect else {
        return false;
    };
    let files = before.data.entry(slug).zip(after.data.entry(slug));
    files.is_some_and(|(before, after)| {
        let (before, after) = (&before.file, &after.file);
        before.car == after.car && before.undo == after.undo && before.redo == after.redo
    })
}

impl App {
    /// Changes the state, unless that would write to a sample: then the state stays and the question is asked.
    pub(super) fn update_sample(&mut self, action: Action, place: &str) -> Vec<Effect> {
        let before = self.clone();
        let mut effects = self.apply(action);
        // Where the walk stands is no fact of the car: it is not kept, and nobody is asked.
        effects.retain(|effect| !only_the_place(&before, self, effect));
        if !effects.iter().any(Effect::writes) {
            return effects;
        }
        let app = std::mem::replace(self, before);
        let then = Then::CopySample(Box::new(Pending { app, effects }));
        self.open(Overlay::Sure(Sure {
            title: "a sample",
            question: format!("Copy the sample to {place}, and keep the change there?"),
            more: "Enter copies and keeps, Esc drops the change. The sample itself stays as it is."
                .to_owned(),
            then,
        }))
    }

    /// The answer was yes: the copy is asked for, the change waits for it.
    pub(in crate::tui) fn copy_sample(&mut self, pending: Box<Pending>) -> Vec<Effect> {
        self.pending = Some(pending);
        vec![Effect::CopySample]
    }

    /// The copy is open, or could not be made; then the change is dropped.
    pub(super) fn copied(&mut self, result: Result<String, String>) -> Vec<Effect> {
        let Some(pending) = self.pending.take() else {
            return Vec::new();
        };
        let place = match result {
            Ok(place) => place,
            Err(why) => {
                self.say(format!("{why} The change is dropped."));
                return Vec::new();
            }
        };
        let Pending { mut app, effects } = *pending;
        app.size = self.size;
        app.hidden = self.hidden;
        app.data.take_newer_figures(&self.data);
        app.data.access = Access::Write;
        *self = app;
        self.say(format!("your copy, with the change in it: {place}"));
        effects
    }
}
