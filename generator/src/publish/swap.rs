//! Two folders change places.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::list::{FileList, is_abandoned};

/// Puts the folder `new` in the place of `out`; what was in `out`, if anything, is in `new` afterwards.
pub fn swap(new: &Path, out: &Path) -> io::Result<()> {
    if !out.exists() {
        match fs::rename(new, out) {
            Err(_) if out.exists() => {}
            result => return result,
        }
    }
    match exchange(new, out) {
        Ok(()) => Ok(()),
        // Some file systems (exFAT on a stick, some network disks) cannot exchange.
        Err(_) => by_two_renames(new, out),
    }
}

/// One step of the kernel: at no moment is there no site.
#[cfg(target_os = "linux")]
fn exchange(new: &Path, out: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    Ok(renameat_with(CWD, new, CWD, out, RenameFlags::EXCHANGE)?)
}

#[cfg(not(target_os = "linux"))]
fn exchange(_: &Path, _: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// For an instant there is no site; a run that is killed in it is mended by [`restore_interrupted`].
pub fn by_two_renames(new: &Path, out: &Path) -> io::Result<()> {
    let name = out.file_name().unwrap_or_default().to_string_lossy();
    let old = out.with_file_name(format!(".{name}.old-{}", std::process::id()));
    fs::rename(out, &old)?;
    if let Err(error) = fs::rename(new, out) {
        // Back to where it was; nothing is lost when this fails too, for the next run finds it.
        let _ = fs::rename(&old, out);
        return Err(error);
    }
    fs::rename(&old, new)
}

/// Puts back a site that a killed run had moved aside.
pub fn restore_interrupted(out: &Path) {
    let aside = siblings(out, "old").into_iter().filter(|folder| FileList::read(folder).is_ok());
    for folder in aside.filter(|folder| is_abandoned(folder)) {
        if out.exists() {
            // With a site in place, what stands aside is only the one before it.
            super::remove_site(&folder);
        } else {
            let _ = fs::rename(&folder, out);
        }
    }
}

/// Folders beside the site that are named as this program names them: `.site.new-1234`.
pub fn siblings(out: &Path, word: &str) -> Vec<PathBuf> {
    let (Some(parent), Some(name)) = (out.parent(), out.file_name()) else { return Vec::new() };
    let start = format!(".{}.{word}-", name.to_string_lossy());
    let Ok(entries) = fs::read_dir(parent) else { return Vec::new() };
    let mut found: Vec<PathBuf> = entries
        .flatten()
        .filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_dir()))
        .filter(|entry| {
            let name = entry.file_name();
            let number = name.to_str().and_then(|name| name.strip_prefix(&start)).unwrap_or_default();
            !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit())
        })
        .map(|entry| entry.path())
        .collect();
    found.sort();
    found
}
