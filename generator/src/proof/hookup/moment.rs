//! What a rule looks at, and what it says when it does not hold.

use crate::course::hookup::LOADS;
use crate::course::{Action, Bench, BenchState, Hookup, HookupStep, Part, WorksheetReading};
use crate::source::Span;

/// A step that is about to be done.
pub struct Moment<'h> {
    pub state: &'h BenchState,
    pub step: &'h HookupStep,
    pub hookup: &'h Hookup,
    /// What the sheet says of the reading of a `read` step.
    pub reading: Option<&'h WorksheetReading>,
}

impl Moment<'_> {
    /// What the step is done to, where it says so.
    pub fn part(&self) -> Option<Part> {
        self.step.part.as_ref().map(|part| part.value)
    }

    pub fn does(&self, action: Action) -> bool {
        self.step.action.value == action
    }

    /// The lead or meter that the step puts on or takes off.
    pub fn moved(&self) -> Option<Part> {
        self.part().filter(|_| self.does(Action::Attach) || self.does(Action::Detach))
    }

    /// Does current flow from this step on?
    pub fn energizes(&self) -> bool {
        self.does(Action::Energize)
    }

    /// Does it flow through a motor? A load tester has nothing that turns.
    pub fn turns_motor(&self) -> bool {
        self.energizes() && !self.part().is_some_and(|part| LOADS.contains(&part))
    }

    /// Can something spark in this step: current on, the bench switched on, or hands at a battery? A vehicle comes in
    /// with its battery connected, so that whatever is moved there is moved beside live metal.
    pub fn can_spark(&self) -> bool {
        let at_posts = [
            Part::SourceNegative,
            Part::SourcePositive,
            Part::LoadPositive,
            Part::LoadNegative,
            Part::VoltmeterLeads,
        ];
        match (self.hookup.bench, self.moved()) {
            (Bench::Battery, Some(part)) => at_posts.contains(&part),
            (Bench::Vehicle, Some(_)) => true,
            _ => self.energizes() || (self.does(Action::SwitchOn) && self.part() == Some(Part::MainSwitch)),
        }
    }
}

/// The bench after the last step.
pub struct AtEnd<'h> {
    pub state: &'h BenchState,
    pub hookup: &'h Hookup,
    /// How long current may flow where a hookup has no source for more.
    pub course_limit_s: f64,
}

/// A rule that does not hold.
pub struct Broken {
    /// What is wrong, lower case.
    pub message: String,
    /// Why here.
    pub label: &'static str,
    /// An earlier step that has to do with it.
    pub since: Option<(Span, &'static str)>,
    /// The smallest change.
    pub mend: String,
}

impl Broken {
    pub fn new(message: impl Into<String>, label: &'static str, mend: impl Into<String>) -> Self {
        Broken { message: message.into(), label, since: None, mend: mend.into() }
    }

    /// The same with the earlier step, if there is one.
    pub fn since(self, span: Option<Span>, text: &'static str) -> Self {
        Broken { since: span.map(|span| (span, text)), ..self }
    }
}
