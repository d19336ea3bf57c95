//! The named calculators of a course, each worked once for each set of changed values.

use std::collections::BTreeMap;
use std::sync::Arc;

use fieldcoil_calc::calculator::Calculator;
use fieldcoil_calc::input::Inputs;

use crate::course::{Lesson, Piece};
use crate::finding::{Finding, shown};
use crate::source::Span;
use crate::worked::{Worked, worked};

/// Fields and the values that they are set to.
pub type Changes = Vec<(String, String)>;

/// All of them.
pub struct Runs {
    list: Vec<Run>,
    worked: BTreeMap<(usize, Changes), Arc<Worked>>,
}

/// A calculator with a name.
pub struct Run {
    /// Address of its lesson.
    pub lesson: String,
    /// Its name there.
    pub name: String,
    /// What it works; nothing when it could not be bound, which has been reported.
    pub bound: Option<(&'static Calculator, Inputs)>,
    span: Span,
}

impl Runs {
    /// The named calculators of these lessons; a name that stands twice in a lesson is a finding.
    pub fn of(lessons: &[Lesson], found: &mut Vec<Finding>) -> Self {
        let mut list: Vec<Run> = Vec::new();
        for lesson in lessons {
            for piece in &lesson.pieces {
                let (name, bound) = match piece {
                    Piece::Calculator(block) => (&block.name, block.bound.clone()),
                    Piece::Trace(trace) => {
                        let inputs = trace.bound.as_ref().map(|bound| bound.inputs.clone());
                        (&trace.name, inputs.map(|inputs| (inputs.calculator, inputs)))
                    }
                    _ => continue,
                };
                let Some(name) = name else { continue };
                let same = |run: &&Run| run.lesson == lesson.address && run.name == name.value;
                if let Some(first) = list.iter().find(same) {
                    let message =
                        format!("two calculators of this lesson are named `{}`", shown(&name.value));
                    found.push(
                        Finding::error("second-calculator", message, name.span, "the second")
                            .also(first.span, "the first")
                            .help("give each of them a name of its own"),
                    );
                    continue;
                }
                list.push(Run {
                    lesson: lesson.address.clone(),
                    name: name.value.clone(),
                    bound,
                    span: name.span,
                });
            }
        }
        Runs { list, worked: BTreeMap::new() }
    }

    /// The place in the list of the calculator of this name in this lesson.
    pub fn find(&self, lesson: &str, name: &str) -> Option<usize> {
        self.list.iter().position(|run| run.lesson == lesson && run.name == name)
    }

    /// The one at this place.
    pub fn run(&self, index: usize) -> &Run {
        &self.list[index]
    }

    /// The names of a lesson's calculators.
    pub fn names_in<'r>(&'r self, lesson: &'r str) -> impl Iterator<Item = &'r str> {
        self.list.iter().filter(move |run| run.lesson == lesson).map(|run| run.name.as_str())
    }

    /// The report of these inputs, which are those of the one at this place after the changes.
    pub fn report(&mut self, index: usize, changes: Changes, inputs: &Inputs) -> &Worked {
        self.worked.entry((index, changes)).or_insert_with(|| worked(inputs))
    }
}
