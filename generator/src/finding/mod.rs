//! What is wrong with a course, as data: each finding with its place, its cause and what to do.

use std::collections::BTreeMap;

use crate::source::{FileId, Span};

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

/// Sorts by file and place, findings about the course as a whole first. Files are numbered in the order of their paths.
pub fn sort(findings: &mut Vec<Finding>) {
    fn key(finding: &Finding) -> (Option<Span>, Severity, &'static str, &str) {
        (finding.place.as_ref().map(|label| label.span), finding.severity, finding.code, &finding.message)
    }
    findings.sort_by(|one, other| key(one).cmp(&key(other)));
    // Two lessons that show a file come upon the same in it.
    findings.dedup();
}

/// How many findings of one kind are kept for one file: what is wrong a hundred times is mended as one thing.
const OF_A_KIND: usize = 50;

/// Leaves out what is one more of the same in the same file, and says how many at the last that stays.
///
/// A file that is no lesson at all, but has the name of one, can have half a million findings.
pub fn leave_out_repeats(findings: Vec<Finding>) -> Vec<Finding> {
    let mut kept: Vec<Finding> = Vec::new();
    let mut counts: BTreeMap<(FileId, &'static str), (usize, usize)> = BTreeMap::new();
    for finding in findings {
        let Some(file) = finding.place.as_ref().map(|label| label.span.file) else {
            kept.push(finding);
            continue;
        };
        let (count, last) = counts.entry((file, finding.code)).or_insert((0, 0));
        *count += 1;
        if *count <= OF_A_KIND {
            *last = kept.len();
            kept.push(finding);
        }
    }
    for (count, last) in counts.into_values().filter(|(count, _)| *count > OF_A_KIND) {
        let more = count - OF_A_KIND;
        kept[last].help.push(format!("{more} more of this kind in this file are not shown"));
    }
    kept
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_a_hundred_times_is_told_fifty_times() {
        let at = |code, file| Finding::error(code, "x", Span::new(FileId(file), 0..1), "");
        let mut findings: Vec<Finding> = (0..100).map(|_| at("toml", 0)).collect();
        findings.push(at("toml", 1));
        findings.push(at("formula", 0));
        let kept = leave_out_repeats(findings);
        assert_eq!(kept.len(), 52);
        assert_eq!(kept[49].help, ["50 more of this kind in this file are not shown"]);
        assert!(kept[51].help.is_empty());
    }

    #[test]
    fn text_of_others_is_one_short_line_in_a_message() {
        assert_eq!(shown("a\nb"), "a b");
        assert_eq!(shown(&"x".repeat(100)), format!("{}…", "x".repeat(60)));
    }
}
