//! The one way a file is written. At every moment the name holds the old bytes or the new ones, whole; only when
//! [`write()`] returns without an error are the new ones promised.
//!
//! The order: what is on disk is what was read → new bytes under a temporary name in the same folder → permissions
//! of the old file → synced → again what is on disk is what was read → the previous version kept under `.bak` and,
//! once after opening, under a date → renamed over the file that a link leads to → the folder synced.

use super::error::{StoreError, Trouble, shown, shown_name};
use super::file::{LONGEST_FILE, previous};
use super::fs::{Content, Fs, NewFile};
use std::hash::{DefaultHasher, Hasher};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

/// Dated copies kept of each file.
pub const COPIES_KEPT: usize = 10;
/// A temporary file younger than this may still be someone's.
const STALE: Duration = Duration::from_secs(60);

static NEXT_TEMPORARY: AtomicU64 = AtomicU64::new(0);

/// What a file held when it was read or written: its length and a hash of its bytes.
///
/// The bytes decide, not the times or the inode: a copy put back with the same bytes is no change, and a change
/// within the clock's grain is one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fingerprint {
    size: usize,
    hash: u64,
}

impl Fingerprint {
    /// Of bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        let mut hasher = DefaultHasher::new();
        hasher.write(bytes);
        Self {
            size: bytes.len(),
            hash: hasher.finish(),
        }
    }
}

/// Where the dated copy of this opening goes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dated {
    /// Folder of the copies.
    pub folder: PathBuf,
    /// Name of the file, then `.`, then the date sorts them by age.
    pub name: String,
    /// Date and time of the opening, as `2026-11-14T09-30-00`.
    pub stamp: String,
}

/// A temporary file, removed again unless it took its place.
struct Temporary<'a> {
    fs: &'a dyn Fs,
    path: PathBuf,
    file: Box<dyn NewFile>,
    placed: bool,
}

impl<'a> Temporary<'a> {
    fn in_folder(fs: &'a dyn Fs, folder: &Path) -> io::Result<Self> {
        let process = std::process::id();
        let mut last = io::ErrorKind::AlreadyExists.into();
        for _ in 0..64 {
            let number = NEXT_TEMPORARY.fetch_add(1, Ordering::Relaxed);
            let path = folder.join(format!(".ww-{process}-{number}.tmp"));
            match fs.create(&path) {
                Ok(file) => {
                    return Ok(Self {
                        fs,
                        path,
                        file,
                        placed: false,
                    });
                }
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => last = error,
                Err(error) => return Err(error),
            }
        }
        Err(last)
    }

    fn fill(&mut self, mut bytes: &[u8], mode: Option<u32>) -> io::Result<()> {
        while !bytes.is_empty() {
            match self.file.write(bytes) {
                Ok(0) => return Err(io::ErrorKind::WriteZero.into()),
                Ok(count) => bytes = bytes.get(count..).unwrap_or_default(),
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                Err(error) => return Err(error),
            }
        }
        if let Some(mode) = mode {
            self.file.set_mode(mode)?;
        }
        self.file.sync()
    }

    fn place(mut self, target: &Path) -> io::Result<()> {
        self.fs.rename(&self.path, target)?;
        self.placed = true;
        Ok(())
    }
}

impl Drop for Temporary<'_> {
    fn drop(&mut self) {
        if !self.placed {
            // Nothing more can be done here; what stays is swept at the next opening.
            let _ = self.fs.remove(&self.path);
        }
    }
}

/// Writes a file. `on_disk` is what the caller last read or wrote there, `None` for a file that must not exist yet;
/// it is set to what is there now, also when only the last sync failed.
///
/// # Errors
/// One sentence; the old file is whole, the temporary one removed.
pub fn write(
    fs: &dyn Fs,
    path: &Path,
    bytes: &[u8],
    on_disk: &mut Option<Fingerprint>,
    dated: Option<&Dated>,
) -> Result<(), StoreError> {
    let save = |error: &io::Error| StoreError::io("save", path, error);
    let target = target(fs, path)?;
    let folder = target.parent().unwrap_or(Path::new("."));
    let old = unchanged(fs, &target, on_disk.as_ref())?;
    let mut temporary = Temporary::in_folder(fs, folder).map_err(|e| save(&e))?;
    let mode = old.as_ref().map(|content| content.stat.mode);
    temporary.fill(bytes, mode).map_err(|e| save(&e))?;
    // Syncing may take seconds: look again.
    if let Some(old) = unchanged(fs, &target, on_disk.as_ref())? {
        let old_bytes = old.bytes.unwrap_or_default();
        keep_previous(fs, &target, &old_bytes, dated)
            .map_err(|e| StoreError::io("keep the previous version of", path, &e))?;
    }
    temporary.place(&target).map_err(|e| save(&e))?;
    *on_disk = Some(Fingerprint::of(bytes));
    fs.sync_folder(folder).map_err(|e| save(&e))
}

/// Writes a small file of the program's own, for this user alone, whole or not at all, over what is there; no version
/// is kept. The folder is made if it is not there.
///
/// # Errors
/// One sentence; the old file is whole.
pub fn write_private(fs: &dyn Fs, path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let save = |error: io::Error| StoreError::io("save", path, &error);
    let folder = path.parent().unwrap_or(Path::new("."));
    fs.make_folder(folder).map_err(save)?;
    let mut temporary = Temporary::in_folder(fs, folder).map_err(save)?;
    temporary.fill(bytes, None).map_err(save)?;
    temporary.place(path).map_err(save)?;
    fs.sync_folder(folder).map_err(save)
}

/// The file that is really written: what a link leads to.
fn target(fs: &dyn Fs, path: &Path) -> Result<PathBuf, StoreError> {
    match fs.resolve(path) {
        Ok(target) => Ok(target),
        Err(error) if error.kind() == io::ErrorKind::NotFound && !fs.is_link(path) => {
            Ok(path.to_owned())
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => Err(StoreError::new(
            Trouble::Missing,
            &format!(
                "{} is a link to a file that is not there; remove the link or bring the file back.",
                shown(path)
            ),
        )),
        Err(error) => Err(StoreError::io("save", path, &error)),
    }
}

/// What stands at the target, if it is what is expected there.
fn unchanged(
    fs: &dyn Fs,
    target: &Path,
    expected: Option<&Fingerprint>,
) -> Result<Option<Content>, StoreError> {
    let found = match fs.read(target, LONGEST_FILE) {
        Ok(content) => Some(content),
        Err(error) if error.kind() == io::ErrorKind::NotFound => None,
        Err(error) => return Err(StoreError::io("look again at", target, &error)),
    };
    let name = shown_name(target);
    let changed = |what: &str| {
        StoreError::new(
            Trouble::Changed,
            &format!("{name} {what}, and was not overwritten; read it again, or keep yours."),
        )
    };
    match (&found, expected) {
        (None, None) => Ok(None),
        (None, Some(_)) => Err(changed("was removed by another program since it was read")),
        (Some(_), None) => Err(changed("was made by another program in the meantime")),
        (Some(content), Some(expected)) => match &content.bytes {
            Some(bytes) if Fingerprint::of(bytes) == *expected => Ok(found),
            _ => Err(changed("was changed by another program since it was read")),
        },
    }
}

fn keep_previous(
    fs: &dyn Fs,
    target: &Path,
    old_bytes: &[u8],
    dated: Option<&Dated>,
) -> io::Result<()> {
    second_name(fs, target, &previous(target), old_bytes)?;
    let Some(dated) = dated else { return Ok(()) };
    fs.make_folder(&dated.folder)?;
    let copy = dated.folder.join(format!("{}.{}", dated.name, dated.stamp));
    second_name(fs, target, &copy, old_bytes)?;
    fs.sync_folder(&dated.folder)?;
    // A copy too many is no reason not to save.
    let _ = drop_oldest(fs, dated);
    Ok(())
}

/// Puts the old file under another name as well: a hard link, or a copy where the disk has none.
fn second_name(fs: &dyn Fs, target: &Path, name: &Path, old_bytes: &[u8]) -> io::Result<()> {
    match fs.remove(name) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
        _ => {}
    }
    if fs.link(target, name).is_ok() {
        return Ok(());
    }
    let folder = name.parent().unwrap_or(Path::new("."));
    let mut copy = Temporary::in_folder(fs, folder)?;
    copy.fill(old_bytes, None)?;
    copy.place(name)
}

fn drop_oldest(fs: &dyn Fs, dated: &Dated) -> io::Result<()> {
    let mut copies = copies(fs, &dated.folder, &dated.name)?;
    let extra = copies.len().saturating_sub(COPIES_KEPT);
    for copy in copies.drain(..extra) {
        fs.remove(&dated.folder.join(copy))?;
    }
    Ok(())
}

/// Names of the dated copies of a file, oldest first.
pub(crate) fn copies(fs: &dyn Fs, folder: &Path, name: &str) -> io::Result<Vec<String>> {
    let is_stamp = |text: &str| {
        text.len() == 19
            && text
                .bytes()
                .all(|b| b.is_ascii_digit() || matches!(b, b'-' | b'T'))
    };
    let mut found: Vec<String> = fs
        .list(folder)?
        .into_iter()
        .filter_map(|entry| entry.into_string().ok())
        .filter(|entry| {
            entry
                .strip_prefix(name)
                .and_then(|rest| rest.strip_prefix('.'))
                .is_some_and(is_stamp)
        })
        .collect();
    found.sort();
    Ok(found)
}

/// Removes temporary files that a killed program left in a folder. Call it with the lock held.
pub fn sweep(fs: &dyn Fs, folder: &Path) {
    let Ok(names) = fs.list(folder) else { return };
    for name in names.iter().filter_map(|name| name.to_str()) {
        let path = folder.join(name);
        let old = || fs.stat(&path).is_ok_and(|stat| stat.age > STALE);
        if is_temporary(name) && old() {
            let _ = fs.remove(&path);
        }
    }
}

/// True for the names that [`write()`] gives, and no others.
fn is_temporary(name: &str) -> bool {
    let numbers = name
        .strip_prefix(".ww-")
        .and_then(|rest| rest.strip_suffix(".tmp"))
        .and_then(|rest| rest.split_once('-'));
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    numbers.is_some_and(|(process, number)| digits(process) && digits(number))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_own_temporary_files_are_swept() {
        for (name, own) in [
            (".ww-12-0.tmp", true),
            (".ww-12.tmp", false),
            (".ww--1.tmp", false),
            ("ww-12-0.tmp", false),
            (".ww-12-0.tmp.car.json", false),
            (".ww-a-0.tmp", false),
        ] {
            assert_eq!(is_temporary(name), own, "{name}");
        }
    }
}
