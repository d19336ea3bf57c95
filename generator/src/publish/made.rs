//! What a folder was made as: each command writes over its own folders alone.
//!
//! A site is published, and handouts and grades must never be. So a folder says in its list which of them it holds, and
//! no wish of the caller lets one of them take the place of another, or stand inside one.

use std::path::Path;

use anyhow::{Result, bail};
use walkdir::WalkDir;

use super::folder::resolved;
use super::list::{FileList, LIST};

/// What is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Made {
    /// A course's pages.
    Site,
    /// A class set on paper with a roster and keys.
    Handouts,
    /// Gradebook, flags and feedback.
    Grades,
}

impl Made {
    /// All of them.
    pub const ALL: [Made; 3] = [Made::Site, Made::Handouts, Made::Grades];

    /// As the first line of a list has it.
    pub(super) fn word(self) -> &'static str {
        match self {
            Made::Site => "a site",
            Made::Handouts => "handouts",
            Made::Grades => "grades",
        }
    }

    /// What a folder of it holds.
    fn holds(self) -> &'static str {
        match self {
            Made::Site => "a site",
            Made::Handouts => "handouts with a roster and answer keys",
            Made::Grades => "grades with marks and answers",
        }
    }
}

/// Refuses folders that hold something else, that are inside of what was made, or that hold such a folder.
pub fn check_made(out: &Path, made: Made) -> Result<()> {
    const WHY: &str = "answer keys, names and marks must never stand where a site is published, nor be written over by \
                       something else. Choose another folder with --out";
    let place = resolved(out)?;
    let shown = out.display();
    for folder in place.ancestors() {
        let Ok(list) = FileList::read(folder) else { continue };
        let holds = list.made.holds();
        if folder != place {
            bail!("`{shown}` is inside `{}`, which holds {holds}: {WHY}", folder.display());
        }
        if list.made != made {
            bail!("`{shown}` holds {holds}: {WHY}");
        }
    }
    let inner = WalkDir::new(&place).min_depth(2).into_iter().flatten();
    for entry in inner.filter(|entry| entry.file_name() == LIST) {
        let folder = entry.path().parent().unwrap_or(&place);
        if let Ok(list) = FileList::read(folder) {
            bail!("`{shown}` has in it `{}`, which holds {}: {WHY}", folder.display(), list.made.holds());
        }
    }
    Ok(())
}
