//! Contacts, ideal connections, islands and what has no operating point; laws and published circuits are in `tests/`.

use super::*;
use crate::physics::motor::FreeSpinPoint;
use crate::quantity::{NewtonMetre, Rpm};

fn source(plus: Node, minus: Node, volts: f64, ohms: f64) -> Device {
    Device::Source { plus, minus, open_circuit: Volt(volts), internal: Ohm(ohms) }
}

fn wire(from: Node, to: Node, ohms: f64) -> Device {
    Device::Resistance { from, to, value: Ohm(ohms) }
}

/// The demo motor of the course (invented).
fn motor(plus: Node, minus: Node) -> Device {
    Device::Motor { plus, minus, law: law(Field::Series, 0.0) }
}

fn law(field: Field, load: f64) -> MotorLaw {
    MotorLaw::of(&MotorSheet {
        field,
        winding: Ohm(0.012),
        winding_at_work: None,
        brush_drop: Volt(1.0),
        free: FreeSpinPoint { voltage: Volt(11.0), current: Ampere(65.0), speed: Rpm(7200.0) },
        locked: None,
        windage_share: 0.5,
        load: NewtonMetre(load),
    })
    .expect("a motor")
}

fn solenoid(main_in: Node, start: Node, main_out: Node, case: Node) -> Device {
    Device::Solenoid {
        main_in,
        start,
        main_out,
        case,
        pull_in: Ohm(0.15),
        hold_in: Ohm(0.62),
        contact: Ohm(0.000_2),
        closes_at: Volt(7.0),
        drops_at: Volt(3.0),
    }
}

fn amps(operating: &Operating, device: usize) -> f64 {
    operating.device[device].current.0
}

fn volts(operating: &Operating, node: Node) -> f64 {
    operating.node[node].expect("joined").0
}

fn near(got: f64, known: f64) {
    assert!((got - known).abs() <= 1e-12 * known.abs().max(1e-3), "{got} and not {known}");
}

/// 0 is the case, 1 battery plus, 2 terminal 30, 3 terminal 50, 4 terminal 45.
fn starter(start: f64) -> Vec<Device> {
    vec![
        source(1, 0, 12.6, 0.006),
        wire(1, 2, 0.001),
        wire(2, 3, start),
        solenoid(2, 3, 4, 0),
        motor(4, 0),
        wire(2, 4, 1e7),
    ]
}

#[test]
fn an_energized_solenoid_closes_and_the_motor_spins() {
    let on = solve(&starter(0.05)).expect("settles");
    assert_eq!(on.device[3].closed, Some(true));
    let (main, hold) = (amps(&on, 3), on.device[3].hold_in.expect("a coil").0);
    assert!((60.0..80.0).contains(&main) && (15.0..20.0).contains(&hold), "{main} {hold}");
    assert!(on.device[4].speed.expect("a motor").0 > 7000.0);
    near(amps(&on, 0), amps(&on, 1));
    near(amps(&on, 0) - amps(&on, 4), hold);
}

#[test]
fn a_solenoid_that_gets_too_little_stays_open_and_the_motor_stands() {
    // Through half an ohm: 12.6 V · (0.162 ‖ 0.62) / (0.507 + …) are about 2.6 V.
    let weak = solve(&starter(0.5)).expect("settles");
    assert_eq!(weak.device[3].closed, Some(false));
    assert_eq!(weak.device[4].speed, Some(Rpm(0.0)));
    // Standing still it is its winding and its brushes.
    near(volts(&weak, 4), 1.0 + 0.012 * amps(&weak, 4));
    let pull_in = weak.device[3].pull_in.expect("a coil").0;
    assert!(pull_in > 8.0 && amps(&weak, 3) == 0.0, "{pull_in}");
}

#[test]
fn the_hold_in_coil_alone_does_not_pull_in_but_holds() {
    let mut bench = starter(0.05);
    bench.remove(5);
    let held = solve(&bench).expect("settles");
    // The motor's lead is off, and what is left of it stands open.
    bench[4] = wire(5, 6, 1.0);
    assert_eq!(solve(&bench).expect("settles").device[3].closed, Some(false));
    assert_eq!(solve_after(&bench, &held).expect("settles").device[3].closed, Some(true));
}

#[test]
fn a_released_solenoid_opens_because_its_coils_pull_against_each_other() {
    let mut circuit = starter(0.05);
    let on = solve(&circuit).expect("settles");
    circuit[2] = wire(5, 6, 1.0);
    let off = solve_after(&circuit, &on).expect("settles");
    assert_eq!((off.device[3].closed, off.device[4].speed), (Some(false), Some(Rpm(0.0))));
    // Nothing but the voltmeter across the contact, through a motor that carries nothing.
    assert!(amps(&off, 0) < 2e-6);
}

#[test]
fn a_relay_feeds_a_solenoid_that_feeds_a_motor() {
    let mut circuit = starter(0.05);
    let relay = |coil_in| Device::Relay {
        coil_in,
        coil_out: 0,
        common: 2,
        make: 3,
        break_: Some(5),
        coil: Ohm(80.0),
        contact: Ohm(0.01),
        closes_at: Volt(7.0),
        drops_at: Volt(2.0),
    };
    circuit[2] = relay(1);
    let on = solve(&circuit).expect("settles");
    assert_eq!((on.device[2].closed, on.device[3].closed), (Some(true), Some(true)));
    near(amps(&on, 2), on.device[3].pull_in.expect("coil").0 + on.device[3].hold_in.expect("coil").0);
    assert_eq!(on.node[5], None);
    circuit[2] = relay(6);
    let off = solve(&circuit).expect("settles");
    assert_eq!((off.device[2].closed, off.device[3].closed), (Some(false), Some(false)));
    near(volts(&off, 5), volts(&off, 2));
}

#[test]
fn a_relay_that_cuts_its_own_coil_chatters() {
    let buzzer = Device::Relay {
        coil_in: 2,
        coil_out: 0,
        common: 1,
        make: 3,
        break_: Some(2),
        coil: Ohm(80.0),
        contact: Ohm(0.01),
        closes_at: Volt(7.0),
        drops_at: Volt(2.0),
    };
    assert_eq!(solve(&[source(1, 0, 12.0, 0.01), buzzer]), Err(Trouble::Chatters { device: 1 }));
}

#[test]
fn a_battery_too_weak_for_the_motor_makes_the_solenoid_click() {
    let mut circuit = starter(0.05);
    circuit[0] = source(1, 0, 12.6, 0.2);
    circuit[4] = Device::Motor { plus: 4, minus: 0, law: law(Field::Series, 50.0) };
    circuit[3] = match circuit[3] {
        Device::Solenoid { main_in, start, main_out, case, pull_in, hold_in, contact, drops_at, .. } => {
            let closes_at = Volt(4.0);
            Device::Solenoid {
                main_in,
                start,
                main_out,
                case,
                pull_in,
                hold_in,
                contact,
                closes_at,
                drops_at,
            }
        }
        other => other,
    };
    assert_eq!(solve(&circuit), Err(Trouble::Chatters { device: 3 }));
}

#[test]
fn ideal_connections_in_parallel_share_as_equal_small_resistances_would() {
    let circuit = |ohms: f64| {
        vec![
            source(1, 0, 12.0, 1.0),
            wire(1, 2, ohms),
            wire(1, 2, ohms),
            wire(2, 3, ohms),
            wire(1, 3, ohms),
            wire(3, 0, 5.0),
        ]
    };
    let (ideal, small) = (solve(&circuit(0.0)).expect("settles"), solve(&circuit(1e-9)).expect("settles"));
    for device in 0..6 {
        assert!((amps(&ideal, device) - amps(&small, device)).abs() < 1e-8, "{device}");
    }
    near(volts(&ideal, 3), 10.0);
    // 2 A over two ways of 1.5 and 1 parts.
    near(amps(&ideal, 4), 1.2);
}

#[test]
fn equal_ideal_sources_share_and_different_ones_are_refused() {
    let both = |volts| [source(1, 0, 12.0, 0.0), source(1, 0, volts, 0.0), wire(1, 0, 6.0)];
    let shared = solve(&both(12.0)).expect("settles");
    near(amps(&shared, 0), 1.0);
    near(amps(&shared, 1), 1.0);
    assert_eq!(solve(&both(12.5)), Err(Trouble::Conflict { first: 0, second: 1 }));
    let summed = [source(1, 0, 0.1, 0.0), source(2, 1, 0.2, 0.0), source(2, 0, 0.3, 0.0), wire(2, 0, 1.0)];
    assert!(solve(&summed).is_ok(), "0.1 V and 0.2 V are 0.3 V but for rounding");
}

#[test]
fn a_shorted_source_is_named() {
    let circuit = |ohms| [wire(2, 0, 5.0), source(1, 0, 12.0, ohms), wire(1, 2, 0.0), wire(2, 0, 0.0)];
    for ohms in [0.0, 0.01] {
        assert_eq!(solve(&circuit(ohms)), Err(Trouble::Shorted { device: 1 }));
    }
    assert_eq!(solve(&[source(3, 3, 12.0, 1.0)]), Err(Trouble::Shorted { device: 0 }));
    let small = [source(1, 0, 12.0, 0.01), wire(1, 0, 1e-6)];
    near(amps(&solve(&small).expect("settles"), 0), 12.0 / 0.010_001);
}

#[test]
fn what_nothing_joins_has_no_voltage() {
    let circuit =
        [source(1, 0, 12.0, 0.0), wire(1, 0, 6.0), source(5, 4, 3.0, 1.0), wire(5, 4, 2.0), wire(7, 8, 1.0)];
    let found = solve(&circuit).expect("settles");
    let joined: Vec<bool> = found.node.iter().map(Option::is_some).collect();
    assert_eq!(joined, [true, true, false, false, false, false, false, false, false]);
    near(amps(&found, 2), 1.0);
    near(found.between(5, 4).expect("one island").0, 2.0);
    assert_eq!((found.between(5, 0), found.between(5, 99)), (None, None));
    assert_eq!(amps(&found, 4), 0.0);
    let dead = solve(&[wire(0, 1, 2.0), motor(1, 0)]).expect("settles");
    assert_eq!((dead.node[0], amps(&dead, 0)), (None, 0.0));
    assert!(solve(&[]).expect("nothing").node.is_empty());
}

#[test]
fn a_meter_of_ten_megohms_beside_a_milliohm_keeps_its_digits() {
    // A drop test: 100 A through a joint of 1 mΩ, a meter across it.
    let circuit = [source(1, 0, 12.0, 0.0), wire(1, 2, 0.119), wire(2, 0, 0.001), wire(2, 0, 1e7)];
    let found = solve(&circuit).expect("settles");
    let joint = 0.001 * 1e7 / (1e7 + 0.001);
    let expected = 12.0 * joint / (0.119 + joint);
    assert!((volts(&found, 2) / expected - 1.0).abs() < 1e-15);
    assert!((amps(&found, 3) / (expected / 1e7) - 1.0).abs() < 1e-15);
}

#[test]
fn a_motor_the_wrong_way_round_carries_its_current_backwards() {
    let spin = |plus, minus, field| {
        let circuit = [source(1, 0, 12.0, 0.01), Device::Motor { plus, minus, law: law(field, 0.0) }];
        let found = solve(&circuit).expect("settles");
        (amps(&found, 1), found.device[1].speed.expect("a motor").0)
    };
    for (field, turns) in [(Field::Series, 1.0), (Field::PermanentMagnet, -1.0)] {
        let ((current, speed), (backward, other)) = (spin(1, 0, field), spin(0, 1, field));
        near(backward, -current);
        near(other, turns * speed);
    }
}

#[test]
fn a_motor_below_its_brushes_voltage_carries_nothing() {
    let found = solve(&[source(1, 0, 0.9, 0.01), motor(1, 0)]).expect("settles");
    assert_eq!((amps(&found, 0), found.device[1].speed), (0.0, Some(Rpm(0.0))));
    near(volts(&found, 1), 0.9);
}

#[test]
fn a_stalled_motor_draws_its_locked_current() {
    let stalled = Device::Motor { plus: 1, minus: 0, law: law(Field::Series, 500.0) };
    let found = solve(&[source(1, 0, 12.6, 0.006), stalled]).expect("settles");
    near(amps(&found, 1), (12.6 - 1.0) / 0.018);
}

#[test]
fn two_motors_on_one_battery_settle_together() {
    let circuit = [source(1, 0, 12.6, 0.006), wire(1, 2, 0.02), motor(2, 0), wire(2, 3, 0.001), motor(3, 0)];
    let found = solve(&circuit).expect("settles");
    for (device, plus) in [(2, 2), (4, 3)] {
        // Each alone at the voltage that it has.
        let alone = solve(&[source(1, 0, volts(&found, plus), 0.0), motor(1, 0)]).expect("settles");
        assert!((amps(&found, device) / amps(&alone, 1) - 1.0).abs() < 1e-9);
        let (speed, known) = (found.device[device].speed, alone.device[1].speed);
        assert!((speed.expect("a motor") / known.expect("a motor") - 1.0).abs() < 1e-9);
    }
}

#[test]
fn what_is_no_number_is_named() {
    let bad = |device| solve(&[source(1, 0, 12.0, 0.1), device, wire(2, 0, 1e-9)]).expect_err("refused");
    for ohms in [-1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(bad(wire(1, 0, ohms)), Trouble::NotANumber { device: 1 });
    }
    assert_eq!(bad(source(1, 0, f64::NAN, 0.0)), Trouble::NotANumber { device: 1 });
    assert_eq!(bad(wire(usize::MAX, 0, 1.0)), Trouble::NodeTooHigh { device: 1 });
    assert_eq!(bad(source(2, 0, 1e308, 0.0)), Trouble::OutOfRange);
    let sheet = MotorSheet {
        field: Field::Series,
        winding: Ohm(f64::NAN),
        winding_at_work: None,
        brush_drop: Volt(1.0),
        free: FreeSpinPoint { voltage: Volt(11.0), current: Ampere(65.0), speed: Rpm(7200.0) },
        locked: None,
        windage_share: 0.5,
        load: NewtonMetre(0.0),
    };
    assert!(MotorLaw::of(&sheet).is_err());
}
