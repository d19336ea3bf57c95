//! How a diagram stands at each of its moments: which wires are there, and what is closed.

use std::collections::BTreeSet;

use super::names::switch_name;
use crate::course::{Action, BenchState, Circuit, CircuitSymbol, CircuitWire, Hookup, Part};
use crate::source::Spanned;
use crate::symbol::Kind;

/// The circuit at one moment.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment {
    /// Is each wire there?
    pub wires: Vec<bool>,
    /// How each symbol that can be switched stands; `Off` for the others.
    pub switches: Vec<Position>,
}

/// How a switch stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Position {
    /// Open.
    Off,
    /// Closed; of a key switch: 15 is fed.
    On,
    /// Of a key switch: 15 and 50 are fed.
    Start,
}

/// At rest, or in each of its states.
pub fn of_states(circuit: &Circuit) -> Vec<Moment> {
    let moment = |closed: &dyn Fn(&str) -> Option<Position>| Moment {
        wires: vec![true; circuit.wires.len()],
        switches: circuit
            .symbols
            .iter()
            .map(|symbol| closed(&symbol.name.value).unwrap_or_else(|| own_position(symbol)))
            .collect(),
    };
    if circuit.states.is_empty() {
        return vec![moment(&|_| None)];
    }
    circuit
        .states
        .iter()
        .map(|state| {
            moment(&|name| {
                if state.open.iter().any(|open| open.value == name) {
                    return Some(Position::Off);
                }
                let written = state.closed.iter().find(|closed| switch_name(&closed.value) == name)?;
                Some(if written.value.ends_with(".15") { Position::On } else { Position::Start })
            })
        })
        .collect()
}

/// Before the first step of a hookup, and after each of its steps.
pub fn of_hookup(circuit: &Circuit, hookup: &Hookup) -> Vec<Moment> {
    let mut state = BenchState::at_start(hookup.bench);
    let mut held = None;
    let mut moments = vec![moment(circuit, hookup, &state, held, 0)];
    for (index, step) in hookup.steps.iter().enumerate() {
        state.take(step);
        held = match step.action.value {
            Action::Energize => step.part.as_ref().map(|part| part.value),
            _ => held.filter(|_| state.energized.is_some()),
        };
        moments.push(moment(circuit, hookup, &state, held, index + 1));
    }
    moments
}

fn moment(circuit: &Circuit, hookup: &Hookup, state: &BenchState, held: Option<Part>, done: usize) -> Moment {
    let is_there = |wire: &CircuitWire| {
        wire.parts.iter().all(|part| state.attached.contains_key(&part.value))
            && (wire.reads.is_empty()
                || is_for(&wire.reads, &wire.parts, (Action::Attach, Action::Detach), hookup, done))
    };
    let position = |symbol: &CircuitSymbol| match &symbol.part {
        Some(part) if held == Some(part.value) => {
            let stretch = (Action::Energize, Action::Release);
            let is_on = symbol.reads.is_empty()
                || is_for(&symbol.reads, std::slice::from_ref(part), stretch, hookup, done);
            if is_on { Position::Start } else { Position::Off }
        }
        Some(part) if symbol.kind().is_meter() && state.attached.contains_key(&part.value) => {
            let stretch = (Action::Attach, Action::Detach);
            let is_on = symbol.reads.is_empty()
                || is_for(&symbol.reads, std::slice::from_ref(part), stretch, hookup, done);
            if is_on { Position::On } else { Position::Off }
        }
        Some(part) if state.closed.contains_key(&part.value) => Position::On,
        Some(_) if symbol.kind() != Kind::NeutralSwitch => Position::Off,
        _ => own_position(symbol),
    };
    Moment {
        wires: circuit.wires.iter().map(is_there).collect(),
        switches: circuit.symbols.iter().map(position).collect(),
    }
}

fn own_position(symbol: &CircuitSymbol) -> Position {
    if symbol.closed { Position::Start } else { Position::Off }
}

/// Meter leads are put on for the readings that are taken before they come off again, and a load is switched on for those
/// taken before it is switched off: is this such a stretch?
fn is_for(
    readings: &[Spanned<String>],
    parts: &[Spanned<Part>],
    (begin, end): (Action, Action),
    hookup: &Hookup,
    done: usize,
) -> bool {
    let does = |index: usize, action: Action| {
        let step = &hookup.steps[index];
        let of_part = |part: &Spanned<Part>| parts.iter().any(|own| own.value == part.value);
        // A release need not name what is released.
        step.action.value == action && step.part.as_ref().map_or(action == Action::Release, of_part)
    };
    let from = (0..done).rev().find(|index| does(*index, begin)).unwrap_or(0);
    let to = (done..hookup.steps.len()).find(|index| does(*index, end));
    let stretch = &hookup.steps[from..to.unwrap_or(hookup.steps.len())];
    let taken: BTreeSet<_> =
        stretch.iter().filter_map(|step| Some(step.reading.as_ref()?.value.as_str())).collect();
    readings.iter().any(|reading| taken.contains(reading.value.as_str()))
}
