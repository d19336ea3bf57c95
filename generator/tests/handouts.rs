//! `fieldcoil handouts` as it is called: what it leaves in its folder, what it never touches, and what it says to bad calls.

#[path = "support/program.rs"]
mod program;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use fieldcoil::roster;
use program::run;
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
        out.starts_with(
            "Starting systems on paper: 30 students, 3 lessons, sign-off sheets.\n30 codes were drawn."
        ),
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
        "instructor/checks-quiz.html",
        "instructor/index.html",
        "instructor/roster.csv",
        "instructor/voltage-drop-key.html",
        "instructor/voltage-drop-quiz.html",
        "instructor/voltage-drop-steps.html",
        "students/cables/joints.html",
        "students/checks.html",
        "students/index.html",
        "students/sign-off.html",
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
                errors.contains("answer keys, names and marks must never stand where a site is published"),
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
        (
            [&full[..], &["--lesson", "zzz"]].concat(),
            "there are `voltage-drop`, `cables/joints`, `words`, `checks`",
        ),
        (
            [&full[..], &["--lesson", "words"]].concat(),
            "has no homework, worksheet or self-check to give out; `voltage-drop`, `cables/joints`, `checks` have",
        ),
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
    let others = ["students/voltage-drop.html", "instructor/voltage-drop-key.html", "students/sign-off.html"];
    assert!(others.iter().all(|path| !made.contains_key(*path)), "only what was wanted");
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

/// What stands in the fixture's self-checks, and may be read in their keys alone: right answers said as such, and what is
/// said to wrong ones.
const SAID: [&str; 9] = [
    "A free motor that turns slowly at little current",
    "A short draws more current, not less.",
    "Glasses stay on until the bench is cleared.",
    "Current runs through the whole loop.",
    "That is the drop of the way out alone",
    "Lost volts are taken away, not added.",
    "12.2\u{a0}V",
    "A switch stands in a line that can be opened.",
    "Terminal 31 is the return.",
];

#[test]
fn a_lesson_with_a_self_check_alone_is_a_quiz_and_its_key_stays_with_the_instructor() {
    let folder = workshop();
    // Nothing is drawn for a quiz, so that no term is needed.
    let place = folder.path().join("content/course.toml");
    let text = fs::read_to_string(&place).expect("there");
    fs::write(&place, text.split("[term]").next().expect("a start")).expect("written");
    let args = ["handouts", "--roster", "class.csv", "--lesson", "checks"];
    let (status, out, errors) = run(folder.path(), &args);
    assert!(status == 0 && out.contains("30 students, 1 lesson."), "{out}{errors}");
    let made = files(&folder.path().join("handouts"));
    let text = |path: &str| String::from_utf8(made[path].clone()).expect("text");
    let (quiz, key) = (text("students/checks.html"), text("instructor/checks-quiz.html"));
    assert_eq!(quiz.matches("<h1>Self-check").count(), 30, "one copy a student");
    assert_eq!(quiz.matches("A watch with a metal strap").count(), 30);
    assert_eq!(quiz.matches("class=\"ask-mark").count(), 30 * 3, "each with numbers in the diagram");
    for said in SAID {
        assert!(key.contains(said), "the key has no “{said}”");
        assert!(!quiz.contains(said), "the quiz says “{said}”");
    }
    let ids: Vec<&str> = quiz.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    let different: std::collections::BTreeSet<&str> = ids.iter().copied().collect();
    assert!(
        ids.len() >= 30 && ids.len() == different.len(),
        "{} names, {} different",
        ids.len(),
        different.len()
    );
    assert!(!key.contains("Ada Orrinwald"), "the key is the same for all");
}

#[test]
fn the_sign_off_sheets_have_every_outcome_for_every_student() {
    let folder = workshop();
    with_codes(folder.path());
    assert_eq!(run(folder.path(), &["handouts", "--roster", "full.csv", "--large-print"]).0, 0);
    let made = files(&folder.path().join("handouts"));
    let text = |path: &str| String::from_utf8(made[path].clone()).expect("text");
    let sheet = text("students/sign-off.html");
    assert_eq!(sheet.matches("<article").count(), 30);
    for (name, words) in [
        ("PW\u{2011}01", "1. Voltage drop in the cranking circuit"),
        ("PW\u{2011}02", "2. Joints &amp; lugs"),
        ("PW\u{2011}03", "1. Voltage drop in the cranking circuit"),
    ] {
        let rows: Vec<&str> =
            sheet.split("<tbody data-outcome=\"").filter(|row| row.starts_with(name)).collect();
        assert_eq!(rows.len(), 30, "{name}");
        let is_whole = |row: &&str| {
            let row = row.split("</tbody>").next().unwrap_or_default();
            row.contains(words) && row.matches("<td></td>").count() == 3
        };
        assert!(rows.iter().all(is_whole), "{name}");
    }
    let (roster, _) =
        roster::read("full.csv", &fs::read_to_string(folder.path().join("full.csv")).expect("there"));
    for student in &roster.students {
        assert!(sheet.contains(&student.code.expect("a code").to_string()), "{student:?}");
    }
    assert!(!sheet.contains("Ada Orrinwald") && text("students/index.html").contains("sign-off.html"));
    // Without a list of outcomes there is nothing to sign.
    fs::remove_file(folder.path().join("content/outcomes.toml")).expect("removed");
    for lesson in ["10-voltage-drop.md", "20-cables/10-joints.md", "30-words.md", "40-checks.md"] {
        let place = folder.path().join("content").join(lesson);
        let text = fs::read_to_string(&place).expect("there");
        let is_outcome =
            |line: &&str| ["teaches", "practises", "assesses"].iter().any(|key| line.starts_with(key));
        let rest: Vec<&str> = text.lines().filter(|line| !is_outcome(line)).collect();
        fs::write(&place, rest.join("\n")).expect("written");
    }
    let (status, out, errors) = run(folder.path(), &["handouts", "--roster", "full.csv"]);
    assert!(status == 0 && out.contains("3 lessons.\n"), "{out}{errors}");
    assert!(!files(&folder.path().join("handouts")).contains_key("students/sign-off.html"));
}
