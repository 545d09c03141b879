//! Fields of a file that this version does not know, wherever they stand, kept from reading to writing.
//!
//! The record itself keeps those at its top; this keeps those inside claims, observations, wishes and the like,
//! so that a file touched by a newer version of the same format loses nothing here.

use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// What a file held beyond what was understood.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Kept(Option<Node>);

#[derive(Debug, Clone, PartialEq)]
enum Node {
    Fields {
        lost: Map<String, Value>,
        inner: BTreeMap<String, Node>,
    },
    Items {
        length: usize,
        items: Vec<Item>,
    },
}

#[derive(Debug, Clone, PartialEq)]
struct Item {
    at: usize,
    /// The item as understood, to find it again.
    known: Value,
    node: Node,
}

/// Fields by which an item of a list is known when its place or other fields have changed.
const IDENTITIES: [&str; 5] = ["id", "sign", "text", "name", "label"];

impl Kept {
    /// What `raw` holds and `understood` (the same, read and written again) does not.
    #[must_use]
    pub fn between(raw: &Value, understood: &Value) -> Self {
        Self(difference(raw, understood))
    }

    /// True if everything was understood.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_none()
    }

    /// Puts the fields back where they were. Those of an item that is gone are gone with it.
    pub fn put_back(&self, into: &mut Value) {
        if let Some(node) = &self.0 {
            restore(node, into);
        }
    }
}

fn difference(raw: &Value, understood: &Value) -> Option<Node> {
    match (raw, understood) {
        (Value::Object(raw), Value::Object(understood)) => {
            let mut lost = Map::new();
            let mut inner = BTreeMap::new();
            for (key, value) in raw {
                match understood.get(key) {
                    None => drop(lost.insert(key.clone(), value.clone())),
                    Some(known) => {
                        if let Some(node) = difference(value, known) {
                            inner.insert(key.clone(), node);
                        }
                    }
                }
            }
            let something = !(lost.is_empty() && inner.is_empty());
            something.then_some(Node::Fields { lost, inner })
        }
        (Value::Array(raw), Value::Array(understood)) if raw.len() == understood.len() => {
            let items: Vec<Item> = raw
                .iter()
                .zip(understood)
                .enumerate()
                .filter_map(|(at, (raw, known))| {
                    let node = difference(raw, known)?;
                    let known = known.clone();
                    Some(Item { at, known, node })
                })
                .collect();
            let length = raw.len();
            (!items.is_empty()).then_some(Node::Items { length, items })
        }
        _ => None,
    }
}

fn restore(node: &Node, into: &mut Value) {
    match (node, into) {
        (Node::Fields { lost, inner }, Value::Object(fields)) => {
            for (key, value) in lost {
                fields.entry(key.clone()).or_insert_with(|| value.clone());
            }
            for (key, node) in inner {
                if let Some(field) = fields.get_mut(key) {
                    restore(node, field);
                }
            }
        }
        (Node::Items { length, items }, Value::Array(now)) => {
            // All are found before any is filled, so that one filled is not mistaken for another.
            let places: Vec<Option<usize>> =
                items.iter().map(|item| find(item, *length, now)).collect();
            for (item, place) in items.iter().zip(places) {
                if let Some(value) = place.and_then(|at| now.get_mut(at)) {
                    restore(&item.node, value);
                }
            }
        }
        _ => {}
    }
}

/// Where an item of the file stands now.
fn find(item: &Item, length: usize, now: &[Value]) -> Option<usize> {
    let whole = |value: &Value| *value == item.known;
    let named = |value: &Value| {
        IDENTITIES
            .iter()
            .find_map(|key| item.known.get(key).map(|id| (key, id)))
            .is_some_and(|(key, id)| value.get(key) == Some(id))
    };
    let here = now.get(item.at);
    if here.is_some_and(whole) {
        return Some(item.at);
    }
    if let Some(at) = now.iter().position(whole) {
        return Some(at);
    }
    if here.is_some_and(named) {
        return Some(item.at);
    }
    now.iter()
        .position(named)
        .or_else(|| (now.len() == length).then_some(item.at))
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn fields_stay_with_their_item_when_it_moves_or_changes() {
        let raw = json!({"list": [{"id": "a", "n": 1, "x": [1, 2]}, {"id": "b", "n": 2, "y": {}}]});
        let known = json!({"list": [{"id": "a", "n": 1}, {"id": "b", "n": 2}]});
        let kept = Kept::between(&raw, &known);
        let mut moved =
            json!({"list": [{"id": "c", "n": 0}, {"id": "b", "n": 5}, {"id": "a", "n": 1}]});
        kept.put_back(&mut moved);
        assert_eq!(
            moved,
            json!({"list": [{"id": "c", "n": 0}, {"id": "b", "n": 5, "y": {}}, {"id": "a", "n": 1, "x": [1, 2]}]})
        );
        let mut gone = json!({"list": [{"id": "b", "n": 2}]});
        kept.put_back(&mut gone);
        assert_eq!(gone, json!({"list": [{"id": "b", "n": 2, "y": {}}]}));
    }

    #[test]
    fn a_file_fully_understood_keeps_nothing_aside() {
        let value = json!({"a": [1, {"b": null}]});
        assert!(Kept::between(&value, &value).is_empty());
    }
}
