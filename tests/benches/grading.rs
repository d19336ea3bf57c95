//! A thousand hand-ins of twenty problems each, graded by the program as it is called.

use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::time::Instant;

use anyhow::{Context, Result, ensure};
use fieldcoil_calc::homework::code::Code;
use fieldcoil_tests::program::run;
use serde_json::json;

use super::row;

const PROBLEMS: usize = 20;

/// Prints the time of one whole run (course, roster, files, tables and pages): a class's work of a term, and one lesson of
/// a large school.
pub fn grading() -> Result<()> {
    graded(40, 25)?;
    graded(1000, 1)
}

fn graded(students: usize, lessons: usize) -> Result<()> {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("grading");
    if folder.exists() {
        fs::remove_dir_all(&folder)?;
    }
    self::course(&folder.join("course"), lessons)?;
    class(&folder, students, lessons)?;
    let path = |name: &str| folder.join(name).to_string_lossy().into_owned();
    let (course, hand_ins, roster, out) =
        (path("course"), path("handed-in"), path("class.csv"), path("grades"));
    let arguments = ["grade", &course, &hand_ins, "--roster", &roster, "--out", &out];
    let proof = best(|| run(&["proof", &course]).status, 0)?;
    let whole = best(
        || {
            // Else nothing would be written.
            let _ = fs::remove_dir_all(&out);
            run(&arguments).status
        },
        0,
    )?;
    let lines = fs::read_to_string(folder.join("grades/gradebook.csv"))?.lines().count();
    let wanted = 1 + students * lessons;
    ensure!(lines == wanted, "{lines} lines in the gradebook, wanted are {wanted}");
    let what = format!("grade {students} × {lessons} hand-ins of {PROBLEMS} problems");
    row(&what, &format!("{whole:.2} s"), "2 s");
    row("  of that the proof of their course alone", &format!("{proof:.2} s"), "");
    Ok(())
}

fn best(mut call: impl FnMut() -> i32, wanted: i32) -> Result<f64> {
    let mut best = f64::INFINITY;
    for _ in 0..3 {
        let begun = Instant::now();
        let status = call();
        best = best.min(begun.elapsed().as_secs_f64());
        ensure!(status == wanted, "the program ended with {status}");
    }
    Ok(best)
}

/// Lessons full of problems.
fn course(folder: &Path, lessons: usize) -> Result<()> {
    fs::create_dir_all(folder)?;
    let about = "title = \"Speed\"\nsummary = \"Much to grade.\"\nschool = \"None\"\nauthor = \"Nobody\"\nedition = \"1\"\n\
                 [term]\nname = \"Now\"\nstarts = 2026-09-07\nkey = \"a-long-enough-key\"\n";
    fs::write(folder.join("course.toml"), about)?;
    for lesson in 0..lessons {
        let mut text = format!(
            "```lesson\ntitle = \"Lesson {lesson}\"\nsummary = \"Problems.\"\nminutes = 5\noutcomes = [\"Work.\"]\n```\n"
        );
        for problem in 0..PROBLEMS {
            write!(
                text,
                "\n```homework\nname = \"drop-{lesson}-{problem}\"\ntitle = \"Drop\"\nuse = \"voltage-drop\"\n\
                 text = \"{{current_a}} and {{run_out_m}}\"\n[draw]\ncurrent_a = {{ from = 100, to = 200, step = 10 }}\n\
                 run_out_m = {{ from = 1, to = 2, step = 0.1 }}\n[[ask]]\nname = \"a\"\ntext = \"Volts?\"\noutput = \"drop_v\"\nunit = \"V\"\n```\n"
            )?;
        }
        fs::write(folder.join(format!("{}-lesson-{lesson}.md", 10 + lesson)), text)?;
    }
    Ok(())
}

/// A roster and a file for each student and lesson.
fn class(folder: &Path, students: usize, lessons: usize) -> Result<()> {
    let mut roster = "code\n".to_owned();
    fs::create_dir_all(folder.join("handed-in"))?;
    for student in 0..students {
        // Half of the drawn places have no check letter.
        let places = |last: u8| {
            Code::of([(student % 28) as u8, (student / 28 % 28) as u8, (student / 784) as u8, 1, 4, last])
        };
        let code = (0..28).find_map(places).context("one of 28 checks")?;
        writeln!(roster, "{code}")?;
        for lesson in 0..lessons {
            let homework: Vec<_> = (0..PROBLEMS)
                .map(|problem| json!({ "name": format!("drop-{lesson}-{problem}"), "answers": { "a": "0.31 V" }, "reasons": [] }))
                .collect();
            let hand_in = json!({
                "fieldcoil_hand_in": 1, "course": "Speed", "edition": "1", "term": "Now", "key": "a-long-enough-key",
                "lesson": format!("lesson-{lesson}"), "code": code.to_string(), "draw": 1, "tool": "0.1.0",
                "started": "2026-09-09T08:00:00Z", "handed_in": "2026-09-09T09:00:00Z",
                "homework": homework, "readings": [], "checklists": []
            });
            let name = format!("handed-in/handin_lesson-{lesson}_{code}.json");
            fs::write(folder.join(name), serde_json::to_vec_pretty(&hand_in)?)?;
        }
    }
    fs::write(folder.join("class.csv"), roster)?;
    Ok(())
}
