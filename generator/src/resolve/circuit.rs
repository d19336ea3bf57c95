//! Diagrams: their names are bound, everything gets its place, and what flows when is worked out.

mod moments;
mod names;
mod net;
mod placed;
mod scenes;
mod values;

use std::collections::BTreeMap;

use crate::course::{Circuit, Drawn, Hookup, Lesson, Piece};
use crate::finding::{Finding, shown};
use crate::memo::Memo;
use crate::source::Span;
pub use names::terminal;

/// Draws every diagram of a lesson that can be drawn.
pub fn draw(lesson: &mut Lesson, found: &mut Vec<Finding>) {
    check_hookups(lesson, found);
    let hookups: BTreeMap<String, Hookup> = lesson
        .pieces
        .iter()
        .filter_map(|piece| match piece {
            Piece::Hookup(hookup) => Some((hookup.name.as_ref()?.value.clone(), hookup.clone())),
            _ => None,
        })
        .collect();
    for piece in &mut lesson.pieces {
        if let Piece::Circuit(circuit) = piece
            && circuit.complete
        {
            circuit.drawn = drawn(circuit, &hookups, found);
        }
    }
}

/// Diagrams with what was found in them. Working and leading wires takes most of the time in which a course is bound,
/// and from one save to the next nearly all diagrams stay as they are.
static DRAWN: Memo<(Option<Drawn>, Vec<Finding>)> = Memo::new(2000);

fn drawn(circuit: &Circuit, hookups: &BTreeMap<String, Hookup>, found: &mut Vec<Finding>) -> Option<Drawn> {
    // Names of hookups that are not there are told with those that are, so all are part of the question.
    let question = format!("{circuit:?} {hookups:?}");
    let answer = DRAWN.answer(question, || {
        let mut found = Vec::new();
        (draw_one(circuit, hookups, &mut found), found)
    });
    found.extend(answer.1.iter().cloned());
    answer.0.clone()
}

fn draw_one(
    circuit: &Circuit,
    hookups: &BTreeMap<String, Hookup>,
    found: &mut Vec<Finding>,
) -> Option<Drawn> {
    let before = found.len();
    let hookup = names::hookup(circuit, hookups, found);
    let ends = names::ends(circuit, found);
    names::check_states(circuit, hookup, found);
    if found.len() > before {
        return None;
    }
    let ends: Vec<_> = ends.into_iter().flatten().collect();
    let moments = match hookup {
        Some(hookup) => moments::of_hookup(circuit, hookup),
        None => moments::of_states(circuit),
    };
    let scenes = scenes::scenes(circuit, &ends, &moments, hookup, found);
    placed::place(circuit, ends, scenes, found)
}

/// A diagram goes with one hookup: two of a name would leave it open which.
fn check_hookups(lesson: &Lesson, found: &mut Vec<Finding>) {
    let mut known: BTreeMap<&str, Span> = BTreeMap::new();
    for piece in &lesson.pieces {
        let Piece::Hookup(hookup) = piece else { continue };
        let Some(name) = &hookup.name else { continue };
        match known.get(name.value.as_str()) {
            Some(first) => found.push(
                Finding::error(
                    "second-hookup",
                    format!("two hookups are named `{}`", shown(&name.value)),
                    name.span,
                    "the second",
                )
                .also(*first, "the first")
                .help("give each hookup of a lesson a name of its own"),
            ),
            None => {
                known.insert(&name.value, name.span);
            }
        }
    }
}
