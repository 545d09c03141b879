//! A notebook on a real disk that others write to as well: nothing of theirs is lost.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::place;

use place::{Place, SOON, car};
use serde_json::{Value, json};
use std::fs;
use std::os::unix::fs::symlink;
use wrenchworth::car::{Buyer, Claim, Money, history};
use wrenchworth::store::{Access, SaveStatus, Trouble, load_car};

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
        why.starts_with("Open in another window since 2026-11-14 09:30, pid "),
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
                    Claim {
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
fn a_notebook_with_a_broken_file_of_its_own_is_only_looked_at() {
    let place = Place::new();
    fs::write(place.path("notebook.json"), "{").unwrap();
    let notebook = place.open();
    assert!(
        matches!(notebook.access(), Access::ReadOnly { why } if why.contains("notebook.json cannot be read"))
    );
}
