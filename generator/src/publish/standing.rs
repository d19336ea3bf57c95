//! What stands in a folder as it was published, and what each file was made from.

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
    list: Option<FileList>,
}

impl Standing {
    /// What stands in this folder.
    pub fn of(folder: &Path, made: Made) -> Self {
        Standing {
            folder: folder.to_path_buf(),
            written: changed(&folder.join(LIST)).map(|(time, _)| time),
            list: FileList::read(folder).ok().filter(|list| list.made == made),
        }
    }

    /// The list of its files.
    pub(super) fn list(&self) -> Option<&FileList> {
        self.list.as_ref()
    }

    /// Is everything as it was written, and made from this?
    pub fn is_made_from(&self, made_from: &str) -> bool {
        self.list.as_ref().is_some_and(|list| {
            list.made_from.as_deref() == Some(made_from)
                && list.files.keys().all(|path| self.size(path).is_some())
        })
    }

    /// What a file was made from, if that is known and the file is as it was written.
    pub fn origin(&self, path: &str) -> Option<&str> {
        let origin = self.list.as_ref()?.files.get(path).filter(|origin| !origin.is_empty())?;
        self.size(path).map(|_| origin.as_str())
    }

    /// How large a file is, if it is as it was written. One that was changed since is younger than the list.
    pub fn size(&self, path: &str) -> Option<u64> {
        self.list.as_ref()?.files.get(path)?;
        let (time, size) = changed(&self.folder.join(path))?;
        (time <= self.written?).then_some(size)
    }
}

/// When a file was changed last, and how large it is; nothing of a link or a folder.
fn changed(path: &Path) -> Option<(SystemTime, u64)> {
    let about = fs::symlink_metadata(path).ok().filter(fs::Metadata::is_file)?;
    Some((about.modified().ok()?, about.len()))
}
