//! From limit to plan and verdict: stops first, then what the draws say.

use super::amounts::said;
use super::figures::{Appraisal, LimitFigures, LimitLines, Offer, OfferKind, Standing, Verdict};
use super::offer::OfferInputs;
use super::replan::goes_over;
use super::weighing::Weighing;
use crate::car::{Money, Pin};

/// What an offer is planned from; `None` where nothing is asked.
pub(super) fn offer_inputs<'a>(
    weighing: &'a Weighing<'_>,
    limit: Money,
    floor: f64,
) -> Option<OfferInputs<'a>> {
    let car = weighing.car;
    let mut faults = weighing.diagnosis.faults.iter().zip(&weighing.jobs.needed);
    Some(OfferInputs {
        asking: car.listing.asking?,
        limit,
        floor: floor.max(0.0),
        best_alternative: 0.0,
        proven_faults: faults.any(|(fault, needed)| {
            let seen = match car.pins.get(&fault.id) {
                Some(Pin::RuledOut) => false,
                Some(Pin::Certain) => !fault.because_of.is_empty(),
                None => fault.standing == Standing::Seen,
            };
            *needed && seen
        }),
        listing: &car.listing,
        non_runner: car.particulars.non_runner,
        today: weighing.run.today,
        talks: &car.talks,
        settings: &weighing.knowledge.tables().settings.offer,
    })
}

/// No plan, and why.
pub(super) fn no_offer(words: &str) -> Offer {
    Offer {
        kind: OfferKind::Leave,
        open: None,
        steps: Vec::new(),
        settle: None,
        limit: None,
        take_it_at: None,
        chance_of_deal: None,
        midpoint: None,
        reply: None,
        cues: Vec::new(),
        doubts: Vec::new(),
        words: words.to_owned(),
        would_take: Vec::new(),
        belief: Vec::new(),
        belief_from: 0.0,
        belief_to: 0.0,
        trace_id: "offer".to_owned(),
    }
}

pub(super) fn no_limit() -> LimitFigures {
    LimitFigures {
        price: None,
        low: None,
        high: None,
        lines: LimitLines::default(),
        binds: String::new(),
        blind: None,
        if_nothing_new: None,
        withheld_because: Vec::new(),
        verdict: Verdict::Leave,
        words:
            "No limit: worth not known. Two or three cars like it, or your own low, likely, high."
                .to_owned(),
        donor_chance: 0.0,
        trace_id: "limit".to_owned(),
    }
}

/// Verdict and its words: stops first, then what the draws say.
pub(super) fn judge(out: &mut Appraisal, weighing: &Weighing<'_>) {
    let price = out.limit.price.unwrap_or_default();
    let ends_it = goes_over(out, weighing.buyer);
    let stopped = out.stops.iter().any(|stop| stop.waived.is_none());
    let (verdict, words) = if let Some(words) = ends_it.clone().filter(|_| stopped) {
        (Verdict::Leave, words)
    } else if out.limit.donor_chance > 0.5 && out.floor.scrap >= out.floor.parts {
        (Verdict::Scrap, not_worth_fixing("as scrap", price))
    } else if out.limit.donor_chance > 0.5 {
        (Verdict::Donor, not_worth_fixing("in parts", price))
    } else if let Some(words) = ends_it {
        (Verdict::Leave, words)
    } else if price <= Money::ZERO {
        (Verdict::Leave, "Not worth having at any price.".to_owned())
    } else if out.offer.kind == OfferKind::Leave && weighing.car.listing.asking.is_some() {
        (Verdict::Leave, out.offer.words.clone())
    } else {
        (Verdict::Buy, format!("Buy at {} or less.", said(price)))
    };
    out.limit.verdict = verdict;
    out.limit.words = words;
}

fn not_worth_fixing(what: &str, price: Money) -> String {
    if price > Money::ZERO {
        format!(
            "Not worth putting right at any price; {what} up to {}.",
            said(price)
        )
    } else {
        format!("Not worth putting right at any price, and {what} it does not pay its fees.")
    }
}
