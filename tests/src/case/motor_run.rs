//! Published values of runs that have a closed form: the library's run of the same motor, or of a coil alone.

use anyhow::{Context, Result};
use fieldcoil_calc::physics::motor::{Drag, Excitation, Feed, Motor};
use fieldcoil_calc::physics::run::{Moment, Run, Setting};
use fieldcoil_calc::quantity::{
    Celsius, Henry, KilogramSquareMetre, NewtonMetre, NewtonMetrePerAmpere, Ohm, RadianPerSecond, Second,
    Volt,
};

use super::Given;

/// A coil that does not turn has no constant and any inertia.
fn or(given: &Given<'_>, name: &str, otherwise: f64) -> Result<f64> {
    if given.0.contains_key(name) { given.number(name) } else { Ok(otherwise) }
}

pub(super) fn constant(given: &Given<'_>) -> Result<NewtonMetrePerAmpere> {
    Ok(NewtonMetrePerAmpere(or(given, "constant_nm_per_a", 0.0)?))
}

pub(super) fn motor(given: &Given<'_>) -> Result<Motor> {
    Ok(Motor {
        excitation: Excitation::PermanentMagnet { constant: constant(given)? },
        winding: Ohm(given.number("resistance_ohm")?),
        // Where a source leaves inductance out, a picohenry stands for none.
        inductance: Henry(or(given, "inductance_h", 1e-12)?),
        inertia: KilogramSquareMetre(or(given, "inertia_kg_m2", 1.0)?),
        drag: Drag { steady: NewtonMetre(0.0), viscous_nms: 0.0, windage_nms2: 0.0 },
    })
}

/// The run, as long as the time asked for, or else long enough to settle.
pub(super) fn run(given: &Given<'_>) -> Result<Run> {
    let feed = Feed {
        source: Volt(given.number("voltage_v")?),
        source_resistance: Ohm(0.0),
        lead_resistance: Ohm(0.0),
        brush_drop: Volt(0.0),
    };
    let setting = Setting {
        duration: Second(or(given, "time_s", 3.0)?),
        load: NewtonMetre(0.0),
        start_temperature: Celsius(20.0),
        heat_capacity: None,
        relative_tolerance: 1e-10,
        most_steps: 200_000,
    };
    fieldcoil_calc::physics::run::run(&feed, &motor(given)?, &setting)
        .map_err(|problem| anyhow::anyhow!("{problem:?}"))
}

pub(super) fn at(given: &Given<'_>) -> Result<Moment> {
    let run = run(given)?;
    Ok(run.at(run.duration()))
}

/// Charge drawn in the whole run: the average over all of it times its length.
pub(super) fn charge(given: &Given<'_>) -> Result<f64> {
    let run = run(given)?;
    Ok(run.average(run.duration(), run.duration()).0 * run.duration().0)
}

/// Voltage across the inductance alone.
pub(super) fn coil_voltage(given: &Given<'_>) -> Result<f64> {
    let moment = at(given)?;
    Ok(given.number("voltage_v")? - given.number("resistance_ohm")? * moment.current.0)
}

/// When the current first comes to a share of its end, or to a value.
pub(super) fn time_to_current(given: &Given<'_>) -> Result<f64> {
    let run = run(given)?;
    let wanted = if given.0.contains_key("current_a") {
        given.number("current_a")?
    } else {
        given.number("share")? * given.number("voltage_v")? / given.number("resistance_ohm")?
    };
    let end = run.duration().0;
    anyhow::ensure!(run.at(Second(end)).current.0 > wanted, "the current never comes to {wanted} A");
    let (mut low, mut high) = (0.0, end);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if run.at(Second(middle)).current.0 < wanted { low = middle } else { high = middle }
    }
    Ok(high)
}

/// By what part of its end the speed first exceeds it.
pub(super) fn overshoot(given: &Given<'_>) -> Result<f64> {
    let run = run(given)?;
    let RadianPerSecond(end) = Volt(given.number("voltage_v")?) / constant(given)?;
    let most = run.samples(60_001).iter().map(|moment| moment.speed.0).max_by(f64::total_cmp);
    Ok(most.context("a run has moments")? / end - 1.0)
}
