//! The texts of a course in memory, and places in them.

use std::ops::Range;

/// Every file of a course, sorted by path.
#[derive(Debug, Default)]
pub struct SourceSet {
    /// Files that are read as text: lessons, tables, drawings.
    pub texts: Vec<SourceText>,
    /// Other files that lessons may show: pictures, recordings.
    pub assets: Vec<SourceAsset>,
}

/// One text file.
#[derive(Debug)]
pub struct SourceText {
    /// Path below the course folder, with `/` between names.
    pub path: String,
    /// Its content.
    pub text: String,
}

/// One file of bytes.
#[derive(Debug)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
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
