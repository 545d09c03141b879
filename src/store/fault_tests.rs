//! The save rule against a disk that fails at each call, and against a power cut after each call.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::durable::{Dated, Fingerprint, write};
use super::error::{StoreError, Trouble};
use super::sim::{Fault, SimFs};
use std::path::{Path, PathBuf};

const OLD: &[u8] = b"the old bytes, all of them";
const NEW: &[u8] = b"new bytes that are a little longer than the old ones";
const CAR: &str = "/n/newt.car.json";
const BAK: &str = "/n/newt.car.json.bak";

/// errno: EACCES, EIO, EMFILE, ENOSPC, EROFS, EDQUOT, EINTR.
const ERRORS: [i32; 7] = [13, 5, 24, 28, 30, 122, 4];

fn dated() -> Dated {
    Dated {
        folder: "/n/.backups".into(),
        name: "newt.car.json".into(),
        stamp: "2026-11-14T09-30-00".into(),
    }
}

/// A disk with the old file, its previous version and the folder of copies half full.
fn disk(with_old: bool) -> SimFs {
    let disk = SimFs::new();
    if with_old {
        disk.put(CAR, OLD, 0o640);
        disk.put(BAK, b"older", 0o640);
    }
    disk
}

fn save(disk: &SimFs, with_old: bool) -> (Result<(), StoreError>, Option<Fingerprint>) {
    let mut on_disk = with_old.then(|| Fingerprint::of(OLD));
    let done = write(disk, Path::new(CAR), NEW, &mut on_disk, Some(&dated()));
    (done, on_disk)
}

fn temporaries(disk: &SimFs) -> usize {
    disk.names()
        .iter()
        .filter(|name| name.contains(".tmp"))
        .count()
}

#[test]
fn a_save_keeps_mode_and_previous_version_and_leaves_no_temporary_file() {
    let disk = disk(true);
    save(&disk, true).0.unwrap();
    assert_eq!(disk.bytes(CAR).unwrap(), NEW);
    assert_eq!(disk.mode(CAR), 0o640);
    assert_eq!(disk.bytes(BAK).unwrap(), OLD);
    assert_eq!(
        disk.bytes("/n/.backups/newt.car.json.2026-11-14T09-30-00")
            .unwrap(),
        OLD
    );
    assert_eq!(temporaries(&disk), 0);
}

#[test]
fn when_the_nth_call_fails_the_file_is_whole_and_the_error_is_told() {
    for with_old in [true, false] {
        for code in ERRORS {
            for short_writes in [false, true] {
                let mut n = 0;
                loop {
                    n += 1;
                    let disk = disk(with_old);
                    disk.0.lock().unwrap().short_writes = short_writes;
                    disk.fault(Fault::At(n, code));
                    let (done, on_disk) = save(&disk, with_old);
                    let there = disk.bytes(CAR);
                    let context = format!(
                        "call {n} of {:?}, errno {code}",
                        disk.0.lock().unwrap().trace
                    );
                    match &done {
                        Ok(()) => assert_eq!(there.as_deref(), Some(NEW), "{context}"),
                        Err(error) => {
                            let whole = there.as_deref() == Some(NEW)
                                || there.as_deref() == with_old.then_some(OLD);
                            assert!(whole, "{context}");
                            let sentence = error.to_string();
                            assert!(
                                sentence.ends_with('.') && sentence.contains("newt.car.json"),
                                "{sentence}"
                            );
                        }
                    }
                    // What is remembered is what is there, so that the next save is not refused.
                    assert_eq!(on_disk, there.as_deref().map(Fingerprint::of), "{context}");
                    let last = disk.0.lock().unwrap().trace.last().cloned().unwrap();
                    let removal_failed = last == "remove" && disk.calls() == n;
                    assert!(removal_failed || temporaries(&disk) == 0, "{context}");
                    if n > disk.calls() {
                        assert!(done.is_ok());
                        break;
                    }
                    // Then it works again.
                    disk.fault(Fault::None);
                    let mut on_disk = on_disk;
                    write(&disk, Path::new(CAR), NEW, &mut on_disk, None).expect(&context);
                    assert_eq!(disk.bytes(CAR).unwrap(), NEW);
                }
                let least = if with_old { 16 } else { 8 };
                assert!(n > least, "the loop ended after {n} calls");
            }
        }
    }
}

/// Every choice of lost names and bytes after a power cut at every call: the file is the old one or the new one,
/// and the new one once that was promised.
#[test]
fn a_power_cut_after_any_call_leaves_the_old_file_or_the_new_one() {
    for with_old in [true, false] {
        let mut n = 0;
        let mut states = 0;
        loop {
            n += 1;
            let disk = disk(with_old);
            disk.0.lock().unwrap().short_writes = true;
            disk.fault(Fault::PowerAt(n));
            let (done, _) = save(&disk, with_old);
            for left in disk.after_power_cut() {
                states += 1;
                let there = left.get(Path::new(CAR)).map(Vec::as_slice);
                let context = format!("call {n} of {:?}", disk.0.lock().unwrap().trace);
                if done.is_ok() {
                    assert_eq!(there, Some(NEW), "{context}");
                } else {
                    let whole = there == Some(NEW) || there == with_old.then_some(OLD);
                    assert!(whole, "{context}: {there:?}");
                }
                let previous = left.get(Path::new(BAK)).map(Vec::as_slice);
                assert!(
                    matches!(previous, None | Some(OLD | b"older")),
                    "{context}: {previous:?}"
                );
            }
            if n > disk.calls() {
                assert!(done.is_ok());
                break;
            }
        }
        let least = if with_old { 400 } else { 90 };
        assert!(states > least, "only {states} states");
    }
}

/// The model has teeth: the same tests catch a save that forgets one of its steps.
#[test]
fn the_model_catches_a_save_without_syncing() {
    use super::fs::Fs;
    let lossy = |sync_file: bool, sync_folder: bool| {
        let disk = disk(true);
        let mut file = disk.create(Path::new("/n/x.tmp")).unwrap();
        file.write(NEW).unwrap();
        if sync_file {
            file.sync().unwrap();
        }
        disk.rename(Path::new("/n/x.tmp"), Path::new(CAR)).unwrap();
        if sync_folder {
            disk.sync_folder(Path::new("/n")).unwrap();
        }
        let left = disk.after_power_cut();
        left.iter().all(|names| names[Path::new(CAR)] == NEW)
    };
    assert!(lossy(true, true));
    assert!(!lossy(false, true), "bytes not synced are lost");
    assert!(!lossy(true, false), "names not synced are lost");
}

#[test]
fn a_link_stays_a_link_and_its_target_is_written() {
    let disk = SimFs::new();
    disk.put("/other.json", OLD, 0o600);
    disk.put_link(CAR, "/other.json");
    let mut on_disk = Some(Fingerprint::of(OLD));
    write(&disk, Path::new(CAR), NEW, &mut on_disk, None).unwrap();
    assert_eq!(disk.bytes("/other.json").unwrap(), NEW);
    assert_eq!(disk.bytes(CAR), None);
    disk.put_link(CAR, "/gone.json");
    let error = write(&disk, Path::new(CAR), NEW, &mut None, None).unwrap_err();
    assert_eq!(error.trouble, Trouble::Missing);
}

#[test]
fn what_another_program_wrote_is_noticed_and_kept() {
    let disk = disk(true);
    let mut on_disk = Some(Fingerprint::of(b"what we read"));
    let error = write(&disk, Path::new(CAR), NEW, &mut on_disk, None).unwrap_err();
    assert_eq!(error.trouble, Trouble::Changed);
    assert_eq!(
        error.to_string(),
        "newt.car.json was changed by another program since it was read, and was not overwritten; read it again, or keep yours."
    );
    assert_eq!(
        write(&disk, Path::new(CAR), NEW, &mut None, None)
            .unwrap_err()
            .trouble,
        Trouble::Changed
    );
    assert_eq!(disk.bytes(CAR).unwrap(), OLD);
    let gone = SimFs::new();
    assert_eq!(
        write(&gone, Path::new(CAR), NEW, &mut on_disk, None)
            .unwrap_err()
            .trouble,
        Trouble::Changed
    );
}

#[test]
fn ten_dated_copies_are_kept_of_each_file() {
    let disk = disk(true);
    let mut on_disk = Some(Fingerprint::of(OLD));
    disk.put("/n/.backups/newt.car.json.notes", b"the user's own", 0o600);
    for day in 10..25 {
        let dated = Dated {
            stamp: format!("2026-11-{day}T09-30-00"),
            ..dated()
        };
        let bytes = format!("{day}");
        write(
            &disk,
            Path::new(CAR),
            bytes.as_bytes(),
            &mut on_disk,
            Some(&dated),
        )
        .unwrap();
    }
    let names = disk.names();
    let copies: Vec<_> = names
        .iter()
        .filter(|n| n.starts_with("/n/.backups/newt"))
        .collect();
    assert_eq!(copies.len(), 11);
    assert_eq!(copies[0], "/n/.backups/newt.car.json.2026-11-15T09-30-00");
    assert!(disk.bytes("/n/.backups/newt.car.json.notes").is_some());
    let kept = PathBuf::from("/n/.backups/newt.car.json.2026-11-24T09-30-00");
    assert_eq!(disk.bytes(kept.to_str().unwrap()).unwrap(), b"23");
}
