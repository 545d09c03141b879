//! A fake engine and a shelf in memory with invented cars, for tests of the screens. No figure here is the real engine's.
#![allow(dead_code, clippy::unwrap_used, clippy::expect_used, clippy::panic)]

pub mod cars;
pub mod engine;
pub mod shelf;
pub mod tables;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use std::sync::Arc;
use wrenchworth::tui::app::{Action, App, Effect, Setup};
use wrenchworth::tui::draw::{Look, draw};
use wrenchworth::tui::keys::{self, Key};
use wrenchworth::tui::perform::{Luck, Performer};

/// The screens without a terminal: keys go in, state and pictures come out.
pub struct Desk {
    pub app: App,
    pub performer: Performer,
    pub shelf: shelf::Peek,
    pub done: Vec<Effect>,
}

impl Desk {
    /// The sample driveway of seven cars.
    pub fn driveway() -> Self {
        Self::with(cars::driveway())
    }

    /// No car at all.
    pub fn empty() -> Self {
        Self::with(Vec::new())
    }

    pub fn with(cars: Vec<(String, wrenchworth::car::CarFile)>) -> Self {
        Self::on_tables(cars, tables::tables())
    }

    /// The same over other tables.
    pub fn on_tables(
        cars: Vec<(String, wrenchworth::car::CarFile)>,
        tables: wrenchworth::trade::Tables,
    ) -> Self {
        let engine = Arc::new(engine::FakeEngine::new());
        Self::made(cars, engine, Luck::default().draws, tables)
    }

    /// Cars weighed by an engine of one's own.
    pub fn with_engine(
        cars: Vec<(String, wrenchworth::car::CarFile)>,
        engine: Arc<dyn wrenchworth::tui::ports::Engine>,
        draws: u32,
    ) -> Self {
        let tables = engine.tables();
        Self::made(cars, engine, draws, tables)
    }

    fn made(
        cars: Vec<(String, wrenchworth::car::CarFile)>,
        engine: Arc<dyn wrenchworth::tui::ports::Engine>,
        draws: u32,
        tables: wrenchworth::trade::Tables,
    ) -> Self {
        let (shelf, peek) = shelf::MemoryShelf::new(cars);
        peek.borrow_mut().tables = Some(tables.clone());
        let tables = Arc::new(tables);
        let luck = Luck {
            draws,
            ..Luck::default()
        };
        let mut performer = Performer::at_once(Box::new(shelf), engine, luck);
        let (app, effects) = performer.open(Setup::default(), tables);
        let mut desk = Self {
            app,
            performer,
            shelf: peek,
            done: Vec::new(),
        };
        desk.perform(effects);
        desk
    }

    pub fn perform(&mut self, effects: Vec<Effect>) {
        let mut waiting: std::collections::VecDeque<Effect> = effects.into();
        while let Some(effect) = waiting.pop_front() {
            self.done.push(effect.clone());
            for action in self.performer.perform(&self.app, effect) {
                waiting.extend(self.app.update(action));
            }
        }
    }

    pub fn send(&mut self, action: Action) {
        let effects = self.app.update(action);
        self.perform(effects);
    }

    pub fn size(&mut self, columns: u16, rows: u16) -> &mut Self {
        self.send(Action::Size(columns, rows));
        self
    }

    pub fn key(&mut self, key: Key) -> &mut Self {
        let action = keys::action(&self.app, key);
        self.send(action);
        self
    }

    /// Keys as text: letters as they are; `{Enter}`, `{Esc}`, `{Tab}`, `{Down}`, `{Up}` and such by name.
    pub fn keys(&mut self, text: &str) -> &mut Self {
        let mut rest = text;
        while let Some(c) = rest.chars().next() {
            if c == '{' {
                let end = rest.find('}').expect("a closing brace");
                self.key(named(&rest[1..end]));
                rest = &rest[end + 1..];
            } else {
                self.key(Key::Char(c));
                rest = &rest[c.len_utf8()..];
            }
        }
        self
    }

    pub fn paste(&mut self, text: &str) -> &mut Self {
        self.send(Action::Paste(text.to_owned()));
        self
    }

    /// A tap on a cell of the picture in sight.
    pub fn tap(&mut self, column: u16, row: u16) {
        let area = Rect::new(0, 0, self.app.size.0, self.app.size.1);
        let mut buffer = Buffer::empty(area);
        let drawn = draw(&self.app, &Look::default(), area, &mut buffer);
        if let Some(target) = drawn.at(column, row) {
            self.send(Action::Tap(target));
        }
    }

    pub fn picture(&self, look: &Look) -> Buffer {
        let area = Rect::new(0, 0, self.app.size.0, self.app.size.1);
        let mut buffer = Buffer::empty(area);
        draw(&self.app, look, area, &mut buffer);
        buffer
    }

    pub fn text(&self) -> String {
        text_of(&self.picture(&Look::default()))
    }

    pub fn car(&self) -> &wrenchworth::car::CarRecord {
        self.app.data.record().expect("a car in hand")
    }

    pub fn said(&self) -> &str {
        self.app.said.message.as_deref().unwrap_or("")
    }
}

pub fn named(name: &str) -> Key {
    match name {
        "Enter" => Key::Enter,
        "Esc" => Key::Esc,
        "Tab" => Key::Tab,
        "BackTab" => Key::BackTab,
        "Down" => Key::Down,
        "Up" => Key::Up,
        "Left" => Key::Left,
        "Right" => Key::Right,
        "Backspace" => Key::Backspace,
        other => panic!("no key {other}"),
    }
}

/// The cells as lines; each is exactly as wide as the buffer.
pub fn text_of(buffer: &Buffer) -> String {
    let area = buffer.area;
    let mut out = String::new();
    for y in area.top()..area.bottom() {
        let mut x = area.left();
        while x < area.right() {
            let symbol = buffer[(x, y)].symbol();
            out.push_str(symbol);
            x += u16::try_from(unicode_width::UnicodeWidthStr::width(symbol).max(1)).unwrap_or(1);
        }
        while out.ends_with(' ') {
            out.pop();
        }
        out.push('\n');
    }
    out
}
