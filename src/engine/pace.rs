//! Straight-line pace: a point mass with driver, power at the wheels, traction of the driven axle, drag, rolling and pauses of the shifts.
//!
//! m r dv/dt = min(share P / v, mu m g w) - ½ rho CdA v² - Crr m g, with no drive during a shift. Without losses and with boundless
//! traction it has closed forms: time to v = m r v² / 2P, time over s = 1.5 s / (3 P s / m r)^⅓, speed there (3 P s / m r)^⅓.
//! A power-to-weight model cannot tell road tests better than about a second (see [`Pace::band_s`]).

use super::figures::Pace;
use super::normal::share_below;
use crate::car::Drive;
use crate::trade::settings::PaceSettings;

const KG_PER_LB: f64 = 0.453_592_37;
/// Mechanical horsepower (550 ft lbf/s), watts.
const WATTS_PER_HP: f64 = 745.699_872;
const METERS_PER_SECOND_PER_MPH: f64 = 0.447_04;
const QUARTER_MILE_M: f64 = 402.336;
const SIXTY_MPH: f64 = 60.0 * METERS_PER_SECOND_PER_MPH;
/// Standard gravity, m/s².
const GRAVITY: f64 = 9.806_65;
/// Time step, seconds.
const STEP_S: f64 = 0.05;
/// A car that needs longer has no pace to speak of.
const LONGEST_S: f64 = 90.0;

/// What the car brings to the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PaceInputs<'a> {
    /// Peak power at the crank, SAE net hp.
    pub power_hp: f64,
    /// Curb mass, lb, without driver.
    pub curb_mass_lb: f64,
    /// Driven wheels; absent: front.
    pub drive: Option<Drive>,
    /// Share of the power that the faults present leave, 1 when put right.
    pub power_kept: f64,
    /// Driver, losses, shifts.
    pub settings: &'a PaceSettings,
}

struct Car<'a> {
    settings: &'a PaceSettings,
    /// Power at the wheels, watts.
    power: f64,
    /// Mass, kg.
    mass: f64,
    /// Mass with what turns, kg.
    inertia: f64,
    /// Greatest force of the tires, newtons.
    traction: f64,
}

/// Speed (m/s) and way (m) at a time (s).
#[derive(Debug, Clone, Copy, Default)]
struct State {
    time: f64,
    speed: f64,
    way: f64,
}

/// Pace from power and mass; `None` without a sound power and mass, or for a car that hardly moves.
#[must_use]
pub fn pace(inputs: &PaceInputs<'_>) -> Option<Pace> {
    let s = inputs.settings;
    let power = inputs.power_hp * WATTS_PER_HP * s.useful_share * inputs.power_kept.min(1.0);
    let mass = (inputs.curb_mass_lb + s.driver_lb) * KG_PER_LB;
    // Written so that a figure that is no number ends here too.
    let sound = power > 0.0 && inputs.curb_mass_lb > 0.0 && power.is_finite() && mass.is_finite();
    if !sound {
        return None;
    }
    let [front, rear, all] = s.driven_weight;
    let on_driven = match inputs.drive {
        Some(Drive::All) => all,
        Some(Drive::Rear) => rear,
        Some(Drive::Front) | None => front,
    };
    let car = Car {
        settings: s,
        power,
        mass,
        inertia: mass * s.rotating,
        traction: s.friction * mass * GRAVITY * on_driven,
    };
    car.run()
}

impl Car<'_> {
    fn run(&self) -> Option<Pace> {
        let mut shifts = self.settings.shifts_m_per_s.iter().copied().peekable();
        let mut sixty = None;
        let mut quarter = None;
        let mut now = State::default();
        while sixty.is_none() || quarter.is_none() {
            if now.time > LONGEST_S {
                return None;
            }
            let before = now;
            now = self.driven(before, STEP_S);
            let shift = shifts.next_if(|speed| now.speed >= *speed);
            if let Some(speed) = shift {
                now = self.driven(before, STEP_S * share(before.speed, now.speed, speed));
            }
            note(&mut sixty, &mut quarter, before, now);
            if shift.is_some() {
                let rolling = self.coasted(now, self.settings.shift_s);
                note(&mut sixty, &mut quarter, now, rolling);
                now = rolling;
            }
        }
        let end = quarter?;
        Some(Pace {
            zero_to_60_mph_s: sixty?,
            quarter_mile_s: end.time,
            quarter_mile_mph: end.speed / METERS_PER_SECOND_PER_MPH,
            band_s: self.settings.band_s,
        })
    }

    /// Drag and rolling, newtons.
    fn losses(&self, speed: f64) -> f64 {
        let s = self.settings;
        0.5 * s.air_density * s.drag_area_m2 * speed * speed + s.rolling * self.mass * GRAVITY
    }

    /// One step under power, split where the tires stop and the power starts to limit.
    fn driven(&self, from: State, step: f64) -> State {
        let crossing = self.power / self.traction;
        if from.speed >= crossing {
            return self.limited(from, step, false);
        }
        let force = self.traction - self.losses(from.speed);
        let until = (crossing - from.speed) * self.inertia / force;
        if force > 0.0 && until < step {
            let mut there = self.limited(from, until, true);
            there.speed = crossing;
            self.limited(there, step - until, false)
        } else {
            self.limited(from, step, true)
        }
    }

    /// A stretch by the midpoint rule: in the speed where the tires limit (force even), in its square where the power does (power even),
    /// so that the closed forms come out whole.
    fn limited(&self, from: State, step: f64, by_tires: bool) -> State {
        let after = |from: State, at: f64, span: f64| -> f64 {
            if by_tires {
                let force = self.traction - self.losses(at);
                (from.speed + span * force / self.inertia).max(0.0)
            } else {
                let power = self.power - self.losses(at) * at;
                let square = from.speed * from.speed + 2.0 * span * power / self.inertia;
                square.max(0.0).sqrt()
            }
        };
        let middle = after(from, from.speed, 0.5 * step);
        let speed = after(from, middle, step);
        State {
            time: from.time + step,
            speed,
            // Simpson's rule over the step.
            way: from.way + step * (from.speed + 4.0 * middle + speed) / 6.0,
        }
    }

    /// A stretch without drive.
    fn coasted(&self, from: State, span: f64) -> State {
        let slower = span * self.losses(from.speed) / self.inertia;
        let speed = (from.speed - slower).max(0.0);
        State {
            time: from.time + span,
            speed,
            way: from.way + 0.5 * span * (from.speed + speed),
        }
    }
}

/// Where between two values a third lies, 0 to 1.
fn share(before: f64, after: f64, at: f64) -> f64 {
    if after > before {
        ((at - before) / (after - before)).clamp(0.0, 1.0)
    } else {
        1.0
    }
}

/// Notes the marks passed in a stretch, the time taken as even along it.
fn note(sixty: &mut Option<f64>, quarter: &mut Option<State>, before: State, now: State) {
    if sixty.is_none() && now.speed >= SIXTY_MPH {
        let part = share(before.speed, now.speed, SIXTY_MPH);
        *sixty = Some(before.time + part * (now.time - before.time));
    }
    if quarter.is_none() && now.way >= QUARTER_MILE_M {
        let part = share(before.way, now.way, QUARTER_MILE_M);
        *quarter = Some(State {
            time: before.time + part * (now.time - before.time),
            speed: before.speed + part * (now.speed - before.speed),
            way: QUARTER_MILE_M,
        });
    }
}

/// Share of ordinary cars that it out-accelerates: the mean of the shares slower to 60 mph and over the quarter mile. Ordinary cars'
/// times are lognormal, from the settings' median and 10-90 % ends.
#[must_use]
pub fn fast(pace: &Pace, settings: &PaceSettings) -> f64 {
    let slower = |time: f64, [median, low, high]: [f64; 3]| {
        // 1.2816: the normal's 90 % point.
        let spread = (libm::log(high) - libm::log(low)) / (2.0 * 1.281_551_565_545);
        share_below((libm::log(median) - libm::log(time)) / spread)
    };
    0.5 * (slower(pace.zero_to_60_mph_s, settings.ordinary_zero_to_60_s)
        + slower(pace.quarter_mile_s, settings.ordinary_quarter_mile_s))
}
