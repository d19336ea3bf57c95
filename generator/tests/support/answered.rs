//! What holds of every course, however it was made up. Shared with `tests/fuzz`.

use fieldcoil::finding::render;
use fieldcoil::pipeline;
use fieldcoil::source::{SourceSet, SourceText};

/// A course of these files, without any others.
pub fn course_of(files: &[(&str, &str)]) -> SourceSet {
    let text =
        |(path, text): &(&str, &str)| SourceText { path: (*path).to_owned(), text: (*text).to_owned() };
    let mut texts: Vec<_> = files.iter().map(text).collect();
    texts.sort_by(|a, b| a.path.cmp(&b.path));
    SourceSet { texts, assets: Vec::new() }
}

/// Checks a course, prints what is found in every form, and makes its site when nothing keeps it from being published.
/// Was there a site?
pub fn check(sources: &SourceSet) -> bool {
    let (checked, found) = pipeline::check(sources, Vec::new());
    for finding in &found {
        for label in finding.place.iter().chain(&finding.others) {
            let text = &sources.text(label.span.file).expect("a text of the course").text;
            assert!(
                text.get(label.span.start..label.span.end).is_some(),
                "{finding:?} stands outside of {text:?}"
            );
        }
        assert!(!finding.message.is_empty() && !finding.message.contains('\n'), "{finding:?}");
        render::for_people(finding, sources, "content", false);
        render::in_one_line(finding, sources, "content");
    }
    serde_json::from_str::<serde_json::Value>(&render::as_json(&found, sources, "content")).expect("JSON");
    let stopped = pipeline::is_stopped(&found, false);
    if !stopped {
        pipeline::site(&checked).expect("what has no errors can be shown");
    }
    !stopped
}
