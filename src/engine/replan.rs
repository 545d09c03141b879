//! The plan of offers anew after a figure of the talks, from figures already reckoned: nothing that was said changes what the car is worth.

use super::amounts::with_commas;
use super::figures::{Appraisal, FaultFigure, Offer, OfferKind, Reply, ReplyKind, Standing};
use super::offer::{OfferInputs, plan};
use super::reply::lower;
use super::talk_log::doubts;
use super::verdict::no_offer;
use crate::car::{Buyer, CarRecord};
use crate::trade::Tables;
use jiff::civil::Date;

/// The plan as a whole weighing would make it, where only the talks have changed since `out` was weighed.
#[must_use]
pub fn replan(
    out: &Appraisal,
    car: &CarRecord,
    buyer: &Buyer,
    tables: &Tables,
    today: Date,
) -> Offer {
    let Some(limit) = out.limit.price else {
        let words = if out.worth.is_none() {
            "No offer: worth not known."
        } else {
            "No offer: no limit."
        };
        return with_doubts(no_offer(words), out, car, today);
    };
    let Some(asking) = car.listing.asking else {
        let none = no_offer("No plan: what they ask is not known. Story holds it.");
        return with_doubts(none, out, car, today);
    };
    // Held certain without a sign is the user's own word: nobody can be shown it.
    let proven = |fault: &FaultFigure| {
        let shown = !car.pins.contains_key(&fault.id) || !fault.because_of.is_empty();
        fault.needed && fault.standing == Standing::Seen && shown
    };
    let offer = plan(&OfferInputs {
        asking,
        limit,
        floor: out.floor.best.max(0.0),
        best_alternative: 0.0,
        proven_faults: out.faults.iter().any(proven),
        listing: &car.listing,
        non_runner: car.particulars.non_runner,
        today,
        talks: &car.talks,
        settings: &tables.settings.offer,
    });
    with_doubts(over(offer, out, buyer), out, car, today)
}

fn with_doubts(offer: Offer, out: &Appraisal, car: &CarRecord, today: Date) -> Offer {
    Offer {
        doubts: doubts(car, out.limit.price, today),
        ..offer
    }
}

/// An open stop, or more hours than the buyer will give, goes over any plan.
pub(super) fn over(offer: Offer, out: &Appraisal, buyer: &Buyer) -> Offer {
    let Some(words) = goes_over(out, buyer) else {
        return offer;
    };
    let reply = offer.reply.as_ref().map(|reply| Reply {
        what: ReplyKind::Leave,
        say: None,
        because: lower(&words),
        ..reply.clone()
    });
    Offer {
        kind: OfferKind::Leave,
        reply,
        words,
        ..offer
    }
}

/// What ends the deal whatever the figures: the first stop that is not waived, else the hours.
pub(super) fn goes_over(out: &Appraisal, buyer: &Buyer) -> Option<String> {
    if let Some(stop) = out.stops.iter().find(|stop| stop.waived.is_none()) {
        return Some(format!("Stop: {}", stop.sentence));
    }
    let hours = out.repair.hours.p50;
    let donor = out.limit.donor_chance > 0.5;
    let most = buyer.most_hours.filter(|most| hours > *most && !donor)?;
    Some(format!(
        "It takes about {} hours; you have said {} at most.",
        with_commas(hours),
        with_commas(most)
    ))
}
