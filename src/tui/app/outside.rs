//! What goes out of the screens and comes in again: copies, the user's own editor, files read in.

use super::{App, Effect};
use crate::tui::copy;
use crate::tui::ports::ReadIn;

impl App {
    /// Copies what is in hand; the same key again writes it to a file.
    pub(in crate::tui) fn copy(&mut self) -> Vec<Effect> {
        let Some(made) = copy::here(self) else {
            self.say("nothing here to copy".to_owned());
            return Vec::new();
        };
        if self.copied.as_ref() == Some(&made) {
            self.copied = None;
            return vec![Effect::WriteText(made)];
        }
        self.copied = Some(made.clone());
        vec![Effect::Copy(made)]
    }

    /// Opens the advert in the user's own editor.
    pub(in crate::tui) fn edit_advert(&mut self) -> Vec<Effect> {
        if self.refused() {
            return Vec::new();
        }
        let advert = self.data.record().map(|car| car.listing.advert.clone());
        advert.map(Effect::Editor).into_iter().collect()
    }

    /// The editor was left: its text is the advert now, as one step.
    pub(super) fn edited(&mut self, result: Result<String, String>) -> Vec<Effect> {
        let text = match result {
            Ok(text) => crate::car::text::sanitise(&text).trim().to_owned(),
            Err(why) => {
                self.say(why);
                return Vec::new();
            }
        };
        let before = self
            .data
            .record()
            .map(|car| car.listing.advert.trim().to_owned());
        if before.as_deref() == Some(text.as_str()) {
            self.say("the advert is as it was".to_owned());
            return Vec::new();
        }
        let words = text.split_whitespace().count();
        let effects = self.edit("advert edited", |car| {
            car.listing.whole_text_on_file = !text.is_empty();
            car.listing.advert = text;
        });
        if self.said.message.is_none() {
            self.say(format!("the advert has {words} words now"));
        }
        effects
    }

    /// A file was read: a car comes onto the shelf as it is, any other text as an advert.
    pub(super) fn came_in(&mut self, result: Result<ReadIn, String>) -> Vec<Effect> {
        if self.read_only() {
            return Vec::new();
        }
        match result {
            Ok(ReadIn::Car(file)) => vec![Effect::Add(file)],
            Ok(ReadIn::Advert(text)) => self.car_of_advert(&text),
            Err(why) => {
                self.say(why);
                Vec::new()
            }
        }
    }
}
