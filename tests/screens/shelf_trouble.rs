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
