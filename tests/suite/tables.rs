//! The embedded tables: whole, linked, and of the size promised.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::mini;

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

#[test]
fn the_mini_tables_of_the_tests_have_nothing_wrong_with_them() {
    let tables = mini::tables();
    let problems: Vec<String> = check(&tables).iter().map(ToString::to_string).collect();
    assert!(problems.is_empty(), "{}", problems.join("\n"));
    assert_eq!((tables.faults.len(), tables.repairs.len()), (8, 9));
    assert_eq!((tables.signs.len(), tables.purposes.len()), (10, 2));
}
