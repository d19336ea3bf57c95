//! The list of a site's files, kept in the site itself.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File, TryLockError};
use std::io::{self, Write};
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};

use super::made::Made;

/// Name of the list.
pub const LIST: &str = ".fieldcoil-files";

/// First line of the list of what was made: a file of this name with another one is not ours.
fn header(made: Made) -> String {
    format!(
        "# Files of {}, written by fieldcoil. What is not listed here is never deleted unasked.",
        made.word()
    )
}

/// The line after it, where there is one, begins so. No file has such a path.
const MADE_FROM: &str = "# made from //";

/// Stands between a path and what its file was made from. No path has it.
const ORIGIN: &str = " // ";

/// How long to wait for another run that is publishing into the same folder.
const PATIENCE: Duration = Duration::from_secs(8);

/// The files of a site, or of another thing that was made, without the list.
#[derive(Debug, PartialEq, Eq)]
pub struct FileList {
    /// What they are.
    pub made: Made,
    /// A digest of everything that they come from; nothing where something was told on the way, which is to be told
    /// again.
    pub made_from: Option<String>,
    /// Paths below the site's folder, each with what the file was made from; that is empty where it is not known.
    pub files: BTreeMap<String, String>,
}

impl FileList {
    /// The list of a site on the disk.
    pub fn read(folder: &Path) -> io::Result<Self> {
        let text = fs::read_to_string(folder.join(LIST))?;
        let mut lines = text.lines().peekable();
        let first = lines.next().unwrap_or_default();
        let Some(made) = Made::ALL.into_iter().find(|made| header(*made) == first) else {
            return Err(io::ErrorKind::InvalidData.into());
        };
        let made_from = lines.next_if(|line| line.starts_with(MADE_FROM));
        // A list that somebody has edited leads nowhere outside.
        let stays_inside =
            |(path, _): &(&str, &str)| path.split('/').all(|name| !matches!(name, "" | "." | ".."));
        let files = lines.map(|line| line.split_once(ORIGIN).unwrap_or((line, "")));
        Ok(FileList {
            made,
            made_from: made_from.and_then(|line| line.strip_prefix(MADE_FROM)).map(str::to_owned),
            files: files
                .filter(stays_inside)
                .map(|(path, origin)| (path.to_owned(), origin.to_owned()))
                .collect(),
        })
    }

    /// Writes the list into a new folder and locks it.
    pub fn write(&self, folder: &Path) -> io::Result<File> {
        let mut file = File::create_new(folder.join(LIST))?;
        lock_if_possible(&file)?;
        let mut text = header(self.made) + "\n";
        if let Some(made_from) = &self.made_from {
            text.push_str(MADE_FROM);
            text.push_str(made_from);
            text.push('\n');
        }
        for (path, origin) in &self.files {
            text.push_str(path);
            if !origin.is_empty() {
                text.push_str(ORIGIN);
                text.push_str(origin);
            }
            text.push('\n');
        }
        file.write_all(text.as_bytes())?;
        Ok(file)
    }
}

/// Waits until no other run publishes into this folder, and holds the turn until the value is dropped.
///
/// Without this, files could be taken over from an old site that another run has just replaced.
pub fn take_turn(out: &Path) -> Result<Option<File>> {
    let begun = Instant::now();
    let path = out.join(LIST);
    loop {
        let Ok(file) = File::open(&path) else { return Ok(None) };
        match file.try_lock() {
            // While we waited the folder may have been replaced: then this is the list of the old one.
            Ok(()) if is_same_file(&file, &path) => return Ok(Some(file)),
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                if begun.elapsed() > PATIENCE {
                    bail!("another run is publishing into `{}`", out.display());
                }
                thread::sleep(Duration::from_millis(20));
            }
            // Some network disks have no locks; two runs at once are not expected there.
            Err(TryLockError::Error(_)) => return Ok(None),
        }
    }
}

/// Is this folder left by a run that is no longer there?
pub fn is_abandoned(folder: &Path) -> bool {
    match File::open(folder.join(LIST)) {
        Ok(file) => !matches!(file.try_lock(), Err(TryLockError::WouldBlock)),
        // Without a list it is only ours if it is empty, and then of a run that died before its first file.
        Err(_) => fs::read_dir(folder).is_ok_and(|mut entries| entries.next().is_none()),
    }
}

fn lock_if_possible(file: &File) -> io::Result<()> {
    match file.try_lock() {
        Err(TryLockError::WouldBlock) => Err(io::ErrorKind::WouldBlock.into()),
        Ok(()) | Err(TryLockError::Error(_)) => Ok(()),
    }
}

#[cfg(unix)]
fn is_same_file(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let key = |about: &fs::Metadata| (about.dev(), about.ino());
    matches!((file.metadata(), fs::metadata(path)), (Ok(open), Ok(named)) if key(&open) == key(&named))
}

#[cfg(not(unix))]
fn is_same_file(_: &File, path: &Path) -> bool {
    path.exists()
}

/// The files that the folder's list names; none without a list.
pub fn known_files(folder: &Path) -> Result<BTreeSet<String>> {
    match FileList::read(folder) {
        Ok(list) => Ok(list.files.into_keys().collect()),
        Err(error) if super::not_found(&error) || error.kind() == io::ErrorKind::InvalidData => {
            Ok(BTreeSet::new())
        }
        Err(error) => Err(error).with_context(|| format!("cannot read `{}`", folder.join(LIST).display())),
    }
}
