//! What the pages of a lesson come from, as a digest: as long as it stays, they stay.

use sha2::{Digest, Sha256};

use super::Reader;
use crate::course::{Outline, Role};
use crate::worked::question;

/// What every lesson of a course hangs on: this program, what the course says of itself, its files that are no lessons,
/// and what lessons see of each other.
pub struct Around(String);

impl Around {
    /// What is around the lessons of this course.
    pub fn of(reader: &Reader) -> Self {
        let mut digest = Sha256::new();
        let mut add = |bytes: &[u8]| {
            digest.update((bytes.len() as u64).to_le_bytes());
            digest.update(bytes);
        };
        add(env!("FIELDCOIL_SOURCES").as_bytes());
        for text in reader.sources.texts.iter().filter(|text| !text.path.ends_with(".md")) {
            add(text.path.as_bytes());
            add(text.text.as_bytes());
        }
        for asset in &reader.sources.assets {
            add(asset.path.as_bytes());
            add(&asset.bytes);
        }
        for outline in reader.texts() {
            add(seen(outline).as_bytes());
            for (name, inputs) in reader.values.runs_of(&outline.address).into_iter().flatten() {
                add(name.as_bytes());
                add(inputs.as_ref().map(question).unwrap_or_default().as_bytes());
            }
        }
        Around(hex(&digest.finalize()))
    }

    /// What the pages of a lesson come from; nothing for one with a table that is made from the rest of the course.
    pub fn origin(&self, reader: &Reader, outline: &Outline) -> Option<String> {
        let source = reader.sources.text(outline.file).filter(|_| outline.holds.tables.is_empty())?;
        let mut digest = Sha256::new();
        for part in [self.0.as_str(), &seen(outline), &source.path, &source.text] {
            digest.update((part.len() as u64).to_le_bytes());
            digest.update(part);
        }
        Some(hex(&digest.finalize()))
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

/// Half of a digest: enough that no two texts of a course share it.
fn hex(digest: &[u8]) -> String {
    digest.iter().take(16).map(|byte| format!("{byte:02x}")).collect()
}
