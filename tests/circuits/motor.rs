//! A motor in a circuit settles where the calculator `expected-draw` says.

use fieldcoil_calc::catalog::find;
use fieldcoil_calc::circuit::{Device, Field, MotorLaw, MotorSheet, Operating, Trouble, solve};
use fieldcoil_calc::input::Inputs;
use fieldcoil_calc::physics::motor::FreeSpinPoint;
use fieldcoil_calc::quantity::{Ampere, NewtonMetre, Ohm, Rpm, Volt};
use fieldcoil_calc::report::Report;
use fieldcoil_tests::close::Tolerance;
use fieldcoil_tests::motor::demo_sheet;
use proptest::prelude::*;
use proptest::test_runner::{RngAlgorithm, RngSeed, TestRunner};

/// Starting systems made by chance.
const CASES: u32 = 2000;

/// The same laws on two ways, with other sums between.
const SAME: Tolerance = Tolerance::Relative(1e-6);

/// The demo motor FC-12 (invented) on the demo bench of the lesson on traces.
fn expected(field: &str, volts: f64) -> Report {
    let volts = volts.to_string();
    let settings = [
        ("field", field),
        ("winding_resistance_ohm", "0.012"),
        ("winding_temperature_c", "20"),
        ("working_temperature_c", "20"),
        ("source_voltage_v", &volts),
        ("source_resistance_ohm", "0.005"),
        ("lead_resistance_ohm", "0.01"),
        ("contact_resistance_ohm", "0.0002"),
        ("brush_drop_v", "1"),
        ("sheet_voltage_v", "11"),
        ("sheet_current_a", "65"),
        ("sheet_speed_rpm", "7200"),
    ];
    let calculator = find("expected-draw").expect("in the catalog");
    let mut inputs = Inputs::starting(calculator);
    for (field, text) in settings {
        inputs.set(field, text).expect("a field and its value");
    }
    calculator.evaluate(&inputs).expect("worked")
}

fn sheet(field: Field) -> MotorSheet {
    demo_sheet(field, NewtonMetre(0.0))
}

fn bench(sheet: &MotorSheet, volts: f64) -> Operating {
    let wire = |from, to, ohms| Device::Resistance { from, to, value: Ohm(ohms) };
    let circuit = [
        Device::Source { plus: 1, minus: 0, open_circuit: Volt(volts), internal: Ohm(0.005) },
        wire(1, 2, 0.006),
        wire(2, 3, 0.0002),
        Device::Motor { plus: 3, minus: 4, law: MotorLaw::of(sheet).expect("a motor") },
        wire(4, 0, 0.004),
        wire(3, 4, 1e12),
    ];
    solve(&circuit).expect("settles")
}

#[test]
fn it_settles_where_the_calculator_says() {
    for (name, field) in [("series", Field::Series), ("permanent-magnet", Field::PermanentMagnet)] {
        for volts in [6.0, 8.5, 11.8, 12.6] {
            let report = expected(name, volts);
            let number = |output| report.number_of(output).expect("settled");
            let found = bench(&sheet(field), volts);
            let motor = found.device[3];
            let speed = motor.speed.expect("a motor").0;
            let across = found.between(3, 4).expect("joined").0;
            for (got, output) in [
                (motor.current.0, "settled_current_a"),
                (speed, "settled_speed_rpm"),
                (across, "settled_terminal_v"),
            ] {
                assert!(SAME.holds(got, number(output)), "{name} at {volts} V, {output}: {got}");
            }
        }
    }
}

#[test]
fn held_it_draws_what_the_calculator_says_of_the_first_instant() {
    let report = expected("series", 11.8);
    let held = bench(&MotorSheet { load: NewtonMetre(1000.0), ..sheet(Field::Series) }, 11.8);
    let known = report.number_of("locked_current_a").expect("worked");
    assert!(SAME.holds(held.device[3].current.0, known));
    assert_eq!(held.device[3].speed, Some(Rpm(0.0)));
}

#[test]
fn a_motor_under_load_draws_more_and_turns_slower() {
    let under = |load| {
        let found = bench(&MotorSheet { load: NewtonMetre(load), ..sheet(Field::Series) }, 12.6);
        (found.device[3].current.0, found.device[3].speed.expect("a motor").0)
    };
    let runs: Vec<(f64, f64)> = [0.0, 2.0, 5.0, 8.0].map(under).to_vec();
    assert!(runs.windows(2).all(|pair| pair[1].0 > pair[0].0 && pair[1].1 < pair[0].1), "{runs:?}");
    assert!(runs.iter().all(|(_, speed)| *speed > 0.0), "{runs:?}");
}

/// A sheet from a small 12 V starter to a large 24 V one, with no load or one up to three times its own drag.
fn any_sheet() -> impl Strategy<Value = MotorSheet> {
    let field = prop_oneof![Just(Field::Series), Just(Field::PermanentMagnet)];
    (
        field,
        0.004..0.05f64,
        0.0..1.5f64,
        9.0..25.0f64,
        0.02..0.3f64,
        2000.0..20_000.0f64,
        0.0..=1.0f64,
        0.0..3.0f64,
    )
        .prop_map(|(field, winding, brushes, volts, part, rpm, windage_share, load)| {
            let amps = part * (volts - brushes) / winding;
            let torque = (volts - brushes - winding * amps) * amps / (rpm * std::f64::consts::TAU / 60.0);
            MotorSheet {
                field,
                winding: Ohm(winding),
                winding_at_work: None,
                brush_drop: Volt(brushes),
                free: FreeSpinPoint { voltage: Volt(volts), current: Ampere(amps), speed: Rpm(rpm) },
                locked: None,
                windage_share,
                load: NewtonMetre((load - 1.0).max(0.0) * torque),
            }
        })
}

/// 0 the battery's minus, 1 its plus, 2 terminal 30, 3 terminal 50, 4 terminal 45, 5 the motor's case.
fn system(law: MotorLaw, second: Option<MotorLaw>, volts: f64, ohms: &[f64; 5]) -> Vec<Device> {
    let wire = |from, to, value| Device::Resistance { from, to, value: Ohm(value) };
    let mut devices = vec![
        Device::Source { plus: 1, minus: 0, open_circuit: Volt(volts), internal: Ohm(ohms[0]) },
        wire(1, 2, ohms[1]),
        wire(2, 3, ohms[2]),
        Device::Solenoid {
            main_in: 2,
            start: 3,
            main_out: 4,
            case: 5,
            pull_in: Ohm(0.3),
            hold_in: Ohm(1.2),
            contact: Ohm(ohms[3]),
            closes_at: Volt(0.6 * volts),
            drops_at: Volt(0.1 * volts),
        },
        Device::Motor { plus: 4, minus: 5, law },
        wire(5, 0, ohms[4]),
        wire(2, 4, 1e7),
    ];
    devices.extend(second.map(|law| Device::Motor { plus: 2, minus: 0, law }));
    devices
}

#[test]
fn every_sensible_starting_system_settles_and_each_motor_where_its_volts_say() {
    let ohm = || 0.0..0.02f64;
    let strategy =
        (any_sheet(), prop::option::of(any_sheet()), 6.0..28.0f64, (ohm(), ohm(), ohm(), ohm(), ohm()));
    let mut runner = TestRunner::new(ProptestConfig {
        cases: CASES,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(5),
        rng_algorithm: RngAlgorithm::XorShift,
        ..ProptestConfig::default()
    });
    let settled = std::cell::Cell::new(0);
    runner
        .run(&strategy, |(sheet, second, volts, (a, b, c, d, e))| {
            let law = |sheet: &MotorSheet| MotorLaw::of(sheet).expect("a motor");
            // A battery has some resistance, or the motors would not answer to each other.
            let devices = system(law(&sheet), second.as_ref().map(law), volts, &[a + 0.001, b, c, d, e]);
            let found = match solve(&devices) {
                Ok(found) => found,
                // A battery that cannot hold the solenoid: that is a state of its own.
                Err(Trouble::Chatters { device: 3 }) => return Ok(()),
                Err(trouble) => return Err(TestCaseError::fail(trouble.to_string())),
            };
            for (device, what) in devices.iter().enumerate() {
                let Device::Motor { plus, minus, law } = *what else { continue };
                let across = found.between(plus, minus).expect("joined").0;
                let alone = [
                    Device::Source { plus: 1, minus: 0, open_circuit: Volt(across), internal: Ohm(0.0) },
                    Device::Motor { plus: 1, minus: 0, law },
                ];
                let through = found.device[device];
                let turns = through.speed.expect("a motor").0 > 0.0;
                settled.set(settled.get() + u32::from(turns));
                if turns {
                    let alone = solve(&alone).expect("settles").device[1];
                    prop_assert!(
                        Tolerance::Relative(1e-7).holds(through.current.0, alone.current.0),
                        "{through:?}, {alone:?}"
                    );
                    let (speed, known) = (through.speed.expect("a motor").0, alone.speed.expect("a motor").0);
                    prop_assert!(Tolerance::Relative(1e-7).holds(speed, known), "{through:?}, {alone:?}");
                }
            }
            Ok(())
        })
        .expect("holds");
    assert!(settled.get() > CASES, "only {} motors turn", settled.get());
}
