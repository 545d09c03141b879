//! What to answer to a figure of theirs: take it, say a figure of one's own, or leave; each with its because.

use super::amounts::{dollars, money, said};
use super::figures::{Offer, Reply, ReplyKind};
use super::offer::OfferInputs;
use super::seller::Talks;
use crate::car::Money;

/// The answer to the figure that stands: what they ask, or the last one they named. Take it up to the plan's threshold; else the next
/// figure of the plan; else leave. No figure said is over the limit.
pub(super) fn reply(inputs: &OfferInputs<'_>, talks: &Talks, offer: &Offer) -> Reply {
    let (theirs, limit) = (money(talks.theirs), inputs.limit);
    let make = |what: ReplyKind, say: Option<Money>, because: String| Reply {
        theirs,
        what,
        say,
        because,
    };
    let over = |figure: Money| {
        format!(
            "{} is {} over your limit of {}",
            said(figure),
            said(figure - limit),
            said(limit)
        )
    };
    if let Some(agreed) = talks.agreed {
        return if agreed.price > limit {
            make(
                ReplyKind::Leave,
                None,
                format!(
                    "{}: what was found since speaks louder than the yes.",
                    over(agreed.price)
                ),
            )
        } else {
            make(
                ReplyKind::Take,
                None,
                format!("it is agreed at {}: put it in writing.", said(agreed.price)),
            )
        };
    }
    let Some(take_it_at) = offer.take_it_at else {
        let words = offer.words.trim_end_matches('.');
        return make(ReplyKind::Leave, None, format!("{}.", lower(words)));
    };
    if theirs <= take_it_at {
        let because = format!(
            "it is {} under your limit, and going on would gain no more than {} on average.",
            said(limit - theirs),
            said(limit - take_it_at)
        );
        return make(ReplyKind::Take, None, because);
    }
    let next = offer
        .open
        .filter(|next| talks.mine.is_none_or(|mine| dollars(*next) > mine));
    let Some(next) = next.filter(|next| *next <= limit) else {
        let because = if theirs > limit {
            format!(
                "{}, and your last figure says it all. Let it stand, with a date.",
                over(theirs)
            )
        } else {
            format!(
                "your last figure says it all. Let it stand, with a date; {} is within your limit if nothing better comes.",
                said(theirs)
            )
        };
        return make(ReplyKind::Leave, None, because);
    };
    let chance = (offer.would_take.iter()).find(|(figure, _)| *figure == next);
    let chance = chance.map_or_else(String::new, |(_, chance)| {
        format!("; {:.0} in 100 would take {}", 100.0 * chance, said(next))
    });
    let because = if theirs > limit {
        format!("{}{chance}.", over(theirs))
    } else {
        format!(
            "{} is within your limit, but going on gains more than taking any figure over {}{chance}.",
            said(theirs),
            said(take_it_at)
        )
    };
    make(ReplyKind::Say, Some(next), because)
}

/// With a small first letter, to stand after “because”.
pub(super) fn lower(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}
