//! Which folders a site, or another thing that is made, may be put into.

use std::env;
use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use walkdir::WalkDir;

use super::list::{LIST, known_files};
use super::made::{Made, check_made};

/// How many files of others a message names.
const NAMED: usize = 5;

/// Refuses folders in which a site would destroy something: the root, the course and what holds or is in it, the
/// folder one is in, folders that hold something else that was made, and folders with files of others.
pub fn check_folder(out: &Path, made: Made, course: &Path, take_over: bool) -> Result<()> {
    let place = resolved(out)?;
    let shown = out.display();
    if place.parent().is_none() {
        bail!("`{shown}` is the root of the disk; what is made needs a folder of its own");
    }
    if let Ok(course) = fs::canonicalize(course) {
        if place == course {
            bail!("`{shown}` is the course folder itself; what is made needs a folder of its own");
        }
        if course.starts_with(&place) {
            bail!("`{shown}` holds the course folder; what is made needs a folder of its own");
        }
        if place.starts_with(&course) {
            bail!("`{shown}` is inside the course folder, and what is made would become part of the course");
        }
    }
    let here = env::current_dir().and_then(fs::canonicalize).ok();
    let home = env::var_os("HOME").and_then(|home| fs::canonicalize(home).ok());
    if here.is_some_and(|here| here.starts_with(&place)) {
        bail!("`{shown}` is the folder you are in, or holds it; what is made needs a folder of its own");
    }
    if home.is_some_and(|home| home.starts_with(&place)) {
        bail!("`{shown}` is your home folder, or holds it; what is made needs a folder of its own");
    }
    check_made(out, made)?;
    check_others(&place, take_over)
}

/// Refuses a folder that holds files which this program did not write.
pub fn check_others(place: &Path, take_over: bool) -> Result<()> {
    match fs::symlink_metadata(place) {
        Err(error) if super::not_found(&error) => return Ok(()),
        Err(error) => return Err(error).with_context(|| format!("cannot look at `{}`", place.display())),
        Ok(about) if !about.is_dir() => bail!("`{}` is a file; a site is a folder", place.display()),
        Ok(_) => {}
    }
    if take_over {
        return Ok(());
    }
    let own = known_files(place)?;
    let mut others = Vec::new();
    for entry in WalkDir::new(place).sort_by_file_name().min_depth(1) {
        let entry = entry.with_context(|| format!("cannot look into `{}`", place.display()))?;
        let path = entry.path().strip_prefix(place).unwrap_or(entry.path()).to_string_lossy().into_owned();
        let is_own = own.contains(&path) || (path == LIST && !own.is_empty());
        if !entry.file_type().is_dir() && !is_own {
            others.push(path);
            if others.len() > NAMED {
                break;
            }
        }
    }
    if others.is_empty() {
        return Ok(());
    }
    let more = if others.len() > NAMED { " and more" } else { "" };
    let names: Vec<_> = others.iter().take(NAMED).map(|path| format!("`{path}`")).collect();
    bail!(
        "`{}` holds files that fieldcoil did not make: {}{more}. Choose another folder with --out, or \
         say --take-over to have them deleted",
        place.display(),
        names.join(", ")
    )
}

/// The folder without links and `..`, also when it or what holds it is not there yet.
pub fn resolved(out: &Path) -> Result<PathBuf> {
    let mut existing = env::current_dir().context("cannot tell the current folder")?.join(out);
    let mut missing: Vec<OsString> = Vec::new();
    loop {
        match fs::canonicalize(&existing) {
            Ok(place) => return Ok(missing.iter().rev().fold(place, |place, name| place.join(name))),
            Err(error) if super::not_found(&error) => {
                if fs::symlink_metadata(&existing).is_ok_and(|about| about.is_symlink()) {
                    bail!("`{}` is a link that leads nowhere", existing.display());
                }
                // A `..` after a folder that is not there has no meaning on a disk.
                let name =
                    existing.file_name().with_context(|| format!("`{}` leads nowhere", out.display()))?;
                missing.push(name.to_owned());
                existing.pop();
            }
            Err(error) => {
                return Err(error).with_context(|| format!("cannot look at `{}`", existing.display()));
            }
        }
    }
}
