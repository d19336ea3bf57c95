//! The folder of hand-ins, read without trust, and where grades may be put.

use std::fs::{self, File};
use std::io::Read;
use std::path::Path;

use anyhow::{Context, Result, bail};
use walkdir::WalkDir;

use crate::complaint::Complaint;
use crate::grade::{Given, handin, is_table, paper};
use crate::publish;

/// Files that a folder of hand-ins may have.
const MOST_FILES: usize = 20_000;
/// How deep the folders of a class may stand in each other.
const MOST_DEEP: usize = 10;

/// Every hand-in and table below the folder, sorted. A link is not followed: what it leads to inside the folder is found
/// there, and nothing outside was handed in.
pub fn given(folder: &Path) -> Result<Vec<Given>> {
    let about = fs::metadata(folder)
        .with_context(|| format!("cannot look into the folder `{}`", folder.display()))?;
    if !about.is_dir() {
        bail!("`{}` is a file; wanted is the folder of hand-ins", folder.display());
    }
    let root =
        fs::canonicalize(folder).with_context(|| format!("cannot look into `{}`", folder.display()))?;
    let mut all = Vec::new();
    for entry in WalkDir::new(&root).sort_by_file_name().min_depth(1).max_depth(MOST_DEEP) {
        let entry = match entry {
            Ok(entry) => entry,
            Err(problem) => {
                let file = problem.path().map(|path| below(&root, path)).unwrap_or_default();
                let complaint = Complaint::of_file(
                    &file,
                    "it cannot be read",
                    "look at who may read it, and grade again",
                );
                all.push(Given { file, bytes: Err(complaint) });
                continue;
            }
        };
        let path = entry.path();
        let file = below(&root, path);
        let is_meant = is_table(&file) || ends_in_json(&file);
        if entry.path_is_symlink() {
            let leads_out = fs::canonicalize(path).map_or(true, |place| !place.starts_with(&root));
            if leads_out && (is_meant || path.is_dir()) {
                let help = "copy what was handed in into the folder";
                let complaint =
                    Complaint::of_file(&file, "it is a link out of the folder and was left out", help);
                all.push(Given { file, bytes: Err(complaint) });
            }
            continue;
        }
        if !entry.file_type().is_file() || !is_meant {
            continue;
        }
        if all.len() >= MOST_FILES {
            bail!("`{}` has more than {MOST_FILES} files: grade one class at a time", folder.display());
        }
        let bytes = read(path, &file);
        all.push(Given { file, bytes });
    }
    Ok(all)
}

fn ends_in_json(file: &str) -> bool {
    file.rsplit_once('.').is_some_and(|(_, ending)| ending.eq_ignore_ascii_case("json"))
}

/// At most one byte more than is allowed, so that whoever looks sees that it is too much.
fn read(path: &Path, file: &str) -> Result<Vec<u8>, Complaint> {
    let most = if is_table(file) { paper::MOST_BYTES } else { handin::MOST_BYTES };
    let mut bytes = Vec::new();
    let read = File::open(path).and_then(|open| open.take(most as u64 + 1).read_to_end(&mut bytes));
    match read {
        Ok(_) => Ok(bytes),
        Err(problem) => {
            let message = format!("it cannot be read: {problem}");
            Err(Complaint::of_file(file, message, "look at who may read it, and grade again"))
        }
    }
}

fn below(root: &Path, path: &Path) -> String {
    let path = path.strip_prefix(root).unwrap_or(path).to_string_lossy();
    path.replace(std::path::MAIN_SEPARATOR, "/")
}

/// Refuses places where grades would be read as hand-ins, or delete what they are made from.
pub fn check_private(out: &Path, hand_ins: &Path, roster: &Path) -> Result<()> {
    let place = publish::resolved(out)?;
    let shown = out.display();
    if let Ok(hand_ins) = fs::canonicalize(hand_ins)
        && (place.starts_with(&hand_ins) || hand_ins.starts_with(&place))
    {
        bail!("`{shown}` and the folder of hand-ins stand in each other; grades need a folder of their own");
    }
    if fs::canonicalize(roster).is_ok_and(|roster| roster.starts_with(&place)) {
        bail!("`{shown}` holds the roster; grades need a folder of their own");
    }
    Ok(())
}
