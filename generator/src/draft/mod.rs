//! A new course and a new lesson to begin from: each common block once, in an order that `proof` has nothing against.
//!
//! Texts alone; `command/draft.rs` puts them on the disk.

use std::collections::BTreeMap;

/// The first lesson of a new course.
const FIRST: &str = "10-first-lesson.md";

/// The files of a new course by their paths.
pub fn course(title: &str) -> BTreeMap<&'static str, String> {
    let about = include_str!("course.toml").replace("{{title}}", &quoted(title));
    [
        ("course.toml", about),
        ("glossary.toml", include_str!("glossary.toml").to_owned()),
        (FIRST, lesson("A first lesson", "first-lesson", None)),
        ("pages/glossary.md", include_str!("glossary.md").to_owned()),
    ]
    .into()
}

/// A lesson with this title; `name` tells its homework apart from that of others, `outcome` is one of the school's list
/// where there is one.
pub fn lesson(title: &str, name: &str, outcome: Option<&str>) -> String {
    let line = |key: &str| outcome.map_or_else(String::new, |name| format!("\n{key} = [{}]", quoted(name)));
    include_str!("lesson.md")
        .replace("{{teaches}}", &line("teaches"))
        .replace("{{practises}}", &line("practises"))
        .replace("{{assesses}}", &line("assesses"))
        .replace("{{name}}", name)
        .replace("{{title}}", &quoted(title))
}

/// The name of the homework in the file of a lesson: the file's name in small letters, figures and hyphens.
pub fn name_of(file: &str) -> String {
    let stem = file.strip_suffix(".md").unwrap_or(file).trim_start_matches(|c: char| c.is_ascii_digit());
    let words = stem.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    let name = words.collect::<Vec<_>>().join("-").to_ascii_lowercase();
    if name.is_empty() { "drop-of-a-lead".to_owned() } else { name }
}

/// A JSON Schema for each block and each file, by their names.
pub static SCHEMAS: &[(&str, &str)] = &[
    ("calculator.json", include_str!("../../schemas/calculator.json")),
    ("caution.json", include_str!("../../schemas/caution.json")),
    ("circuit.json", include_str!("../../schemas/circuit.json")),
    ("course.json", include_str!("../../schemas/course.json")),
    ("glossary.json", include_str!("../../schemas/glossary.json")),
    ("homework.json", include_str!("../../schemas/homework.json")),
    ("hookup.json", include_str!("../../schemas/hookup.json")),
    ("lesson.json", include_str!("../../schemas/lesson.json")),
    ("library.json", include_str!("../../schemas/library.json")),
    ("limits.json", include_str!("../../schemas/limits.json")),
    ("outcomes.json", include_str!("../../schemas/outcomes.json")),
    ("page.json", include_str!("../../schemas/page.json")),
    ("references.json", include_str!("../../schemas/references.json")),
    ("selfcheck.json", include_str!("../../schemas/selfcheck.json")),
    ("trace.json", include_str!("../../schemas/trace.json")),
    ("worksheet.json", include_str!("../../schemas/worksheet.json")),
];

/// Text as TOML writes it in one line.
fn quoted(text: &str) -> String {
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let plain: String = words.chars().filter(|c| !c.is_control()).collect();
    format!("\"{}\"", plain.replace('\\', "\\\\").replace('"', "\\\""))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipeline;
    use crate::source::{SourceSet, SourceText};

    fn found(files: impl IntoIterator<Item = (String, String)>) -> Vec<String> {
        let texts = files.into_iter().map(|(path, text)| SourceText { path, text });
        let mut sources = SourceSet { texts: texts.collect(), assets: Vec::new() };
        sources.texts.sort_by(|one, other| one.path.cmp(&other.path));
        let (_, found) = pipeline::check(&sources, Vec::new());
        found.iter().map(|finding| format!("{}: {}", finding.code, finding.message)).collect()
    }

    fn files(title: &str) -> Vec<(String, String)> {
        course(title).into_iter().map(|(path, text)| (path.to_owned(), text)).collect()
    }

    #[test]
    fn a_new_course_has_nothing_to_mend() {
        for title in ["Starting systems", "\"Quoted\" \\ back\\slashed", "電 é\u{7}"] {
            assert_eq!(found(files(title)), [""; 0], "{title}");
        }
    }

    #[test]
    fn a_second_lesson_has_nothing_to_mend_either() {
        let mut all = files("Two lessons");
        all.push(("20-other.md".to_owned(), lesson("Other", &name_of("20-other.md"), None)));
        assert_eq!(found(all), [""; 0]);
    }

    #[test]
    fn in_a_course_with_outcomes_a_lesson_sees_to_one() {
        let mut all = files("Outcomes");
        all.retain(|(path, _)| path != FIRST);
        all.push(("20-other.md".to_owned(), lesson("Other", "other", Some("SS-1"))));
        let outcomes = "[[outcome]]\nname = \"SS-1\"\ntext = \"Run a motor on the bench.\"\npriority = 1\n";
        all.push(("outcomes.toml".to_owned(), outcomes.to_owned()));
        assert_eq!(found(all), [""; 0]);
    }

    #[test]
    fn every_block_that_needs_no_file_is_in_the_draft() {
        let text = lesson("A", "a", None);
        for word in
            ["lesson", "caution", "circuit", "calculator", "hookup", "worksheet", "selfcheck", "homework"]
        {
            assert!(text.contains(&format!("```{word}\n")), "{word}");
        }
        assert!(!text.contains("{{"));
    }

    #[test]
    fn homework_is_named_after_the_file() {
        for (file, name) in [
            ("20-The ground side.md", "the-ground-side"),
            ("30.md", "drop-of-a-lead"),
            ("電.md", "drop-of-a-lead"),
            ("my_lesson", "my-lesson"),
        ] {
            assert_eq!(name_of(file), name);
        }
    }
}
