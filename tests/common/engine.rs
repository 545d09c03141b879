//! A fake engine: plausible invented figures out of a record, so that edits move them. It checks nothing about the real one.

mod made;
mod parts;
use made::{chances, faults, ladder, offer, stops, trace};
use wrenchworth::car::{Buyer, CarRecord, Money};
use wrenchworth::engine::find_out::{Fact, FactSet, FindOut, FindOutFigure, Mind};
use wrenchworth::engine::preference::{EVEN, preference};
use wrenchworth::engine::two_prices::{PriceIf, TwoPrices};
use wrenchworth::engine::*;
use wrenchworth::trade::Tables;
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
        sd: (p90 - p10) / 2.56,
        p10,
        p20: p10 + (p50 - p10) * 0.4,
        p30: p10 + (p50 - p10) * 0.7,
        p50,
        p80: p50 + (p90 - p50) * 0.7,
        p90,
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
        let cars: Vec<ComparedCar> = cars
            .iter()
            .map(|(car, slug)| ComparedCar {
                slug: (*slug).to_owned(),
                name: car.name.clone(),
                appraisal: self.appraise(car, buyer, run),
                stands_at: StandsAt::Settle,
            })
            .collect();
        let after: Vec<_> = cars
            .iter()
            .map(|car| Some(car.appraisal.chances.after))
            .collect();
        Comparison {
            preference: preference(&after, EVEN),
            cars,
            wins,
            first_in: (0..count).map(|at| 0.44 - 0.11 * at as f64).collect(),
            none_of_these: 0.06,
            regret: vec![40.0; count],
            best: Some(0),
            dominates: vec![Vec::new(); count],
            swap: (count > 1).then(|| SwapCheck {
                car: 0,
                id: "cold-rattle".to_owned(),
                name: "rattle at a cold start".to_owned(),
                minutes: 1.0,
                value: 38.0,
                outcomes: [("quiet", 0.6, 0.57), ("rattle", 0.4, 0.48)]
                    .into_iter()
                    .enumerate()
                    .map(|(level, (words, chance, first))| SwapOutcome {
                        level,
                        words: words.to_owned(),
                        chance,
                        best: Some(if level == 0 { 0 } else { count - 1 }),
                        first_in: vec![first; count],
                        none_of_these: 0.06,
                    })
                    .collect(),
            }),
            words: vec!["A and C are close until A is heard cold.".to_owned()],
        }
    }

    /// Two checks, the oil first.
    fn find_out(&self, _: &CarRecord, _: &Buyer, _: &Run) -> FindOut {
        let check = |(id, net): (&str, f64)| FindOutFigure {
            id: id.to_owned(),
            name: id.to_owned(),
            minutes: 1.0,
            value: net,
            most: net,
            proof: 0.0,
            net,
            outcomes: Vec::new(),
            group: None,
            blocked_by: None,
        };
        FindOut {
            checks: [("oil-level", 140.0), ("carpet-lifted", 90.0)]
                .map(check)
                .to_vec(),
            ..FindOut::default()
        }
    }

    /// Two checks by turns, each worth 150 if it comes out well.
    fn two_prices(
        &self,
        car: &CarRecord,
        buyer: &Buyer,
        run: &Run,
        at: usize,
    ) -> Result<(TwoPrices, usize), String> {
        let out = self.appraise(car, buyer, run);
        let (now, limit) = (
            out.offer.open.unwrap_or_default(),
            out.limit.price.unwrap_or_default(),
        );
        let sign = ["oil-level", "carpet-lifted"][at % 2];
        let price = |level: usize, words: &str, more: i64| PriceIf {
            level,
            words: words.to_owned(),
            limit: limit + Money::whole(more),
            price: now + Money::whole(more),
        };
        let two = TwoPrices {
            sign: sign.to_owned(),
            name: sign.replace('-', " "),
            now,
            limit_now: limit,
            good: price(0, "as it should be", 150),
            bad: price(1, "low", 0),
            may_stop: false,
        };
        Ok((two, 2))
    }

    fn change_my_mind(&self, _: &CarRecord, _: &Buyer, _: &Run) -> Mind {
        let fact = |sign: &str, words: &str| Fact {
            sign: sign.to_owned(),
            name: sign.replace('-', " "),
            level: 1,
            words: words.to_owned(),
        };
        let set = |facts: Vec<Fact>, chance, stops, limit: Option<i64>| FactSet {
            facts,
            chance,
            stops,
            verdict: Verdict::Leave,
            limit: limit.map(Money::whole),
        };
        Mind {
            now: Verdict::Buy,
            to_buy: false,
            sets: vec![
                set(vec![fact("carpet-lifted", "silt line")], 0.04, true, None),
                set(
                    vec![
                        fact("oil-level", "none on the stick"),
                        fact("cold-start", "long rattle"),
                    ],
                    0.012,
                    false,
                    Some(350),
                ),
            ],
            words: String::new(),
        }
    }

    fn tables(&self) -> Tables {
        self.tables.clone()
    }
}
