//! A course with more lessons than are held whole: those that are read again when they are wanted are the same as others.

use fieldcoil::pipeline;
use fieldcoil::source::{SourceSet, SourceText};

/// More than are held.
const LESSONS: usize = 230;
const ABOUT: &str =
    "title = \"T\"\nsummary = \"S.\"\nschool = \"A school (invented)\"\nauthor = \"A\"\nedition = \"1\"\n";

fn lesson(title: &str, body: &str) -> String {
    format!(
        "```lesson\ntitle = \"{title}\"\nsummary = \"How it is done.\"\nminutes = 10\noutcomes = [\"Do it.\"]\n```\n\n{body}\n"
    )
}

/// A course of so many lessons between one that takes a number and one that gives it, first and last of them.
fn course(between: usize, last: &str) -> SourceSet {
    let text = |path: String, text: String| SourceText { path, text };
    let taker = "It drops `value giver/run.drop_v`. See [there](999-giver.md#loss).";
    let mut texts = vec![text("001-taker.md".to_owned(), lesson("Taker", taker))];
    for number in 0..between {
        texts.push(text(format!("{:03}-between-{number}.md", number + 2), lesson("Between", "Text.")));
    }
    texts.push(text("999-giver.md".to_owned(), lesson("Giver", last)));
    texts.push(text("course.toml".to_owned(), ABOUT.to_owned()));
    SourceSet { texts, ..SourceSet::default() }
}

const GIVER: &str = "## Loss\n\nIt drops `value run.drop_v`.\n\n```calculator\nuse = \"voltage-drop\"\nname = \"run\"\n[start]\n\
    current_a = 150\nconductor_size = \"35 mm2\"\nrun_out_m = 1.4\nrun_return_m = 1.0\n```\n";

/// The main part of a page, in which the course around it is not to be seen.
fn main_part(sources: &SourceSet, page: &str) -> String {
    let (checked, found) = pipeline::check(sources, Vec::new());
    assert_eq!(found, []);
    let site = pipeline::site(&checked).expect("it builds");
    let html = String::from_utf8(site.files[page].clone()).expect("text");
    let from = html.find("It drops").expect("the sentence");
    let to = html[from..].find("</main>").expect("its end");
    html[from..from + to].split("class=\"neighbours\"").next().unwrap_or_default().to_owned()
}

#[test]
fn a_lesson_that_is_read_again_is_the_same() {
    let (small, large) = (course(1, GIVER), course(LESSONS, GIVER));
    for page in ["taker.html", "giver.html"] {
        let part = main_part(&small, page);
        assert!(part.contains("value=\"0.25944\""), "{part}");
        assert_eq!(part, main_part(&large, page), "{page}");
    }
}

#[test]
fn what_is_wrong_in_one_is_told_once() {
    let broken = format!("{GIVER}\n[Lost](nowhere.md), and `value run.nothing`.\n");
    let (_, found) = pipeline::check(&course(LESSONS, &broken), Vec::new());
    let codes: Vec<&str> = found.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["dead-link", "unknown-output"]);
}
