//! A rule on hookups that a school adds to those of the program.

use super::{Action, Bench, Part};
use crate::source::Spanned;

/// One rule of `course.toml`.
#[derive(Debug, Clone)]
pub struct SchoolRule {
    /// Its name: `tag-before-hands`.
    pub name: Spanned<String>,
    /// The danger it stands for.
    pub danger: String,
    /// Who says so.
    pub source: String,
    /// On which benches it holds; on all when there are none.
    pub benches: Vec<Bench>,
    /// The steps it looks at.
    pub at: StepPattern,
    /// What it asks for at such a step.
    pub asks: Asks,
}

/// Steps of one kind: an action, and perhaps one part that it is done to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StepPattern {
    /// The action.
    pub action: Action,
    /// The part; any when there is none.
    pub part: Option<Part>,
}

/// What a rule asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asks {
    /// A step must have come before.
    Before {
        /// Which.
        step: StepPattern,
        /// Only those after the last of these count.
        since: Option<StepPattern>,
    },
    /// A step must come later.
    After(StepPattern),
    /// It must not be done in this state.
    Never(When),
}

/// A state of the bench that a rule can name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// Current flows, or the main switch feeds the leads.
    Live,
    /// Current flows.
    Energized,
}
