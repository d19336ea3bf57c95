//! One file on the disk, whole or not at all: written beside its place and renamed.

use std::fs;
use std::io::Read;
use std::path::Path;

use anyhow::{Context, Result, bail};

use super::folder::resolved;

/// Refuses places where a packed site would destroy something or become part of something: what is no zip file, a
/// folder, a place in the site's own folder or in the course.
pub fn check_file(file: &Path, out: &Path, course: &Path) -> Result<()> {
    let place = resolved(file)?;
    let shown = file.display();
    if place.starts_with(resolved(out)?) {
        bail!("`{shown}` is inside the folder of the site, which is replaced; choose a place beside it");
    }
    if fs::canonicalize(course).is_ok_and(|course| place.starts_with(course)) {
        bail!("`{shown}` is inside the course folder; choose a place beside it");
    }
    match fs::metadata(&place) {
        Err(error) if super::not_found(&error) => Ok(()),
        Err(error) => Err(error).with_context(|| format!("cannot look at `{shown}`")),
        Ok(about) if about.is_dir() => bail!("`{shown}` is a folder; --zip names the file to write"),
        Ok(_) if starts_as_zip(&place) => Ok(()),
        Ok(_) => bail!("`{shown}` is there already and no zip file; choose another name"),
    }
}

fn starts_as_zip(place: &Path) -> bool {
    let mut start = [0; 2];
    fs::File::open(place).and_then(|mut file| file.read_exact(&mut start)).is_ok() && start == *b"PK"
}

/// Writes the file; says whether that changed anything.
pub fn write_whole(file: &Path, bytes: &[u8]) -> Result<bool> {
    let place = resolved(file)?;
    if fs::read(&place).is_ok_and(|old| old == bytes) {
        return Ok(false);
    }
    let folder = place.parent().context("a file stands in a folder")?;
    fs::create_dir_all(folder).with_context(|| format!("cannot make the folder `{}`", folder.display()))?;
    let name = place.file_name().context("the file needs a name")?.to_string_lossy();
    let new = place.with_file_name(format!(".{name}.new-{}", std::process::id()));
    let written = fs::write(&new, bytes).and_then(|()| fs::rename(&new, &place));
    if written.is_err() {
        // A disk that is full keeps the old file; the part of the new one is of use to nobody.
        let _ = fs::remove_file(&new);
    }
    written.with_context(|| format!("cannot write `{}`", file.display()))?;
    Ok(true)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_and_nothing_stays_beside_it() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("new/course.zip");
        assert!(write_whole(&file, b"PK one").expect("written"));
        assert!(!write_whole(&file, b"PK one").expect("the same"));
        assert!(write_whole(&file, b"PK two").expect("written"));
        assert_eq!(fs::read(&file).expect("there"), b"PK two");
        assert_eq!(fs::read_dir(folder.path().join("new")).expect("there").count(), 1);
    }

    #[test]
    fn what_is_no_zip_file_is_left_alone() {
        let folder = tempfile::tempdir().expect("a folder");
        let at = |name: &str| folder.path().join(name);
        fs::write(at("notes.txt"), "mine").expect("written");
        fs::write(at("old.zip"), "PK").expect("written");
        fs::create_dir(at("content")).expect("made");
        let (out, course) = (at("site"), at("content"));
        for (name, fine) in [
            ("new.zip", true),
            ("old.zip", true),
            ("notes.txt", false),
            ("content", false),
            ("content/new.zip", false),
            ("site/new.zip", false),
        ] {
            assert_eq!(check_file(&at(name), &out, &course).is_ok(), fine, "{name}");
        }
    }
}
