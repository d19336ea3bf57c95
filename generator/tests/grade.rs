//! A class graded end to end: every line of its gradebook, what is flagged, and that nothing hostile comes through.

#[path = "grade/class.rs"]
mod class;

#[path = "support/program.rs"]
mod program;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use fieldcoil::grade::{self, Given, Graded, Plan, Wishes};
use fieldcoil::source::SourceSet;
use program::run;

fn given(files: Vec<(String, Vec<u8>)>) -> Vec<Given> {
    files.into_iter().map(|(file, bytes)| Given { file, bytes: Ok(bytes) }).collect()
}

fn graded(sources: &SourceSet, files: Vec<(String, Vec<u8>)>, wishes: &Wishes) -> Graded {
    let checked = class::course(sources);
    let (course, lessons) = (checked.course(), checked.lessons());
    let plan = Plan::of(course, &lessons).expect("there is a term");
    grade::class(course, &plan, &class::roster(30), given(files), wishes, &mut |_, _| ()).expect("graded")
}

fn simulated(wishes: &Wishes) -> Graded {
    let sources = class::sources();
    let files = class::files(&class::course(&sources));
    graded(&sources, files, wishes)
}

fn text(graded: &Graded, name: &str) -> String {
    let bytes = graded.site.files.get(name).unwrap_or_else(|| panic!("there is no {name}"));
    String::from_utf8(bytes.clone()).expect("UTF-8")
}

/// Rows of a table as cells by the names of their columns.
fn rows(table: &str) -> Vec<std::collections::BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    reader.deserialize().map(|row| row.expect("a row")).collect()
}

#[test]
fn the_gradebook_of_a_class_line_by_line() {
    let book = text(&simulated(&Wishes::default()), "gradebook.csv");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/grade/gradebook.csv");
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        fs::write(&path, &book).expect("written");
    }
    let wanted = fs::read_to_string(&path).expect("the expected gradebook");
    let lines = |text: &str| text.split("\r\n").map(str::to_owned).collect::<Vec<_>>();
    let (found, wanted) = (lines(&book), lines(&wanted));
    for (at, (found, wanted)) in found.iter().zip(&wanted).enumerate() {
        assert_eq!(found, wanted, "line {}", at + 1);
    }
    assert_eq!(found.len(), wanted.len());
    assert!(!book.contains("Marlbeck"), "names only when they are asked for");

    // And beside the file, by what each student did.
    let rows = rows(&book);
    assert_eq!(rows.len(), 60, "thirty students, two lessons");
    for (number, points) in class::POINTS.iter().enumerate() {
        let row = &rows[2 * number];
        assert_eq!(
            (row["code"].as_str(), row["lesson"].as_str()),
            (&*class::code(number).to_string(), "free-spin")
        );
        assert_eq!(row["by_program"].parse::<f64>().expect("a number"), *points, "student {number}");
    }
    for (number, points) in [(0, "4"), (1, "3"), (2, "2"), (3, "2.5"), (4, "2"), (5, "0")] {
        assert_eq!(rows[2 * number + 1]["points"], points, "student {number}, second lesson");
    }
    assert_eq!((rows[0]["points"].as_str(), rows[0]["reasons_to_mark"].as_str()), ("5.5", "0"));
    assert_eq!((rows[2]["points"].as_str(), rows[2]["reasons_to_mark"].as_str()), ("3", "1"));
}

#[test]
fn every_known_mistake_is_flagged_and_no_other() {
    let flags = rows(&text(&simulated(&Wishes::default()), "flags.csv"));
    let said = |number: usize| -> Vec<String> {
        let code = class::code(number).to_string();
        let own = flags.iter().filter(|flag| flag["code"] == code && flag["lesson"] != "source");
        own.map(|flag| format!("{}: {}", flag["flag"], flag["says"])).collect()
    };
    let kinds = |number: usize| -> Vec<String> {
        said(number).iter().map(|flag| flag.split(':').next().unwrap_or_default().to_owned()).collect()
    };
    for (number, wanted) in [
        (0, &[][..]),
        (4, &["others-numbers"]),
        (5, &[]),
        (6, &[]),
        (7, &["duplicate"]),
        (8, &["missing"]),
        (9, &["missing"]),
        (14, &["other-course", "missing"]),
        (15, &["other-edition", "other-term"]),
        (16, &["other-draw"]),
        (18, &["unknown-item"]),
        (19, &["times"]),
        (20, &["impossible-reading", "impossible-reading", "impossible-reading", "impossible-reading"]),
        (21, &["impossible-reading"]),
        (22, &["unknown-item", "unknown-item"]),
        (23, &["paper-and-file"]),
        (24, &["impossible-reading", "no-reading", "no-reading"]),
        (25, &[]),
        (26, &["points"]),
        (29, &["times"]),
    ] {
        assert_eq!(kinds(number), wanted, "student {number}: {:?}", said(number));
    }
    assert!(
        said(4)[0].contains(&class::code(0).to_string()) && said(4)[0].contains("2 of 2 wrong answers are"),
        "{:?}",
        said(4)
    );
    assert!(said(7)[0].contains("(1).json"), "{:?}", said(7));
    let twenty = said(20).concat();
    for words in ["first kick", "have no sign", "9\u{a0}s, and the limit is 5 s", "at step 16"] {
        assert!(twenty.contains(words), "{words}: {twenty}");
    }
    assert!(said(21)[0].contains("1508") && said(21)[0].contains("651"), "{:?}", said(21));
    assert!(
        said(18)[0].contains("`welds`")
            && said(18)[0].contains("`worksheet-9`")
            && said(18)[0].contains("`drop-of-a-run.z`")
    );
    let unknown = flags.iter().find(|flag| flag["flag"] == "unknown-code").expect("a flag");
    assert!(unknown["says"].contains(&format!("One letter off: {}.", class::code(9))), "{unknown:?}");
    let lesson = flags.iter().find(|flag| flag["flag"] == "unknown-lesson").expect("a flag");
    assert!(lesson["says"].contains("Did it mean `free-spin`?"), "{lesson:?}");
}

#[test]
fn what_is_wrong_with_files_is_said_at_once_by_file_and_place() {
    let graded = simulated(&Wishes::default());
    let said = |number: usize| -> Vec<String> {
        let code = class::code(number).to_string();
        let own = graded.complaints.iter().filter(|complaint| complaint.file.contains(&code));
        own.map(|complaint| complaint.message.clone()).collect()
    };
    assert!(said(10)[0].contains("cut off") || said(10)[0].contains("damaged"), "{:?}", said(10));
    assert!(said(11)[0].contains("more than 256 kB"), "{:?}", said(11));
    assert!(said(12)[0].contains("deep"), "{:?}", said(12));
    assert!(said(28)[0].contains("not UTF-8"), "{:?}", said(28));
    let form = said(13).join("\n");
    for words in [
        "at `fieldcoil_hand_in`: version 2",
        "at `course`: it is a number; wanted is text",
        "at `draw`: it is a number; wanted is a whole number from 0 up",
        "at `handed_in`: `yesterday` is no time",
        "at `homework[0].answers.a`: it is a number; wanted is text, as it was typed",
        "`homework[1]` is text; wanted is a table",
        "at `readings`: it is a table; wanted is a list",
    ] {
        assert!(form.contains(words), "{words}:\n{form}");
    }
    assert_eq!(graded.complaints.len(), 4 + 7);
    let flags = rows(&text(&graded, "flags.csv"));
    assert_eq!(flags.iter().filter(|flag| flag["flag"] == "unreadable-file").count(), 11);
}

#[test]
fn hostile_texts_come_through_as_text() {
    let graded = simulated(&Wishes { names: true, ..Wishes::default() });
    let own = text(&graded, &format!("students/{}.html", class::code(6)));
    assert!(
        own.contains("&lt;script&gt;alert(1)&lt;") && own.contains("&lt;img src=x onerror=alert(1)&gt;"),
        "{own}"
    );
    for (name, bytes) in &graded.site.files {
        let content = String::from_utf8_lossy(bytes);
        if name.ends_with(".html") {
            assert!(!content.contains("<script") && !content.contains("<img"), "{name}");
            assert!(content.contains("Content-Security-Policy"), "{name}");
        } else if name.ends_with(".csv") {
            for cell in csv::ReaderBuilder::new()
                .from_reader(&bytes[..])
                .records()
                .flat_map(|row| row.expect("a row").iter().map(str::to_owned).collect::<Vec<_>>())
            {
                let negative = cell.strip_prefix('-').is_some_and(|rest| rest.parse::<f64>().is_ok());
                assert!(negative || !cell.starts_with(['=', '+', '-', '@', '\t', '\r']), "{name}: {cell}");
            }
        }
    }
    let answers = text(&graded, "answers.csv");
    assert!(answers.contains("'=HYPERLINK("), "{answers}");
    let readings = rows(&text(&graded, "readings.csv"));
    let zero = readings.iter().find(|row| row["reading"] == "clamp_zero_a").expect("a row");
    assert_eq!(
        (zero["written"].as_str(), zero["value"].as_str(), zero["limit"].as_str()),
        ("-0.4", "-0.4", "none")
    );
}

#[test]
fn a_students_page_tells_of_nobody_else() {
    let graded = simulated(&Wishes { names: true, ..Wishes::default() });
    for number in 0..30 {
        let page = text(&graded, &format!("students/{}.html", class::code(number)));
        assert!(page.contains(&class::code(number).to_string()));
        for other in (0..30).filter(|other| *other != number) {
            assert!(!page.contains(&class::code(other).to_string()), "{number} sees {other}");
            assert!(!page.contains(&format!("Student {other} of")), "{number} sees the name of {other}");
        }
        assert!(page.contains(&format!("Student {number} of Marlbeck")));
    }
    let without = simulated(&Wishes::default());
    for (name, bytes) in &without.site.files {
        let is_named = String::from_utf8_lossy(bytes).contains("Student 1");
        assert!(!is_named, "{name} has a name");
    }
    let right = text(&graded, &format!("students/{}.html", class::code(1)));
    assert!(
        right.contains("The figures are right. The power of ten is not") && right.contains("1 of 2 points"),
        "{right}"
    );
}

#[test]
fn the_class_page_and_the_record_of_outcomes_add_up() {
    let graded = simulated(&Wishes::default());
    let page = text(&graded, "index.html");
    assert!(page.contains("Keep this folder private") && page.contains("20 of 30 handed in."), "{page}");
    // One chart of the questions of each lesson, and one for each reading that three or more took.
    assert_eq!(page.matches("<figure class=\"chart\">").count(), 2 + 5, "{page}");
    let outcomes = rows(&text(&graded, "outcomes.csv"));
    let of = |number: usize, outcome: &str| {
        let code = class::code(number).to_string();
        let row = outcomes.iter().find(|row| row["code"] == code && row["outcome"] == outcome);
        row.map(|row| {
            [&row["points"], &row["possible"], &row["sheets"], &row["sheets_possible"]]
                .map(|cell| cell.clone())
        })
    };
    let wanted = |cells: [&str; 4]| Some(cells.map(str::to_owned));
    // 5.5 of the first problem, of 6, and 4 of 4 of the second.
    assert_eq!(of(0, "T-1"), wanted(["9.5", "10", "0", "0"]));
    assert_eq!(of(0, "T-2"), wanted(["0", "0", "1", "1"]));
    assert_eq!(of(3, "T-3"), wanted(["2.5", "4", "0", "0"]));
    assert_eq!(of(8, "T-2"), wanted(["0", "0", "0", "1"]));
    let reasons = rows(&text(&graded, "reasons.csv"));
    assert_eq!(reasons.len(), 20);
    assert_eq!((reasons[0]["points"].as_str(), reasons[1]["points"].as_str()), ("1.5", ""));
}

#[test]
fn the_commonest_wrong_answer_is_told_by_its_ratio() {
    let sources = class::sources();
    let lessons = class::course(&sources).lessons();
    let drop = class::problems(&lessons)[0];
    // Seven of nine forgot the way back or the like, each with numbers of their own.
    let files = (0..9).map(|number| {
        let factor = if number < 7 { 0.5 } else { 1.0 };
        let code = class::code(number);
        let value =
            class::hand_in("free-spin", code, "drop-of-a-run", &class::answers(drop, code, &[factor, 1.0]));
        (format!("{number}.json"), serde_json::to_vec(&value).expect("JSON"))
    });
    let graded = graded(&sources, files.collect(), &Wishes::default());
    let page = text(&graded, "index.html");
    assert!(page.contains("0.50 times the right one: 7 students, such as "), "{page}");
}

#[test]
fn the_same_files_give_the_same_bytes_in_any_order() {
    let sources = class::sources();
    let files = class::files(&class::course(&sources));
    let one = graded(&sources, files.clone(), &Wishes::default());
    let two = graded(&sources, files.clone(), &Wishes::default());
    assert_eq!(one.site, two.site);
    let hand_ins = |reversed: bool| {
        let mut own: Vec<_> = files.iter().filter(|(name, _)| name.ends_with(".json")).cloned().collect();
        if reversed {
            own.reverse();
        }
        graded(&sources, own, &Wishes::default()).site
    };
    assert_eq!(hand_ins(false), hand_ins(true), "the order of hand-ins says nothing");
}

#[test]
fn one_lesson_can_be_graded_alone() {
    let wishes = Wishes { lessons: BTreeSet::from([1]), ..Wishes::default() };
    let graded = simulated(&wishes);
    assert_eq!(graded.lessons, 1);
    let rows = rows(&text(&graded, "gradebook.csv"));
    assert_eq!(rows.len(), 30);
    assert!(rows.iter().all(|row| row["lesson"] == "source"));
}

/// A folder with a course, a roster and the simulated class' files.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let course = folder.path().join("content");
    fs::create_dir(&course).expect("made");
    for entry in fs::read_dir(class::course_folder()).expect("readable") {
        let entry = entry.expect("an entry");
        fs::copy(entry.path(), course.join(entry.file_name())).expect("copied");
    }
    let sources = class::sources();
    for (name, bytes) in class::files(&class::course(&sources)) {
        let path = folder.path().join("handed-in").join(name);
        fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        fs::write(path, bytes).expect("written");
    }
    fs::write(folder.path().join("class.csv"), class::roster_text(30)).expect("written");
    folder
}

#[cfg(unix)]
#[test]
fn grade_writes_a_folder_and_leaves_links_out() {
    let folder = folder();
    let path = folder.path();
    // A link to a file outside, one to a file inside, and one to a folder outside that leads round in a ring.
    let secret = path.join("secret.json");
    fs::copy(path.join(format!("handed-in/free-spin/handin_free-spin_{}.json", class::code(0))), &secret)
        .expect("copied");
    let inside = path.join("handed-in");
    std::os::unix::fs::symlink(&secret, inside.join("out.json")).expect("linked");
    std::os::unix::fs::symlink(inside.join("paper/answers.csv"), inside.join("again.csv")).expect("linked");
    std::os::unix::fs::symlink(path, inside.join("ring")).expect("linked");
    fs::write(inside.join("notes.txt"), "not for the program").expect("written");

    let (status, out, errors) = run(path, &["grade", "handed-in", "--roster", "class.csv"]);
    assert_eq!(status, 0, "{errors}");
    assert!(out.starts_with("Grading, a course for tests, Autumn 2026: 33 hand-ins and 3 tables for 30 students in 2 lessons ("), "{out}");
    assert!(out.contains("Keep the folder private"), "{out}");
    assert!(errors.contains("1 student on the roster without a code left out."), "{errors}");
    assert!(
        errors.contains("out.json: it is a link out of the folder") && errors.contains("ring: it is a link"),
        "{errors}"
    );
    assert!(!errors.contains("again.csv") && !errors.contains('\r'), "{errors}");
    let book = fs::read_to_string(path.join("grades/gradebook.csv")).expect("there");
    let wanted = include_str!("grade/gradebook.csv");
    assert_eq!(book, wanted, "the same as without the links");
    assert!(path.join("grades/KEEP-PRIVATE.txt").is_file());
    let (status, out, _) = run(path, &["grade", "content", "handed-in", "--roster", "class.csv"]);
    assert_eq!(status, 0);
    assert!(out.contains("nothing has changed"), "{out}");
    let (status, _, errors) =
        run(path, &["grade", "handed-in", "--roster", "class.csv", "--out", "named", "--names"]);
    assert_eq!(status, 0, "{errors}");
    let book = fs::read_to_string(path.join("named/gradebook.csv")).expect("there");
    assert!(book.contains("Student 3 of Marlbeck,blue"), "{book}");
}

/// Every file below a folder.
fn all_files(folder: &Path) -> std::collections::BTreeMap<std::path::PathBuf, Vec<u8>> {
    let entries = walkdir::WalkDir::new(folder).into_iter().map(|entry| entry.expect("readable"));
    let files = entries.filter(|entry| entry.file_type().is_file());
    files.map(|entry| (entry.path().to_path_buf(), fs::read(entry.path()).expect("readable"))).collect()
}

#[test]
fn site_handouts_and_grades_keep_out_of_each_others_folders() {
    let folder = folder();
    let path = folder.path();
    let commands = [
        ("site", vec!["site"], "a site"),
        ("handouts", vec!["handouts", "--roster", "class.csv"], "handouts with a roster and answer keys"),
        ("grades", vec!["grade", "handed-in", "--roster", "class.csv"], "grades with marks and answers"),
    ];
    for (out, args, _) in &commands {
        let out = format!("made/{out}");
        let (status, _, errors) = run(path, &[&args[..], &["--out", &out]].concat());
        assert_eq!(status, 0, "{errors}");
    }
    let before = all_files(&path.join("made"));
    let mut refused = 0;
    for (own, args, _) in &commands {
        for (other, _, holds) in &commands {
            let places = [
                (format!("made/{other}"), format!("holds {holds}: answer keys")),
                (format!("made/{other}/deep/{own}"), format!("which holds {holds}: answer keys")),
                ("made".to_owned(), "has in it ".to_owned()),
            ];
            for (out, words) in places.iter().skip(usize::from(own == other)) {
                for take_over in [&[][..], &["--take-over"]] {
                    let call = [&args[..], &["--out", out], take_over].concat();
                    let (status, said, errors) = run(path, &call);
                    assert_eq!((status, said.as_str()), (2, ""), "{call:?}: {errors}");
                    assert!(errors.contains(words), "{call:?}: {errors}");
                    assert_eq!(all_files(&path.join("made")), before, "{call:?}");
                    refused += 1;
                }
            }
        }
    }
    assert_eq!(refused, 2 * (6 * 3 + 3 * 2));
    // Each goes on with its own folder, and somebody else's is nobody's of them.
    fs::create_dir(path.join("mine")).expect("made");
    fs::write(path.join("mine/thesis.doc"), "years of work").expect("written");
    for (out, args, _) in &commands {
        // The codes that were drawn stand in the folder's own roster.
        let args = match *out {
            "handouts" => vec!["handouts", "--roster", "made/handouts/instructor/roster.csv"],
            _ => args.clone(),
        };
        let (status, _, errors) = run(path, &[&args[..], &["--out", &format!("made/{out}")]].concat());
        assert_eq!(status, 0, "{errors}");
        let (status, _, errors) = run(path, &[&args[..], &["--out", "mine"]].concat());
        assert!(status == 2 && errors.contains("`thesis.doc`"), "{errors}");
    }
    assert_eq!(all_files(&path.join("made")), before);
    assert_eq!(all_files(&path.join("mine")).len(), 1);
}

#[test]
fn calls_that_cannot_be_are_refused_in_words() {
    let folder = folder();
    let path = folder.path();
    run(path, &["site"]);
    fs::write(path.join("bad.csv"), "code\nBK4-7TX0\n").expect("written");
    fs::write(path.join("empty.csv"), "code,name\n,Somebody\n").expect("written");
    fs::create_dir(path.join("mine")).expect("made");
    fs::write(path.join("mine/thesis.doc"), "years of work").expect("written");
    for (args, status, words) in [
        (&["grade"][..], 2, "HANDINS_FOLDER"),
        (&["grade", "handed-in"], 2, "--roster"),
        (&["grade", "nowhere", "--roster", "class.csv"], 2, "cannot look into the folder `nowhere`"),
        (&["grade", "class.csv", "--roster", "class.csv"], 2, "is a file"),
        (&["grade", "handed-in", "--roster", "none.csv"], 2, "cannot read the roster `none.csv`"),
        (&["grade", "handed-in", "--roster", "handed-in"], 2, "is no CSV file"),
        (&["grade", "handed-in", "--roster", "bad.csv"], 1, "bad.csv:2: `BK4-7TX0` is no code"),
        (&["grade", "handed-in", "--roster", "empty.csv"], 2, "has a code"),
        (
            &["grade", "handed-in", "--roster", "class.csv", "--lesson", "free-spn"],
            2,
            "Did you mean `free-spin`?",
        ),
        (&["grade", "handed-in", "--roster", "class.csv", "--out", "site"], 2, "holds a site"),
        (&["grade", "handed-in", "--roster", "class.csv", "--out", "site/grades"], 2, "which holds a site"),
        (
            &["grade", "handed-in", "--roster", "class.csv", "--out", "handed-in/grades"],
            2,
            "stand in each other",
        ),
        (&["grade", "handed-in", "--roster", "class.csv", "--out", "mine"], 2, "`thesis.doc`"),
        (&["grade", "handed-in", "--roster", "class.csv", "--out", "."], 2, "needs a folder of its own"),
        (&["grade", "elsewhere", "handed-in", "--roster", "class.csv"], 2, "elsewhere"),
    ] {
        let (got, out, errors) = run(path, args);
        assert_eq!((got, out.as_str()), (status, ""), "{args:?}: {errors}");
        assert!(errors.contains(words), "{args:?}: {errors}");
    }
    assert!(!path.join("grades").exists());
    let course = path.join("content/course.toml");
    let text = fs::read_to_string(&course).expect("there");
    fs::write(&course, text.split("[term]").next().unwrap_or_default()).expect("written");
    let (status, _, errors) = run(path, &["grade", "handed-in", "--roster", "class.csv"]);
    assert_eq!(status, 2);
    assert!(errors.contains("no `[term]`"), "{errors}");
    fs::write(path.join("content/30-broken.md"), "no lesson").expect("written");
    let (status, _, errors) = run(path, &["grade", "handed-in", "--roster", "class.csv"]);
    assert_eq!(status, 1);
    assert!(errors.contains("nothing was graded"), "{errors}");
}
