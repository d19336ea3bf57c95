//! Runs against closed solutions: the linear cases, to a hundred millionth.

use super::*;
use crate::math::square_root;
use crate::quantity::{Henry, KilogramSquareMetre, NewtonMetrePerAmpere};

struct Linear {
    volts: f64,
    ohms: f64,
    henries: f64,
    constant: f64,
    inertia: f64,
    viscous: f64,
}

impl Linear {
    fn run(&self, duration: f64) -> Run {
        let feed = Feed {
            source: Volt(self.volts),
            source_resistance: Ohm(0.25 * self.ohms),
            lead_resistance: Ohm(0.25 * self.ohms),
            brush_drop: Volt(0.0),
        };
        let motor = Motor {
            excitation: Excitation::PermanentMagnet { constant: NewtonMetrePerAmpere(self.constant) },
            winding: Ohm(0.5 * self.ohms),
            inductance: Henry(self.henries),
            inertia: KilogramSquareMetre(self.inertia),
            drag: Drag { steady: NewtonMetre(0.0), viscous_nms: self.viscous, windage_nms2: 0.0 },
        };
        let setting = Setting {
            duration: Second(duration),
            load: NewtonMetre(0.0),
            start_temperature: Celsius(20.0),
            heat_capacity: Some(JoulePerKelvin(1e30)),
            relative_tolerance: 1e-12,
            most_steps: 200_000,
        };
        run(&feed, &motor, &setting).expect("smooth")
    }

    /// Current and speed in closed form: the system matrix `[−R/L, −k/L; k/J, −B/J]`, its two roots real or complex.
    fn exact(&self, time: f64) -> (f64, f64) {
        let (a, b) = (-self.ohms / self.henries, -self.constant / self.henries);
        let (c, d) = (self.constant / self.inertia, -self.viscous / self.inertia);
        let (half, determinant) = (0.5 * (a + d), a * d - b * c);
        let push = self.volts / self.henries;
        // At the end: a·i + b·w + push = 0 and c·i + d·w = 0.
        let (i_end, w_end) = (-d * push / determinant, c * push / determinant);
        // exp(M·t) = e^{half·t} · (cosh(r·t) + sinh(r·t)/r · (M − half)), or with cos and sin.
        let square = half * half - determinant;
        let root = square_root(square.abs());
        let (even, odd) = if square > 0.0 {
            (libm::cosh(root * time), libm::sinh(root * time) / root)
        } else {
            (libm::cos(root * time), libm::sin(root * time) / root)
        };
        let fade = libm::exp(half * time);
        let (i0, w0) = (-i_end, -w_end);
        let i = fade * (even * i0 + odd * ((a - half) * i0 + b * w0));
        let w = fade * (even * w0 + odd * (c * i0 + (d - half) * w0));
        (i_end + i, w_end + w)
    }

    fn check(&self, duration: f64) {
        let run = self.run(duration);
        let moments: Vec<(Moment, (f64, f64))> = (1..=40)
            .map(|part| duration * f64::from(part) / 40.0)
            .map(|time| (run.at(Second(time)), self.exact(time)))
            .collect();
        let most = |value: fn(&(f64, f64)) -> f64| {
            moments.iter().map(|(_, exact)| value(exact).abs()).fold(0.0, f64::max)
        };
        let (most_current, most_speed) = (most(|exact| exact.0), most(|exact| exact.1));
        for (moment, (i, w)) in &moments {
            let off = (moment.current.0 - i).abs() / most_current;
            assert!(off < 1e-8, "current at {:?}: {} for {i}", moment.time, moment.current.0);
            if most_speed > 0.0 {
                let off = (moment.speed.0 - w).abs() / most_speed;
                assert!(off < 1e-8, "speed at {:?}: {} for {w}", moment.time, moment.speed.0);
            }
        }
    }
}

#[test]
fn a_run_that_creeps_to_its_end() {
    Linear {
        volts: 12.0,
        ohms: 0.012,
        henries: 0.000_12,
        constant: 0.0118,
        inertia: 0.0008,
        viscous: 0.0002,
    }
    .check(0.6);
}

#[test]
fn a_run_that_swings_to_its_end() {
    Linear { volts: 12.0, ohms: 0.01, henries: 0.0005, constant: 0.02, inertia: 0.0002, viscous: 0.0001 }
        .check(0.5);
}

#[test]
fn current_alone_in_a_coil_with_resistance() {
    let coil = Linear { volts: 60.0, ohms: 20.0, henries: 0.1, constant: 0.0, inertia: 1.0, viscous: 0.0 };
    let run = coil.run(0.03);
    for part in 1..=30 {
        let time = 0.001 * f64::from(part);
        let exact = 3.0 * (1.0 - libm::exp(-time * 200.0));
        let got = run.at(Second(time)).current.0;
        assert!((got / exact - 1.0).abs() < 1e-8, "{time}: {got} for {exact}");
    }
}

#[test]
fn a_rotor_that_runs_up_with_hardly_any_inductance() {
    // i = U/R · e^(−t/τ) with τ = R·J/k², once the current has risen within microseconds; off by (L/R)/τ.
    let motor =
        Linear { volts: 12.0, ohms: 0.012, henries: 1e-12, constant: 0.0118, inertia: 0.0008, viscous: 0.0 };
    let run = motor.run(0.2);
    let slow = 0.012 * 0.0008 / (0.0118 * 0.0118);
    for time in [0.01, 0.05, 0.1, 0.2] {
        let exact = 1000.0 * libm::exp(-time / slow);
        let got = run.at(Second(time)).current.0;
        assert!((got / exact - 1.0).abs() < 1e-8, "{time}: {got} for {exact}");
    }
}

#[test]
fn a_held_winding_warms_as_heat_over_capacity_with_rising_resistance() {
    // A source that holds its voltage: C · dT/dt = U² / (R · (1 + α · ΔT)), so ΔT + α · ΔT² / 2 = U² · t / (R · C).
    let (volts, ohms, capacity) = (2.0, 0.01, 400.0);
    let feed = Feed {
        source: Volt(volts),
        source_resistance: Ohm(0.0),
        lead_resistance: Ohm(0.0),
        brush_drop: Volt(0.0),
    };
    let motor = Motor {
        excitation: Excitation::PermanentMagnet { constant: NewtonMetrePerAmpere(0.0) },
        winding: Ohm(ohms),
        inductance: Henry(1e-12),
        inertia: KilogramSquareMetre(1.0),
        drag: Drag { steady: NewtonMetre(0.0), viscous_nms: 0.0, windage_nms2: 0.0 },
    };
    let setting = Setting {
        duration: Second(60.0),
        load: NewtonMetre(0.0),
        start_temperature: Celsius(20.0),
        heat_capacity: Some(JoulePerKelvin(capacity)),
        relative_tolerance: 1e-11,
        most_steps: 200_000,
    };
    let run = run(&feed, &motor, &setting).expect("smooth");
    let alpha = 1.0 / 254.5;
    for time in [10.0, 30.0, 60.0] {
        let push = volts * volts * time / (ohms * capacity);
        let exact = (square_root(1.0 + 2.0 * alpha * push) - 1.0) / alpha;
        let got = run.at(Second(time)).winding.0 - 20.0;
        assert!((got / exact - 1.0).abs() < 1e-8, "{time}: {got} for {exact}");
    }
}
