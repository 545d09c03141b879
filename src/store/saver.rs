//! The thread that writes, so that no screen waits for a disk. Changes within a quarter of a second are one save.

use super::durable::{self, Dated, Fingerprint};
use super::error::{StoreError, Trouble};
use super::file::bytes_of;
use super::fs::Fs;
use super::kept::Kept;
use crate::car::{Buyer, CarFile};
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// How long changes are gathered before they are written together.
pub const GATHERED: Duration = Duration::from_millis(250);
/// How long a notebook that is dropped waits for its last save.
const LAST_WAIT: Duration = Duration::from_secs(10);

/// How saving stands. Only [`SaveStatus::Saved`] is a promise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SaveStatus {
    /// Everything is on the disk.
    Saved,
    /// Something is not on the disk yet.
    Saving,
    /// Something could not be written; it is kept in memory. One sentence: what, where, what to do.
    Failed(String),
}

/// What to write.
#[derive(Debug, Clone)]
pub(crate) enum Job {
    /// A car.
    Car(Box<CarFile>, Arc<Kept>),
    /// The buyer.
    Buyer(Box<Buyer>, Arc<Kept>),
}

/// Writes files of one notebook and remembers what it wrote.
pub(crate) struct Writer {
    pub(crate) fs: Arc<dyn Fs>,
    pub(crate) folder: PathBuf,
    /// Folder of dated copies.
    pub(crate) copies: PathBuf,
    /// Date and time of the opening.
    pub(crate) stamp: String,
    /// What is on disk by file name; a name without an entry must not exist yet.
    pub(crate) on_disk: BTreeMap<String, Fingerprint>,
    /// Names whose copy of this opening is kept.
    pub(crate) dated: BTreeSet<String>,
}

impl Writer {
    pub(crate) fn write(&mut self, name: &str, job: &Job) -> Result<(), StoreError> {
        let path = self.folder.join(name);
        let bytes = match job {
            Job::Car(file, kept) => bytes_of(file.as_ref(), kept, &path)?,
            Job::Buyer(buyer, kept) => bytes_of(buyer.as_ref(), kept, &path)?,
        };
        let dated = (!self.dated.contains(name)).then(|| Dated {
            folder: self.copies.clone(),
            name: name.to_owned(),
            stamp: self.stamp.clone(),
        });
        let mut on_disk = self.on_disk.get(name).copied();
        let done = durable::write(
            self.fs.as_ref(),
            &path,
            &bytes,
            &mut on_disk,
            dated.as_ref(),
        );
        if let Some(print) = on_disk {
            self.on_disk.insert(name.to_owned(), print);
        }
        if done.is_ok() {
            self.dated.insert(name.to_owned());
        }
        done
    }
}

type Listener = Box<dyn Fn(SaveStatus) + Send>;

#[derive(Default)]
struct State {
    waiting: BTreeMap<String, Job>,
    failed: BTreeMap<String, (Job, StoreError)>,
    writing: Option<String>,
    due: Option<Instant>,
    stop: bool,
    listener: Option<Listener>,
}

impl State {
    fn status(&self) -> SaveStatus {
        if self.writing.is_some() || !self.waiting.is_empty() {
            return SaveStatus::Saving;
        }
        match self.failed.values().next() {
            Some((_, error)) => SaveStatus::Failed(error.to_string()),
            None => SaveStatus::Saved,
        }
    }

    fn tell(&self) {
        if let Some(listener) = &self.listener {
            listener(self.status());
        }
    }
}

struct Shared {
    state: Mutex<State>,
    wake: Condvar,
    writer: Mutex<Writer>,
    /// Held as long as the thread may write.
    _lock: Box<dyn Send + Sync>,
}

/// A lock whose holder panicked still guards sound data here: every change to it is one assignment.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The saving thread of one notebook.
pub(crate) struct Saver {
    shared: Arc<Shared>,
    thread: Option<JoinHandle<()>>,
}

impl Saver {
    pub(crate) fn start(writer: Writer, lock: Box<dyn Send + Sync>) -> Result<Self, StoreError> {
        let folder = writer.folder.clone();
        let shared = Arc::new(Shared {
            state: Mutex::default(),
            wake: Condvar::new(),
            writer: Mutex::new(writer),
            _lock: lock,
        });
        let own = Arc::clone(&shared);
        let thread = std::thread::Builder::new()
            .name("saver".to_owned())
            .spawn(move || run(&own))
            .map_err(|error| StoreError::io("start saving to", &folder, &error))?;
        Ok(Self {
            shared,
            thread: Some(thread),
        })
    }

    /// Queues a file; a newer version of the same file takes the place of an older one.
    pub(crate) fn queue(&self, name: &str, job: Job) {
        let mut state = locked(&self.shared.state);
        state.failed.remove(name);
        state.waiting.insert(name.to_owned(), job);
        state.due.get_or_insert_with(|| Instant::now() + GATHERED);
        state.tell();
        self.shared.wake.notify_all();
    }

    pub(crate) fn status(&self) -> SaveStatus {
        locked(&self.shared.state).status()
    }

    /// Calls `listener` with each change of the status, from the saving thread or the one that queues. It must
    /// only pass the status on: the notebook is not to be asked anything from within it.
    pub(crate) fn listen(&self, listener: Listener) {
        locked(&self.shared.state).listener = Some(listener);
    }

    /// The last failure of a file, if it is not saved since.
    pub(crate) fn failure(&self, name: &str) -> Option<StoreError> {
        let state = locked(&self.shared.state);
        state.failed.get(name).map(|(_, error)| error.clone())
    }

    /// Drops what waits or failed for a file, and waits until none of it is being written.
    pub(crate) fn forget(&self, name: &str) {
        let mut state = self.idle(name);
        state.waiting.remove(name);
        state.failed.remove(name);
        state.tell();
    }

    /// The state once a file is not being written.
    fn idle(&self, name: &str) -> MutexGuard<'_, State> {
        let mut state = locked(&self.shared.state);
        while state.writing.as_deref() == Some(name) {
            let woken = self.shared.wake.wait(state);
            state = woken.unwrap_or_else(PoisonError::into_inner);
        }
        state
    }

    /// Writes what waits or failed for one file, now.
    pub(crate) fn settle(&self, name: &str) -> Result<(), StoreError> {
        let job = {
            let mut state = self.idle(name);
            let failed = state.failed.remove(name).map(|(job, _)| job);
            state.waiting.remove(name).or(failed)
        };
        let Some(job) = job else { return Ok(()) };
        let done = locked(&self.shared.writer).write(name, &job);
        if let Err(error) = &done {
            let mut state = locked(&self.shared.state);
            state.failed.insert(name.to_owned(), (job, error.clone()));
            state.tell();
        }
        done
    }

    pub(crate) fn writer(&self) -> MutexGuard<'_, Writer> {
        locked(&self.shared.writer)
    }

    /// Writes everything now, what failed before once more, and waits for it.
    pub(crate) fn flush(&self, timeout: Duration) -> Result<(), StoreError> {
        let until = Instant::now() + timeout;
        let mut state = locked(&self.shared.state);
        for (name, (job, _)) in std::mem::take(&mut state.failed) {
            state.waiting.entry(name).or_insert(job);
        }
        state.due = Some(Instant::now());
        self.shared.wake.notify_all();
        while state.writing.is_some() || !state.waiting.is_empty() {
            let left = until.saturating_duration_since(Instant::now());
            if left.is_zero() {
                return Err(StoreError::new(
                    Trouble::Slow,
                    "the notebook is not saved yet because the disk is slow; wait, then save again.",
                ));
            }
            let waited = self.shared.wake.wait_timeout(state, left);
            state = waited.unwrap_or_else(PoisonError::into_inner).0;
        }
        match state.failed.values().next() {
            Some((_, error)) => Err(error.clone()),
            None => Ok(()),
        }
    }
}

impl Drop for Saver {
    fn drop(&mut self) {
        let done = self.flush(LAST_WAIT);
        {
            let mut state = locked(&self.shared.state);
            state.stop = true;
            state.listener = None;
        }
        self.shared.wake.notify_all();
        let slow = done.is_err_and(|error| error.trouble == Trouble::Slow);
        // A disk that hangs must not keep the program from leaving.
        if let Some(thread) = self.thread.take()
            && !slow
        {
            let _ = thread.join();
        }
    }
}

/// The thread: wait for something due, write it, tell.
fn run(shared: &Shared) {
    while let Some((name, job)) = next(shared) {
        let done = locked(&shared.writer).write(&name, &job);
        let mut state = locked(&shared.state);
        state.writing = None;
        match done {
            // A newer version waits already: its own outcome counts.
            Err(error) if !state.waiting.contains_key(&name) => {
                state.failed.insert(name, (job, error));
            }
            _ => {}
        }
        state.tell();
        drop(state);
        shared.wake.notify_all();
    }
}

fn next(shared: &Shared) -> Option<(String, Job)> {
    let mut state = locked(&shared.state);
    loop {
        let now = Instant::now();
        match state.due {
            Some(due) if !state.waiting.is_empty() => {
                if now >= due || state.stop {
                    let (name, job) = state.waiting.pop_first()?;
                    if state.waiting.is_empty() {
                        state.due = None;
                    }
                    state.writing = Some(name.clone());
                    return Some((name, job));
                }
                let waited = shared.wake.wait_timeout(state, due - now);
                state = waited.unwrap_or_else(PoisonError::into_inner).0;
            }
            _ if state.stop => return None,
            _ => {
                state.due = None;
                state = shared
                    .wake
                    .wait(state)
                    .unwrap_or_else(PoisonError::into_inner);
            }
        }
    }
}
