//! The calls of the disk in memory.

use super::super::fs::{Content, Fs, Lock, NewFile, Stat};
use super::{EEXIST, ENOENT, Inode, NameChange, Node, SimFile, SimFs, errno, parent, set};
use std::ffi::OsString;
use std::io;
use std::path::{Path, PathBuf};

impl Fs for SimFs {
    fn stat(&self, path: &Path) -> io::Result<Stat> {
        let mut s = self.0.lock().unwrap();
        s.call("stat")?;
        s.stat(path)
    }

    fn read(&self, path: &Path, cap: u64) -> io::Result<Content> {
        let mut s = self.0.lock().unwrap();
        s.call("read")?;
        let stat = s.stat(path)?;
        let bytes = match &s.names[&s.follow(path)?] {
            Node::File(at) if stat.size <= cap => Some(s.inodes[*at].live.clone()),
            _ => None,
        };
        Ok(Content { stat, bytes })
    }

    fn resolve(&self, path: &Path) -> io::Result<PathBuf> {
        let mut s = self.0.lock().unwrap();
        s.call("resolve")?;
        s.follow(path)
    }

    fn is_link(&self, path: &Path) -> bool {
        let s = self.0.lock().unwrap();
        matches!(s.names.get(path), Some(Node::Link(_)))
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        let mut s = self.0.lock().unwrap();
        s.call("list")?;
        let inside = |path: &&PathBuf| path.parent() == Some(folder);
        Ok(s.names
            .keys()
            .filter(inside)
            .map(|path| path.file_name().unwrap().to_owned())
            .collect())
    }

    fn make_folder(&self, path: &Path) -> io::Result<()> {
        let mut s = self.0.lock().unwrap();
        s.call("make_folder")?;
        if !s.names.contains_key(path) {
            s.change(&parent(path), vec![(path.to_owned(), Some(Node::Folder))]);
        }
        Ok(())
    }

    fn create(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        let mut s = self.0.lock().unwrap();
        s.call("create")?;
        if s.names.contains_key(path) {
            return Err(errno(EEXIST));
        }
        s.inodes.push(Inode {
            mode: 0o600,
            ..Inode::default()
        });
        let inode = s.inodes.len() - 1;
        s.change(
            &parent(path),
            vec![(path.to_owned(), Some(Node::File(inode)))],
        );
        Ok(Box::new(SimFile {
            disk: self.clone(),
            inode,
        }))
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        let mut s = self.0.lock().unwrap();
        s.call("link")?;
        if s.names.contains_key(to) {
            return Err(errno(EEXIST));
        }
        let node = s.names.get(from).cloned().ok_or_else(|| errno(ENOENT))?;
        s.change(&parent(to), vec![(to.to_owned(), Some(node))]);
        Ok(())
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        let mut s = self.0.lock().unwrap();
        s.call("rename")?;
        let node = s.names.get(from).cloned().ok_or_else(|| errno(ENOENT))?;
        s.change(
            &parent(to),
            vec![(from.to_owned(), None), (to.to_owned(), Some(node))],
        );
        Ok(())
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        let mut s = self.0.lock().unwrap();
        s.call("remove")?;
        if !s.names.contains_key(path) {
            return Err(errno(ENOENT));
        }
        s.change(&parent(path), vec![(path.to_owned(), None)]);
        Ok(())
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        let mut s = self.0.lock().unwrap();
        s.call("sync_folder")?;
        let pending = std::mem::take(&mut s.pending);
        let (done, rest) = pending
            .into_iter()
            .partition(|change: &NameChange| change.folder == folder);
        s.pending = rest;
        for change in done {
            set(&mut s.durable, &change);
        }
        Ok(())
    }

    fn lock(&self, path: &Path, words: &str) -> io::Result<Lock> {
        struct Guard(SimFs, PathBuf);
        impl Drop for Guard {
            fn drop(&mut self) {
                self.0.0.lock().unwrap().locks.remove(&self.1);
            }
        }
        let mut s = self.0.lock().unwrap();
        s.call("lock")?;
        if let Some(holder) = s.locks.get(path) {
            return Ok(Lock::Busy(holder.clone()));
        }
        s.locks.insert(path.to_owned(), words.to_owned());
        Ok(Lock::Held(Box::new(Guard(self.clone(), path.to_owned()))))
    }
}
