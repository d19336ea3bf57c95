//! What flows when: each moment of a diagram is worked by the calculation library.

use std::collections::{BTreeMap, BTreeSet};

use fieldcoil_calc::circuit::{Node, Operating, Trouble, solve, solve_after};
use fieldcoil_calc::quantity::Ampere;

use super::moments::{Moment, Position};
use super::net::{self, Net, Of};
use super::values;
use crate::course::{Action, Circuit, Hookup, LabelOf, Moments, Scenes, Terminal};
use crate::finding::{Finding, shown};

/// More current than a voltmeter takes, less than the smallest relay does.
const FLOWS_A: f64 = 1e-4;
/// More than a good return loses, less than any source gives.
const HOT_V: f64 = 0.5;

/// A moment with what flows in it.
struct Worked {
    net: Net,
    operating: Operating,
    /// The nodes that a source feeds.
    fed: BTreeSet<Node>,
}

/// Works all moments; what cannot be worked is a finding.
pub fn scenes(
    circuit: &Circuit,
    ends: &[[Terminal; 2]],
    moments: &[Moment],
    hookup: Option<&Hookup>,
    found: &mut Vec<Finding>,
) -> Scenes {
    net::check_values(circuit, found);
    check_terminals(circuit, ends, found);
    let worked = work_all(circuit, ends, moments, hookup, found);
    let at = |index: usize| worked.of[index].map(|one| &worked.all[one]);
    let mut scenes = Scenes {
        count: moments.len(),
        shown: shown_first(circuit, moments, hookup),
        joined: stretches(moments.len(), ends.len(), |index, wire| moments[index].wires[wire]),
        stated_at: circuit
            .stated
            .iter()
            .map(|stated| stated_at(circuit, hookup, &stated.when.value))
            .collect(),
        ..Scenes::default()
    };
    for (wire, joined) in circuit.wires.iter().zip(&scenes.joined) {
        if joined.is_empty() {
            let message = format!(
                "the wire from `{}` to `{}` is never connected",
                shown(&wire.from.value),
                shown(&wire.to.value)
            );
            found.push(Finding::error("idle-part", message, wire.span, "at no step").help(
                "name the part that a step attaches, and in `reads` readings that are taken while it is on",
            ));
        }
    }
    let flows = |index: usize, wire: usize| at(index).is_some_and(|now| now.flows(wire));
    scenes.flow = stretches(moments.len(), ends.len(), flows);
    scenes.hot = stretches(moments.len(), ends.len(), |index, wire| {
        !flows(index, wire) && at(index).is_some_and(|now| now.is_hot(circuit, ends, wire))
    });
    scenes.worked = stretches(moments.len(), circuit.symbols.len(), |index, symbol| {
        let kind = circuit.symbols[symbol].kind();
        (kind.can_be_switched() && moments[index].switches[symbol] != Position::Off)
            || at(index).is_some_and(|now| now.has_pulled(symbol))
    });
    scenes.busy = stretches(moments.len(), circuit.symbols.len(), |index, symbol| {
        at(index).is_some_and(|now| now.is_busy(symbol))
    });
    if net::has_numbers(circuit) {
        add_values(&mut scenes, circuit, ends, moments, &at);
    }
    scenes
}

/// Moments worked out, each kind of moment once.
struct All {
    all: Vec<Worked>,
    /// For each moment its place in the list; nothing when it cannot be worked.
    of: Vec<Option<usize>>,
}

/// A contact that has pulled stays for less than it took to pull it: so each step of a hookup is worked after the one
/// before it. States stand for themselves.
fn work_all(
    circuit: &Circuit,
    ends: &[[Terminal; 2]],
    moments: &[Moment],
    hookup: Option<&Hookup>,
    found: &mut Vec<Finding>,
) -> All {
    let mut all = All { all: Vec::new(), of: Vec::with_capacity(moments.len()) };
    let mut known: BTreeMap<(&Moment, Vec<Option<bool>>), Option<usize>> = BTreeMap::new();
    for (index, moment) in moments.iter().enumerate() {
        let last = all.of.last().copied().flatten().filter(|_| hookup.is_some());
        let contacts = |worked: &Worked| {
            worked.operating.device.iter().map(|through| through.closed).take_while(Option::is_some).collect()
        };
        let key = (moment, last.map(|last| contacts(&all.all[last])).unwrap_or_default());
        if !known.contains_key(&key) {
            let before = last.map(|last| &all.all[last].operating);
            let when = moment_words(circuit, hookup, index);
            let now = work(circuit, ends, moment, before, &when, found);
            let place = now.map(|now| {
                all.all.push(now);
                all.all.len() - 1
            });
            known.insert(key.clone(), place);
        }
        all.of.push(known[&key]);
    }
    all
}

fn work(
    circuit: &Circuit,
    ends: &[[Terminal; 2]],
    moment: &Moment,
    before: Option<&Operating>,
    when: &str,
    found: &mut Vec<Finding>,
) -> Option<Worked> {
    let net = net::net(circuit, ends, moment);
    if tell_shorted(circuit, &net, |_| false, when, found) {
        return None;
    }
    let solved = match before {
        Some(before) => solve_after(&net.devices, before),
        None => solve(&net.devices),
    };
    match solved {
        Ok(operating) => {
            // The way to a short circuit that is only there once a plunger or an armature has moved.
            let is_closed = |device: usize| operating.device[device].closed == Some(true);
            if tell_shorted(circuit, &net, is_closed, when, found) {
                return None;
            }
            let fed = net::fed(circuit, &net, is_closed);
            Some(Worked { net, operating, fed })
        }
        Err(Trouble::Shorted { .. }) if tell_shorted(circuit, &net, |_| true, when, found) => None,
        Err(trouble) => {
            let device = match trouble {
                Trouble::NotANumber { device }
                | Trouble::NodeTooHigh { device }
                | Trouble::Shorted { device }
                | Trouble::Chatters { device }
                | Trouble::NotSettled { device } => Some(device),
                Trouble::Conflict { first, .. } => Some(first),
                Trouble::OutOfRange => None,
            };
            let (name, span) = match device.map(|device| net.of[device]) {
                Some(Of::Symbol(symbol)) => {
                    let symbol = &circuit.symbols[symbol];
                    (format!("at `{}`: ", shown(&symbol.name.value)), symbol.span)
                }
                Some(Of::Wire(wire)) => (String::new(), circuit.wires[wire].span),
                None => (String::new(), circuit.span),
            };
            let message = format!("the circuit cannot be worked {when}");
            found.push(
                Finding::error("unsolved-circuit", message, span, trouble_words(trouble))
                    .help(format!("{name}look at its values and at what is connected to it")),
            );
            None
        }
    }
}

/// Is a source shorted? It is told once, at the first moment.
fn tell_shorted(
    circuit: &Circuit,
    net: &Net,
    is_closed: impl Fn(usize) -> bool,
    when: &str,
    found: &mut Vec<Finding>,
) -> bool {
    let shorted = net::shorted(circuit, net, is_closed);
    for symbol in &shorted {
        let symbol = &circuit.symbols[*symbol];
        let message = format!("`{}` is shorted {when}", shown(&symbol.name.value));
        let is_told = |finding: &Finding| {
            finding.code == "shorted-source"
                && finding.place.as_ref().is_some_and(|place| place.span == symbol.span)
        };
        if !found.iter().any(is_told) {
            found.push(
                Finding::error("shorted-source", message, symbol.span, "nothing but wires from + to −")
                    .help("lead the current through a load, or open a switch on the way"),
            );
        }
    }
    !shorted.is_empty()
}

fn trouble_words(trouble: Trouble) -> &'static str {
    match trouble {
        Trouble::NotANumber { .. } | Trouble::NodeTooHigh { .. } => "a value that cannot be worked with",
        Trouble::Shorted { .. } => "connections without resistance short it",
        Trouble::Conflict { .. } => "joined without resistance to a source of another voltage",
        Trouble::Chatters { .. } => "its contact closes and opens without end",
        Trouble::NotSettled { .. } => "settles at no current",
        Trouble::OutOfRange => "the values lie too far apart",
    }
}

impl Worked {
    fn through(&self, of: Of) -> Option<&fieldcoil_calc::circuit::Through> {
        let at = self.net.of.iter().position(|found| *found == of)?;
        self.operating.device.get(at)
    }

    fn flows(&self, wire: usize) -> bool {
        self.through(Of::Wire(wire)).is_some_and(|through| through.current.0.abs() > FLOWS_A)
    }

    fn is_hot(&self, circuit: &Circuit, ends: &[[Terminal; 2]], wire: usize) -> bool {
        let volts = |end: Terminal| self.operating.node.get(net::node(circuit, end)).copied().flatten();
        self.through(Of::Wire(wire)).is_some()
            && self.fed.contains(&net::node(circuit, ends[wire][0]))
            && volts(ends[wire][0]).is_some_and(|volts| volts.0.abs() > HOT_V)
    }

    /// Does current flow in any part of the symbol?
    fn is_busy(&self, symbol: usize) -> bool {
        let own = self.net.of.iter().zip(&self.operating.device).filter(|(of, _)| **of == Of::Symbol(symbol));
        let flows = |current: Option<Ampere>| current.is_some_and(|current| current.0.abs() > FLOWS_A);
        own.into_iter().any(|(_, through)| {
            [Some(through.current), through.pull_in, through.hold_in, through.coil].into_iter().any(flows)
        })
    }

    fn has_pulled(&self, symbol: usize) -> bool {
        self.through(Of::Symbol(symbol)).is_some_and(|through| through.closed == Some(true))
    }
}

fn add_values<'w>(
    scenes: &mut Scenes,
    circuit: &Circuit,
    ends: &[[Terminal; 2]],
    moments: &[Moment],
    at: &dyn Fn(usize) -> Option<&'w Worked>,
) {
    let mut words: BTreeMap<(LabelOf, String), Vec<usize>> = BTreeMap::new();
    for (index, moment) in moments.iter().enumerate() {
        let Some(now) = at(index) else { continue };
        for symbol in 0..circuit.symbols.len() {
            let through = now.through(Of::Symbol(symbol));
            // A meter that a step puts on shows nothing before.
            let kind = circuit.symbols[symbol].kind();
            let is_on = !kind.is_meter()
                || circuit.symbols[symbol].part.is_none()
                || moment.switches[symbol] != Position::Off;
            if !is_on {
                continue;
            }
            if let Some(value) = values::of_symbol(circuit, symbol, &now.operating, through) {
                words.entry((LabelOf::Symbol(symbol), value)).or_default().push(index);
            }
            if kind.is_meter() {
                let readings = scenes.meters.entry(symbol).or_insert_with(|| vec![None; moments.len()]);
                readings[index] = values::reading(circuit, symbol, &now.operating, through);
            }
        }
        for (wire, pair) in ends.iter().enumerate() {
            let Some(through) = now.through(Of::Wire(wire)) else { continue };
            if let Some(value) = values::of_wire(circuit, wire, *pair, &now.operating, through) {
                words.entry((LabelOf::Wire(wire), value)).or_default().push(index);
            }
        }
    }
    scenes.values =
        words.into_iter().map(|((of, words), at)| (of, together(at.into_iter()), words)).collect();
}

/// For each thing the stretches of moments in which something holds.
fn stretches(moments: usize, things: usize, holds: impl Fn(usize, usize) -> bool) -> Vec<Moments> {
    (0..things).map(|thing| together((0..moments).filter(|index| holds(*index, thing)))).collect()
}

/// Rising numbers as stretches.
fn together(numbers: impl Iterator<Item = usize>) -> Moments {
    let mut stretches = Moments::new();
    for number in numbers {
        match stretches.last_mut() {
            Some((_, last)) if *last + 1 == number => *last = number,
            _ => stretches.push((number, number)),
        }
    }
    stretches
}

/// While current flows for the first time; else when most is connected.
fn shown_first(circuit: &Circuit, moments: &[Moment], hookup: Option<&Hookup>) -> usize {
    let Some(hookup) = hookup else {
        return circuit.states.iter().position(|state| !state.closed.is_empty()).unwrap_or(0);
    };
    let energized = hookup.steps.iter().position(|step| step.action.value == Action::Energize);
    let joined = |moment: &Moment| moment.wires.iter().filter(|there| **there).count();
    let most = moments.iter().map(joined).max().unwrap_or(0);
    energized
        .map(|step| step + 1)
        .unwrap_or_else(|| moments.iter().position(|moment| joined(moment) == most).unwrap_or(0))
}

/// The moment of a stated reading: its state, or after the step that reads it.
fn stated_at(circuit: &Circuit, hookup: Option<&Hookup>, when: &str) -> Option<usize> {
    match hookup {
        Some(hookup) => {
            let reads = |reading: &crate::source::Spanned<String>| reading.value == when;
            let takes = |step: &crate::course::HookupStep| {
                step.action.value == Action::Read && step.reading.as_ref().is_some_and(reads)
            };
            hookup.steps.iter().position(takes).map(|step| step + 1)
        }
        None => circuit.states.iter().position(|state| state.name.value == when),
    }
}

fn moment_words(circuit: &Circuit, hookup: Option<&Hookup>, index: usize) -> String {
    match (hookup, circuit.states.get(index)) {
        (Some(_), _) if index == 0 => "before the first step".to_owned(),
        (Some(_), _) => format!("after step {index} of the hookup"),
        (None, Some(state)) => format!("in state `{}`", shown(&state.name.value)),
        (None, None) => "at rest".to_owned(),
    }
}

/// Every terminal has a wire, but those that may do without.
fn check_terminals(circuit: &Circuit, ends: &[[Terminal; 2]], found: &mut Vec<Finding>) {
    for (index, symbol) in circuit.symbols.iter().enumerate() {
        let kind = symbol.turned.symbol;
        let has_wire = |pin| ends.iter().flatten().any(|end| *end == (index, pin));
        let all_optional = kind.pins.iter().all(|pin| pin.optional);
        for (pin, what) in kind.pins.iter().enumerate() {
            let free = what.optional || symbol.free.iter().any(|free| free.value == what.name);
            if has_wire(pin) || (free && !(all_optional && pin == 0 && !(0..kind.pins.len()).any(has_wire))) {
                continue;
            }
            let terminal = if kind.pins.len() == 1 { String::new() } else { format!(" `{}`", what.name) };
            let message =
                format!("terminal{terminal} of `{}` is connected to nothing", shown(&symbol.name.value));
            found.push(Finding::error("open-terminal", message, symbol.span, "no wire leads to it").help(
                format!(
                    "add a wire to `{}.{}`, or say that it stays free: `free = [\"{}\"]`",
                    symbol.name.value, what.name, what.name
                ),
            ));
        }
    }
}
