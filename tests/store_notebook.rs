//! A notebook on a real disk.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use jiff::civil::{DateTime, date};
use serde_json::{Value, json};
use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use std::sync::mpsc;
use std::time::{Duration, Instant};
use wrenchworth::car::{Buyer, CarFile, Money, history};
use wrenchworth::store::{Access, Notebook, SaveStatus, Trouble, load_car};

const SOON: Duration = Duration::from_secs(30);

fn now() -> DateTime {
    date(2026, 11, 14).at(9, 30, 0, 0)
}

fn car(name: &str) -> CarFile {
    let mut file = CarFile {
        schema: 1,
        ..CarFile::default()
    };
    file.car.name = name.to_owned();
    file
}

struct Place(tempfile::TempDir);

impl Place {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }
    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
    fn open(&self) -> Notebook {
        Notebook::open(self.0.path(), now()).unwrap()
    }
    fn put(&self, name: &str, value: &Value) {
        fs::write(
            self.path(name),
            serde_json::to_string_pretty(value).unwrap(),
        )
        .unwrap();
    }
    fn mode(&self, name: &str) -> u32 {
        fs::metadata(self.path(name)).unwrap().permissions().mode() & 0o777
    }
    fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(self.0.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }
}

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
            c.notes.push(format!("note {n}"))
        });
        history::apply(&mut file, "asking", "story", |c| {
            c.listing.asking = Some(Money::whole(1000 + n))
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
fn a_second_window_opens_read_only_and_says_since_when() {
    let place = Place::new();
    place.put("newt.car.json", &json!({"schema": 1, "car": {}}));
    let first = place.open();
    assert_eq!(first.access(), &Access::ReadWrite);
    let mut second = place.open();
    let Access::ReadOnly { why } = second.access().clone() else {
        panic!("both may write");
    };
    assert!(
        why.contains("is open in another window (pid ") && why.contains("since 2026-11-14 09:30)"),
        "{why}"
    );
    assert_eq!(
        second.save("newt", &car("x")).unwrap_err().trouble,
        Trouble::ReadOnly
    );
    assert_eq!(second.cars().len(), 1);
    drop(first);
    drop(second);
    assert_eq!(place.open().access(), &Access::ReadWrite);
}

#[test]
fn a_change_by_another_program_is_noticed_before_it_is_overwritten() {
    let place = Place::new();
    place.put(
        "newt.car.json",
        &json!({"schema": 1, "car": {"name": "as read"}}),
    );
    let mut notebook = place.open();
    let theirs = json!({"schema": 1, "car": {"name": "as typo"}});
    place.put("newt.car.json", &theirs);
    notebook.save("newt", &car("mine")).unwrap();
    let error = notebook.flush(SOON).unwrap_err();
    assert_eq!(error.trouble, Trouble::Changed);
    assert_eq!(notebook.status(), SaveStatus::Failed(error.to_string()));
    assert_eq!(
        load_car(&place.path("newt.car.json")).unwrap().car.name,
        "as typo"
    );
    // Take theirs …
    notebook.reload("newt").unwrap();
    assert_eq!(
        notebook.cars()[0].file.as_ref().unwrap().car.name,
        "as typo"
    );
    assert_eq!(notebook.status(), SaveStatus::Saved);
    notebook.save("newt", &car("mine again")).unwrap();
    notebook.flush(SOON).unwrap();
    // … or keep mine, and theirs as the previous version.
    place.put("newt.car.json", &theirs);
    notebook.save("newt", &car("mine")).unwrap();
    assert!(notebook.flush(SOON).is_err());
    notebook.keep_mine("newt", &car("mine")).unwrap();
    notebook.flush(SOON).unwrap();
    assert_eq!(
        load_car(&place.path("newt.car.json")).unwrap().car.name,
        "mine"
    );
    assert_eq!(
        load_car(&place.path("newt.car.json.bak")).unwrap().car.name,
        "as typo"
    );
    // The same bytes put back are no change.
    let bytes = fs::read(place.path("newt.car.json")).unwrap();
    fs::remove_file(place.path("newt.car.json")).unwrap();
    fs::write(place.path("newt.car.json"), bytes).unwrap();
    notebook.save("newt", &car("and on")).unwrap();
    notebook.flush(SOON).unwrap();
}

#[test]
fn a_link_is_kept_and_what_it_leads_to_is_written() {
    let (place, other) = (Place::new(), Place::new());
    other.put("real.json", &json!({"schema": 1, "car": {}}));
    symlink(other.path("real.json"), place.path("newt.car.json")).unwrap();
    let mut notebook = place.open();
    notebook.save("newt", &car("through the link")).unwrap();
    notebook.flush(SOON).unwrap();
    assert!(
        fs::symlink_metadata(place.path("newt.car.json"))
            .unwrap()
            .is_symlink()
    );
    assert_eq!(
        load_car(&other.path("real.json")).unwrap().car.name,
        "through the link"
    );
}

#[test]
fn fields_from_elsewhere_survive_a_hundred_edits_and_saves() {
    let place = Place::new();
    let odd = json!({"deep": [1, 2.5, {"x": null, "text": "é\u{1f697}"}], "big": 9_007_199_254_740_993_i64, "tiny": 5e-324});
    let whole = json!({
        "schema": 1, "later": odd,
        "car": {
            "later": odd,
            "particulars": {"later": odd},
            "listing": {"later": odd},
            "worth": {"later": odd, "comparables": [{"name": "Newt", "price": "900", "later": odd}]},
            "claims": [{"text": "a", "later": odd}, {"text": "b", "later": [7]}],
            "observations": [{"sign": "rust", "answer": {"level": 1}, "later": odd}],
            "talks": [{"who": "they", "later": odd}]
        }
    });
    place.put("newt.car.json", &whole);
    place.put("buyer.json", &json!({"schema": 1, "later": odd, "wishes": [{"id": "w", "words": "x", "kind": "never", "later": odd}]}));
    let places = [
        "/later",
        "/car/later",
        "/car/particulars/later",
        "/car/listing/later",
        "/car/worth/later",
        "/car/worth/comparables/0/later",
        "/car/claims/1/later",
        "/car/claims/2/later",
        "/car/observations/0/later",
        "/car/talks/0/later",
    ];
    for n in 0..100 {
        let mut notebook = place.open();
        let mut file = notebook.cars()[0].file.clone().unwrap();
        history::apply(&mut file, "n", "", |c| {
            c.name = n.to_string();
            c.claims.truncate(3);
            if n == 0 {
                c.claims.insert(
                    0,
                    wrenchworth::car::Claim {
                        text: "new".into(),
                        ..Default::default()
                    },
                );
            }
            c.observations[0].note = n.to_string();
            c.worth.comparables[0].price = Money::whole(n);
        });
        notebook.save("newt", &file).unwrap();
        let buyer = Buyer {
            hours_a_week: f64::from(i32::try_from(n).unwrap()),
            ..notebook.buyer().unwrap().unwrap().clone()
        };
        notebook.save_buyer(&buyer).unwrap();
        notebook.flush(SOON).unwrap();
    }
    let read = |name: &str| -> Value {
        serde_json::from_slice(&fs::read(place.path(name)).unwrap()).unwrap()
    };
    let (end, buyer) = (read("newt.car.json"), read("buyer.json"));
    let bytes = |value: Option<&Value>| serde_json::to_string(&value).unwrap();
    for at in places {
        let was = if at.ends_with("2/later") {
            json!([7])
        } else {
            odd.clone()
        };
        assert_eq!(bytes(end.pointer(at)), bytes(Some(&was)), "{at}");
    }
    assert_eq!(bytes(buyer.pointer("/later")), bytes(Some(&odd)));
    assert_eq!(bytes(buyer.pointer("/wishes/0/later")), bytes(Some(&odd)));
}

#[test]
fn broken_files_stand_apart_and_are_never_written_over() {
    let place = Place::new();
    place.put("good.car.json", &json!({"schema": 1, "car": {}}));
    fs::write(place.path("bad.car.json"), "{").unwrap();
    place.put("newer.car.json", &json!({"schema": 9}));
    fs::create_dir(place.path("folder.car.json")).unwrap();
    fs::write(place.path("od\u{202e}d.car.json"), "{}").unwrap();
    place.put("buyer.json", &json!({"schema": 9}));
    let mut notebook = place.open();
    let good: Vec<&str> = notebook
        .cars()
        .iter()
        .filter(|c| c.file.is_ok())
        .map(|c| c.slug.as_str())
        .collect();
    assert_eq!(good, ["good"]);
    assert_eq!(notebook.cars().len(), 5);
    for slug in ["bad", "newer", "folder", "odd", "nobody", "../bad"] {
        assert_eq!(
            notebook.save(slug, &car("x")).unwrap_err().trouble,
            Trouble::NoSuchCar,
            "{slug}"
        );
    }
    assert!(notebook.buyer().unwrap_err().contains("newer version"));
    assert!(notebook.save_buyer(&Buyer::default()).is_err());
    let slug = notebook.add("BAD", car("new")).unwrap();
    assert_eq!(slug, "bad-2");
    notebook.flush(SOON).unwrap();
    assert_eq!(fs::read(place.path("bad.car.json")).unwrap(), b"{");
}

#[test]
fn an_older_file_keeps_its_old_form_as_the_previous_version() {
    let place = Place::new();
    place.put(
        "newt.car.json",
        &json!({"schema": 0, "car": {"name": "old form"}}),
    );
    let before = fs::read(place.path("newt.car.json")).unwrap();
    let mut notebook = place.open();
    assert_eq!(
        fs::read(place.path("newt.car.json")).unwrap(),
        before,
        "written by opening it"
    );
    let file = notebook.cars()[0].file.clone().unwrap();
    notebook.save("newt", &file).unwrap();
    notebook.flush(SOON).unwrap();
    assert_eq!(fs::read(place.path("newt.car.json.bak")).unwrap(), before);
    let written: Value =
        serde_json::from_slice(&fs::read(place.path("newt.car.json")).unwrap()).unwrap();
    assert_eq!(written["schema"], 1);
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
fn a_broken_car_is_restored_from_its_newest_good_copy() {
    let place = Place::new();
    let mut notebook = place.open();
    for name in ["first", "second"] {
        if notebook.cars().is_empty() {
            notebook.add("newt", car(name)).unwrap();
        } else {
            notebook.save("newt", &car(name)).unwrap();
        }
        notebook.flush(SOON).unwrap();
    }
    drop(notebook);
    fs::write(place.path("newt.car.json"), "half a fi").unwrap();
    let mut notebook = place.open();
    let sentence = notebook.cars()[0].file.clone().unwrap_err();
    assert!(
        sentence.contains("put newt.car.json.bak back"),
        "{sentence}"
    );
    notebook.restore("newt").unwrap();
    assert_eq!(notebook.cars()[0].file.as_ref().unwrap().car.name, "first");
    assert_eq!(
        load_car(&place.path("newt.car.json")).unwrap().car.name,
        "first"
    );
    assert_eq!(
        fs::read(place.path(".trash/newt.car.json")).unwrap(),
        b"half a fi"
    );
    fs::write(place.path("lone.car.json"), "{").unwrap();
    drop(notebook);
    let mut notebook = place.open();
    assert_eq!(
        notebook.restore("lone").unwrap_err().trouble,
        Trouble::Missing
    );
    assert!(place.path("lone.car.json").exists());
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
fn a_notebook_with_a_broken_file_of_its_own_is_only_looked_at() {
    let place = Place::new();
    fs::write(place.path("notebook.json"), "{").unwrap();
    let notebook = place.open();
    assert!(
        matches!(notebook.access(), Access::ReadOnly { why } if why.contains("notebook.json cannot be read"))
    );
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
