//! The texts of a course in memory, and places in them.

use std::ops::Range;

mod digest;
pub mod load;

pub use digest::Digest;

/// Every file of a course, sorted by path.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SourceSet {
    /// Files that are read as text: lessons, tables, drawings.
    pub texts: Vec<SourceText>,
    /// Other files that lessons may show: pictures, recordings.
    pub assets: Vec<SourceAsset>,
}

impl SourceSet {
    /// The text of this number.
    pub fn text(&self, file: FileId) -> Option<&SourceText> {
        self.texts.get(file.0 as usize)
    }

    /// The text at this path below the course folder.
    pub fn find_text(&self, path: &str) -> Option<(FileId, &SourceText)> {
        let index = self.texts.binary_search_by(|text| text.path.as_str().cmp(path)).ok()?;
        Some((FileId(index as u32), &self.texts[index]))
    }

    /// The file of bytes at this path below the course folder.
    pub fn find_asset(&self, path: &str) -> Option<&SourceAsset> {
        let index = self.assets.binary_search_by(|asset| asset.path.as_str().cmp(path)).ok()?;
        Some(&self.assets[index])
    }

    /// A digest of every path and every byte: two sets with the same one are the same.
    pub fn digest(&self) -> String {
        let mut digest = Digest::default();
        let texts = self.texts.iter().map(|text| (&text.path, text.text.as_bytes()));
        let assets = self.assets.iter().map(|asset| (&asset.path, asset.bytes.as_slice()));
        for (kind, files) in [("text", texts.collect::<Vec<_>>()), ("asset", assets.collect())] {
            for (path, bytes) in files {
                for part in [kind.as_bytes(), path.as_bytes(), bytes] {
                    digest.add(part);
                }
            }
        }
        digest.hex()
    }

    /// Every text with its number.
    pub fn numbered(&self) -> impl Iterator<Item = (FileId, &SourceText)> {
        (0..).map(FileId).zip(&self.texts)
    }
}

/// One text file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceText {
    /// Path below the course folder, with `/` between names.
    pub path: String,
    /// Its content.
    pub text: String,
}

/// One file of bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceAsset {
    /// Path below the course folder, with `/` between names.
    pub path: String,
    /// Its content.
    pub bytes: Vec<u8>,
}

/// Which text of the set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// A stretch of one text, in bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// Which text.
    pub file: FileId,
    /// First byte.
    pub start: usize,
    /// Byte after the last.
    pub end: usize,
}

impl Span {
    /// The stretch `range` of `file`.
    pub fn new(file: FileId, range: Range<usize>) -> Self {
        Span { file, start: range.start, end: range.end }
    }
}

/// A value and where it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct Spanned<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub span: Span,
}

impl<T> Spanned<T> {
    /// The value with its place.
    pub fn new(value: T, span: Span) -> Self {
        Spanned { value, span }
    }
}
