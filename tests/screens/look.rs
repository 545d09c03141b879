//! Prints what keys lead to: KEYS, SIZE, EMPTY from the environment; a help while drawing screens.

use super::common::Desk;
#[test]
fn look() {
    let keys = std::env::var("KEYS").unwrap_or_default();
    let size = std::env::var("SIZE").unwrap_or_else(|_| "80x24".into());
    let (c, r) = size.split_once('x').unwrap();
    let mut desk = if std::env::var("EMPTY").is_ok() {
        Desk::empty()
    } else {
        Desk::driveway()
    };
    desk.size(c.parse().unwrap(), r.parse().unwrap());
    for part in keys.split("|") {
        desk.keys(part);
        println!("=== {part}  [{}]", desk.said());
        println!("{}", desk.text());
    }
}
