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

use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

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

/// Everything that the rules find, in the order of the lessons.
///
/// Working the draws of homework takes longer than all else, so lessons are shared out: each thread takes the next that
/// nobody has begun.
pub fn course(course: &Course) -> Vec<Finding> {
    let texts: Vec<&Lesson> = course.lessons.iter().chain(&course.pages).collect();
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(text) = texts.get(index) else { break done };
            done.push((index, of_text(text, course)));
        }
    };
    let threads = thread::available_parallelism().map_or(1, usize::from).min(texts.len());
    let mut shares: Vec<(usize, Vec<Finding>)> = thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(work)).collect();
        let mut all = work();
        for other in others {
            match other.join() {
                Ok(done) => all.extend(done),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        all
    });
    shares.sort_by_key(|(index, _)| *index);
    let mut found: Vec<Finding> = shares.into_iter().flat_map(|(_, found)| found).collect();
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
