//! Pace against closed forms, a reference simulation and published road tests.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use wrenchworth::car::Drive;
use wrenchworth::engine::Pace;
use wrenchworth::engine::pace::{PaceInputs, fast, pace};
use wrenchworth::trade::settings::{PaceSettings, Settings};

fn settings() -> PaceSettings {
    let all: Settings =
        serde_json::from_str(include_str!("../../assets/trade/settings.json")).unwrap();
    all.pace
}

fn run(power_hp: f64, curb_mass_lb: f64, settings: &PaceSettings) -> Pace {
    let inputs = PaceInputs {
        power_hp,
        curb_mass_lb,
        drive: Some(Drive::Front),
        power_kept: 1.0,
        settings,
    };
    pace(&inputs).unwrap()
}

fn lossless() -> PaceSettings {
    PaceSettings {
        friction: 1e6,
        drag_area_m2: 0.0,
        rolling: 0.0,
        rotating: 1.0,
        shift_s: 0.0,
        ..settings()
    }
}

/// Weight (lb), power (hp); then to 60 mph, quarter mile, trap mph: simulated with every loss (Euler, 1 ms), and the closed forms.
#[rustfmt::skip]
const RUNS: [(f64, f64, [f64; 3], [f64; 3]); 6] = [
    (3400.0, 450.0, [6.955, 14.744, 108.72], [2.4868, 10.7978, 125.026]),
    (3215.0, 110.0, [13.539, 19.224, 70.20], [9.6475, 16.9666, 79.568]),
    (2620.0, 110.0, [11.513, 18.336, 74.15], [7.9567, 15.9111, 84.848]),
    (3570.0, 335.0, [7.102, 15.337, 98.40], [3.4991, 12.0997, 111.573]),
    (1835.0, 65.0, [14.556, 19.561, 67.31], [9.6902, 16.9915, 79.451]),
    (3000.0, 150.0, [9.820, 17.444, 79.67], [6.6268, 14.9700, 90.180]),
];

#[test]
fn without_losses_the_closed_forms_come_out() {
    for (mass, power, _, [sixty, quarter, trap]) in RUNS {
        let found = run(power, mass, &lossless());
        assert!(
            (found.zero_to_60_mph_s - sixty).abs() < 2e-3,
            "{mass} {power}: {found:?}"
        );
        assert!(
            (found.quarter_mile_s - quarter).abs() < 2e-3,
            "{mass} {power}: {found:?}"
        );
        assert!(
            (found.quarter_mile_mph - trap).abs() < 0.02,
            "{mass} {power}: {found:?}"
        );
    }
}

#[test]
fn with_traction_alone_speed_rises_evenly() {
    // a = mu g w; time to 60 mph 26.8224/a; over s meters sqrt(2 s/a) (algebra).
    let grip = PaceSettings {
        friction: 0.8,
        ..lossless()
    };
    let found = run(1e7, 3000.0, &grip);
    let a = 0.8 * 9.80665 * 0.6;
    assert!(
        (found.zero_to_60_mph_s - 26.8224 / a).abs() < 1e-3,
        "{found:?}"
    );
    assert!(
        (found.quarter_mile_s - (2.0 * 402.336 / a).sqrt()).abs() < 1e-3,
        "{found:?}"
    );
}

#[test]
fn with_every_loss_the_reference_runs_come_out() {
    // Same equation, another program: within 0.005 s and 0.02 mph.
    for (mass, power, [sixty, quarter, trap], _) in RUNS {
        let found = run(power, mass, &settings());
        assert!(
            (found.zero_to_60_mph_s - sixty).abs() < 0.005,
            "{mass} {power}: {found:?}"
        );
        assert!(
            (found.quarter_mile_s - quarter).abs() < 0.005,
            "{mass} {power}: {found:?}"
        );
        assert!(
            (found.quarter_mile_mph - trap).abs() < 0.02,
            "{mass} {power}: {found:?}"
        );
    }
}

/// Henderson & Velleman 1981: 32 road tests, power, weight, quarter mile.
fn road_tests() -> Vec<[f64; 3]> {
    include_str!("../reference/mtcars.csv")
        .lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with("row"))
        .map(|line| {
            let numbers: Vec<f64> = line
                .split(',')
                .map(|field| field.parse().unwrap())
                .collect();
            [numbers[1], 1000.0 * numbers[2], numbers[3]]
        })
        .collect()
}

fn misses(settings: &PaceSettings) -> (f64, f64) {
    let tests = road_tests();
    assert_eq!(tests.len(), 32);
    let misses: Vec<f64> = tests
        .iter()
        .map(|[power, mass, quarter]| run(*power, *mass, settings).quarter_mile_s - quarter)
        .collect();
    let mean = misses.iter().sum::<f64>() / 32.0;
    let square = misses.iter().map(|miss| miss * miss).sum::<f64>() / 32.0;
    (mean, square.sqrt())
}

#[test]
fn published_road_tests_are_told_to_about_a_second_and_the_band_says_so() {
    // Best share of peak power 0.73 to 0.77 by tire friction: no bias, root mean square 1.025 s; nothing fitted on power and weight does
    // better than about a second on these cars.
    let with = |useful_share: f64| {
        misses(&PaceSettings {
            useful_share,
            ..settings()
        })
    };
    let best = (70..=80)
        .map(|hundredths| (hundredths, with(f64::from(hundredths) / 100.0)))
        .min_by(|a, b| a.1.0.abs().total_cmp(&b.1.0.abs()))
        .unwrap();
    assert!((73..=77).contains(&best.0), "{best:?}");
    assert!((best.1.1 - 1.025).abs() < 0.03, "{best:?}");
    // The share as set is a compromise with 0 to 60, which asks for about 0.65: a little slow over the quarter mile.
    let (mean, square) = misses(&settings());
    assert!(mean > 0.0 && mean < 0.5 && square < 1.15, "{mean} {square}");
    assert!(settings().band_s >= 1.0);
}

#[test]
fn seven_seconds_to_sixty_goes_with_about_fifteen_over_the_quarter_mile() {
    // 0-60 in 6.5 to 7.5 s goes with a quarter mile in 14.3 to 15.6 s (common practice, no source).
    // The model has one shape of power curve, so at the slow end it may stand a quarter of a second outside.
    let mut seen = 0;
    for mass in [2200.0, 2600.0, 3000.0, 3400.0, 3800.0] {
        for power in (120..500).step_by(4) {
            let found = run(f64::from(power), mass, &settings());
            let inside = |slack: f64| (14.3 - slack..=15.6 + slack).contains(&found.quarter_mile_s);
            if (6.5..=7.5).contains(&found.zero_to_60_mph_s) {
                seen += 1;
                assert!(inside(0.25), "{mass} {power}: {found:?}");
            }
            if (6.6..=7.2).contains(&found.zero_to_60_mph_s) {
                assert!(inside(0.0), "{mass} {power}: {found:?}");
            }
        }
    }
    assert!(seen > 50, "{seen}");
}

#[test]
fn less_power_more_mass_or_fewer_driven_wheels_are_never_faster() {
    let settings = settings();
    let base = PaceInputs {
        power_hp: 140.0,
        curb_mass_lb: 2800.0,
        drive: Some(Drive::Front),
        power_kept: 1.0,
        settings: &settings,
    };
    let quick = pace(&base).unwrap();
    for slower in [
        PaceInputs {
            power_kept: 0.7,
            ..base
        },
        PaceInputs {
            curb_mass_lb: 3100.0,
            ..base
        },
        PaceInputs {
            power_hp: 120.0,
            ..base
        },
    ] {
        let slow = pace(&slower).unwrap();
        assert!(
            slow.zero_to_60_mph_s > quick.zero_to_60_mph_s
                && slow.quarter_mile_s > quick.quarter_mile_s
        );
        assert!(fast(&slow, &settings) < fast(&quick, &settings));
    }
    let all = pace(&PaceInputs {
        power_hp: 400.0,
        drive: Some(Drive::All),
        ..base
    })
    .unwrap();
    let front = pace(&PaceInputs {
        power_hp: 400.0,
        ..base
    })
    .unwrap();
    assert!(all.zero_to_60_mph_s < front.zero_to_60_mph_s);
}

#[test]
fn the_ordinary_car_beats_half_of_them_and_the_quick_tenth_nine_in_ten() {
    let settings = settings();
    let at = |zero_to_60_mph_s, quarter_mile_s| {
        fast(
            &Pace {
                zero_to_60_mph_s,
                quarter_mile_s,
                quarter_mile_mph: 80.0,
                band_s: 1.0,
            },
            &settings,
        )
    };
    assert!((at(9.5, 17.2) - 0.5).abs() < 1e-9);
    // The ends lie at 10 and 90 % when the median sits in their geometric middle, as it nearly does.
    assert!((at(7.2, 15.4) - 0.9).abs() < 0.02, "{}", at(7.2, 15.4));
    assert!((at(12.5, 19.3) - 0.1).abs() < 0.02, "{}", at(12.5, 19.3));
}

#[test]
fn without_a_sound_power_or_mass_there_is_no_pace() {
    let settings = settings();
    let base = PaceInputs {
        power_hp: 100.0,
        curb_mass_lb: 2500.0,
        drive: None,
        power_kept: 1.0,
        settings: &settings,
    };
    assert!(pace(&base).is_some());
    for broken in [
        PaceInputs {
            power_hp: 0.0,
            ..base
        },
        PaceInputs {
            power_hp: f64::NAN,
            ..base
        },
        PaceInputs {
            curb_mass_lb: -1.0,
            ..base
        },
        PaceInputs {
            power_kept: 0.0,
            ..base
        },
        PaceInputs {
            power_hp: 3.0,
            ..base
        },
    ] {
        assert!(pace(&broken).is_none());
    }
}
