//! What would teach or do harm: rules that look at a whole course. Each rule is one file and one line here.

mod caution_before_live;
mod caution_parts;
mod coverage;
mod drawn_answers;
mod hazards;
pub mod hookup;
mod idle_reference;
mod language;
mod outcomes;
mod reading_limit;
mod reading_source;
mod selfcheck;
mod sheet_matches_hookup;
mod stated_readings;
mod unknown_sign;

use crate::course::{Course, Lesson};
use crate::finding::Finding;
use crate::threads;

/// A rule looks at one lesson; what it sees goes into the list.
type Rule = fn(&Lesson, &mut Vec<Finding>);

const RULES: &[Rule] = &[
    outcomes::check,
    caution_parts::check,
    caution_before_live::check,
    unknown_sign::check,
    reading_source::check,
    reading_limit::check,
    hazards::check,
    sheet_matches_hookup::check,
    stated_readings::check,
    drawn_answers::check,
    selfcheck::check,
];

/// Everything that the rules find, in the order of the lessons.
///
/// Working the draws of homework takes longer than all else, so lessons are shared out.
pub fn course(course: &Course) -> Vec<Finding> {
    let texts: Vec<&Lesson> = course.lessons.iter().chain(&course.pages).collect();
    let shares = threads::each(texts.len(), |index| of_text(texts[index], course));
    let mut found: Vec<Finding> = shares.into_iter().flatten().collect();
    coverage::check(course, &mut found);
    idle_reference::check(course, &mut found);
    found
}

/// What the rules find in one lesson or page.
fn of_text(text: &Lesson, course: &Course) -> Vec<Finding> {
    let mut found = Vec::new();
    for rule in RULES {
        rule(text, &mut found);
    }
    hookup::check(text, &course.about, &mut found);
    language::check(text, &course.about, &mut found);
    found
}
