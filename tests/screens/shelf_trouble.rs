//! What cannot be written stays in sight and is tried again; what may not be written is refused in words.

use super::golden::on;
use wrenchworth::tui::ports::Access;

#[test]
fn a_save_that_fails_is_said_and_made_good_with_the_next_one() {
    let mut desk = on("gs");
    desk.shelf.borrow_mut().fail =
        Some("Not saved: the disk is full. Make room, then go on.".to_owned());
    desk.keys("nfirst{Enter}");
    assert!(desk.said().starts_with("Not saved"), "{}", desk.said());
    assert!(
        desk.car().notes.contains(&"first".to_owned()),
        "the edit stays in sight"
    );
    desk.shelf.borrow_mut().fail = None;
    desk.keys("gmnsecond{Enter}");
    let saved = desk.shelf.borrow().cars["dabchick"].car.notes.clone();
    assert!(saved.contains(&"first".to_owned()) && saved.contains(&"second".to_owned()));
}

#[test]
fn read_only_refuses_in_its_own_words() {
    let mut desk = on("gf");
    desk.app.data.access = Access::ReadOnly("read only, open elsewhere since 10:02".to_owned());
    let before = desk.car().clone();
    desk.shelf.borrow_mut().access = desk.app.data.access.clone();
    for keys in ["2", "x", "a"] {
        desk.keys(keys);
        assert_eq!(desk.said(), "read only, open elsewhere since 10:02");
    }
    assert_eq!(*desk.car(), before);
    assert!(desk.text().contains("read only, open elsewhere"));
}

#[test]
fn a_copy_is_what_is_in_hand_and_the_same_key_again_writes_it() {
    for (keys, parts) in [
        ("gc", ["Dabchick", "limit ", "asks 1,850"]),
        ("gm", ["open ", "settle ", "never over "]),
        ("gb", ["A Dabchick", "B Lamprey", "C Marl"]),
        ("gmw", ["", "", ""]),
        ("gf", ["takes", "%", ""]),
        ("gs", ["clean title", "", ""]),
    ] {
        let mut desk = on(keys);
        desk.keys("c");
        // Without a terminal there is no clipboard: it is a file at once, and said so.
        assert!(
            desk.said().starts_with("written to ~/driveway/dabchick-"),
            "{keys}: {}",
            desk.said()
        );
        let text = desk.shelf.borrow().files.values().next().unwrap().clone();
        for part in parts {
            assert!(text.contains(part), "{keys}: no {part} in {text}");
        }
        assert!(text.ends_with('\n') && !text.contains('\u{1b}'));
        desk.keys("c");
        let wrote = |effect: &wrenchworth::tui::app::Effect| {
            matches!(effect, wrenchworth::tui::app::Effect::WriteText(_))
        };
        assert!(desk.done.iter().any(wrote), "{keys}");
    }
    let mut desk = on("gm");
    desk.keys("hc");
    assert!(
        desk.shelf.borrow().files.is_empty(),
        "hidden money is not copied"
    );
}

#[test]
fn a_file_is_read_in_as_an_advert_or_refused_in_a_sentence() {
    let mut desk = on("gc");
    let text = "2008 Pudd Newt 1.4, 121k miles.\nRuns well, $1,400.\n".to_owned();
    desk.shelf
        .borrow_mut()
        .files
        .insert("~/advert.txt".to_owned(), text);
    desk.keys("i~/nothing.txt{Enter}");
    assert!(desk.said().contains("it is not there"), "{}", desk.said());
    desk.keys("i~/advert.txt{Enter}");
    assert_eq!(desk.car().particulars.model, "Newt 1.4");
    assert!(desk.car().listing.advert.contains("Runs well"));
}

#[test]
fn what_the_editor_leaves_is_the_advert_as_one_step() {
    let mut desk = on("gs");
    let before = desk.car().listing.advert.clone();
    desk.keys("E");
    let asked = desk.done.iter().any(
        |effect| matches!(effect, wrenchworth::tui::app::Effect::Editor(text) if *text == before),
    );
    assert!(asked, "the editor is asked for with the advert in it");
    desk.send(wrenchworth::tui::app::Action::Edited(Ok(
        "Runs.\u{1b}[2J Mostly.\n".to_owned(),
    )));
    assert_eq!(desk.car().listing.advert, "Runs.[2J Mostly.");
    desk.keys("u");
    assert_eq!(desk.car().listing.advert, before);
    desk.send(wrenchworth::tui::app::Action::Edited(Err(
        "“x” ended with an error, so the text is as it was; set EDITOR.".to_owned(),
    )));
    assert!(desk.said().contains("as it was"));
    assert_eq!(desk.car().listing.advert, before);
}

fn on_a_sample(keys: &str) -> super::common::Desk {
    let mut desk = on("gc");
    let access = Access::Sample("~/driveway".to_owned());
    desk.shelf.borrow_mut().access = access.clone();
    desk.app.data.access = access;
    desk.keys(keys);
    desk
}

#[test]
fn the_first_change_of_a_sample_goes_into_a_copy() {
    let before = on("gc").car().notes.clone();
    let notes = |desk: &super::common::Desk| desk.shelf.borrow().cars["dabchick"].car.notes.clone();
    let mut desk = on_a_sample("gsnword{Enter}");
    let text = desk.text();
    assert!(text.contains("Copy the sample to ~/driveway"), "{text}");
    assert_eq!(
        desk.car().notes,
        before,
        "nothing is changed before the answer"
    );
    assert_eq!(
        (desk.shelf.borrow().saves, desk.shelf.borrow().copies),
        (0, 0)
    );
    desk.keys("{Enter}");
    assert_eq!(desk.shelf.borrow().copies, 1);
    assert_eq!(notes(&desk).last().map(String::as_str), Some("word"));
    assert_eq!(desk.said(), "your copy, with the change in it: ~/driveway");
    // From here on it is a notebook like any other.
    desk.keys("nmore{Enter}");
    assert!(desk.app.overlay.is_none());
    assert_eq!(notes(&desk).len(), before.len() + 2);
    desk.keys("uu");
    assert_eq!(notes(&desk), before);
}

#[test]
fn a_change_of_a_sample_that_is_not_wanted_is_dropped_and_said_so() {
    for (keys, screen) in [
        ("gsnword{Enter}", "gs"),
        ("gf2", "gf"),
        ("gc", "gc"),
        ("gyo", "gy"),
    ] {
        let mut desk = on_a_sample(keys);
        if keys == "gc" {
            desk.keys("d");
        }
        assert!(
            desk.text().contains("Copy the sample"),
            "{keys}\n{}",
            desk.text()
        );
        desk.keys("{Esc}");
        assert_eq!(desk.said(), "dropped: a sample stays as it is", "{keys}");
        let fresh = on_a_sample(screen);
        assert_eq!(desk.app.data.cars, fresh.app.data.cars, "{keys}");
        assert_eq!(desk.app.data.buyer, fresh.app.data.buyer, "{keys}");
        assert_eq!(
            (desk.shelf.borrow().saves, desk.shelf.borrow().copies),
            (0, 0)
        );
    }
}

#[test]
fn looking_at_a_sample_asks_nothing() {
    let mut desk = on_a_sample("");
    for keys in [
        "gs",
        "jjkvV",
        "gf",
        "s/chain{Enter}{Esc}",
        "w1-{Esc}",
        "gm",
        "W{Esc}",
        "hh",
        "gb",
        ",.",
        "gc",
        "xx",
        "?{Esc}",
    ] {
        desk.keys(keys);
        assert!(
            !desk.text().contains("Copy the sample"),
            "{keys}\n{}",
            desk.text()
        );
    }
}

#[test]
fn walking_round_a_sample_asks_nothing_though_its_clock_runs() {
    let mut desk = on_a_sample("gw");
    let later = desk
        .app
        .data
        .now
        .checked_add(jiff::Span::new().seconds(90))
        .unwrap();
    desk.shelf.borrow_mut().clock = Some(later);
    desk.send(desk.performer.standing());
    desk.keys("jkgs");
    assert!(!desk.text().contains("Copy the sample"), "{}", desk.text());
    assert_eq!(desk.shelf.borrow().saves, 0);
}

#[test]
fn a_copy_that_cannot_be_made_drops_the_change_in_words() {
    let mut desk = on_a_sample("gsnword{Enter}");
    desk.shelf.borrow_mut().fail = Some("Not copied: the disk is full.".to_owned());
    desk.keys("{Enter}");
    assert_eq!(
        desk.said(),
        "Not copied: the disk is full. The change is dropped."
    );
    assert_eq!(desk.car().notes, on("gc").car().notes);
}
