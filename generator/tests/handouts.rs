//! `fieldcoil handouts` as it is called: what it leaves in its folder, what it never touches, and what it says to bad calls.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

use fieldcoil::roster;
use tempfile::TempDir;
use walkdir::WalkDir;

const CLASS: &str = include_str!("class_set/class.csv");

/// A folder with the course and the class of these tests.
fn workshop() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder for the test");
    let course = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/class_set/course");
    for (path, bytes) in files(&course) {
        let place = folder.path().join("content").join(path);
        fs::create_dir_all(place.parent().expect("a folder")).expect("made");
        fs::write(place, bytes).expect("written");
    }
    fs::write(folder.path().join("class.csv"), CLASS).expect("written");
    folder
}

fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = WalkDir::new(folder).into_iter().map(|entry| entry.expect("readable"));
    let files = entries.filter(|entry| entry.file_type().is_file());
    let path = |entry: &walkdir::DirEntry| {
        entry.path().strip_prefix(folder).expect("below").to_string_lossy().into_owned()
    };
    files.map(|entry| (path(&entry), fs::read(entry.path()).expect("readable"))).collect()
}

fn run(folder: &Path, args: &[&str]) -> (i32, String, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_fieldcoil"))
        .args(args)
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .output()
        .expect("the program starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("text");
    (output.status.code().expect("it ends by itself"), text(output.stdout), text(output.stderr))
}

/// The same call with a class that has its codes already.
fn with_codes(folder: &Path) {
    let (status, _, errors) =
        run(folder, &["handouts", "--roster", "class.csv", "--codes-only", "--out", "codes"]);
    assert_eq!(status, 0, "{errors}");
    fs::copy(folder.join("codes/instructor/roster.csv"), folder.join("full.csv")).expect("copied");
}

#[test]
fn codes_are_drawn_into_the_instructors_folder_and_the_given_file_stays() {
    let folder = workshop();
    let (status, out, errors) = run(folder.path(), &["handouts", "--roster", "class.csv"]);
    assert_eq!((status, errors.as_str()), (0, ""), "{out}");
    assert!(
        out.starts_with("Starting systems on paper: 30 students, 2 lessons.\n30 codes were drawn."),
        "{out}"
    );
    assert!(
        out.contains("`handouts/instructor/roster.csv`") && out.contains("`class.csv` was not changed"),
        "{out}"
    );
    assert_eq!(fs::read_to_string(folder.path().join("class.csv")).expect("there"), CLASS);
    let made = files(&folder.path().join("handouts"));
    let paths: Vec<&str> = made.keys().map(String::as_str).collect();
    let wanted = [
        ".fieldcoil-files",
        "index.html",
        "instructor/README.txt",
        "instructor/index.html",
        "instructor/roster.csv",
        "instructor/voltage-drop-key.html",
        "instructor/voltage-drop-steps.html",
        "students/cables/joints.html",
        "students/index.html",
        "students/voltage-drop.html",
    ];
    assert_eq!(paths, wanted);

    let completed = String::from_utf8(made["instructor/roster.csv"].clone()).expect("text");
    let (completed, complaints) = roster::read("roster.csv", &completed);
    let (given, _) = roster::read("class.csv", CLASS);
    assert_eq!(complaints, []);
    let about = |one: &roster::Student| (one.name.clone(), one.group.clone());
    assert!(completed.students.iter().map(about).eq(given.students.iter().map(about)));
    assert!(completed.students.iter().all(|student| student.code.is_some()));

    let warning = "Answer keys and names. Keep this folder off the site and off shared drives.";
    for (path, bytes) in made.iter().filter(|(path, _)| path.starts_with("instructor/")) {
        let text = String::from_utf8_lossy(bytes);
        assert!(path.ends_with(".csv") || text.contains(warning), "{path} does not warn");
    }
}

#[test]
fn the_same_roster_gives_the_same_bytes_and_two_draws_differ() {
    let folder = workshop();
    with_codes(folder.path());
    for out in ["one", "two"] {
        let (status, said, _) = run(folder.path(), &["handouts", "--roster", "full.csv", "--out", out]);
        assert!(status == 0 && said.contains("Every student had a code"), "{said}");
    }
    assert_eq!(files(&folder.path().join("one")), files(&folder.path().join("two")));
    run(folder.path(), &["handouts", "--roster", "class.csv", "--codes-only", "--out", "other"]);
    let roster = |out: &str| fs::read(folder.path().join(out).join("instructor/roster.csv")).expect("there");
    assert_ne!(roster("codes"), roster("other"), "codes come from chance");
    assert_eq!(roster("codes"), fs::read(folder.path().join("full.csv")).expect("there"));
    let only: Vec<String> = files(&folder.path().join("codes")).into_keys().collect();
    assert_eq!(only, [".fieldcoil-files", "index.html", "instructor/README.txt", "instructor/roster.csv"]);
}

#[test]
fn codes_that_were_drawn_are_not_lost_unasked() {
    let folder = workshop();
    run(folder.path(), &["handouts", "--roster", "class.csv"]);
    let before = files(&folder.path().join("handouts"));
    let (status, _, errors) = run(folder.path(), &["handouts", "--roster", "class.csv"]);
    assert_eq!(status, 2);
    assert!(
        errors.contains("has 30 codes that `class.csv` has not") && errors.contains("--take-over"),
        "{errors}"
    );
    assert_eq!(files(&folder.path().join("handouts")), before);

    // The folder's own roster will do as long as nothing has to be written into it.
    let own = ["handouts", "--roster", "handouts/instructor/roster.csv"];
    assert_eq!(run(folder.path(), &own).0, 0);
    let place = folder.path().join("handouts/instructor/roster.csv");
    let more = format!("{},Newcomer Quistmark,red\r\n", fs::read_to_string(&place).expect("there"));
    fs::write(&place, &more).expect("written");
    let (status, _, errors) = run(folder.path(), &own);
    assert!(status == 2 && errors.contains("is never written over"), "{errors}");
    assert_eq!(fs::read_to_string(&place).expect("there"), more);
    // From a copy the newcomer gets a code, and all others keep theirs.
    fs::copy(&place, folder.path().join("class2.csv")).expect("copied");
    let (status, out, errors) = run(folder.path(), &["handouts", "--roster", "class2.csv"]);
    assert!(status == 0 && out.contains("1 code was drawn."), "{out}{errors}");
    let now = fs::read_to_string(&place).expect("there");
    let old = String::from_utf8(before["instructor/roster.csv"].clone()).expect("text");
    assert!(now.starts_with(&old) && now.ends_with(",Newcomer Quistmark,red\r\n"), "{now}");
    assert_eq!(run(folder.path(), &["handouts", "--roster", "class.csv", "--take-over"]).0, 0);
}

#[test]
fn handouts_and_sites_keep_out_of_each_others_folders() {
    let folder = workshop();
    with_codes(folder.path());
    assert_eq!(run(folder.path(), &["site"]).0, 0);
    let site = files(&folder.path().join("site"));
    for out in ["site", "site/handouts", "site/cables/deep/handouts"] {
        for take_over in [&[][..], &["--take-over"]] {
            let args = [&["handouts", "--roster", "full.csv", "--out", out][..], take_over].concat();
            let (status, _, errors) = run(folder.path(), &args);
            assert_eq!(status, 2, "{out}");
            assert!(
                errors.contains("answer keys and names must never stand where a site is published"),
                "{errors}"
            );
        }
    }
    assert_eq!(files(&folder.path().join("site")), site);

    let codes = files(&folder.path().join("codes"));
    for out in ["codes", "codes/site"] {
        let (status, _, errors) = run(folder.path(), &["site", "--out", out, "--take-over"]);
        assert!(status == 2 && errors.contains("holds handouts with a roster and answer keys"), "{errors}");
    }
    assert_eq!(files(&folder.path().join("codes")), codes);
}

#[test]
fn every_slip_of_a_roster_is_told_at_once() {
    let folder = workshop();
    let spoilt = "code,name,mark\n,Ada,1\nBK4-7TX0,Ben,2\nQQQ,Cy,3\n";
    fs::write(folder.path().join("spoilt.csv"), spoilt).expect("written");
    let (status, out, errors) = run(folder.path(), &["handouts", "--roster", "spoilt.csv"]);
    assert_eq!((status, out.as_str()), (1, ""));
    for words in ["spoilt.csv:1: ", "`mark`", "spoilt.csv:3: `BK4-7TX0`", "spoilt.csv:4: `QQQ`", "help: "] {
        assert!(errors.contains(words), "“{words}” is missing in {errors}");
    }
    assert!(errors.ends_with("3 mistakes: nothing was made.\n"), "{errors}");
    assert!(!folder.path().join("handouts").exists());
}

#[test]
fn bad_calls_end_with_two_and_a_sentence() {
    let folder = workshop();
    let write = |name: &str, bytes: &[u8]| fs::write(folder.path().join(name), bytes).expect("written");
    with_codes(folder.path());
    write("empty.csv", b"code,name\n");
    write("latin.csv", b"code,name\n,J\xf6rg\n");
    write("large.csv", &[b','; 5 << 20]);
    fs::create_dir(folder.path().join("mine")).expect("made");
    write("mine/thesis.doc", b"x");
    let full = ["handouts", "--roster", "full.csv"];
    for (args, sentence) in [
        (vec!["handouts"], "--roster <FILE>"),
        (vec!["handouts", "--roster", "none.csv"], "cannot read the roster `none.csv`"),
        (vec!["handouts", "--roster", "mine"], "is no file"),
        (vec!["handouts", "--roster", "empty.csv"], "has no students"),
        (vec!["handouts", "--roster", "latin.csv"], "save the roster as “CSV UTF-8”"),
        (vec!["handouts", "--roster", "large.csv"], "larger than 4 MB"),
        ([&full[..], &["--lesson", "voltage-drp"]].concat(), "did you mean `voltage-drop`?"),
        ([&full[..], &["--lesson", "zzz"]].concat(), "there are `voltage-drop`, `cables/joints`, `words`"),
        ([&full[..], &["--lesson", "words"]].concat(), "has neither homework nor a worksheet"),
        ([&full[..], &["--paper", "a5"]].concat(), "[possible values: a4, letter]"),
        ([&full[..], &["--codes-only", "--large-print"]].concat(), "cannot be used with"),
        ([&full[..], &["--out", "content"]].concat(), "is the course folder itself"),
        ([&full[..], &["--out", "content/handouts"]].concat(), "inside the course folder"),
        ([&full[..], &["--out", "mine"]].concat(), "`thesis.doc`"),
        (vec!["handouts", "nowhere", "--roster", "full.csv"], "there is no folder `nowhere`"),
    ] {
        let (status, out, errors) = run(folder.path(), &args);
        assert_eq!((status, out.as_str()), (2, ""), "{args:?}: {errors}");
        assert!(errors.contains(sentence), "{args:?}: {errors}");
    }
    assert!(!folder.path().join("handouts").exists());

    let course = folder.path().join("content/course.toml");
    let text = fs::read_to_string(&course).expect("there");
    fs::write(&course, text.split("[term]").next().expect("a start")).expect("written");
    let (status, _, errors) = run(folder.path(), &full);
    assert!(status == 2 && errors.contains("add a table `[term]` to its `course.toml`"), "{errors}");
    // A lesson with a mistake stops it as it stops a site.
    fs::write(folder.path().join("content/30-words.md"), "No block.\n").expect("written");
    let (status, _, errors) = run(folder.path(), &full);
    assert!(status == 1 && errors.ends_with("nothing was made.\n"), "{errors}");
}

#[test]
fn one_lesson_and_names_when_asked() {
    let folder = workshop();
    with_codes(folder.path());
    let args =
        ["handouts", "--roster", "full.csv", "--lesson", "cables/joints", "--names", "--paper", "letter"];
    assert_eq!(run(folder.path(), &args).0, 0);
    let made = files(&folder.path().join("handouts"));
    assert!(
        !made.contains_key("students/voltage-drop.html")
            && !made.contains_key("instructor/voltage-drop-key.html")
    );
    let page = String::from_utf8(made["students/cables/joints.html"].clone()).expect("text");
    assert!(
        page.contains("Ada Orrinwald")
            && page.contains("Joints &amp; lugs")
            && page.contains("@page{size:letter")
    );
    // What somebody writes into a roster is text and never markup.
    assert!(page.contains("Oona &lt;") && !page.contains("Oona <"), "a name is escaped");
    assert!(!page.contains("<script") && !page.contains("http://www.") && !page.contains("<link"));
}
