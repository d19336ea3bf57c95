//! `fieldcoil draft`: a new course, a new lesson, or the schemas for an editor. Nothing that is there is written over.

use std::fs::{self, File};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

use super::{Outcome, styled_errors, write_findings};
use crate::draft;
use crate::finding::Severity;
use crate::options::{CourseOptions, DraftOptions};
use crate::{pipeline, source};

/// Runs the command.
pub fn run(options: &DraftOptions) -> Result<Outcome> {
    match options {
        DraftOptions::Course { folder, title } => course(folder, title),
        DraftOptions::Lesson { file, title } => lesson(file, title),
        DraftOptions::Schemas { folder } => schemas(folder),
    }
}

fn course(folder: &Path, title: &str) -> Result<Outcome> {
    let files = draft::course(title);
    refuse_taken(files.keys().map(|path| folder.join(path)))?;
    if fs::read_dir(folder).is_ok_and(|mut entries| entries.next().is_some()) {
        bail!("`{}` is not empty; a new course needs a folder of its own", folder.display());
    }
    for (path, text) in &files {
        write_new(&folder.join(path), text)?;
    }
    let shown = folder.display();
    let mut out = io::stdout().lock();
    writeln!(out, "{shown}: a course with one lesson. Change `course.toml` first, then the lesson.")?;
    writeln!(out, "Look for mistakes: fieldcoil proof {shown}")?;
    writeln!(out, "Make the site: fieldcoil site {shown}")?;
    Ok(Outcome::Fine)
}

fn lesson(file: &Path, title: &str) -> Result<Outcome> {
    let name = file.file_name().context("a lesson needs the name of a file")?.to_string_lossy();
    if !name.ends_with(".md") {
        bail!("`{}` is no lesson: its name ends in `.md`, such as `20-ground-side.md`", file.display());
    }
    let course = course_of(file);
    let outcome = match &course {
        Some(folder) => first_outcome(folder)?,
        None => None,
    };
    write_new(file, &draft::lesson(title, &draft::name_of(&name), outcome.as_deref()))?;
    writeln!(io::stdout(), "{}: a lesson with each common block. Keep what you need.", file.display())?;
    match course {
        Some(folder) => what_is_left(&folder, file),
        None => {
            writeln!(
                io::stdout(),
                "No `course.toml` stands in its folder or above it: `fieldcoil draft course`."
            )?;
            Ok(Outcome::Fine)
        }
    }
}

/// What the course has to say to its new lesson: a list of modules, or a rule of the school, may want something.
fn what_is_left(folder: &Path, file: &Path) -> Result<Outcome> {
    let (sources, found) = source::load::course(folder)?;
    let below = fs::canonicalize(file)?;
    let root = fs::canonicalize(folder)?;
    let path = below.strip_prefix(root).unwrap_or(&below).to_string_lossy().replace('\\', "/");
    let own = sources.find_text(&path).map(|(id, _)| id);
    let (_, mut found) = pipeline::check(&sources, found);
    let is_own = |span: crate::source::Span| Some(span.file) == own;
    found.retain(|finding| finding.severity != Severity::Hint);
    found.retain(|finding| finding.place.as_ref().is_some_and(|label| is_own(label.span)));
    let words = CourseOptions { folder: folder.to_path_buf(), strict: false }.folder_words();
    if !found.is_empty() {
        write_findings(&mut io::stderr().lock(), styled_errors(), &found, &sources, &words)?;
        writeln!(io::stderr(), "The course wants this of its new lesson.")?;
    }
    Ok(Outcome::Fine)
}

/// The folder of the course that a file belongs to: the nearest one with a `course.toml`.
fn course_of(file: &Path) -> Option<PathBuf> {
    let whole = std::path::absolute(file).ok()?;
    whole.ancestors().skip(1).find(|folder| folder.join("course.toml").is_file()).map(Path::to_path_buf)
}

fn first_outcome(folder: &Path) -> Result<Option<String>> {
    let (sources, found) = source::load::course(folder)?;
    let (checked, _) = pipeline::check(&sources, found);
    Ok(checked.course().outcomes.first().map(|outcome| outcome.name.value.clone()))
}

fn schemas(folder: &Path) -> Result<Outcome> {
    refuse_taken(draft::SCHEMAS.iter().map(|(name, _)| folder.join(name)))?;
    for (name, text) in draft::SCHEMAS {
        write_new(&folder.join(name), text)?;
    }
    writeln!(io::stdout(), "{}: {} schemas.", folder.display(), draft::SCHEMAS.len())?;
    Ok(Outcome::Fine)
}

/// Looks before the first file is written, so that a refused call leaves nothing.
fn refuse_taken(mut files: impl Iterator<Item = PathBuf>) -> Result<()> {
    match files.find(|file| fs::symlink_metadata(file).is_ok()) {
        Some(file) => bail!("`{}` is there already, and a draft writes over nothing", file.display()),
        None => Ok(()),
    }
}

/// Writes a file that was not there; the disk itself refuses one that is.
fn write_new(file: &Path, text: &str) -> Result<()> {
    let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty());
    if let Some(folder) = folder {
        fs::create_dir_all(folder)
            .with_context(|| format!("cannot make the folder `{}`", folder.display()))?;
    }
    match File::create_new(file).and_then(|mut new| new.write_all(text.as_bytes())) {
        Err(error) if error.kind() == ErrorKind::AlreadyExists => {
            bail!("`{}` is there already, and a draft writes over nothing", file.display())
        }
        result => result.with_context(|| format!("cannot write `{}`", file.display())),
    }
}
