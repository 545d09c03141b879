//! Parts that wear out on cars whose history is not known.
//!
//! Renewal of a Weibull life (Smith & Leadbetter 1963; the Riemann-Stieltjes recursion of Xie 1989): a part is replaced when it fails,
//! nobody knows when that was last. "It must be the original, so it is overdue" and "assume it is fresh" are both badly wrong.

use crate::trade::Life;

/// Steps of the recursion over the miles so far: enough for chances within .002 (see the test against the checked table).
const STEPS: usize = 48;

/// Share of parts still whole after `miles`, new at zero.
#[must_use]
pub fn survival(life: Life, miles: f64) -> f64 {
    if miles <= 0.0 {
        return 1.0;
    }
    libm::exp(-libm::pow(miles / life.eta_miles, life.beta))
}

/// Chance that a part of known age that still works fails in the miles ahead: 1 - S(age + ahead) / S(age).
#[must_use]
pub fn fails_known_age(life: Life, miles: f64, ahead: f64) -> f64 {
    let whole = survival(life, miles);
    if ahead <= 0.0 {
        0.0
    } else if whole > 0.0 {
        (1.0 - survival(life, miles + ahead) / whole).clamp(0.0, 1.0)
    } else {
        1.0
    }
}

/// Chance that a part of unknown history fails at least once between `odometer` and `odometer + ahead`, miles.
///
/// P = 1 - S(t+h) - integral over the last renewal u of S(t+h-u) dm(u).
#[must_use]
pub fn fails_ahead(life: Life, odometer: f64, ahead: f64) -> f64 {
    fails_ahead_in_steps(life, odometer, ahead, STEPS)
}

/// The same with a chosen number of steps.
#[must_use]
pub fn fails_ahead_in_steps(life: Life, odometer: f64, ahead: f64, steps: usize) -> f64 {
    if ahead <= 0.0 {
        return 0.0;
    }
    if odometer <= 0.0 || steps == 0 {
        return 1.0 - survival(life, ahead);
    }
    #[expect(clippy::cast_precision_loss, reason = "a small count")]
    let step = odometer / steps as f64;
    // Shares that have failed, at every half step.
    #[expect(clippy::cast_precision_loss, reason = "a small count")]
    let gone: Vec<f64> = (0..=2 * steps)
        .map(|k| 1.0 - survival(life, k as f64 * 0.5 * step))
        .collect();
    let (half, whole) = (|k: usize| gone[2 * k + 1], |k: usize| gone[2 * k]);
    // Expected renewals in each step.
    let mut more = vec![0.0; steps + 1];
    let mut before = 0.0;
    for i in 1..=steps {
        let told = more[1..i].iter().rev().zip(1..i);
        let sum = told.fold(whole(i), |sum, (more, back)| sum + half(back) * more);
        more[i] = (sum - half(0) * before) / (1.0 - half(0)) - before;
        before += more[i];
    }
    let mut whole_ahead = survival(life, odometer + ahead);
    for (i, more) in more.iter().enumerate().skip(1) {
        #[expect(clippy::cast_precision_loss, reason = "a small count")]
        let since = odometer - (i as f64 - 0.5) * step;
        whole_ahead += survival(life, since + ahead) * more;
    }
    (1.0 - whole_ahead).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Table C4 of the published check values (renewal with unknown history; Monte Carlo of 400,000 histories agrees).
    #[test]
    fn chances_of_failing_ahead_agree_with_the_checked_table() {
        let rows = [
            (3.0, 60_000.0, 100_000.0, [0.0899, 0.2189, 0.4406]),
            (2.0, 60_000.0, 100_000.0, [0.0938, 0.2225, 0.4276]),
            (3.0, 100_000.0, 90_000.0, [0.0659, 0.1584, 0.3113]),
            (1.5, 80_000.0, 120_000.0, [0.0688, 0.1625, 0.3119]),
            (4.0, 90_000.0, 60_000.0, [0.0594, 0.1586, 0.3591]),
        ];
        for (beta, eta_miles, odometer, wanted) in rows {
            for (ahead, chance) in [5_000.0, 12_000.0, 24_000.0].into_iter().zip(wanted) {
                let got = fails_ahead(Life { eta_miles, beta }, odometer, ahead);
                assert!(
                    (got - chance).abs() < 1.5e-3,
                    "beta {beta}, ahead {ahead}: {got} for {chance}"
                );
            }
        }
    }

    /// Expected renewals of a Weibull life of scale one: Smith & Leadbetter 1963, series in 120 digits, agreeing to 1e-8 with the recursion
    /// of Xie 1989. Windows so short that a part fails once at most in each add up to it.
    #[test]
    fn short_windows_add_up_to_the_published_renewal_function() {
        let rows = [
            (1.5, [0.330_270, 0.841_578, 1.945_501, 3.053_714]),
            (2.0, [0.230_794, 0.753_691, 1.894_039, 3.021_745]),
            (3.0, [0.118_263, 0.672_329, 1.801_075, 2.924_775]),
        ];
        for (beta, wanted) in rows {
            let life = Life {
                eta_miles: 60_000.0,
                beta,
            };
            let window = life.eta_miles / 200.0;
            let mut renewals = 0.0;
            let mut at = 0;
            for (lives, wanted) in [0.5, 1.0, 2.0, 3.0].into_iter().zip(wanted) {
                while f64::from(at) * window < lives * life.eta_miles {
                    renewals += fails_ahead(life, f64::from(at) * window, window);
                    at += 1;
                }
                assert!(
                    (renewals - wanted).abs() < 4e-3,
                    "beta {beta}, {lives} lives: {renewals} for {wanted}"
                );
            }
        }
    }

    #[test]
    fn a_part_without_memory_fails_alike_at_any_age() {
        let life = Life {
            eta_miles: 50_000.0,
            beta: 1.0,
        };
        for odometer in [0.0, 30_000.0, 150_000.0] {
            assert!((fails_ahead(life, odometer, 12_000.0) - 0.213_372).abs() < 1e-3);
        }
    }
}
