//! What stands in a folder on the disk.

use std::collections::BTreeMap;
use std::path::Path;

use anyhow::Result;
use walkdir::WalkDir;

/// Every file below a folder by its path there, with its bytes.
pub fn content(folder: &Path) -> Result<BTreeMap<String, Vec<u8>>> {
    let mut files = BTreeMap::new();
    for entry in WalkDir::new(folder) {
        let entry = entry?;
        if entry.file_type().is_file() {
            let path = entry.path().strip_prefix(folder)?.to_string_lossy().into_owned();
            files.insert(path, std::fs::read(entry.path())?);
        }
    }
    Ok(files)
}
