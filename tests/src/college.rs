//! A college's lessons for measuring: as many as wanted, some 6 KB each, no two alike, all invented.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use anyhow::Result;

/// So many lessons are one module.
const MODULE: usize = 50;

/// Writes a course of `count` lessons into an empty folder.
pub fn write(folder: &Path, count: usize) -> Result<()> {
    fs::create_dir_all(folder)?;
    fs::write(folder.join("course.toml"), about(count))?;
    for number in 0..count {
        fs::write(folder.join(file_name(number)), lesson(number, count))?;
    }
    Ok(())
}

/// The file of a lesson.
pub fn file_name(number: usize) -> String {
    format!("{number:05}-{}.md", address(number))
}

fn address(number: usize) -> String {
    format!("bench-{number}")
}

fn about(count: usize) -> String {
    let mut text = String::from(
        "title = \"Two hundred courses\"\nsummary = \"Lessons made for measuring.\"\nschool = \"A college \
         (invented)\"\nauthor = \"Made by a program\"\nedition = \"1\"\nlanguage = \"en\"\n",
    );
    for (module, first) in (0..count).step_by(MODULE).enumerate() {
        let lessons: Vec<String> =
            (first..count.min(first + MODULE)).map(|number| format!("{:?}", address(number))).collect();
        let _ = write!(
            text,
            "\n[[module]]\ntitle = \"Course {module}\"\nsummary = \"The lessons of course {module}.\"\nlessons = \
             [{}]\n",
            lessons.join(", ")
        );
    }
    text
}

/// The text of one lesson.
pub fn lesson(number: usize, count: usize) -> String {
    let cable_m = 1.0 + (number % 37) as f64 / 10.0;
    let current = 60 + number % 211;
    let other = (number * 7 + 3) % count;
    let drop = current as f64 * 0.000_8 * cable_m;
    LESSON
        .replace("@N", &number.to_string())
        .replace("@CURRENT", &current.to_string())
        .replace("@LENGTH", &format!("{cable_m:.1}"))
        .replace("@DROP", &format!("{drop:.4}"))
        .replace("@OTHER", &file_name(other))
}

const LESSON: &str = include_str!("college.md");
