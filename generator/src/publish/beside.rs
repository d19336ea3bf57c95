//! The folder in which a new site grows beside the old one, until the two change places.

use std::collections::BTreeSet;
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::SystemTime;

use anyhow::{Context, Result};

use super::list::FileList;
use super::remove_site;

/// The folder, which is made when the first file goes into it. Several threads may write at once.
pub struct Beside<'a> {
    place: PathBuf,
    old: &'a Path,
    list: &'a FileList,
    begun: Mutex<Option<Begun>>,
}

struct Begun {
    /// The list, held locked: it tells other runs that somebody is at it.
    list: File,
    /// Folders that are there already.
    folders: BTreeSet<PathBuf>,
}

impl<'a> Beside<'a> {
    /// A folder next to the site's, named after it and this process.
    pub fn new(old: &'a Path, list: &'a FileList) -> Result<Self> {
        let name = old.file_name().context("what is made needs a folder with a name")?.to_string_lossy();
        let place = old.with_file_name(format!(".{name}.new-{}", std::process::id()));
        Ok(Beside { place, old, list, begun: Mutex::new(None) })
    }

    /// Where it is.
    pub fn place(&self) -> &Path {
        &self.place
    }

    /// The files that it will hold.
    pub fn list(&self) -> &FileList {
        self.list
    }

    /// Is there something in it?
    pub fn is_begun(&self) -> bool {
        self.begun.lock().unwrap_or_else(PoisonError::into_inner).is_some()
    }

    /// Writes a file.
    pub fn write(&self, path: &str, bytes: &[u8]) -> Result<()> {
        let place = self.place_of(path)?;
        fs::write(&place, bytes).with_context(|| format!("cannot write `{}`", place.display()))
    }

    /// Takes a file over from the old site: it is given a second name, so that nothing in it moves.
    pub fn take_over(&self, path: &str) -> Result<()> {
        let place = self.place_of(path)?;
        let old = self.old.join(path);
        if fs::hard_link(&old, &place).is_ok() {
            return Ok(());
        }
        // Some file systems have no second names.
        fs::copy(&old, &place).map(|_| ()).with_context(|| format!("cannot write `{}`", place.display()))
    }

    /// Makes the list the youngest file, and gives it back locked. What is younger than it was changed afterwards.
    pub fn finish(&self) -> Result<File> {
        let mut begun = self.begun.lock().unwrap_or_else(PoisonError::into_inner);
        self.begin(&mut begun)?;
        let list = begun.take().context("a folder that was begun")?.list;
        // Where times cannot be set, the next run takes longer.
        let _ = list.set_modified(SystemTime::now());
        Ok(list)
    }

    fn place_of(&self, path: &str) -> Result<PathBuf> {
        let mut begun = self.begun.lock().unwrap_or_else(PoisonError::into_inner);
        let begun = self.begin(&mut begun)?;
        let place = self.place.join(path);
        let folder = place.parent().unwrap_or(&self.place);
        if !begun.folders.contains(folder) {
            fs::create_dir_all(folder)
                .with_context(|| format!("cannot make the folder `{}`", folder.display()))?;
            begun.folders.insert(folder.to_path_buf());
        }
        Ok(place)
    }

    /// The list is written first, so that the remains of a killed run are known as such.
    fn begin<'b>(&self, begun: &'b mut Option<Begun>) -> Result<&'b mut Begun> {
        if begun.is_none() {
            let place = &self.place;
            // A folder of this name can only be left of a dead process with this number.
            remove_site(place);
            fs::create_dir(place).with_context(|| format!("cannot make the folder `{}`", place.display()))?;
            if let Ok(about) = fs::metadata(self.old) {
                let _ = fs::set_permissions(place, about.permissions());
            }
            let list = self.list.write(place);
            let list = list.with_context(|| format!("cannot write in `{}`", place.display()))?;
            *begun = Some(Begun { list, folders: BTreeSet::from([place.clone()]) });
        }
        begun.as_mut().context("a folder that was begun")
    }
}
