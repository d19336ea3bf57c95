//! Puts a site on the disk in place of the old one: the new one is written beside it, and the two change places at the
//! end. Whatever happens before that moment, and whatever after, the folder holds one whole site.
//!
//! Each site has a list of its files in it. It tells the site's own files from others (which are never deleted unasked),
//! and it is written first, so that the remains of a killed run are known as such and cleared away by the next.

mod folder;
mod list;
mod made;
mod one_file;
mod swap;

use std::collections::BTreeSet;
use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

pub use folder::{check_folder, resolved};
use list::{FileList, LIST};
pub use made::Made;
pub use one_file::{check_file, write_whole};

use crate::site::Site;

/// What publishing did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// The folder held this very site already.
    Nothing,
    /// Some files are new or changed, some are gone.
    Files {
        /// How many are new or have other bytes.
        written: usize,
        /// How many are no longer there.
        removed: usize,
    },
}

/// Publishes a site, or another thing that was made. `take_over` deletes files of others that are in the folder.
pub fn publish(site: &Site, made: Made, out: &Path, take_over: bool) -> Result<Change> {
    check_paths(site)?;
    made::check_made(out, made)?;
    let out = folder::resolved(out)?;
    let parent = out.parent().context("a site cannot be the root of the disk")?;
    fs::create_dir_all(parent).with_context(|| format!("cannot make the folder `{}`", parent.display()))?;
    swap::restore_interrupted(&out);
    clear_remains(&out);
    let _turn = list::take_turn(&out)?;

    let list = FileList::of(site, made);
    // While we waited for our turn, another run may have put something else there.
    made::check_made(&out, made)?;
    let old = FileList::read(&out).unwrap_or(FileList { made, paths: BTreeSet::new() });
    let same = same_files(site, &out);
    if out.is_dir() && old == list && same.len() == site.files.len() {
        return Ok(Change::Nothing);
    }
    folder::check_others(&out, take_over)?;

    let new = beside(&out, "new")?;
    let written = write_all(site, &list, &new, &out, &same);
    let swapped = written.and_then(|lock| {
        swap::swap(&new, &out).with_context(|| format!("cannot put the new site in `{}`", out.display()))?;
        Ok(lock)
    });
    // After a swap the old site is where the new one was; after a failure the new one still is. Either way it goes.
    if swapped.is_ok() && take_over {
        let _ = fs::remove_dir_all(&new);
    } else {
        remove_site(&new);
    }
    let _lock = swapped?;
    let removed = old.paths.iter().filter(|path| !site.files.contains_key(*path)).count();
    Ok(Change::Files { written: site.files.len() - same.len(), removed })
}

/// A folder next to the site's, named after it and this process.
fn beside(out: &Path, word: &str) -> Result<PathBuf> {
    let name = out.file_name().context("what is made needs a folder with a name")?.to_string_lossy();
    Ok(out.with_file_name(format!(".{name}.{word}-{}", std::process::id())))
}

/// The files of the site that the folder already has with the same bytes.
fn same_files<'s>(site: &'s Site, out: &Path) -> BTreeSet<&'s str> {
    let is_same = |path: &str, bytes: &[u8]| {
        let path = out.join(path);
        let about = fs::symlink_metadata(&path);
        about.is_ok_and(|about| about.is_file() && about.len() == bytes.len() as u64)
            && fs::read(&path).is_ok_and(|old| old == bytes)
    };
    site.files.iter().filter(|(path, bytes)| is_same(path, bytes)).map(|(path, _)| path.as_str()).collect()
}

/// Writes the site into a new folder and holds its list locked, which tells other runs that somebody is at it.
fn write_all(
    site: &Site,
    list: &FileList,
    new: &Path,
    out: &Path,
    same: &BTreeSet<&str>,
) -> Result<fs::File> {
    // A folder of this name can only be left of a dead process with this number.
    remove_site(new);
    fs::create_dir(new).with_context(|| format!("cannot make the folder `{}`", new.display()))?;
    if let Ok(about) = fs::metadata(out) {
        let _ = fs::set_permissions(new, about.permissions());
    }
    let lock = list.write(new).with_context(|| format!("cannot write in `{}`", new.display()))?;
    let mut made = BTreeSet::new();
    for (path, bytes) in &site.files {
        let place = new.join(path);
        let folder = place.parent().unwrap_or(new);
        if folder != new && made.insert(folder.to_path_buf()) {
            fs::create_dir_all(folder)
                .with_context(|| format!("cannot make the folder `{}`", folder.display()))?;
        }
        // An unchanged file is given a second name instead of being written: nothing in it moves.
        let linked = same.contains(path.as_str()) && fs::hard_link(out.join(path), &place).is_ok();
        if !linked {
            fs::write(&place, bytes).with_context(|| format!("cannot write `{}`", place.display()))?;
        }
    }
    Ok(lock)
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
        let _ = fs::remove_dir(folder);
        return;
    };
    let mut folders = BTreeSet::new();
    for path in &list.paths {
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
    // The list goes last: a run that is killed here leaves remains that are still known as such.
    let only_list =
        fs::read_dir(folder).is_ok_and(|entries| entries.flatten().all(|entry| entry.file_name() == LIST));
    if only_list {
        let _ = fs::remove_file(folder.join(LIST));
        let _ = fs::remove_dir(folder);
    }
}

/// Paths stay below the folder.
fn check_paths(site: &Site) -> Result<()> {
    for path in site.files.keys() {
        let fits = path
            .split('/')
            .all(|name| !matches!(name, "" | "." | "..") && !name.contains(['\\', '\n', '\0']));
        if !fits || path == LIST {
            bail!("`{path}` cannot be the path of a file of a site");
        }
    }
    if !site.files.contains_key("index.html") {
        bail!("the site has no first page");
    }
    Ok(())
}

fn not_found(error: &io::Error) -> bool {
    error.kind() == ErrorKind::NotFound
}

#[cfg(test)]
mod tests;
