//! Diagrams: the view of their frame and their connections in words.

pub mod drawing;

use std::collections::BTreeSet;

use super::view::{CircuitView, ConnectionView, MomentView, ValueRowView, ValueTableView};
use super::words::Words;
use crate::course::{Circuit, Drawn, Hookup, LabelOf, Lesson, Moments, Piece, Terminal};

/// A diagram as its component sees it; nothing while it cannot be drawn, which `resolve` reports.
pub fn view(circuit: &Circuit, lesson: &Lesson<'_>, words: &Words) -> Option<CircuitView> {
    let drawn = circuit.drawn.as_ref()?;
    let hookup = hookup_of(circuit, lesson);
    // Diagrams are counted by the parse stage, which makes their anchors; the number shown is the same.
    let number = circuit.id.rsplit('-').next().unwrap_or_default();
    let moments = circuit.states.iter().enumerate().map(|(index, state)| MomentView {
        index,
        name: capital(&state.name.value),
        shown: index == drawn.scenes.shown,
    });
    Some(CircuitView {
        id: circuit.id.clone(),
        number: words.fill("circuit.number", &[("number", number)]),
        title: circuit.title.clone(),
        text: circuit.text.clone(),
        hookup: hookup.map(|hookup| hookup.id.clone()).unwrap_or_default(),
        wide: drawn.bounds.width() > 470.0,
        drawing: drawing::svg(circuit, drawn),
        moments: moments.filter(|_| circuit.states.len() > 1).collect(),
        connections: connections(circuit, drawn, words),
        values: values(circuit, drawn, hookup, words),
    })
}

/// The hookup whose steps a diagram follows.
pub fn hookup_of<'l>(circuit: &Circuit, lesson: &'l Lesson<'_>) -> Option<&'l Hookup> {
    let name = circuit.hookup.as_ref()?;
    lesson.pieces.iter().find_map(|piece| match piece {
        Piece::Hookup(hookup) if hookup.name.as_ref().is_some_and(|own| own.value == name.value) => {
            Some(hookup)
        }
        _ => None,
    })
}

/// Every wire in words: the same facts as the drawing, for who cannot see it.
fn connections(circuit: &Circuit, drawn: &Drawn, words: &Words) -> Vec<ConnectionView> {
    let connection = |(index, [from, to]): (usize, &[Terminal; 2])| {
        let joined = &drawn.scenes.joined[index];
        let steps = match circuit.hookup {
            None => String::new(),
            Some(_) => steps_words(joined, drawn.scenes.count, words),
        };
        ConnectionView {
            from: terminal_words(circuit, *from),
            to: terminal_words(circuit, *to),
            label: circuit.wires[index].label.clone(),
            steps,
        }
    };
    drawn.ends.iter().enumerate().map(connection).collect()
}

/// A symbol that has no words of its own is called by its name.
fn symbol_words(circuit: &Circuit, symbol: usize) -> String {
    let symbol = &circuit.symbols[symbol];
    if symbol.label.is_empty() { symbol.name.value.clone() } else { symbol.label.clone() }
}

/// A terminal in words: `Starting motor 30`.
pub fn terminal_words(circuit: &Circuit, (symbol, pin): Terminal) -> String {
    let table = circuit.symbols[symbol].turned.symbol;
    let words = symbol_words(circuit, symbol);
    if table.pins.len() == 1 {
        return words;
    }
    let pin = &table.pins[pin];
    // Ends that look alike have numbers that stand nowhere in the drawing.
    let is_shown = !pin.mark.is_empty() || pin.name == "45";
    let mark = if pin.mark.is_empty() { pin.name } else { pin.mark };
    if is_shown { format!("{words} {}", mark.replace(' ', "\u{a0}")) } else { words }
}

fn steps_words(joined: &Moments, count: usize, words: &Words) -> String {
    let parts = joined.iter().flat_map(|(first, last)| {
        let on = (*first > 0).then(|| words.fill("circuit.on_at", &[("step", &first.to_string())]));
        let off =
            (*last + 1 < count).then(|| words.fill("circuit.off_at", &[("step", &(last + 1).to_string())]));
        [on, off].into_iter().flatten()
    });
    parts.collect::<Vec<_>>().join(", ")
}

/// What stands beside things: in all states, or at the moment of a hookup at which current flows first.
fn values(
    circuit: &Circuit,
    drawn: &Drawn,
    hookup: Option<&Hookup>,
    words: &Words,
) -> Option<ValueTableView> {
    let scenes = &drawn.scenes;
    let moments: Vec<(usize, String)> = match hookup {
        Some(_) => {
            let step = words.fill("circuit.after_step", &[("step", &scenes.shown.to_string())]);
            vec![(scenes.shown, step)]
        }
        None if circuit.states.is_empty() => vec![(0, words.get("circuit.at_rest").to_owned())],
        None => {
            circuit.states.iter().enumerate().map(|(at, state)| (at, capital(&state.name.value))).collect()
        }
    };
    let things: BTreeSet<LabelOf> = scenes.values.iter().map(|(of, _, _)| *of).collect();
    let value = |thing: LabelOf, moment: usize| {
        let holds = |at: &Moments| at.iter().any(|(first, last)| (*first..=*last).contains(&moment));
        let found = scenes.values.iter().find(|(of, at, _)| *of == thing && holds(at));
        found.map_or_else(|| "–".to_owned(), |(_, _, words)| words.clone())
    };
    let rows = things.into_iter().map(|thing| ValueRowView {
        name: label_words(circuit, drawn, thing),
        values: moments.iter().map(|(moment, _)| value(thing, *moment)).collect(),
    });
    let rows: Vec<_> = rows.collect();
    let moments = moments.into_iter().map(|(_, name)| name).collect();
    (!rows.is_empty()).then_some(ValueTableView { moments, rows })
}

fn label_words(circuit: &Circuit, drawn: &Drawn, of: LabelOf) -> String {
    match of {
        LabelOf::Symbol(symbol) => symbol_words(circuit, symbol),
        LabelOf::Wire(wire) => {
            let [from, to] = drawn.ends[wire];
            format!("{} – {}", terminal_words(circuit, from), terminal_words(circuit, to))
        }
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
