//! Drafts of a receipt and of a bill of sale: the price that the log of the talks holds, the car as it is on file, what was seen to be unsafe,
//! and lines to fill in by hand. No name and nothing of an identity document stands in them: those are looked at, never stored.

use super::{Ground, Part, Statement};
use crate::car::{Money, Who, agreement};
use crate::report::proven::proven;
use crate::report::{WeighedCar, words};
use crate::trade::Tables;
use jiff::civil::Date;

/// Which draft.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DeedKind {
    /// For the money.
    Receipt,
    /// For the car.
    BillOfSale,
}

impl DeedKind {
    fn title(self) -> &'static str {
        match self {
            Self::Receipt => "Receipt (a draft)",
            Self::BillOfSale => "Bill of sale (a draft)",
        }
    }
}

/// A draft.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Deed {
    /// Which.
    pub kind: DeedKind,
    /// The price that it names.
    pub price: Money,
    /// What it states, each with its ground.
    pub stated: Vec<Statement>,
    /// What must be known of such drafts.
    pub notes: Vec<Statement>,
}

impl Deed {
    /// All its statements, in order.
    pub fn statements(&self) -> impl Iterator<Item = &Statement> {
        self.stated.iter().chain(&self.notes)
    }
}

/// Lines that both fill in by hand.
const BY_HAND: [&str; 4] = [
    "Seller, name and address:",
    "Seller, day and signature:",
    "Buyer, name and address:",
    "Buyer, day and signature:",
];

/// Writes the draft.
///
/// # Errors
/// One sentence where no price is agreed, or where the log and the price paid disagree.
pub fn deed(
    car: &WeighedCar<'_>,
    tables: &Tables,
    kind: DeedKind,
    today: Date,
) -> Result<Deed, String> {
    let (price, ground) = price(car)?;
    let sum = amount(price, &words::currency_mark(&car.record.currency));
    let day = words::date_with_year(car.record.bought_on.unwrap_or(today));
    let words = match kind {
        DeedKind::Receipt => {
            format!(
                "On {day} the seller received {sum} from the buyer, in full, for the car named here."
            )
        }
        DeedKind::BillOfSale => {
            format!("On {day} the seller sells the car named here to the buyer for {sum}.")
        }
    };
    let mut stated = vec![Statement {
        part: Part::Price,
        words,
        ground,
    }];
    stated.extend(which_car(car));
    if kind == DeedKind::BillOfSale {
        stated.extend(
            proven(car, tables)
                .iter()
                .filter(|one| one.is_unsafe())
                .map(|one| Statement {
                    part: Part::Known,
                    words: format!("Known to both at the sale: {}.", one.found),
                    ground: Ground {
                        id: one.id(),
                        words: one.when.clone(),
                    },
                }),
        );
    }
    Ok(Deed {
        kind,
        price,
        stated,
        notes: notes(),
    })
}

/// The price in the log: what both said yes to, or else what was put in as paid.
fn price(car: &WeighedCar<'_>) -> Result<(Money, Ground), String> {
    let agreed = agreement(&car.record.talks, car.record.listing.asking);
    let mark = words::currency_mark(&car.record.currency);
    match (agreed, car.record.bought_at) {
        (Some(agreed), Some(paid)) if agreed.price != paid => Err(format!(
            "the talks agree on {} and the price paid is {}: put one of them right first.",
            amount(agreed.price, &mark),
            amount(paid, &mark)
        )),
        (Some(agreed), _) => {
            let who = match agreed.by {
                Who::They => "they took your figure",
                Who::You => "you took their figure",
            };
            Ok((
                agreed.price,
                Ground {
                    id: format!("talks/{}", agreed.at + 1),
                    words: format!("line {} of the talks: {who}", agreed.at + 1),
                },
            ))
        }
        (None, Some(paid)) => Ok((
            paid,
            Ground {
                id: "entry/bought_at".to_owned(),
                words: "the price paid, put in by you".to_owned(),
            },
        )),
        (None, None) => Err(
            "no price is agreed: the talks hold no yes, and no price paid is on file.".to_owned(),
        ),
    }
}

fn amount(price: Money, mark: &str) -> String {
    if price == price.down_to(Money::whole(1)) {
        words::money(words::units(price), mark)
    } else {
        format!("{mark}{}", price.to_the_cent())
    }
}

/// The car: what is on file, and a line by hand where nothing is.
fn which_car(car: &WeighedCar<'_>) -> Vec<Statement> {
    let facts = &car.record.particulars;
    let one = |words: String, id: &str, ground: &str| Statement {
        part: Part::Car,
        words,
        ground: Ground {
            id: id.to_owned(),
            words: ground.to_owned(),
        },
    };
    let year = facts.year.map_or_else(String::new, |year| year.to_string());
    let named: Vec<&str> = [year.as_str(), &facts.make, &facts.model]
        .into_iter()
        .filter(|word| !word.is_empty())
        .collect();
    let named = if named.is_empty() {
        car.name.to_owned()
    } else {
        named.join(" ")
    };
    let mut out = vec![one(
        format!("Car: {}.", words::clean(&named)),
        "car/particulars",
        "year, make and model as you put them in",
    )];
    out.push(match &facts.vin {
        Some(vin) => one(
            format!("Identification number: {vin}."),
            "car/vin",
            "as you put it in; read it off the car once more",
        ),
        None => one(
            "Identification number:".to_owned(),
            "car/vin",
            "not on file: write it off the car",
        ),
    });
    out.push(match facts.odometer_miles {
        Some(miles) => one(
            format!("Odometer: {} miles.", words::whole(miles)),
            "car/odometer",
            "as you put it in; read it once more at the handover",
        ),
        None => one(
            "Odometer, miles:".to_owned(),
            "car/odometer",
            "not on file: write it off the dash",
        ),
    });
    out
}

fn notes() -> Vec<Statement> {
    [
        (
            "law/local",
            "no source: law differs from place to place",
            "A draft, no legal advice: local forms and law decide. Ask the title office which form it wants; its own goes before this one.",
        ),
        (
            "law/49-cfr-580",
            "49 CFR 580.5, 580.17",
            "Where the law asks for the miles in writing, they belong on the title itself (49 CFR 580); this draft does not replace that.",
        ),
        (
            "law/identity",
            "common practice, no source",
            "Identity documents: each looks at the other's, and neither copies or keeps it. Nothing of them stands here.",
        ),
    ]
    .map(|(id, ground, words)| Statement {
        part: Part::Law,
        words: words.to_owned(),
        ground: Ground {
            id: id.to_owned(),
            words: ground.to_owned(),
        },
    })
    .to_vec()
}

/// The draft as it may be printed, wrapped to so many columns; what is filled in by hand has a line to write on.
#[must_use]
pub fn deed_text(deed: &Deed, width: usize) -> String {
    let mut out = format!("{}\n\n", deed.kind.title());
    let mut put = |words: &str| {
        let words = words::clean(words);
        if words.ends_with(':') {
            let room = width.saturating_sub(words.chars().count() + 1).max(8);
            out.push_str(&format!("{words} {}\n", "_".repeat(room)));
        } else {
            out.push_str(&textwrap::fill(&words, width));
            out.push('\n');
        }
    };
    for one in &deed.stated {
        put(&one.words);
    }
    put("");
    for line in BY_HAND {
        put(line);
    }
    put("");
    for one in &deed.notes {
        put(&one.words);
    }
    out
}
