//! The stages in order. Nothing else calls more than one of them.

use std::collections::BTreeMap;

use anyhow::Result;

use crate::course::Course;
use crate::finding::{self, Finding};
use crate::handouts::{self, Settings};
use crate::roster::Roster;
use crate::site::{Files, Site};
use crate::source::SourceSet;
use crate::{parse, proof, render, resolve};

/// Texts to a course that has been proofed, with everything that was found on the way, sorted.
///
/// `found` is what the reading of the folder has found already.
pub fn check(sources: &SourceSet, mut found: Vec<Finding>) -> (Course<'_>, Vec<Finding>) {
    let (texts, more) = parse::course(sources);
    found.extend(more);
    let (course, more) = resolve::course(texts, sources);
    found.extend(more);
    found.extend(proof::course(&course));
    finding::sort(&mut found);
    (course, finding::leave_out_repeats(found))
}

/// Do these findings keep the course from being published? With `strict` warnings do too.
pub fn is_stopped(found: &[Finding], strict: bool) -> bool {
    use finding::Severity;
    found.iter().any(|finding| match finding.severity {
        Severity::Error => true,
        Severity::Warning => strict,
        Severity::Hint => false,
    })
}

/// A course to the files of its site, each made when it is asked for.
pub fn files<'c>(course: &'c Course<'_>, sources: &'c SourceSet) -> impl Files + 'c {
    render::site(course, sources)
}

/// A course to its site, all of it in memory. Fails when the theme is broken, which no lesson can bring about.
pub fn site(course: &Course, sources: &SourceSet) -> Result<Site> {
    Site::of(&files(course, sources))
}

/// The interface's words of one table, by their names, for what is shown beside a site.
pub fn words(language: &str, table: &str) -> BTreeMap<String, String> {
    render::words::Words::of(language).texts(table).collect()
}

/// A course and a class to the folder of their handouts: the lessons of these addresses, or all that have work in them.
/// Fails when there is nothing to give out.
pub fn handouts(course: &Course, roster: &Roster, wanted: &[String], settings: Settings) -> Result<Site> {
    let lessons = handouts::choose(course, wanted)?;
    handouts::class_set(course, roster, &lessons, !wanted.is_empty(), settings)
}
