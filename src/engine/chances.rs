//! The three chances: cheap, reliable, fast, before and after the work.

use super::draws::mean;
use super::figures::{Chances, Pace, ThreeChances};
use super::limit::limit;
use super::pace::{PaceInputs, fast, pace};
use super::triangle;
use super::weighing::{MoneyColumns, Weighing};

/// Steps of power kept at which pace is simulated; between them the share is read straight.
const POWER_STEPS: usize = 16;

/// What the chances are reckoned from.
pub(crate) struct ChanceInputs<'a> {
    pub weighing: &'a Weighing<'a>,
    pub money: Option<&'a MoneyColumns>,
    /// The price in hand, dollars.
    pub price: Option<f64>,
    pub allowance: f64,
}

/// Chances and pace.
pub(crate) struct Made {
    pub chances: Chances,
    pub pace: Option<Pace>,
}

/// The three chances of a car.
pub(crate) fn chances(inputs: &ChanceInputs<'_>) -> Made {
    let columns = &inputs.weighing.columns;
    let mut unknown = Vec::new();
    let cheap = cheap(inputs, &mut unknown);
    let travels = inputs.weighing.journey.miles > 0.0;
    let reliable = |column: &[f64]| travels.then(|| mean(column));
    if !travels {
        unknown.push("reliable: this purpose drives no miles".to_owned());
    }
    let outruns = Outruns::of(inputs.weighing, &mut unknown);
    let fast_of = |powers: &[f64]| {
        outruns.as_ref().map(|known| {
            mean(
                &powers
                    .iter()
                    .map(|power| known.at(*power))
                    .collect::<Vec<_>>(),
            )
        })
    };
    let settings = &inputs.weighing.knowledge.tables().settings.pace;
    let before = ThreeChances {
        cheap,
        reliable: reliable(&columns.whole_before),
        fast: fast_of(&columns.power_before),
    };
    let after = ThreeChances {
        cheap,
        reliable: reliable(&columns.whole_after),
        fast: fast_of(&columns.power_after),
    };
    let laps = inputs.weighing.purpose.race_hours > 0.0;
    Made {
        chances: Chances {
            before,
            after,
            offers: triangle::offers(&after, settings),
            words: triangle::words(&after, settings),
            unknown_because: unknown,
            // Mean share of the event driven before the first stranding, if strandings come evenly: (1 - e^-x) / x.
            laps_share: laps.then(|| {
                mean(
                    &columns
                        .whole_after
                        .iter()
                        .map(|whole| driven_share(*whole))
                        .collect::<Vec<_>>(),
                )
            }),
            trace_id: "chances".to_owned(),
        },
        pace: outruns.map(|known| known.sound),
    }
}

/// Expected share of the way driven before the first stranding, from the chance of covering the whole of it.
fn driven_share(whole: f64) -> f64 {
    let hazard = -libm::log(whole.max(1e-12));
    if hazard < 1e-9 {
        1.0
    } else {
        -libm::expm1(-hazard) / hazard
    }
}

/// Share of ordinary cars outrun, by the power that faults leave.
struct Outruns {
    sound: Pace,
    at: Vec<f64>,
}

impl Outruns {
    fn of(weighing: &Weighing<'_>, unknown: &mut Vec<String>) -> Option<Self> {
        let facts = &weighing.car.particulars;
        let settings = &weighing.knowledge.tables().settings.pace;
        let (Some(power_hp), Some(curb_mass_lb)) = (facts.power_hp, facts.curb_mass_lb) else {
            unknown.push("fast: power or mass not known".to_owned());
            return None;
        };
        let with = |power_kept: f64| {
            pace(&PaceInputs {
                power_hp,
                curb_mass_lb,
                drive: facts.drive,
                power_kept,
                settings,
            })
        };
        let Some(sound) = with(1.0) else {
            unknown.push("fast: power and mass give no sensible pace".to_owned());
            return None;
        };
        #[expect(clippy::cast_precision_loss, reason = "a small count")]
        let at = (0..=POWER_STEPS)
            .map(|step| {
                with(step as f64 / POWER_STEPS as f64).map_or(0.0, |pace| fast(&pace, settings))
            })
            .collect();
        Some(Self { sound, at })
    }

    fn at(&self, power_kept: f64) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "a small count")]
        let place = power_kept.clamp(0.0, 1.0) * POWER_STEPS as f64;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped above"
        )]
        let below = (place as usize).min(POWER_STEPS - 1);
        #[expect(clippy::cast_precision_loss, reason = "a small count")]
        let share = place - below as f64;
        self.at[below] + (self.at[below + 1] - self.at[below]) * share
    }
}

/// Chance that everything paid stays inside the wallet, given that one stops when repairing stops paying.
fn cheap(inputs: &ChanceInputs<'_>, unknown: &mut Vec<String>) -> Option<f64> {
    let Some(wallet) = inputs.weighing.wallet() else {
        unknown.push("cheap: the wallet is not set".to_owned());
        return None;
    };
    let (Some(money), Some(price)) = (inputs.money, inputs.price) else {
        unknown.push("cheap: worth or price not known".to_owned());
        return None;
    };
    let limits = money.limit_inputs(inputs.weighing, inputs.allowance, None);
    let line = limit(&limits);
    let inside: Vec<f64> = (0..money.worth.len())
        .map(|at| {
            let work = if line.worth_repairing[at] {
                inputs.weighing.columns.cash[at] + money.fit_out_cash[at]
            } else {
                0.0
            };
            let paid = price * (1.0 + limits.tax) + limits.fees + work;
            f64::from(u8::from(paid <= wallet))
        })
        .collect();
    Some(mean(&inside))
}
