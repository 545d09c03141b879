//! The embedded tables: whole, linked, and of the size promised.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use wrenchworth::trade::{Tables, check};

#[test]
fn the_embedded_tables_have_nothing_wrong_with_them() {
    let tables = Tables::embedded().unwrap();
    let problems: Vec<String> = check(&tables).iter().map(ToString::to_string).collect();
    assert!(
        problems.is_empty(),
        "{} problems\n{}",
        problems.len(),
        problems.join("\n")
    );
}
