//! The unsafe order is an error: each hookup is run as a state machine, and every step is held against the rules.
//!
//! [`BenchState`] has the state and what each step does to it. [`rules`] is the table: each rule looks at the state before
//! a step and at the step, or at the state after the last one. A broken rule is reported with the danger it stands
//! for, the state at that moment and the smallest change that mends it; then the step is carried out all the same, so
//! that the next mistake shows too.

mod connect;
mod energize;
mod finish;
mod read;
mod rules;

use std::collections::BTreeMap;

use crate::course::{BenchState, Hookup, HookupStep, Lesson, Piece, Taken};
use crate::finding::Finding;
use crate::source::Span;
use rules::{RULES, Rule};

/// Runs every hookup of a lesson.
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    let mut readings = BTreeMap::new();
    for piece in &lesson.pieces {
        if let Piece::Worksheet(worksheet) = piece {
            readings.extend(
                worksheet.readings.iter().map(|reading| (reading.name.value.as_str(), reading.taken)),
            );
        }
    }
    for piece in &lesson.pieces {
        if let Piece::Hookup(hookup) = piece
            && hookup.complete
        {
            run(hookup, &readings, found);
        }
    }
}

fn run(hookup: &Hookup, readings: &BTreeMap<&str, Taken>, found: &mut Vec<Finding>) {
    let mut state = BenchState::at_start(hookup.bench);
    let mut told = vec![false; RULES.len()];
    for step in &hookup.steps {
        let taken = step.reading.as_ref().and_then(|reading| readings.get(reading.value.as_str()).copied());
        let moment = Moment { state: &state, step, hookup, taken: taken.unwrap_or_default() };
        for (rule, told) in RULES.iter().zip(&mut told) {
            if rule.once && *told {
                continue;
            }
            if let Some(broken) = (rule.step)(&moment) {
                *told = true;
                found.push(finding(rule, broken, step_span(step), Some(&state)));
            }
        }
        state.take(step);
    }
    for rule in RULES {
        for (span, broken) in (rule.end)(&state, hookup) {
            found.push(finding(rule, broken, span, None));
        }
    }
}

/// A step that is about to be done.
struct Moment<'h> {
    state: &'h BenchState,
    step: &'h HookupStep,
    hookup: &'h Hookup,
    /// In which state the reading of a `read` step means something.
    taken: Taken,
}

/// A rule that does not hold.
struct Broken {
    /// What is wrong, lower case.
    message: String,
    /// Why here.
    label: &'static str,
    /// An earlier step that has to do with it.
    since: Option<(Span, &'static str)>,
    /// The smallest change.
    mend: String,
}

fn finding(rule: &Rule, broken: Broken, span: Span, state: Option<&BenchState>) -> Finding {
    let mut finding = Finding::error(rule.code, broken.message, span, broken.label);
    if let Some((span, text)) = broken.since {
        finding = finding.also(span, text);
    }
    finding = finding.help(broken.mend).help(format!("why: {} ({})", rule.danger, rule.from));
    match state {
        Some(state) => finding.help(format!("at this step: {}", state.words())),
        None => finding,
    }
}

/// The place of a step that says most: its part, or its action.
fn step_span(step: &HookupStep) -> Span {
    step.part.as_ref().map_or(step.action.span, |part| part.span)
}
