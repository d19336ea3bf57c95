//! A run of five seconds as one function, compiled to WebAssembly by the benches to time it in a browser.

use fieldcoil_calc::physics::motor::{Drag, Excitation, Feed, Magnetization, Motor};
use fieldcoil_calc::physics::run::{Setting, run};
use fieldcoil_calc::quantity::{
    Ampere, Celsius, Henry, JoulePerKelvin, KilogramSquareMetre, NewtonMetre, NewtonMetrePerAmpere, Ohm,
    Second, Volt,
};

/// The demo motor (invented) on the demo bench: series coils for 0, permanent magnets for 1, shunt coils for 2.
pub fn demo(kind: u32) -> (Feed, Motor) {
    let magnetization =
        |full, half_at| Magnetization { full: NewtonMetrePerAmpere(full), half_at: Ampere(half_at) };
    let excitation = match kind {
        0 => Excitation::Series(magnetization(0.0514, 208.0)),
        1 => Excitation::PermanentMagnet { constant: NewtonMetrePerAmpere(0.0122) },
        _ => Excitation::Shunt {
            magnetization: magnetization(0.0244, 5.5),
            resistance: Ohm(2.0),
            inductance: Henry(0.05),
        },
    };
    let feed = Feed {
        source: Volt(12.6),
        source_resistance: Ohm(0.006),
        lead_resistance: Ohm(0.0015),
        brush_drop: Volt(1.0),
    };
    let motor = Motor {
        excitation,
        winding: Ohm(0.012),
        inductance: Henry(0.000_05),
        inertia: KilogramSquareMetre(0.000_8),
        drag: Drag { steady: NewtonMetre(0.4), viscous_nms: 0.0, windage_nms2: 7e-7 },
    };
    (feed, motor)
}

/// Five seconds from cold, each step off by at most this share.
pub fn five_seconds(relative_tolerance: f64) -> Setting {
    Setting {
        duration: Second(5.0),
        load: NewtonMetre(0.0),
        start_temperature: Celsius(20.0),
        heat_capacity: Some(JoulePerKelvin(300.0)),
        relative_tolerance,
        most_steps: 1_000_000,
    }
}

/// Runs the motor of a kind so many times at a millionth a step; gives the settled current, or NaN.
#[cfg_attr(target_arch = "wasm32", wasm_bindgen::prelude::wasm_bindgen)]
pub fn five_second_runs(kind: u32, times: u32) -> f64 {
    let ((feed, motor), setting) = (demo(kind), five_seconds(1e-6));
    let mut settled = f64::NAN;
    for _ in 0..times {
        settled = run(&feed, &motor, &setting).map_or(f64::NAN, |run| run.at(Second(5.0)).current.0);
    }
    settled
}
