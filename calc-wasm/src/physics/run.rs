//! A motor from the moment it is energized: current, speed and heat over time.

use super::conductor::{Metal, temperature_ratio};
use super::motor::{Drag, Excitation, Feed, Motor, brush_voltage};
use super::steady::steady;
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
    /// Torque of a load besides the motor's own drag, the same at every speed.
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

/// The components of the state: armature current, speed, the heat that raises the winding's resistance, field current,
/// and five sums that are only added to.
const CURRENT: usize = 0;
const SPEED: usize = 1;
const WINDING_HEAT: usize = 2;
const FIELD: usize = 3;
const CHARGE: usize = 4;
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
    let system = System::of(feed, motor, setting);
    let slope = |state: &[f64; SIZE]| system.slope(state);
    let span = (0.0, setting.duration.0);
    let mut steps = Vec::with_capacity(256);
    let mut done = Err(OdeProblem::TooManySteps);
    if !is_stiff(feed, motor, setting) {
        done = integrate(
            |_, state| slope(state),
            span,
            [0.0; SIZE],
            &tolerance,
            |step| {
                steps.push(*step);
                Flow::On
            },
        );
    }
    if done.is_err() {
        steps.clear();
        let coupled = match (motor.excitation, setting.heat_capacity) {
            (Excitation::Shunt { .. }, _) => 4,
            (_, Some(_)) => 3,
            (_, None) => 2,
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
/// steps (both counted on motors like those of the tests), each of which costs as much as some two ordinary ones.
fn is_stiff(feed: &Feed, motor: &Motor, setting: &Setting) -> bool {
    let total = feed.source_resistance + feed.lead_resistance + motor.winding;
    let mut opposing = total.0;
    if let (Excitation::Series(magnetization), Some(settled)) =
        (motor.excitation, steady(feed, motor, setting.load))
    {
        // More current makes more back-EMF at once, which opposes it as a resistance does.
        opposing += magnetization.rise(settled.current) * settled.speed.0;
    }
    let mut rate = opposing / motor.inductance.0;
    if let Excitation::Shunt { resistance, inductance, .. } = motor.excitation {
        rate = rate.max(resistance.0 / inductance.0);
    }
    let for_stability = setting.duration.0 * rate / 3.3;
    for_stability > 12.0 * power(setting.relative_tolerance, -0.25)
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
    let absolute = [part * locked, 10.0 * part, heat, part * field, charge, heat, heat, heat, heat];
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

/// The equations of a run, with what does not change worked out beforehand: they are asked thousands of times.
struct System<'a> {
    feed: &'a Feed,
    motor: &'a Motor,
    outside: f64,
    drag: Drag,
    per_henry: f64,
    per_inertia: f64,
    /// Share by which each joule of heat raises the winding's resistance.
    per_joule: f64,
}

impl<'a> System<'a> {
    #[cfg_attr(target_arch = "wasm32", optimize(speed))]
    fn of(feed: &'a Feed, motor: &'a Motor, setting: &Setting) -> Self {
        let start = setting.start_temperature;
        let per_kelvin = temperature_ratio(Metal::Copper, start, start + Celsius(1.0)) - 1.0;
        System {
            feed,
            motor,
            outside: (feed.source_resistance + feed.lead_resistance).0,
            drag: motor.drag.and(setting.load),
            per_henry: 1.0 / motor.inductance.0,
            per_inertia: 1.0 / motor.inertia.0,
            per_joule: setting.heat_capacity.map_or(0.0, |capacity| per_kelvin / capacity.0),
        }
    }

    #[cfg_attr(target_arch = "wasm32", optimize(speed))]
    fn slope(&self, state: &[f64; SIZE]) -> [f64; SIZE] {
        let (current, speed, field) = (state[CURRENT], state[SPEED], state[FIELD]);
        let total = current + field;
        let terminal = self.feed.source.0 - self.outside * total;
        let constant = match self.motor.excitation {
            Excitation::PermanentMagnet { constant } => constant,
            Excitation::Series(magnetization) => magnetization.constant(Ampere(current)),
            Excitation::Shunt { magnetization, .. } => magnetization.constant(Ampere(field)),
        }
        .0;
        let winding = self.motor.winding.0 * (1.0 + self.per_joule * state[WINDING_HEAT]);
        let brushes = brush_voltage(self.feed.brush_drop, Ampere(current)).0;
        let drag = self.drag.torque(RadianPerSecond(speed)).0;
        let mut slope = [0.0; SIZE];
        slope[CURRENT] = (terminal - winding * current - brushes - constant * speed) * self.per_henry;
        slope[SPEED] = (constant * current - drag) * self.per_inertia;
        slope[CHARGE] = total;
        slope[WINDING_HEAT] = winding * current * current;
        slope[LEAD_HEAT] = self.outside * total * total;
        slope[BRUSH_HEAT] = brushes * current;
        slope[SHAFT_WORK] = drag * speed;
        if let Excitation::Shunt { resistance, inductance, .. } = self.motor.excitation {
            slope[FIELD] = (terminal - resistance.0 * field) / inductance.0;
            slope[FIELD_HEAT] = resistance.0 * field * field;
        }
        slope
    }
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
        let average = |time: f64| self.average(Second(window), Second(time.clamp(window, end))).0;
        // Steps lie close where the current changes fast: a window's ends need looking at there, and no closer. Both
        // ends walk along the steps once.
        let mut candidates = vec![(window, average(window)), (end, average(end))];
        let (mut other, mut ends) = (0, 0);
        for step in &self.steps {
            let (here, charge) = (step.end(), step.end_state[CHARGE]);
            if here > window {
                let before = self.charge_from(&mut other, here - window);
                candidates.push((here, (charge - before) / window));
            }
            if here + window < end {
                let after = self.charge_from(&mut ends, here + window);
                candidates.push((here + window, (after - charge) / window));
            }
        }
        candidates.sort_by(|a, b| a.0.total_cmp(&b.0));
        let best = (0..candidates.len())
            .max_by(|a, b| candidates[*a].1.total_cmp(&candidates[*b].1))
            .unwrap_or_default();
        let near = |index: usize| candidates.get(index).map_or(end, |candidate| candidate.0);
        let (mut low, mut high) = (near(best.saturating_sub(1)), near(best + 1));
        for _ in 0..40 {
            let third = (high - low) / 3.0;
            if average(low + third) < average(high - third) { low += third } else { high -= third }
        }
        let time = 0.5 * (low + high);
        let (at, most) = candidates[best];
        if average(time) > most { (Second(time), Ampere(average(time))) } else { (Second(at), Ampere(most)) }
    }

    /// What a meter shows that averages over the `window` up to a time; nothing flowed before the start.
    pub fn average(&self, window: Second, time: Second) -> Ampere {
        if window.0 <= 0.0 {
            return self.at(time).current;
        }
        Ampere((self.one(CHARGE, time.0) - self.one(CHARGE, time.0 - window.0)) / window.0)
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

    /// Charge up to a time that is no earlier than the one asked before, by the step in which that one was.
    fn charge_from(&self, index: &mut usize, time: f64) -> f64 {
        while self.steps[*index].end() < time && *index + 1 < self.steps.len() {
            *index += 1;
        }
        self.steps[*index].one(CHARGE, time)
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
