//! Ways to leave: the key, signals, a closed window, a stop and a going on. The terminal is always given back.

use super::place::{Place, cars, ready, samples};
use super::terminal::{Start, Terminal, last};
use std::fs;
use std::process::{Command, Stdio};

#[test]
fn the_sample_cars_open_and_q_gives_the_terminal_back() {
    let place = Place::new();
    let mut terminal = place.open(&samples());
    let picture = terminal.picture();
    for car in ["Dabchick", "Lamprey", "Oriole"] {
        assert!(picture.contains(car), "{picture}");
    }
    assert!(terminal.screen(|screen| screen.alternate_screen() && screen.bracketed_paste()));
    terminal.quit();
    terminal.assert_line_as_before();
    let raw = terminal.raw();
    let left = last(&raw, b"\x1b[?1049l").unwrap();
    assert_eq!(
        &raw[left..],
        b"\x1b[?1049l\x1b[?25h",
        "nothing is said after leaving"
    );
    assert!(last(&raw, b"\x1b[?1000h").is_some(), "taps are asked for");
}

#[test]
fn no_mouse_leaves_the_mouse_to_the_terminal() {
    let place = Place::new();
    let mut terminal = place.start().arg("--no-mouse").arg(samples()).open();
    ready(&terminal);
    assert_eq!(last(&terminal.raw(), b"\x1b[?1000h"), None);
    terminal.quit();
}

/// Types a note and gets it into sight, not waiting until it is saved.
fn note(terminal: &mut Terminal, words: &str) {
    terminal.press("gs", "[Story]");
    terminal.press("n", "Enter");
    terminal.press(words, words);
    terminal.send("\r");
    terminal.wait_until("the form gone", |picture| !picture.contains("Esc leaves"));
}

#[test]
fn a_signal_saves_the_last_edit_gives_the_terminal_back_and_is_told_in_the_exit_code() {
    let place = Place::new();
    let notebook = place.notebook();
    // Numbers as in POSIX: hang-up 1, interrupt 2, terminate 15.
    for (name, number) in [("HUP", 1), ("INT", 2), ("TERM", 15)] {
        let mut terminal = place.open(&notebook);
        let words = format!("left by {name}");
        note(&mut terminal, &words);
        terminal.signal(name);
        assert_eq!(terminal.wait_for_end(), 128 + number, "{name}");
        terminal.assert_given_back();
        terminal.assert_line_as_before();
        let kept = cars(&notebook).iter().any(|car| car.notes.contains(&words));
        assert!(kept, "{words} is in no file");
    }
}

#[test]
fn ctrl_c_leaves_from_the_middle_of_a_form() {
    let place = Place::new();
    let mut terminal = place.open(&samples());
    terminal.press("a", "new car");
    terminal.press("Half a", "Half a");
    terminal.send("\u{3}");
    assert_eq!(terminal.wait_for_end(), 0);
    terminal.assert_given_back();
    terminal.assert_line_as_before();
}

#[test]
fn a_closed_terminal_ends_the_program_with_the_last_edit_saved() {
    let place = Place::new();
    let notebook = place.notebook();
    let mut terminal = place.open(&notebook);
    note(&mut terminal, "the window was closed");
    assert_eq!(terminal.close("\u{c}"), 129);
    let words = "the window was closed".to_owned();
    assert!(cars(&notebook).iter().any(|car| car.notes.contains(&words)));
}

#[test]
fn a_closed_terminal_ends_the_program_without_a_hang_up_too() {
    let place = Place::new();
    let told = place.path().join("code");
    // The kernel tells the shell alone, and the shell does not pass it on: the program has to notice by itself.
    let script = format!(
        "trap '' HUP; '{}' --home '{}' --draws 400 '{}'; echo $? > '{}'",
        env!("CARGO_BIN_EXE_wrenchworth"),
        place.home().display(),
        place.notebook().display(),
        told.display()
    );
    let mut terminal = Start::program("/bin/bash", place.path())
        .arg("-c")
        .arg(script)
        .open();
    ready(&terminal);
    terminal.close("\u{c}");
    assert_eq!(fs::read_to_string(told).unwrap().trim(), "129");
}

/// Waits until the shell reads: what is typed sooner may be lost when it takes the line back.
fn prompt(shell: &Terminal) {
    shell.wait_until("the prompt", |picture| {
        picture.trim_end().lines().last() == Some("ask>")
    });
}

/// A shell with job control: a stop is ignored where no shell could wake the program again.
fn shell_in(place: &Place) -> Terminal {
    Start::program("/bin/bash", place.path())
        .arg("--norc")
        .arg("--noprofile")
        .arg("--noediting")
        .arg("-i")
        .env("PS1", "ask> ")
        .env("PROGRAM", env!("CARGO_BIN_EXE_wrenchworth"))
        .env("SAMPLES", &samples().to_string_lossy())
        .open()
}

#[test]
fn ctrl_z_stops_the_script_that_started_it_too() {
    let place = Place::new();
    let mut shell = shell_in(&place);
    prompt(&shell);
    shell.send("sh -c '\"$PROGRAM\" --home kept --draws 400 \"$SAMPLES\"; echo af\"\"ter'\r");
    ready(&shell);
    shell.press("\u{1a}", "Stopped");
    prompt(&shell);
    shell.send("fg\r");
    ready(&shell);
    shell.press("q", "\nafter");
    prompt(&shell);
    shell.send("exit\r");
    assert_eq!(shell.wait_for_end(), 0);
}

#[test]
fn ctrl_z_gives_the_terminal_to_the_shell_and_fg_draws_again() {
    let place = Place::new();
    let mut shell = shell_in(&place);
    prompt(&shell);
    shell.send("\"$PROGRAM\" --home kept --draws 400 \"$SAMPLES\"\r");
    ready(&shell);
    for stop in ["\u{1a}", ""] {
        if stop.is_empty() {
            shell.signal("TSTP");
        } else {
            shell.send(stop);
        }
        shell.wait_for("Stopped");
        prompt(&shell);
        shell.assert_given_back();
        shell.press(
            "stty -a | tr ';' '\\n' | grep -w -o -e '-*icanon'\r",
            "\nicanon",
        );
        prompt(&shell);
        shell.press("clear; echo AL\"\"IVE\r", "ALIVE");
        prompt(&shell);
        shell.send("fg\r");
        ready(&shell);
        assert!(shell.screen(|screen| screen.alternate_screen() && screen.bracketed_paste()));
        shell.press("gm", "[Money]");
        shell.press("gc", "[Cars]");
    }
    shell.send("q");
    prompt(&shell);
    shell.press("echo CODE=$?\r", "CODE=0");
    shell.assert_given_back();
    shell.send("exit\r");
    assert_eq!(shell.wait_for_end(), 0);
}

#[test]
fn without_a_shell_above_it_ctrl_z_does_not_stop_for_ever() {
    // A window of its own, with nobody in it to say fg: POSIX has a stop ignored in such an orphaned group.
    let place = Place::new();
    let mut terminal = place.open(&samples());
    terminal.press("\u{1a}", "no shell");
    terminal.press("gm", "[Money]");
    terminal.signal("TSTP");
    terminal.press("gc", "[Cars]");
    terminal.quit();
}

#[test]
fn without_a_terminal_it_says_one_sentence_and_leaves() {
    let place = Place::new();
    let told = Command::new(env!("CARGO_BIN_EXE_wrenchworth"))
        .arg("--home")
        .arg(place.home())
        .arg(samples())
        .env("HOME", place.path())
        .stdin(Stdio::null())
        .output()
        .unwrap();
    assert_eq!(told.status.code(), Some(1));
    assert!(told.stdout.is_empty());
    let said = String::from_utf8(told.stderr).unwrap();
    assert_eq!(
        said.trim_end().lines().count(),
        1,
        "one line, no picture: {said}"
    );
    assert!(
        said.contains("need a terminal") && !said.contains('\u{1b}'),
        "{said}"
    );
}
