//! The self-check that the README shows has no findings, and every build gives the same page of it.

use std::path::Path;

use fieldcoil::pipeline;
use fieldcoil::source::{SourceSet, SourceText};

const COURSE: &str =
    "title = \"T\"\nsummary = \"S.\"\nschool = \"A school (invented)\"\nauthor = \"A\"\nedition = \"1\"\n";
const HEAD: &str = "```lesson\ntitle = \"A\"\nsummary = \"A.\"\nminutes = 5\noutcomes = [\"x\"]\n```\n\n";

/// The first block of this kind in a Markdown text, with its fences.
fn block(text: &str, word: &str) -> String {
    let from = text.find(&format!("```{word}\n")).expect("a block");
    let to = text[from + 3..].find("\n```").expect("its end");
    text[from..from + 3 + to + 5].to_owned()
}

fn course(lesson: &str) -> SourceSet {
    let text = |path: &str, text: &str| SourceText { path: path.to_owned(), text: text.to_owned() };
    SourceSet { texts: vec![text("10-a.md", lesson), text("course.toml", COURSE)], ..SourceSet::default() }
}

fn readme() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../README.md");
    let readme = std::fs::read_to_string(path).expect("readable");
    format!("{HEAD}{}\n{}", block(&readme, "circuit"), block(&readme, "selfcheck"))
}

#[test]
fn the_self_check_of_the_readme_has_no_findings() {
    let lesson = readme();
    for kind in ["one", "several", "number", "order", "label"] {
        assert!(lesson.contains(&format!("kind = \"{kind}\"")), "the README shows no `{kind}`");
    }
    let sources = course(&lesson);
    let (_, found) = pipeline::check(&sources, Vec::new());
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn every_build_gives_the_same_bytes() {
    let sources = course(&readme());
    let build = || {
        let (checked, _) = pipeline::check(&sources, Vec::new());
        pipeline::site(&checked).expect("it builds").files
    };
    let (first, second) = (build(), build());
    assert!(first.keys().any(|path| path.ends_with(".js")), "a page with a self-check has the script");
    assert_eq!(first, second);
}
