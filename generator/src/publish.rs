//! Puts a site on the disk in place of the old one: the new one is written beside it, and the two change places at the
//! end. Whatever happens before that moment, and whatever after, the folder holds one whole site.
//!
//! Each site has a list of its files in it. It tells the site's own files from others (which are never deleted unasked),
//! and it is written first, so that the remains of a killed run are known as such and cleared away by the next.

mod beside;
mod folder;
mod list;
mod made;
mod one_file;
mod standing;
mod swap;

use std::collections::BTreeSet;
use std::fs;
use std::io::{self, ErrorKind};
use std::path::Path;

use anyhow::{Context, Result, bail};

use beside::Beside;
pub use folder::{check_folder, resolved};
use list::{FileList, LIST};
pub use made::Made;
pub use one_file::{check_file, write_whole};
pub use standing::Standing;

use crate::site::Files;
use crate::threads;

/// What publishing did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Published {
    /// How large all files are together.
    pub bytes: usize,
    /// How many files are new or have other bytes.
    pub written: usize,
    /// How many are no longer there.
    pub removed: usize,
}

impl Published {
    /// Did the folder hold these very files already?
    pub fn is_unchanged(&self) -> bool {
        self.written == 0 && self.removed == 0
    }
}

/// Publishes a site, or another thing that was made. `take_over` deletes files of others that are in the folder;
/// `made_from` names everything that the files come from, for [`Standing`].
pub fn publish(
    files: &dyn Files,
    made: Made,
    made_from: Option<String>,
    out: &Path,
    take_over: bool,
) -> Result<Published> {
    let paths = files.paths();
    check_paths(&paths)?;
    made::check_made(out, made)?;
    let out = folder::resolved(out)?;
    let parent = out.parent().context("a site cannot be the root of the disk")?;
    fs::create_dir_all(parent).with_context(|| format!("cannot make the folder `{}`", parent.display()))?;
    swap::restore_interrupted(&out);
    clear_remains(&out);
    let _turn = list::take_turn(&out)?;

    // While we waited for our turn, another run may have put something else there.
    made::check_made(&out, made)?;
    folder::check_others(&out, take_over)?;
    let origin = |path: &str| files.origin(path).unwrap_or_default().to_owned();
    let files_made = paths.iter().map(|path| ((*path).to_owned(), origin(path))).collect();
    let list = FileList { made, made_from, files: files_made };
    let standing = Standing::of(&out, made);
    let beside = Beside::new(&out, &list)?;
    let result = renew(files, &paths, &standing, &out, &beside);
    // After a swap the old site is where the new one was; after a failure the new one still is. Either way it goes.
    if result.is_ok() && take_over {
        let _ = fs::remove_dir_all(beside.place());
    } else {
        remove_site(beside.place());
    }
    result
}

/// Writes what is new beside the old site, takes over what is not, and lets the two change places.
fn renew(
    files: &dyn Files,
    paths: &[&str],
    standing: &Standing,
    out: &Path,
    beside: &Beside,
) -> Result<Published> {
    let old = standing.list();
    let written = threads::try_each(paths.len(), |index| -> Result<(bool, usize)> {
        let path = paths[index];
        if let Some(size) = unchanged(files, standing, path) {
            return Ok((false, size));
        }
        let bytes = files.bytes(path)?;
        let is_new = !is_same(&out.join(path), &bytes);
        if is_new {
            beside.write(path, &bytes)?;
        }
        Ok((is_new, bytes.len()))
    })?;
    let bytes = written.iter().map(|(_, length)| length).sum();
    let is_same_list = out.is_dir() && old.is_some_and(|old| *old == *beside.list());
    if is_same_list && !beside.is_begun() {
        return Ok(Published { bytes, written: 0, removed: 0 });
    }
    threads::try_each(paths.len(), |index| match written[index].0 {
        true => Ok(()),
        false => beside.take_over(paths[index]),
    })?;
    let _lock = beside.finish()?;
    swap::swap(beside.place(), out)
        .with_context(|| format!("cannot put the new site in `{}`", out.display()))?;
    let old = old.into_iter().flat_map(|old| old.files.keys());
    Ok(Published {
        bytes,
        written: written.iter().filter(|(is_new, _)| *is_new).count(),
        removed: old.filter(|path| !beside.list().files.contains_key(*path)).count(),
    })
}

/// The size of a file that stands already, made from what it would be made from now.
fn unchanged(files: &dyn Files, standing: &Standing, path: &str) -> Option<usize> {
    let origin = files.origin(path)?;
    standing.origin(path).filter(|was| *was == origin)?;
    standing.size(path).map(|size| size as usize)
}

/// Does the file hold these bytes already?
fn is_same(file: &Path, bytes: &[u8]) -> bool {
    fs::symlink_metadata(file).is_ok_and(|about| about.is_file() && about.len() == bytes.len() as u64)
        && fs::read(file).is_ok_and(|old| old == bytes)
}

/// Removes what dead runs left beside the site.
fn clear_remains(out: &Path) {
    for folder in swap::siblings(out, "new") {
        if list::is_abandoned(&folder) {
            remove_site(&folder);
        }
    }
}

/// Removes a site that is no longer wanted: its own files, then the folders that are empty. Anything else stays.
fn remove_site(folder: &Path) {
    let Ok(list) = FileList::read(folder) else {
        // A list that was cut off by a full disk stands alone: nothing is written before it.
        remove_if_alone(folder);
        return;
    };
    let mut folders = BTreeSet::new();
    for path in list.files.keys() {
        let _ = fs::remove_file(folder.join(path));
        let mut above = Path::new(path);
        while let Some(parent) = above.parent().filter(|parent| !parent.as_os_str().is_empty()) {
            folders.insert(parent.to_path_buf());
            above = parent;
        }
    }
    // Sorted paths come before what is in them: from the end on, the inner ones go first.
    for inner in folders.iter().rev() {
        let _ = fs::remove_dir(folder.join(inner));
    }
    remove_if_alone(folder);
}

/// Removes a folder with nothing but its list. The list goes last: a run that is killed here leaves remains that are
/// still known as such.
fn remove_if_alone(folder: &Path) {
    let only_list =
        fs::read_dir(folder).is_ok_and(|entries| entries.flatten().all(|entry| entry.file_name() == LIST));
    if only_list {
        let _ = fs::remove_file(folder.join(LIST));
        let _ = fs::remove_dir(folder);
    }
}

/// Paths stay below the folder.
fn check_paths(paths: &[&str]) -> Result<()> {
    for path in paths {
        let fits = path
            .split('/')
            .all(|name| !matches!(name, "" | "." | "..") && !name.contains(['\\', '\n', '\0']));
        if !fits || *path == LIST {
            bail!("`{path}` cannot be the path of a file of a site");
        }
    }
    if !paths.contains(&"index.html") {
        bail!("the site has no first page");
    }
    Ok(())
}

fn not_found(error: &io::Error) -> bool {
    error.kind() == ErrorKind::NotFound
}

#[cfg(test)]
mod tests;
