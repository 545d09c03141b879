//! A terminal for the program to live in: its bytes, its picture, its keys, its end.

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// Longest wait for anything; a machine that is busy with other things is slow.
const PATIENCE: Duration = Duration::from_secs(10);

const BEGIN_FRAME: &[u8] = b"\x1b[?2026h";
const END_FRAME: &[u8] = b"\x1b[?2026l";

/// What came out of the program so far.
struct Seen {
    parser: vt100::Parser,
    raw: Vec<u8>,
    /// The picture at the end of the last whole frame.
    frame: String,
}

impl Seen {
    fn take(&mut self, bytes: &[u8]) {
        self.raw.extend_from_slice(bytes);
        self.parser.process(bytes);
        if last(&self.raw, BEGIN_FRAME) <= last(&self.raw, END_FRAME) {
            self.frame = picture(self.parser.screen());
        }
    }
}

/// Where a sequence stands last.
pub fn last(bytes: &[u8], sequence: &[u8]) -> Option<usize> {
    bytes
        .windows(sequence.len())
        .rposition(|window| window == sequence)
}

fn picture(screen: &vt100::Screen) -> String {
    let (_, columns) = screen.size();
    let rows: Vec<String> = screen
        .rows(0, columns.get())
        .map(|row| row.trim_end().to_owned())
        .collect();
    rows.join("\n")
}

fn cells(count: u16) -> NonZeroU16 {
    NonZeroU16::new(count).unwrap()
}

fn pty_size((columns, rows): (u16, u16)) -> PtySize {
    PtySize {
        rows,
        cols: columns,
        pixel_width: 0,
        pixel_height: 0,
    }
}

/// How a program is started in a terminal.
pub struct Start {
    command: CommandBuilder,
    size: (u16, u16),
}

impl Start {
    /// A program in an environment of its own: nothing of the user's is read or written.
    pub fn program(program: &str, home: &Path) -> Self {
        let mut command = CommandBuilder::new(program);
        command.env_clear();
        for (name, value) in [
            ("TERM", "xterm-256color"),
            ("LANG", "C.UTF-8"),
            ("PATH", "/usr/local/bin:/usr/bin:/bin"),
            ("RUST_BACKTRACE", "0"),
            ("TZ", "UTC"),
        ] {
            command.env(name, value);
        }
        command.env("HOME", home);
        for name in ["CONFIG", "DATA", "STATE", "CACHE"] {
            let place = home.join(name.to_lowercase());
            command.env(format!("XDG_{name}_HOME"), place);
        }
        command.cwd(home);
        Self {
            command,
            size: (80, 24),
        }
    }

    pub fn arg(mut self, arg: impl AsRef<std::ffi::OsStr>) -> Self {
        self.command.arg(arg);
        self
    }

    pub fn env(mut self, name: &str, value: &str) -> Self {
        self.command.env(name, value);
        self
    }

    pub fn size(mut self, columns: u16, rows: u16) -> Self {
        self.size = (columns, rows);
        self
    }

    pub fn open(self) -> Terminal {
        let pair = native_pty_system().openpty(pty_size(self.size)).unwrap();
        let untouched = pair.master.get_termios().map(|modes| format!("{modes:?}"));
        let child = pair.slave.spawn_command(self.command).unwrap();
        drop(pair.slave);
        let (columns, rows) = self.size;
        let seen = Arc::new((
            Mutex::new(Seen {
                parser: vt100::Parser::new(cells(rows), cells(columns), 0),
                raw: Vec::new(),
                frame: String::new(),
            }),
            Condvar::new(),
        ));
        let closing = Arc::new(AtomicBool::new(false));
        let reader = {
            let mut from = pair.master.try_clone_reader().unwrap();
            let (seen, closing) = (Arc::clone(&seen), Arc::clone(&closing));
            std::thread::spawn(move || {
                let mut buffer = [0; 8192];
                while let Ok(count @ 1..) = from.read(&mut buffer) {
                    seen.0
                        .lock()
                        .unwrap_or_else(PoisonError::into_inner)
                        .take(&buffer[..count]);
                    seen.1.notify_all();
                    if closing.load(Ordering::SeqCst) {
                        return;
                    }
                }
            })
        };
        Terminal {
            child,
            keys: Some(pair.master.take_writer().unwrap()),
            master: Some(pair.master),
            seen,
            closing,
            reader: Some(reader),
            untouched,
        }
    }
}

/// A program at work in a terminal.
pub struct Terminal {
    child: Box<dyn Child + Send + Sync>,
    keys: Option<Box<dyn Write + Send>>,
    /// Gone once the terminal is closed.
    master: Option<Box<dyn MasterPty + Send>>,
    seen: Arc<(Mutex<Seen>, Condvar)>,
    closing: Arc<AtomicBool>,
    reader: Option<JoinHandle<()>>,
    /// The line's modes before the program had it.
    untouched: Option<String>,
}

impl Terminal {
    /// Waits for a picture. The test's only means of keeping step with the program.
    pub fn wait_until(&self, what: &str, there: impl Fn(&str) -> bool) -> String {
        let end = Instant::now() + PATIENCE;
        let mut seen = self.seen.0.lock().unwrap();
        loop {
            if there(&seen.frame) {
                return seen.frame.clone();
            }
            let left = end.saturating_duration_since(Instant::now());
            assert!(!left.is_zero(), "waited for {what}:\n{}", seen.frame);
            seen = self.seen.1.wait_timeout(seen, left).unwrap().0;
        }
    }

    pub fn wait_for(&self, text: &str) -> String {
        self.wait_until(text, |picture| picture.contains(text))
    }

    /// Waits until a text is gone.
    /// Waits for words in all that came out so far, whatever the picture.
    pub fn wait_raw(&self, text: &str) {
        let until = Instant::now() + PATIENCE;
        while !String::from_utf8_lossy(&self.raw()).contains(text) {
            assert!(Instant::now() < until, "waited for {text}");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    pub fn wait_without(&self, text: &str) -> String {
        self.wait_until(&format!("the end of {text}"), |picture| {
            !picture.contains(text)
        })
    }

    /// Types, and waits for what must come of it.
    pub fn press(&mut self, keys: &str, awaited: &str) -> String {
        self.send(keys);
        self.wait_for(awaited)
    }

    pub fn send(&mut self, keys: &str) {
        let to = self.keys.as_mut().unwrap();
        to.write_all(keys.as_bytes()).unwrap();
        to.flush().unwrap();
    }

    /// Text that comes all at once, as a terminal brackets it.
    pub fn paste(&mut self, text: &str) {
        self.send(&format!("\u{1b}[200~{text}\u{1b}[201~"));
    }

    fn master(&self) -> &dyn MasterPty {
        self.master.as_deref().unwrap()
    }

    pub fn picture(&self) -> String {
        self.seen.0.lock().unwrap().frame.clone()
    }

    pub fn raw(&self) -> Vec<u8> {
        self.seen.0.lock().unwrap().raw.clone()
    }

    /// Asks something of the screen as another program reads it.
    pub fn screen<T>(&self, ask: impl FnOnce(&vt100::Screen) -> T) -> T {
        ask(self.seen.0.lock().unwrap().parser.screen())
    }

    pub fn resize(&self, columns: u16, rows: u16) {
        let mut seen = self.seen.0.lock().unwrap();
        let screen = seen.parser.screen_mut();
        screen.set_size(cells(rows), cells(columns));
        drop(seen);
        self.master().resize(pty_size((columns, rows))).unwrap();
    }

    /// Sends a signal to what is in the foreground of the terminal.
    pub fn signal(&self, name: &str) {
        let group = self.master().process_group_leader().unwrap();
        let kill = format!("kill -{name} {group}");
        let sent = std::process::Command::new("sh")
            .args(["-c", &kill])
            .status();
        assert!(sent.unwrap().success(), "{kill}");
    }

    /// Waits for the end of the program; its exit code and all its bytes.
    pub fn wait_for_end(&mut self) -> u32 {
        let code = self.ended_within(PATIENCE);
        if let Some(reader) = self.reader.take() {
            reader.join().unwrap();
        }
        code
    }

    fn ended_within(&mut self, patience: Duration) -> u32 {
        let end = Instant::now() + patience;
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                assert_eq!(status.signal(), None, "{}", self.picture());
                return status.exit_code();
            }
            assert!(Instant::now() < end, "still there:\n{}", self.picture());
            std::thread::sleep(Duration::from_millis(5));
        }
    }

    /// Leaves from the list of cars.
    pub fn quit(&mut self) {
        self.send("q");
        assert_eq!(self.wait_for_end(), 0);
        self.assert_given_back();
    }

    /// Closes the terminal under the program: its exit code, which must come soon. `stir` makes the program write
    /// once more, so that our reader can let go: the last handle closes the terminal.
    pub fn close(&mut self, stir: &str) -> u32 {
        self.closing.store(true, Ordering::SeqCst);
        self.send(stir);
        if let Some(reader) = self.reader.take() {
            reader.join().unwrap();
        }
        self.keys = None;
        self.master = None;
        self.ended_within(Duration::from_secs(5))
    }

    /// The terminal is as it was before the program took it.
    pub fn assert_given_back(&self) {
        let raw = self.raw();
        let entered = last(&raw, b"\x1b[?1049h").expect("it took the terminal");
        let tail = &raw[entered..];
        let shown = String::from_utf8_lossy(&tail[tail.len().saturating_sub(120)..]).into_owned();
        let left = last(tail, b"\x1b[?1049l").unwrap_or_else(|| panic!("{shown:?}"));
        for (on, off) in [
            ("\x1b[?2004h", "\x1b[?2004l"),
            ("\x1b[?1000h", "\x1b[?1000l"),
            ("\x1b[?25l", "\x1b[?25h"),
            ("\x1b[?2026h", "\x1b[?2026l"),
        ] {
            let (on, off) = (last(tail, on.as_bytes()), last(tail, off.as_bytes()));
            assert!(off.is_some() && off >= on, "{shown:?}");
        }
        let drawn = last(tail, b"\x1b[?2026h").unwrap_or(0);
        assert!(drawn < left, "nothing is drawn after leaving: {shown:?}");
        self.screen(|screen| {
            assert!(!screen.alternate_screen() && !screen.hide_cursor());
            assert!(!screen.bracketed_paste());
            assert_eq!(screen.mouse_protocol_mode(), vt100::MouseProtocolMode::None);
        });
    }

    /// The line's modes, echo and whole lines among them, are as they were.
    pub fn assert_line_as_before(&self) {
        let modes = self
            .master()
            .get_termios()
            .map(|modes| format!("{modes:?}"));
        assert_eq!(modes, self.untouched);
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
