//! The stages in order. Nothing else calls more than one of them.

mod seen;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use anyhow::Result;

use crate::course::Course;
use crate::finding::{self, Finding};
use crate::handouts::{self, Settings};
use crate::publish::Standing;
use crate::resolve::{Read, Reader};
use crate::roster::Roster;
use crate::site::{Files, Site};
use crate::source::SourceSet;
use crate::{parse, proof, render, resolve, threads};
use seen::{Kept, Seen};

/// A course that has been looked at from end to end.
#[derive(Debug)]
pub struct Checked<'s> {
    /// The course, and its lessons when they are wanted.
    pub reader: Reader<'s>,
    /// Files that lessons show or link to: place in the site to path below the course folder.
    shown: BTreeMap<String, String>,
    /// What the pages of lessons come from, by their paths, where nothing was found that is to be told again.
    origins: BTreeMap<String, String>,
}

impl<'s> Checked<'s> {
    /// The course.
    pub fn course(&self) -> &Course {
        &self.reader.course
    }

    /// Its lessons, whole.
    pub fn lessons(&self) -> Vec<Arc<Read<'s>>> {
        self.course().lessons.iter().map(|lesson| self.reader.read(lesson)).collect()
    }
}

/// Texts to a course that has been proofed, with everything that was found on the way, sorted.
///
/// `found` is what the reading of the folder has found already.
pub fn check(sources: &SourceSet, found: Vec<Finding>) -> (Checked<'_>, Vec<Finding>) {
    look(sources, found, None)
}

/// As [`check`], but lessons whose pages stand as they would be made are not looked at again: nothing was found in them
/// then.
pub fn check_beside<'s>(
    sources: &'s SourceSet,
    found: Vec<Finding>,
    standing: &Standing,
) -> (Checked<'s>, Vec<Finding>) {
    look(sources, found, Some(standing))
}

fn look<'s>(
    sources: &'s SourceSet,
    mut found: Vec<Finding>,
    standing: Option<&Standing>,
) -> (Checked<'s>, Vec<Finding>) {
    let (texts, more) = parse::course(sources);
    found.extend(more);
    let (mut reader, more) = resolve::course(texts, sources);
    found.extend(more);
    let kept = standing.map(|standing| Kept::of(&reader, standing));
    let texts = reader.texts();
    // Working the draws of homework takes longer than all else, so lessons are shared out.
    let seen = threads::each(texts.len(), |index| Seen::of(&reader, texts[index], kept.as_ref()));
    let numbers: Vec<usize> = texts.iter().map(|text| text.number).collect();
    let (mut shown, mut words, mut origins) = (BTreeMap::new(), BTreeSet::new(), BTreeMap::new());
    for (number, seen) in numbers.into_iter().zip(seen) {
        found.extend(seen.found);
        shown.extend(seen.files);
        words.extend(seen.words);
        origins.extend(seen.origins);
        if number > 0 && !seen.cited.is_empty() {
            reader.course.cited.insert(number, seen.cited);
        }
    }
    resolve::idle_words(&reader.course.glossary, &words, &mut found);
    found.extend(proof::course(&reader.course));
    finding::sort(&mut found);
    (Checked { reader, shown, origins }, finding::leave_out_repeats(found))
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
pub fn files(checked: &Checked) -> impl Files {
    render::site(&checked.reader, &checked.shown, &checked.origins)
}

/// A course to its site, all of it in memory. Fails when the theme is broken, which no lesson can bring about.
pub fn site(checked: &Checked) -> Result<Site> {
    Site::of(&files(checked))
}

/// The interface's words of one table, by their names, for what is shown beside a site.
pub fn words(language: &str, table: &str) -> BTreeMap<String, String> {
    render::words::Words::of(language).texts(table).collect()
}

/// A course and a class to the folder of their handouts: the lessons of these addresses, or all that have work in them.
/// Fails when there is nothing to give out.
pub fn handouts(checked: &Checked, roster: &Roster, wanted: &[String], settings: Settings) -> Result<Site> {
    let course = &checked.reader.course;
    let chosen = handouts::choose(course, wanted)?;
    let lessons: Vec<_> = chosen.into_iter().map(|lesson| checked.reader.read(lesson)).collect();
    handouts::class_set(course, roster, &lessons, !wanted.is_empty(), settings)
}
