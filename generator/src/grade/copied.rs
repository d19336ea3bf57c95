//! Answers that are wrong for a student's own numbers and right for somebody else's of the class.
//!
//! One such answer may be chance: in a class of thirty a wrong number lands near somebody's right one now and then. So a
//! flag says how many answers of the problem fit, and gives nothing off.

use std::collections::BTreeMap;

use fieldcoil_calc::homework::code::Code;
use fieldcoil_calc::homework::item::Item;
use fieldcoil_calc::homework::mark::{Mark, Verdict};

use super::marked::RightAnswers;

/// How many codes a flag names.
const MOST_NAMED: usize = 4;

/// What is said of a problem, if anything.
pub fn of_others(item: &Item, marks: &[Mark], own: Code, right: &RightAnswers) -> Option<String> {
    let wrong: Vec<(usize, f64)> = marks
        .iter()
        .enumerate()
        .filter(|(_, mark)| matches!(mark.verdict, Verdict::Wrong | Verdict::Power))
        .filter_map(|(at, mark)| Some((at, mark.given?)))
        // Nothing is right for too many.
        .filter(|(_, given)| *given != 0.0)
        .collect();
    if wrong.is_empty() {
        return None;
    }
    let mut fits: BTreeMap<usize, Vec<Code>> = BTreeMap::new();
    for (code, answers) in right.of.iter().filter(|(code, _)| *code != own) {
        let fit = |(at, given): &&(usize, f64)| {
            answers[*at].is_some_and(|other| (given - other).abs() <= item.asks[*at].allowance(other))
        };
        let count = wrong.iter().filter(fit).count();
        if count > 0 {
            fits.entry(count).or_default().push(*code);
        }
    }
    let (count, mut codes) = fits.pop_last()?;
    codes.sort();
    let more = codes.len().saturating_sub(MOST_NAMED);
    let named: Vec<String> = codes.iter().take(MOST_NAMED).map(Code::to_string).collect();
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let answers = marks.iter().filter(|mark| mark.given.is_some()).count();
    Some(format!(
        "Problem `{}`: {count} of {answers} answers {} wrong for the own numbers and right for those of {}{more}.",
        item.name,
        if count == 1 { "is" } else { "are" },
        named.join(", ")
    ))
}
