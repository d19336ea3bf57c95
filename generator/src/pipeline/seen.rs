//! The look at one lesson: what it gives for the course as a whole, and when it is not needed again.

use std::collections::{BTreeMap, BTreeSet};

use fieldcoil_calc::report::Source;

use crate::course::{Lesson, Outline, Piece};
use crate::finding::Finding;
use crate::publish::Standing;
use crate::resolve::{Around, Reader};
use crate::site::asset_path;
use crate::{proof, render};

/// What the look at one lesson gave for the whole.
#[derive(Default)]
pub struct Seen {
    /// What was found in it.
    pub found: Vec<Finding>,
    /// Words of the glossary that it uses, by their places there.
    pub words: BTreeSet<usize>,
    /// Files that it shows or links to: place in the site to path below the course folder.
    pub files: BTreeMap<String, String>,
    /// What its calculators say of their facts, in a course that has a page for them.
    pub cited: Vec<Source>,
    /// What its pages come from, by their paths; none when something was found in it.
    pub origins: Vec<(String, String)>,
}

/// What lessons were made from, and what of them stands as it was made.
pub struct Kept<'k, 's> {
    standing: &'k Standing,
    around: Around,
    /// Is every lesson to be read in any case, since a page lists what all of them name?
    reads_all: bool,
    /// Path below the course folder by place in the site.
    assets: BTreeMap<String, &'s str>,
}

impl<'k, 's> Kept<'k, 's> {
    /// What stands of the lessons of this course.
    pub fn of(reader: &Reader<'s>, standing: &'k Standing) -> Self {
        let sources = reader.sources;
        let assets = sources.assets.iter().map(|asset| (asset.path.as_str(), asset.bytes.as_slice()));
        let texts = sources.texts.iter().filter(|text| !text.path.ends_with(".md"));
        let texts = texts.map(|text| (text.path.as_str(), text.text.as_bytes()));
        let place = |(path, bytes): (&'s str, &[u8])| (asset_path(path, bytes), path);
        Kept {
            standing,
            around: Around::of(reader),
            reads_all: !reader.course.glossary.entries.is_empty() || render::has_sources(&reader.course),
            assets: assets.chain(texts).map(place).collect(),
        }
    }

    /// The files that a lesson shows, when its pages stand and were made from `origin`. Beside it, the page of a lesson
    /// says which these are.
    fn files(&self, outline: &Outline, origin: &str) -> Option<BTreeMap<String, String>> {
        let mut files = BTreeMap::new();
        for path in render::page_paths(outline) {
            let mut words = self.standing.origin(&path)?.split(' ');
            if words.next() != Some(origin) {
                return None;
            }
            for place in words {
                self.standing.size(place)?;
                files.insert(place.to_owned(), (*self.assets.get(place)?).to_owned());
            }
        }
        Some(files)
    }
}

impl Seen {
    /// Looks at a lesson, unless it stands as it was when nothing was found in it.
    pub fn of(reader: &Reader, outline: &Outline, kept: Option<&Kept>) -> Self {
        let origin = kept.and_then(|kept| kept.around.origin(reader, outline));
        let files = match (kept, &origin) {
            (Some(kept), Some(origin)) => kept.files(outline, origin),
            _ => None,
        };
        let stands = files.is_some();
        if let Some(files) = files.filter(|_| kept.is_some_and(|kept| !kept.reads_all)) {
            let origins = origins(outline, origin.as_deref(), &files);
            return Seen { files, origins, ..Seen::default() };
        }
        let read = reader.read(outline);
        let mut found = read.found.clone();
        if !stands {
            found.extend(proof::lesson(&read.lesson, &reader.course));
        }
        let origin = origin.filter(|_| found.is_empty());
        Seen {
            origins: origins(outline, origin.as_deref(), &read.files),
            cited: if render::has_sources(&reader.course) { cited(&read.lesson) } else { Vec::new() },
            words: read.words.clone(),
            files: read.files.clone(),
            found,
        }
    }
}

fn origins(
    outline: &Outline,
    origin: Option<&str>,
    files: &BTreeMap<String, String>,
) -> Vec<(String, String)> {
    let Some(origin) = origin else { return Vec::new() };
    let with_files = files.keys().fold(origin.to_owned(), |all, place| format!("{all} {place}"));
    render::page_paths(outline).into_iter().map(|path| (path, with_files.clone())).collect()
}

/// What the calculators of a lesson say of their facts.
fn cited(lesson: &Lesson) -> Vec<Source> {
    let calculators = lesson.pieces.iter().filter_map(|piece| match piece {
        Piece::Calculator(block) => Some(&block.sources),
        _ => None,
    });
    calculators.flatten().cloned().collect()
}
