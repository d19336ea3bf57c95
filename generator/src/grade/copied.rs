//! Answers that are wrong for a student's own numbers and right for somebody else's of the class.
//!
//! One such answer may be chance: in a class of thirty a wrong number lands near somebody's right one now and then. So one
//! flag a lesson says how many of the wrong answers fit the same student, and takes nothing off.

use std::collections::BTreeMap;

use fieldcoil_calc::homework::code::Code;
use fieldcoil_calc::homework::mark::Verdict;

use super::marked::{Marked, RightAnswers};
use super::plan::GradedLesson;

/// How many codes and answers a flag names.
const MOST_NAMED: usize = 4;

/// What is said of a student's work for a lesson, if anything. `right` is in the order of the lesson's problems.
pub fn of_others(
    lesson: &GradedLesson,
    marked: &Marked,
    own: Code,
    right: &[RightAnswers],
) -> Option<String> {
    // Problem, ask and what was answered; nothing (0) is right for too many.
    let mut wrong: Vec<(usize, usize, f64)> = Vec::new();
    for (problem, own) in marked.problems.iter().enumerate() {
        for (ask, mark) in own.marks.iter().enumerate() {
            let is_wrong = matches!(mark.verdict, Verdict::Wrong | Verdict::Power);
            wrong.extend(
                mark.given.filter(|given| is_wrong && *given != 0.0).map(|given| (problem, ask, given)),
            );
        }
    }
    let mut fits: BTreeMap<Code, Vec<(usize, usize)>> = BTreeMap::new();
    for (problem, ask, given) in &wrong {
        let asked = &lesson.homework[*problem].1.asks[*ask];
        for (code, answers) in right[*problem].of.iter().filter(|(code, _)| *code != own) {
            if answers[*ask].is_some_and(|other| (given - other).abs() <= asked.allowance(other)) {
                fits.entry(*code).or_default().push((*problem, *ask));
            }
        }
    }
    let most = fits.values().map(Vec::len).max()?;
    let mut codes = fits.iter().filter(|(_, own)| own.len() == most).peekable();
    let which = codes.peek().map(|(_, own)| own.as_slice()).unwrap_or_default();
    let which = which.iter().map(|(problem, ask)| {
        let item = lesson.homework[*problem].1;
        format!("`{}.{}`", item.name, item.asks[*ask].name)
    });
    let which = named(which.collect());
    let codes = named(codes.map(|(code, _)| code.to_string()).collect());
    let chance = if most == 1 { " One may be chance." } else { "" };
    Some(format!(
        "{most} of {} wrong answers {} right for the numbers of {codes}: {which}.{chance}",
        wrong.len(),
        if most == 1 { "is" } else { "are" },
    ))
}

/// The first few, and how many more.
fn named(all: Vec<String>) -> String {
    let more = all.len().saturating_sub(MOST_NAMED);
    let few = all[..all.len() - more].join(", ");
    if more > 0 { format!("{few} and {more} more") } else { few }
}
