//! `tables check [DIR]`.

use super::args::Global;
use super::failure::Failure;
use super::places::{overlays_in, style_of, table_failure, tables_in_force};
use super::weigh::write_json;
use crate::report::{self, words};
use crate::trade::derive::links;
use crate::trade::{EMBEDDED, Tables, check};
use serde_json::json;
use std::io::Write;
use std::path::Path;

/// Checks the tables, with the overlays of a folder over them.
///
/// # Errors
/// [`Failure::Data`] where anything is wrong; each place is told on standard output.
pub fn check_tables(
    dir: Option<&Path>,
    derived: bool,
    global: &Global,
    out: &mut impl Write,
) -> Result<(), Failure> {
    let tables = match dir {
        Some(dir) => {
            let overlays = overlays_in(dir, true)?;
            Tables::from_texts(&EMBEDDED, &overlays).map_err(|error| table_failure(&error))?
        }
        None => tables_in_force(global)?,
    };
    let problems = check(&tables);
    let counts = [
        ("faults", tables.faults.len()),
        ("repairs", tables.repairs.len()),
        ("operations", tables.operations.len()),
        ("signs", tables.signs.len()),
        ("codes", tables.codes.len()),
        ("tools", tables.tools.len()),
        ("cautions", tables.cautions.len()),
        ("sellables", tables.sellables.len()),
        ("purposes", tables.purposes.len()),
        ("weak spots", tables.weak_spots.len()),
    ];
    if global.json {
        let told: Vec<_> = problems
            .iter()
            .map(|problem| json!({ "table": problem.table, "row": problem.row, "what": problem.what }))
            .collect();
        let rows: serde_json::Map<_, _> = counts
            .iter()
            .map(|(table, rows)| ((*table).to_owned(), json!(rows)))
            .collect();
        let mut answer = json!({ "schema": 1, "rows": rows, "problems": told });
        if derived && problems.is_empty() {
            answer["derived"] = report::json::derived(&tables, &links(&tables));
        }
        write_json(out, &answer)?;
    } else {
        for problem in &problems {
            writeln!(out, "{}", words::clean(&problem.to_string()))?;
        }
        if problems.is_empty() {
            let told: Vec<String> = counts
                .iter()
                .map(|(table, rows)| format!("{rows} {table}"))
                .collect();
            writeln!(out, "The tables hold together: {}.", words::list(&told))?;
            if derived {
                let text = report::text::derived(&tables, &links(&tables), style_of(global));
                out.write_all(text.as_bytes())?;
            }
        }
    }
    if problems.is_empty() {
        return Ok(());
    }
    Err(Failure::Data(format!(
        "{} wrong with the tables. Mend each place named, and check again.",
        words::count(problems.len(), "thing is", "things are")
    )))
}
