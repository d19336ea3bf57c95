//! The files of the repository, for tests that look at them.

use std::path::{Path, PathBuf};

use walkdir::WalkDir;

/// The repository's top folder.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("tests is a folder of the repository").to_path_buf()
}

/// The paths of a folder's files with this ending, below the top folder, sorted, with `/` between names.
pub fn files(folder: &str, ending: &str) -> Vec<String> {
    let root = root();
    let walk = WalkDir::new(root.join(folder)).sort_by_file_name().into_iter();
    // What programs build or fetch is not ours.
    let ours =
        walk.filter_entry(|entry| !["target", "tools", "dist"].iter().any(|name| entry.file_name() == *name));
    ours.map(|entry| entry.expect("a readable folder"))
        .filter(|entry| entry.file_type().is_file())
        .filter(|entry| ending.is_empty() || entry.path().extension().is_some_and(|found| found == ending))
        .map(|entry| {
            let below = entry.path().strip_prefix(&root).expect("below the top folder");
            below.to_string_lossy().replace(std::path::MAIN_SEPARATOR, "/")
        })
        .collect()
}

/// A file's text.
pub fn read(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}
