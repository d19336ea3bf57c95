//! `fieldcoil site`: the course site, or every finding and no site.

use std::fs;
use std::io::{self, Write};
use std::time::Instant;

use anyhow::{Context, Result};

use super::{Outcome, write_told};
use crate::finding::{Severity, render};
use crate::options::SiteOptions;
use crate::publish::{self, Change, Made};
use crate::{packed, pipeline, source};

/// Runs the command.
pub fn run(options: &SiteOptions) -> Result<Outcome> {
    let begun = Instant::now();
    let (sources, found) = source::load::course(&options.course.folder)?;
    // An unfit folder is told before any work is done, and whatever the lessons are like.
    publish::check_folder(&options.out, Made::Site, &options.course.folder, options.take_over)?;
    if let Some(file) = &options.zip {
        publish::check_file(file, &options.out, &options.course.folder)?;
    }
    let (course, found) = pipeline::check(&sources, found);
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

    let site = pipeline::site(&course, &sources)?;
    let zip = options.zip.as_ref().map(|_| packed::zip(&site, &course.about.title)).transpose()?;
    let site = if options.compressed { packed::with_twins(site)? } else { site };
    let published = publish::publish(&site, Made::Site, &options.out, options.take_over)?;
    let pages = site.files.keys().filter(|path| path.ends_with(".html")).count();
    let bytes: usize = site.files.values().map(Vec::len).sum();
    let mut out = io::stdout().lock();
    writeln!(
        out,
        "{}: {}, {}, {} in {} files ({:.2} s).",
        course.about.title,
        counted_words(course.lessons.len(), "lesson"),
        counted_words(pages, "page"),
        size_words(bytes),
        site.files.len(),
        begun.elapsed().as_secs_f64()
    )?;
    let changed = match published {
        Change::Nothing => "Nothing has changed; nothing was written".to_owned(),
        Change::Files { written, removed: 0 } => format!("{} new or changed", counted_words(written, "file")),
        Change::Files { written, removed } => {
            format!("{} new or changed, {removed} gone", counted_words(written, "file"))
        }
    };
    writeln!(out, "{changed}.")?;
    if let (Some(file), Some(bytes)) = (&options.zip, zip) {
        let is_new = publish::write_whole(file, &bytes)?;
        let said = if is_new { "Packed" } else { "Packed already" };
        writeln!(out, "{said}: {} ({}).", file.display(), size_words(bytes.len()))?;
    }
    let index = fs::canonicalize(options.out.join("index.html")).context("the site has no first page")?;
    writeln!(out, "Open it: {}", index.display())?;
    Ok(Outcome::Fine)
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
