//! `fieldcoil proof`: every finding on a course, and nothing written.

use std::io::{self, Write};

use anyhow::Result;

use super::{Outcome, styled_output, write_findings};
use crate::finding::render;
use crate::options::{CourseOptions, Format};
use crate::{pipeline, source};

/// Runs the command.
pub fn run(options: &CourseOptions, format: Format) -> Result<Outcome> {
    let (sources, found) = source::load::course(&options.folder)?;
    let (checked, found) = pipeline::check(&sources, found);
    let folder = options.folder_words();
    let mut out = io::stdout().lock();
    match format {
        Format::Json => write!(out, "{}", render::as_json(&found, &sources, &folder))?,
        Format::Short => {
            for finding in &found {
                writeln!(out, "{}", render::in_one_line(finding, &sources, &folder))?;
            }
        }
        Format::Text => {
            write_findings(&mut out, styled_output(), &found, &sources, &folder)?;
            let lessons = checked.course().lessons.len();
            let counted = format!("{lessons} lesson{}", if lessons == 1 { "" } else { "s" });
            match render::count_words(&found).as_str() {
                "" => writeln!(out, "{counted}, nothing found.")?,
                words => writeln!(out, "{counted}, {words}.")?,
            }
        }
    }
    Ok(if pipeline::is_stopped(&found, options.strict) { Outcome::Errors } else { Outcome::Fine })
}
