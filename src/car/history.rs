//! Undo and redo of one car file. Minimal: a step keeps the whole record as it stood before and after.

use super::file::{CarFile, Change, Step};
use super::record::CarRecord;

/// Edits the record as one step. False if the edit changed nothing; then no step is kept.
pub fn apply(
    file: &mut CarFile,
    label: &str,
    screen: &str,
    edit: impl FnOnce(&mut CarRecord),
) -> bool {
    let before = file.car.clone();
    edit(&mut file.car);
    if file.car == before {
        return false;
    }
    let change = Change {
        path: String::new(),
        before: serde_json::to_value(&before).ok(),
        after: serde_json::to_value(&file.car).ok(),
    };
    file.undo.push(Step {
        label: label.to_owned(),
        screen: screen.to_owned(),
        changes: vec![change],
    });
    file.redo.clear();
    true
}

/// Takes back the newest step and gives it; `None` if there is none.
pub fn undo(file: &mut CarFile) -> Option<Step> {
    let step = file.undo.pop()?;
    for change in step.changes.iter().rev() {
        if let Some(record) = change.before.clone().and_then(whole_record) {
            file.car = record;
        }
    }
    file.redo.push(step.clone());
    Some(step)
}

/// Does the newest undone step again and gives it; `None` if there is none.
pub fn redo(file: &mut CarFile) -> Option<Step> {
    let step = file.redo.pop()?;
    for change in &step.changes {
        if let Some(record) = change.after.clone().and_then(whole_record) {
            file.car = record;
        }
    }
    file.undo.push(step.clone());
    Some(step)
}

fn whole_record(value: serde_json::Value) -> Option<CarRecord> {
    serde_json::from_value(value).ok()
}
