//! House rules against sums done by hand.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use proptest::prelude::*;
use std::collections::BTreeSet;
use std::sync::LazyLock;
use wrenchworth::car::{HouseRules, Money, ThreePoint};
use wrenchworth::engine::house_rules::{Sale, penalty_steps, rules_lines};
use wrenchworth::engine::luck::Luck;
use wrenchworth::engine::pert::QuantileTable;
use wrenchworth::trade::settings::{LimitSettings, Settings};

static TABLE: LazyLock<QuantileTable> = LazyLock::new(QuantileTable::default);

fn settings() -> LimitSettings {
    let all: Settings =
        serde_json::from_str(include_str!("../../assets/trade/settings.json")).unwrap();
    all.limit
}

fn rules(accepted_steps: u32) -> HouseRules {
    HouseRules {
        cap: Money::whole(500),
        penalty_step: Money::whole(10),
        accepted_steps,
        started_steps_count: false,
        exempt_classes: BTreeSet::new(),
        sales_count_back: true,
        least_treadwear: None,
    }
}

fn sale(id: &str, low: f64, likely: f64, high: f64) -> Sale {
    Sale {
        id: id.to_owned(),
        price: ThreePoint::new(low, likely, high).unwrap(),
    }
}

fn lines(rules: &HouseRules, known: f64, draws: &[f64], sales: &[Sale], fall: f64) -> (f64, f64) {
    let settings = LimitSettings {
        sale_falls_through: fall,
        ..settings()
    };
    rules_lines(rules, known, draws, sales, Luck::new(3), &TABLE, &settings)
}

#[test]
fn whole_or_started_steps_count_and_never_under_zero() {
    let whole = rules(0);
    let started = HouseRules {
        started_steps_count: true,
        ..rules(0)
    };
    for (counted, full, begun) in [
        (0.0, 0, 0),
        (500.0, 0, 0),
        (500.01, 0, 1),
        (509.99, 0, 1),
        (510.0, 1, 1),
        (510.01, 1, 2),
        (735.5, 23, 24),
        (-90.0, 0, 0),
    ] {
        assert_eq!(penalty_steps(&whole, counted), full, "{counted}");
        assert_eq!(penalty_steps(&started, counted), begun, "{counted}");
    }
    assert_eq!(penalty_steps(&whole, f64::NAN), 0);
    assert_eq!(
        penalty_steps(
            &HouseRules {
                penalty_step: Money::ZERO,
                ..rules(0)
            },
            500.5
        ),
        u32::MAX
    );
}

#[test]
fn the_hopeful_line_is_cap_steps_and_sales_less_what_is_known() {
    let sales = [
        sale("seat", 20.0, 40.0, 90.0),
        sale("hood", 30.0, 60.0, 80.0),
    ];
    // 500 + 3 x 10 + 40 + 60 - 210.
    assert!((lines(&rules(3), 210.0, &[], &sales, 0.25).0 - 420.0).abs() < 1e-12);
    let no_sales = HouseRules {
        sales_count_back: false,
        ..rules(3)
    };
    assert!((lines(&no_sales, 210.0, &[], &sales, 0.25).0 - 320.0).abs() < 1e-12);
}

#[test]
fn the_cautious_line_is_the_middle_over_the_draws() {
    // Without sales it is room less the median cost.
    assert!((lines(&rules(0), 0.0, &[100.0, 300.0, 180.0], &[], 0.25).1 - 320.0).abs() < 1e-12);
    assert!(
        (lines(&rules(0), 0.0, &[100.0, 300.0, 180.0, 200.0], &[], 0.25).1 - 310.0).abs() < 1e-12
    );
    // A sale of one known price that never, or always, falls through.
    let sure = [sale("wheels", 80.0, 80.0, 80.0)];
    let draws = vec![150.0; 501];
    assert!((lines(&rules(0), 150.0, &draws, &sure, 0.0).1 - 430.0).abs() < 1e-12);
    assert!((lines(&rules(0), 150.0, &draws, &sure, 1.0).1 - 350.0).abs() < 1e-12);
}

#[test]
fn sales_fall_through_one_by_one_as_often_as_set() {
    // Eight sales of 10 with chance 1/4 each: the number sold is binomial (8, 3/4), median 6 (any table).
    let sales: Vec<Sale> = (0..8)
        .map(|k| sale(&format!("part {k}"), 10.0, 10.0, 10.0))
        .collect();
    let draws = vec![0.0; 20_000];
    assert!((lines(&rules(0), 0.0, &draws, &sales, 0.25).1 - 560.0).abs() < 1e-12);
    // One large sale: sold in three draws of four, so the middle has it.
    let one = [sale("gearbox", 100.0, 100.0, 100.0)];
    assert!((lines(&rules(0), 0.0, &draws, &one, 0.25).1 - 600.0).abs() < 1e-12);
}

#[test]
fn another_sale_on_the_list_reshuffles_no_other() {
    let draws: Vec<f64> = (0..2000).map(|k| f64::from(k % 97)).collect();
    let first = [sale("seat", 20.0, 40.0, 90.0)];
    let nothing = sale("ashtray", 0.0, 0.0, 0.0);
    let both = [nothing, first[0].clone()];
    let (a, b) = (
        lines(&rules(0), 0.0, &draws, &first, 0.25),
        lines(&rules(0), 0.0, &draws, &both, 0.25),
    );
    assert!((a.1 - b.1).abs() < 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_cautious_line_lies_under_the_hopeful_one_when_every_draw_costs_what_is_known_or_more(
        known in 0.0..400.0f64, more in prop::collection::vec(0.0..300.0f64, 1..200), price in 0.0..200.0f64,
    ) {
        let draws: Vec<f64> = more.iter().map(|m| known + m).collect();
        // Prices with no upside over the likely one.
        let sales = [sale("hood", 0.5 * price, price, price)];
        let (hopeful, cautious) = lines(&rules(1), known, &draws, &sales, 0.25);
        prop_assert!(cautious <= hopeful + 1e-9);
    }

    #[test]
    fn more_counted_money_never_costs_fewer_steps(counted in 0.0..5000.0f64, more in 0.0..500.0f64, started: bool) {
        let rules = HouseRules { started_steps_count: started, ..rules(0) };
        prop_assert!(penalty_steps(&rules, counted + more) >= penalty_steps(&rules, counted));
    }
}
