//! `fieldcoil site`: the course site, or every finding and no site.

use std::fs;
use std::io::{self, Write};
use std::time::Instant;

use anyhow::{Context, Result};

use super::{Outcome, write_told};
use crate::finding::{Severity, render};
use crate::options::SiteOptions;
use crate::publish::{self, Made, Published, Standing};
use crate::site::{Files, Site};
use crate::source::SourceSet;
use crate::{packed, pipeline, source};

const NOTHING_NEW: &str = "Nothing has changed; nothing was written.";

/// Runs the command.
pub fn run(options: &SiteOptions) -> Result<Outcome> {
    let begun = Instant::now();
    let (sources, found) = source::load::course(&options.course.folder)?;
    // An unfit folder is told before any work is done, and whatever the lessons are like.
    publish::check_folder(&options.out, Made::Site, &options.course.folder, options.take_over)?;
    if let Some(file) = &options.zip {
        publish::check_file(file, &options.out, &options.course.folder)?;
    }
    let made_from = made_from(&sources, options);
    let standing = Standing::of(&options.out, Made::Site);
    if found.is_empty() && options.zip.is_none() && standing.is_made_from(&made_from) {
        let mut out = io::stdout().lock();
        writeln!(out, "{NOTHING_NEW}")?;
        say_where(options, &mut out)?;
        return Ok(Outcome::Fine);
    }
    // What goes into two places is made once, and held.
    let is_held = options.zip.is_some() || options.compressed;
    let (checked, found) = match is_held {
        true => pipeline::check(&sources, found),
        false => pipeline::check_beside(&sources, found, &standing),
    };
    let course = checked.course();
    let mut errors = io::stderr().lock();
    write_told(&mut errors, &found, &sources, &options.course.folder_words())?;
    let counted = render::count_words(&found);
    if pipeline::is_stopped(&found, options.course.strict) {
        writeln!(errors, "{counted}: nothing was published{}.", kept(options))?;
        return Ok(Outcome::Errors);
    }
    if !counted.is_empty() {
        let more = if found.iter().any(|finding| finding.severity == Severity::Hint) {
            " `fieldcoil proof` shows hints."
        } else {
            ""
        };
        writeln!(errors, "{counted}.{more}\n")?;
    }

    let plan = pipeline::files(&checked);
    let held = if is_held { Some(Site::of(&plan)?) } else { None };
    let zip = match (&held, &options.zip) {
        (Some(site), Some(_)) => Some(packed::zip(site, &course.about.title)?),
        _ => None,
    };
    let held = match held {
        Some(site) if options.compressed => Some(packed::with_twins(site)?),
        held => held,
    };
    let files: &dyn Files = match &held {
        Some(site) => site,
        None => &plan,
    };
    // What was told is to be told again when nothing has changed. Hints are never told here.
    let is_quiet = found.iter().all(|finding| finding.severity == Severity::Hint);
    let made_from = Some(made_from).filter(|_| is_quiet);
    let published = publish::publish(files, Made::Site, made_from, &options.out, options.take_over)?;
    let paths = files.paths();
    let pages = paths.iter().filter(|path| path.ends_with(".html")).count();
    let mut out = io::stdout().lock();
    writeln!(
        out,
        "{}: {}, {}, {} in {} files ({:.2} s).",
        course.about.title,
        counted_words(course.lessons.len(), "lesson"),
        counted_words(pages, "page"),
        size_words(published.bytes),
        paths.len(),
        begun.elapsed().as_secs_f64()
    )?;
    let Published { written, removed, .. } = published;
    match (published.is_unchanged(), removed) {
        (true, _) => writeln!(out, "{NOTHING_NEW}")?,
        (false, 0) => writeln!(out, "{} new or changed.", counted_words(written, "file"))?,
        (false, _) => writeln!(out, "{} new or changed, {removed} gone.", counted_words(written, "file"))?,
    }
    if let (Some(file), Some(bytes)) = (&options.zip, zip) {
        let is_new = publish::write_whole(file, &bytes)?;
        let said = if is_new { "Packed" } else { "Packed already" };
        writeln!(out, "{said}: {} ({}).", file.display(), size_words(bytes.len()))?;
    }
    say_where(options, &mut out)?;
    Ok(Outcome::Fine)
}

fn say_where(options: &SiteOptions, out: &mut impl Write) -> Result<()> {
    let index = fs::canonicalize(options.out.join("index.html")).context("the site has no first page")?;
    Ok(writeln!(out, "Open it: {}", index.display())?)
}

/// A digest of everything that the site comes from: the course, the wishes, and this program with its theme.
fn made_from(sources: &SourceSet, options: &SiteOptions) -> String {
    let twins = if options.compressed { "with twins" } else { "" };
    format!("{} {} {twins}", env!("FIELDCOIL_SOURCES"), sources.digest()).trim_end().to_owned()
}

fn kept(options: &SiteOptions) -> String {
    match options.out.join("index.html").exists() {
        true => format!("; the site in `{}` is as it was", options.out.display()),
        false => String::new(),
    }
}

fn counted_words(count: usize, word: &str) -> String {
    format!("{count} {word}{}", if count == 1 { "" } else { "s" })
}

fn size_words(bytes: usize) -> String {
    match bytes {
        0..=9_999 => format!("{bytes} bytes"),
        10_000..=9_999_999 => format!("{} kB", bytes.div_ceil(1000)),
        _ => format!("{} MB", bytes.div_ceil(1_000_000)),
    }
}
