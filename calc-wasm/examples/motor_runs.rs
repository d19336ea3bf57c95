//! Runs that are asked for on the standard input, a line each, for scripts that work them out in another way.
//!
//! A line: `series|permanent-magnet|shunt` and then the numbers of [`NAMES`], parted by blanks; what stands after them
//! are the times asked for. The answer, a line for each time: time, armature current, speed, field current, winding
//! temperature, in seconds, amperes, radians in a second, amperes and degrees Celsius.
//!
//! With the word `time` before the line, the answer is one line: microseconds that the fastest of fifty runs took, and
//! how many steps; after it the same lines.

use std::hint::black_box;
use std::io::{BufRead, Write};
use std::time::Instant;

use fieldcoil_calc::physics::motor::{Drag, Excitation, Feed, Magnetization, Motor};
use fieldcoil_calc::physics::run::{Setting, run};
use fieldcoil_calc::quantity::{
    Ampere, Celsius, Henry, JoulePerKelvin, KilogramSquareMetre, NewtonMetre, NewtonMetrePerAmpere, Ohm,
    Second, Volt,
};

/// The numbers of a line, in base units: `constant` is that of magnets or the one that a current never exceeds.
const NAMES: [&str; 19] = [
    "source",
    "source_resistance",
    "lead_resistance",
    "brush_drop",
    "constant",
    "half_at",
    "field_resistance",
    "field_inductance",
    "winding",
    "inductance",
    "inertia",
    "steady_drag",
    "viscous",
    "windage",
    "load",
    "start_temperature",
    "heat_capacity",
    "duration",
    "relative_tolerance",
];

fn main() -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    for line in std::io::stdin().lock().lines() {
        let line = line?;
        let mut words = line.split_whitespace().peekable();
        let timed = words.next_if_eq(&"time").is_some();
        let Some(kind) = words.next() else { continue };
        let numbers: Vec<f64> = words.map(|word| word.parse().expect("a number")).collect();
        assert!(numbers.len() >= NAMES.len(), "a line has {} numbers", NAMES.len());
        let of = |name: &str| numbers[NAMES.iter().position(|other| *other == name).expect("a name")];
        let (feed, motor, setting) = asked(kind, &of);
        let work = || run(&feed, &motor, &setting).expect("a run that can be worked");
        let run = work();
        if timed {
            let times = (0..50).map(|_| {
                let start = Instant::now();
                black_box(work());
                start.elapsed().as_secs_f64() * 1e6
            });
            writeln!(out, "{} {}", times.fold(f64::INFINITY, f64::min), run.step_count())?;
        }
        for time in &numbers[NAMES.len()..] {
            let moment = run.at(Second(*time));
            let field = moment.current - moment.armature;
            writeln!(
                out,
                "{:e} {:e} {:e} {:e} {:e}",
                time, moment.armature.0, moment.speed.0, field.0, moment.winding.0
            )?;
        }
    }
    Ok(())
}

fn asked(kind: &str, of: &impl Fn(&str) -> f64) -> (Feed, Motor, Setting) {
    let feed = Feed {
        source: Volt(of("source")),
        source_resistance: Ohm(of("source_resistance")),
        lead_resistance: Ohm(of("lead_resistance")),
        brush_drop: Volt(of("brush_drop")),
    };
    let constant = NewtonMetrePerAmpere(of("constant"));
    let magnetization = Magnetization { full: constant, half_at: Ampere(of("half_at")) };
    let excitation = match kind {
        "series" => Excitation::Series(magnetization),
        "permanent-magnet" => Excitation::PermanentMagnet { constant },
        "shunt" => Excitation::Shunt {
            magnetization,
            resistance: Ohm(of("field_resistance")),
            inductance: Henry(of("field_inductance")),
        },
        other => panic!("no field of the kind `{other}`"),
    };
    let motor = Motor {
        excitation,
        winding: Ohm(of("winding")),
        inductance: Henry(of("inductance")),
        inertia: KilogramSquareMetre(of("inertia")),
        drag: Drag {
            steady: NewtonMetre(of("steady_drag")),
            viscous_nms: of("viscous"),
            windage_nms2: of("windage"),
        },
    };
    let setting = Setting {
        duration: Second(of("duration")),
        load: NewtonMetre(of("load")),
        start_temperature: Celsius(of("start_temperature")),
        heat_capacity: Some(JoulePerKelvin(of("heat_capacity"))),
        relative_tolerance: of("relative_tolerance"),
        most_steps: 1_000_000,
    };
    (feed, motor, setting)
}
