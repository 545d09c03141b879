//! A fake engine: plausible invented figures out of a record, so that edits move them. It checks nothing about the real one.

use std::collections::BTreeMap;
use wrenchworth::car::{Buyer, CarRecord, Money, Pin, System};
use wrenchworth::engine::*;
use wrenchworth::trade::{Severity, Tables};
use wrenchworth::tui::ports::Engine;

pub struct FakeEngine {
    tables: Tables,
}

impl FakeEngine {
    pub fn new() -> Self {
        Self {
            tables: super::tables::tables(),
        }
    }
}

fn number(money: Money) -> f64 {
    money.to_string().parse().unwrap_or(0.0)
}

fn spread(p10: f64, p50: f64, p90: f64) -> Spread {
    Spread {
        mean: p50,
        p10,
        p20: p10 + (p50 - p10) * 0.4,
        p30: p10 + (p50 - p10) * 0.7,
        p50,
        p80: p50 + (p90 - p50) * 0.7,
        p90,
    }
}

/// Name, system, chance, ordinary, severities, cash, hours, takes, standing.
type Made = (
    &'static str,
    &'static str,
    System,
    f64,
    f64,
    &'static [Severity],
    [f64; 3],
    [f64; 3],
    f64,
    Standing,
);

const MADE: [Made; 11] = [
    (
        "ENG07",
        "timing chain or guides",
        System::Engine,
        0.58,
        0.07,
        &[Severity::Strands, Severity::Worsens],
        [240.0, 310.0, 410.0],
        [7.0, 9.0, 13.0],
        230.0,
        Standing::Likely,
    ),
    (
        "SUS09",
        "front tires too old",
        System::Suspension,
        1.0,
        0.3,
        &[Severity::Unsafe],
        [130.0, 150.0, 180.0],
        [0.0, 0.0, 0.0],
        150.0,
        Standing::Seen,
    ),
    (
        "BRA02",
        "front pads and discs",
        System::Brakes,
        1.0,
        0.3,
        &[Severity::Unsafe, Severity::Worsens],
        [95.0, 115.0, 140.0],
        [1.5, 2.0, 3.0],
        115.0,
        Standing::Seen,
    ),
    (
        "HEA01",
        "AC leaks",
        System::Heating,
        0.83,
        0.35,
        &[Severity::Annoys],
        [90.0, 200.0, 420.0],
        [0.0, 0.0, 0.0],
        60.0,
        Standing::Likely,
    ),
    (
        "FUE11",
        "catalyst worn out",
        System::Fuel,
        0.09,
        0.06,
        &[Severity::Worsens],
        [300.0, 450.0, 700.0],
        [1.0, 2.0, 4.0],
        44.0,
        Standing::Unseen,
    ),
    (
        "ENG03",
        "cam cover gasket",
        System::Engine,
        1.0,
        0.2,
        &[Severity::Worsens, Severity::Annoys],
        [22.0, 35.0, 50.0],
        [1.0, 1.5, 2.0],
        35.0,
        Standing::Seen,
    ),
    (
        "BOD04",
        "dents, left rear",
        System::Body,
        1.0,
        0.4,
        &[Severity::Looks],
        [0.0, 0.0, 0.0],
        [0.0, 0.0, 0.0],
        30.0,
        Standing::Seen,
    ),
    (
        "SUS02",
        "rear dampers",
        System::Suspension,
        0.24,
        0.2,
        &[Severity::Worsens, Severity::Annoys],
        [80.0, 105.0, 140.0],
        [2.0, 3.0, 5.0],
        26.0,
        Standing::Unseen,
    ),
    (
        "FUE04",
        "front O2 sensor",
        System::Fuel,
        0.31,
        0.15,
        &[Severity::Worsens, Severity::Annoys],
        [60.0, 80.0, 110.0],
        [0.5, 0.5, 1.0],
        25.0,
        Standing::Likely,
    ),
    (
        "COO02",
        "water pump",
        System::Cooling,
        0.12,
        0.13,
        &[Severity::Strands],
        [120.0, 170.0, 260.0],
        [3.0, 4.0, 7.0],
        24.0,
        Standing::Unseen,
    ),
    (
        "SUS07",
        "front wheel bearing",
        System::Suspension,
        0.04,
        0.05,
        &[Severity::Unsafe, Severity::Worsens],
        [70.0, 100.0, 160.0],
        [2.0, 3.0, 5.0],
        9.0,
        Standing::Unseen,
    ),
];

fn faults(car: &CarRecord) -> Vec<FaultFigure> {
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
                    cash: *cash,
                    hours: *hours,
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

fn rung(id: &str, label: &str, cash: f64, kind: RungKind, trace: &str) -> Rung {
    let cents = (cash * 100.0).round() as i64;
    Rung {
        id: id.to_owned(),
        label: label.to_owned(),
        cash: Money::from_decimal(rust_decimal::Decimal::new(cents, 2)),
        kind,
        trace_id: trace.to_owned(),
    }
}

fn ladder(worth: f64, faults: &[FaultFigure], unseen: f64) -> (Vec<Rung>, f64) {
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

fn node(label: &str, value: &str, kind: TraceKind, parts: &[String]) -> TraceNode {
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

fn trace(rungs: &[Rung], faults: &[FaultFigure]) -> Trace {
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

fn offer(car: &CarRecord, limit: Option<f64>, floor: f64) -> Offer {
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

fn stops(car: &CarRecord, tables: &Tables) -> Vec<Stop> {
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

fn chances(name: &str, limit: Option<f64>) -> Chances {
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

impl Engine for FakeEngine {
    fn appraise(&self, car: &CarRecord, buyer: &Buyer, run: &Run) -> Appraisal {
        let faults = faults(car);
        let worth = car.worth.own.map(|own| number(own.likely));
        let unseen = (305.0 - 12.0 * car.observations.len() as f64).max(50.0);
        let (mut rungs, limit) = ladder(worth.unwrap_or(0.0), &faults, unseen);
        let mut limit = worth.map(|_| limit.max(0.0));
        if let (Some(value), Some(wallet)) = (limit, buyer.wallet) {
            limit = Some(value.min(number(wallet)));
        }
        if worth.is_none() {
            rungs.retain(|rung| {
                !matches!(
                    rung.kind,
                    RungKind::Worth | RungKind::Room | RungKind::Right | RungKind::Limit
                )
            });
        } else if let (Some(limit), Some(last)) = (limit, rungs.last_mut()) {
            last.cash = Money::whole(limit as i64);
        }
        let floor = worth.map_or(300.0, |worth| worth * 0.12);
        let money = |value: f64| Money::whole(((value / 25.0).floor() * 25.0) as i64);
        let trace = trace(&rungs, &faults);
        let settle = limit.map(|limit| limit * 0.91);
        Appraisal {
            assumptions: Assumptions {
                date: run.today,
                buyer: "buyer.json".to_owned(),
                purpose: buyer.purpose.clone(),
                draws: run.draws,
                seed: run.seed,
                tables_as_of: "2026-09".to_owned(),
                assumed: vec![Assumption {
                    id: "class".to_owned(),
                    words: "an ordinary mid-size car".to_owned(),
                }],
            },
            care: vec![0.2; 5],
            openness: vec![0.3, 0.4, 0.3],
            repair: RepairFigures {
                cash: spread(390.0, 575.0, 890.0),
                hours: spread(11.0, 17.0, 26.0),
                trace_id: "repair".to_owned(),
                ..RepairFigures::default()
            },
            unseen: UnseenFigures {
                cash: spread(100.0, unseen, 700.0),
                hours: spread(1.0, 4.0, 9.0),
                checks_not_seen: 44,
                faults: 131,
                trace_id: "unseen".to_owned(),
            },
            wear: None,
            fit_out: Spread::default(),
            fees: 200.0,
            allowance: 100.0,
            ladder: rungs,
            worth: worth.map(|worth| spread(worth * 0.85, worth, worth * 1.12)),
            worth_missing: worth
                .is_none()
                .then(|| "Worth not known: costs only.".to_owned()),
            floor: Floor {
                scrap: floor * 0.8,
                parts: floor,
                as_is: floor * 0.9,
                best: floor,
            },
            limit: LimitFigures {
                price: limit.map(money),
                low: limit.map(|limit| money(limit * 0.85)),
                high: limit.map(|limit| money(limit * 1.18)),
                lines: LimitLines::default(),
                binds: "value".to_owned(),
                blind: limit.map(money),
                if_nothing_new: None,
                withheld_because: Vec::new(),
                verdict: Verdict::Buy,
                words: "Buy at the limit or under.".to_owned(),
                donor_chance: 0.05,
                trace_id: "limit".to_owned(),
            },
            offer: offer(car, limit, floor),
            all_you_pay: settle
                .map(|settle| spread(settle + 700.0, settle + 1000.0, settle + 1550.0)),
            you_are_up: settle.map(|_| spread(-75.0, 365.0, 805.0)),
            chances: chances(&car.name, limit),
            pace: Some(Pace {
                zero_to_60_mph_s: 10.6,
                quarter_mile_s: 17.8,
                quarter_mile_mph: 78.0,
                band_s: 1.0,
            }),
            stops: stops(car, &self.tables),
            cautions: Vec::new(),
            not_in_tables: Vec::new(),
            faults,
            trace,
        }
    }

    fn compare(&self, cars: &[(&CarRecord, &str)], buyer: &Buyer, run: &Run) -> Comparison {
        let count = cars.len();
        let wins = (0..count)
            .map(|row| {
                (0..count)
                    .map(|column| {
                        if row == column {
                            0.0
                        } else if row < column {
                            0.61
                        } else {
                            0.39
                        }
                    })
                    .collect()
            })
            .collect();
        Comparison {
            cars: cars
                .iter()
                .map(|(car, slug)| ComparedCar {
                    slug: (*slug).to_owned(),
                    name: car.name.clone(),
                    appraisal: self.appraise(car, buyer, run),
                })
                .collect(),
            wins,
            first_in: (0..count).map(|at| 0.44 - 0.11 * at as f64).collect(),
            none_of_these: 0.06,
            regret: vec![40.0; count],
            best: Some(0),
            swap: Some("A’s cold start, 1 minute, may swap the order.".to_owned()),
            words: vec!["A and C are close until A is heard cold.".to_owned()],
        }
    }

    fn tables(&self) -> &Tables {
        &self.tables
    }
}
