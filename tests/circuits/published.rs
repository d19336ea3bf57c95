//! Circuits of open textbooks, and what the textbooks print for them: `published.toml`.

use std::collections::BTreeMap;

use fieldcoil_calc::circuit::{Device, Operating, solve};
use fieldcoil_calc::quantity::{Ohm, Volt};
use fieldcoil_tests::close::Tolerance;
use fieldcoil_tests::repository;
use serde::Deserialize;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Book {
    circuit: Vec<Circuit>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Circuit {
    id: String,
    source: String,
    parts: Vec<Part>,
    expect: Vec<Expected>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Part {
    name: String,
    from: String,
    to: String,
    volts: Option<f64>,
    ohms: f64,
}

/// A value, and what it is of: one of the three.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Expected {
    amps: Option<String>,
    watts: Option<String>,
    volts: Option<[String; 2]>,
    value: f64,
    within: f64,
}

impl Circuit {
    fn nodes(&self) -> BTreeMap<&str, usize> {
        let mut nodes = BTreeMap::new();
        for name in self.parts.iter().flat_map(|part| [&part.from, &part.to]) {
            let next = nodes.len();
            nodes.entry(name.as_str()).or_insert(next);
        }
        nodes
    }

    fn devices(&self, nodes: &BTreeMap<&str, usize>) -> Vec<Device> {
        let device = |part: &Part| {
            let (from, to) = (nodes[part.from.as_str()], nodes[part.to.as_str()]);
            match part.volts {
                Some(volts) => Device::Source {
                    plus: to,
                    minus: from,
                    open_circuit: Volt(volts),
                    internal: Ohm(part.ohms),
                },
                None => Device::Resistance { from, to, value: Ohm(part.ohms) },
            }
        };
        self.parts.iter().map(device).collect()
    }

    fn got(&self, expected: &Expected, nodes: &BTreeMap<&str, usize>, found: &Operating) -> f64 {
        let place = |name: &str| self.parts.iter().position(|part| part.name == name).expect("a part");
        let current = |name: &str| found.device[place(name)].current.0;
        match (&expected.amps, &expected.watts, &expected.volts) {
            (Some(name), None, None) => current(name),
            (None, Some(name), None) => self.parts[place(name)].ohms * current(name) * current(name),
            (None, None, Some([red, black])) => {
                found.between(nodes[red.as_str()], nodes[black.as_str()]).expect("joined").0
            }
            _ => panic!("{}: amps, watts or volts", self.id),
        }
    }
}

#[test]
fn circuits_of_textbooks_give_what_the_textbooks_print() {
    let book: Book = toml::from_str(&repository::read("tests/circuits/published.toml")).expect("readable");
    let (mut values, mut faults) = (0, Vec::new());
    for circuit in &book.circuit {
        assert!(circuit.source.len() > 20, "{} has no source", circuit.id);
        let nodes = circuit.nodes();
        let found = solve(&circuit.devices(&nodes)).expect("an operating point");
        for expected in &circuit.expect {
            values += 1;
            let got = circuit.got(expected, &nodes, &found);
            // A printed digit may have been rounded on the very edge.
            let width = expected.within * (1.0 + 1e-9);
            if !Tolerance::Absolute(width).holds(got, expected.value) {
                faults.push(format!("{}: {got} and not {expected:?} ({})", circuit.id, circuit.source));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(book.circuit.len() >= 13 && values >= 45, "{} circuits, {values} values", book.circuit.len());
}
