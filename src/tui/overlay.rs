//! What lies over a screen: one at a time, each with its own state; each answers, none reaches further.

pub mod help;
pub mod letter;
pub mod mind;
pub mod palette;
pub mod picker;
pub mod tags;
pub mod why;

use crate::tui::advert;
use crate::tui::app::{App, Effect, Pending};
use crate::tui::forms::{self, Entry, Form, Purpose, Wants};
use crate::tui::keys::{Act, Context, Key};
use crate::tui::screens::{self, Screen, cars};
use help::Help;
use letter::Paper;
use palette::Palette;
use picker::Picker;
use tags::Tags;
use why::Why;

/// What lies over the screen.
#[derive(Debug, Clone, PartialEq)]
pub enum Overlay {
    /// Where to go.
    Go,
    /// Why.
    Why(Why),
    /// A letter before every figure.
    Tags(Tags),
    /// Help.
    Help(Help),
    /// A form.
    Form(Form),
    /// Sign picker.
    Picker(Picker),
    /// Stop notice.
    Stop(StopNotice),
    /// A question.
    Sure(Sure),
    /// Narrowing the list.
    Narrow(Entry),
    /// Do by name.
    Palette(Palette),
    /// A letter, a notice or a draft.
    Letter(Paper),
    /// What would change the mind, from a line on.
    Mind(usize),
}

/// A finding that ends the deal unless waived.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StopNotice {
    /// Sign.
    pub sign: String,
    /// Finding.
    pub finding: String,
    /// Sentence.
    pub sentence: String,
}

/// A question answered by Enter or Esc.
#[derive(Debug, Clone, PartialEq)]
pub struct Sure {
    /// Title.
    pub title: &'static str,
    /// Question.
    pub question: String,
    /// What else there is to know.
    pub more: String,
    /// What Enter does.
    pub then: Then,
}

/// What Enter does.
#[derive(Debug, Clone, PartialEq)]
pub enum Then {
    /// Copies the sample and puts the change into the copy.
    CopySample(Box<Pending>),
    /// Makes a car of an advert.
    CarOfAdvert(String),
    /// Replaces the advert of the car in hand.
    ReplaceAdvert(String),
    /// Puts what a code reader shows on file.
    Reader(String),
}

impl Sure {
    /// The question a paste asks on a screen; `None` for a paste without words.
    #[must_use]
    pub fn of_paste(pasted: &str, screen: Screen) -> Option<Self> {
        let text = crate::car::text::sanitise(pasted).trim().to_owned();
        let words = text.split_whitespace().count();
        if words == 0 {
            return None;
        }
        let reader = crate::car::obd::reader_text(&text);
        let (question, read, then) = if screen == Screen::Walk && !reader.is_empty() {
            let codes: Vec<&str> = reader.codes.iter().map(|one| one.code.as_str()).collect();
            let codes = if codes.is_empty() {
                "counters and readiness".to_owned()
            } else {
                codes.join(", ")
            };
            let question = format!("{codes}: put what the reader shows on file?");
            (question, String::new(), Then::Reader(text))
        } else if screen == Screen::Story {
            let question = format!("{words} words: put them in place of the advert?");
            (question, String::new(), Then::ReplaceAdvert(text))
        } else {
            let question = format!("{words} words: make a car of it?");
            let read = format!("{} ", advert::in_words(&advert::car(&text)));
            (question, read, Then::CarOfAdvert(text))
        };
        Some(Self {
            title: "paste",
            question,
            more: format!("{read}Enter yes, Esc no. Nothing in it is run."),
            then,
        })
    }
}

impl Overlay {
    /// Where its keys are looked up.
    #[must_use]
    pub fn context(&self) -> Context {
        match self {
            Self::Go => Context::Go,
            Self::Why(_) => Context::Why,
            Self::Help(_) => Context::Help,
            Self::Tags(_) => Context::Tags,
            Self::Form(form) => Context::Form {
                empty: form
                    .field()
                    .is_some_and(|field| !field.is_choice() && field.entry.is_empty()),
                choice: form.field().is_some_and(forms::Field::is_choice),
            },
            Self::Picker(picker) if picker.level.is_some() => Context::Level,
            Self::Picker(_) => Context::Picker,
            Self::Stop(_) => Context::Stop,
            Self::Sure(_) => Context::Sure,
            Self::Narrow(_) => Context::Narrow,
            Self::Palette(_) => Context::Palette,
            Self::Letter(_) => Context::Letter,
            Self::Mind(_) => Context::Mind,
        }
    }

    /// Narrowing that starts from a word.
    #[must_use]
    pub fn narrow(word: &str) -> Self {
        Self::Narrow(Entry::of(word))
    }
}

/// Opens the why of the row in hand.
pub fn open_why(app: &mut App) -> Vec<Effect> {
    match (screens::of(app.screen).why)(app) {
        Some(id) => app.open(Overlay::Why(Why::of(id))),
        None => Vec::new(),
    }
}

/// Puts a letter before every figure of the screen.
pub fn open_tags(app: &mut App) -> Vec<Effect> {
    match Tags::here(app) {
        Some(tags) => {
            app.say("a letter opens its why".to_owned());
            app.open(Overlay::Tags(tags))
        }
        None => Vec::new(),
    }
}

/// The help of the screen in sight.
#[must_use]
pub fn help_here(app: &App) -> Overlay {
    Overlay::Help(Help::here(app))
}

/// Opens the sign picker, on a sign's level if one is given.
pub fn open_picker(app: &mut App, sign: Option<String>) -> Vec<Effect> {
    if app.refused() {
        return Vec::new();
    }
    let picker = Picker::new(app, sign);
    app.open(Overlay::Picker(picker))
}

/// An act while something lies over the screen.
pub fn act(app: &mut App, act: Act) -> Vec<Effect> {
    let Some(overlay) = app.overlay.take() else {
        return Vec::new();
    };
    match overlay {
        Overlay::Go => go(app, act),
        Overlay::Why(why) => why_act(app, why, act),
        Overlay::Letter(paper) => letter::perform(app, paper, act),
        Overlay::Mind(top) => mind::perform(app, top, act),
        Overlay::Help(_) if act == Act::Palette => app.open(Overlay::Palette(Palette::default())),
        Overlay::Palette(mut palette) => match palette.act(app, act) {
            palette::Answer::Stay => app.open(Overlay::Palette(palette)),
            palette::Answer::Close => Vec::new(),
            palette::Answer::Do(act) => app.apply(crate::tui::app::Action::Act(act)),
        },
        Overlay::Help(mut help) => match help.act(app, act) {
            help::Answer::Stay => app.open(Overlay::Help(help)),
            help::Answer::Close => Vec::new(),
            help::Answer::Do(act) => app.apply(crate::tui::app::Action::Act(act)),
        },
        Overlay::Tags(mut tags) => {
            if act == Act::PageDown {
                tags.turn();
                app.overlay = Some(Overlay::Tags(tags));
            }
            Vec::new()
        }
        Overlay::Form(form) => form_act(app, form, act),
        Overlay::Picker(picker) => picker::act(app, picker, act),
        Overlay::Stop(notice) => stop_act(app, &notice, act),
        Overlay::Sure(sure) => match act {
            Act::Open => sure_act(app, sure),
            _ => {
                if matches!(sure.then, Then::CopySample(_)) {
                    app.say("dropped: a sample stays as it is".to_owned());
                }
                Vec::new()
            }
        },
        Overlay::Narrow(_) => {
            if act == Act::Back {
                set_narrow(app, "");
            }
            Vec::new()
        }
    }
}

fn why_act(app: &mut App, mut why: Why, act: Act) -> Vec<Effect> {
    match act {
        Act::Copy => {
            app.overlay = Some(Overlay::Why(why));
            app.copy()
        }
        Act::Help => {
            app.say("1-9 open a part, - goes up, c copies, w closes".to_owned());
            app.open(Overlay::Why(why))
        }
        Act::Digit(digit) if usize::from(digit) > why.parts(app) => {
            app.say(format!("{digit} is no part of this"));
            app.open(Overlay::Why(why))
        }
        act => {
            if why.act(app, act) {
                app.overlay = Some(Overlay::Why(why));
            }
            Vec::new()
        }
    }
}

fn go(app: &mut App, act: Act) -> Vec<Effect> {
    match act {
        Act::Go(screen) => {
            let effects = app.go(screen);
            screens::look::open_word(app);
            effects
        }
        Act::GoBack => app.go(app.before),
        _ => Vec::new(),
    }
}

fn form_act(app: &mut App, mut form: Form, act: Act) -> Vec<Effect> {
    match act {
        Act::Open => match form.enter() {
            Wants::Keep => keep(app, form),
            Wants::Stay => app.open(Overlay::Form(form)),
        },
        Act::NextPart | Act::PartBefore => {
            form.step(if act == Act::NextPart { 1 } else { -1 });
            app.open(Overlay::Form(form))
        }
        Act::Help => {
            let hint = form
                .field()
                .map(|field| format!("{}: {}", field.label, field.hint));
            app.say(hint.unwrap_or_default());
            app.open(Overlay::Form(form))
        }
        _ => {
            app.draft = Some(form);
            Vec::new()
        }
    }
}

fn keep(app: &mut App, mut form: Form) -> Vec<Effect> {
    if forms::asks(&mut form, app) {
        return app.open(Overlay::Form(form));
    }
    match forms::keep(&form, app) {
        Ok(effects) => {
            if app
                .draft
                .as_ref()
                .is_some_and(|draft| draft.purpose == form.purpose)
            {
                app.draft = None;
            }
            screens::clamp(app);
            effects
        }
        Err(wrong) => {
            form.refuse(&wrong);
            app.open(Overlay::Form(form))
        }
    }
}

fn stop_act(app: &mut App, notice: &StopNotice, act: Act) -> Vec<Effect> {
    match act {
        Act::Cross => cars::form(app, Purpose::Waive(notice.sign.clone())),
        Act::Undo => app.undo(),
        Act::Why => open_why(app),
        _ => Vec::new(),
    }
}

fn sure_act(app: &mut App, sure: Sure) -> Vec<Effect> {
    match sure.then {
        Then::CopySample(pending) => app.copy_sample(pending),
        Then::CarOfAdvert(text) => app.car_of_advert(&text),
        Then::Reader(text) => {
            let read = crate::car::obd::reader_text(&text);
            screens::walk::put_reader(app, &read)
        }
        Then::ReplaceAdvert(text) => app.edit("advert pasted", |car| {
            car.listing.advert = text;
            car.listing.whole_text_on_file = true;
        }),
    }
}

fn set_narrow(app: &mut App, word: &str) {
    match app.screen {
        Screen::Cars => word.clone_into(&mut app.views.cars.narrow),
        Screen::Faults => word.clone_into(&mut app.views.faults.narrow),
        Screen::Look => screens::look::narrow(app, word),
        _ => {}
    }
    screens::clamp(app);
}

/// A key where text is taken.
pub fn type_key(app: &mut App, key: Key) -> Vec<Effect> {
    let Some(overlay) = app.overlay.take() else {
        return Vec::new();
    };
    match overlay {
        Overlay::Form(mut form) => match form.type_key(key) {
            Wants::Keep => keep(app, form),
            Wants::Stay => {
                forms::refresh(&mut form, app);
                app.open(Overlay::Form(form))
            }
        },
        Overlay::Picker(mut picker) => {
            picker.type_key(app, key);
            app.open(Overlay::Picker(picker))
        }
        Overlay::Palette(mut palette) => {
            palette.type_key(key);
            app.open(Overlay::Palette(palette))
        }
        Overlay::Tags(mut tags) => {
            let Key::Char(letter) = key else {
                return app.open(Overlay::Tags(tags));
            };
            if letter == ' ' {
                tags.turn();
                return app.open(Overlay::Tags(tags));
            }
            let Some(tag) = tags.figure(letter) else {
                app.say(format!("{letter} stands before no figure"));
                return app.open(Overlay::Tags(tags));
            };
            let cursor = app.views.cursor_mut(app.screen);
            cursor.part = tag.part;
            cursor.set_row(tag.row);
            screens::came_to(app);
            app.open(Overlay::Why(Why::of(tag.id.clone())))
        }
        Overlay::Narrow(mut entry) => {
            entry.type_key(key);
            set_narrow(app, entry.text());
            app.open(Overlay::Narrow(entry))
        }
        other => app.open(other),
    }
}

/// A paste where text is taken: one insertion; its line feeds keep nothing and send nothing.
pub fn paste(app: &mut App, text: &str) {
    match app.overlay.take() {
        Some(Overlay::Form(mut form)) => {
            let at = form.at;
            if let Some(field) = form.fields.get_mut(at)
                && !field.is_choice()
            {
                field.reason = None;
                field.entry.insert(text.trim());
            }
            forms::refresh(&mut form, app);
            app.overlay = Some(Overlay::Form(form));
        }
        Some(Overlay::Picker(mut picker)) => {
            picker.paste(app, text.trim());
            app.overlay = Some(Overlay::Picker(picker));
        }
        Some(Overlay::Palette(mut palette)) => {
            palette.paste(text.trim());
            app.overlay = Some(Overlay::Palette(palette));
        }
        Some(Overlay::Narrow(mut entry)) => {
            entry.insert(text.trim());
            set_narrow(app, entry.text());
            app.overlay = Some(Overlay::Narrow(entry));
        }
        other => app.overlay = other,
    }
}
