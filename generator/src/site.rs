//! A site in memory: every file by its path.

use std::collections::BTreeMap;

/// The files of a site; paths are relative, with `/` between names.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Site {
    /// Path to content, sorted.
    pub files: BTreeMap<String, Vec<u8>>,
}
