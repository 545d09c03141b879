//! The rounds of offers and answers.

use super::money::Money;
use jiff::civil::DateTime;
use serde::{Deserialize, Serialize};

/// Who spoke.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Who {
    /// The buyer.
    You,
    /// The seller.
    They,
}

/// One move in the talks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Move {
    /// Who.
    pub who: Who,
    /// The figure named; absent for a plain no.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amount: Option<Money>,
    /// What was said with it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime>,
}

/// A price that both have said yes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Agreement {
    /// Place of the move that agreed, from 0.
    pub at: usize,
    /// Price.
    pub price: Money,
    /// Who said yes to the figure of the other.
    pub by: Who,
}

/// What the log says is agreed: they named a figure that is not over an own offer, or an own offer reached what they ask. A later no, or a
/// higher figure of theirs, takes it back. A figure of nothing is no figure.
#[must_use]
pub fn agreement(talks: &[Move], asking: Option<Money>) -> Option<Agreement> {
    let (mut mine, mut theirs, mut agreed) = (None, asking, None);
    for (at, step) in talks.iter().enumerate() {
        let figure = step.amount.filter(|amount| *amount > Money::ZERO);
        match (step.who, figure) {
            (Who::You, Some(offer)) => {
                mine = mine.max(Some(offer));
                if let Some(price) = theirs.filter(|asked| offer >= *asked) {
                    let by = Who::You;
                    agreed = agreed.or(Some(Agreement { at, price, by }));
                }
            }
            (Who::You, None) => {}
            (Who::They, Some(price)) => {
                theirs = Some(price);
                let by = Who::They;
                let yes = mine.is_some_and(|mine| price <= mine);
                agreed = yes.then_some(Agreement { at, price, by });
            }
            (Who::They, None) => agreed = None,
        }
    }
    agreed
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Positive: own offers; negative: their figures; 0: their plain no. They ask 1,000.
    fn agreed(said: &[i64]) -> Option<(i64, Who)> {
        let talks: Vec<Move> = said
            .iter()
            .map(|sum| Move {
                who: if *sum > 0 { Who::You } else { Who::They },
                amount: (*sum != 0).then(|| Money::whole(sum.abs())),
                words: String::new(),
                at: None,
            })
            .collect();
        let one = agreement(&talks, Some(Money::whole(1_000)))?;
        let price = (0..2_000).find(|sum| Money::whole(*sum) == one.price);
        price.map(|price| (price, one.by))
    }

    #[test]
    fn a_price_is_agreed_where_one_took_the_figure_of_the_other_and_no_no_followed() {
        use Who::{They, You};
        for (said, wanted) in [
            (&[][..], None),
            (&[700], None),
            (&[700, -700], Some((700, They))),
            (&[700, -900], None),
            (&[700, -900, 900], Some((900, You))),
            // Less than was offered is a yes to that.
            (&[700, -650], Some((650, They))),
            (&[700, 0, -690], Some((690, They))),
            // What they ask, paid in full.
            (&[1_000], Some((1_000, You))),
            (&[1_100], Some((1_000, You))),
            // A no, or more asked for, takes it back.
            (&[700, -700, 0], None),
            (&[700, -700, -800], None),
            (&[700, -900, 900, 0], None),
        ] {
            assert_eq!(agreed(said), wanted, "{said:?}");
        }
    }
}
