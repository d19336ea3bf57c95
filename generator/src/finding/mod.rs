//! What is wrong with a course, as data: each finding with its place, its cause and what to do.

use crate::source::Span;

/// One thing to look at.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Which kind, in kebab case: `unknown-calculator`.
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// What is wrong; lower case, no full stop.
    pub message: String,
    /// The place, or nothing when the whole course is meant.
    pub place: Option<Label>,
    /// Other places that belong to it.
    pub others: Vec<Label>,
    /// What to do, one sentence each.
    pub help: Vec<String>,
}

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The course is not published.
    Error,
    /// Published, but worth mending.
    Warning,
    /// A hint to the writer.
    Hint,
}

/// A place and why it is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// The place.
    pub span: Span,
    /// Why here, perhaps empty.
    pub text: String,
}

impl Finding {
    /// An error at a place.
    pub fn error(code: &'static str, message: impl Into<String>, span: Span, label: impl Into<String>) -> Self {
        Finding::at(code, Severity::Error, message, span, label)
    }

    /// A warning at a place.
    pub fn warning(code: &'static str, message: impl Into<String>, span: Span, label: impl Into<String>) -> Self {
        Finding::at(code, Severity::Warning, message, span, label)
    }

    /// An error about the course as a whole.
    pub fn of_course(code: &'static str, message: impl Into<String>) -> Self {
        Finding { code, severity: Severity::Error, message: message.into(), place: None, others: vec![], help: vec![] }
    }

    /// The same with one more sentence of what to do.
    pub fn help(mut self, sentence: impl Into<String>) -> Self {
        self.help.push(sentence.into());
        self
    }

    /// The same with one more place.
    pub fn also(mut self, span: Span, text: impl Into<String>) -> Self {
        self.others.push(Label { span, text: text.into() });
        self
    }

    fn at(
        code: &'static str,
        severity: Severity,
        message: impl Into<String>,
        span: Span,
        label: impl Into<String>,
    ) -> Self {
        let place = Some(Label { span, text: label.into() });
        Finding { code, severity, message: message.into(), place, others: vec![], help: vec![] }
    }
}
