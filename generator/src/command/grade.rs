//! `fieldcoil grade`: gradebook, flags and a page for each student, from a folder of hand-ins.

mod files;

use std::collections::BTreeSet;
use std::fs;
use std::io::{self, IsTerminal, Write};
use std::time::Instant;

use anyhow::{Context, Result, bail};

use super::{Outcome, write_told};
use crate::finding::nearest::nearest;
use crate::finding::render;
use crate::grade::{self, Plan, Wishes};
use crate::options::GradeOptions;
use crate::publish::{self, Made};
use crate::roster::{self, Roster};
use crate::{pipeline, source};

/// Bytes that a roster may have.
const MOST_ROSTER_BYTES: u64 = 4 * 1024 * 1024;

/// Runs the command.
pub fn run(options: &GradeOptions) -> Result<Outcome> {
    let begun = Instant::now();
    let (sources, found) = source::load::course(&options.course.folder)?;
    publish::check_folder(&options.out, Made::Grades, &options.course.folder, options.take_over)?;
    files::check_private(&options.out, &options.hand_ins, &options.roster)?;
    let (checked, found) = pipeline::check(&sources, found);
    let course = checked.course();
    let mut errors = io::stderr().lock();
    if pipeline::is_stopped(&found, options.course.strict) {
        write_told(&mut errors, &found, &sources, &options.course.folder_words())?;
        writeln!(errors, "{}: nothing was graded.", render::count_words(&found))?;
        return Ok(Outcome::Errors);
    }
    let lessons = checked.lessons();
    let Some(plan) = Plan::of(course, &lessons) else {
        bail!(
            "the course has no `[term]`, without which no student has numbers: add the table to `course.toml`, with name, starts and key"
        );
    };
    let lessons = wanted(&plan, &options.lessons)?;
    let (roster, roster_complaints) = read_roster(options)?;
    for complaint in &roster_complaints {
        writeln!(errors, "{complaint}")?;
    }
    if !roster_complaints.is_empty() {
        writeln!(errors, "The roster has to be right first: nothing was graded.")?;
        return Ok(Outcome::Errors);
    }
    let without = roster.students.iter().filter(|student| student.code.is_none()).count();
    if roster.students.len() == without {
        bail!(
            "no student on the roster `{}` has a code: `fieldcoil handouts` draws them",
            options.roster.display()
        );
    }
    if without > 0 {
        writeln!(errors, "{} on the roster without a code left out.", counted(without, "student"))?;
    }

    let given = files::given(&options.hand_ins)?;
    if given.is_empty() {
        writeln!(
            errors,
            "Nothing was handed in: `{}` has no file that ends in .json or .csv. What came as an archive is unpacked first.",
            options.hand_ins.display()
        )?;
    }
    let read = given.iter().filter(|given| given.bytes.is_ok());
    let tables = read.clone().filter(|given| grade::is_table(&given.file)).count();
    let counts = (read.count() - tables, tables);
    let shows = io::stderr().is_terminal();
    let mut progress = |done: usize, all: usize| {
        // Once in a while is enough for a line that says how far it is.
        if shows && (done.is_multiple_of(16) || done == all) {
            let end = if done == all { "\r\x1b[K" } else { "" };
            let _ = write!(errors, "\rMarked the work of {done} of {all} students{end}");
            let _ = errors.flush();
        }
    };
    let wishes = Wishes { lessons, names: options.names };
    let graded = grade::class(course, &plan, &roster, given, &wishes, &mut progress)?;
    for complaint in &graded.complaints {
        writeln!(errors, "{complaint}")?;
    }
    let published = publish::publish(&graded.site, Made::Grades, None, &options.out, options.take_over)?;
    let mut out = io::stdout().lock();
    writeln!(
        out,
        "{}, {}: {} and {} for {} in {} ({:.2} s).",
        course.about.title,
        plan.term.name,
        counted(counts.0, "hand-in"),
        counted(counts.1, "table"),
        counted(graded.students, "student"),
        counted(graded.lessons, "lesson"),
        begun.elapsed().as_secs_f64()
    )?;
    let changed = match published.is_unchanged() {
        true => "nothing has changed".to_owned(),
        false => {
            format!("{} new or changed, {} gone", counted(published.written, "file"), published.removed)
        }
    };
    writeln!(
        out,
        "{} to look at, {} to mark by hand; {changed}.",
        counted(graded.flags, "flag"),
        counted(graded.to_mark, "reason")
    )?;
    writeln!(out, "Keep the folder private: it holds marks, answers and a key.")?;
    let index = fs::canonicalize(options.out.join("index.html")).context("there is no class page")?;
    writeln!(out, "Open it: {}", index.display())?;
    Ok(Outcome::Fine)
}

/// The places of the lessons that were named.
fn wanted(plan: &Plan, lessons: &[String]) -> Result<BTreeSet<usize>> {
    let mut places = BTreeSet::new();
    for lesson in lessons {
        let Some(place) = plan.lesson(lesson) else {
            let known = || plan.lessons.iter().map(|lesson| lesson.address);
            let near = nearest(lesson, known()).map(|near| format!(" Did you mean `{near}`?"));
            let known: Vec<String> = known().map(|address| format!("`{address}`")).collect();
            bail!(
                "the course has no lesson `{}` with anything to hand in.{} There are {}",
                crate::finding::shown(lesson),
                near.unwrap_or_default(),
                if known.is_empty() { "none".to_owned() } else { known.join(", ") }
            );
        };
        places.insert(place);
    }
    Ok(places)
}

fn read_roster(options: &GradeOptions) -> Result<(Roster, Vec<crate::complaint::Complaint>)> {
    let path = &options.roster;
    let about = fs::metadata(path).with_context(|| format!("cannot read the roster `{}`", path.display()))?;
    if !about.is_file() || about.len() > MOST_ROSTER_BYTES {
        bail!("the roster `{}` is no CSV file of at most {} MB", path.display(), MOST_ROSTER_BYTES >> 20);
    }
    let bytes = fs::read(path).with_context(|| format!("cannot read the roster `{}`", path.display()))?;
    let Ok(text) = String::from_utf8(bytes) else {
        bail!("the roster `{}` is not UTF-8: save it as CSV in UTF-8", path.display());
    };
    Ok(roster::read(&path.to_string_lossy(), &text))
}

fn counted(count: usize, word: &str) -> String {
    format!("{count} {word}{}", if count == 1 { "" } else { "s" })
}
