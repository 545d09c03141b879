//! What knowing is worth where the textbook gives it in closed form or to the last digit: normal benefits, samples of them, the inspections
//! of the used-car buyer. All through the engine's front door, with tables made here.
//!
//! A state of the world that has an order is made of faults whose repairs each cover all milder ones: the worst fault present decides what
//! the car costs. A check of that state is a row of hit rates, worked out so that its answer has the chances wanted in every state.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::engine_find_out::{ask, at_price, found, near, sign};
use crate::made::{fault, plain_settings, repair, tables};
use serde_json::{Map, Value, json};
use wrenchworth::car::{CarRecord, Money, MoneyRange, RangeReading};
use wrenchworth::engine::find_out::{FindOut, FindOutWish};
use wrenchworth::trade::{FaultRow, RepairRow, SignRow, Tables};

/// States of the world, the best first: chance and what it costs, rising from 0.
#[derive(Clone)]
struct States {
    /// First letter of the ids.
    name: &'static str,
    chances: Vec<f64>,
    costs: Vec<f64>,
}

impl States {
    fn id(&self, state: usize) -> String {
        format!("{}{state:02}", self.name)
    }

    /// Chance of the fault that stands for a state: that it is the worst, given that none is worse.
    fn prior(&self, state: usize) -> f64 {
        self.chances[state] / self.chances[..=state].iter().sum::<f64>()
    }

    fn rows(&self) -> (Vec<FaultRow>, Vec<RepairRow>) {
        let whole = json!({"severities": ["strands"], "hidden_share": 0.0});
        (1..self.chances.len())
            .map(|state| {
                let (id, cure) = (self.id(state), format!("r{}", self.id(state)));
                let covers: Vec<String> = (1..state).map(|milder| self.id(milder)).collect();
                (
                    fault(&id, self.prior(state), &[cure.as_str()], whole.clone()),
                    repair(
                        &cure,
                        [self.costs[state]; 3],
                        &[],
                        json!({"also_cures": covers}),
                    ),
                )
            })
            .unzip()
    }

    /// A check whose answer is at most a level with chance `at_most(state, level)`; worse states must have worse answers.
    fn check(&self, id: &str, levels: usize, at_most: impl Fn(usize, usize) -> f64) -> SignRow {
        let rates = |upto: &[f64]| -> Vec<f64> {
            let pairs = upto.windows(2);
            pairs.map(|pair| (pair[1] - pair[0]).max(0.0)).collect()
        };
        let leak: Vec<f64> = (0..levels).map(|level| at_most(0, level)).collect();
        // Chance of at most each level, whatever state is not worse than the one in turn.
        let mut milder = leak.clone();
        let mut hits = Map::new();
        for state in 1..self.chances.len() {
            let prior = self.prior(state);
            let own: Vec<f64> = (0..levels)
                .map(|level| {
                    let wanted = at_most(state, level);
                    let own = if milder[level] > 0.0 {
                        wanted / milder[level]
                    } else {
                        0.0
                    };
                    milder[level] *= 1.0 - prior + prior * own;
                    own.min(1.0)
                })
                .collect();
            hits.insert(self.id(state), json!(rates(&own)));
        }
        let told = json!({"hits": {"rates": Value::Object(hits), "false_alarm": rates(&leak)}});
        sign(id, levels, told)
    }
}

fn world(states: &[&States], signs: Vec<SignRow>) -> Tables {
    let mut settings = plain_settings();
    settings.diagnosis.greatest_false_alarm = 1.0;
    let (mut faults, mut repairs) = (Vec::new(), Vec::new());
    for states in states {
        let rows = states.rows();
        faults.extend(rows.0);
        repairs.extend(rows.1);
    }
    let mut made = tables(faults, repairs, vec![], settings);
    made.signs = signs;
    made.signs.sort_by(|one, other| one.id.cmp(&other.id));
    made
}

/// Density and share of the standard normal curve, the share by its error function.
fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

fn share(z: f64) -> f64 {
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

/// Cells of a normal quantity, least cost first, each at its own mean; the ends hold the tails.
struct Cells {
    states: States,
    /// Standard score of each cell, falling.
    scores: Vec<f64>,
    /// What the best cell is over the mean.
    best: f64,
}

fn cells(name: &'static str, sd: f64, count: usize) -> Cells {
    let edge = |at: usize| {
        if at == 0 {
            f64::INFINITY
        } else if at == count {
            f64::NEG_INFINITY
        } else {
            3.2 - 6.4 * (at as f64) / (count as f64)
        }
    };
    let at = |z: f64| if z.is_finite() { density(z) } else { 0.0 };
    let (mut chances, mut scores) = (Vec::new(), Vec::new());
    for cell in 0..count {
        let (over, under) = (edge(cell), edge(cell + 1));
        let chance = share(over) - share(under);
        chances.push(chance);
        scores.push((at(under) - at(over)) / chance);
    }
    let best = sd * scores[0];
    let costs = scores.iter().map(|score| best - sd * score).collect();
    Cells {
        states: States {
            name,
            chances,
            costs,
        },
        scores,
        best,
    }
}

impl Cells {
    /// A sample whose mean has noise of so many standard deviations of the quantity, in so many answers.
    fn sample(&self, id: &str, noise: f64, levels: usize) -> SignRow {
        let spread = (1.0 + noise * noise).sqrt();
        // Answers are cells of the sample's own spread, the best first.
        let under = |level: usize| spread * (2.8 - 5.6 * (level + 1) as f64 / levels as f64);
        self.states.check(id, levels, |state, level| {
            if level + 1 == levels {
                1.0
            } else {
                1.0 - share((under(level) - self.scores[state]) / noise)
            }
        })
    }

    /// The quantity itself, told.
    fn told(&self, id: &str) -> SignRow {
        let levels = self.scores.len();
        self.states.check(id, levels, |state, level| {
            f64::from(u8::from(level >= state))
        })
    }
}

/// What the seller takes for it.
const PRICE: i64 = 20_000;

fn dollars(amount: f64) -> Money {
    serde_json::from_value(json!(format!("{amount:.2}"))).unwrap()
}

/// A car whose mean benefit over its price is `mean`, before what is known of the cells.
///
/// The price is so high that no state is worth more as scrap: a floor would cut the normal curve.
fn car_of(mean: f64, best: f64) -> CarRecord {
    let mut car = at_price(PRICE, PRICE);
    let worth = dollars(PRICE as f64 + mean + best);
    car.worth.own = Some(MoneyRange {
        low: worth,
        likely: worth,
        high: worth,
        reading: RangeReading::Limits,
    });
    car
}

fn all(tables: &Tables, car: &CarRecord) -> FindOut {
    ask(tables, car, FindOutWish::default())
}

/// Two options and a normal benefit (Raiffa & Schlaifer 1961): s L(|m|/s) with the unit normal loss L. Mean 200, standard deviation 600:
/// perfect information 152.5417; samples of 1, 2, 5, 10, 50 with noise 800 each: 65.2298, 92.1273, 120.8816, 134.8379, 148.6243.
#[test]
fn a_normal_benefit_is_worth_the_unit_normal_loss_and_samples_of_it_their_share() {
    let cells = cells("N", 600.0, 40);
    let samples = [
        (1.0_f64, 65.229_8),
        (2.0, 92.127_3),
        (5.0, 120.881_6),
        (10.0, 134.837_9),
        (50.0, 148.624_3),
    ];
    let id = |size: f64| format!("sample-{size:02}");
    let signs = samples
        .iter()
        .map(|(size, _)| cells.sample(&id(*size), 800.0 / 600.0 / size.sqrt(), 24))
        .collect();
    let made = world(&[&cells.states], signs);
    let all = all(&made, &car_of(200.0, cells.best));
    near("mean benefit", all.value_now - PRICE as f64, 200.0, 6.0);
    near("knowing all", all.know_all, 152.541_7, 4.0);
    for (size, wanted) in samples {
        near(&id(size), found(&all, &id(size)).value, wanted, 4.0);
    }
}

/// Jackson's worked example (the overview of the R package `voi`): benefit p1 - p2, p1 normal (1, 1), p2 normal (0, 2), here in thousands.
/// Exact: knowing all 479.8107, p1 83.3155, p2 395.5931; samples of p1 of 10, 100, 1,000: 72.3251, 82.1176, 83.1946. With 2 p1: all 399.2825,
/// p1 166.6309, so that what is known apart does not add up to what is known together.
#[test]
fn the_published_example_of_two_normal_parts_comes_out() {
    for (times, whole, first, second) in [
        (1.0, 479.810_7, 83.315_5, Some(395.593_1)),
        (2.0, 399.282_5, 166.630_9, None),
    ] {
        let (p1, p2) = (cells("P", 1_000.0 * times, 20), cells("Q", 2_000.0, 20));
        let mut signs = vec![p1.told("p1"), p2.told("p2")];
        let samples = [(10.0_f64, 72.325_1), (100.0, 82.117_6), (1_000.0, 83.194_6)];
        let id = |size: f64| format!("sample-{size}");
        for (size, _) in samples {
            signs.push(p1.sample(&id(size), 1.0 / size.sqrt(), 24));
        }
        let made = world(&[&p1.states, &p2.states], signs);
        let all = all(&made, &car_of(1_000.0 * times, p1.best + p2.best));
        // A mean of 40,000 draws with a standard deviation of 2,240 is right to 11.
        near("knowing all", all.know_all, whole, 16.0);
        near("p1", found(&all, "p1").value, first, 10.0);
        if let Some(second) = second {
            near("p2", found(&all, "p2").value, second, 14.0);
            for (size, wanted) in samples {
                near(&id(size), found(&all, &id(size)).value, wanted, 10.0);
            }
        } else {
            let apart = found(&all, "p1").value + found(&all, "p2").value;
            assert!(apart < all.know_all - 20.0 || apart > all.know_all + 20.0);
        }
        // 0 <= sample <= part <= all (`value` of a sample of p1 under that of p1 itself).
        for (size, _) in samples {
            let sample = found(&all, &id(size)).value;
            assert!(
                sample >= 0.0 && sample <= found(&all, "p1").value + 1.0,
                "{size}"
            );
        }
        assert!(found(&all, "p1").value <= all.know_all + 1e-6);
        assert!(found(&all, "p2").value <= all.know_all + 1e-6);
    }
}

/// Of ten subsystems so many have a defect: chance that at most `level` of the `inspected` show one.
fn hypergeometric(defects: usize, inspected: usize, level: usize) -> f64 {
    fn choose(of: usize, take: usize) -> f64 {
        if take > of {
            return 0.0;
        }
        (0..take)
            .map(|at| (of - at) as f64 / (at + 1) as f64)
            .product()
    }
    let exactly = |found: usize| {
        choose(defects, found) * choose(10 - defects, inspected.wrapping_sub(found).min(11))
            / choose(10, inspected)
    };
    (0..=level.min(inspected)).map(exactly).sum()
}

/// The used-car buyer (Howard 1962): a peach has one defect in ten and costs 40, a lemon six and costs 200. Inspecting 1 to 6 subsystems
/// is worth 7.2, 7.7333, 13.3333, 17.6190, 19.5238, 20: the second adds less than the third. Against the chance of a peach perfect
/// information is worth most where the choice is closest: .5: 30, .6: 36, .625: 37.5, .7: 30, .8: 20, .9: 10.
#[test]
fn inspections_of_the_used_car_are_worth_what_the_textbook_says() {
    let states = |peach: f64| States {
        name: "L",
        chances: vec![peach, 1.0 - peach],
        costs: vec![0.0, 160.0],
    };
    for (peach, wanted) in [
        (0.5, 30.0),
        (0.6, 36.0),
        (0.625, 37.5),
        (0.7, 30.0),
        (0.8, 20.0),
        (0.9, 10.0),
    ] {
        let made = world(
            &[&states(peach)],
            vec![states(peach).check("all", 2, |state, level| f64::from(u8::from(level >= state)))],
        );
        let all = all(&made, &at_price(1_060, 1_000));
        near(&format!("peach {peach}"), all.know_all, wanted, 0.8);
        near("told all", found(&all, "all").value, wanted, 0.8);
    }
    let inspections = [7.2, 7.733_3, 13.333_3, 17.619, 19.523_8, 20.0];
    let states = states(0.8);
    let signs = (1..=6)
        .map(|count: usize| {
            states.check(&format!("inspect-{count}"), count + 1, |state, level| {
                hypergeometric([1, 6][state], count, level)
            })
        })
        .collect();
    let all = all(&world(&[&states], signs), &at_price(1_060, 1_000));
    for (count, wanted) in (1..).zip(inspections) {
        let check = found(&all, &format!("inspect-{count}"));
        near(&check.id, check.value, wanted, 0.8);
    }
    let four = &found(&all, "inspect-4").outcomes;
    near("none of four", four[0].chance, 0.480_952, 0.004);
    near("one of four", four[1].chance, 0.342_857, 0.004);
}

/// Where one action is best in every state, knowing is worth nothing: neither all of it nor any check.
#[test]
fn knowing_is_worth_nothing_where_it_changes_nothing() {
    let states = States {
        name: "L",
        chances: vec![0.8, 0.2],
        costs: vec![0.0, 160.0],
    };
    let check = states.check("all", 2, |state, level| f64::from(u8::from(level >= state)));
    let made = world(&[&states], vec![check]);
    for (worth, price) in [(1_400, 1_000), (900, 1_000)] {
        let all = all(&made, &at_price(worth, price));
        assert!(all.know_all.abs() < 1e-6, "{}", all.know_all);
        assert!(found(&all, "all").value.abs() < 1e-6);
        // It still says how far an answer would move the limit.
        near(
            "most",
            found(&all, "all").most,
            0.5 * 2.0 * 0.8 * 0.2 * 160.0,
            1.0,
        );
    }
}
