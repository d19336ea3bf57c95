//! What the pages of a lesson come from, as a digest: as long as it stays, they stay.

use super::Reader;
use crate::course::{Outline, Role};
use crate::source::Digest;
use crate::worked::question;

/// What every lesson of a course hangs on: this program, what the course says of itself, its files that are no lessons,
/// and what lessons see of each other.
pub struct Around(String);

impl Around {
    /// What is around the lessons of this course.
    pub fn of(reader: &Reader) -> Self {
        let mut digest = Digest::default();
        digest.add(env!("FIELDCOIL_SOURCES"));
        for text in reader.sources.texts.iter().filter(|text| !text.path.ends_with(".md")) {
            digest.add(&text.path);
            digest.add(&text.text);
        }
        for asset in &reader.sources.assets {
            digest.add(&asset.path);
            digest.add(&asset.bytes);
        }
        for outline in reader.texts() {
            digest.add(seen(outline));
            for (name, inputs) in reader.values.runs_of(&outline.address).into_iter().flatten() {
                digest.add(name);
                digest.add(inputs.as_ref().map(question).unwrap_or_default());
            }
        }
        Around(digest.hex())
    }

    /// What the pages of a lesson come from; nothing for one with a table that is made from the rest of the course.
    pub fn origin(&self, reader: &Reader, outline: &Outline) -> Option<String> {
        let source = reader.sources.text(outline.file).filter(|_| outline.holds.tables.is_empty())?;
        let mut digest = Digest::default();
        for part in [self.0.as_str(), &seen(outline), &source.path, &source.text] {
            digest.add(part);
        }
        // Half of it is enough that no two texts of a course share it.
        let mut origin = digest.hex();
        origin.truncate(32);
        Some(origin)
    }
}

/// What other lessons see of one. Places in texts are not part of it: a line more moves them, and nobody sees it.
fn seen(outline: &Outline) -> String {
    let Outline { role, address, number, module, title, summary, minutes, .. } = outline;
    let role = match role {
        Role::Lesson => "lesson",
        Role::Page { instructor: true } => "instructor",
        Role::Page { instructor: false } => "page",
    };
    let (anchors, bench) = (outline.anchors(), outline.holds.for_bench);
    format!("{:?}", (role, address, number, module, title, summary, minutes, anchors, bench))
}
