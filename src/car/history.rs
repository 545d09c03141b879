//! Undo and redo over a car file. Nothing computed is undone, because nothing computed is stored.
//!
//! A step holds the places of the record that an act changed, as JSON pointers (RFC 6901). In a list, a place
//! with nothing before it was put in there, and one with nothing after it was taken out.

use super::file::{CarFile, Change, Step};
use super::json;
use super::record::CarRecord;
use serde_json::{Map, Value};

/// Steps kept: the newest.
pub const STEPS_KEPT: usize = 200;
/// Most that the steps may weigh together, bytes, about: a car file must stay small enough to open.
pub const HISTORY_BYTES: usize = 4 << 20;

/// Does one act of the user as one step. True if it changed anything; otherwise no step is added.
///
/// What could be done again is forgotten, as the act may contradict it.
pub fn apply(
    file: &mut CarFile,
    label: &str,
    screen: &str,
    edit: impl FnOnce(&mut CarRecord),
) -> bool {
    let original = file.car.clone();
    edit(&mut file.car);
    let changes = match (json::value_of(&original), json::value_of(&file.car)) {
        (Ok(before), Ok(after)) => changes(&before, &after),
        // Not reached by any record: every field has a JSON form. Refusing the act keeps undo whole.
        _ => Vec::new(),
    };
    if changes.is_empty() {
        file.car = original;
        return false;
    }
    file.undo.push(Step {
        label: label.to_owned(),
        screen: screen.to_owned(),
        changes,
    });
    file.redo.clear();
    trim(&mut file.undo);
    true
}

/// Takes the last step back and returns it; `None` if there is none or it no longer fits the record
/// (the file was changed by hand), and then nothing is changed.
pub fn undo(file: &mut CarFile) -> Option<Step> {
    let step = file.undo.last()?.clone();
    file.car = walked(&file.car, step.changes.iter().rev().map(backwards))?;
    file.undo.pop();
    file.redo.push(step.clone());
    Some(step)
}

/// Does the last step taken back again and returns it; `None` as in [`undo`].
pub fn redo(file: &mut CarFile) -> Option<Step> {
    let step = file.redo.last()?.clone();
    file.car = walked(&file.car, step.changes.iter().map(forwards))?;
    file.redo.pop();
    file.undo.push(step.clone());
    Some(step)
}

/// Drops the oldest steps beyond [`STEPS_KEPT`] and [`HISTORY_BYTES`]; the newest always stays.
fn trim(steps: &mut Vec<Step>) {
    let mut bytes = 0;
    let kept = steps
        .iter()
        .rev()
        .take(STEPS_KEPT)
        .take_while(|step| {
            bytes += weight(step);
            bytes <= HISTORY_BYTES
        })
        .count()
        .max(1);
    steps.drain(..steps.len().saturating_sub(kept));
}

fn weight(step: &Step) -> usize {
    fn of(value: &Value) -> usize {
        8 + match value {
            Value::String(text) => text.len(),
            Value::Array(items) => items.iter().map(of).sum(),
            Value::Object(fields) => fields.iter().map(|(key, v)| key.len() + of(v)).sum(),
            _ => 8,
        }
    }
    step.label.len()
        + step
            .changes
            .iter()
            .map(|c| {
                c.path.len() + c.before.as_ref().map_or(0, of) + c.after.as_ref().map_or(0, of)
            })
            .sum::<usize>()
}

/// A null stands for nothing, as in files: an absent field and a null read the same.
fn some(value: Option<&Value>) -> Option<&Value> {
    value.filter(|v| !v.is_null())
}

/// Equal in files, to the byte: 0 and −0 differ here.
fn same(a: Option<&Value>, b: Option<&Value>) -> bool {
    match (some(a), some(b)) {
        (None, None) => true,
        (Some(Value::Number(a)), Some(Value::Number(b))) => a.to_string() == b.to_string(),
        (Some(Value::Array(a)), Some(Value::Array(b))) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(Some(a), Some(b)))
        }
        (Some(Value::Object(a)), Some(Value::Object(b))) => {
            a.keys().chain(b.keys()).all(|k| same(a.get(k), b.get(k)))
        }
        (a, b) => a == b,
    }
}

/// The places where two records differ.
fn changes(before: &Value, after: &Value) -> Vec<Change> {
    let mut found = Vec::new();
    compare(String::new(), Some(before), Some(after), &mut found);
    found
}

fn compare(path: String, before: Option<&Value>, after: Option<&Value>, found: &mut Vec<Change>) {
    match (some(before), some(after)) {
        (before, after) if same(before, after) => {}
        (Some(Value::Object(old)), Some(Value::Object(new))) => {
            compare_objects(&path, old, new, found);
        }
        (Some(Value::Array(old)), Some(Value::Array(new))) => {
            compare_lists(&path, old, new, found);
        }
        (before, after) => found.push(Change {
            path,
            before: before.cloned(),
            after: after.cloned(),
        }),
    }
}

fn compare_objects(
    path: &str,
    old: &Map<String, Value>,
    new: &Map<String, Value>,
    found: &mut Vec<Change>,
) {
    let added = new.keys().filter(|key| !old.contains_key(*key));
    for key in old.keys().chain(added) {
        let place = format!("{path}/{}", key.replace('~', "~0").replace('/', "~1"));
        compare(place, old.get(key), new.get(key), found);
    }
}

/// Items alike at both ends are left alone; between them items are compared one by one where as many stand
/// there as before, and otherwise taken out (last first) and put in.
fn compare_lists(path: &str, old: &[Value], new: &[Value], found: &mut Vec<Change>) {
    let alike = |(a, b): &(&Value, &Value)| same(Some(*a), Some(*b));
    let head = old.iter().zip(new).take_while(alike).count();
    let shorter = old.len().min(new.len()) - head;
    let tail = old
        .iter()
        .rev()
        .zip(new.iter().rev())
        .take(shorter)
        .take_while(alike)
        .count();
    let olds = old.iter().enumerate().take(old.len() - tail).skip(head);
    let news = new.iter().enumerate().take(new.len() - tail).skip(head);
    if old.len() == new.len() {
        for ((at, before), (_, after)) in olds.zip(news) {
            compare(format!("{path}/{at}"), Some(before), Some(after), found);
        }
        return;
    }
    let change = |at: usize, before: Option<&Value>, after: Option<&Value>| Change {
        path: format!("{path}/{at}"),
        before: before.cloned(),
        after: after.cloned(),
    };
    let taken_out: Vec<_> = olds.collect();
    for (at, item) in taken_out.into_iter().rev() {
        found.push(change(at, Some(item), None));
    }
    for (at, item) in news {
        found.push(change(at, None, Some(item)));
    }
}

/// One change in the direction walked: where, what must stand there now, what shall stand there.
type Move<'a> = (&'a str, Option<&'a Value>, Option<&'a Value>);

fn forwards(change: &Change) -> Move<'_> {
    (&change.path, change.before.as_ref(), change.after.as_ref())
}

fn backwards(change: &Change) -> Move<'_> {
    (&change.path, change.after.as_ref(), change.before.as_ref())
}

/// The record after all moves; `None` if one does not fit.
fn walked<'a>(record: &CarRecord, moves: impl Iterator<Item = Move<'a>>) -> Option<CarRecord> {
    let mut value = json::value_of(record).ok()?;
    for (path, from, to) in moves {
        put(&mut value, path, from, to)?;
    }
    json::of_value(&value).ok()
}

fn put(root: &mut Value, path: &str, from: Option<&Value>, to: Option<&Value>) -> Option<()> {
    let (parent, key) = path.rsplit_once('/')?;
    let key = key.replace("~1", "/").replace("~0", "~");
    match root.pointer_mut(parent)? {
        Value::Object(fields) => {
            if !same(fields.get(&key), from) {
                return None;
            }
            match to {
                Some(value) => drop(fields.insert(key, value.clone())),
                None => drop(fields.remove(&key)),
            }
        }
        Value::Array(items) => {
            let at: usize = key.parse().ok()?;
            match (from, to) {
                (None, Some(value)) if at <= items.len() => items.insert(at, value.clone()),
                (Some(_), to) if same(items.get(at), from) => match to {
                    Some(value) => *items.get_mut(at)? = value.clone(),
                    None => drop(items.remove(at)),
                },
                _ => return None,
            }
        }
        _ => return None,
    }
    Some(())
}

#[cfg(test)]
mod tests;
