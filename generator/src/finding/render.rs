//! Findings for people (with the text underlined), in one line each, and as JSON for editors.

use annotate_snippets::{AnnotationKind, Element, Group, Level, Origin, Renderer, Snippet};
use serde_json::{Value, json};

use super::{Finding, Label, Severity};
use crate::source::{SourceSet, SourceText, Span};

/// How wide a line of source may be before it is cut around the place.
const WIDTH: usize = 120;

/// How many bytes around a place are shown of a line that is longer still.
const LONG_LINE: usize = 400;

/// A finding with its place in the text, other places and what to do.
///
/// `folder` is put before paths, so that a terminal can open them. `styled` adds colours.
pub fn for_people(finding: &Finding, sources: &SourceSet, folder: &str, styled: bool) -> String {
    let renderer = if styled { Renderer::styled() } else { Renderer::plain() }.term_width(WIDTH);
    let level = match finding.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Hint => Level::NOTE.with_name(Some("hint")),
    };
    let title = level.primary_title(finding.message.as_str()).id(finding.code);
    let mut group = Group::with_title(title);
    group = group.elements(snippets(finding, sources, folder));
    for sentence in &finding.help {
        group = group.element(Level::HELP.message(sentence.as_str()));
    }
    renderer.render(&[group])
}

/// A finding in one line: `content/a.md:6:8: error[unknown-key]: unknown key `titel``.
pub fn in_one_line(finding: &Finding, sources: &SourceSet, folder: &str) -> String {
    let place = match place_words(finding, sources, folder) {
        place if place.is_empty() => place,
        place => format!("{place}: "),
    };
    format!("{place}{}[{}]: {}", finding.severity.word(), finding.code, finding.message)
}

/// Where a finding is: `content/a.md:6:8`, or the folder when it is about the course as a whole.
pub fn place_words(finding: &Finding, sources: &SourceSet, folder: &str) -> String {
    match finding.place.as_ref().and_then(|label| position(sources, label.span)) {
        Some(position) => format!("{}:{}:{}", path(folder, position.path), position.line, position.column),
        None => folder.to_owned(),
    }
}

/// All findings as a JSON array; lines and columns count from 1, columns in characters, ends stand after the last.
pub fn as_json(findings: &[Finding], sources: &SourceSet, folder: &str) -> String {
    let rows: Vec<Value> = findings
        .iter()
        .map(|finding| {
            let place = finding.place.as_ref().and_then(|label| position(sources, label.span));
            let others: Vec<Value> = finding
                .others
                .iter()
                .filter_map(|label| position(sources, label.span).map(|at| (label, at)))
                .map(|(label, at)| {
                    json!({ "message": label.text, "file": path(folder, at.path), "line": at.line,
                        "column": at.column, "end_line": at.end_line, "end_column": at.end_column })
                })
                .collect();
            json!({
                "code": finding.code,
                "severity": finding.severity.word(),
                "message": finding.message,
                "file": place.as_ref().map(|at| path(folder, at.path)),
                "line": place.as_ref().map(|at| at.line),
                "column": place.as_ref().map(|at| at.column),
                "end_line": place.as_ref().map(|at| at.end_line),
                "end_column": place.as_ref().map(|at| at.end_column),
                "label": finding.place.as_ref().map(|label| label.text.as_str()),
                "others": others,
                "help": finding.help,
            })
        })
        .collect();
    let mut text = serde_json::to_string_pretty(&rows).unwrap_or_else(|_| "[]".to_owned());
    text.push('\n');
    text
}

/// `4 errors and 1 warning`, or nothing when there is neither.
pub fn count_words(findings: &[Finding]) -> String {
    let count = |severity| findings.iter().filter(|finding| finding.severity == severity).count();
    let words: Vec<String> =
        [(Severity::Error, "error"), (Severity::Warning, "warning"), (Severity::Hint, "hint")]
            .into_iter()
            .map(|(severity, word)| (count(severity), word))
            .filter(|(count, _)| *count > 0)
            .map(|(count, word)| format!("{count} {word}{}", if count == 1 { "" } else { "s" }))
            .collect();
    words.join(" and ")
}

/// Where a span is, for people.
struct Position<'t> {
    path: &'t str,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

fn position(sources: &SourceSet, span: Span) -> Option<Position<'_>> {
    let source = sources.text(span.file)?;
    let (start, end) = inside(source, span);
    let (line, column) = line_and_column(&source.text, start);
    let (end_line, end_column) = line_and_column(&source.text, end);
    Some(Position { path: &source.path, line, column, end_line, end_column })
}

fn line_and_column(text: &str, offset: usize) -> (usize, usize) {
    let before = &text[..offset];
    let line_start = before.rfind('\n').map_or(0, |at| at + 1);
    (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
}

/// One snippet for each file that the finding speaks of, its own first.
fn snippets<'f>(finding: &'f Finding, sources: &'f SourceSet, folder: &str) -> Vec<Element<'f>> {
    let Some(place) = &finding.place else { return Vec::new() };
    let mut files = vec![place.span.file];
    for label in &finding.others {
        if !files.contains(&label.span.file) {
            files.push(label.span.file);
        }
    }
    let labels_in = |file| {
        let own = (place.span.file == file).then_some((AnnotationKind::Primary, place));
        let others = finding.others.iter().filter(move |label| label.span.file == file);
        own.into_iter().chain(others.map(|label| (AnnotationKind::Context, label))).collect::<Vec<_>>()
    };
    let texts = files.into_iter().filter_map(|file| Some((file, sources.text(file)?)));
    texts.flat_map(|(file, source)| snippet(source, folder, &labels_in(file))).collect()
}

/// The lines from the first place to the last, with the places underlined.
fn snippet<'f>(
    source: &'f SourceText,
    folder: &str,
    labels: &[(AnnotationKind, &'f Label)],
) -> Vec<Element<'f>> {
    let text = source.text.as_str();
    let ranges: Vec<(usize, usize)> = labels.iter().map(|(_, label)| inside(source, label.span)).collect();
    let first = ranges.iter().map(|range| range.0).min().unwrap_or(0);
    let last = ranges.iter().map(|range| range.1).max().unwrap_or(0);
    // Only these lines go to the renderer, which reads all it is given; of a very long line only what is near.
    let from = text[..first].rfind('\n').map_or(0, |at| at + 1);
    let to = text[last..].find('\n').map_or(text.len(), |at| last + at);
    let near =
        text.floor_char_boundary(first.saturating_sub(LONG_LINE))..text.ceil_char_boundary(last + LONG_LINE);
    let window = from.max(near.start)..to.min(near.end);
    let path = path(folder, &source.path);
    let mut snippet =
        Snippet::source(&text[window.clone()]).line_start(text[..from].matches('\n').count() + 1);
    let mut elements = Vec::new();
    if window.start == from {
        snippet = snippet.path(path);
    } else {
        // The renderer would count columns from the start of what it is given.
        let (line, column) = line_and_column(text, ranges[0].0);
        elements.push(Element::from(Origin::path(path).line(line).char_column(column)));
    }
    for ((kind, label), (start, end)) in labels.iter().zip(&ranges) {
        let annotation = kind.span(start - window.start..end - window.start);
        snippet = snippet.annotation(match label.text.as_str() {
            "" => annotation,
            text => annotation.label(text),
        });
    }
    elements.push(Element::from(snippet));
    elements
}

/// The span as offsets that lie in the text and between its characters; a block is shown by its first line, or
/// the sum of many findings would print the lesson many times.
fn inside(source: &SourceText, span: Span) -> (usize, usize) {
    let text = &source.text;
    let start = text.floor_char_boundary(span.start.min(text.len()));
    let end = text.ceil_char_boundary(span.end.clamp(start, text.len()));
    let end = text[start..end].trim_end().len() + start;
    match text[start..end].find('\n') {
        Some(line) => (start, start + line),
        None => (start, end),
    }
}

fn path(folder: &str, path: &str) -> String {
    match folder {
        "" => path.to_owned(),
        _ => format!("{}/{path}", folder.trim_end_matches('/')),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::FileId;

    fn sources(texts: &[(&str, &str)]) -> SourceSet {
        let text =
            |(path, text): &(&str, &str)| SourceText { path: (*path).to_owned(), text: (*text).to_owned() };
        SourceSet { texts: texts.iter().map(text).collect(), assets: Vec::new() }
    }

    fn span(file: u32, range: std::ops::Range<usize>) -> Span {
        Span::new(FileId(file), range)
    }

    #[test]
    fn places_in_two_files_are_both_shown() {
        let sources = sources(&[("a.md", "one\ntwo ü three\n"), ("b.md", "x\n")]);
        let finding = Finding::error("dead-link", "there is no `x`", span(0, 8..10), "here")
            .also(span(1, 0..1), "there")
            .help("do this");
        let wanted = "\
error[dead-link]: there is no `x`
 --> content/a.md:2:5
  |
2 | two ü three
  |     ^ here
  |
 ::: content/b.md:1:1
  |
1 | x
  | - there
  |
  = help: do this";
        assert_eq!(for_people(&finding, &sources, "content", false), wanted);
        assert_eq!(
            in_one_line(&finding, &sources, "content"),
            "content/a.md:2:5: error[dead-link]: there is no `x`"
        );
    }

    #[test]
    fn a_long_line_is_shown_near_its_place_with_the_right_column() {
        let text = format!("{}HERE{}\n", "ü".repeat(5000), "y".repeat(5000));
        let at = text.find("HERE").expect("it is there");
        let sources = sources(&[("a.md", &text)]);
        let finding = Finding::warning("toml", "x", span(0, at..at + 4), "here");
        let shown = for_people(&finding, &sources, "", false);
        assert!(shown.contains("--> a.md:1:5001"), "{shown}");
        assert!(shown.contains("HERE") && shown.contains("^^^^ here"), "{shown}");
        assert!(shown.len() < 1500, "{shown}");
    }

    #[test]
    fn spans_that_fit_badly_are_shown_all_the_same() {
        let sources = sources(&[("a.md", "ü\n\nx")]);
        for (start, end) in [(0, 1), (1, 2), (0, 99), (99, 99), (2, 4), (5, 5), (4, 3)] {
            let finding = Finding::error("toml", "x", Span { file: FileId(0), start, end }, "");
            assert!(for_people(&finding, &sources, "", false).contains("a.md"));
        }
        let lost = Finding::error("toml", "x", span(7, 0..1), "");
        assert_eq!(for_people(&lost, &sources, "", false), "error[toml]: x");
    }

    #[test]
    fn counts_are_words() {
        let finding = Finding::of_course("toml", "x");
        let warning = Finding::warning_of_course("toml", "x");
        assert_eq!(count_words(&[]), "");
        assert_eq!(count_words(&[finding.clone(), finding.clone(), warning]), "2 errors and 1 warning");
        assert_eq!(count_words(&[finding]), "1 error");
    }
}
