//! What the README shows to copy is in order.

use std::path::Path;

use fieldcoil::pipeline;
use fieldcoil::source::load;

/// Text and calculator that the README shows in four marks.
#[test]
fn the_worked_numbers_of_the_readme_are_in_order() {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("../README.md");
    let readme = std::fs::read_to_string(readme).expect("text");
    let part = readme.split("## Numbers that are worked").nth(1).expect("the chapter");
    let lesson =
        part.split("````markdown\n").nth(1).and_then(|rest| rest.split("````").next()).expect("an example");
    assert!(lesson.contains("`value run.drop_v`") && lesson.contains("\\value{run.drop_v}"));
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).expect("written");
    let about =
        "title = \"T\"\nsummary = \"S.\"\nschool = \"A (invented)\"\nauthor = \"A\"\nedition = \"1\"\n";
    write("course.toml", about);
    let head = "```lesson\ntitle = \"A\"\nsummary = \"A.\"\nminutes = 5\noutcomes = [\"x\"]\n```\n\n";
    write("10-a.md", &format!("{head}{lesson}"));
    let (sources, found) = load::course(folder.path()).expect("read");
    let (_, found) = pipeline::check(&sources, found);
    assert_eq!(found, []);
}

#[test]
fn the_homework_of_the_readme_is_in_order() {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("../README.md");
    let readme = std::fs::read_to_string(readme).expect("text");
    let from = readme.find("```homework\n").expect("a block");
    let to = readme[from..].find("\n```\n").expect("its end") + from + 5;
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).expect("written");
    write(
        "course.toml",
        "title = \"T\"\nsummary = \"S.\"\nschool = \"A (invented)\"\nauthor = \"A\"\nedition = \"1\"\n",
    );
    write("outcomes.toml", "[[outcome]]\nname = \"QV-06\"\ntext = \"Work out a drop.\"\npriority = 1\n");
    let head = "```lesson\ntitle = \"A\"\nsummary = \"A.\"\nminutes = 5\noutcomes = [\"x\"]\nteaches = \"QV-06\"\n```\n\n";
    write("10-a.md", &format!("{head}{}", &readme[from..to]));
    let (sources, found) = load::course(folder.path()).expect("read");
    let (_, found) = pipeline::check(&sources, found);
    assert_eq!(found, []);
}
