//! The unsafe order is an error: each hookup is run as a state machine, and every step is held against the rules.
//!
//! [`BenchState`] has the state and what each step does to it. `rules` is the table: each rule looks at the state before
//! a step and at the step, or at the state after the last one. `school` has those that a school adds in
//! `course.toml`. A broken rule is reported with the danger it stands for, the state at that moment and the smallest
//! change that mends it; then the step is carried out all the same, so that the next mistake shows too.

mod connect;
mod energize;
mod finish;
mod moment;
mod path;
mod prepare;
mod read;
mod rules;
mod school;
mod vehicle;

use std::collections::{BTreeMap, BTreeSet};

use crate::course::hookup::ORDINARY_LIMIT_S;
use crate::course::{About, BenchState, Hookup, HookupStep, Lesson, Piece, WorksheetReading};
use crate::finding::Finding;
use crate::source::Span;
use moment::{AtEnd, Broken, Moment};
use rules::{RULES, Rule};

/// What the sheets of a lesson say of each reading, by its name.
pub type Readings<'l> = BTreeMap<&'l str, &'l WorksheetReading>;

/// Runs every hookup of a lesson.
pub fn check(lesson: &Lesson, about: &About, found: &mut Vec<Finding>) {
    let readings = readings(lesson);
    for piece in &lesson.pieces {
        if let Piece::Hookup(hookup) = piece
            && hookup.complete
        {
            run(hookup, &readings, about, found);
            school::check(hookup, &about.rules, found);
        }
    }
}

/// What the sheets of a lesson ask for.
pub fn readings<'l>(lesson: &'l Lesson) -> Readings<'l> {
    let sheets = lesson.pieces.iter().filter_map(|piece| match piece {
        Piece::Worksheet(worksheet) => Some(&worksheet.readings),
        _ => None,
    });
    sheets.flatten().map(|reading| (reading.name.value.as_str(), reading)).collect()
}

/// A rule in words.
pub struct RuleWords {
    /// Code of its findings.
    pub code: &'static str,
    /// The danger it stands for.
    pub danger: &'static str,
    /// Who says so.
    pub from: &'static str,
}

/// Every rule of the program in words, in the order of the table.
pub fn rule_words() -> impl Iterator<Item = RuleWords> {
    RULES.iter().map(|rule| RuleWords { code: rule.code, danger: rule.danger, from: rule.from })
}

/// The names of the rules, in the order in which they are held against a step.
pub fn rule_names() -> impl Iterator<Item = &'static str> {
    RULES.iter().map(|rule| rule.code)
}

/// The rules that a step breaks in a state of the bench, by name. `hookup` has the bench, the limit and all the steps.
pub fn broken_by<'h>(
    step: &'h HookupStep,
    state: &'h BenchState,
    hookup: &'h Hookup,
    readings: &Readings<'h>,
) -> impl Iterator<Item = &'static str> {
    let moment = moment(state, step, hookup, readings);
    RULES.iter().filter(move |rule| (rule.step)(&moment).is_some()).map(|rule| rule.code)
}

/// The rules that are broken when a list ends in this state, by name.
pub fn broken_at_end<'h>(state: &'h BenchState, hookup: &'h Hookup) -> impl Iterator<Item = &'static str> {
    let end = AtEnd { state, hookup, course_limit_s: ORDINARY_LIMIT_S };
    RULES.iter().filter(move |rule| !(rule.end)(&end).is_empty()).map(|rule| rule.code)
}

fn moment<'h>(
    state: &'h BenchState,
    step: &'h HookupStep,
    hookup: &'h Hookup,
    readings: &Readings<'h>,
) -> Moment<'h> {
    let name = step.reading.as_ref().map(|name| name.value.as_str());
    let reading = name.and_then(|name| readings.get(name).copied());
    Moment { state, step, hookup, reading }
}

fn run(hookup: &Hookup, readings: &Readings, about: &About, found: &mut Vec<Finding>) {
    let mut state = BenchState::at_start(hookup.bench);
    let mut told = vec![false; RULES.len()];
    // What one earlier step brought about is told once: a release that is missing makes every lead after it live.
    let mut causes: BTreeSet<(&str, Span)> = BTreeSet::new();
    for step in &hookup.steps {
        let moment = moment(&state, step, hookup, readings);
        for (rule, told) in RULES.iter().zip(&mut told) {
            if rule.once && *told {
                continue;
            }
            if let Some(broken) = (rule.step)(&moment) {
                *told = true;
                if broken.since.is_some_and(|(since, _)| !causes.insert((rule.code, since))) {
                    continue;
                }
                let at = format!("at this step: {}", state.words());
                found.push(finding(rule, broken, step_span(step), at));
            }
        }
        state.take(step);
    }
    let course_limit_s = about.energize_limit_s.unwrap_or(ORDINARY_LIMIT_S);
    let end = AtEnd { state: &state, hookup, course_limit_s };
    for rule in RULES {
        for (span, broken) in (rule.end)(&end) {
            found.push(finding(rule, broken, span, format!("after the last step: {}", state.words())));
        }
    }
}

fn finding(rule: &Rule, broken: Broken, span: Span, state: String) -> Finding {
    let mut finding = Finding::error(rule.code, broken.message, span, broken.label);
    if let Some((span, text)) = broken.since {
        finding = finding.also(span, text);
    }
    finding.help(broken.mend).help(format!("why: {} ({})", rule.danger, rule.from)).help(state)
}

/// The place of a step that says most: its part, or its action.
fn step_span(step: &HookupStep) -> Span {
    step.part.as_ref().map_or(step.action.span, |part| part.span)
}
