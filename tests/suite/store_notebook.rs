//! A notebook on a real disk: saving, adding, removing, copying.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::place;

use place::{Place, SOON, car, now};
use serde_json::json;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::sync::mpsc;
use std::time::{Duration, Instant};
use wrenchworth::car::{Buyer, Money, history};
use wrenchworth::store::{Access, Notebook, SaveStatus, Trouble, load_car};

#[test]
fn a_car_added_saved_and_opened_again_is_the_same_with_its_steps() {
    let place = Place::new();
    let mut notebook = place.open();
    let slug = notebook.add("Dabchick 1.8 2009", car("Dabchick")).unwrap();
    assert_eq!(slug, "dabchick-1-8-2009");
    let mut file = car("Dabchick");
    let first = serde_json::to_string(&file.car).unwrap();
    for n in 0..30 {
        history::apply(&mut file, "note", "story", |c| {
            c.notes.push(format!("note {n}"));
        });
        history::apply(&mut file, "asking", "story", |c| {
            c.listing.asking = Some(Money::whole(1000 + n));
        });
        notebook.save(&slug, &file).unwrap();
    }
    notebook.flush(SOON).unwrap();
    assert_eq!(notebook.status(), SaveStatus::Saved);
    drop(notebook);
    let notebook = place.open();
    let mut again = notebook.cars()[0].file.clone().unwrap();
    assert_eq!(again, file);
    while history::undo(&mut again).is_some() {}
    assert_eq!(serde_json::to_string(&again.car).unwrap(), first);
    while history::redo(&mut again).is_some() {}
    assert_eq!(again, file);
}

#[test]
fn changes_within_a_quarter_second_are_one_save_and_told_through_a_channel() {
    let place = Place::new();
    let mut notebook = place.open();
    let (tell, told) = mpsc::channel();
    notebook.listen(move |status| drop(tell.send(status)));
    let slug = notebook.add("newt", car("0")).unwrap();
    for n in 1..50 {
        notebook.save(&slug, &car(&n.to_string())).unwrap();
    }
    assert_eq!(notebook.status(), SaveStatus::Saving);
    assert!(
        !place.path("newt.car.json").exists(),
        "written before the changes were gathered"
    );
    let start = Instant::now();
    while told.recv_timeout(SOON).unwrap() != SaveStatus::Saved {}
    assert!(start.elapsed() < SOON);
    assert_eq!(
        load_car(&place.path("newt.car.json")).unwrap().car.name,
        "49"
    );
    assert!(
        !place.path("newt.car.json.bak").exists(),
        "more than one save"
    );
}

#[test]
fn leaving_without_flush_loses_nothing() {
    let place = Place::new();
    let mut notebook = place.open();
    notebook.add("newt", car("last words")).unwrap();
    drop(notebook);
    assert_eq!(
        place.open().cars()[0].file.as_ref().unwrap().car.name,
        "last words"
    );
}

#[test]
fn new_files_are_for_this_user_only_and_old_ones_keep_their_mode() {
    let place = Place::new();
    place.put("old.car.json", &json!({"schema": 1, "car": {}}));
    fs::set_permissions(
        place.path("old.car.json"),
        fs::Permissions::from_mode(0o644),
    )
    .unwrap();
    let mut notebook = place.open();
    notebook.add("new", car("new")).unwrap();
    notebook.save("old", &car("changed")).unwrap();
    notebook.save_buyer(&Buyer::default()).unwrap();
    notebook.flush(SOON).unwrap();
    for (name, mode) in [
        ("new.car.json", 0o600),
        ("buyer.json", 0o600),
        (".wrenchworth.lock", 0o600),
        ("old.car.json", 0o644),
        ("old.car.json.bak", 0o644),
        (".backups", 0o700),
    ] {
        assert_eq!(place.mode(name), mode, "{name}");
    }
    let inner = place.path("made/deeper");
    drop(Notebook::open_or_make(&inner, now()).unwrap());
    assert_eq!(place.mode("made/deeper"), 0o700);
}

#[test]
fn one_dated_copy_is_kept_for_each_opening() {
    let place = Place::new();
    place.put(
        "newt.car.json",
        &json!({"schema": 1, "car": {"name": "first"}}),
    );
    let mut notebook = place.open();
    for name in ["second", "third"] {
        notebook.save("newt", &car(name)).unwrap();
        notebook.flush(SOON).unwrap();
    }
    let copy = place.path(".backups/newt.car.json.2026-11-14T09-30-00");
    assert_eq!(load_car(&copy).unwrap().car.name, "first");
    assert_eq!(fs::read_dir(place.path(".backups")).unwrap().count(), 1);
    assert_eq!(
        load_car(&place.path("newt.car.json.bak")).unwrap().car.name,
        "second"
    );
}

#[test]
fn a_sample_is_never_written_and_can_be_copied() {
    let (place, other) = (Place::new(), Place::new());
    place.put("notebook.json", &json!({"sample": true}));
    place.put(
        "newt.car.json",
        &json!({"schema": 1, "car": {"name": "Pudd Newt"}}),
    );
    place.put("buyer.json", &json!({"schema": 1}));
    let names = place.names();
    let mut sample = place.open();
    assert_eq!(sample.access(), &Access::Sample);
    assert_eq!(
        sample.save("newt", &car("x")).unwrap_err().trouble,
        Trouble::ReadOnly
    );
    other.put(
        "newt.car.json",
        &json!({"schema": 1, "car": {"name": "my own"}}),
    );
    let mut own = sample.copy_to(&other.path("."), now()).unwrap();
    assert_eq!(own.access(), &Access::ReadWrite);
    let slugs: Vec<&str> = own.cars().iter().map(|c| c.slug.as_str()).collect();
    assert_eq!(slugs, ["newt", "newt-2"]);
    assert_eq!(
        fs::read(other.path("newt-2.car.json")).unwrap(),
        fs::read(place.path("newt.car.json")).unwrap()
    );
    own.save("newt-2", &car("mine now")).unwrap();
    own.flush(SOON).unwrap();
    drop((sample, own));
    assert_eq!(place.names(), names);
    assert!(place.open().copy_to(place.0.path(), now()).is_err());
}

#[test]
fn a_removed_car_lies_in_the_trash_and_can_be_put_back() {
    let place = Place::new();
    let mut notebook = place.open();
    notebook.add("newt", car("not yet on disk")).unwrap();
    notebook.remove("newt").unwrap();
    assert!(notebook.cars().is_empty() && !place.path("newt.car.json").exists());
    assert_eq!(
        load_car(&place.path(".trash/newt.car.json"))
            .unwrap()
            .car
            .name,
        "not yet on disk"
    );
    notebook.put_back("newt").unwrap();
    notebook.save("newt", &car("back")).unwrap();
    notebook.flush(SOON).unwrap();
    assert_eq!(
        load_car(&place.path("newt.car.json")).unwrap().car.name,
        "back"
    );
    notebook.remove("newt").unwrap();
    notebook.add("newt", car("another")).unwrap();
    notebook.flush(SOON).unwrap();
    assert_eq!(
        notebook.put_back("newt").unwrap_err().trouble,
        Trouble::Changed
    );
    notebook.remove("newt").unwrap();
    assert!(place.path(".trash/newt.2.car.json").exists());
    notebook.empty_trash().unwrap();
    assert_eq!(notebook.in_trash(), 0);
    assert!(notebook.put_back("newt").is_err());
}

#[test]
fn a_place_that_is_no_notebook_is_one_sentence() {
    let place = Place::new();
    fs::write(place.path("file"), "x").unwrap();
    let refused = |path: &Path| Notebook::open(path, now()).err().unwrap();
    let file = refused(&place.path("file"));
    assert_eq!(file.trouble, Trouble::NotAFolder);
    assert!(
        file.to_string()
            .ends_with("file is not a notebook folder; name the folder that its cars are in.")
    );
    let missing = refused(&place.path("missing"));
    assert_eq!(missing.trouble, Trouble::Missing);
    assert!(
        missing
            .to_string()
            .contains("it is not there; check the name and the folder.")
    );
    assert!(Notebook::open_or_make(&place.path("file/inside"), now()).is_err());
}

#[test]
fn only_old_temporary_files_of_our_own_are_swept() {
    let place = Place::new();
    let old = std::time::SystemTime::now() - Duration::from_secs(600);
    for (name, aged) in [
        (".ww-99-1.tmp", true),
        (".ww-99-2.tmp", false),
        (".other.tmp", true),
    ] {
        let file = fs::File::create(place.path(name)).unwrap();
        if aged {
            file.set_modified(old).unwrap();
        }
    }
    drop(place.open());
    assert_eq!(
        place.names(),
        [".other.tmp", ".wrenchworth.lock", ".ww-99-2.tmp"]
    );
}

#[test]
fn names_never_lead_out_of_the_notebook() {
    let place = Place::new();
    let inside = place.path("notebook");
    let mut notebook = Notebook::open_or_make(&inside, now()).unwrap();
    let long = "x".repeat(5000);
    let names = [
        "../x",
        "/etc/x",
        "a/b",
        "..",
        "",
        "\0",
        ".hidden",
        "CON",
        &long,
        "x.",
        "X",
        "é",
        "e\u{301}",
        "\u{1b}[2J",
    ];
    let mut slugs = std::collections::BTreeSet::new();
    for name in names {
        let slug = notebook.add(name, car(name)).unwrap();
        assert!(slugs.insert(slug.to_lowercase()), "{slug} twice");
    }
    notebook.flush(SOON).unwrap();
    assert_eq!(notebook.cars().len(), names.len());
    drop(notebook);
    assert_eq!(place.names(), ["notebook"]);
    let again = Notebook::open(&inside, now()).unwrap();
    assert!(again.cars().iter().all(|entry| entry.file.is_ok()));
}
