//! Owns the terminal: raw mode, alternate screen, paste, signals, the loop. Whatever happens, the terminal is given back.
//!
//! It draws on events only, never on a timer: a quiet terminal stays quiet.

mod clipboard;
mod input;

use crate::tui::app::{Action, App, Effect, Setup};
use crate::tui::draw::{Drawn, Look, draw};
use crate::tui::keys::{self, Act};
use crate::tui::perform::{Luck, Performer};
use crate::tui::ports::{Engine, Shelf};
use crate::tui::screens::walk;
use crossterm::event::Event;
use crossterm::terminal as tty;
use crossterm::{cursor, event, execute};
use input::Message;
use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;
use ratatui::layout::Rect;
use signal_hook::consts::{SIGCONT, SIGTSTP};
use std::collections::VecDeque;
use std::io::{self, Stdout, Write};
use std::mem::ManuallyDrop;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::time::Duration;

/// What the screens are opened with.
#[derive(Debug, Clone, Copy, Default)]
pub struct Opening {
    /// Start options.
    pub setup: Setup,
    /// Glyphs and palette.
    pub look: Look,
    /// Seed and draws.
    pub luck: Luck,
    /// The terminal is likely to take what is copied (OSC 52).
    pub clipboard: bool,
}

/// How the screens were left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ending {
    /// Exit code: 0, or 128 and the signal.
    pub code: i32,
    /// Money was hidden when it ended: it should start hidden next time.
    pub hidden: bool,
}

/// How often an idle loop looks whether the terminal is still there and all is saved; nothing is drawn for that alone.
const IDLE: Duration = Duration::from_millis(250);

/// Code for a terminal that is gone, as for a hang-up.
const GONE: i32 = 129;

type Tty = Terminal<CrosstermBackend<Stdout>>;

/// Runs the screens until the user leaves.
///
/// # Errors
/// When the terminal cannot be taken over.
pub fn run(shelf: Box<dyn Shelf>, engine: Arc<dyn Engine>, opening: Opening) -> io::Result<Ending> {
    // Color is ours to decide: the palette has none where none is wanted, and bold and reverse must stay.
    crossterm::style::force_color_output(true);
    give_back_on_panic();
    let tables = Arc::new(engine.tables());
    let (send, receive) = mpsc::channel();
    let (figures, came) = mpsc::channel();
    input::listen_to_signals(send.clone())?;
    enter(opening.setup.mouse)?;
    input::forward_figures(came, send.clone());
    input::read_events(send);
    let mut performer = Performer::with_worker(shelf, engine, opening.luck, figures);
    let (app, effects) = performer.open(opening.setup, tables);
    let terminal = Terminal::new(CrosstermBackend::new(io::stdout()));
    let result = terminal.and_then(|terminal| {
        let mut session = Session {
            app,
            performer,
            terminal: ManuallyDrop::new(terminal),
            look: opening.look,
            clipboard: opening.clipboard,
            warned: false,
            drawn: Drawn::default(),
        };
        session.run(&receive, effects)
    });
    leave();
    result
}

/// What ends a wait.
enum Woken {
    By(Message),
    /// How it is saved has changed.
    ByTheNotebook,
    /// The terminal is gone.
    ByTheEnd,
}

/// Everything the loop holds.
struct Session {
    app: App,
    performer: Performer,
    /// Never dropped: dropping it shows the cursor, and panics where the terminal is gone. Giving back shows it too.
    terminal: ManuallyDrop<Tty>,
    look: Look,
    clipboard: bool,
    /// The user was told that something is not saved.
    warned: bool,
    /// What was drawn last: what a tap means.
    drawn: Drawn,
}

impl Session {
    fn run(&mut self, receive: &Receiver<Message>, effects: Vec<Effect>) -> io::Result<Ending> {
        let size = tty::size().unwrap_or((80, 24));
        self.app.update(Action::Size(size.0, size.1));
        if let Some(code) = self.perform(effects) {
            return Ok(self.ending(code));
        }
        loop {
            if self.draw().is_err() {
                self.performer.flush(&self.app).ok();
                return Ok(self.ending(GONE));
            }
            let first = match self.wait(receive) {
                Woken::By(message) => message,
                Woken::ByTheNotebook => continue,
                Woken::ByTheEnd => {
                    self.performer.flush(&self.app).ok();
                    return Ok(self.ending(GONE));
                }
            };
            let mut next = Some(first);
            while let Some(message) = next {
                if let Some(code) = self.handle(message) {
                    return Ok(self.ending(code));
                }
                next = receive.try_recv().ok();
            }
        }
    }

    /// Waits for what comes next. A notebook that is saved, or cannot be, while no key is pressed is told too.
    fn wait(&mut self, receive: &Receiver<Message>) -> Woken {
        loop {
            match receive.recv_timeout(IDLE) {
                Ok(message) => return Woken::By(message),
                Err(RecvTimeoutError::Timeout) if !input::terminal_is_gone() => {}
                Err(_) => return Woken::ByTheEnd,
            }
            let standing = self.performer.standing();
            let second =
                |now: jiff::civil::DateTime| (now.date(), now.hour(), now.minute(), now.second());
            let ticks = |now| walk::ticks(&self.app) && second(now) != second(self.app.data.now);
            if matches!(&standing, Action::Standing(status, _, now) if *status != self.app.data.standing || ticks(*now))
            {
                self.app.update(standing);
                return Woken::ByTheNotebook;
            }
        }
    }

    fn ending(&self, code: i32) -> Ending {
        Ending {
            code,
            hidden: self.app.hidden,
        }
    }

    /// A message; an exit code ends the loop.
    fn handle(&mut self, message: Message) -> Option<i32> {
        let standing = self.performer.standing();
        self.app.update(standing);
        let action = match message {
            Message::Signal(SIGTSTP) => {
                self.suspend();
                return None;
            }
            Message::Signal(SIGCONT) => {
                enter(self.app.setup.mouse).ok();
                self.repaint();
                return None;
            }
            Message::Signal(signal) => {
                self.performer.flush(&self.app).ok();
                return Some(128 + signal);
            }
            Message::Figures(action) => action,
            Message::Event(Event::Resize(columns, rows)) => Action::Size(columns, rows),
            Message::Event(Event::Paste(text)) => Action::Paste(text),
            Message::Event(Event::Mouse(mouse)) => input::tap(mouse, &self.drawn)?,
            Message::Event(Event::Key(key)) => {
                let key = input::key(key)?;
                keys::action(&self.app, key)
            }
            Message::Event(_) => return None,
        };
        if matches!(action, Action::Act(Act::End)) {
            return Some(i32::from(self.performer.flush(&self.app).is_err()));
        }
        let effects = self.app.update(action);
        self.perform(effects)
    }

    /// Performs effects and what comes of them; an exit code ends the loop.
    fn perform(&mut self, effects: Vec<Effect>) -> Option<i32> {
        let mut waiting: VecDeque<Effect> = effects.into();
        while let Some(effect) = waiting.pop_front() {
            match effect {
                Effect::Quit => match self.performer.flush(&self.app) {
                    Err(why) if !self.warned => {
                        self.warned = true;
                        self.app.say(format!("{why} q again leaves."));
                    }
                    _ => return Some(0),
                },
                Effect::Suspend => self.suspend(),
                Effect::Copy(made) if self.clipboard && clipboard::fits(&made.text) => {
                    let said = match clipboard::send(&made.text) {
                        Ok(()) => "copied, if your terminal allows it; c again writes a file",
                        Err(_) => "not copied: the terminal did not take it; c again writes a file",
                    };
                    waiting.extend(self.app.update(Action::Said(said.to_owned())));
                }
                Effect::Editor(text) => {
                    let edited = self.edit(&text);
                    waiting.extend(self.app.update(Action::Edited(edited)));
                }
                Effect::Redraw => self.repaint(),
                effect => {
                    for action in self.performer.perform(&self.app, effect) {
                        waiting.extend(self.app.update(action));
                    }
                }
            }
        }
        None
    }

    fn draw(&mut self) -> io::Result<()> {
        let (app, look) = (&self.app, &self.look);
        let mut last = Drawn::default();
        execute!(io::stdout(), tty::BeginSynchronizedUpdate)?;
        let drawn = self.terminal.draw(|frame| {
            let area = frame.area();
            last = draw(app, look, area, frame.buffer_mut());
            if let Some(cursor) = last.cursor {
                frame.set_cursor_position(cursor);
            }
        });
        let drawn = drawn.map(|_| ());
        self.drawn = last;
        execute!(io::stdout(), tty::EndSynchronizedUpdate)?;
        drawn
    }

    /// Gives the terminal back and stops, as the shell expects; saved before. The whole job stops: a script that we
    /// were started by would else keep the shell waiting.
    fn suspend(&mut self) {
        self.performer.flush(&self.app).ok();
        if !input::can_be_woken() {
            self.app
                .say("There is no shell to go to from here.".to_owned());
            return;
        }
        leave();
        rustix::process::kill_current_process_group(rustix::process::Signal::STOP).ok();
        enter(self.app.setup.mouse).ok();
        self.repaint();
    }

    /// Hands the terminal to the user's own editor until it is left; all is saved before.
    fn edit(&mut self, text: &str) -> Result<String, String> {
        self.performer.flush(&self.app).ok();
        input::pause();
        leave();
        let edited = self.performer.edit_text(text);
        enter(self.app.setup.mouse).ok();
        input::go_on();
        self.repaint();
        edited
    }

    /// Draws everything anew. `Terminal::clear` would ask the terminal where its cursor is and wait for the answer.
    fn repaint(&mut self) {
        if let Ok(size) = self.terminal.size() {
            self.app.update(Action::Size(size.width, size.height));
            self.terminal
                .resize(Rect::new(0, 0, size.width, size.height))
                .ok();
        }
    }
}

static TAKEN: AtomicBool = AtomicBool::new(false);

/// Takes the terminal over.
fn enter(mouse: bool) -> io::Result<()> {
    tty::enable_raw_mode()?;
    TAKEN.store(true, Ordering::SeqCst);
    execute!(
        io::stdout(),
        tty::EnterAlternateScreen,
        event::EnableBracketedPaste,
        cursor::Hide
    )?;
    if mouse {
        execute!(io::stdout(), event::EnableMouseCapture)?;
    }
    Ok(())
}

/// Gives the terminal back. Never fails, never prints, may be called twice.
fn leave() {
    if !TAKEN.swap(false, Ordering::SeqCst) {
        return;
    }
    let mut out = io::stdout();
    execute!(
        out,
        tty::EndSynchronizedUpdate,
        event::DisableMouseCapture,
        event::DisableBracketedPaste,
        tty::LeaveAlternateScreen,
        cursor::Show
    )
    .ok();
    tty::disable_raw_mode().ok();
    out.flush().ok();
}

/// A panic gives the terminal back before it says anything.
fn give_back_on_panic() {
    let hook = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        leave();
        hook(info);
    }));
}
