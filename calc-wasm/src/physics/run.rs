//! A motor from the moment it is energized: current, speed and heat over time.

use super::conductor::{Metal, temperature_ratio};
use super::motor::{Excitation, Feed, Motor, brush_voltage};
use crate::math::power;
use crate::numeric::ode::{Flow, OdeProblem, Step, Tolerance, integrate};
use crate::numeric::stiff::integrate_stiff;
use crate::quantity::{
    Ampere, Celsius, Joule, JoulePerKelvin, NewtonMetre, Ohm, RadianPerSecond, Second, Volt,
};

#[cfg(test)]
mod linear;
#[cfg(test)]
mod tests;

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
    /// Most steps that the run may take.
    pub most_steps: usize,
}

/// The components of the state: armature current, speed, field current, and six sums that are only added to.
const CURRENT: usize = 0;
const SPEED: usize = 1;
const FIELD: usize = 2;
const CHARGE: usize = 3;
const WINDING_HEAT: usize = 4;
const LEAD_HEAT: usize = 5;
const BRUSH_HEAT: usize = 6;
const FIELD_HEAT: usize = 7;
const SHAFT_WORK: usize = 8;
const SIZE: usize = 9;

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
    /// Through the armature.
    pub armature: Ampere,
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
    /// Heat in the source itself, leads, joints and contacts.
    pub leads: Joule,
    /// Heat at the brushes.
    pub brushes: Joule,
    /// Heat in field coils across the terminals.
    pub field: Joule,
    /// Drag and load.
    pub shaft: Joule,
    /// In turning, at the end.
    pub turning: Joule,
    /// In magnetic fields, at the end.
    pub magnetic: Joule,
}

impl Energy {
    /// Everything but what the source gave: equal to it when nothing is lost in the sums.
    pub fn found(&self) -> Joule {
        self.winding + self.leads + self.brushes + self.field + self.shaft + self.turning + self.magnetic
    }
}

/// Runs a motor from rest.
///
/// An ordinary method takes steps no longer than a few electrical time constants `L / R`, however calm the motor has
/// become. Where that would be many more than exactness needs, a method for stiff equations takes over; both keep the
/// same tolerance.
pub fn run(feed: &Feed, motor: &Motor, setting: &Setting) -> Result<Run, OdeProblem> {
    let tolerance = tolerance(feed, motor, setting);
    let slope = |state: &[f64; SIZE]| slope(feed, motor, setting, state);
    let span = (0.0, setting.duration.0);
    let mut steps = Vec::with_capacity(256);
    let mut done = Err(OdeProblem::TooManySteps);
    if !is_stiff(feed, motor, setting) {
        done = integrate(|_, state| slope(state), span, [0.0; SIZE], &tolerance, |step| {
            steps.push(*step);
            Flow::On
        });
    }
    if done.is_err() {
        steps.clear();
        // The sums act on nothing, but for the heat that raises the winding's resistance.
        let coupled: &[usize] = match (motor.excitation, setting.heat_capacity) {
            (Excitation::Shunt { .. }, _) => &[CURRENT, SPEED, FIELD, WINDING_HEAT],
            (_, Some(_)) => &[CURRENT, SPEED, WINDING_HEAT],
            (_, None) => &[CURRENT, SPEED],
        };
        integrate_stiff(slope, coupled, span, [0.0; SIZE], &tolerance, |step| {
            steps.push(*step);
            Flow::On
        })?;
    }
    Ok(Run { feed: *feed, motor: *motor, setting: *setting, steps })
}

/// Does stability, not exactness, decide how many steps an ordinary method takes?
///
/// That method is stable up to 3.3 time constants a step. The stiff one is exact enough in about `6 / tolerance^¼`
/// steps (both counted on motors like those of the tests), each of which costs as much as some four ordinary ones.
fn is_stiff(feed: &Feed, motor: &Motor, setting: &Setting) -> bool {
    let total = feed.source_resistance + feed.lead_resistance + motor.winding;
    let mut rate = total.0 / motor.inductance.0;
    if let Excitation::Shunt { resistance, inductance, .. } = motor.excitation {
        rate = rate.max(resistance.0 / inductance.0);
    }
    let for_stability = setting.duration.0 * rate / 3.3;
    for_stability > 24.0 * power(setting.relative_tolerance, -0.25)
}

/// A step's error counts against the value itself, and against a small part of what is usual where the value is small.
fn tolerance(feed: &Feed, motor: &Motor, setting: &Setting) -> Tolerance<SIZE> {
    let relative = setting.relative_tolerance;
    let outside = feed.source_resistance + feed.lead_resistance;
    let locked = (feed.source / (outside + motor.winding)).0;
    let field = match motor.excitation {
        Excitation::Shunt { resistance, .. } => (feed.source / (outside + resistance)).0,
        _ => 1.0,
    };
    let part = 1e-3 * relative;
    let charge = part * locked * setting.duration.0.min(1.0);
    let heat = charge * feed.source.0;
    let absolute =
        [part * locked, 10.0 * part, part * field, charge, heat, heat, heat, heat, heat];
    Tolerance { relative, absolute, most_steps: setting.most_steps }
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
    slope[LEAD_HEAT] = outside.0 * total.0 * total.0;
    slope[BRUSH_HEAT] = (brushes * current).0;
    slope[SHAFT_WORK] = ((drag + loaded) * speed).0;
    if let Excitation::Shunt { resistance, inductance, .. } = motor.excitation {
        slope[FIELD] = (terminal - resistance * field).0 / inductance.0;
        slope[FIELD_HEAT] = resistance.0 * field.0 * field.0;
    }
    slope
}

impl Run {
    /// The state at a time of the run.
    pub fn at(&self, time: Second) -> Moment {
        self.moment(time.0, &self.state(time.0))
    }

    /// So many moments (at least two), from the first to the last: closest together at the start, where most happens.
    pub fn samples(&self, count: usize) -> Vec<Moment> {
        let last = count.max(2) - 1;
        let time = |index: usize| {
            let part = index as f64 / last as f64;
            Second(self.setting.duration.0 * part * part * part)
        };
        (0..=last).map(|index| self.at(time(index))).collect()
    }

    /// The greatest current from the source and its time.
    pub fn peak(&self) -> Moment {
        let mut weights = [0.0; SIZE];
        (weights[CURRENT], weights[FIELD]) = (1.0, 1.0);
        let mut best = self.at(Second(0.0));
        for step in &self.steps {
            let end = step.end_state[CURRENT] + step.end_state[FIELD];
            if end > best.current.0 {
                best = self.moment(step.end(), &step.end_state);
            }
            if let Some(time) = step.greatest(&weights) {
                let moment = self.moment(time, &step.at(time));
                if moment.current > best.current {
                    best = moment;
                }
            }
        }
        best
    }

    /// The greatest current that a meter shows which averages over `window`, charge in the window over its length; and
    /// when that window ends.
    pub fn peak_shown(&self, window: Second) -> (Second, Ampere) {
        let end = self.setting.duration.0;
        let window = window.0.min(end);
        if window <= 0.0 {
            let peak = self.peak();
            return (peak.time, peak.current);
        }
        let average = |time: f64| {
            let time = time.clamp(window, end);
            (self.one(CHARGE, time) - self.one(CHARGE, time - window)) / window
        };
        // Steps lie close where the current changes fast: a window's ends need looking at there, and no closer.
        let mut times = vec![window, end];
        times.extend(self.steps.iter().map(Step::end).filter(|time| *time > window));
        times.extend(self.steps.iter().map(|step| step.end() + window).filter(|time| *time < end));
        times.sort_by(f64::total_cmp);
        let averages: Vec<f64> = times.iter().map(|time| average(*time)).collect();
        let best = (0..times.len()).max_by(|a, b| averages[*a].total_cmp(&averages[*b])).unwrap_or(0);
        let near = |index: usize| times.get(index).copied().unwrap_or(end);
        let (mut low, mut high) = (near(best.saturating_sub(1)), near(best + 1));
        for _ in 0..40 {
            let third = (high - low) / 3.0;
            if average(low + third) < average(high - third) { low += third } else { high -= third }
        }
        let time = 0.5 * (low + high);
        if average(time) > averages[best] {
            (Second(time), Ampere(average(time)))
        } else {
            (Second(times[best]), Ampere(averages[best]))
        }
    }

    /// The first time after which the current stays within `share` of `settled`; nothing when it ends outside.
    pub fn time_to_settle(&self, settled: Ampere, share: f64) -> Option<Second> {
        let end = self.setting.duration.0;
        let current = |step: &Step<SIZE>, time: f64| step.one(CURRENT, time) + step.one(FIELD, time);
        let outside =
            |step: &Step<SIZE>, time: f64| (current(step, time) - settled.0).abs() > share * settled.0.abs();
        if self.steps.last().is_none_or(|step| outside(step, end)) {
            return None;
        }
        const PARTS: usize = 4;
        for step in self.steps.iter().rev() {
            let time = |part: usize| step.start + step.length * part as f64 / PARTS as f64;
            if let Some(part) = (0..PARTS).rev().find(|part| outside(step, time(*part))) {
                let (mut low, mut high) = (time(part), time(part + 1));
                for _ in 0..40 {
                    let middle = 0.5 * (low + high);
                    if outside(step, middle) { low = middle } else { high = middle }
                }
                return Some(Second(high));
            }
        }
        Some(Second(0.0))
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
            leads: Joule(state[LEAD_HEAT]),
            brushes: Joule(state[BRUSH_HEAT]),
            field: Joule(state[FIELD_HEAT]),
            shaft: Joule(state[SHAFT_WORK]),
            turning: Joule(half_square(self.motor.inertia.0, state[SPEED])),
            magnetic: Joule(half_square(self.motor.inductance.0, state[CURRENT]) + field_stored),
        }
    }

    /// How long the motor may stay energized before its winding reaches `limit`: from the run while it lasts, then by
    /// the heat of its last moment. Nothing when the winding's heat capacity is not known or it never gets there.
    pub fn time_to_temperature(&self, limit: Celsius) -> Option<Second> {
        let capacity = self.setting.heat_capacity?;
        let temperature = |time: f64| winding_temperature(&self.setting, self.one(WINDING_HEAT, time)).0;
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

    /// How long the motor was energized.
    pub fn duration(&self) -> Second {
        self.setting.duration
    }

    fn step(&self, time: f64) -> Option<&Step<SIZE>> {
        let index =
            self.steps.partition_point(|step| step.end() < time).min(self.steps.len().saturating_sub(1));
        self.steps.get(index).filter(|_| time > 0.0)
    }

    fn state(&self, time: f64) -> [f64; SIZE] {
        self.step(time).map_or([0.0; SIZE], |step| step.at(time.min(step.end())))
    }

    fn one(&self, component: usize, time: f64) -> f64 {
        self.step(time).map_or(0.0, |step| step.one(component, time.min(step.end())))
    }

    fn moment(&self, time: f64, state: &[f64; SIZE]) -> Moment {
        let current = Ampere(state[CURRENT] + state[FIELD]);
        Moment {
            time: Second(time),
            current,
            armature: Ampere(state[CURRENT]),
            speed: RadianPerSecond(state[SPEED]),
            terminal: self.feed.source - (self.feed.source_resistance + self.feed.lead_resistance) * current,
            winding: winding_temperature(&self.setting, state[WINDING_HEAT]),
        }
    }
}
