//! A disk in memory for tests, with the two faults that matter: any call can fail, and when the power goes only
//! what was synced is left, or that and any choice of the names changed since. After the faulty disks of LevelDB
//! (`db/fault_injection_test.cc`) and the crash states of Pillai et al., "All File Systems Are Not Created Equal",
//! OSDI 2014.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod calls;

use super::fs::{Kind, NewFile, Stat};
use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::Duration;

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Node {
    Folder,
    File(usize),
    Link(PathBuf),
}

#[derive(Debug, Clone, Default)]
struct Inode {
    live: Vec<u8>,
    synced: Vec<u8>,
    mode: u32,
}

type Names = BTreeMap<PathBuf, Node>;

/// A change of names: name by name, what stands there afterwards. A rename is one change of two names.
#[derive(Debug, Clone)]
struct NameChange {
    folder: PathBuf,
    sets: Vec<(PathBuf, Option<Node>)>,
}

/// What goes wrong, and when.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    None,
    /// The n-th call fails with this errno, later ones work.
    At(usize, i32),
    /// The n-th call is the first that the power did not last for.
    PowerAt(usize),
}

pub struct State {
    names: Names,
    durable: Names,
    pending: Vec<NameChange>,
    inodes: Vec<Inode>,
    pub calls: usize,
    pub fault: Fault,
    pub short_writes: bool,
    pub trace: Vec<String>,
    locks: BTreeMap<PathBuf, String>,
}

#[derive(Clone)]
pub struct SimFs(pub Arc<Mutex<State>>);

fn errno(code: i32) -> io::Error {
    io::Error::from_raw_os_error(code)
}

const ENOENT: i32 = 2;
const EIO: i32 = 5;
const EEXIST: i32 = 17;

impl SimFs {
    pub fn new() -> Self {
        let names: Names = [
            (PathBuf::from("/"), Node::Folder),
            (PathBuf::from("/n"), Node::Folder),
        ]
        .into();
        Self(Arc::new(Mutex::new(State {
            durable: names.clone(),
            names,
            pending: Vec::new(),
            inodes: Vec::new(),
            calls: 0,
            fault: Fault::None,
            short_writes: false,
            trace: Vec::new(),
            locks: BTreeMap::new(),
        })))
    }

    /// Puts a file there, on the disk already.
    pub fn put(&self, path: &str, bytes: &[u8], mode: u32) {
        let mut s = self.0.lock().unwrap();
        let bytes = bytes.to_vec();
        s.inodes.push(Inode {
            live: bytes.clone(),
            synced: bytes,
            mode,
        });
        let node = Node::File(s.inodes.len() - 1);
        s.names.insert(path.into(), node.clone());
        s.durable.insert(path.into(), node);
    }

    pub fn put_link(&self, path: &str, to: &str) {
        let mut s = self.0.lock().unwrap();
        s.names.insert(path.into(), Node::Link(to.into()));
        s.durable.insert(path.into(), Node::Link(to.into()));
    }

    /// From now on.
    pub fn fault(&self, fault: Fault) {
        let mut s = self.0.lock().unwrap();
        s.calls = 0;
        s.trace.clear();
        s.fault = fault;
    }

    pub fn calls(&self) -> usize {
        self.0.lock().unwrap().calls
    }

    pub fn bytes(&self, path: &str) -> Option<Vec<u8>> {
        let s = self.0.lock().unwrap();
        match s.names.get(Path::new(path))? {
            Node::File(at) => Some(s.inodes[*at].live.clone()),
            _ => None,
        }
    }

    pub fn mode(&self, path: &str) -> u32 {
        let s = self.0.lock().unwrap();
        match s.names[Path::new(path)] {
            Node::File(at) => s.inodes[at].mode,
            _ => 0,
        }
    }

    pub fn names(&self) -> BTreeSet<String> {
        let s = self.0.lock().unwrap();
        s.names
            .keys()
            .map(|path| path.display().to_string())
            .collect()
    }

    /// Every disk that may be left if the power goes now: each file by name, with its bytes.
    pub fn after_power_cut(&self) -> Vec<BTreeMap<PathBuf, Vec<u8>>> {
        let s = self.0.lock().unwrap();
        assert!(s.pending.len() <= 12, "too many names to try them all");
        let mut left = Vec::new();
        for choice in 0..1u32 << s.pending.len() {
            let mut names = s.durable.clone();
            for (n, change) in s.pending.iter().enumerate() {
                if choice & (1 << n) != 0 {
                    set(&mut names, change);
                }
            }
            for bytes_kept in 0..3 {
                let bytes_of = |inode: &Inode| match bytes_kept {
                    0 => inode.synced.clone(),
                    1 => inode.live.clone(),
                    _ if inode.live == inode.synced => inode.live.clone(),
                    _ => inode.live[..inode.live.len() / 2].to_vec(),
                };
                let files = names.iter().filter_map(|(path, node)| match node {
                    Node::File(at) => Some((path.clone(), bytes_of(&s.inodes[*at]))),
                    _ => None,
                });
                left.push(files.collect());
            }
        }
        left
    }
}

fn set(names: &mut Names, change: &NameChange) {
    for (path, node) in &change.sets {
        match node {
            Some(node) => drop(names.insert(path.clone(), node.clone())),
            None => drop(names.remove(path)),
        }
    }
}

impl State {
    /// Counts a call and lets it fail if its time has come.
    fn call(&mut self, what: &str) -> io::Result<()> {
        self.calls += 1;
        self.trace.push(what.to_owned());
        match self.fault {
            Fault::At(n, code) if n == self.calls => Err(errno(code)),
            Fault::PowerAt(n) if n <= self.calls => Err(errno(EIO)),
            _ => Ok(()),
        }
    }

    fn follow(&self, path: &Path) -> io::Result<PathBuf> {
        match self.names.get(path) {
            Some(Node::Link(to)) if self.names.contains_key(to) => self.follow(&to.clone()),
            Some(Node::Link(_)) | None => Err(errno(ENOENT)),
            Some(_) => Ok(path.to_owned()),
        }
    }

    fn change(&mut self, folder: &Path, sets: Vec<(PathBuf, Option<Node>)>) {
        let change = NameChange {
            folder: folder.to_owned(),
            sets,
        };
        set(&mut self.names, &change);
        self.pending.push(change);
    }

    fn stat(&self, path: &Path) -> io::Result<Stat> {
        let (kind, size, mode) = match &self.names[&self.follow(path)?] {
            Node::File(at) => {
                let inode = &self.inodes[*at];
                (Kind::File, inode.live.len() as u64, inode.mode)
            }
            _ => (Kind::Folder, 0, 0o700),
        };
        Ok(Stat {
            kind,
            size,
            mode,
            age: Duration::from_secs(3600),
        })
    }
}

fn parent(path: &Path) -> PathBuf {
    path.parent().unwrap().to_owned()
}

struct SimFile {
    disk: SimFs,
    inode: usize,
}

impl NewFile for SimFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let mut s = self.disk.0.lock().unwrap();
        let short = s.short_writes;
        match s.call("write") {
            // A disk that fills up takes some first.
            Err(error) if error.kind() == io::ErrorKind::StorageFull => {
                s.inodes[self.inode]
                    .live
                    .extend_from_slice(&bytes[..bytes.len() / 2]);
                return Err(error);
            }
            done => done?,
        }
        let count = if short {
            bytes.len().div_ceil(3)
        } else {
            bytes.len()
        };
        s.inodes[self.inode].live.extend_from_slice(&bytes[..count]);
        Ok(count)
    }
    fn set_mode(&mut self, mode: u32) -> io::Result<()> {
        let mut s = self.disk.0.lock().unwrap();
        s.call("set_mode")?;
        s.inodes[self.inode].mode = mode;
        Ok(())
    }
    fn sync(&mut self) -> io::Result<()> {
        let mut s = self.disk.0.lock().unwrap();
        // After a failed sync the bytes are lost though they can still be read.
        s.call("sync")?;
        let inode = &mut s.inodes[self.inode];
        inode.synced = inode.live.clone();
        Ok(())
    }
}
