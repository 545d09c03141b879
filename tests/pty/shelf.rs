//! Notebooks in trouble: open twice, with a file that cannot be read.

use super::place::{Place, cars, ready};
use std::fs;

#[test]
fn a_second_opening_is_to_look_at_and_says_since_when() {
    let place = Place::new();
    let notebook = place.notebook();
    let mut first = place.open(&notebook);
    let mut second = place.open(&notebook);
    second.wait_for("Open in another window since 20");
    // No form opens for a note: it would swallow the keys after it.
    second.press("gs", "[Story]");
    second.send("n");
    second.press("gc", "[Cars]");
    second.quit();
    first.press("gs", "[Story]");
    first.press("n", "Enter");
    first.send("from the first\r");
    first.wait_without("Esc leaves");
    first.press("gc", "[Cars]");
    first.quit();
    let notes: Vec<String> = cars(&notebook)
        .into_iter()
        .flat_map(|car| car.notes)
        .collect();
    assert!(notes.contains(&"from the first".to_owned()), "{notes:?}");
    let third = place.open(&notebook);
    assert!(
        !third.picture().contains("since 20"),
        "the lock is free again"
    );
}

#[test]
fn a_broken_file_leaves_the_others_open_and_is_left_as_it_is() {
    let place = Place::new();
    let notebook = place.notebook();
    let broken = notebook.join("marl.car.json");
    let bytes = b"{\n  \"schema\": 1,\n  \"car\": {\"name\": \"Marl\", \"particulars\": {\"odometer_miles\": \"17l,000\"}}\n}\n";
    fs::write(&broken, bytes).unwrap();
    let mut terminal = place.start().arg(&notebook).open();
    let picture = ready(&terminal);
    for car in ["Dabchick", "Lamprey", "Oriole", "marl"] {
        assert!(picture.contains(car), "{car}:\n{picture}");
    }
    terminal.press(">", "odometer_miles");
    terminal.send("<");
    ready(&terminal);
    terminal.quit();
    assert_eq!(fs::read(&broken).unwrap(), bytes);
}

#[test]
fn a_file_with_numbers_that_no_car_has_is_listed_as_broken_and_left_as_it_is() {
    let place = Place::new();
    let notebook = place.notebook();
    let car = |name: &str, inner: &str| {
        let text = format!("{{\"schema\": 1, \"car\": {{\"name\": \"{name}\", {inner}}}}}");
        let path = notebook.join(format!("{name}.car.json"));
        fs::write(&path, &text).unwrap();
        (path, text)
    };
    let files = [
        car("marl", r#""particulars": {"odometer_miles": -5}"#),
        car("newt", r#""listing": {"asking": "$1,850"}"#),
        car("teasel", r#""particulars": {"vin": "OZZDAB1819X146200"}"#),
    ];
    let buyer = notebook.join("buyer.json");
    let odd = r#"{"schema": 1, "hours_a_week": 200}"#;
    fs::write(&buyer, odd).unwrap();
    let mut terminal = place.start().arg(&notebook).size(40, 18).open();
    terminal.wait_for("buyer.json: hours a week: 200 h is");
    for (down, whole) in [
        ("marl", "correct it there"),
        ("newt", "digits"),
        ("teasel", "likely 0"),
    ] {
        // The broken ones stand at the foot; their sentence is read whole with Enter.
        terminal.press(&format!("/{down}\r"), &format!("narrowed to “{down}”"));
        let row = terminal.picture();
        assert!(row.contains(down), "{row}");
        terminal.press("\r", whole);
        terminal.wait_for("The file");
        terminal.send("\u{1b}");
        terminal.wait_without("narrowed to");
    }
    terminal.send("<");
    ready(&terminal);
    // The others are open all the same.
    terminal.press("/dabchick\r", "Dabchick");
    terminal.press("gm", "[Money]");
    terminal.press("gc", "[Cars]");
    terminal.quit();
    for (path, text) in files {
        assert_eq!(fs::read_to_string(path).unwrap(), text);
    }
    assert_eq!(fs::read_to_string(buyer).unwrap(), odd);
}
