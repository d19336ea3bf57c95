//! How a report reads: elements that the generator writes as HTML and the page builds as nodes, from the same code.

use crate::calculator::OutputKind;
use crate::refusal::Refusal;
use crate::report::{Answer, Report, Value};

/// A piece of a page.
#[derive(Debug, Clone, PartialEq)]
pub enum Node {
    /// An element with its attributes and children.
    Element {
        /// `p`, `span`, `table`, …
        tag: &'static str,
        /// Attributes in the order written.
        attributes: Vec<(&'static str, String)>,
        /// What stands inside.
        children: Vec<Node>,
    },
    /// Text.
    Text(String),
}

/// The parts of a result, each replaced on its own while a reader types.
pub struct Parts {
    /// The readings, shown large, with the stamp of the whole.
    pub readings: Vec<Node>,
    /// The other outputs and the remarks.
    pub findings: Vec<Node>,
    /// The working.
    pub steps: Vec<Node>,
    /// Where the facts come from.
    pub sources: Vec<Node>,
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
pub fn refused(refusal: &Refusal) -> Vec<Node> {
    let items = refusal.problems.iter().map(|problem| element("li", "", vec![text(problem.to_string())]));
    vec![
        element("p", "refused", vec![text("No result yet:")]),
        element("ul", "refused-list", items.collect()),
    ]
}

/// Nodes as HTML.
pub fn html(nodes: &[Node]) -> String {
    let mut out = String::new();
    for node in nodes {
        write_node(&mut out, node);
    }
    out
}

/// An element with a class (or none) and children.
pub fn element(tag: &'static str, class: &'static str, children: Vec<Node>) -> Node {
    let attributes = if class.is_empty() { Vec::new() } else { vec![("class", class.to_owned())] };
    Node::Element { tag, attributes, children }
}

/// Text.
pub fn text(text: impl Into<String>) -> Node {
    Node::Text(text.into())
}

/// A formula or a symbol, with what follows an underscore set low: `U_b`.
pub fn formula(formula: &str) -> Vec<Node> {
    let mut nodes = Vec::new();
    let mut rest = formula;
    while let Some((before, after)) = rest.split_once('_') {
        let end = after.find(|c: char| !c.is_ascii_alphanumeric()).unwrap_or(after.len());
        nodes.push(text(before));
        nodes.push(element("sub", "", vec![text(&after[..end])]));
        rest = &after[end..];
    }
    nodes.push(text(rest));
    nodes
}

fn with(node: Node, name: &'static str, value: &str) -> Node {
    match node {
        Node::Element { tag, mut attributes, children } => {
            attributes.push((name, value.to_owned()));
            Node::Element { tag, attributes, children }
        }
        text => text,
    }
}

fn readings(report: &Report) -> Vec<Node> {
    let mut nodes = Vec::new();
    for answer in report.answers.iter().filter(|answer| answer.output.reading) {
        nodes.push(match &answer.value {
            Value::State(state) => with(
                element("p", "stamp", vec![value_node(answer, text(state.words()))]),
                "data-state",
                state.class(),
            ),
            _ => element(
                "p",
                "reading",
                vec![
                    element("span", "reading-name", vec![text(answer.output.label)]),
                    text(" "),
                    spoken(answer),
                ],
            ),
        });
    }
    nodes
}

/// The value with unit and `±`; one text for a screen reader, spaced parts for the eye.
fn spoken(answer: &Answer) -> Node {
    let mut children = Vec::new();
    match (&answer.value, answer.shown()) {
        (_, Some(shown)) => {
            children.push(value_node(answer, text(shown.number)));
            if let Some(part) = shown.plus_minus {
                children.push(element("span", "reading-plus-minus", vec![text(format!(" ± {part}"))]));
            }
            if !shown.unit.is_empty() {
                children.push(element("span", "reading-unit", vec![text(format!(" {}", shown.unit))]));
            }
        }
        (Value::Text(words), None) => children.push(value_node(answer, text(words.as_str()))),
        (Value::State(state), None) => children.push(value_node(answer, text(state.words()))),
        (Value::Number(..), None) => {}
    }
    element("span", "reading-value", children)
}

fn value_node(answer: &Answer, child: Node) -> Node {
    with(element("span", "", vec![child]), "data-output", answer.output.name)
}

fn findings(report: &Report) -> Vec<Node> {
    let mut nodes = Vec::new();
    let rows: Vec<Node> = report
        .answers
        .iter()
        .filter(|answer| !answer.output.reading)
        .map(|answer| {
            let heading = with(element("th", "", vec![text(answer.output.label)]), "scope", "row");
            let cell = element("td", "", vec![spoken(answer)]);
            match (&answer.value, &answer.output.kind) {
                (Value::State(state), _) => {
                    element("tr", "", vec![heading, with(cell, "data-state", state.class())])
                }
                (_, OutputKind::Number(..) | OutputKind::Text | OutputKind::State) => {
                    element("tr", "", vec![heading, cell])
                }
            }
        })
        .collect();
    if !rows.is_empty() {
        nodes.push(element("table", "answers", vec![element("tbody", "", rows)]));
    }
    if !report.findings.is_empty() {
        let items = report.findings.iter().map(|finding| {
            with(element("li", "", vec![text(finding.text.as_str())]), "data-level", finding.level.word())
        });
        nodes.push(element("ul", "remarks", items.collect()));
    }
    nodes
}

fn steps(report: &Report) -> Vec<Node> {
    let items = report.steps.iter().map(|step| {
        let mut children = vec![element("p", "step-title", vec![text(step.title.as_str())])];
        let lines =
            [("step-formula", &step.formula), ("step-numbers", &step.numbers), ("step-result", &step.result)];
        for (class, line) in lines {
            if !line.is_empty() {
                children.push(element("p", class, formula(line)));
            }
        }
        element("li", "", children)
    });
    let mut nodes = vec![element("ol", "steps-list", items.collect())];
    for table in &report.tables {
        let head_cells = table
            .heads
            .iter()
            .map(|head| with(element("th", "", vec![text(*head)]), "scope", "col"))
            .collect();
        let rows = table.rows.iter().map(|row| {
            let cells = row.iter().enumerate().map(|(index, cell)| match index {
                0 => with(element("th", "", vec![text(cell.as_str())]), "scope", "row"),
                _ => element("td", "", vec![text(cell.as_str())]),
            });
            element("tr", "", cells.collect())
        });
        nodes.push(element(
            "table",
            "working",
            vec![
                element("caption", "", vec![text(table.title)]),
                element("thead", "", vec![element("tr", "", head_cells)]),
                element("tbody", "", rows.collect()),
            ],
        ));
    }
    nodes
}

fn sources(report: &Report) -> Vec<Node> {
    let items = report.sources.iter().map(|source| {
        element(
            "li",
            "",
            vec![text(source.fact), text(": "), element("span", "source-from", vec![text(source.from)])],
        )
    });
    vec![element("ul", "sources-list", items.collect())]
}

fn write_node(out: &mut String, node: &Node) {
    match node {
        Node::Text(text) => escape(out, text),
        Node::Element { tag, attributes, children } => {
            out.push('<');
            out.push_str(tag);
            for (name, value) in attributes {
                out.push(' ');
                out.push_str(name);
                out.push_str("=\"");
                escape(out, value);
                out.push('"');
            }
            out.push('>');
            for child in children {
                write_node(out, child);
            }
            out.push_str("</");
            out.push_str(tag);
            out.push('>');
        }
    }
}

/// Adds `text` with the four characters replaced that HTML gives a meaning, in content and in attributes alike.
pub fn escape(out: &mut String, text: &str) {
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_follows_an_underscore_is_set_low() {
        assert_eq!(html(&formula("U₀ − U_b")), "U₀ − U<sub>b</sub>");
        assert_eq!(html(&formula("I_sheet, steady")), "I<sub>sheet</sub>, steady");
        assert_eq!(html(&formula("<x>")), "&lt;x&gt;");
    }

    #[test]
    fn text_and_attributes_are_escaped() {
        let node = with(element("p", "", vec![text("a < b & \"c\"")]), "data-x", "\"><script>");
        assert_eq!(html(&[node]), "<p data-x=\"&quot;&gt;&lt;script&gt;\">a &lt; b &amp; &quot;c&quot;</p>");
    }
}
