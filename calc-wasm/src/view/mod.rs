//! How a report reads: HTML that the generator puts into a page and the page into itself, from the same code.

use crate::refusal::Refusal;
use crate::report::{Answer, Report, Value};

mod formula;
mod html;

pub use formula::typeset;
pub use html::{Html, escape};

/// The parts of a result, each replaced on its own while a reader types.
#[derive(Debug, Default, Clone, PartialEq)]
pub struct Parts {
    /// The readings, shown large, with the stamp of the whole.
    pub readings: String,
    /// The other outputs, the remarks and the charts.
    pub findings: String,
    /// The working.
    pub steps: String,
    /// Where the facts come from.
    pub sources: String,
}

/// The parts of a result as a page shows them.
pub fn parts(report: &Report) -> Parts {
    Parts {
        readings: readings(report),
        findings: findings(report),
        steps: steps(report),
        sources: sources(report),
    }
}

/// What stands in place of the readings when inputs are refused.
pub fn refused(refusal: &Refusal) -> Parts {
    let mut html = Html::default();
    html.leaf("p", "class=\"refused\"", "No result yet:");
    html.open("ul", "class=\"refused-list\"");
    for problem in &refusal.problems {
        html.leaf("li", "", &problem.to_string());
    }
    html.close("ul");
    Parts { readings: html.done(), ..Parts::default() }
}

/// A formula or a symbol, with what follows an underscore set low: `U_b`.
pub fn formula(formula: &str) -> String {
    let mut html = Html::default();
    let mut rest = formula;
    while let Some((before, after)) = rest.split_once('_') {
        let end = after.find(|c: char| !c.is_ascii_alphanumeric()).unwrap_or(after.len());
        html.text(before);
        html.leaf("sub", "", &after[..end]);
        rest = &after[end..];
    }
    html.text(rest);
    html.done()
}

fn readings(report: &Report) -> String {
    let mut html = Html::default();
    for answer in report.answers.iter().filter(|answer| answer.output.reading) {
        if let Value::State(state) = &answer.value {
            html.open_with("p", "class=\"stamp\"", "data-state", state.class());
            value(&mut html, answer, state.words());
        } else {
            html.open("p", "class=\"reading\"");
            html.leaf("span", "class=\"reading-name\"", answer.output.label);
            html.text(" ");
            spoken(&mut html, answer);
        }
        html.close("p");
    }
    html.done()
}

/// The value with unit and `±`; one text for a screen reader, spaced parts for the eye.
fn spoken(html: &mut Html, answer: &Answer) {
    html.open("span", "class=\"reading-value\"");
    match (&answer.value, answer.shown()) {
        (_, Some(shown)) => {
            value(html, answer, &shown.number);
            if let Some(part) = shown.plus_minus {
                html.leaf("span", "class=\"reading-plus-minus\"", &[" ± ", &part].concat());
            }
            if !shown.unit.is_empty() {
                html.leaf("span", "class=\"reading-unit\"", &[" ", shown.unit].concat());
            }
        }
        (Value::Text(words), None) => value(html, answer, words),
        (Value::State(state), None) => value(html, answer, state.words()),
        (Value::Number(..), None) => {}
    }
    html.close("span");
}

fn value(html: &mut Html, answer: &Answer, words: &str) {
    html.open_with("span", "", "data-output", answer.output.name);
    html.text(words);
    html.close("span");
}

fn findings(report: &Report) -> String {
    let mut html = Html::default();
    let mut rows = report.answers.iter().filter(|answer| !answer.output.reading).peekable();
    if rows.peek().is_some() {
        html.open("table", "class=\"answers\"");
        html.open("tbody", "");
        for answer in rows {
            html.open("tr", "");
            html.leaf("th", "scope=\"row\"", answer.output.label);
            match &answer.value {
                Value::State(state) => html.open_with("td", "", "data-state", state.class()),
                _ => html.open("td", ""),
            }
            spoken(&mut html, answer);
            html.close("td");
            html.close("tr");
        }
        html.close("tbody");
        html.close("table");
    }
    if !report.sense.is_empty() {
        html.open("p", "class=\"sense\"");
        html.leaf("b", "", "Does this make sense?");
        html.text(" ");
        html.text(&report.sense);
        html.close("p");
    }
    if !report.findings.is_empty() {
        html.open("ul", "class=\"remarks\"");
        for finding in &report.findings {
            html.open_with("li", "", "data-level", finding.level.word());
            html.text(&finding.text);
            html.close("li");
        }
        html.close("ul");
    }
    for chart in &report.charts {
        html.html(&chart.figure());
    }
    html.done()
}

fn steps(report: &Report) -> String {
    let mut html = Html::default();
    html.open("ol", "class=\"steps-list\"");
    for step in &report.steps {
        html.open("li", "");
        html.leaf("p", "class=\"step-title\"", &step.title);
        // The result is told in words and a unit; only what leads to it is a formula.
        for (class, line) in [
            ("class=\"step-formula\"", formula::typeset(&step.formula)),
            ("class=\"step-numbers\"", formula::typeset(&step.numbers)),
            ("class=\"step-result\"", formula(&step.result)),
        ] {
            if !line.is_empty() {
                html.open("p", class);
                html.html(&line);
                html.close("p");
            }
        }
        html.close("li");
    }
    html.close("ol");
    for table in &report.tables {
        html.open_with(
            "div",
            "class=\"table-scroll\" role=\"group\" tabindex=\"0\"",
            "aria-label",
            &table.title,
        );
        html.open("table", "class=\"working\"");
        html.leaf("caption", "", &table.title);
        html.open("thead", "");
        html.open("tr", "");
        for head in &table.heads {
            html.leaf("th", "scope=\"col\"", head);
        }
        html.close("tr");
        html.close("thead");
        html.open("tbody", "");
        for row in &table.rows {
            html.open("tr", "");
            for (index, cell) in row.iter().enumerate() {
                let is_number = cell.starts_with(|c: char| c.is_ascii_digit() || c == '−');
                let (tag, attributes) = match (index, is_number) {
                    (0, _) => ("th", "scope=\"row\""),
                    (_, true) => ("td", "class=\"n\""),
                    (_, false) => ("td", ""),
                };
                html.leaf(tag, attributes, cell);
            }
            html.close("tr");
        }
        html.close("tbody");
        html.close("table");
        html.close("div");
    }
    html.done()
}

fn sources(report: &Report) -> String {
    let mut html = Html::default();
    html.open("ul", "class=\"sources-list\"");
    for source in &report.sources {
        html.open("li", "");
        html.text(source.fact);
        html.text(": ");
        html.leaf("span", "class=\"source-from\"", source.from);
        html.close("li");
    }
    html.close("ul");
    html.done()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_follows_an_underscore_is_set_low() {
        assert_eq!(formula("U₀ − U_b"), "U₀ − U<sub>b</sub>");
        assert_eq!(formula("I_sheet, steady"), "I<sub>sheet</sub>, steady");
        assert_eq!(formula("<x>"), "&lt;x&gt;");
    }
}
