//! What an appraisal stands on and had to assume.

use super::figures::{Assumption, Assumptions};
use super::weighing::Weighing;
use crate::car::SellerKind;

pub(super) fn assumptions(weighing: &Weighing<'_>) -> Assumptions {
    let tables = weighing.knowledge.tables();
    let facts = &weighing.car.particulars;
    let mut assumed: Vec<Assumption> = Vec::new();
    let mut say = |id: &str, words: String| {
        assumed.push(Assumption {
            id: id.to_owned(),
            words,
        });
    };
    for (number, note) in weighing.diagnosis.notes.iter().enumerate() {
        say(&format!("diagnosis/{number}"), note.clone());
    }
    for (number, note) in weighing.jobs.notes.iter().enumerate() {
        say(&format!("repairs/{number}"), note.clone());
    }
    if facts.size_class.is_none() {
        say(
            "size_class",
            "class of car not known: priced as mid-size".to_owned(),
        );
    }
    if facts.cylinders.is_none() {
        say("cylinders", "cylinders not known: four".to_owned());
    }
    if weighing.buyer.wallet.is_none() {
        say(
            "wallet",
            "wallet not set: no ceiling but the limit".to_owned(),
        );
    }
    if weighing.car.listing.seller_kind == SellerKind::Auction {
        say(
            "auction",
            "an auction takes no counter-offers: bid to the limit, no further".to_owned(),
        );
    }
    if weighing.columns.cut_short > 0 {
        say(
            "cover",
            format!(
                "in {} draws the cheapest set of repairs is only nearly the cheapest",
                weighing.columns.cut_short
            ),
        );
    }
    say(
        "estimates",
        "prices and hours are estimates; the maker's manual, local law and licensed people decide"
            .to_owned(),
    );
    Assumptions {
        date: weighing.run.today,
        buyer: "the built-in plain buyer".to_owned(),
        purpose: weighing.purpose.id.clone(),
        draws: weighing.run.draws,
        seed: weighing.run.seed,
        tables_as_of: tables.settings.as_of.clone(),
        assumed,
    }
}
