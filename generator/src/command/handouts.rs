//! `fieldcoil handouts`: a class set on paper with its answer keys, and the codes of students who have none.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use anyhow::{Context, Result, anyhow, bail};

use super::{Outcome, write_told};
use crate::finding::render;
use crate::handouts::{self, ROSTER, SIGN_OFF};
use crate::options::HandoutsOptions;
use crate::publish::{self, Made};
use crate::roster::{self, Roster};
use crate::site::Site;
use crate::{pipeline, source};

/// A roster larger than this is another file.
const LARGEST_ROSTER: u64 = 4 << 20;

/// Runs the command.
pub fn run(options: &HandoutsOptions) -> Result<Outcome> {
    let (mut roster, complaints) = read(&options.roster)?;
    let mut errors = io::stderr().lock();
    if !complaints.is_empty() {
        for complaint in &complaints {
            writeln!(errors, "{complaint}\n")?;
        }
        writeln!(errors, "{}: nothing was made.", counted(complaints.len(), "mistake"))?;
        return Ok(Outcome::Errors);
    }
    if roster.students.is_empty() {
        bail!("the roster `{}` has no students; add a line for each", options.roster.display());
    }
    publish::check_folder(&options.out, Made::Handouts, &options.course.folder, options.take_over)?;
    check_roster(options, &roster)?;
    let drawn = handouts::draw_codes(&mut roster, getrandom::fill)
        .map_err(|problem| anyhow!("this machine gives no random numbers for codes: {problem}"))?;

    let (site, title) = match options.codes_only {
        true => (handouts::roster_alone(&roster, &options.roster.display().to_string())?, String::new()),
        false => {
            let (sources, found) = source::load::course(&options.course.folder)?;
            let (checked, found) = pipeline::check(&sources, found);
            write_told(&mut errors, &found, &sources, &options.course.folder_words())?;
            if pipeline::is_stopped(&found, options.course.strict) {
                writeln!(errors, "{}: nothing was made.", render::count_words(&found))?;
                return Ok(Outcome::Errors);
            }
            let site = pipeline::handouts(&checked, &roster, &options.lessons, options.settings)?;
            (site, checked.course().about.title.clone())
        }
    };
    refuse_own_roster(options, &site)?;
    publish::publish(&site, Made::Handouts, None, &options.out, options.take_over)?;
    say(options, &roster, drawn, &title, &site)?;
    Ok(Outcome::Fine)
}

fn say(options: &HandoutsOptions, roster: &Roster, drawn: usize, title: &str, site: &Site) -> Result<()> {
    let mut out = io::stdout().lock();
    let students = counted(roster.students.len(), "student");
    if options.codes_only {
        writeln!(out, "{students}.")?;
    } else {
        // What is not a lesson there: the list of all, and the sign-off sheets.
        let signs = site.files.contains_key(SIGN_OFF);
        let sets =
            site.files.keys().filter(|path| path.starts_with("students/")).count() - 1 - usize::from(signs);
        let signs = if signs { ", sign-off sheets" } else { "" };
        writeln!(out, "{title}: {students}, {}{signs}.", counted(sets, "lesson"))?;
    }
    let place = options.out.join(ROSTER);
    match drawn {
        0 => writeln!(out, "Every student had a code; the roster is also in `{}`.", place.display())?,
        drawn => writeln!(
            out,
            "{} drawn. The completed roster is `{}`: keep a copy and use it from now on. `{}` was not changed.",
            if drawn == 1 { "1 code was".to_owned() } else { format!("{drawn} codes were") },
            place.display(),
            options.roster.display()
        )?,
    }
    writeln!(
        out,
        "Answer keys and names are in `{}`: keep it to yourself.",
        options.out.join("instructor").display()
    )?;
    if !options.codes_only {
        let index = fs::canonicalize(options.out.join("students/index.html"))?;
        writeln!(out, "Open it and print: {}", index.display())?;
    }
    Ok(())
}

/// The roster in a file, and its slips.
fn read(file: &Path) -> Result<(Roster, Vec<crate::complaint::Complaint>)> {
    let shown = file.display();
    let about = fs::metadata(file).with_context(|| format!("cannot read the roster `{shown}`"))?;
    if !about.is_file() {
        bail!("`{shown}` is no file; the roster is a CSV file with a line a student");
    }
    if about.len() > LARGEST_ROSTER {
        bail!("`{shown}` is larger than {} MB; a roster has a short line a student", LARGEST_ROSTER >> 20);
    }
    let bytes = fs::read(file).with_context(|| format!("cannot read the roster `{shown}`"))?;
    let text = String::from_utf8(bytes)
        .map_err(|_| anyhow!("`{shown}` is no text in UTF-8; save the roster as “CSV UTF-8”"))?;
    Ok(roster::read(&shown.to_string(), &text))
}

/// Codes that were drawn stand in the folder alone until somebody copies them: they are not thrown away unasked.
fn check_roster(options: &HandoutsOptions, roster: &Roster) -> Result<()> {
    let place = options.out.join(ROSTER);
    if options.take_over || !place.exists() {
        return Ok(());
    }
    let (kept, _) = read(&place)?;
    let lost =
        kept.students.iter().filter_map(|student| student.code).filter(|code| roster.find(*code).is_none());
    let lost: Vec<String> = lost.map(|code| code.to_string()).collect();
    if let Some(first) = lost.first() {
        bail!(
            "`{}` has {} that `{}` has not, such as {first}, and they would be lost. Give a copy of that file with \
             --roster, choose another folder with --out, or say --take-over to do without them",
            place.display(),
            counted(lost.len(), "code"),
            options.roster.display()
        );
    }
    Ok(())
}

/// The given file is never written over, also when it is the folder's own roster.
fn refuse_own_roster(options: &HandoutsOptions, site: &Site) -> Result<()> {
    let place = publish::resolved(&options.out)?;
    let given = fs::canonicalize(&options.roster)?;
    let Ok(below) = given.strip_prefix(&place) else { return Ok(()) };
    let same = site.files.get(&below.to_string_lossy().into_owned());
    if same.is_some_and(|bytes| fs::read(&given).is_ok_and(|old| old == *bytes)) {
        return Ok(());
    }
    bail!(
        "`{}` stands in the folder that is made anew, and is never written over. Copy it to another place and give that \
         with --roster",
        options.roster.display()
    )
}

fn counted(count: usize, word: &str) -> String {
    format!("{count} {word}{}", if count == 1 { "" } else { "s" })
}
