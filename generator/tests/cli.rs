//! The program as it is called: what it prints, what it leaves on the disk, and its exit status.

#[path = "support/program.rs"]
mod program;

use std::fs;

use program::run;
use tempfile::TempDir;

const COURSE: &str = "title = \"Test course\"\nsummary = \"For tests.\"\nschool = \"No school\"\nauthor = \"Nobody\"\n\
                      edition = \"1\"\n";

const LESSON: &str = "```lesson\ntitle = \"First\"\nsummary = \"A test.\"\nminutes = 5\noutcomes = [\"Test.\"]\n```\n\nText.\n";

/// A folder with a course named `content`.
fn course(lesson: &str) -> TempDir {
    let folder = tempfile::tempdir().expect("a folder for the test");
    fs::create_dir(folder.path().join("content")).expect("made");
    fs::write(folder.path().join("content/course.toml"), COURSE).expect("written");
    fs::write(folder.path().join("content/10-first.md"), lesson).expect("written");
    folder
}

#[test]
fn site_makes_a_site_and_says_how_to_open_it() {
    let folder = course(LESSON);
    let (status, out, errors) = run(folder.path(), &["site"]);
    assert_eq!((status, errors.as_str()), (0, ""), "{out}");
    let index = folder.path().canonicalize().expect("there").join("site/index.html");
    assert!(out.starts_with("Test course: 1 lesson, "), "{out}");
    assert!(out.ends_with(&format!("Open it: {}\n", index.display())), "{out}");
    assert!(index.is_file() && folder.path().join("site/first.html").is_file());

    let (status, out, _) = run(folder.path(), &["site"]);
    assert_eq!(status, 0);
    assert!(out.contains("Nothing has changed; nothing was written."), "{out}");

    fs::write(folder.path().join("content/10-first.md"), LESSON.replace("Text.", "Other text."))
        .expect("written");
    let (status, out, _) = run(folder.path(), &["site"]);
    assert_eq!(status, 0);
    assert!(out.contains("1 file new or changed."), "{out}");
}

#[test]
fn errors_publish_nothing_and_keep_the_old_site() {
    let folder = course(LESSON);
    run(folder.path(), &["site"]);
    let before = fs::read(folder.path().join("site/first.html")).expect("there");
    fs::write(folder.path().join("content/10-first.md"), format!("{LESSON}\n<b>x</b>\n\n[a](nowhere.md)\n"))
        .expect("written");
    let (status, out, errors) = run(folder.path(), &["site"]);
    assert_eq!((status, out.as_str()), (1, ""));
    assert!(
        errors.contains("error[raw-html]") && errors.contains("error[dead-link]"),
        "all at once: {errors}"
    );
    assert!(
        errors.ends_with("2 errors: nothing was published; the site in `site` is as it was.\n"),
        "{errors}"
    );
    assert_eq!(fs::read(folder.path().join("site/first.html")).expect("there"), before);
}

#[test]
fn a_finding_shows_file_line_column_text_and_what_to_do() {
    let folder = course(&LESSON.replace("summary", "summry"));
    let (status, out, _) = run(folder.path(), &["proof"]);
    assert_eq!(status, 1);
    let wanted = "\
error[unknown-key]: the `lesson` block has no key `summry`
 --> content/10-first.md:3:1
  |
3 | summry = \"A test.\"
  | ^^^^^^ not known here
  |
  = help: did you mean `summary`?
  = help: its keys are `title`, `summary`, `minutes`, `outcomes`, `teaches`, `before`, `author`
";
    assert!(out.contains(wanted), "{out}");
    assert!(out.ends_with("1 lesson, 2 errors.\n"), "{out}");
}

#[test]
fn proof_prints_lines_and_json_for_other_programs() {
    let folder = course(&format!("{LESSON}\n[ü](nowhere.md)\n"));
    let (status, out, _) = run(folder.path(), &["proof", "content/", "--format", "short"]);
    assert_eq!(status, 1);
    assert_eq!(out, "content/10-first.md:10:5: error[dead-link]: there is no `nowhere.md`\n");

    let (status, out, _) = run(folder.path(), &["proof", "--format", "json"]);
    assert_eq!(status, 1);
    let rows: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    let wanted = serde_json::json!([{
        "code": "dead-link",
        "severity": "error",
        "message": "there is no `nowhere.md`",
        "file": "content/10-first.md",
        "line": 10,
        "column": 5,
        "end_line": 10,
        "end_column": 15,
        "label": "leads nowhere",
        "others": [],
        "help": [],
    }]);
    assert_eq!(rows, wanted);

    let folder = course(LESSON);
    assert_eq!(run(folder.path(), &["proof", "--format", "json"]).1, "[]\n");
    assert_eq!(run(folder.path(), &["proof"]).1, "1 lesson, nothing found.\n");
}

#[test]
fn warnings_stop_a_strict_run_alone() {
    let folder = course(&LESSON.replace("outcomes = [\"Test.\"]\n", ""));
    assert_eq!(run(folder.path(), &["proof"]).0, 0);
    assert_eq!(run(folder.path(), &["proof", "--strict"]).0, 1);
    let (status, _, errors) = run(folder.path(), &["site", "--strict"]);
    assert_eq!(status, 1);
    assert!(errors.ends_with("1 warning: nothing was published.\n"), "{errors}");
    assert!(!folder.path().join("site").exists());
    assert_eq!(run(folder.path(), &["site"]).0, 0);
}

#[test]
fn bad_calls_end_with_two_and_a_sentence() {
    let folder = course(LESSON);
    fs::create_dir(folder.path().join("mine")).expect("made");
    fs::write(folder.path().join("mine/thesis.doc"), "x").expect("written");
    for (args, sentence) in [
        (
            &["site", "nowhere"][..],
            "there is no folder `nowhere`; there is a course in `content`: write that",
        ),
        (&["proof", "nowhere"], "there is no folder `nowhere`; there is a course in `content`: write that"),
        (&["proof", "content/course.toml"], "is a file; the course is a folder"),
        (&["site", "--out", "content"], "is the course folder itself"),
        (&["site", "--out", "content/site"], "is inside the course folder"),
        (&["site", "--out", "."], "holds the course folder"),
        (&["site", "--out", "/"], "is the root of the disk"),
        (&["site", "--out", "mine"], "`thesis.doc`"),
        (&["site", "--out", "content/course.toml/x"], "cannot look at"),
        (&["site", "--format", "json"], "unexpected argument"),
        (&["cartridge"], "unrecognized subcommand"),
        (&["work", "voltage-drp"], "Did you mean `voltage-drop`?"),
        (&["work", "--set", "x=1"], "required arguments"),
        (&[], "Usage"),
    ] {
        let (status, out, errors) = run(folder.path(), args);
        assert_eq!((status, out.as_str()), (2, ""), "{args:?}: {errors}");
        assert!(errors.contains(sentence), "{args:?}: {errors}");
    }
    assert!(folder.path().join("mine/thesis.doc").exists());
    assert_eq!(run(folder.path(), &["site", "--out", "mine", "--take-over"]).0, 0);
    assert!(!folder.path().join("mine/thesis.doc").exists());
    for args in [&["--help"][..], &["--version"], &["work", "--help"]] {
        assert_eq!(run(folder.path(), args).0, 0, "{args:?}");
    }
}

#[test]
fn a_folder_that_is_a_course_to_the_eye_alone_is_findings() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("content")).expect("made");
    let (status, out, _) = run(folder.path(), &["proof"]);
    assert_eq!(status, 1);
    assert!(out.contains("error[no-course-file]") && out.contains("error[no-lessons]"), "{out}");
}

#[test]
fn work_lists_calculators_and_fields() {
    let folder = tempfile::tempdir().expect("a folder");
    let (status, out, _) = run(folder.path(), &["work"]);
    assert_eq!(status, 0);
    for calculator in fieldcoil_calc::catalog::CATALOG {
        assert!(out.contains(&format!("  {}\n", calculator.name)), "{out}");
        let (status, out, _) = run(folder.path(), &["work", calculator.name, "--fields"]);
        assert_eq!(status, 0);
        for field in calculator.fields {
            assert!(out.contains(&format!("  {}\n", field.name)), "{} in {out}", field.name);
        }
    }
}

#[test]
fn work_reads_at_eighty_columns() {
    let folder = tempfile::tempdir().expect("a folder");
    for calculator in fieldcoil_calc::catalog::CATALOG {
        for args in [&["work", calculator.name][..], &["work", calculator.name, "--fields"], &["work"]] {
            let (status, out, errors) = run(folder.path(), args);
            assert_eq!((status, errors.as_str()), (0, ""), "{args:?}");
            for line in out.lines() {
                assert!(line.chars().count() <= 80, "{args:?}: {line}");
            }
        }
    }
}

#[test]
fn work_takes_units_and_gives_json() {
    let folder = tempfile::tempdir().expect("a folder");
    let set =
        ["--set", "run_out_m=6 ft", "--set", "current_a=180A", "--set", "conductor_size=AWG 2", "--json"];
    let (status, out, errors) = run(folder.path(), &[&["work", "voltage-drop"][..], &set].concat());
    assert_eq!((status, errors.as_str()), (0, ""));
    let report: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(report["calculator"], "voltage-drop");
    assert_eq!(report["inputs"]["conductor_size"], "AWG 2");
    assert_eq!(report["inputs"]["current_a"], 180.0);
    // 6 ft as the unit is defined.
    assert_eq!(report["inputs"]["run_out_m"].as_f64().expect("a number"), 1.8288);
    let drop = &report["outputs"]["drop_v"];
    assert!(drop["value"].is_f64() && drop["unit"] == "V" && drop.get("uncertainty").is_some(), "{drop}");
    assert!(report["outputs"]["smallest_size"]["value"].is_string());
    for list in ["steps", "tables", "findings", "sources"] {
        assert!(report[list].is_array(), "{list}");
    }
    let step = &report["steps"][0];
    assert!(["title", "formula", "numbers", "result"].iter().all(|key| step[key].is_string()), "{step}");

    let (_, out, _) = run(folder.path(), &["work", "bench-verdict", "--json"]);
    let report: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(report["inputs"]["limit_voltage_v"], serde_json::Value::Null);
}

#[test]
fn work_tells_everything_that_is_wrong_at_once() {
    let folder = tempfile::tempdir().expect("a folder");
    let set = [
        "--set",
        "curent_a=3",
        "--set",
        "run_out_m=-3",
        "--set",
        "run_return_m=5 furlongs",
        "--set",
        "joint_count=1,250",
        "--set",
        "current_a=NaN",
        "--set",
        "nonsense",
    ];
    let (status, out, errors) = run(folder.path(), &[&["work", "voltage-drop", "--json"][..], &set].concat());
    assert_eq!((status, out.as_str()), (2, ""));
    for sentence in ["`curent_a`", "−3 m", "furlongs", "1,250", "NaN", "nonsense"] {
        assert!(errors.contains(sentence), "{sentence}: {errors}");
    }
    assert_eq!(errors.lines().count(), 6, "{errors}");
    let (status, _, errors) = run(folder.path(), &["work", "voltage-drop", "--set", "current_a="]);
    assert_eq!(status, 2, "{errors}");
}

#[test]
fn a_site_goes_into_one_zip_file_and_pages_get_compressed_twins() {
    let folder = course(&LESSON.replace("Text.", &"Text of a lesson. ".repeat(99)));
    let call = ["site", "--zip", "course.zip", "--compressed"];
    let (status, out, errors) = run(folder.path(), &call);
    assert_eq!(status, 0, "{errors}");
    assert!(out.contains("Packed: course.zip ("), "{out}");
    let zip = fs::read(folder.path().join("course.zip")).expect("there");
    let site = folder.path().join("site");
    assert!(site.join("first.html.gz").is_file() && site.join("first.html.br").is_file());
    // Twins are for servers: a stick or an upload has no use for them.
    assert!(!zip.windows(8).any(|bytes| bytes == b".html.gz"));
    assert!(zip.windows(22).any(|bytes| bytes == b"test-course/index.html"));

    let (status, out, _) = run(folder.path(), &call);
    assert_eq!(status, 0);
    assert!(out.contains("nothing was written.") && out.contains("Packed already: course.zip"), "{out}");
    assert_eq!(fs::read(folder.path().join("course.zip")).expect("there"), zip);

    let (status, _, errors) = run(folder.path(), &["site", "--zip", "content/course.toml"]);
    assert_eq!(status, 2);
    assert!(errors.contains("inside the course folder"), "{errors}");
    // Without the wish they are gone, as everything that a site no longer has.
    run(folder.path(), &["site"]);
    assert!(site.join("first.html").is_file() && !site.join("first.html.gz").exists());
}
