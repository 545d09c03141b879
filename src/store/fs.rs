//! The calls made to the disk, each of which can fail.

use std::ffi::OsString;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Write};
use std::os::unix::fs::{DirBuilderExt, MetadataExt, OpenOptionsExt, PermissionsExt};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

/// What stands at a path.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A regular file.
    File,
    /// A folder.
    Folder,
    /// A pipe, a socket, a device.
    Other,
}

/// A file as found, links followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stat {
    /// Kind.
    pub kind: Kind,
    /// Bytes.
    pub size: u64,
    /// Permission bits.
    pub mode: u32,
    /// Since the last change; zero if the clock says it lies ahead.
    pub age: Duration,
}

/// A file as read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Content {
    /// What was found.
    pub stat: Stat,
    /// The bytes; absent if it is no regular file or longer than the cap.
    pub bytes: Option<Vec<u8>>,
}

/// A file being written under a temporary name.
pub trait NewFile: Send {
    /// Writes some of the bytes.
    ///
    /// # Errors
    /// What the system says.
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize>;
    /// Sets the permission bits.
    ///
    /// # Errors
    /// What the system says.
    fn set_mode(&mut self, mode: u32) -> io::Result<()>;
    /// Waits until all bytes are on the disk.
    ///
    /// # Errors
    /// What the system says; the bytes are then lost, and trying again proves nothing.
    fn sync(&mut self) -> io::Result<()>;
}

/// The answer to a wish for the lock.
pub enum Lock {
    /// Held until this is dropped.
    Held(Box<dyn Send + Sync>),
    /// Another has it; what it wrote of itself.
    Busy(String),
}

/// The disk. Errors of all calls are the system's own.
#[allow(clippy::missing_errors_doc, reason = "said once above")]
pub trait Fs: Send + Sync {
    /// What stands at a path, links followed.
    fn stat(&self, path: &Path) -> io::Result<Stat>;
    /// The whole of a regular file of at most `cap` bytes. Never waits for a pipe or a device.
    fn read(&self, path: &Path, cap: u64) -> io::Result<Content>;
    /// The path with all links followed.
    fn resolve(&self, path: &Path) -> io::Result<PathBuf>;
    /// True if a link stands there, whole or dangling.
    fn is_link(&self, path: &Path) -> bool;
    /// Names in a folder, in no order.
    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>>;
    /// Makes a folder, and those above it, for this user only; fine if it is there.
    fn make_folder(&self, path: &Path) -> io::Result<()>;
    /// Makes a file that must not be there yet, for this user only.
    fn create(&self, path: &Path) -> io::Result<Box<dyn NewFile>>;
    /// Gives a file a second name that must not be there yet.
    fn link(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Renames, over what is there.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Removes a name.
    fn remove(&self, path: &Path) -> io::Result<()>;
    /// Waits until the names in a folder are on the disk.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;
    /// Takes the lock of a file, without waiting, and writes who has it.
    fn lock(&self, path: &Path, words: &str) -> io::Result<Lock>;
}

/// The disk of this machine.
#[derive(Debug, Clone, Copy, Default)]
pub struct Disk;

struct DiskFile(File);

impl NewFile for DiskFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }
    fn set_mode(&mut self, mode: u32) -> io::Result<()> {
        self.0.set_permissions(fs::Permissions::from_mode(mode))
    }
    fn sync(&mut self) -> io::Result<()> {
        self.0.sync_all()
    }
}

fn flags(flags: rustix::fs::OFlags) -> i32 {
    flags.bits().cast_signed()
}

fn stat_of(found: &fs::Metadata) -> Stat {
    let kind = if found.is_file() {
        Kind::File
    } else if found.is_dir() {
        Kind::Folder
    } else {
        Kind::Other
    };
    let age = found
        .modified()
        .ok()
        .and_then(|then| SystemTime::now().duration_since(then).ok());
    Stat {
        kind,
        size: found.size(),
        mode: found.mode() & 0o7777,
        age: age.unwrap_or_default(),
    }
}

impl Fs for Disk {
    fn stat(&self, path: &Path) -> io::Result<Stat> {
        fs::metadata(path).map(|found| stat_of(&found))
    }

    fn read(&self, path: &Path, cap: u64) -> io::Result<Content> {
        let stat = self.stat(path)?;
        if stat.kind != Kind::File {
            return Ok(Content { stat, bytes: None });
        }
        // Another program may have put a pipe there since: never wait for one.
        let file = OpenOptions::new()
            .read(true)
            .custom_flags(flags(rustix::fs::OFlags::NONBLOCK))
            .open(path)?;
        let stat = stat_of(&file.metadata()?);
        if stat.kind != Kind::File || stat.size > cap {
            return Ok(Content { stat, bytes: None });
        }
        let mut bytes = Vec::new();
        file.take(cap + 1).read_to_end(&mut bytes)?;
        let whole = u64::try_from(bytes.len()).is_ok_and(|length| length <= cap);
        Ok(Content {
            stat,
            bytes: whole.then_some(bytes),
        })
    }

    fn resolve(&self, path: &Path) -> io::Result<PathBuf> {
        fs::canonicalize(path)
    }

    fn is_link(&self, path: &Path) -> bool {
        fs::symlink_metadata(path).is_ok_and(|found| found.is_symlink())
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        fs::read_dir(folder)?
            .map(|entry| entry.map(|e| e.file_name()))
            .collect()
    }

    fn make_folder(&self, path: &Path) -> io::Result<()> {
        fs::DirBuilder::new()
            .recursive(true)
            .mode(0o700)
            .create(path)
    }

    fn create(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        let file = OpenOptions::new()
            .write(true)
            .create_new(true)
            .mode(0o600)
            .open(path)?;
        Ok(Box::new(DiskFile(file)))
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::hard_link(from, to)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        match File::open(folder)?.sync_all() {
            // Some network disks cannot sync a folder; there is nothing more to ask of them.
            Err(error) if error.kind() == io::ErrorKind::InvalidInput => Ok(()),
            done => done,
        }
    }

    fn lock(&self, path: &Path, words: &str) -> io::Result<Lock> {
        let mut file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .mode(0o600)
            .custom_flags(flags(
                rustix::fs::OFlags::NOFOLLOW | rustix::fs::OFlags::NONBLOCK,
            ))
            .open(path)?;
        match file.try_lock() {
            Ok(()) => {
                file.set_len(0)?;
                file.write_all(words.as_bytes())?;
                Ok(Lock::Held(Box::new(file)))
            }
            Err(TryLockError::WouldBlock) => {
                let mut holder = Vec::new();
                file.take(400).read_to_end(&mut holder)?;
                Ok(Lock::Busy(String::from_utf8_lossy(&holder).into_owned()))
            }
            // A disk without locks: changes by others are still noticed before each save.
            Err(TryLockError::Error(error)) if error.kind() == io::ErrorKind::Unsupported => {
                Ok(Lock::Held(Box::new(file)))
            }
            Err(TryLockError::Error(error)) => Err(error),
        }
    }
}
