//! The ladder from worth to the limit, one rung a cause. Means down to the room add up to the cent.

use super::amounts::{dollars, money, to_money_adding_up};
use super::figures::{FaultFigure, Rung, RungKind, Standing};
use super::limit::LimitLine;
use crate::car::Money;

/// Likely faults with a rung of their own; the rest share one.
const LIKELY_RUNGS: usize = 6;
/// A fault that takes less than this on average has no rung of its own, dollars.
const LEAST_RUNG: f64 = 8.0;

/// The sums behind the rungs, mean dollars, all positive.
#[derive(Debug, Clone, Copy, Default)]
pub struct RungSums {
    /// Worth.
    pub worth: f64,
    /// Faults not tied to a sign above benign: cures and drops.
    pub unseen: f64,
    /// Ordinary checks not answered.
    pub checks_not_seen: usize,
    /// Fit-out that belongs to the worth.
    pub fit_out: f64,
    /// What sharing work saved.
    pub shared: f64,
    /// Ordinary unseen faults that the worth carries already.
    pub allowance: f64,
    /// Parts of known age, over or under those of unknown history.
    pub wear: f64,
    /// Floor lift.
    pub floor_lift: f64,
    /// Fees.
    pub fees: f64,
    /// Wishes.
    pub wishes: f64,
    /// Margin.
    pub margin: f64,
}

struct Draft {
    id: String,
    label: String,
    amount: f64,
    kind: RungKind,
}

fn draft(id: impl Into<String>, label: impl Into<String>, amount: f64, kind: RungKind) -> Draft {
    Draft {
        id: id.into(),
        label: label.into(),
        amount,
        kind,
    }
}

/// All rungs, from worth to the limit; `limit` is the rounded limit, absent where there is no worth.
#[must_use]
pub fn rungs(
    faults: &[FaultFigure],
    sums: &RungSums,
    line: Option<&LimitLine>,
    confidence: f64,
    limit: Option<Money>,
) -> Vec<Rung> {
    let mut drafts = Vec::new();
    if line.is_some() {
        drafts.push(draft(
            "worth",
            "worth, once right",
            sums.worth,
            RungKind::Worth,
        ));
    }
    drafts.extend(of_faults(faults));
    let checks = sums.checks_not_seen;
    let not_seen = if checks > 0 {
        format!("{checks} checks not seen")
    } else {
        "what no check shows".to_owned()
    };
    drafts.push(draft("unseen", not_seen, -sums.unseen, RungKind::Unseen));
    drafts.push(draft(
        "fit_out",
        "fit-out for the purpose",
        -sums.fit_out,
        RungKind::Rule,
    ));
    drafts.push(draft(
        "shared",
        "work shared by jobs",
        sums.shared,
        RungKind::Lift,
    ));
    drafts.push(draft(
        "allowance",
        "ordinary faults, in the worth already",
        sums.allowance,
        RungKind::Lift,
    ));
    let kind = if sums.wear > 0.0 {
        RungKind::Rule
    } else {
        RungKind::Lift
    };
    drafts.push(draft("wear", "parts of known age", -sums.wear, kind));
    drafts.push(draft(
        "floor_lift",
        "given up where it does not pay",
        sums.floor_lift,
        RungKind::Lift,
    ));
    drafts.push(draft(
        "fees",
        "fees, fetching, first service",
        -sums.fees,
        RungKind::Rule,
    ));
    drafts.push(draft(
        "wishes",
        "because you want it",
        sums.wishes,
        RungKind::Lift,
    ));
    drafts.push(draft("margin", "your margin", -sums.margin, RungKind::Rule));
    drafts.retain(|rung| rung.id == "worth" || rung.amount.abs() >= 0.005);
    let cents = to_money_adding_up(&drafts.iter().map(|rung| rung.amount).collect::<Vec<_>>());
    let room: Money = cents.iter().copied().sum();
    let mut out: Vec<Rung> = drafts
        .into_iter()
        .zip(cents)
        .map(|(rung, cash)| Rung {
            trace_id: format!("rung/{}", rung.id),
            id: rung.id,
            label: rung.label,
            cash,
            kind: rung.kind,
        })
        .collect();
    if let (Some(line), Some(limit)) = (line, limit) {
        below_the_room(&mut out, room, line, confidence, limit);
    }
    out
}

/// Rungs under the room: being right so often, the wallet or the rules, tax, rounding. They end on the limit exactly.
fn below_the_room(
    out: &mut Vec<Rung>,
    room: Money,
    line: &LimitLine,
    confidence: f64,
    limit: Money,
) {
    let mut push = |id: &str, label: String, cash: Money, kind: RungKind| {
        out.push(Rung {
            id: id.to_owned(),
            label,
            cash,
            kind,
            trace_id: format!("rung/{id}"),
        });
    };
    push("room", "room, on average".to_owned(), room, RungKind::Room);
    let mut at = room;
    let mut step_to = |id: &str, label: String, target: Money| {
        if target != at {
            push(id, label, target - at, RungKind::Right);
            at = target;
        }
    };
    step_to(
        "right",
        format!("to be right {:.0} in 10", confidence * 10.0),
        money(line.value),
    );
    let held = match line.binds {
        "wallet" => "what the wallet holds",
        "rules" => "what the house rules allow",
        _ => "",
    };
    if !held.is_empty() {
        step_to("held", held.to_owned(), money(line.before_tax));
    }
    if line.price > 0.0 {
        step_to("tax", "tax on the price".to_owned(), money(line.price));
        step_to("rounding", "rounded down".to_owned(), limit);
    } else {
        step_to(
            "nothing",
            "you need not pay them to take it".to_owned(),
            limit,
        );
    }
    push("limit", "LIMIT".to_owned(), limit, RungKind::Limit);
}

fn of_faults(faults: &[FaultFigure]) -> Vec<Draft> {
    let mut out = Vec::new();
    let of = |standing: Standing, needed: bool| {
        faults
            .iter()
            .filter(move |fault| fault.standing == standing && fault.needed == needed)
    };
    let (own, small): (Vec<_>, Vec<_>) =
        of(Standing::Seen, true).partition(|fault| fault.takes >= LEAST_RUNG);
    out.extend(own.iter().map(|fault| {
        draft(
            format!("fault/{}", fault.id),
            format!("{}, seen", fault.name),
            -fault.takes,
            RungKind::Seen,
        )
    }));
    push_rest(&mut out, "more_seen", "seen", &small, RungKind::Seen);
    let (own, small): (Vec<_>, Vec<_>) = of(Standing::Likely, true)
        .enumerate()
        .partition(|(place, fault)| *place < LIKELY_RUNGS && fault.takes >= LEAST_RUNG);
    out.extend(own.iter().map(|(_, fault)| {
        let label = format!("{}, {:.0}%", fault.name, fault.chance * 100.0);
        draft(
            format!("fault/{}", fault.id),
            label,
            -fault.takes,
            RungKind::Likely,
        )
    }));
    let small: Vec<&FaultFigure> = small.iter().map(|(_, fault)| *fault).collect();
    push_rest(&mut out, "more_likely", "likely", &small, RungKind::Likely);
    let lived: f64 = of(Standing::Seen, false)
        .chain(of(Standing::Likely, false))
        .map(|fault| fault.takes)
        .sum();
    out.push(draft("lived_with", "lived with", -lived, RungKind::Rule));
    out
}

fn push_rest(out: &mut Vec<Draft>, id: &str, word: &str, rest: &[&FaultFigure], kind: RungKind) {
    let sum: f64 = rest.iter().map(|fault| fault.takes).sum();
    if !rest.is_empty() {
        out.push(draft(
            id,
            format!("{} more, {word}", rest.len()),
            -sum,
            kind,
        ));
    }
}

/// Sum of the rungs above the room, for checks: equal to the room to the cent.
#[must_use]
pub fn sum_to_room(rungs: &[Rung]) -> f64 {
    rungs
        .iter()
        .take_while(|rung| rung.kind != RungKind::Room)
        .map(|rung| dollars(rung.cash))
        .sum()
}
