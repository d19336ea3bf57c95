//! Where the motor settles, and the run to there: peak, meter, heat, energy and charts.

use super::bench::{Expected, compare};
use super::sheet::{Fitted, show_k, show_nm};
use super::work::contact;
use crate::calculator::{show_a, show_ohm, show_v};
use crate::chart::{Axis, Chart, Mark, Series};
use crate::input::Inputs;
use crate::math::natural_logarithm;
use crate::number::figures;
use crate::numeric::ode::OdeProblem;
use crate::physics::motor::{Drag, Excitation, Feed, Motor, damping_ratio, mechanical_time_constant};
use crate::physics::run::{Moment, Run, Setting, run};
use crate::physics::steady::{Steady, steady};
use crate::quantity::{Ampere, Celsius, JoulePerKelvin, NewtonMetre, Ohm, RadianPerSecond, Rpm, Second};
use crate::report::{Level, Report, Source, Table, show};
use crate::unit::Quantity;

/// Share of each value that a step of a run may be off.
const TOLERANCE: f64 = 1e-6;
/// More steps would keep a page waiting; motors take some hundred.
const MOST_STEPS: usize = 1500;
/// Points of a curve.
const POINTS: usize = 121;
/// The current has settled when it stays so near to its end.
const SETTLED: f64 = 0.05;
/// Below this part of the sheet's speed a motor creeps: no drag stays the same down to there.
const CREEP: f64 = 0.02;

/// From this many times the sheet's speed up the windings may leave the armature. Common practice, no source.
const OVERSPEED: f64 = 1.3;
/// A winding that reaches its limit within these seconds is near it on any run.
const SOON_S: f64 = 10.0;
/// The chart of the first peak ends so many seconds after energizing, or after so many times the peak's time.
const EARLY_S: f64 = 0.05;
const EARLY_PEAKS: f64 = 10.0;

/// Gives the settled state, and the run when the motor turns.
pub(super) fn settle_and_run(
    report: &mut Report,
    inputs: &Inputs,
    feed: &Feed,
    fitted: &Fitted,
    locked: Ampere,
) {
    let motor = &fitted.motor;
    let none = NewtonMetre(0.0);
    let creeps = |state: &Steady| state.speed.0 < CREEP * RadianPerSecond::from(fitted.sheet.free.speed).0;
    let Some(settled) = steady(feed, motor, none).filter(|state| !creeps(state)) else {
        report.finding(
            Level::Warning,
            format!(
                "This feed cannot turn the motor: its drag needs {}, and it would stand still or creep while {} heats it. Look at the source and the leads.",
                show_nm(motor.drag.torque(RadianPerSecond(1.0))),
                show_a(locked)
            ),
        );
        return;
    };
    show_settled(report, inputs, feed, fitted, &settled);
    warn_of_speed(report, fitted, &settled);
    show_motion(report, feed, fitted, &settled);
    let setting = Setting {
        duration: Second(super::work::or_start(inputs, "energized_s")),
        load: none,
        start_temperature: Celsius(inputs.number("working_temperature_c")),
        heat_capacity: inputs
            .optional("winding_heat_capacity_j_per_k")
            .map(|capacity| JoulePerKelvin(capacity.value)),
        relative_tolerance: TOLERANCE,
        most_steps: MOST_STEPS,
    };
    match run(feed, motor, &setting) {
        Ok(run) => show_run(report, inputs, feed, fitted, &settled, &run, locked),
        Err(problem) => report.finding(Level::Warning, not_worked(feed, fitted, &settled, problem)),
    }
}

fn not_worked(feed: &Feed, fitted: &Fitted, settled: &Steady, problem: OdeProblem) -> String {
    let motor = &fitted.motor;
    let total = feed.source_resistance + feed.lead_resistance + motor.winding;
    let constant = fitted.fit.constant_at(settled.current);
    let slow = mechanical_time_constant(total, motor.inertia, constant);
    let fast = Second(motor.inductance.0 / total.0);
    let why = match problem {
        OdeProblem::TooManySteps => "it would take too many steps",
        OdeProblem::StepTooSmall => "its numbers leave the range that can be worked",
    };
    format!(
        "The run itself is not worked: {why}. With these values the current needs about {} to rise and the rotor about {} to run up; no starting motor is like that. Check inductance, inertia and speed.",
        show(Quantity::Time, fast.0, 2),
        show(Quantity::Time, slow.0, 2)
    )
}

fn show_settled(report: &mut Report, inputs: &Inputs, feed: &Feed, fitted: &Fitted, settled: &Steady) {
    let motor = &fitted.motor;
    let current = settled.current + settled.field_current;
    let constant = fitted.fit.constant_at(settled.current);
    let letter = if contact(inputs).0 > 0.0 { " + R_c" } else { "" };
    let shunt = matches!(motor.excitation, Excitation::Shunt { .. });
    let total = feed.source_resistance + feed.lead_resistance + motor.winding;
    let (formula, numbers) = if shunt {
        (
            "k · i = M_b + c · ω^2; U₂ − R_w · i − U_b = k · ω".to_owned(),
            format!(
                "U₂ = {}, i = {} in the armature and {} in the shunt coils",
                show_v(settled.terminal),
                show_a(settled.current),
                show_a(settled.field_current)
            ),
        )
    } else {
        (
            format!("k · i = M_b + c · ω^2; U₀ − (R_s + R_l{letter} + R_w) · i − U_b = k · ω"),
            format!(
                "{} · {} = {}; {} − {} · {} − {} = {} · {} rad/s",
                show_k(constant),
                show_a(settled.current),
                show_nm(motor.drag.torque(settled.speed)),
                show_v(feed.source),
                show_ohm(total),
                show_a(settled.current),
                show_v(feed.brush_drop),
                show_k(constant),
                figures(settled.speed.0, 4)
            ),
        )
    };
    report.step(
        "Settled: torque equals drag, and the back-EMF leaves just that current",
        &formula,
        numbers,
        format!("{} at {}", show_a(current), show_rpm(settled.speed)),
    );
    report.number("settled_current_a", current.0);
    report.number("settled_speed_rpm", Rpm::from(settled.speed).0);
    report.number("settled_terminal_v", settled.terminal.0);
    let extreme = |share: f64| {
        let drag = Drag::split(fitted.fit.drag, fitted.sheet.free.speed.into(), share);
        steady(feed, &Motor { drag, ..*motor }, NewtonMetre(0.0))
    };
    if let (Some(steady), Some(windy)) = (extreme(0.0), extreme(1.0)) {
        let words = |state: Steady| {
            format!("{} and {}", show_a3(state.current + state.field_current), show_rpm(state.speed))
        };
        report.finding(
            Level::Note,
            format!(
                "How the drag parts between bearings and air is assumed. Were it all bearings and brushes, the motor would settle at {}; were it all air, at {}.",
                words(steady),
                words(windy)
            ),
        );
    }
    report.sources.push(Source {
        fact: "Torque of an armature: flux times current; the same constant gives the back-EMF",
        from: "textbooks of direct-current machines; drag in two parts, steady and with the square of speed, is an assumption",
    });
}

fn warn_of_speed(report: &mut Report, fitted: &Fitted, settled: &Steady) {
    let times = Rpm::from(settled.speed).0 / fitted.sheet.free.speed.0;
    if times >= OVERSPEED {
        report.finding(
            Level::Warning,
            format!(
                "The motor would spin at {}, {} times its sheet's speed: an armature this fast can throw its windings; do not energize (1.3 times is common practice, no source).",
                show_rpm(settled.speed),
                figures(times, 3)
            ),
        );
    }
}

fn show_motion(report: &mut Report, feed: &Feed, fitted: &Fitted, settled: &Steady) {
    let motor = &fitted.motor;
    let total = feed.source_resistance + feed.lead_resistance + motor.winding;
    let constant = fitted.fit.constant_at(settled.current);
    report.step(
        "How fast the rotor runs up, with the settled field",
        "T_r = R · J / k^2",
        format!(
            "T_r = {} · {} / ({})²",
            show_ohm(total),
            show(Quantity::Inertia, motor.inertia.0, 3),
            show_k(constant)
        ),
        show(Quantity::Time, mechanical_time_constant(total, motor.inertia, constant).0, 3),
    );
    let numbers = format!(
        "L = {}, J = {}",
        show(Quantity::Inductance, motor.inductance.0, 3),
        show(Quantity::Inertia, motor.inertia.0, 3)
    );
    let electrical = match motor.excitation {
        Excitation::Shunt { .. } => "L · di/dt = U₂ − R_w · i − U_b − k · ω",
        _ => "L · di/dt = U₀ − R · i − U_b − k · ω",
    };
    report.step(
        "Equations of motion, from rest",
        &format!("{electrical}; J · dω/dt = k · i − M_b − c · ω^2"),
        numbers,
        "solved in small steps".to_owned(),
    );
    report.sources.push(Source {
        fact: "The run: steps of Dormand and Prince's pair of order 5 and 4, or of RODAS where the current settles far faster than the rotor; a millionth a step",
        from: "Hairer, Nørsett and Wanner, Solving Ordinary Differential Equations I and II",
    });
}

fn show_run(
    report: &mut Report,
    inputs: &Inputs,
    feed: &Feed,
    fitted: &Fitted,
    settled: &Steady,
    run: &Run,
    locked: Ampere,
) {
    let settled_current = settled.current + settled.field_current;
    let end = run.at(run.duration());
    let peak = run.peak();
    report.number("first_peak_a", peak.current.0);
    report.number("first_peak_time_s", peak.time.0);
    let window = Second(super::work::or_start(inputs, "meter_window_s"));
    let (shown_at, shown) = run.peak_shown(window);
    report.number("meter_peak_a", shown.0);
    show_meter(report, run, window, shown, &peak, locked);
    match run.time_to_settle(settled_current, SETTLED) {
        Some(time) => {
            report.number("settle_time_s", time.0);
            sense(report, feed, fitted, settled, run, time, locked);
        }
        None => {
            report.finding(
                Level::Next,
                format!(
                    "After {} the motor has not settled: the current is {}, and would come to {}. A reading then is too early; a longer run heats the winding.",
                    show(Quantity::Time, run.duration().0, 3),
                    show_a3(end.current),
                    show_a3(settled_current)
                ),
            );
            sense_energy(report, run);
        }
    }
    if matches!(fitted.motor.excitation, Excitation::PermanentMagnet { .. }) {
        show_swing(report, feed, fitted);
    }
    show_energy(report, inputs, feed, run);
    show_heat(report, inputs, run, &end);
    let expected = Expected {
        peak: (shown_at.0, shown.0),
        settled: end.current.0,
        speed: Rpm::from(end.speed).0,
        end: run.duration().0,
    };
    let crosses = compare(report, inputs, &expected);
    charts(report, run, window, locked, settled, crosses, &peak);
}

fn show_meter(report: &mut Report, run: &Run, window: Second, shown: Ampere, peak: &Moment, locked: Ampere) {
    let wide = if window > run.duration() { run.duration() } else { window };
    report.step(
        "Most that the meter shows",
        "I_w = Q / w",
        format!(
            "I_w = {} / {}, the most charge in any {}",
            show(Quantity::Charge, shown.0 * wide.0, 3),
            show(Quantity::Time, wide.0, 3),
            show(Quantity::Time, wide.0, 3)
        ),
        show_a3(shown),
    );
    report.finding(
        Level::Note,
        format!(
            "The current peaks at {} after {}, {} % of the held draw: inductance slows its rise and the armature already turns. A meter that averages over {} shows {} at most{}",
            show_a3(peak.current),
            show(Quantity::Time, peak.time.0, 3),
            figures(100.0 * peak.current.0 / locked.0, 2),
            show(Quantity::Time, wide.0, 3),
            show_a3(shown),
            match shown.0 {
                shown if shown < 0.6 * locked.0 => {
                    ": for most of that time the peak is over. So a display shows far less than the held draw, and nothing is wrong with it."
                }
                shown if shown < 0.95 * peak.current.0 => ", because the current falls while it averages.",
                _ => ", nearly all of the peak.",
            }
        ),
    );
}

fn show_swing(report: &mut Report, feed: &Feed, fitted: &Fitted) {
    let motor = &fitted.motor;
    let total = feed.source_resistance + feed.lead_resistance + motor.winding;
    let ratio = damping_ratio(total, motor.inductance, motor.inertia, fitted.fit.constant);
    if ratio < 1.0 {
        report.finding(
            Level::Note,
            format!(
                "Inductance and inertia swing against each other here (damping ratio {}): current and speed overshoot before they settle.",
                figures(ratio, 2)
            ),
        );
    }
}

/// Holds the time to settle against an exponential run-up, and the energy of turning against what the source gave.
fn sense(
    report: &mut Report,
    feed: &Feed,
    fitted: &Fitted,
    settled: &Steady,
    run: &Run,
    time: Second,
    locked: Ampere,
) {
    sense_energy(report, run);
    let motor = &fitted.motor;
    let total = feed.source_resistance + feed.lead_resistance + motor.winding;
    let slow = mechanical_time_constant(total, motor.inertia, fitted.fit.constant_at(settled.current));
    let ratio = (locked.0 - settled.current.0) / (SETTLED * settled.current.0);
    // The rough estimate knows no inductance: it says something where that hardly counts.
    if ratio > 1.0 && motor.inductance.0 / total.0 < 0.5 * slow.0 {
        let rough = slow.0 * natural_logarithm(ratio);
        let rough = format!(
            "Roughly, with the settled field all along and the drag left out, the current would come within 5 % after R·J/k² · ln((I_L − I)/(0.05·I)) = {}; the run says {}. ",
            show(Quantity::Time, rough, 2),
            show(Quantity::Time, time.0, 3)
        );
        report.sense.insert_str(0, &rough);
    }
}

fn sense_energy(report: &mut Report, run: &Run) {
    let energy = run.energy();
    report.sense = format!(
        "The turning rotor holds ½·J·ω² = {}; no motor can run up on less than that from the source, which gave {}.",
        show(Quantity::Energy, energy.turning.0, 3),
        show(Quantity::Energy, energy.source.0, 3)
    );
}

fn show_energy(report: &mut Report, inputs: &Inputs, feed: &Feed, run: &Run) {
    let energy = run.energy();
    report.number("source_energy_j", energy.source.0);
    report.number("winding_heat_j", energy.winding.0);
    let outside = feed.source_resistance + feed.lead_resistance;
    let contact = contact(inputs);
    let of_leads = |part: Ohm| if outside.0 > 0.0 { energy.leads.0 * (part / outside) } else { 0.0 };
    let parts = [
        ("Heat in the winding", energy.winding.0),
        ("Heat inside the source", of_leads(feed.source_resistance)),
        ("Heat in leads and joints", of_leads(Ohm(inputs.number("lead_resistance_ohm")))),
        ("Heat at the main contact", of_leads(contact)),
        ("Heat at the brushes", energy.brushes.0),
        ("Heat in shunt coils", energy.field.0),
        ("Drag of bearings, brushes and air", energy.shaft.0),
        ("In the turning rotor", energy.turning.0),
        ("In the magnetic field", energy.magnetic.0),
    ];
    let row = |name: &str, value: f64| {
        let share = 100.0 * value / energy.source.0;
        vec![
            name.to_owned(),
            show(Quantity::Energy, value, 3),
            format!("{} %", crate::number::to_places(share, 1)),
        ]
    };
    let mut rows: Vec<Vec<String>> =
        parts.iter().filter(|(_, value)| *value > 0.0).map(|(name, value)| row(name, *value)).collect();
    rows.push(row("Given by the source", energy.source.0));
    report.tables.push(Table {
        title: "Where the energy went".to_owned(),
        heads: vec!["Part", "Energy", "Share"],
        rows,
    });
}

fn show_heat(report: &mut Report, inputs: &Inputs, run: &Run, end: &Moment) {
    let start = inputs.number("working_temperature_c");
    let Some(capacity) = inputs.optional("winding_heat_capacity_j_per_k") else { return };
    let heat = run.energy().winding;
    report.step(
        "Winding warmer by",
        "T_d = Q_w / C",
        format!(
            "T_d = {} / {}",
            show(Quantity::Energy, heat.0, 3),
            show(Quantity::HeatCapacity, capacity.value, 3)
        ),
        show(Quantity::TemperatureRise, end.winding.0 - start, 3),
    );
    report.number("winding_rise_k", end.winding.0 - start);
    let Some(limit) = inputs.optional("winding_limit_c").map(|limit| limit.value) else { return };
    if limit <= start {
        report.finding(
            Level::Warning,
            format!(
                "The winding is at its limit of {} before the run begins: let it cool.",
                show(Quantity::Temperature, limit, 3)
            ),
        );
        return;
    }
    // A day and longer: the motor never gets there, since it sheds heat long before.
    let Some(longest) = run.time_to_temperature(Celsius(limit)).filter(|time| time.0 < 86_400.0) else {
        return;
    };
    report.number("longest_run_s", longest.0);
    let soon = longest.0 < run.duration().0.max(SOON_S);
    report.finding(
        if soon { Level::Warning } else { Level::Note },
        format!(
            "If nothing cooled it, the winding would come to {} after {}. A bench run ends after a few seconds in any case: brushes, commutator and bearings heat too.",
            show(Quantity::Temperature, limit, 3),
            show(Quantity::Time, longest.0, 3)
        ),
    );
    report.sources.push(Source {
        fact: "Heating without loss: heat over heat capacity, copper 385 J/(kg·K)",
        from: "specific heat of copper at 25 °C in tables of physical constants (from memory)",
    });
}

fn charts(
    report: &mut Report,
    run: &Run,
    window: Second,
    locked: Ampere,
    settled: &Steady,
    crosses: [Option<Series>; 2],
    peak: &Moment,
) {
    let samples = run.samples(POINTS);
    let end = run.duration().0;
    let line = |name: &str, mark, points| Series { name: name.to_owned(), mark, points };
    let flat = |name: &str, value: f64| line(name, Mark::Dashes, vec![(0.0, value), (end, value)]);
    let curve = |value: &dyn Fn(&Moment) -> f64| -> Vec<(f64, f64)> {
        samples.iter().map(|moment| (moment.time.0, value(moment))).collect()
    };
    let time = || Axis::new("Time after energizing", Quantity::Time, if end < 0.5 { "ms" } else { "" });
    let [current_crosses, speed_crosses] = crosses;
    let shown = samples.iter().map(|moment| (moment.time.0, run.average(window, moment.time).0)).collect();
    let mut current = vec![
        line("expected", Mark::Line, curve(&|moment| moment.current.0)),
        line("as the meter shows it", Mark::Dots, shown),
        flat("held, not turning", locked.0),
    ];
    let first_peak = || line("first peak", Mark::Crosses, vec![(peak.time.0, peak.current.0)]);
    current.push(first_peak());
    current.extend(current_crosses);
    let mut speed = vec![
        line("expected", Mark::Line, curve(&|moment| Rpm::from(moment.speed).0)),
        flat("settled", Rpm::from(settled.speed).0),
    ];
    speed.extend(speed_crosses);
    let volts = vec![line("expected", Mark::Line, curve(&|moment| moment.terminal.0))];
    let mut chart = |title: &str, y: Axis, series| {
        report.charts.push(Chart { title: title.to_owned(), x: time(), y, series, bands: Vec::new() });
    };
    chart("Current after energizing", Axis::new("Current", Quantity::Current, ""), current);
    // The whole run squeezes its beginning onto the axis.
    let early = EARLY_S.max(EARLY_PEAKS * peak.time.0);
    if early < end {
        let points = (0..POINTS).map(|point| {
            let moment = run.at(Second(early * point as f64 / (POINTS - 1) as f64));
            (moment.time.0, moment.current.0)
        });
        let series = vec![line("expected", Mark::Line, points.collect()), first_peak()];
        report.charts.push(Chart {
            title: "Current at the beginning".to_owned(),
            x: Axis::new("Time after energizing", Quantity::Time, if early < 0.5 { "ms" } else { "" }),
            y: Axis::new("Current", Quantity::Current, ""),
            series,
            bands: Vec::new(),
        });
    }
    let mut chart = |title: &str, y: Axis, series| {
        report.charts.push(Chart { title: title.to_owned(), x: time(), y, series, bands: Vec::new() });
    };
    chart("Speed after energizing", Axis::new("Speed", Quantity::Speed, ""), speed);
    chart("Volts at the motor after energizing", Axis::new("Voltage", Quantity::Voltage, ""), volts);
}

fn show_a3(value: Ampere) -> String {
    show(Quantity::Current, value.0, 3)
}

fn show_rpm(value: RadianPerSecond) -> String {
    show(Quantity::Speed, Rpm::from(value).0, 3)
}
