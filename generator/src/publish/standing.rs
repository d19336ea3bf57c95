//! What stands in a folder as it was published, and what each file was made from.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use super::list::{FileList, LIST};
use super::made::Made;

/// The files of a folder that are as they were written; nothing in a folder that is not there or holds something else.
#[derive(Debug, Default)]
pub struct Standing {
    folder: PathBuf,
    /// When the list was finished; every file is older then.
    written: Option<SystemTime>,
    made_from: Option<String>,
    files: BTreeMap<String, String>,
}

impl Standing {
    /// What stands in this folder.
    pub fn of(folder: &Path, made: Made) -> Self {
        match FileList::read(folder) {
            Ok(list) if list.made == made => Standing {
                folder: folder.to_path_buf(),
                written: changed(&folder.join(LIST)).map(|(time, _)| time),
                made_from: list.made_from,
                files: list.files,
            },
            _ => Standing::default(),
        }
    }

    /// Is everything as it was written, and made from this?
    pub fn is_made_from(&self, made_from: &str) -> bool {
        self.made_from.as_deref() == Some(made_from)
            && self.files.keys().all(|path| self.size(path).is_some())
    }

    /// What a file was made from, if that is known and the file is as it was written.
    pub fn origin(&self, path: &str) -> Option<&str> {
        let origin = self.files.get(path).filter(|origin| !origin.is_empty())?;
        self.size(path).map(|_| origin.as_str())
    }

    /// How large a file is, if it is as it was written. One that was changed since is younger than the list.
    pub fn size(&self, path: &str) -> Option<u64> {
        self.files.get(path)?;
        let (time, size) = changed(&self.folder.join(path))?;
        (time <= self.written?).then_some(size)
    }
}

/// When a file was changed last, and how large it is; nothing of a link or a folder.
fn changed(path: &Path) -> Option<(SystemTime, u64)> {
    let about = fs::symlink_metadata(path).ok().filter(fs::Metadata::is_file)?;
    Some((about.modified().ok()?, about.len()))
}
