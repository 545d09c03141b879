//! The sentences of a letter, by tone.

use super::{Ground, Letter, LetterWish, MOST_FINDINGS, MOST_WORDS, Part, Statement, Tone};
use crate::car::{Buyer, Known, Money, Observation};
use crate::engine::evidence::current;
use crate::engine::two_prices::TwoPrices;
use crate::engine::{Route, Spread};
use crate::report::proven::Proven;
use crate::report::{WeighedCar, words};
use crate::trade::Tables;

/// What a letter is made from.
pub(super) struct Parts<'a> {
    pub(super) car: &'a WeighedCar<'a>,
    pub(super) buyer: &'a Buyer,
    pub(super) tables: &'a Tables,
    pub(super) wish: &'a LetterWish,
    pub(super) figure: Money,
    pub(super) two: Option<&'a TwoPrices>,
    pub(super) proven: &'a [Proven<'a>],
}

impl Parts<'_> {
    /// The letter: what must be said, then findings and wallet as long as there are words left.
    pub(super) fn letter(&self) -> Letter {
        let mut findings: Vec<&Proven<'_>> = self
            .proven
            .iter()
            .filter(|one| one.fault.cash.p90 > 0.0 || one.fault.hours.p90 > 0.0)
            .take(MOST_FINDINGS)
            .collect();
        loop {
            let letter = self.of(&findings);
            if letter.words() <= MOST_WORDS || findings.pop().is_none() {
                return letter;
            }
        }
    }

    fn of(&self, findings: &[&Proven<'_>]) -> Letter {
        let told: Vec<Statement> = findings.iter().map(|one| self.finding(one)).collect();
        let paragraphs = match self.wish.tone {
            Tone::Brief => vec![
                self.figures(),
                if told.is_empty() {
                    vec![self.conditions()]
                } else {
                    told
                },
                vec![self.until(), self.exit()],
            ],
            Tone::Plain | Tone::Warm => {
                let mut first = vec![self.thanks()];
                first.extend(self.figures());
                first.extend(told);
                first.extend(self.wallet(findings));
                let mut second: Vec<Statement> = self.certainty().into_iter().collect();
                second.push(self.conditions());
                vec![first, second, vec![self.until(), self.exit()]]
            }
        };
        Letter {
            figure: self.figure,
            if_not: self.two.map(|two| two.bad.price),
            round: self.wish.round,
            paragraphs,
        }
    }

    fn by_tone(&self, plain: &str, warm: &str) -> String {
        let words = match self.wish.tone {
            Tone::Warm => warm,
            Tone::Plain | Tone::Brief => plain,
        };
        words.to_owned()
    }

    fn mark(&self) -> String {
        words::currency_mark(&self.car.record.currency)
    }

    /// The first thing that the user saw on the car itself, not on a photo.
    fn visit(&self) -> Option<&Observation> {
        self.car.record.observations.iter().find(|seen| {
            let sign = self.tables.sign(current(self.tables, &seen.sign));
            seen.known >= Known::Seen && sign.is_some_and(|sign| !sign.remote_ok)
        })
    }

    fn thanks(&self) -> Statement {
        let (words, ground) = match self.visit() {
            Some(seen) => (
                self.by_tone(
                    "Thank you for letting me look at the car.",
                    "Thank you for the time you took to let me look at the car.",
                ),
                ground(
                    &format!("sign/{}", current(self.tables, &seen.sign)),
                    "looked at by you on the car",
                ),
            ),
            None if self.car.record.listing.advert.is_empty() => (
                self.by_tone(
                    "Thank you for naming a price.",
                    "Thank you for telling me what you ask.",
                ),
                ground("listing/asking", "what they ask, put in by you"),
            ),
            None => (
                self.by_tone(
                    "Thank you for the advert.",
                    "Thank you for the advert and what you say in it.",
                ),
                ground("listing/advert", "the advert on file"),
            ),
        };
        statement(Part::Thanks, words, ground)
    }

    fn step(&self) -> String {
        format!("offer/step/{}", self.wish.round)
    }

    /// The figure once; or the two of them with the check that they hang on.
    fn figures(&self) -> Vec<Statement> {
        let Some(two) = self.two else {
            return vec![self.figure()];
        };
        let [good, bad] = [two.good.price, two.bad.price]
            .map(|price| words::money(words::units(price), &self.mark()));
        let check = words::clean(&format!("{}: {}", two.name, two.good.words));
        let on_file = format!(
            "limits with that answer on file: {} and {}, from {} now",
            words::whole(words::units(two.good.limit)),
            words::whole(words::units(two.bad.limit)),
            words::whole(words::units(two.limit_now))
        );
        let ground = ground(&format!("check/{}", two.sign), &on_file);
        let mut told = vec![statement(
            Part::Figure,
            format!(
                "I can pay {good} if one check that we do together comes out well ({check}), and {bad} if it does not."
            ),
            ground.clone(),
        )];
        if two.may_stop {
            let words = "If it shows what no price mends, I leave it there.".to_owned();
            told.push(statement(Part::Conditions, words, ground));
        }
        told
    }

    fn figure(&self) -> Statement {
        let sum = words::money(words::units(self.figure), &self.mark());
        let steps = self.car.appraisal.offer.steps.len();
        statement(
            Part::Figure,
            match self.wish.tone {
                Tone::Warm => {
                    format!("I would be glad to have it, and can pay {sum} as it stands.")
                }
                Tone::Plain | Tone::Brief => format!("I can pay {sum} for it as it stands."),
            },
            ground(
                &self.step(),
                &format!(
                    "offer {} of {steps} of your plan, not over your limit",
                    self.wish.round
                ),
            ),
        )
    }

    fn finding(&self, one: &Proven<'_>) -> Statement {
        let how = if one.known == Known::Measured {
            "What I measured"
        } else {
            "What I saw"
        };
        let when = one.when.as_str();
        statement(
            Part::Finding,
            format!("{how} ({}) {}.", one.found, self.cost(one)),
            ground(
                &one.id(),
                &format!("{when}; cost by your skill and rates, an estimate"),
            ),
        )
    }

    /// What it costs, as an estimate is said.
    fn cost(&self, one: &Proven<'_>) -> String {
        let (cash, hours) = (&one.fault.cash, &one.fault.hours);
        let sum = || self.range(cash);
        match one.fault.route {
            Route::Garage => format!("takes about {} at a garage", sum()),
            Route::Part => format!("takes about {} with my work and a garage's", sum()),
            Route::Home | Route::LivedWith if words::about(cash.p90) > 0.0 => {
                format!("takes about {} and my own work", sum())
            }
            Route::Home | Route::LivedWith => {
                format!("takes about {} of my own work", words::hours(hours.mean))
            }
        }
    }

    fn range(&self, cash: &Spread) -> String {
        let mark = self.mark();
        let [low, high] = [cash.p10, cash.p90].map(|end| words::money(words::about(end), &mark));
        if low == high {
            low
        } else {
            format!("{low} to {high}")
        }
    }

    /// The wallet, where the user stated one and what they ask with the work found would not fit into it.
    fn wallet(&self, findings: &[&Proven<'_>]) -> Option<Statement> {
        let left = self.buyer.wallet? - self.buyer.spent;
        let asking = self.car.record.listing.asking?;
        let work: f64 = findings.iter().map(|one| one.fault.cash.p90).sum();
        let speaks = words::units(left) < words::units(asking) + work;
        if left < self.figure || !speaks {
            return None;
        }
        let sum = words::money(words::units(left), &self.mark());
        let spent = if self.buyer.spent > Money::ZERO {
            ", less what is spent"
        } else {
            ""
        };
        Some(statement(
            Part::Wallet,
            format!("I have {sum} for the car and the work on it, no more."),
            ground("buyer/wallet", &format!("the wallet you put in{spent}")),
        ))
    }

    fn certainty(&self) -> Option<Statement> {
        self.car.record.listing.certainty.then(|| {
            statement(
                Part::Certainty,
                "I pay in full at the handover and bring my own transport on the agreed day."
                    .to_owned(),
                ground("listing/certainty", "you said that you bring this"),
            )
        })
    }

    fn conditions(&self) -> Statement {
        let words = match self.visit() {
            Some(_) => "It holds if the title is signed over and the car is as I saw it.",
            None => "It holds if the title is signed over and I may look at the car first.",
        };
        statement(
            Part::Conditions,
            words.to_owned(),
            ground(&self.step(), "what every figure of your plan hangs on"),
        )
    }

    fn until(&self) -> Statement {
        let day = words::date(self.wish.until);
        let why = if self.wish.until_is_own {
            "the day you named"
        } else {
            "a week from the day of this letter, for want of a day of your own"
        };
        statement(
            Part::Until,
            format!("The offer stands until {day}."),
            ground("entry/until", why),
        )
    }

    fn exit(&self) -> Statement {
        let words = self.by_tone(
            "If you would rather keep it or sell elsewhere, that is fine.",
            "If you would rather keep it or sell elsewhere, I wish you well with it.",
        );
        statement(
            Part::Exit,
            words,
            ground(&self.step(), "leaving is part of your plan"),
        )
    }
}

fn statement(part: Part, words: String, ground: Ground) -> Statement {
    Statement {
        part,
        words,
        ground,
    }
}

fn ground(id: &str, words: &str) -> Ground {
    Ground {
        id: id.to_owned(),
        words: words.to_owned(),
    }
}
