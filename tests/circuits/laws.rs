//! What holds in every network: Kirchhoff's law at each node, power, superposition and reciprocity.

use std::cell::Cell;

use fieldcoil_calc::circuit::{Device, Operating, Trouble, solve};
use fieldcoil_calc::quantity::{Ohm, Volt};
use proptest::prelude::*;
use proptest::test_runner::{RngAlgorithm, RngSeed, TestRunner};

/// What rounding leaves of a sum that is nothing, as a part of its largest member.
const NOTHING: f64 = 1e-12;
const CASES: u32 = 3000;

fn runner() -> TestRunner {
    TestRunner::new(ProptestConfig {
        cases: CASES,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(11),
        rng_algorithm: RngAlgorithm::XorShift,
        ..ProptestConfig::default()
    })
}

/// From a microohm to a megohm, and ideal connections.
fn ohms() -> impl Strategy<Value = f64> {
    prop_oneof![1 => Just(0.0), 8 => (-6.0..6.0f64).prop_map(|power| fieldcoil_calc::math::power(10.0, power))]
}

/// A thing between two nodes: its volts, when it is a source.
type Part = (usize, usize, f64, Option<f64>);

fn network() -> impl Strategy<Value = Vec<Part>> {
    let source = (0..8usize, 0..8usize, 1e-3..1e3f64, (-20.0..20.0f64).prop_map(Some));
    let resistance = (0..8usize, 0..8usize, ohms(), Just(None));
    (prop::collection::vec(source, 1..4), prop::collection::vec(resistance, 1..20))
        .prop_map(|(sources, resistances)| [sources, resistances].concat())
}

fn devices(parts: &[Part]) -> Vec<Device> {
    let device = |part: &Part| match *part {
        (from, to, ohms, Some(volts)) => {
            Device::Source { plus: to, minus: from, open_circuit: Volt(volts), internal: Ohm(ohms) }
        }
        (from, to, ohms, None) => Device::Resistance { from, to, value: Ohm(ohms) },
    };
    parts.iter().map(device).collect()
}

/// The operating point; nothing when chance has shorted a source.
fn worked(parts: &[Part]) -> Option<Operating> {
    match solve(&devices(parts)) {
        Ok(found) => Some(found),
        Err(Trouble::Shorted { device }) => {
            assert!(parts[device].3.is_some(), "a source");
            None
        }
        Err(trouble) => panic!("{trouble}"),
    }
}

fn currents(found: &Operating) -> Vec<f64> {
    found.device.iter().map(|through| through.current.0).collect()
}

fn greatest(values: &[f64]) -> f64 {
    values.iter().fold(0.0, |most, value| value.abs().max(most))
}

/// Runs `check` on random networks, and sees to it that chance has not shorted most of them.
fn each(check: impl Fn(&[Part], &Operating) -> Result<(), TestCaseError>) {
    let met = Cell::new(0);
    runner()
        .run(&network(), |parts| {
            let Some(found) = worked(&parts) else { return Ok(()) };
            met.set(met.get() + 1);
            check(&parts, &found)
        })
        .expect("holds");
    assert!(met.get() > CASES / 2, "only {} networks", met.get());
}

#[test]
fn what_comes_to_a_node_leaves_it() {
    each(|parts, found| {
        let currents = currents(found);
        for node in 0..8 {
            let sum: f64 = (parts.iter().zip(&currents))
                .map(|((from, to, ..), current)| {
                    f64::from(u8::from(*to == node)) * current - f64::from(u8::from(*from == node)) * current
                })
                .sum();
            prop_assert!(sum.abs() <= NOTHING * greatest(&currents), "{sum} at {node}");
        }
        Ok(())
    });
}

#[test]
fn each_part_has_the_voltage_of_its_resistance() {
    each(|parts, found| {
        let most = greatest(&parts.iter().filter_map(|part| part.3).collect::<Vec<_>>());
        for ((from, to, ohms, volts), current) in parts.iter().zip(currents(found)) {
            let across = found.between(*from, *to).expect("joined by itself").0;
            let miss = across - (ohms * current - volts.unwrap_or(0.0));
            prop_assert!(miss.abs() <= NOTHING * most, "{miss}");
        }
        Ok(())
    });
}

#[test]
fn what_sources_deliver_resistances_turn_to_heat() {
    each(|parts, found| {
        let currents = currents(found);
        let made: Vec<f64> = parts
            .iter()
            .zip(&currents)
            .map(|((.., volts), current)| volts.unwrap_or(0.0) * current)
            .collect();
        let heat: f64 = parts.iter().zip(&currents).map(|((_, _, ohms, _), i)| ohms * i * i).sum();
        let most = greatest(&made).max(heat);
        prop_assert!((made.iter().sum::<f64>() - heat).abs() <= NOTHING * most, "{made:?} and {heat}");
        Ok(())
    });
}

#[test]
fn sources_together_do_what_they_do_one_by_one() {
    each(|parts, found| {
        let mut sum = vec![0.0; parts.len()];
        let mut most = 0.0f64;
        for (at, _) in parts.iter().enumerate().filter(|(_, part)| part.3.is_some()) {
            let mut alone = parts.to_vec();
            for (_, part) in alone.iter_mut().enumerate().filter(|(other, _)| *other != at) {
                part.3 = part.3.map(|_| 0.0);
            }
            let found = worked(&alone).expect("not shorted before");
            most = most.max(greatest(&currents(&found)));
            sum.iter_mut().zip(currents(&found)).for_each(|(sum, current)| *sum += current);
        }
        for (sum, current) in sum.iter().zip(currents(found)) {
            prop_assert!((sum - current).abs() <= NOTHING * most, "{sum} and {current}");
        }
        Ok(())
    });
}

#[test]
fn a_source_here_drives_there_what_it_there_drives_here() {
    each(|parts, _| {
        let sources: Vec<usize> = (0..parts.len()).filter(|at| parts[*at].3.is_some()).collect();
        let [here, .., there] = sources[..] else { return Ok(()) };
        let driven = |by: usize, at: usize| {
            let mut parts = parts.to_vec();
            for (place, part) in parts.iter_mut().enumerate() {
                part.3 = part.3.map(|_| if place == by { 10.0 } else { 0.0 });
            }
            let found = worked(&parts).expect("not shorted before");
            (currents(&found)[at], greatest(&currents(&found)))
        };
        let ((one, most), (other, also)) = (driven(here, there), driven(there, here));
        prop_assert!((one - other).abs() <= NOTHING * most.max(also), "{one} and {other}");
        Ok(())
    });
}
