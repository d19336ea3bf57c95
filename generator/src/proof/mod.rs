//! What would teach or do harm: rules that look at a lesson or at a whole course. Each rule is one file and one line here.

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

/// What the rules find in one lesson or page.
pub fn lesson(lesson: &Lesson, course: &Course) -> Vec<Finding> {
    let mut found = Vec::new();
    for rule in RULES {
        rule(lesson, &mut found);
    }
    hookup::check(lesson, &course.about, &mut found);
    language::check(lesson, &course.about, &mut found);
    found
}

/// What the rules find in a course beyond what they find in its lessons.
pub fn course(course: &Course) -> Vec<Finding> {
    let mut found = Vec::new();
    coverage::check(course, &mut found);
    idle_reference::check(course, &mut found);
    found
}
