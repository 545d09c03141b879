//! Keys of a buyer at a driveway, from the key to the picture and the file.

use super::place::{Place, car_files, cars, limit, read_json, ready, samples, settled};
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use wrenchworth::car::{Money, Pin, Who};
use wrenchworth::store::load_car;

fn only_car(notebook: &Path) -> PathBuf {
    let mut files = car_files(notebook);
    assert_eq!(files.len(), 1);
    files.remove(0)
}

#[test]
fn the_first_car_is_typed_in_saved_for_the_user_alone_and_there_again() {
    let place = Place::new();
    let mut terminal = place.start().open();
    terminal.wait_for("Nothing here yet. Start anywhere:");
    terminal.press("2", "such as Zorrel");
    terminal.press("Zorrel\r", "such as Dabchick 1.8 2009");
    terminal.press("Dabchick 1.8 2009\r", "146k, or 235000km");
    terminal.press("146k\r", "empty if not known");
    terminal.press("1850\r", "low likely high");
    terminal.send("2750 3250 3650\r");
    let picture = terminal.wait_until("a limit", |picture| limit(picture).is_some());
    assert!(picture.contains("Dabchick 1.8 2009"), "{picture}");
    terminal.wait_until("it saved", |picture| {
        settled(picture) && picture.contains("saved")
    });
    terminal.press("gc", "[Cars]");
    let before = limit(&ready(&terminal)).unwrap();
    terminal.quit();

    let file = only_car(&place.home().join("driveway"));
    let car = load_car(&file).unwrap().car;
    assert_eq!(car.particulars.odometer_miles, Some(146_000.0));
    assert_eq!(car.listing.asking, Some(Money::whole(1850)));
    assert!(read_json(&file).is_object());
    let mode = fs::metadata(&file).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o600);

    let again = place.start().open();
    assert_eq!(limit(&ready(&again)).unwrap(), before);
    assert!(again.picture().contains("driveway, 1 car"));
}

#[test]
fn a_pasted_advert_becomes_a_car_and_runs_no_command() {
    let place = Place::new();
    let mut terminal = place.start().open();
    terminal.wait_for("Nothing here yet.");
    terminal.paste("2008 Pudd Newt 1.4, 121k miles.\nRuns well, $1,400.\nq\nd\n:quit\n\u{3}\u{1b}[2J\u{1b}]52;c;aGk=\u{7}\nh\n");
    terminal.wait_for("Nothing in it is run.");
    terminal.press("\r", "low likely high");
    terminal.send("2800 3250 3700\r");
    let picture = terminal.wait_until("a limit", |picture| {
        limit(picture).is_some() && settled(picture)
    });
    assert!(picture.contains("Newt"), "{picture}");
    terminal.press("gc", "[Cars]");
    terminal.quit();
    let car = load_car(&only_car(&place.home().join("driveway")))
        .unwrap()
        .car;
    assert_eq!(car.listing.asking, Some(Money::whole(1400)));
    assert_eq!(car.particulars.odometer_miles, Some(121_000.0));
    assert!(car.listing.advert.contains(":quit"));
    assert!(!car.listing.advert.contains('\u{1b}'));
}

#[test]
fn a_code_moves_the_limit_and_is_taken_back_and_done_again() {
    let place = Place::new();
    let notebook = place.notebook();
    let mut terminal = place.open(&notebook);
    terminal.press("gf", "[Faults]");
    let before = limit(&terminal.picture()).unwrap();
    terminal.press("a", "add a sign to");
    terminal.press("p0171", "P0171: too lean");
    terminal.press("\r", "a digit answers");
    terminal.send("3");
    let moved = terminal.wait_until("the move of the limit", |picture| {
        picture.contains(&format!("limit {before} →"))
    });
    let after = moved.split("→ ").nth(1).unwrap();
    let after = after.split(' ').next().unwrap().to_owned();
    assert_ne!(after, before);
    let is = |wanted: String| {
        move |picture: &str| settled(picture) && limit(picture).as_ref() == Some(&wanted)
    };
    terminal.send("j");
    terminal.wait_until("the new limit", is(after.clone()));
    terminal.press("u", "undone: P0171: too lean");
    terminal.wait_for(&format!("→ {before} "));
    terminal.send("j");
    terminal.wait_until("the old limit", is(before));
    terminal.press("U", &format!("→ {after} "));
    terminal.send("k");
    terminal.wait_until("the new limit again", is(after));
    terminal.press("gc", "[Cars]");
    terminal.quit();
    let cars = cars(&notebook);
    let signs = cars.iter().flat_map(|car| &car.observations);
    assert_eq!(signs.filter(|seen| seen.sign == "p0171").count(), 1);
}

#[test]
fn a_fault_is_pinned_and_its_why_opens_and_closes() {
    let place = Place::new();
    let notebook = place.notebook();
    let mut terminal = place.open(&notebook);
    terminal.press("gf", "[Faults]");
    let row = |picture: &str| {
        let row = picture.lines().find(|line| line.starts_with('▸'));
        row.unwrap_or_default().to_owned()
    };
    let first: String = row(&terminal.picture());
    let name: String = first.chars().skip(2).take(12).collect();
    terminal.send("2");
    terminal.wait_until("it certain", |picture| {
        settled(picture)
            && picture
                .lines()
                .any(|line| line.contains(&name) && line.contains("sure"))
    });
    terminal.press("w", "why?");
    terminal.send("\u{1b}");
    terminal.wait_without("why?");
    terminal.press("u", "undone:");
    terminal.wait_until("it settled", settled);
    terminal.send("3");
    terminal.wait_until("it ruled out", |picture| {
        picture.contains("saved") || picture.contains("→")
    });
    terminal.press("gc", "[Cars]");
    terminal.quit();
    let pins: Vec<Pin> = cars(&notebook)
        .into_iter()
        .flat_map(|car| car.pins.into_values())
        .collect();
    assert_eq!(pins, [Pin::RuledOut]);
}

#[test]
fn an_offer_over_the_limit_is_refused_and_talks_are_logged() {
    let place = Place::new();
    let notebook = place.notebook();
    let mut terminal = place.open(&notebook);
    terminal.press("gm", "[Money]");
    terminal.press("a", "offer or answer");
    terminal.press("119999\r", "is over your limit of");
    assert!(terminal.picture().contains("not for talk"));
    // What was typed stays, to be put right: 900 for 19999.
    terminal.send("\u{7f}\u{7f}\u{7f}\u{7f}\u{7f}900\r");
    terminal.wait_without("offer or answer");
    terminal.press("a", "offer or answer");
    terminal.send("21700\r");
    terminal.wait_without("offer or answer");
    terminal.press("gc", "[Cars]");
    terminal.quit();
    let talks: Vec<(Who, Option<Money>)> = cars(&notebook)
        .into_iter()
        .flat_map(|car| car.talks)
        .map(|said| (said.who, said.amount))
        .collect();
    assert_eq!(
        talks,
        [
            (Who::You, Some(Money::whole(900))),
            (Who::They, Some(Money::whole(1700)))
        ]
    );
}

#[test]
fn the_first_change_of_a_sample_is_in_a_copy_of_the_users_own_and_the_sample_is_not_touched() {
    let place = Place::new();
    let before = contents(&samples());
    let mut terminal = place.open(&samples());
    terminal.press("gs", "[Story]");
    terminal.press("n", "Enter");
    terminal.press("not wanted\r", "Copy the sample to");
    terminal.press("\u{1b}", "dropped: a sample stays as it is");
    assert!(!place.home().join("driveway").exists());
    terminal.press("n", "Enter");
    terminal.press("wanted\r", "Copy the sample to");
    terminal.press("\r", "your copy, with the change in it");
    terminal.press("gc", "driveway, 5 cars");
    terminal.wait_for("─ saved");
    terminal.quit();
    assert_eq!(contents(&samples()), before);
    let notes: Vec<String> = cars(&place.home().join("driveway"))
        .into_iter()
        .flat_map(|car| car.notes)
        .filter(|note| note.contains("wanted"))
        .collect();
    assert_eq!(notes, ["wanted"]);

    // The user's own notebook holds cars now: a second copy goes beside it.
    let mut again = place.open(&samples());
    again.press("gs", "[Story]");
    again.press("n", "Enter");
    again.press("second\r", "kept/sample-listings");
    again.press("\r", "your copy, with the change in it");
    again.press("gc", "5 cars");
    again.quit();
    assert_eq!(cars(&place.home().join("sample-listings")).len(), 5);
}

fn contents(folder: &Path) -> Vec<Vec<u8>> {
    let files = car_files(folder);
    files.iter().map(|path| fs::read(path).unwrap()).collect()
}

#[test]
fn the_day_named_is_the_day_of_the_screens() {
    let place = Place::new();
    // On sale since 2026-10-19: 12 days of October, 30 of November and one of December.
    let start = place.start_on("2026-12-01").size(160, 50);
    let mut terminal = start.arg(samples()).open();
    ready(&terminal);
    terminal.press("gs", "[Story]");
    terminal.wait_for("43 days");
}

#[test]
fn saved_is_said_without_another_key() {
    let place = Place::new();
    let mut terminal = place.open(&place.notebook());
    terminal.press("gs", "[Story]");
    terminal.press("n", "Enter");
    terminal.send("one\r");
    terminal.wait_without("Esc leaves");
    terminal.wait_for("─ saved");
}
