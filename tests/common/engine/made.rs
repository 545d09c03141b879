//! The invented figures.
use super::number;
use super::parts::MADE;
use std::collections::BTreeMap;
use wrenchworth::car::{CarRecord, Money, Pin};
use wrenchworth::engine::*;
use wrenchworth::trade::{Severity, Tables};

pub fn faults(car: &CarRecord) -> Vec<FaultFigure> {
    MADE.iter()
        .map(
            |(id, name, system, chance, ordinary, severities, cash, hours, takes, standing)| {
                let pin = car.pins.get(*id);
                let (chance, standing, takes) = match pin {
                    Some(Pin::Certain) => (1.0, Standing::Seen, takes / chance),
                    Some(Pin::RuledOut) => (0.0, Standing::RuledOut, 0.0),
                    None => (*chance, *standing, *takes),
                };
                let lived = severities.first() == Some(&Severity::Annoys)
                    || severities.first() == Some(&Severity::Looks);
                FaultFigure {
                    id: (*id).to_owned(),
                    name: (*name).to_owned(),
                    system: *system,
                    chance,
                    ordinary: *ordinary,
                    standing,
                    because_of: if *id == "ENG07" {
                        vec!["cold-rattle".to_owned()]
                    } else {
                        Vec::new()
                    },
                    reasons: vec![
                        Reason {
                            id: "cold-rattle".to_owned(),
                            words: "rattles a bit when cold, her words".to_owned(),
                            times: 14.0,
                            is_the_cause: Some(0.61),
                        },
                        Reason {
                            id: "care".to_owned(),
                            words: "care for the car, over average".to_owned(),
                            times: 0.8,
                            is_the_cause: None,
                        },
                    ],
                    needed: !lived,
                    route: if lived { Route::LivedWith } else { Route::Home },
                    severities: severities.to_vec(),
                    cash: around(*cash),
                    hours: around(*hours),
                    takes,
                    ways: vec![Way {
                        repair: "chain-set".to_owned(),
                        name: "new parts, fitted".to_owned(),
                        route: Route::Home,
                        why: "skill 3 of 5, yours 3".to_owned(),
                        cash: *cash,
                        hours: *hours,
                        chosen: true,
                        source: "repairs table, invented for tests, 2026-09".to_owned(),
                    }],
                    cautions: Vec::new(),
                    trace_id: format!("fault/{id}"),
                }
            },
        )
        .collect()
}

/// One in ten under, half under, nine in ten under.
fn around([p10, p50, p90]: [f64; 3]) -> Spread {
    Spread {
        mean: p50,
        p10,
        p50,
        p90,
        ..Spread::default()
    }
}

pub fn rung(id: &str, label: &str, cash: f64, kind: RungKind, trace: &str) -> Rung {
    let cents = (cash * 100.0).round() as i64;
    Rung {
        id: id.to_owned(),
        label: label.to_owned(),
        cash: Money::from_decimal(rust_decimal::Decimal::new(cents, 2)),
        kind,
        trace_id: trace.to_owned(),
    }
}

pub fn ladder(worth: f64, faults: &[FaultFigure], unseen: f64) -> (Vec<Rung>, f64) {
    let mut rungs = vec![rung(
        "worth",
        "worth, once right",
        worth,
        RungKind::Worth,
        "worth",
    )];
    let mut total = worth;
    let mut push = |rungs: &mut Vec<Rung>, one: Rung| {
        total += number(one.cash);
        rungs.push(one);
    };
    for (standing, kind) in [
        (Standing::Seen, RungKind::Seen),
        (Standing::Likely, RungKind::Likely),
    ] {
        for fault in faults
            .iter()
            .filter(|fault| fault.standing == standing && fault.needed)
        {
            let label = match kind {
                RungKind::Seen => format!("{}, seen", fault.name),
                _ => format!("{}, {:.0}%", fault.name, fault.chance * 100.0),
            };
            push(
                &mut rungs,
                rung(&fault.trace_id, &label, -fault.takes, kind, &fault.trace_id),
            );
        }
    }
    push(
        &mut rungs,
        rung(
            "unseen",
            "44 checks not seen",
            -unseen,
            RungKind::Unseen,
            "unseen",
        ),
    );
    push(
        &mut rungs,
        rung(
            "wear",
            "wear still to come",
            -180.25,
            RungKind::Unseen,
            "wear",
        ),
    );
    push(
        &mut rungs,
        rung(
            "lived",
            "lived with: AC, dents",
            -90.0,
            RungKind::Rule,
            "lived",
        ),
    );
    push(
        &mut rungs,
        rung(
            "shared",
            "work shared by jobs",
            20.5,
            RungKind::Lift,
            "shared",
        ),
    );
    push(
        &mut rungs,
        rung("fees", "tax, title, fees", -285.0, RungKind::Rule, "fees"),
    );
    push(
        &mut rungs,
        rung("margin", "your margin", -150.0, RungKind::Rule, "margin"),
    );
    rungs.push(rung("room", "room", total, RungKind::Room, "room"));
    let limit = ((total - 240.0) / 25.0).floor() * 25.0;
    rungs.push(rung(
        "right",
        "to be right 7 in 10",
        limit - total,
        RungKind::Right,
        "right",
    ));
    rungs.push(rung("limit", "LIMIT", limit, RungKind::Limit, "limit"));
    (rungs, limit)
}

pub fn node(label: &str, value: &str, kind: TraceKind, parts: &[String]) -> TraceNode {
    TraceNode {
        label: label.to_owned(),
        value: value.to_owned(),
        amount: None,
        sentence: format!("{label}: what it means in one sentence."),
        kind,
        parts: parts.to_vec(),
        source: if parts.is_empty() {
            "invented for tests, 2026-09".to_owned()
        } else {
            String::new()
        },
    }
}

pub fn trace(rungs: &[Rung], faults: &[FaultFigure]) -> Trace {
    let mut nodes = BTreeMap::new();
    let parts: Vec<String> = rungs
        .iter()
        .map(|rung| rung.trace_id.clone())
        .filter(|id| id != "limit")
        .collect();
    nodes.insert(
        "limit".to_owned(),
        node(
            "limit",
            &rungs
                .last()
                .map_or_else(String::new, |rung| rung.cash.to_string()),
            TraceKind::Sum,
            &parts,
        ),
    );
    for (id, words) in [
        ("start", "a seller like any"),
        ("days_listed", "up 24 days"),
        ("drops", "2 drops of the price"),
        ("firm", "firm, they say"),
    ] {
        nodes.insert(
            format!("cue/{id}"),
            node(words, "", TraceKind::Setting, &[]),
        );
    }
    for rung in rungs.iter().filter(|rung| rung.trace_id != "limit") {
        nodes.insert(
            rung.trace_id.clone(),
            node(
                &rung.label,
                &rung.cash.to_string().replace('-', "−"),
                TraceKind::Draws,
                &["row".to_owned()],
            ),
        );
    }
    for fault in faults {
        nodes.insert(
            fault.trace_id.clone(),
            node(
                &fault.name,
                &format!("{:.0}%", fault.chance * 100.0),
                TraceKind::Product,
                &["row".to_owned()],
            ),
        );
    }
    for id in ["offer", "repair", "chances"] {
        nodes.insert(
            id.to_owned(),
            node(id, "", TraceKind::Draws, &["row".to_owned()]),
        );
    }
    nodes.insert(
        "row".to_owned(),
        node("faults, row ENG07", "6.6%", TraceKind::Row, &[]),
    );
    Trace { nodes }
}

/// The next figure, to whatever they named last.
fn reply(car: &CarRecord, open: Money, asks: f64) -> Reply {
    let named = car.talks.iter().rev();
    let named = named
        .filter(|said| said.who == wrenchworth::car::Who::They)
        .find_map(|said| said.amount);
    let theirs = named.unwrap_or(Money::whole(asks as i64));
    Reply {
        theirs,
        what: ReplyKind::Say,
        say: Some(open),
        because: format!("{theirs} is over what it is worth to you; 30 in 100 would take it."),
    }
}

/// Where the belief starts, and what leans it.
fn cues(car: &CarRecord) -> Vec<Cue> {
    let cue = |id: &str, words: &str, moves: Option<f64>| Cue {
        id: id.to_owned(),
        words: words.to_owned(),
        moves,
        mean: 1_400.0,
    };
    let mut all = vec![
        cue(
            "start",
            "a seller like any: takes about 85% of what they ask",
            None,
        ),
        cue("days_listed", "up 24 days", Some(-140.0)),
        cue("drops", "2 drops of the price", Some(-110.0)),
    ];
    all.extend(
        car.listing
            .firm
            .then(|| cue("firm", "firm, they say", Some(90.0))),
    );
    all
}

pub fn offer(car: &CarRecord, limit: Option<f64>, floor: f64) -> Offer {
    let asks = car.listing.asking.map_or(1500.0, number);
    let round = |value: f64| Money::whole(((value / 25.0).floor() * 25.0) as i64);
    let made = car
        .talks
        .iter()
        .filter(|said| said.who == wrenchworth::car::Who::You)
        .count();
    let open = limit.map(|limit| round(limit * (0.8 + 0.03 * made as f64)));
    let settle = limit.map(|limit| round(limit * 0.91));
    let belief = (0..40)
        .map(|at| (-((f64::from(at) - 26.0) / 10.0).powi(2)).exp())
        .collect();
    let limit_money = limit.map(round);
    Offer {
        kind: OfferKind::Ladder,
        open,
        steps: limit.map_or_else(Vec::new, |limit| {
            vec![
                round(limit * (0.8 + 0.03 * made as f64)),
                round(limit * 0.86),
                round(limit * 0.89),
            ]
        }),
        settle,
        limit: limit_money,
        take_it_at: settle,
        chance_of_deal: Some(0.55),
        midpoint: limit.map(|limit| {
            (
                Money::whole(((asks + limit * 0.86) / 2.0) as i64),
                Midpoint::Never,
            )
        }),
        reply: open.map(|open| reply(car, open, asks)),
        cues: cues(car),
        doubts: Vec::new(),
        words: "It has been up 24 days, with two drops.".to_owned(),
        would_take: [limit_money, settle, open]
            .into_iter()
            .flatten()
            .zip([0.59, 0.39, 0.20])
            .collect(),
        belief,
        belief_from: floor,
        belief_to: asks,
        trace_id: "offer".to_owned(),
    }
}

pub fn stops(car: &CarRecord, tables: &Tables) -> Vec<Stop> {
    let mut found = Vec::new();
    for seen in &car.observations {
        let wrenchworth::car::Answer::Level(level) = seen.answer else {
            continue;
        };
        let Some(stop) = tables.sign(&seen.sign).and_then(|sign| sign.stop.as_ref()) else {
            continue;
        };
        if level >= stop.from_level {
            found.push(Stop {
                id: seen.sign.clone(),
                sentence: stop.sentence.clone(),
                waived: car
                    .waivers
                    .get(&seen.sign)
                    .map(|waiver| waiver.words.clone()),
                trace_id: "limit".to_owned(),
            });
        }
    }
    found
}

pub fn chances(name: &str, limit: Option<f64>) -> Chances {
    let at = name.bytes().map(f64::from).sum::<f64>() % 37.0 / 100.0;
    let after = ThreeChances {
        cheap: limit.map(|_| 0.45 + at),
        reliable: Some(0.81 - at / 3.0),
        fast: Some(0.1 + at),
    };
    Chances {
        before: ThreeChances {
            reliable: Some(0.44 - at / 3.0),
            ..after
        },
        after,
        offers: vec!["cheap".to_owned(), "reliable".to_owned()],
        words: "cheap and reliable, not fast".to_owned(),
        unknown_because: Vec::new(),
        laps_share: None,
        trace_id: "chances".to_owned(),
    }
}
