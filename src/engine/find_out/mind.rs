//! What would change the mind: the smallest sets of answers still to come that turn a buy into a leave, or a leave into a buy.
//!
//! Sets are sought with the draws weighed by the answers. One is told only where the whole weighing with those answers on file gives the
//! other verdict, and gives the verdict as it stands with any of them left out.

use super::{Desk, FindOutWish, Sorted, at_desk};
use crate::car::{Buyer, CarRecord, Money};
use crate::engine::amounts::dollars;
use crate::engine::figures::{Appraisal, Run, Verdict};
use crate::engine::knowledge::Knowledge;
use crate::engine::stops::stops;
use crate::engine::supposed::with_answers;
use crate::engine::weighing::Weighing;
use std::collections::BTreeMap;

/// Most sets told of a kind.
const MOST_SETS: usize = 3;
/// Most draws that sets are sought with.
const MOST_DRAWS: u32 = 4_000;
/// Most whole weighings spent on trying sets.
const MOST_TRIED: usize = 10;
/// Checks that move most, among which single answers are sought.
const TO_TRY: usize = 40;
/// Checks that move most, from which sets of two and three are made.
const TO_COMBINE: usize = 10;
/// Under this chance a set is not told: it will hardly happen.
const LEAST_CHANCE: f64 = 0.001;

/// One answer of a check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fact {
    /// Sign of the check.
    pub sign: String,
    /// Its name.
    pub name: String,
    /// Level of the answer.
    pub level: usize,
    /// The answer in words.
    pub words: String,
}

/// Answers that together turn the verdict, and none of which can be left out.
#[derive(Debug, Clone, PartialEq)]
pub struct FactSet {
    /// The answers.
    pub facts: Vec<Fact>,
    /// Chance that they come out so.
    pub chance: f64,
    /// It ends the deal whatever the figures.
    pub stops: bool,
    /// The verdict with them on file.
    pub verdict: Verdict,
    /// The limit with them on file; absent where they end the deal.
    pub limit: Option<Money>,
}

/// What would change the mind.
#[derive(Debug, Clone, PartialEq)]
pub struct Mind {
    /// The verdict as it stands.
    pub now: Verdict,
    /// It would turn to a buy; else to a leave.
    pub to_buy: bool,
    /// The smallest sets, the likeliest first: of a buy first answers that end the deal, then those that move the figures.
    pub sets: Vec<FactSet>,
    /// What there is to say beside them, or instead.
    pub words: String,
}

fn no_sets(now: Verdict, words: String) -> Mind {
    Mind {
        now,
        to_buy: now != Verdict::Buy,
        sets: Vec::new(),
        words,
    }
}

/// What would change the mind about a car. Pure: the same arguments give the same bytes.
#[must_use]
pub fn change_my_mind(
    knowledge: &Knowledge,
    car: &CarRecord,
    buyer: &Buyer,
    run: &Run,
    base: &Appraisal,
) -> Mind {
    let now = base.limit.verdict;
    if car.bought_at.is_some() {
        return no_sets(now, "It is bought: the mind is made up.".to_owned());
    }
    if let Some(stop) = base.stops.iter().find(|stop| stop.waived.is_none()) {
        let words = format!(
            "Nothing left to look at lifts a stop: {}. Only a waiver in your own words does.",
            stop.sentence.trim_end_matches('.')
        );
        return no_sets(now, words);
    }
    // What is found is proved by whole weighings: fewer draws will do to find it.
    let short = Run {
        draws: run.draws.clamp(1, MOST_DRAWS),
        ..*run
    };
    let weighing = Weighing::with_causes(knowledge, car, buyer, &short);
    let mind = at_desk(&weighing, |desk| Search::new(desk, base, run).mind());
    mind.unwrap_or_else(|missing| no_sets(now, missing))
}

/// An answer, and what it does.
#[derive(Debug, Clone)]
struct Answer {
    row: usize,
    level: usize,
    chance: f64,
    /// The limit, as the draws have it.
    limit: Money,
    stops: bool,
    /// Turns the verdict, as the draws have it.
    turns: bool,
}

/// Row of a sign and level of the answer.
type Place = (usize, usize);

struct Search<'a> {
    desk: &'a Desk<'a>,
    /// What whole weighings are run with.
    run: &'a Run,
    now: Verdict,
    /// Nothing is asked: then there is no plan that could end.
    unasked: bool,
    sorted: Sorted,
    hours: Sorted,
    /// Whole weighings made, by rows and levels.
    tried: BTreeMap<Vec<Place>, (Verdict, Option<Money>)>,
}

impl<'a> Search<'a> {
    fn new(desk: &'a Desk<'a>, base: &Appraisal, run: &'a Run) -> Self {
        Self {
            desk,
            run,
            now: base.limit.verdict,
            unasked: desk.weighing.car.listing.asking.is_none(),
            sorted: Sorted::of(&desk.line.gain),
            hours: Sorted::of(&desk.weighing.columns.hours),
            tried: BTreeMap::new(),
        }
    }

    fn to_buy(&self) -> bool {
        self.now != Verdict::Buy
    }

    fn mind(mut self) -> Mind {
        let answers = self.answers();
        let mut sets = if self.to_buy() {
            Vec::new()
        } else {
            self.ending(&answers)
        };
        let moving = self.moving(&answers);
        let none_moves = moving.is_empty();
        sets.extend(moving);
        let words = match (none_moves, self.to_buy()) {
            (true, true) => "No one, two or three answers still to come would make it a buy.",
            (true, false) => {
                "No one, two or three answers that leave the deal open would make it a leave."
            }
            (false, _) => "",
        };
        Mind {
            now: self.now,
            to_buy: self.to_buy(),
            sets,
            words: words.to_owned(),
        }
    }

    /// Every answer of the checks that move most, and every answer that ends the deal; the likeliest first.
    fn answers(&self) -> Vec<Answer> {
        let desk = self.desk;
        let mut rough = desk.rough(FindOutWish::default(), None);
        rough.retain(|one| one.net > f64::MIN);
        rough.sort_by(|a, b| b.most.total_cmp(&a.most).then(a.row.cmp(&b.row)));
        let mut found = Vec::new();
        for (place, one) in rough.iter().enumerate() {
            let sign = &desk.weighing.knowledge.tables().signs[one.row];
            let in_force = &desk.weighing.purpose.stops;
            let stop = sign
                .stop
                .as_ref()
                .filter(|stop| in_force.contains(&stop.group));
            let columns = (place < TO_TRY)
                .then(|| desk.table.chances(desk.weighing, one.row))
                .flatten();
            for (level, chance) in one.outcomes.chances.iter().enumerate() {
                let stops = stop.is_some_and(|stop| level >= stop.from_level);
                let column = columns.as_ref().and_then(|columns| columns.get(level));
                if *chance < LEAST_CHANCE || (column.is_none() && !stops) {
                    continue;
                }
                let (limit, turns) =
                    column.map_or((Money::ZERO, false), |weights| self.effect(weights));
                found.push(Answer {
                    row: one.row,
                    level,
                    chance: *chance,
                    limit,
                    stops,
                    turns,
                });
            }
        }
        found.sort_by(|a, b| {
            b.chance
                .total_cmp(&a.chance)
                .then((a.row, a.level).cmp(&(b.row, b.level)))
        });
        found
    }

    /// The limit with the draws weighed so, and whether that turns the verdict.
    fn effect(&self, weights: &[f64]) -> (Money, bool) {
        let line = self.desk.line;
        let (mut all, mut sum, mut donor) = (0.0, 0.0, 0.0);
        for ((weight, gain), pays) in weights.iter().zip(&line.gain).zip(&line.worth_repairing) {
            all += weight;
            sum += weight * gain;
            donor += if *pays { 0.0 } else { *weight };
        }
        if all <= 0.0 {
            return (self.desk.limit, false);
        }
        let limit = self.desk.limit_with(weights, sum / all, &self.sorted);
        let most_hours = self.desk.weighing.buyer.most_hours;
        let too_long = most_hours.is_some_and(|most| self.hours.quantile(weights, 0.5) > most);
        let planned = self.unasked || dollars(limit) > self.desk.floor.max(0.0);
        let buy = donor <= 0.5 * all && !too_long && limit > Money::ZERO && planned;
        (limit, buy == self.to_buy())
    }

    /// Single answers that end the deal, the likeliest of each check.
    fn ending(&self, answers: &[Answer]) -> Vec<FactSet> {
        let mut rows = Vec::new();
        let weighing = self.desk.weighing;
        let tables = weighing.knowledge.tables();
        let mut sets = Vec::new();
        for one in answers.iter().filter(|one| one.stops) {
            let sign = tables.signs[one.row].id.as_str();
            let then = with_answers(weighing.car, &[(sign, one.level)]);
            let found = stops(&then, weighing.buyer, weighing.purpose, tables);
            let ends = found.iter().any(|stop| stop.waived.is_none());
            if rows.contains(&one.row) || !ends {
                continue;
            }
            rows.push(one.row);
            sets.push(FactSet {
                facts: vec![self.fact(one)],
                chance: one.chance,
                stops: true,
                verdict: Verdict::Leave,
                limit: None,
            });
            if sets.len() == MOST_SETS {
                break;
            }
        }
        sets
    }

    /// The smallest sets that move the figures far enough.
    fn moving(&mut self, answers: &[Answer]) -> Vec<FactSet> {
        let open: Vec<&Answer> = answers.iter().filter(|one| !one.stops).collect();
        let single = open.iter().filter(|one| one.turns);
        let single: Vec<(Vec<&Answer>, f64)> = single.map(|one| (vec![*one], one.chance)).collect();
        let mut sets = self.proved(single);
        let strongest = self.strongest(&open);
        let columns: Vec<Vec<f64>> = (strongest.iter())
            .map(|one| {
                self.desk
                    .table
                    .weights(self.desk.weighing, one.row, one.level)
            })
            .collect();
        for size in 2..=3 {
            if sets.is_empty() {
                let turning = self.combined(&strongest, &columns, size);
                sets = self.proved(turning);
            }
        }
        sets
    }

    /// Of each check the answer that moves the limit furthest the wanted way; the checks that do most first.
    fn strongest<'b>(&self, open: &[&'b Answer]) -> Vec<&'b Answer> {
        let gain = |one: &Answer| {
            let moved = dollars(one.limit) - dollars(self.desk.limit);
            if self.to_buy() { moved } else { -moved }
        };
        let mut best: BTreeMap<usize, &Answer> = BTreeMap::new();
        for one in open {
            let kept = best.entry(one.row).or_insert(one);
            if gain(one) > gain(kept) {
                *kept = one;
            }
        }
        let mut best: Vec<&Answer> = best.into_values().filter(|one| gain(one) > 0.0).collect();
        best.sort_by(|a, b| gain(b).total_cmp(&gain(a)).then(a.row.cmp(&b.row)));
        best.truncate(TO_COMBINE);
        best
    }

    /// Sets of a size that turn the verdict, as the draws have it; the likeliest first.
    fn combined<'b>(
        &self,
        strongest: &[&'b Answer],
        columns: &[Vec<f64>],
        size: usize,
    ) -> Vec<(Vec<&'b Answer>, f64)> {
        let mut found = Vec::new();
        for chosen in choices(strongest.len(), size) {
            let mut weights = vec![1.0; self.desk.line.gain.len()];
            for at in &chosen {
                for (weight, share) in weights.iter_mut().zip(&columns[*at]) {
                    *weight *= share;
                }
            }
            #[expect(clippy::cast_precision_loss, reason = "a count of draws")]
            let chance = weights.iter().sum::<f64>() / weights.len().max(1) as f64;
            if chance >= LEAST_CHANCE && self.effect(&weights).1 {
                found.push((chosen.iter().map(|at| strongest[*at]).collect(), chance));
            }
        }
        found.sort_by(|a: &(Vec<&Answer>, f64), b| b.1.total_cmp(&a.1));
        found
    }

    /// Those that the whole weighing bears out, none of whose answers can be left out.
    fn proved(&mut self, sets: Vec<(Vec<&Answer>, f64)>) -> Vec<FactSet> {
        let mut told: Vec<FactSet> = Vec::new();
        for (set, chance) in sets {
            if told.len() == MOST_SETS || self.tried.len() >= MOST_TRIED {
                break;
            }
            let signs = |facts: &[Fact]| {
                facts
                    .iter()
                    .map(|fact| fact.sign.clone())
                    .collect::<Vec<_>>()
            };
            let facts: Vec<Fact> = set.iter().map(|one| self.fact(one)).collect();
            if told
                .iter()
                .any(|other| signs(&other.facts) == signs(&facts))
            {
                // Another answer of the same checks tells nothing new.
                continue;
            }
            let (verdict, limit) = self.weighed(&set);
            if (verdict == Verdict::Buy) != self.to_buy() {
                continue;
            }
            let needed = (0..set.len()).all(|left_out| {
                let mut fewer = set.clone();
                fewer.remove(left_out);
                fewer.is_empty() || (self.weighed(&fewer).0 == Verdict::Buy) != self.to_buy()
            });
            if needed {
                told.push(FactSet {
                    facts,
                    chance,
                    stops: false,
                    verdict,
                    limit,
                });
            }
        }
        told
    }

    /// Verdict and limit of the whole weighing with these answers on file.
    fn weighed(&mut self, set: &[&Answer]) -> (Verdict, Option<Money>) {
        let mut key: Vec<Place> = set.iter().map(|one| (one.row, one.level)).collect();
        key.sort_unstable();
        if let Some(known) = self.tried.get(&key) {
            return *known;
        }
        let weighing = self.desk.weighing;
        let signs = &weighing.knowledge.tables().signs;
        let answers: Vec<(&str, usize)> = key
            .iter()
            .map(|(row, level)| (signs[*row].id.as_str(), *level))
            .collect();
        let then = with_answers(weighing.car, &answers);
        let out = weighing.knowledge.appraise(&then, weighing.buyer, self.run);
        let found = (out.limit.verdict, out.limit.price);
        self.tried.insert(key, found);
        found
    }

    fn fact(&self, one: &Answer) -> Fact {
        let sign = &self.desk.weighing.knowledge.tables().signs[one.row];
        Fact {
            sign: sign.id.clone(),
            name: sign.name.clone(),
            level: one.level,
            words: sign.levels.get(one.level).cloned().unwrap_or_default(),
        }
    }
}

/// Every choice of so many places out of a count, in order.
fn choices(count: usize, size: usize) -> Vec<Vec<usize>> {
    if size == 0 {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for last in 0..count {
        for mut fewer in choices(last, size - 1) {
            fewer.push(last);
            all.push(fewer);
        }
    }
    all
}
