//! What to find out next: for every check still to come, what each answer would do to the worth of the deal, and what that is worth.
//!
//! The value of sample information (Raiffa & Schlaifer 1961), taken over the draws: an answer weighs the draws by the chance that they give
//! it. Value is reckoned at the price the seller may take, on the mean and never on a quantile: a quantile's value of knowing can be under
//! zero.

mod answers;
mod because;
mod figures;
mod gain;
mod groups;
mod mind;
mod outcomes;
mod says;
mod sorted;
mod table;

use super::amounts::round_limit;
use super::appraise::{allowance_of, mean_floor, weigh_money};
use super::draws::mean;
use super::figures::Run;
use super::knowledge::Knowledge;
use super::limit::LimitLine;
use super::offer::OfferInputs;
use super::ordinary::allowance_base;
use super::verdict::offer_inputs;
use super::walkaround::{Check, Order, Plan, State, walk_for};
use super::weighing::{MoneyColumns, Weighing};
use super::worth::{WorthInputs, worth};
use crate::car::{Buyer, CarRecord, Money};
use crate::trade::derive::sign_row;
pub(super) use answers::Answers;
pub use figures::{FindOut, FindOutFigure, FindOutWish, OutcomeFigure};
use gain::Gain;
pub use mind::{Fact, FactSet, Mind, change_my_mind};
use outcomes::Outcomes;
use says::{OnFile, Says};
use sorted::Sorted;
use table::DrawTable;

/// Under this a check's value counts as none, dollars.
const LEAST: f64 = 2.0;
/// Checks whose answers get a limit each.
const WITH_LIMITS: usize = 40;

/// What to find out next. Pure: the same arguments give the same bytes.
#[must_use]
pub fn find_out(
    knowledge: &Knowledge,
    car: &CarRecord,
    buyer: &Buyer,
    run: &Run,
    wish: FindOutWish,
) -> FindOut {
    let run = &Run {
        draws: run.draws.max(1),
        ..*run
    };
    let weighing = Weighing::with_causes(knowledge, car, buyer, run);
    at_desk(&weighing, |desk| desk.find_out(wish)).unwrap_or_else(|missing| FindOut {
        words: Some(missing),
        ..FindOut::default()
    })
}

/// Works at the desk of a weighed car.
///
/// # Errors
/// One sentence where its worth is not known.
fn at_desk<T>(weighing: &Weighing<'_>, work: impl FnOnce(&Desk<'_>) -> T) -> Result<T, String> {
    let (knowledge, car) = (weighing.knowledge, weighing.car);
    let worth = worth(&WorthInputs {
        particulars: &car.particulars,
        basis: &car.worth,
        means: weighing.means(),
        settings: &knowledge.tables().settings.worth,
        table: knowledge.quantiles(),
    })?;
    let columns = MoneyColumns::of(weighing, &worth);
    let base = allowance_base(weighing);
    let weighed = weigh_money(weighing, &columns, allowance_of(weighing, base));
    let margin = weighing.margin(mean(&columns.worth));
    let floor = mean_floor(&columns.floor).best;
    let inputs = offer_inputs(weighing, weighed.limit, floor);
    Ok(work(&Desk {
        weighing,
        line: &weighed.line,
        margin,
        limit: weighed.limit,
        floor,
        rules: weighed.rules.map(|(_, cautious)| cautious),
        gain: Gain::of(inputs.as_ref()),
        table: DrawTable::of(weighing, &weighed.line.gain),
        on_file: OnFile::of(car, knowledge.tables(), weighing),
        proof_share: knowledge.tables().settings.offer.proof_share,
        deal: inputs.as_ref().map_or(0.0, deal),
        minute: weighing.jobs.hour_value / 60.0,
    }))
}

fn deal(inputs: &OfferInputs<'_>) -> f64 {
    super::offer::plan(inputs).chance_of_deal.unwrap_or(0.0)
}

/// Everything that the checks of one car are reckoned from.
struct Desk<'a> {
    weighing: &'a Weighing<'a>,
    line: &'a LimitLine,
    margin: f64,
    limit: Money,
    /// What it brings anyhow, on the mean, dollars.
    floor: f64,
    /// The cautious line of the house rules.
    rules: Option<f64>,
    gain: Gain,
    table: DrawTable,
    on_file: OnFile,
    proof_share: f64,
    deal: f64,
    /// Value of a minute, dollars.
    minute: f64,
}

/// A check with its outcomes, before limits and words.
struct Rough {
    check: Check,
    row: usize,
    outcomes: Outcomes,
    value: f64,
    most: f64,
    proof: f64,
    net: f64,
    /// The sign on file that it settles, or that what it leads to does.
    group: Option<usize>,
    /// The same where it only leads to it.
    leads_to: Option<usize>,
}

impl Desk<'_> {
    fn find_out(&self, wish: FindOutWish) -> FindOut {
        let value_now = mean(&self.line.gain) - self.margin;
        let mut rough = self.grouped(self.rough(wish));
        if let Some(minutes) = wish.minutes {
            rough = self.fitting(rough, minutes);
        }
        let nothing = rough
            .iter()
            .all(|one| one.net <= 0.0 || one.value + one.proof < LEAST);
        let checks = rough.into_iter().enumerate();
        FindOut {
            checks: checks
                .map(|(at, one)| self.figure(one, at < WITH_LIMITS))
                .collect(),
            value_now,
            limit_now: Some(self.limit),
            know_all: self.know_all(value_now),
            words: nothing.then(|| "Nothing left is worth your time.".to_owned()),
        }
    }

    /// Every check still to come, reckoned.
    fn rough(&self, wish: FindOutWish) -> Vec<Rough> {
        let tables = self.weighing.knowledge.tables();
        let today = self.weighing.run.today;
        let (car, buyer) = (self.weighing.car, self.weighing.buyer);
        let checks = walk_for(car, Some(buyer), tables, Plan::Full, Order::Walking, today);
        checks
            .into_iter()
            .filter(|check| matches!(check.state, State::ToCome | State::Withdrawn(_)))
            .filter_map(|check| {
                let row = sign_row(tables, &check.sign)?;
                (!wish.remote || tables.signs[row].remote_ok).then_some((check, row))
            })
            .filter_map(|(check, row)| {
                let outcomes = self.outcomes(row, None)?;
                Some(self.weighed(check, row, outcomes))
            })
            .collect()
    }

    fn says(&self, row: usize) -> Option<Says<'_>> {
        Says::of(self.weighing, &self.on_file, row)
    }

    fn outcomes(&self, row: usize, weights: Option<&[f64]>) -> Option<Outcomes> {
        let levels = self
            .weighing
            .knowledge
            .tables()
            .signs
            .get(row)?
            .levels
            .len();
        let says = self.says(row)?;
        self.table.outcomes(self.weighing, &says, levels, weights)
    }

    /// In the order in which they are worth knowing, group by group.
    fn grouped(&self, mut rough: Vec<Rough>) -> Vec<Rough> {
        for one in &mut rough {
            one.group = self.settles(one.row);
        }
        let signs = &self.weighing.knowledge.tables().signs;
        let open = |id: &String| {
            let found = rough.iter().position(|one| signs[one.row].id == *id);
            found.filter(|at| rough[*at].net > f64::MIN)
        };
        let ranked: Vec<groups::Ranked> = rough
            .iter()
            .map(|one| groups::Ranked {
                group: one.group,
                first: signs[one.row].first.iter().filter_map(open).collect(),
                walking: (one.check.stage, signs[one.row].order),
                net: one.net,
                value: one.value + one.proof,
                most: one.most,
            })
            .collect();
        let mut slots: Vec<Option<Rough>> = rough.into_iter().map(Some).collect();
        let placed = groups::order(&ranked).into_iter();
        placed
            .filter_map(|(at, home)| {
                let mut one = slots.get_mut(at)?.take()?;
                one.leads_to = home.filter(|home| one.group != Some(*home));
                one.group = home.or(one.group);
                Some(one)
            })
            .collect()
    }

    fn weighed(&self, check: Check, row: usize, outcomes: Outcomes) -> Rough {
        let now = outcomes.mean_now - self.margin;
        let after = |level: usize| outcomes.means[level] - self.margin;
        let (mut value, mut most, mut proof) = (0.0, 0.0, 0.0);
        for (level, chance) in outcomes.chances.iter().enumerate() {
            value += chance * self.gain.at(after(level));
            most += 0.5 * chance * (after(level) - now).abs();
            if level > 0 {
                proof += chance * (now - after(level)).max(0.0);
            }
        }
        value = (value - self.gain.at(now)).max(0.0);
        let sign = &self.weighing.knowledge.tables().signs[row];
        // From afar the seller does not stand beside it.
        let seen_by_both = !sign.remote_ok;
        proof *= if seen_by_both {
            self.proof_share * self.deal
        } else {
            0.0
        };
        let net = value + proof - self.minute * f64::from(check.seconds) / 60.0;
        let blocked = matches!(check.state, State::Withdrawn(_));
        Rough {
            check,
            row,
            outcomes,
            // No value of knowing brings a dangerous check back.
            value: if blocked { 0.0 } else { value },
            most: if blocked { 0.0 } else { most },
            proof: if blocked { 0.0 } else { proof },
            net: if blocked { f64::MIN } else { net },
            group: None,
            leads_to: None,
        }
    }

    /// The sign on file above benign that a check bears on most.
    fn settles(&self, row: usize) -> Option<usize> {
        let links = &self.weighing.knowledge.links().signs;
        let diagnosis = &self.weighing.diagnosis;
        let own = links.get(row)?;
        let tested = own.test.as_ref().and_then(|test| {
            let tests = |seen: &usize| test.signs.contains(&diagnosis.signs[*seen].row);
            (0..diagnosis.signs.len()).find(tests)
        });
        if tested.is_some() {
            return tested;
        }
        let shared = |seen: usize| -> f64 {
            let Some(theirs) = links.get(diagnosis.signs[seen].row) else {
                return 0.0;
            };
            let both = own.faults.iter().filter(|link| {
                let faults = &theirs.faults;
                faults
                    .binary_search_by_key(&link.fault, |other| other.fault)
                    .is_ok()
            });
            both.filter_map(|link| {
                let fault = diagnosis.faults.get(self.table.place(link.fault)?)?;
                Some(fault.chance * (1.0 - link.levels.first().copied().unwrap_or(1.0)))
            })
            .sum()
        };
        (0..diagnosis.signs.len())
            .map(|seen| (seen, shared(seen)))
            .filter(|(_, shared)| *shared > 0.02)
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))
            .map(|(seen, _)| seen)
    }

    /// The best set that fits the time, greedily by value over minutes, each chosen check taken as answered well before the next is chosen,
    /// so that three checks of one question are not paid thrice.
    fn fitting(&self, all: Vec<Rough>, minutes: u32) -> Vec<Rough> {
        let mut left = f64::from(minutes);
        let mut weights = vec![1.0; self.line.gain.len()];
        let mut chosen: Vec<Rough> = Vec::new();
        let mut open = all;
        loop {
            let rate = |one: &Rough| (one.value + one.proof) / (minutes_of(one) + 2.0);
            let fits = |one: &&(usize, &Rough)| {
                minutes_of(one.1) <= left && one.1.net > 0.0 && one.1.value + one.1.proof >= LEAST
            };
            let numbered: Vec<(usize, &Rough)> = open.iter().enumerate().collect();
            let best = (numbered.iter().filter(fits))
                .max_by(|a, b| rate(a.1).total_cmp(&rate(b.1)).then(b.0.cmp(&a.0)));
            let Some((at, _)) = best.copied() else { break };
            let taken = open.remove(at);
            left -= minutes_of(&taken);
            if let Some(says) = self.says(taken.row) {
                let levels = taken.outcomes.chances.len();
                (self.table).answer_well(self.weighing, &says, levels, &mut weights);
            }
            chosen.push(taken);
            for one in &mut open {
                if let Some(outcomes) = self.outcomes(one.row, Some(&weights)) {
                    let group = (one.group, one.leads_to);
                    *one = self.weighed(one.check.clone(), one.row, outcomes);
                    (one.group, one.leads_to) = group;
                }
            }
        }
        chosen
    }

    /// Value of knowing each draw before the deal.
    fn know_all(&self, value_now: f64) -> f64 {
        let each: Vec<f64> = (self.line.gain.iter())
            .map(|gain| self.gain.at(gain - self.margin))
            .collect();
        (mean(&each) - self.gain.at(value_now)).max(0.0)
    }

    fn figure(&self, one: Rough, with_limits: bool) -> FindOutFigure {
        let tables = self.weighing.knowledge.tables();
        let sign = &tables.signs[one.row];
        let limits = if with_limits {
            self.limits(&one)
        } else {
            Vec::new()
        };
        let outcomes = (one.outcomes.chances.iter().enumerate())
            .map(|(level, chance)| OutcomeFigure {
                level,
                words: sign.levels.get(level).cloned().unwrap_or_default(),
                chance: *chance,
                limit: limits.get(level).copied(),
                stops: (sign.stop.as_ref()).is_some_and(|stop| level >= stop.from_level),
            })
            .collect();
        FindOutFigure {
            id: sign.id.clone(),
            name: sign.name.clone(),
            minutes: minutes_of(&one),
            value: one.value,
            most: one.most,
            proof: one.proof,
            net: if one.net > f64::MIN { one.net } else { 0.0 },
            outcomes,
            because: self.because(&one),
            ask: one.check.ask.clone(),
            group: one
                .group
                .map(|seen| self.weighing.diagnosis.signs[seen].id.clone()),
            blocked_by: match one.check.state {
                State::Withdrawn(why) => Some(format!("{}: {}", why.reason, why.because)),
                _ => None,
            },
        }
    }

    /// The limit after each answer: the draws weighed by it, the other lines as they stand.
    fn limits(&self, one: &Rough) -> Vec<Money> {
        let weighing = self.weighing;
        let share = 1.0 - weighing.confidence();
        let chances = &one.outcomes.chances;
        let quantiles = self.says(one.row).map_or_else(Vec::new, |says| {
            self.table.quantiles(weighing, &says, chances, share)
        });
        (quantiles.iter().zip(&one.outcomes.means))
            .map(|(quantile, mean)| self.limit_at(*quantile, *mean))
            .collect()
    }

    /// The limit with the draws weighed, whose mean gain is then this.
    fn limit_with(&self, weights: &[f64], mean_gain: f64, sorted: &Sorted) -> Money {
        let share = 1.0 - self.weighing.confidence();
        self.limit_at(sorted.quantile(weights, share), mean_gain)
    }

    /// The limit at a quantile and a mean of the gain; the other lines as they stand.
    fn limit_at(&self, quantile: f64, mean_gain: f64) -> Money {
        let wishes = super::stops::wishes_worth(self.weighing.car, self.weighing.buyer);
        let tax = 1.0 + self.weighing.buyer.tax_on_price.max(0.0);
        let value = (quantile + wishes).min(mean_gain - self.margin + wishes);
        let others = [self.line.wallet, self.rules];
        let least = others.into_iter().flatten().fold(value, f64::min);
        round_limit((least / tax).max(0.0))
    }
}

fn minutes_of(one: &Rough) -> f64 {
    f64::from(one.check.seconds) / 60.0
}
