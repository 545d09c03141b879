//! What leaves the screens: the clipboard, a file beside the cars, the user's own editor; and a file that comes in.

use super::place::{Place, cars, ready};
use std::fs;
use std::os::unix::fs::PermissionsExt;

#[test]
fn a_copy_goes_to_the_clipboard_of_the_terminal_and_with_the_same_key_again_to_a_file() {
    let place = Place::new();
    let notebook = place.notebook();
    let mut terminal = place.open(&notebook);
    terminal.press("gm", "[Money]");
    terminal.press("c", "copied, if your terminal allows it");
    let raw = String::from_utf8_lossy(&terminal.raw()).into_owned();
    assert_eq!(
        raw.matches("\u{1b}]52;c;").count(),
        1,
        "one copy, as OSC 52"
    );
    terminal.press("c", "written to");
    let file = fs::read_dir(&notebook)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .find(|path| path.extension().is_some_and(|ending| ending == "txt"))
        .expect("a text beside the cars");
    assert!(fs::read_to_string(&file).unwrap().contains("open "));
    assert_eq!(
        fs::metadata(&file).unwrap().permissions().mode() & 0o777,
        0o600
    );
    assert!(
        !raw.contains("\u{1b}]0;") && !raw.contains("\u{1b}]2;"),
        "no window title is ever set"
    );
    terminal.press("gc", "[Cars]");
    terminal.quit();
}

#[test]
fn in_a_multiplexer_a_copy_is_a_file_at_once() {
    let place = Place::new();
    let notebook = place.notebook();
    let mut terminal = place
        .start()
        .arg(&notebook)
        .env("TMUX", "/tmp/none,1,0")
        .open();
    ready(&terminal);
    terminal.press("c", "written to");
    let raw = String::from_utf8_lossy(&terminal.raw()).into_owned();
    assert!(
        !raw.contains("\u{1b}]52;"),
        "nothing that would be dropped in silence"
    );
    terminal.quit();
}

#[test]
fn the_advert_is_edited_in_the_users_own_editor_and_the_screens_come_back() {
    let place = Place::new();
    let notebook = place.notebook();
    // An editor that reads its keys from the terminal, as a real one does: none of them is ours.
    let editor = place.path().join("editor");
    fs::write(
        &editor,
        "#!/bin/sh\necho editor is open\nread line\nprintf '%s\\n' \"$line\" >> \"$2\"\n",
    )
    .unwrap();
    fs::set_permissions(&editor, fs::Permissions::from_mode(0o755)).unwrap();
    let command = format!("{} -x", editor.display());
    let mut terminal = place.start().arg(&notebook).env("VISUAL", &command).open();
    ready(&terminal);
    terminal.press("gs", "[Story]");
    terminal.send("E");
    terminal.wait_raw("editor is open");
    terminal.send("dqx and one more line\r");
    terminal.wait_for("the advert has");
    terminal.wait_for("[Story]");
    terminal.press("gc", "[Cars]");
    terminal.quit();
    let adverts: Vec<String> = cars(&notebook)
        .into_iter()
        .map(|car| car.listing.advert)
        .collect();
    assert_eq!(
        adverts
            .iter()
            .filter(|advert| advert.ends_with("dqx and one more line"))
            .count(),
        1,
        "{adverts:?}"
    );
    assert_eq!(adverts.len(), 5, "no key of the editor removed a car");
}

#[test]
fn a_file_read_in_becomes_a_car() {
    let place = Place::new();
    let advert = place.path().join("advert.txt");
    fs::write(
        &advert,
        "2008 Pudd Newt 1.4, 121k miles.\nRuns well, $1,400.\n",
    )
    .unwrap();
    let mut terminal = place.start().open();
    terminal.wait_for("Nothing here yet.");
    terminal.press("i", "read a file in");
    terminal.press(&format!("{}\r", advert.display()), "low likely high");
    terminal.send("\u{1b}");
    terminal.wait_without("Enter keeps");
    terminal.press("gc", "1 car");
    terminal.quit();
    let cars = cars(&place.home().join("driveway"));
    assert_eq!(cars[0].particulars.model, "Newt 1.4");
    assert!(advert.exists(), "the file stays where it is");
}
