//! The embedded tables: whole, linked, and of the size promised.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::mini;

use wrenchworth::trade::{CautionRow, Tables, check};

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

#[test]
fn the_tables_are_of_the_size_promised() {
    let tables = Tables::embedded().unwrap();
    for (name, rows, least) in [
        ("faults", tables.faults.len(), 170),
        ("repairs", tables.repairs.len(), 150),
        ("operations", tables.operations.len(), 110),
        ("signs", tables.signs.len(), 260),
        ("codes", tables.codes.len(), 400),
        ("tools", tables.tools.len(), 60),
        ("cautions", tables.cautions.len(), 30),
        ("sellables", tables.sellables.len(), 40),
        ("purposes", tables.purposes.len(), 6),
    ] {
        assert!(rows >= least, "{rows} {name}");
    }
    let race = tables.purpose("capped-race").unwrap();
    assert!(race.fit_out.len() >= 12, "{}", race.fit_out.len());
    // Thirty cautions go by what an office or a law says.
    let official = |row: &&CautionRow| !row.source.contains("memory");
    assert!(tables.cautions.iter().filter(official).count() >= 30);
    // Every group that a sign stops for is one that some purpose heeds.
    for stop in tables.signs.iter().filter_map(|row| row.stop.as_ref()) {
        assert!(
            tables
                .purposes
                .iter()
                .any(|purpose| purpose.stops.contains(&stop.group)),
            "{}",
            stop.group
        );
    }
}
