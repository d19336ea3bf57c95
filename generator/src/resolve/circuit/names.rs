//! Names in a diagram: symbols, terminals, the hookup, moments.

use std::collections::BTreeMap;

use crate::course::{BenchState, Circuit, Hookup, HookupStep, Part, Terminal};
use crate::finding::{Finding, shown};
use crate::source::{Span, Spanned};

/// The hookup that the diagram goes with; a name that no hookup of the lesson has is a finding.
pub fn hookup<'h>(
    circuit: &Circuit,
    hookups: &'h BTreeMap<String, Hookup>,
    found: &mut Vec<Finding>,
) -> Option<&'h Hookup> {
    let name = circuit.hookup.as_ref()?;
    let hookup = hookups.get(&name.value);
    if hookup.is_none() {
        let message = format!("no hookup of this lesson has the name `{}`", shown(&name.value));
        found.push(
            Finding::error("unknown-hookup", message, name.span, "nothing to go with")
                .near(&name.value, hookups.keys().map(String::as_str))
                .help("give the hookup a line `name = \"…\"`, or take this line out"),
        );
    }
    hookup
}

/// Both terminals of each wire, as far as they are known.
pub fn ends(circuit: &Circuit, found: &mut Vec<Finding>) -> Vec<Option<[Terminal; 2]>> {
    let symbols = symbols(circuit, found);
    check_room(circuit, found);
    let mut seen: BTreeMap<[Terminal; 2], Span> = BTreeMap::new();
    let mut ends = Vec::with_capacity(circuit.wires.len());
    for wire in &circuit.wires {
        let from = terminal(circuit, &symbols, &wire.from, found);
        let to = terminal(circuit, &symbols, &wire.to, found);
        let both = from.zip(to).map(|(from, to)| [from, to]);
        if let Some([from, to]) = both {
            let pair = [from.min(to), from.max(to)];
            if from == to {
                let message = format!("this wire goes from `{}` to itself", shown(&wire.from.value));
                found.push(
                    Finding::error("idle-wire", message, wire.to.span, "the same terminal")
                        .also(wire.from.span, "it begins here")
                        .help("lead it to another terminal, or take the wire out"),
                );
            } else if let Some(first) = seen.get(&pair) {
                let message =
                    format!("two wires join `{}` and `{}`", shown(&wire.from.value), shown(&wire.to.value));
                found.push(
                    Finding::error("idle-wire", message, wire.span, "the second")
                        .also(*first, "the first")
                        .help("take one of them out"),
                );
            }
            seen.insert(pair, wire.span);
        }
        ends.push(both);
    }
    check_free(circuit, &ends, found);
    ends
}

/// Symbols by name, each once.
fn symbols<'c>(circuit: &'c Circuit, found: &mut Vec<Finding>) -> BTreeMap<&'c str, usize> {
    let mut symbols: BTreeMap<&str, usize> = BTreeMap::new();
    for (index, symbol) in circuit.symbols.iter().enumerate() {
        let name = symbol.name.value.as_str();
        if let Some(first) = symbols.get(name) {
            let message = format!("two symbols are named `{}`", shown(name));
            found.push(
                Finding::error("second-symbol", message, symbol.name.span, "the second")
                    .also(circuit.symbols[*first].name.span, "the first")
                    .help("give each symbol a name of its own"),
            );
        } else {
            symbols.insert(name, index);
        }
    }
    symbols
}

/// `battery.+` is a terminal; `case` alone is the only terminal of its symbol.
pub fn terminal(
    circuit: &Circuit,
    symbols: &BTreeMap<&str, usize>,
    written: &Spanned<String>,
    found: &mut Vec<Finding>,
) -> Option<Terminal> {
    let (name, pin) = match written.value.split_once('.') {
        Some((name, pin)) => (name, Some(pin)),
        None => (written.value.as_str(), None),
    };
    let Some(symbol) = symbols.get(name).copied() else {
        let message = format!("no symbol of this circuit is named `{}`", shown(name));
        found.push(
            Finding::error("unknown-terminal", message, written.span, "leads nowhere")
                .near(name, symbols.keys().copied())
                .help("name a symbol and its terminal, with a dot between: `battery.+`"),
        );
        return None;
    };
    let kind = circuit.symbols[symbol].turned.symbol;
    let found_pin = match pin {
        Some(pin) => kind.pin(pin),
        None if kind.pins.len() == 1 => Some(0),
        None => None,
    };
    if found_pin.is_none() {
        let message = match pin {
            Some(pin) => format!("`{}` has no terminal `{}`", shown(name), shown(pin)),
            None => format!("`{}` has several terminals", shown(name)),
        };
        let all: Vec<_> = kind.pins.iter().map(|pin| format!("`{name}.{}`", pin.name)).collect();
        found.push(
            Finding::error("unknown-terminal", message, written.span, "leads nowhere")
                .near(pin.unwrap_or_default(), kind.pins.iter().map(|pin| pin.name))
                .help(format!("the terminals of this {} are {}", kind.label, all.join(", "))),
        );
    }
    Some((symbol, found_pin?))
}

/// Bodies do not lie on each other.
fn check_room(circuit: &Circuit, found: &mut Vec<Finding>) {
    for (index, symbol) in circuit.symbols.iter().enumerate() {
        let body = symbol.turned.body();
        let other = circuit.symbols[..index].iter().find(|other| {
            let other = other.turned.body();
            body[0] <= other[2] && other[0] <= body[2] && body[1] <= other[3] && other[1] <= body[3]
        });
        if let Some(other) = other {
            let message = format!("`{}` lies on `{}`", shown(&symbol.name.value), shown(&other.name.value));
            let area = |[left, top, right, bottom]: [i32; 4]| {
                format!("{left} to {right} across and {top} to {bottom} down")
            };
            found.push(
                Finding::error("symbols-overlap", message, symbol.span, "no room here")
                    .also(other.span, "takes the room")
                    .help(format!(
                        "move one of them: `{}` covers {}, `{}` covers {}",
                        symbol.name.value,
                        area(body),
                        other.name.value,
                        area(other.turned.body())
                    )),
            );
        }
    }
}

/// What is said to stay free is a terminal and does stay free.
fn check_free(circuit: &Circuit, ends: &[Option<[Terminal; 2]>], found: &mut Vec<Finding>) {
    for (index, symbol) in circuit.symbols.iter().enumerate() {
        for name in &symbol.free {
            let kind = symbol.turned.symbol;
            let message = match kind.pin(&name.value) {
                None => format!("`{}` has no terminal `{}`", shown(&symbol.name.value), shown(&name.value)),
                Some(pin) if ends.iter().flatten().flatten().any(|end| *end == (index, pin)) => {
                    format!("terminal `{}` is to stay free and has a wire", shown(&name.value))
                }
                Some(_) => continue,
            };
            found.push(
                Finding::error("unknown-terminal", message, name.span, "does not hold")
                    .near(&name.value, kind.pins.iter().map(|pin| pin.name))
                    .help("name a terminal that no wire leads to, or take the line out"),
            );
        }
    }
}

/// Parts belong to the hookup, states name symbols that can be switched, stated readings name a meter and a moment.
pub fn check_states(circuit: &Circuit, hookup: Option<&Hookup>, found: &mut Vec<Finding>) {
    check_parts(circuit, hookup, found);
    if circuit.hookup.is_some()
        && let Some(state) = circuit.states.first()
    {
        found.push(
            Finding::error(
                "idle-state",
                "this diagram goes with a hookup, whose steps are its moments",
                state.name.span,
                "a moment of its own",
            )
            .help("take the `[[state]]` tables out, or the line `hookup`"),
        );
    }
    for state in &circuit.states {
        for name in state.closed.iter().chain(&state.open) {
            let symbol = circuit.symbols.iter().find(|symbol| symbol.name.value == switch_name(&name.value));
            if symbol.is_none_or(|symbol| !symbol.kind().can_be_switched()) {
                let message = format!("`{}` is nothing that can be closed", shown(&name.value));
                let switches = circuit.symbols.iter().filter(|symbol| symbol.kind().can_be_switched());
                found.push(
                    Finding::error("unknown-switch", message, name.span, "no switch of this circuit")
                        .near(&name.value, switches.map(|symbol| symbol.name.value.as_str()))
                        .help("name a switch; a key switch is closed as `key.15` (on) or `key.50` (start)"),
                );
            }
        }
    }
    for stated in &circuit.stated {
        let meter = circuit.symbols.iter().find(|symbol| symbol.name.value == stated.meter.value);
        if meter.is_none_or(|meter| !meter.kind().is_meter()) {
            let message = format!("`{}` is no meter of this circuit", shown(&stated.meter.value));
            let meters = circuit.symbols.iter().filter(|symbol| symbol.kind().is_meter());
            found.push(
                Finding::error("unknown-meter", message, stated.meter.span, "shows nothing")
                    .near(&stated.meter.value, meters.map(|symbol| symbol.name.value.as_str()))
                    .help("name a clamp meter, an ammeter or a voltmeter"),
            );
        }
        let known = moment_names(circuit, hookup);
        if !known.contains(&stated.when.value.as_str()) {
            let message = format!("`{}` is no moment of this diagram", shown(&stated.when.value));
            found.push(
                Finding::error("unknown-moment", message, stated.when.span, "never comes")
                    .near(&stated.when.value, known.iter().copied())
                    .help("name a state of the diagram, or a reading that a step of its hookup takes"),
            );
        }
    }
}

/// `key.50` is a position of the switch `key`.
pub fn switch_name(written: &str) -> &str {
    written.split_once('.').map_or(written, |(name, _)| name)
}

fn moment_names<'c>(circuit: &'c Circuit, hookup: Option<&'c Hookup>) -> Vec<&'c str> {
    let readings = hookup.into_iter().flat_map(|hookup| &hookup.steps);
    let readings = readings.filter_map(|step| Some(step.reading.as_ref()?.value.as_str()));
    circuit.states.iter().map(|state| state.name.value.as_str()).chain(readings).collect()
}

fn check_parts(circuit: &Circuit, hookup: Option<&Hookup>, found: &mut Vec<Finding>) {
    let wires = circuit.wires.iter().flat_map(|wire| &wire.parts);
    let named = circuit.symbols.iter().filter_map(|symbol| symbol.part.as_ref()).chain(wires);
    let of_step = |step: &HookupStep, part: Part| step.part.as_ref().is_some_and(|found| found.value == part);
    for part in named {
        let known = hookup.is_some_and(|hookup| {
            // The leads of a vehicle are there without a step.
            hookup.steps.iter().any(|step| of_step(step, part.value))
                || BenchState::at_start(hookup.bench).attached.contains_key(&part.value)
        });
        if !known && (hookup.is_some() || circuit.hookup.is_none()) {
            let word = part.value.word();
            let message = match hookup {
                Some(_) => format!("no step of the hookup does anything to `{word}`"),
                None => format!("`{word}` is a part of a hookup, and this diagram goes with none"),
            };
            found.push(
                Finding::error("idle-part", message, part.span, "never comes on")
                    .help("take the line out, or give the diagram a line `hookup` with the hookup's name"),
            );
        }
    }
    let reads = circuit.wires.iter().flat_map(|wire| &wire.reads);
    let steps = hookup.into_iter().flat_map(|hookup| &hookup.steps);
    let taken: Vec<_> = steps.filter_map(|step| Some(step.reading.as_ref()?.value.as_str())).collect();
    for reading in reads.chain(circuit.symbols.iter().flat_map(|symbol| &symbol.reads)) {
        if !taken.contains(&reading.value.as_str()) && (hookup.is_some() || circuit.hookup.is_none()) {
            let message = format!("no step of the hookup reads `{}`", shown(&reading.value));
            found.push(
                Finding::error("unknown-moment", message, reading.span, "never read")
                    .near(&reading.value, taken.iter().copied())
                    .help("name a reading that a step of the hookup takes"),
            );
        }
    }
}
