//! What comes in: keys, pastes, taps, sizes, signals, figures; and whether the terminal is still there.

use crate::tui::app::{Action, Target};
use crate::tui::draw::Drawn;
use crate::tui::keys::Key;
use crossterm::event::{
    self, Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers, MouseButton, MouseEvent,
    MouseEventKind,
};
use rustix::event::{PollFd, PollFlags, Timespec, poll};
use rustix::process::{Signal, getpgid, getppid, getsid, kill_current_process_group};
use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGTERM, SIGTSTP};
use std::io;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender};
use std::time::{Duration, Instant};

/// One thing that came in.
pub enum Message {
    /// From the terminal.
    Event(Event),
    /// A signal.
    Signal(i32),
    /// Figures.
    Figures(Action),
}

/// Another program has the terminal: its keys and signals are not ours.
static PAUSED: AtomicBool = AtomicBool::new(false);
/// The reading thread has seen that and reads no more.
static RESTING: AtomicBool = AtomicBool::new(false);

/// How long a wait for keys lasts at most.
const LOOK: Duration = Duration::from_millis(200);

/// Lets the terminal alone until [`go_on`]; waits until no key is being waited for.
pub fn pause() {
    RESTING.store(false, Ordering::SeqCst);
    PAUSED.store(true, Ordering::SeqCst);
    let until = Instant::now() + LOOK * 3;
    while !RESTING.load(Ordering::SeqCst) && Instant::now() < until {
        std::thread::sleep(Duration::from_millis(5));
    }
}

/// Takes keys again.
pub fn go_on() {
    PAUSED.store(false, Ordering::SeqCst);
}

/// Sends signals as messages.
pub fn listen_to_signals(send: Sender<Message>) -> io::Result<()> {
    let mut signals =
        signal_hook::iterator::Signals::new([SIGTERM, SIGHUP, SIGINT, SIGTSTP, SIGCONT])?;
    std::thread::spawn(move || {
        for signal in &mut signals {
            if PAUSED.load(Ordering::SeqCst) {
                match signal {
                    // Ctrl-Z in an editor stops the whole job: the shell waits for us, not for the editor.
                    SIGTSTP => {
                        kill_current_process_group(Signal::STOP).ok();
                        continue;
                    }
                    SIGINT | SIGCONT => continue,
                    _ => {}
                }
            }
            if send.send(Message::Signal(signal)).is_err() {
                return;
            }
        }
    });
    Ok(())
}

/// Sends figures as messages.
pub fn forward_figures(came: Receiver<Action>, send: Sender<Message>) {
    std::thread::spawn(move || {
        for action in came {
            if send.send(Message::Figures(action)).is_err() {
                return;
            }
        }
    });
}

/// Sends the terminal's events as messages. Ends with the terminal.
pub fn read_events(send: Sender<Message>) {
    std::thread::spawn(move || {
        loop {
            // A closed terminal would make the poll below return at once, for ever.
            if terminal_is_gone() {
                return;
            }
            if PAUSED.load(Ordering::SeqCst) {
                RESTING.store(true, Ordering::SeqCst);
                std::thread::sleep(Duration::from_millis(10));
                continue;
            }
            match event::poll(LOOK) {
                Ok(false) => {}
                Ok(true) => {
                    let Ok(event) = event::read() else { return };
                    if send.send(Message::Event(event)).is_err() {
                        return;
                    }
                }
                Err(_) => return,
            }
        }
    });
}

/// True once the terminal is closed.
pub fn terminal_is_gone() -> bool {
    let stdin = io::stdin();
    let mut asked = [PollFd::new(&stdin, PollFlags::empty())];
    let now = Timespec {
        tv_sec: 0,
        tv_nsec: 0,
    };
    poll(&mut asked, Some(&now)).is_ok()
        && asked.iter().any(|fd| {
            fd.revents()
                .intersects(PollFlags::HUP | PollFlags::ERR | PollFlags::NVAL)
        })
}

/// True where a shell with job control stands above, which takes the terminal when we stop and can wake us.
pub fn can_be_woken() -> bool {
    let (Ok(group), Ok(session)) = (getpgid(None), getsid(None)) else {
        return false;
    };
    // In the first group of a session nobody of that session is above.
    group != session
        && getppid().is_some_and(|parent| {
            getpgid(Some(parent)) == Ok(group) || getsid(Some(parent)) == Ok(session)
        })
}

/// A key of ours; none for releases and for keys that we have no use for.
pub fn key(event: KeyEvent) -> Option<Key> {
    if event.kind == KeyEventKind::Release {
        return None;
    }
    let ctrl = event.modifiers.contains(KeyModifiers::CONTROL);
    let alt = event.modifiers.contains(KeyModifiers::ALT);
    Some(match event.code {
        KeyCode::Char(c) if ctrl && !alt => Key::Ctrl(c.to_ascii_lowercase()),
        KeyCode::Char(_) if alt && !ctrl => return None,
        KeyCode::Char(c) => Key::Char(c),
        KeyCode::Enter => Key::Enter,
        KeyCode::Esc => Key::Esc,
        KeyCode::Tab => Key::Tab,
        KeyCode::BackTab => Key::BackTab,
        KeyCode::Up => Key::Up,
        KeyCode::Down => Key::Down,
        KeyCode::Left => Key::Left,
        KeyCode::Right => Key::Right,
        KeyCode::PageUp => Key::PageUp,
        KeyCode::PageDown => Key::PageDown,
        KeyCode::Home => Key::Home,
        KeyCode::End => Key::End,
        KeyCode::Backspace => Key::Backspace,
        KeyCode::Delete => Key::Delete,
        _ => return None,
    })
}

/// A tap on what was drawn last, or a turn of the wheel.
pub fn tap(event: MouseEvent, drawn: &Drawn) -> Option<Action> {
    use crate::tui::keys::Act;
    match event.kind {
        MouseEventKind::Down(MouseButton::Left) => {
            drawn.at(event.column, event.row).map(Action::Tap)
        }
        // Only the weights are dragged: a row under the pointer is not opened by passing over it.
        MouseEventKind::Drag(MouseButton::Left) => drawn
            .at(event.column, event.row)
            .filter(|target| matches!(target, Target::Weigh { .. }))
            .map(Action::Tap),
        MouseEventKind::ScrollDown => Some(Action::Act(Act::Down)),
        MouseEventKind::ScrollUp => Some(Action::Act(Act::Up)),
        _ => None,
    }
}
