//! One car weighed: every stage in its order, from what is on file to the limit, the offer and the place on the triangle.

use super::amounts::{dollars, round_limit};
use super::assumptions::assumptions;
use super::chances::{ChanceInputs, chances};
use super::draws::{mean, spread};
use super::fault_figures::fault_figures;
use super::figures::{
    Appraisal, FaultFigure, Floor, LimitFigures, LimitLines, Offer, OfferKind, RepairFigures, Run,
    Spread, Standing, Trace, UnseenFigures,
};
use super::floor::FloorDraw;
use super::knowledge::Knowledge;
use super::limit::{LimitLine, limit};
use super::ordinary::{allowance_base, checks_not_seen, if_nothing_new, side_run};
use super::replan::replan;
use super::rules_stage::rules_prices;
use super::rungs::{RungSums, rungs};
use super::stops::{cautions, stops, wishes_worth};
use super::trace_build::build_trace;
use super::verdict::{judge, no_limit, no_offer};
use super::weighing::{MoneyColumns, Weighing};
use super::worth::{Worth, WorthInputs, worth};
use crate::car::{Buyer, CarRecord, Money, Who, WorthMeans};

/// Everything known after the money stage.
pub(crate) struct Weighed {
    pub line: LimitLine,
    pub limit: Money,
    pub low: Money,
    pub high: Money,
    pub allowance: f64,
    pub rules: Option<(f64, f64)>,
}

/// Weighs one car. Pure: the same arguments give the same bytes.
#[must_use]
pub fn appraise(knowledge: &Knowledge, car: &CarRecord, buyer: &Buyer, run: &Run) -> Appraisal {
    appraise_with_column(knowledge, car, buyer, run).0
}

/// The same, with what each draw leaves the buyer better off by; absent without a worth.
pub(crate) fn appraise_with_column(
    knowledge: &Knowledge,
    car: &CarRecord,
    buyer: &Buyer,
    run: &Run,
) -> (Appraisal, Option<Vec<f64>>) {
    let run = &Run {
        draws: run.draws.max(1),
        ..*run
    };
    let weighing = Weighing::of(knowledge, car, buyer, run);
    let worth = worth(&WorthInputs {
        particulars: &car.particulars,
        basis: &car.worth,
        means: weighing.means(),
        settings: &knowledge.tables().settings.worth,
        table: knowledge.quantiles(),
    });
    let mut out = without_worth(&weighing);
    let mut up = None;
    let money = match &worth {
        Ok(worth) => {
            let money = MoneyColumns::of(&weighing, worth);
            let base = allowance_base(&weighing);
            let weighed = weigh_money(&weighing, &money, allowance_of(&weighing, base));
            up = Some(with_worth(&mut out, &weighing, &money, &weighed));
            nothing_new_limit(&mut out, &weighing, worth, base);
            Some(money)
        }
        Err(missing) => {
            out.worth_missing = Some(missing.clone());
            out.offer = replanned(&out, &weighing);
            None
        }
    };
    let made = chances(&ChanceInputs {
        weighing: &weighing,
        money: money.as_ref(),
        price: price_in_hand(car, &out),
        allowance: out.allowance,
    });
    out.chances = made.chances;
    out.pace = made.pace;
    out.trace = build_trace(&out, &weighing, worth.as_ref().ok());
    (out, up)
}

/// Allowance: the lesser of B and what is unseen here; nothing where worth is no ordinary car's.
pub(crate) fn allowance_of(weighing: &Weighing<'_>, base: f64) -> f64 {
    match weighing.means() {
        WorthMeans::Ordinary => base.min(mean(&weighing.columns.unseen_cost)).max(0.0),
        _ => 0.0,
    }
}

pub(crate) fn weigh_money(
    weighing: &Weighing<'_>,
    money: &MoneyColumns,
    allowance: f64,
) -> Weighed {
    let rules = rules_prices(weighing, money);
    let inputs = money.limit_inputs(weighing, allowance, rules);
    let line = limit(&inputs);
    Weighed {
        limit: round_limit(line.price.max(0.0)),
        low: round_limit(line.price_at(&inputs, 0.9).max(0.0)),
        high: round_limit(line.price_at(&inputs, 0.5).max(0.0)),
        allowance,
        rules,
        line,
    }
}

/// The parts of an appraisal that need no worth.
fn without_worth(weighing: &Weighing<'_>) -> Appraisal {
    let (knowledge, car, buyer, columns) = (
        weighing.knowledge,
        weighing.car,
        weighing.buyer,
        &weighing.columns,
    );
    let tables = knowledge.tables();
    let faults = fault_figures(car, tables, &weighing.diagnosis, &weighing.jobs, columns);
    #[expect(clippy::cast_precision_loss, reason = "a count of draws")]
    let draws = columns.cost.len().max(1) as f64;
    let unseen = UnseenFigures {
        cash: spread(&columns.unseen_cash),
        hours: spread(&columns.unseen_hours),
        checks_not_seen: checks_not_seen(car, tables),
        faults: faults
            .iter()
            .filter(|fault| fault.standing == Standing::Unseen)
            .count(),
        trace_id: "unseen".to_owned(),
    };
    let sums = RungSums {
        unseen: mean(&columns.unseen_cost),
        checks_not_seen: unseen.checks_not_seen,
        shared: columns.shared_saved / draws,
        wear: mean(&columns.wear),
        ..RungSums::default()
    };
    Appraisal {
        assumptions: assumptions(weighing),
        ladder: rungs(&faults, &sums, None, weighing.confidence(), None),
        care: weighing.diagnosis.care.to_vec(),
        openness: weighing.diagnosis.openness.to_vec(),
        repair: RepairFigures {
            cash: spread(&columns.cash),
            hours: spread(&columns.hours),
            garage_hours: spread(&columns.garage_hours),
            shared_labour_saved: columns.shared_saved / draws,
            tools: columns.tools / draws,
            trace_id: "repair".to_owned(),
        },
        unseen,
        wear: (weighing.journey.miles > 0.0).then(|| spread(&columns.wear)),
        fit_out: Spread::default(),
        fees: dollars(car.fees.unwrap_or(buyer.fees)),
        allowance: 0.0,
        worth: None,
        worth_missing: None,
        floor: Floor::default(),
        limit: no_limit(),
        offer: no_offer("No offer: worth not known."),
        all_you_pay: None,
        you_are_up: None,
        chances: super::figures::Chances::default(),
        pace: None,
        stops: stops(car, buyer, weighing.purpose, tables),
        cautions: cautions(car, &faults, tables),
        not_in_tables: weighing.diagnosis.not_in_tables.clone(),
        trace: Trace::default(),
        faults,
    }
}

/// The plan of offers, by the same way that a figure of the talks takes.
fn replanned(out: &Appraisal, weighing: &Weighing<'_>) -> Offer {
    let tables = weighing.knowledge.tables();
    replan(
        out,
        weighing.car,
        weighing.buyer,
        tables,
        weighing.run.today,
    )
}

/// Adds worth, floor, ladder, limit and offer; gives what each draw leaves the buyer better off by.
fn with_worth(
    out: &mut Appraisal,
    weighing: &Weighing<'_>,
    money: &MoneyColumns,
    weighed: &Weighed,
) -> Vec<f64> {
    let (car, line) = (weighing.car, &weighed.line);
    out.worth = Some(spread(&money.worth));
    out.fit_out = spread(&money.fit_out_cash);
    out.fees = weighing.fees(&money.fit_out);
    out.allowance = weighed.allowance;
    out.floor = mean_floor(&money.floor);
    let sums = RungSums {
        worth: mean(&money.worth),
        unseen: mean(&weighing.columns.unseen_cost),
        checks_not_seen: out.unseen.checks_not_seen,
        fit_out: money.fit_out_in_cost,
        shared: out.repair.shared_labour_saved,
        allowance: weighed.allowance,
        wear: mean(&weighing.columns.wear),
        floor_lift: line.floor_lift,
        fees: out.fees,
        wishes: wishes_worth(car, weighing.buyer),
        margin: weighing.margin(mean(&money.worth)),
    };
    out.ladder = rungs(
        &out.faults,
        &sums,
        Some(line),
        weighing.confidence(),
        Some(weighed.limit),
    );
    out.limit = LimitFigures {
        price: Some(weighed.limit),
        low: Some(weighed.low),
        high: Some(weighed.high),
        lines: LimitLines {
            value: Some(line.value),
            wallet: line.wallet,
            rules_hopeful: weighed.rules.map(|rules| rules.0),
            rules_cautious: weighed.rules.map(|rules| rules.1),
        },
        binds: line.binds.to_owned(),
        blind: Some(weighed.limit),
        donor_chance: line.donor_chance,
        ..no_limit()
    };
    out.offer = replanned(out, weighing);
    judge(out, weighing);
    let paid = out.offer.settle.or(out.limit.price).unwrap_or_default();
    let paid = dollars(car.bought_at.unwrap_or(paid));
    let spent: Vec<f64> = (0..line.gain.len())
        .map(|at| {
            let work = if line.worth_repairing[at] {
                weighing.columns.cash[at] + money.fit_out_cash[at]
            } else {
                0.0
            };
            paid + out.fees + work
        })
        .collect();
    out.all_you_pay = Some(spread(&spent));
    let up = |paid: f64| line.gain.iter().map(|gain| gain - paid).collect::<Vec<_>>();
    out.you_are_up = Some(spread(&up(paid)));
    // Set against other cars at a price that can be had: without a ladder that is what they ask, not a figure they will laugh at.
    match (out.offer.kind, car.bought_at, car.listing.asking) {
        (OfferKind::One | OfferKind::Leave, None, Some(asking)) => up(dollars(asking)),
        _ => up(paid),
    }
}

pub(crate) fn mean_floor(draws: &[FloorDraw]) -> Floor {
    let of = |pick: fn(&FloorDraw) -> f64| mean(&draws.iter().map(pick).collect::<Vec<_>>());
    Floor {
        scrap: of(|draw| draw.scrap),
        parts: of(|draw| draw.parts),
        as_is: of(|draw| draw.as_is),
        // The bottom of a sane seller's range: what it brings whatever is wrong with it. Sold as it stands counts draw by draw, where
        // putting right does not pay, but a good draw's price is no floor.
        best: of(|draw| draw.scrap.max(draw.parts)),
    }
}

/// The second limit: what it would be if the walk-around found nothing new; withheld while a grave question is open.
fn nothing_new_limit(out: &mut Appraisal, weighing: &Weighing<'_>, worth: &Worth, base: f64) {
    let settings = &weighing.knowledge.tables().settings.limit;
    let grave = |fault: &&FaultFigure| {
        settings.withhold_faults.contains(&fault.id)
            && fault.chance > settings.withhold_above
            && !fault.because_of.is_empty()
    };
    out.limit.withheld_because = out
        .faults
        .iter()
        .filter(grave)
        .map(|fault| fault.id.clone())
        .collect();
    let Some(car) = if_nothing_new(weighing) else {
        return;
    };
    if !out.limit.withheld_because.is_empty() {
        return;
    }
    let side = side_run(weighing.run);
    let then = weighing.again(&car, &side);
    let money = MoneyColumns::of(&then, worth);
    out.limit.if_nothing_new = Some(weigh_money(&then, &money, allowance_of(&then, base)).limit);
}

/// The figure that "cheap" is reckoned at: paid, else the seller's last figure, else asking.
fn price_in_hand(car: &CarRecord, out: &Appraisal) -> Option<f64> {
    let theirs = car
        .talks
        .iter()
        .rev()
        .find(|step| step.who == Who::They && step.amount.is_some());
    car.bought_at
        .or_else(|| theirs.and_then(|step| step.amount))
        .or(car.listing.asking)
        .or(out.limit.price)
        .map(dollars)
}
