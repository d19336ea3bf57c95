//! A motor from the moment it is energized: current, speed and heat over time.

use super::conductor::{Metal, temperature_ratio};
use super::motor::{Excitation, Feed, Motor, brush_voltage};
use crate::numeric::ode::{Flow, OdeProblem, Step, Tolerance, integrate};
use crate::quantity::{
    Ampere, Celsius, Joule, JoulePerKelvin, NewtonMetre, Ohm, RadianPerSecond, Second, Volt,
};

/// What is asked of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// How long the motor is energized.
    pub duration: Second,
    /// Torque of a load besides the motor's own drag.
    pub load: NewtonMetre,
    /// Temperature of the winding at the start; the motor's winding resistance holds there.
    pub start_temperature: Celsius,
    /// Heat capacity of the winding, when its heating shall count.
    pub heat_capacity: Option<JoulePerKelvin>,
    /// Share of each value that a step may be off.
    pub relative_tolerance: f64,
}

/// The components of the state: armature current, speed, field current, and four sums that are only added to.
const CURRENT: usize = 0;
const SPEED: usize = 1;
const FIELD: usize = 2;
const CHARGE: usize = 3;
const WINDING_HEAT: usize = 4;
const OUTSIDE_HEAT: usize = 5;
const SHAFT_WORK: usize = 6;
const SIZE: usize = 7;

/// A run, known at every moment.
#[derive(Debug, Clone)]
pub struct Run {
    feed: Feed,
    motor: Motor,
    setting: Setting,
    steps: Vec<Step<SIZE>>,
}

/// The state of a run at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Since it was energized.
    pub time: Second,
    /// From the source: armature and field together.
    pub current: Ampere,
    /// Speed of the armature.
    pub speed: RadianPerSecond,
    /// Voltage at the motor's terminals.
    pub terminal: Volt,
    /// Temperature of the winding.
    pub winding: Celsius,
}

/// Where the energy of a run went; `source` is the sum of the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Energy {
    /// Given by the source.
    pub source: Joule,
    /// Heat in the winding.
    pub winding: Joule,
    /// Heat in source, leads, brushes and field coils across the terminals.
    pub outside: Joule,
    /// Drag and load.
    pub shaft: Joule,
    /// In turning and in magnetic fields at the end.
    pub stored: Joule,
}

/// Runs a motor from rest.
pub fn run(feed: &Feed, motor: &Motor, setting: &Setting) -> Result<Run, OdeProblem> {
    let tolerance = Tolerance {
        relative: setting.relative_tolerance,
        // A microampere, a millionth of a turn in a second, and what these make in the sums.
        absolute: [1e-6, 1e-6, 1e-9, 1e-8, 1e-6, 1e-6, 1e-6],
    };
    let slope = |_: f64, state: &[f64; SIZE]| slope(feed, motor, setting, state);
    let mut steps = Vec::new();
    integrate(slope, (0.0, setting.duration.0), [0.0; SIZE], &tolerance, |step| {
        steps.push(*step);
        Flow::On
    })?;
    Ok(Run { feed: *feed, motor: *motor, setting: *setting, steps })
}

/// The winding's temperature after so much heat.
fn winding_temperature(setting: &Setting, heat: f64) -> Celsius {
    Celsius(setting.start_temperature.0 + setting.heat_capacity.map_or(0.0, |capacity| heat / capacity.0))
}

fn winding_resistance(motor: &Motor, setting: &Setting, heat: f64) -> Ohm {
    match setting.heat_capacity {
        None => motor.winding,
        Some(_) => {
            let now = winding_temperature(setting, heat);
            motor.winding * temperature_ratio(Metal::Copper, setting.start_temperature, now)
        }
    }
}

fn slope(feed: &Feed, motor: &Motor, setting: &Setting, state: &[f64; SIZE]) -> [f64; SIZE] {
    let (current, speed) = (Ampere(state[CURRENT]), RadianPerSecond(state[SPEED]));
    let field = Ampere(state[FIELD]);
    let outside = feed.source_resistance + feed.lead_resistance;
    let total = current + field;
    let terminal = feed.source - outside * total;
    let constant = match motor.excitation {
        Excitation::PermanentMagnet { constant } => constant,
        Excitation::Series(magnetization) => magnetization.constant(current),
        Excitation::Shunt { magnetization, .. } => magnetization.constant(field),
    };
    let winding = winding_resistance(motor, setting, state[WINDING_HEAT]);
    let brushes = brush_voltage(feed.brush_drop, current);
    let drag = motor.drag.torque(speed);
    let loaded = if speed.0 > 0.0 { setting.load } else { NewtonMetre(0.0) };
    let torque = constant * current - drag - loaded;
    let mut slope = [0.0; SIZE];
    slope[CURRENT] = (terminal - winding * current - brushes - constant * speed).0 / motor.inductance.0;
    slope[SPEED] = torque.0 / motor.inertia.0;
    slope[CHARGE] = total.0;
    slope[WINDING_HEAT] = winding.0 * current.0 * current.0;
    slope[OUTSIDE_HEAT] = outside.0 * total.0 * total.0 + (brushes * current).0;
    slope[SHAFT_WORK] = ((drag + loaded) * speed).0;
    if let Excitation::Shunt { resistance, inductance, .. } = motor.excitation {
        slope[FIELD] = (terminal - resistance * field).0 / inductance.0;
        slope[OUTSIDE_HEAT] += resistance.0 * field.0 * field.0;
    }
    slope
}

impl Run {
    /// The state at a time of the run.
    pub fn at(&self, time: Second) -> Moment {
        self.moment(time.0, &self.state(time.0))
    }

    /// The greatest current from the source and its time.
    pub fn peak(&self) -> Moment {
        let total = |state: &[f64; SIZE]| state[CURRENT] + state[FIELD];
        let mut best = self.at(Second(0.0));
        for step in &self.steps {
            let inside = step.greatest(total);
            for time in inside.into_iter().chain([step.end()]) {
                let moment = self.moment(time, &step.at(time));
                if moment.current > best.current {
                    best = moment;
                }
            }
        }
        best
    }

    /// The greatest current that a meter shows which averages over `window`: charge in the window over its length.
    pub fn peak_shown(&self, window: Second) -> Ampere {
        let end = self.setting.duration.0;
        let window = window.0.min(end);
        if window <= 0.0 {
            return self.peak().current;
        }
        let charge = |time: f64| self.state(time)[CHARGE];
        let average = |time: f64| (charge(time) - charge(time - window)) / window;
        const GRID: usize = 400;
        let spacing = (end - window) / GRID as f64;
        let time_of = |index: usize| window + spacing * index as f64;
        let best = (0..=GRID)
            .max_by(|a, b| average(time_of(*a)).total_cmp(&average(time_of(*b))))
            .map_or(window, time_of);
        let (mut low, mut high) = ((best - spacing).max(window), (best + spacing).min(end));
        for _ in 0..50 {
            let third = (high - low) / 3.0;
            if average(low + third) < average(high - third) { low += third } else { high -= third }
        }
        Ampere(average(0.5 * (low + high)))
    }

    /// The first time after which the current stays within `share` of its value at the end.
    pub fn time_to_settle(&self, share: f64) -> Second {
        let end = self.at(self.setting.duration).current.0;
        let outside = |time: f64| (self.at(Second(time)).current.0 - end).abs() > share * end.abs();
        const PARTS: usize = 8;
        let moments: Vec<f64> = self
            .steps
            .iter()
            .flat_map(|step| {
                (1..=PARTS).map(move |part| step.start + step.length * part as f64 / PARTS as f64)
            })
            .collect();
        let Some(last_outside) = moments.iter().rposition(|time| outside(*time)) else { return Second(0.0) };
        let (mut low, mut high) = (
            moments[last_outside],
            moments.get(last_outside + 1).copied().unwrap_or(self.setting.duration.0),
        );
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if outside(middle) { low = middle } else { high = middle }
        }
        Second(high)
    }

    /// Where the energy went up to the end.
    pub fn energy(&self) -> Energy {
        let state = self.state(self.setting.duration.0);
        let half_square = |factor: f64, value: f64| 0.5 * factor * value * value;
        let field_stored = match self.motor.excitation {
            Excitation::Shunt { inductance, .. } => half_square(inductance.0, state[FIELD]),
            _ => 0.0,
        };
        Energy {
            source: Joule(self.feed.source.0 * state[CHARGE]),
            winding: Joule(state[WINDING_HEAT]),
            outside: Joule(state[OUTSIDE_HEAT]),
            shaft: Joule(state[SHAFT_WORK]),
            stored: Joule(
                half_square(self.motor.inertia.0, state[SPEED])
                    + half_square(self.motor.inductance.0, state[CURRENT])
                    + field_stored,
            ),
        }
    }

    /// How long the motor may stay energized before its winding reaches `limit`: from the run while it lasts, then by
    /// the heat of its last moment. Nothing when the winding's heat capacity is not known or it never gets there.
    pub fn time_to_temperature(&self, limit: Celsius) -> Option<Second> {
        let capacity = self.setting.heat_capacity?;
        let temperature = |time: f64| winding_temperature(&self.setting, self.state(time)[WINDING_HEAT]).0;
        let end = self.setting.duration.0;
        if temperature(end) >= limit.0 {
            let (mut low, mut high) = (0.0, end);
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                if temperature(middle) < limit.0 { low = middle } else { high = middle }
            }
            return Some(Second(high));
        }
        let state = self.state(end);
        let power = winding_resistance(&self.motor, &self.setting, state[WINDING_HEAT]).0
            * state[CURRENT]
            * state[CURRENT];
        (power > 0.0).then(|| Second(end + (limit.0 - temperature(end)) * capacity.0 / power))
    }

    /// How many steps the run took.
    pub fn step_count(&self) -> usize {
        self.steps.len()
    }

    fn state(&self, time: f64) -> [f64; SIZE] {
        let index =
            self.steps.partition_point(|step| step.end() < time).min(self.steps.len().saturating_sub(1));
        match self.steps.get(index) {
            Some(step) if time > 0.0 => step.at(time.min(step.end())),
            _ => [0.0; SIZE],
        }
    }

    fn moment(&self, time: f64, state: &[f64; SIZE]) -> Moment {
        let current = Ampere(state[CURRENT] + state[FIELD]);
        Moment {
            time: Second(time),
            current,
            speed: RadianPerSecond(state[SPEED]),
            terminal: self.feed.source - (self.feed.source_resistance + self.feed.lead_resistance) * current,
            winding: winding_temperature(&self.setting, state[WINDING_HEAT]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::motor::{Drag, Magnetization};
    use super::super::steady::steady;
    use super::*;
    use crate::quantity::{Henry, KilogramSquareMetre, NewtonMetrePerAmpere};

    fn feed() -> Feed {
        Feed {
            source: Volt(12.6),
            source_resistance: Ohm(0.006),
            lead_resistance: Ohm(0.0015),
            brush_drop: Volt(1.0),
        }
    }

    fn setting() -> Setting {
        Setting {
            duration: Second(3.0),
            load: NewtonMetre(0.0),
            start_temperature: Celsius(20.0),
            heat_capacity: None,
            relative_tolerance: 1e-9,
        }
    }

    fn motor(excitation: Excitation) -> Motor {
        Motor {
            excitation,
            winding: Ohm(0.012),
            inductance: Henry(0.000_1),
            inertia: KilogramSquareMetre(0.000_8),
            drag: Drag { steady: NewtonMetre(0.3), viscous_nms: 1e-4, windage_nms2: 2e-7 },
        }
    }

    fn excitations() -> [Excitation; 3] {
        let magnetization = Magnetization { full: NewtonMetrePerAmpere(0.03), half_at: Ampere(150.0) };
        [
            Excitation::PermanentMagnet { constant: NewtonMetrePerAmpere(0.012) },
            Excitation::Series(magnetization),
            Excitation::Shunt {
                magnetization: Magnetization { full: NewtonMetrePerAmpere(0.03), half_at: Ampere(5.0) },
                resistance: Ohm(2.0),
                inductance: Henry(0.05),
            },
        ]
    }

    #[test]
    fn energy_goes_nowhere_else() {
        for excitation in excitations() {
            let run = run(&feed(), &motor(excitation), &setting()).expect("smooth");
            let energy = run.energy();
            let sum = energy.winding.0 + energy.outside.0 + energy.shaft.0 + energy.stored.0;
            assert!(
                (sum / energy.source.0 - 1.0).abs() < 1e-6,
                "{excitation:?}: {sum} of {}",
                energy.source.0
            );
        }
    }

    #[test]
    fn a_run_ends_where_torque_equals_drag() {
        for excitation in excitations() {
            let motor = motor(excitation);
            let mut setting = setting();
            setting.duration = Second(30.0);
            let end = run(&feed(), &motor, &setting).expect("smooth").at(setting.duration);
            let steady = steady(&feed(), &motor, NewtonMetre(0.0)).expect("turns");
            let current = steady.current.0 + steady.field_current.0;
            assert!((end.current.0 / current - 1.0).abs() < 1e-5, "{excitation:?}: {end:?} {steady:?}");
            assert!((end.speed.0 / steady.speed.0 - 1.0).abs() < 1e-5, "{excitation:?}: {end:?} {steady:?}");
        }
    }

    #[test]
    fn a_meter_shows_less_than_the_first_peak_and_the_less_the_slower_it_is() {
        let run = run(&feed(), &motor(excitations()[1]), &setting()).expect("smooth");
        let peak = run.peak().current.0;
        let shown: Vec<f64> = [0.001, 0.01, 0.1, 0.5].map(|window| run.peak_shown(Second(window)).0).to_vec();
        assert!(peak > shown[0] && shown.windows(2).all(|pair| pair[0] > pair[1]), "{peak} {shown:?}");
        let locked = 11.6 / (0.006 + 0.0015 + 0.012);
        assert!(peak < locked, "inductance and rising speed keep the true peak below the locked draw");
    }

    #[test]
    fn a_hotter_winding_is_reached_later_the_heavier_it_is() {
        let motor = motor(excitations()[1]);
        let time = |capacity: f64| {
            let setting = Setting { heat_capacity: Some(JoulePerKelvin(capacity)), ..setting() };
            run(&feed(), &motor, &setting)
                .expect("smooth")
                .time_to_temperature(Celsius(120.0))
                .expect("gets hot")
                .0
        };
        assert!(time(400.0) < time(800.0));
    }
}
