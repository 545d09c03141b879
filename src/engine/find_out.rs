//! What to find out next: for every check still to come, what each answer would do to the worth of the deal, and what that is worth.
//!
//! The value of sample information (Raiffa & Schlaifer 1961), taken over the draws: an answer weighs the draws by the chance that they give
//! it. Value is reckoned at the price the seller may take, on the mean and never on a quantile: a quantile's value of knowing can be under
//! zero.

mod figures;
mod gain;
mod groups;
mod mind;
mod outcomes;

use super::amounts::round_limit;
use super::appraise::{allowance_of, mean_floor, weigh_money};
use super::draws::mean;
use super::figures::Run;
use super::knowledge::Knowledge;
use super::limit::LimitLine;
use super::offer::OfferInputs;
use super::ordinary::allowance_base;
use super::verdict::offer_inputs;
use super::walkaround::{Check, Order, Plan, State, walk};
use super::weighing::{MoneyColumns, Weighing};
use super::worth::{WorthInputs, worth};
use crate::car::{Buyer, CarRecord, Money};
pub use figures::{FindOut, FindOutFigure, FindOutWish, OutcomeFigure};
use gain::Gain;
pub use mind::{Fact, FactSet, Mind, change_my_mind};
pub(super) use outcomes::DrawTable;
use outcomes::Outcomes;

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
        table: DrawTable::of(weighing),
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
}

impl Desk<'_> {
    fn find_out(&self, wish: FindOutWish) -> FindOut {
        let value_now = mean(&self.line.gain) - self.margin;
        let mut rough = self.rough(wish, None);
        let order = groups::order(&rough.iter().map(|one| self.ranked(one)).collect::<Vec<_>>());
        let mut places = vec![0; rough.len()];
        for (place, at) in order.into_iter().enumerate() {
            places[at] = place;
        }
        let mut numbered: Vec<(usize, Rough)> = places.into_iter().zip(rough.drain(..)).collect();
        numbered.sort_by_key(|(place, _)| *place);
        let mut rough: Vec<Rough> = numbered.into_iter().map(|(_, one)| one).collect();
        if let Some(minutes) = wish.minutes {
            rough = self.fitting(rough, minutes);
        }
        let nothing = rough
            .iter()
            .all(|one| one.net <= 0.0 || one.value + one.proof < LEAST);
        let sorted = Sorted::of(&self.line.gain);
        let checks = rough.into_iter().enumerate();
        FindOut {
            checks: checks
                .map(|(at, one)| self.figure(one, (at < WITH_LIMITS).then_some(&sorted)))
                .collect(),
            value_now,
            limit_now: Some(self.limit),
            know_all: self.know_all(value_now),
            words: nothing.then(|| "Nothing left is worth your time.".to_owned()),
        }
    }

    /// Every check still to come, reckoned; draws can be weighed by answers supposed already.
    fn rough(&self, wish: FindOutWish, weights: Option<&[f64]>) -> Vec<Rough> {
        let tables = self.weighing.knowledge.tables();
        let today = self.weighing.run.today;
        let checks = walk(self.weighing.car, tables, Plan::Full, Order::Walking, today);
        checks
            .into_iter()
            .filter(|check| matches!(check.state, State::ToCome | State::Withdrawn(_)))
            .filter_map(|check| {
                let row = tables.signs.iter().position(|row| row.id == check.sign)?;
                (!wish.remote || tables.signs[row].remote_ok).then_some((check, row))
            })
            .filter_map(|(check, row)| {
                let outcomes = self
                    .table
                    .outcomes(self.weighing, row, self.values(), weights)?;
                Some(self.weighed(check, row, outcomes))
            })
            .collect()
    }

    /// What each draw leaves before the price.
    fn values(&self) -> &[f64] {
        &self.line.gain
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
        }
    }

    fn ranked(&self, one: &Rough) -> groups::Ranked {
        groups::Ranked {
            group: self.settles(one.row),
            walking: (
                one.check.stage,
                self.weighing.knowledge.tables().signs[one.row].order,
            ),
            net: one.net,
            value: one.value + one.proof,
            most: one.most,
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
            let common = own.faults.iter().filter(|link| {
                let faults = &theirs.faults;
                faults
                    .binary_search_by_key(&link.fault, |other| other.fault)
                    .is_ok()
            });
            common
                .filter_map(|link| {
                    let fault = diagnosis
                        .faults
                        .iter()
                        .find(|fault| fault.row == link.fault)?;
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
            self.table
                .answer_well(self.weighing, taken.row, &mut weights);
            chosen.push(taken);
            for one in &mut open {
                let again =
                    self.table
                        .outcomes(self.weighing, one.row, self.values(), Some(&weights));
                if let Some(outcomes) = again {
                    *one = self.weighed(one.check.clone(), one.row, outcomes);
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

    fn figure(&self, one: Rough, sorted: Option<&Sorted>) -> FindOutFigure {
        let tables = self.weighing.knowledge.tables();
        let sign = &tables.signs[one.row];
        let limits = sorted.map(|sorted| self.limits(&one, sorted));
        let outcomes = (one.outcomes.chances.iter().enumerate())
            .map(|(level, chance)| OutcomeFigure {
                level,
                words: sign.levels.get(level).cloned().unwrap_or_default(),
                chance: *chance,
                limit: limits
                    .as_ref()
                    .and_then(|limits| limits.get(level).copied()),
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
            group: self
                .settles(one.row)
                .map(|seen| self.weighing.diagnosis.signs[seen].id.clone()),
            blocked_by: match one.check.state {
                State::Withdrawn(why) => Some(format!("{}: {}", why.reason, why.because)),
                _ => None,
            },
        }
    }

    /// The limit after each answer.
    fn limits(&self, one: &Rough, sorted: &Sorted) -> Vec<Money> {
        (0..one.outcomes.chances.len())
            .map(|level| {
                let weights = self.table.weights(self.weighing, one.row, level);
                self.limit_with(&weights, one.outcomes.means[level], sorted)
            })
            .collect()
    }

    /// The limit with the draws weighed, whose mean gain is then this; the other lines as they stand.
    fn limit_with(&self, weights: &[f64], mean_gain: f64, sorted: &Sorted) -> Money {
        let share = 1.0 - self.weighing.confidence();
        let wishes = super::stops::wishes_worth(self.weighing.car, self.weighing.buyer);
        let tax = 1.0 + self.weighing.buyer.tax_on_price.max(0.0);
        let room = mean_gain - self.margin + wishes;
        let value = (sorted.quantile(weights, share) + wishes).min(room);
        let others = [self.line.wallet, self.rules];
        let least = others.into_iter().flatten().fold(value, f64::min);
        round_limit((least / tax).max(0.0))
    }
}

fn minutes_of(one: &Rough) -> f64 {
    f64::from(one.check.seconds) / 60.0
}

/// The draws in the order of their value, sorted once.
struct Sorted {
    order: Vec<u32>,
    values: Vec<f64>,
}

impl Sorted {
    fn of(values: &[f64]) -> Self {
        let mut order: Vec<u32> = (0..u32::try_from(values.len()).unwrap_or(u32::MAX)).collect();
        order.sort_unstable_by(|a, b| values[*a as usize].total_cmp(&values[*b as usize]));
        Self {
            values: order.iter().map(|at| values[*at as usize]).collect(),
            order,
        }
    }

    /// The value under which a share of the weight lies.
    fn quantile(&self, weights: &[f64], share: f64) -> f64 {
        let wanted = share * weights.iter().sum::<f64>();
        let mut sum = 0.0;
        for (at, value) in self.order.iter().zip(&self.values) {
            sum += weights[*at as usize];
            if sum > wanted {
                return *value;
            }
        }
        self.values.last().copied().unwrap_or_default()
    }
}
