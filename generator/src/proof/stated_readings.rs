//! What a lesson says that a meter shows, and what its circuit gives.

use fieldcoil_calc::number::figures;

use crate::course::{Circuit, Lesson, Piece};
use crate::finding::{Finding, shown};

/// Less than any meter of a workshop shows.
const NOTHING: f64 = 1e-9;

/// Holds every stated reading against the one that was worked out.
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    for piece in &lesson.pieces {
        if let Piece::Circuit(circuit) = piece {
            compare(circuit, found);
        }
    }
}

fn compare(circuit: &Circuit, found: &mut Vec<Finding>) {
    // Without numbers nothing was worked out, which is reported where the circuit is drawn.
    let Some(drawn) = circuit.drawn.as_ref().filter(|drawn| !drawn.scenes.values.is_empty()) else { return };
    for (stated, moment) in circuit.stated.iter().zip(&drawn.scenes.stated_at) {
        let meter = circuit.symbols.iter().position(|symbol| symbol.name.value == stated.meter.value);
        // Unknown names are reported where names are bound.
        let Some((meter, moment)) = meter.zip(*moment) else { continue };
        let readings = drawn.scenes.meters.get(&meter);
        let name = shown(&stated.meter.value);
        let when = shown(&stated.when.value);
        let Some(computed) = readings.and_then(|readings| *readings.get(moment)?) else {
            let message = format!("`{name}` shows nothing at `{when}`");
            found.push(
                Finding::error("stated-reading", message, stated.meter.span, "not connected then")
                    .also(stated.when.span, "this moment")
                    .help("connect the meter before, or take the reading out"),
            );
            continue;
        };
        if (computed - stated.value.value).abs() > stated.tolerance {
            let message = format!(
                "`{name}` shows {} at `{when}`, not {} ± {}",
                figures(computed, 4),
                stated.value.value,
                stated.tolerance
            );
            let mut finding = Finding::error(
                "stated-reading",
                message,
                stated.value.span,
                "the circuit gives another value",
            );
            if computed.abs() < NOTHING {
                finding = finding.help(format!(
                    "nothing flows there at `{when}`: is every switch on the way closed then, the main switch too?"
                ));
            }
            found
                .push(finding.help(
                    "correct the value, here and where the text says it, or the values of the circuit",
                ));
        }
    }
}
