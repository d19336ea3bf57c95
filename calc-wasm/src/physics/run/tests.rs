//! What holds for every run: energy, the end where torque equals drag, meters and heat.

use super::*;
use crate::physics::motor::Magnetization;
use crate::physics::steady::steady;
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
        most_steps: 20_000,
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
        let sum = energy.found().0;
        assert!((sum / energy.source.0 - 1.0).abs() < 1e-6, "{excitation:?}: {sum} of {}", energy.source.0);
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
    let shown: Vec<f64> = [0.001, 0.01, 0.1, 0.5].map(|window| run.peak_shown(Second(window)).1.0).to_vec();
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

#[test]
fn both_methods_give_the_same_run() {
    for excitation in excitations() {
        let motor = Motor { inductance: Henry(0.000_05), ..motor(excitation) };
        let loose = Setting { relative_tolerance: 1e-7, duration: Second(6.0), ..setting() };
        let tight =
            Setting { relative_tolerance: 1e-11, duration: Second(6.0), most_steps: 200_000, ..setting() };
        assert!(is_stiff(&feed(), &motor, &loose) && !is_stiff(&feed(), &motor, &tight));
        let (stiff, exact) =
            (run(&feed(), &motor, &loose).expect("smooth"), run(&feed(), &motor, &tight).expect("smooth"));
        assert!(stiff.step_count() < 1500 && exact.step_count() > 700, "{}", stiff.step_count());
        for time in [0.000_3, 0.002, 0.01, 0.05, 0.2, 1.0, 3.0, 6.0].map(Second) {
            let (a, b) = (stiff.at(time), exact.at(time));
            // The stiff method's interpolant is of order 3: at 1e-7 a step, some 1e-5 between steps.
            assert!((a.current.0 / b.current.0 - 1.0).abs() < 3e-5, "{excitation:?} {time:?}: {a:?} {b:?}");
            assert!((a.speed.0 / b.speed.0 - 1.0).abs() < 3e-5, "{excitation:?} {time:?}: {a:?} {b:?}");
        }
        let (a, b) = (stiff.peak(), exact.peak());
        assert!((a.current.0 / b.current.0 - 1.0).abs() < 1e-5, "{a:?} {b:?}");
    }
}

#[test]
fn with_hardly_any_inductance_the_peak_is_the_locked_draw() {
    let motor = Motor { inductance: Henry(1e-9), ..motor(excitations()[1]) };
    let setting = Setting { relative_tolerance: 1e-6, duration: Second(30.0), most_steps: 3000, ..setting() };
    let run = run(&feed(), &motor, &setting).expect("stiff, not hard");
    let locked = 11.6 / (0.006 + 0.0015 + 0.012);
    assert!((run.peak().current.0 / locked - 1.0).abs() < 1e-3, "{:?}", run.peak());
}

#[test]
fn samples_run_from_rest_to_the_end() {
    let run = run(&feed(), &motor(excitations()[0]), &setting()).expect("smooth");
    let samples = run.samples(50);
    assert_eq!(samples.len(), 50);
    assert!(samples[0].current.0 == 0.0 && samples[49] == run.at(Second(3.0)));
    assert!(samples.is_sorted_by(|a, b| a.time < b.time));
}

#[test]
fn a_loaded_motor_runs_up_too_and_settles_lower() {
    for excitation in excitations() {
        let motor = motor(excitation);
        let loaded = Setting { load: NewtonMetre(0.5), duration: Second(20.0), ..setting() };
        let end = run(&feed(), &motor, &loaded).expect("smooth").at(loaded.duration);
        let settled = steady(&feed(), &motor, loaded.load).expect("turns");
        assert!((end.speed.0 / settled.speed.0 - 1.0).abs() < 1e-5, "{excitation:?}: {end:?} {settled:?}");
        let free = steady(&feed(), &motor, NewtonMetre(0.0)).expect("turns");
        assert!(settled.speed < free.speed && settled.current > free.current);
    }
}
