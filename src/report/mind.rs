//! What would change the mind, in words.

use super::words;
use crate::engine::Verdict;
use crate::engine::find_out::{FactSet, Mind};

/// Sentences: where the verdict stands, then a line a set, then what there is to say beside them.
#[must_use]
pub fn lines(mind: &Mind, mark: &str) -> Vec<String> {
    let now = match mind.now {
        Verdict::Buy => "buy, at the limit or under",
        Verdict::Leave => "leave it",
        Verdict::Donor => "a donor, worth more in parts",
        Verdict::Scrap => "scrap",
    };
    let mut lines = vec![format!("As it stands: {now}.")];
    if !mind.sets.is_empty() {
        let turned = if mind.to_buy { "a buy" } else { "a leave" };
        lines.push(format!(
            "Any one of these makes it {turned}, and nothing less does:"
        ));
    }
    lines.extend(mind.sets.iter().map(|set| format!("- {}", one(set, mark))));
    lines.extend((!mind.words.is_empty()).then(|| mind.words.clone()));
    lines.into_iter().map(|line| words::clean(&line)).collect()
}

fn one(set: &FactSet, mark: &str) -> String {
    let facts: Vec<String> = set
        .facts
        .iter()
        .map(|fact| format!("{}: {}", fact.name, fact.words))
        .collect();
    let what = match (set.stops, set.limit) {
        (true, _) => "it ends the deal".to_owned(),
        (false, Some(limit)) => format!("limit {} then", words::money(words::units(limit), mark)),
        (false, None) => "no limit then".to_owned(),
    };
    format!(
        "{} ({}; {what})",
        facts.join(", with "),
        words::percent(set.chance)
    )
}
