//! The program alone in an empty folder: what it drafts passes, and becomes a site without any file beside it.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::process::Command;

use tempfile::TempDir;

/// A folder with nothing in it, and a copy of the program in another, away from the repository.
fn alone() -> (TempDir, TempDir, PathBuf) {
    let (home, folder) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a folder"));
    let program = home.path().join("fieldcoil");
    fs::copy(env!("CARGO_BIN_EXE_fieldcoil"), &program).expect("copied");
    (home, folder, program)
}

fn run(program: &Path, folder: &Path, args: &[&str]) -> (i32, String, String) {
    // A test beside this one that starts a program holds the copy open for writing for a moment.
    let output = loop {
        match Command::new(program).args(args).current_dir(folder).env_clear().output() {
            Err(error) if error.kind() == ErrorKind::ExecutableFileBusy => std::thread::yield_now(),
            output => break output.expect("the program starts"),
        }
    };
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("text");
    (output.status.code().expect("it ends by itself"), text(output.stdout), text(output.stderr))
}

#[test]
fn a_course_is_drafted_proofed_and_published_in_an_empty_folder() {
    let (_home, folder, program) = alone();
    let run = |args: &[&str]| run(&program, folder.path(), args);
    let (status, out, errors) = run(&["draft", "course", "mine", "--title", "My course"]);
    assert_eq!(status, 0, "{out}{errors}");
    let (status, out, errors) = run(&["proof", "mine", "--strict"]);
    assert_eq!((status, out.as_str()), (0, "1 lesson, nothing found.\n"), "{errors}");
    let (status, out, errors) =
        run(&["draft", "lesson", "mine/20-ground-side.md", "--title", "The ground side"]);
    assert_eq!((status, errors.as_str()), (0, ""), "{out}");
    let (status, out, _) = run(&["proof", "mine", "--strict"]);
    assert_eq!((status, out.as_str()), (0, "2 lessons, nothing found.\n"));
    let (status, out, errors) = run(&["site", "mine", "--zip", "mine.zip"]);
    assert_eq!(status, 0, "{out}{errors}");
    let lesson = fs::read_to_string(folder.path().join("site/ground-side.html")).expect("there");
    assert!(lesson.contains("<h1>The ground side</h1>") && lesson.contains("assets/calculators-"));
    assert!(folder.path().join("mine.zip").is_file());
}

#[test]
fn a_draft_writes_over_nothing() {
    let (_home, folder, program) = alone();
    let run = |args: &[&str]| run(&program, folder.path(), args);
    fs::create_dir(folder.path().join("mine")).expect("made");
    fs::write(folder.path().join("mine/notes.txt"), "mine").expect("written");
    fs::write(folder.path().join("10-a.md"), "mine").expect("written");
    for args in [&["draft", "course", "mine"][..], &["draft", "lesson", "10-a.md", "--title", "A"]] {
        let (status, out, errors) = run(args);
        assert_eq!((status, out.as_str()), (2, ""), "{args:?}");
        assert!(errors.contains("is not empty") || errors.contains("writes over nothing"), "{errors}");
    }
    assert_eq!(fs::read_dir(folder.path().join("mine")).expect("there").count(), 1);
    assert_eq!(fs::read(folder.path().join("10-a.md")).expect("there"), b"mine");

    let (status, out, _) = run(&["draft", "schemas", "schemas"]);
    assert_eq!((status, out.as_str()), (0, "schemas: 16 schemas.\n"));
    assert_eq!(run(&["draft", "schemas", "schemas"]).0, 2);
    assert_eq!(run(&["draft", "lesson", "notes.txt", "--title", "A"]).0, 2);
}

#[test]
fn a_lesson_follows_the_course_it_is_drafted_into() {
    let (_home, folder, program) = alone();
    let run = |args: &[&str]| run(&program, folder.path(), args);
    run(&["draft", "course", "mine"]);
    let outcomes = "[[outcome]]\nname = \"SS-1\"\ntext = \"Run a motor.\"\npriority = 1\n";
    fs::write(folder.path().join("mine/outcomes.toml"), outcomes).expect("written");
    let about = folder.path().join("mine/course.toml");
    let module = "\n[[module]]\ntitle = \"One\"\nsummary = \"One.\"\nlessons = [\"first-lesson\"]\n";
    fs::write(&about, fs::read_to_string(&about).expect("there") + module).expect("written");
    let (status, _, errors) = run(&["draft", "lesson", "mine/20-b.md", "--title", "B"]);
    assert_eq!(status, 0);
    // A list that somebody wrote is not changed; what it wants is said.
    assert!(
        errors.contains("module") && errors.contains("The course wants this of its new lesson."),
        "{errors}"
    );
    let lesson = fs::read_to_string(folder.path().join("mine/20-b.md")).expect("there");
    assert!(lesson.contains("teaches = [\"SS-1\"]") && lesson.contains("assesses = [\"SS-1\"]"));
}
