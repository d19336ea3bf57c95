//! What is wrong with a course, as data: each finding with its place, its cause and what to do.

use crate::source::{SourceSet, Span};

pub mod code;
pub mod nearest;
pub mod render;

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

impl Severity {
    /// The word that stands before a finding.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Hint => "hint",
        }
    }
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
    pub fn error(
        code: &'static str,
        message: impl Into<String>,
        span: Span,
        label: impl Into<String>,
    ) -> Self {
        Finding::at(code, Severity::Error, message, span, label)
    }

    /// A warning at a place.
    pub fn warning(
        code: &'static str,
        message: impl Into<String>,
        span: Span,
        label: impl Into<String>,
    ) -> Self {
        Finding::at(code, Severity::Warning, message, span, label)
    }

    /// A hint at a place.
    pub fn hint(
        code: &'static str,
        message: impl Into<String>,
        span: Span,
        label: impl Into<String>,
    ) -> Self {
        Finding::at(code, Severity::Hint, message, span, label)
    }

    /// An error about the course as a whole.
    pub fn of_course(code: &'static str, message: impl Into<String>) -> Self {
        Finding {
            code,
            severity: Severity::Error,
            message: message.into(),
            place: None,
            others: vec![],
            help: vec![],
        }
    }

    /// A warning about the course as a whole.
    pub fn warning_of_course(code: &'static str, message: impl Into<String>) -> Self {
        Finding { severity: Severity::Warning, ..Finding::of_course(code, message) }
    }

    /// Does it keep the course from being published?
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }

    /// The same with a hint at the nearest of the known names, when one is near.
    pub fn near<'k>(self, typed: &str, known: impl IntoIterator<Item = &'k str>) -> Self {
        match nearest::nearest(typed, known) {
            Some(name) => self.help(format!("did you mean `{name}`?")),
            None => self,
        }
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

/// Sorts by file and place, findings about the course as a whole first.
pub fn sort(findings: &mut [Finding], sources: &SourceSet) {
    let key = |finding: &Finding| {
        finding.place.as_ref().map(|label| {
            let path = sources.text(label.span.file).map_or("", |text| text.path.as_str());
            (path.to_owned(), label.span.start, label.span.end)
        })
    };
    findings.sort_by_cached_key(|finding| {
        (key(finding), finding.severity, finding.code, finding.message.clone())
    });
}

/// Text out of a lesson as a message shows it: one line, not too long.
pub fn shown(text: &str) -> String {
    const LONGEST: usize = 60;
    let clean = |c: char| if c.is_control() { ' ' } else { c };
    let mut out: String = text.chars().take(LONGEST).map(clean).collect();
    if text.chars().nth(LONGEST).is_some() {
        out.push('…');
    }
    out
}
