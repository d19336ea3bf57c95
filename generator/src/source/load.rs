//! Reads a course folder. The only place of the program that reads content from the disk.

use std::fs;
use std::io::ErrorKind;
use std::ops::Range;
use std::path::Path;

use anyhow::{Context, Result, bail};
use walkdir::{DirEntry, WalkDir};

use super::{FileId, SourceAsset, SourceSet, SourceText, Span};
use crate::finding::Finding;

/// A lesson, a drawing or a table of settings larger than this is a mistake, and would make every later stage slow.
const LARGEST_TEXT: u64 = 2 << 20;
/// Recorded traces may have a million rows.
const LARGEST_TABLE: u64 = 64 << 20;
/// A page that shows a larger picture does not open on a phone in a shop.
const LARGEST_ASSET: u64 = 32 << 20;

/// Endings of what is typed in other programs.
const TYPED: [&str; 6] = ["txt", "markdown", "doc", "docx", "odt", "rtf"];

/// How a file is read.
#[derive(Clone, Copy, PartialEq)]
enum Class {
    Text,
    Asset,
}

/// Reads every file of a course that the program has a use for, sorted by path.
///
/// Files and folders whose names start with `.` or `_` are left out, and so are kinds of files that no lesson can use.
/// What cannot be read is a finding; the call fails only when there is no such folder.
pub fn course(folder: &Path) -> Result<(SourceSet, Vec<Finding>)> {
    let about = match fs::metadata(folder) {
        Err(error) if error.kind() == ErrorKind::NotFound => {
            bail!("there is no folder `{}`{}", folder.display(), courses_near(folder))
        }
        about => about.with_context(|| format!("cannot read the folder `{}`", folder.display()))?,
    };
    if !about.is_dir() {
        bail!("`{}` is a file; the course is a folder", folder.display());
    }
    let root =
        fs::canonicalize(folder).with_context(|| format!("cannot read the folder `{}`", folder.display()))?;

    let mut findings = Vec::new();
    let mut texts = Vec::new();
    let mut sources = SourceSet::default();
    let entries = WalkDir::new(folder).sort_by_file_name().into_iter();
    for entry in entries.filter_entry(|entry| entry.depth() == 0 || !is_left_out(entry)) {
        let entry = match entry {
            Ok(entry) => entry,
            Err(error) => {
                let path = error.path().map(|path| below(folder, path)).unwrap_or_default();
                let reason = error.io_error().map_or_else(|| error.to_string(), ToString::to_string);
                findings.push(*unreadable(&path, &reason));
                continue;
            }
        };
        let path = below(folder, entry.path());
        findings.extend(no_lesson(&entry, &path));
        let Some((class, limit)) = class_of(&path) else { continue };
        match read(&entry, &root, &path, limit) {
            Ok(None) => {}
            Ok(Some(bytes)) if class == Class::Text => texts.push((path, text_of(bytes))),
            Ok(Some(bytes)) => sources.assets.push(SourceAsset { path, bytes }),
            Err(finding) => findings.push(*finding),
        }
    }

    texts.sort_by(|one, other| one.0.cmp(&other.0));
    sources.assets.sort_by(|one, other| one.path.cmp(&other.path));
    for (number, (path, text)) in (0..).zip(texts) {
        let text = text.text_with_findings(FileId(number), &path, &mut findings);
        sources.texts.push(SourceText { path, text });
    }
    Ok((sources, findings))
}

/// Which courses stand where one was looked for, in words that go on with a sentence.
fn courses_near(folder: &Path) -> String {
    let parent = folder.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let is_course = |place: &Path| place.join("course.toml").is_file();
    let below = fs::read_dir(parent).into_iter().flatten().filter_map(|entry| Some(entry.ok()?.path()));
    let mut all: Vec<String> = std::iter::once(parent.to_owned())
        .chain(below)
        .filter(|place| is_course(place))
        .map(|place| place.strip_prefix("./").unwrap_or(&place).display().to_string())
        .collect();
    all.sort();
    match all.as_slice() {
        [] => "; write the folder of your course behind the command".to_owned(),
        [one] => format!("; there is a course in `{one}`: write that behind the command"),
        [first, ..] => format!("; there are courses, such as `{first}`: write one behind the command"),
    }
}

/// A text with what was wrong with its bytes.
struct ReadText {
    text: String,
    /// Places where bytes that are not UTF-8 stood.
    foreign: Vec<Range<usize>>,
}

/// Bytes as text: without the mark that some editors put first, and with one kind of line end, so that every later
/// offset is one into what the writer sees. Text in UTF-16 has such a mark, and is read by it.
fn text_of(bytes: Vec<u8>) -> ReadText {
    let bytes = match utf_16(&bytes) {
        Some(text) => text.into_bytes(),
        None => bytes,
    };
    let (mut text, broken) = match String::from_utf8(bytes) {
        Ok(text) => (text, false),
        Err(error) => (String::from_utf8_lossy(error.as_bytes()).into_owned(), true),
    };
    if text.starts_with('\u{feff}') {
        text.drain(..'\u{feff}'.len_utf8());
    }
    if text.contains('\r') {
        text = text.replace("\r\n", "\n").replace('\r', "\n");
    }
    let mark = |(at, mark): (usize, &str)| at..at + mark.len();
    let foreign = if broken { text.match_indices('\u{fffd}').map(mark).collect() } else { Vec::new() };
    ReadText { text, foreign }
}

/// The text of bytes that say of themselves that they are UTF-16, as some editors and spreadsheets save by themselves.
fn utf_16(bytes: &[u8]) -> Option<String> {
    let unit: fn([u8; 2]) -> u16 = match bytes {
        [0xff, 0xfe, ..] => u16::from_le_bytes,
        [0xfe, 0xff, ..] => u16::from_be_bytes,
        _ => return None,
    };
    let (pairs, odd) = bytes.as_chunks::<2>();
    let units: Vec<u16> = pairs.iter().map(|pair| unit(*pair)).collect();
    String::from_utf16(&units).ok().filter(|_| odd.is_empty())
}

/// A file that has a lesson's number before its name and an ending that no lesson has.
fn no_lesson(entry: &DirEntry, path: &str) -> Option<Finding> {
    let name = path.rsplit('/').next()?;
    let (stem, ending) = name.rsplit_once('.')?;
    let is_numbered = name.starts_with(|first: char| first.is_ascii_digit());
    let by_name = is_numbered && TYPED.iter().any(|typed| ending.eq_ignore_ascii_case(typed));
    let is_one = by_name
        || ending != "md" && ending.eq_ignore_ascii_case("md")
        || stem.ends_with(".md") && ending == "txt";
    if !is_one || entry.file_type().is_dir() {
        return None;
    }
    let stem = stem.strip_suffix(".md").unwrap_or(stem);
    let message = format!("`{path}` is no lesson: the name of a lesson ends in `.md`");
    let help = match ending.to_ascii_lowercase().as_str() {
        "md" | "txt" | "markdown" => {
            format!("name it `{stem}.md`, or put `_` before its name to keep it out")
        }
        _ => format!(
            "save its text as plain text under the name `{stem}.md`, or put `_` before its name to keep it out"
        ),
    };
    Some(Finding::warning_of_course("no-lesson", message).help(help))
}

impl ReadText {
    fn text_with_findings(self, file: FileId, path: &str, findings: &mut Vec<Finding>) -> String {
        if let Some(first) = self.foreign.first() {
            let message = match self.foreign.len() {
                1 => "this file is not UTF-8: one place cannot be read".to_owned(),
                many => format!("this file is not UTF-8: {many} places cannot be read"),
            };
            findings.push(
                Finding::error("not-utf-8", message, Span::new(file, first.clone()), "the first such place")
                    .help("save the file as UTF-8; many editors have it under “Save with encoding”"),
            );
        }
        let is_stray = |c: char| c.is_control() && c != '\n' && c != '\t';
        let stray = self.text.char_indices().find(|&(_, c)| is_stray(c));
        if let Some((at, c)) = stray.filter(|_| !path.ends_with(".csv")) {
            let span = Span::new(file, at..at + c.len_utf8());
            findings.push(
                Finding::error(
                    "control-character",
                    format!("character U+{:04X} cannot be shown in a page", c as u32),
                    span,
                    "an invisible character",
                )
                .help("delete it; it often comes from copying out of another program"),
            );
        }
        self.text
    }
}

/// The bytes of a file, or nothing when the entry is a folder.
fn read(entry: &DirEntry, root: &Path, path: &str, limit: u64) -> Result<Option<Vec<u8>>, Box<Finding>> {
    if entry.file_type().is_dir() {
        return Ok(None);
    }
    if entry.path_is_symlink() {
        let target = fs::canonicalize(entry.path()).map_err(|error| unreadable(path, &error.to_string()))?;
        if !target.starts_with(root) {
            let message = format!("`{path}` is a link that leads out of the course folder; it is left out");
            let finding = Finding::warning_of_course("link-out-of-course", message);
            return Err(Box::new(finding.help("copy the file into the course folder")));
        }
    }
    let about = fs::metadata(entry.path()).map_err(|error| unreadable(path, &error.to_string()))?;
    if !about.is_file() {
        return Err(unreadable(path, "it is no ordinary file"));
    }
    if about.len() > limit {
        let message = format!("`{path}` has {} MB; accepted are {} MB", about.len() >> 20, limit >> 20);
        let finding = Finding::of_course("too-large", message);
        return Err(Box::new(finding.help("make it smaller, or take it out of the course")));
    }
    fs::read(entry.path()).map(Some).map_err(|error| unreadable(path, &error.to_string()))
}

fn unreadable(path: &str, reason: &str) -> Box<Finding> {
    Box::new(Finding::of_course("unreadable", format!("`{path}` cannot be read: {reason}")))
}

fn is_left_out(entry: &DirEntry) -> bool {
    entry.file_name().as_encoded_bytes().first().is_some_and(|first| matches!(first, b'.' | b'_'))
}

fn class_of(path: &str) -> Option<(Class, u64)> {
    let ending = path.rsplit_once('.')?.1.to_ascii_lowercase();
    match ending.as_str() {
        "md" | "toml" | "svg" => Some((Class::Text, LARGEST_TEXT)),
        "csv" => Some((Class::Text, LARGEST_TABLE)),
        "png" | "jpg" | "jpeg" | "gif" | "webp" | "pdf" => Some((Class::Asset, LARGEST_ASSET)),
        _ => None,
    }
}

/// The path below the folder with `/` between names; a name that is no text keeps its readable part.
fn below(folder: &Path, path: &Path) -> String {
    let path = path.strip_prefix(folder).unwrap_or(path);
    let names: Vec<_> = path.components().map(|part| part.as_os_str().to_string_lossy()).collect();
    names.join("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder_of(files: &[(&str, &[u8])]) -> tempfile::TempDir {
        let folder = tempfile::tempdir().expect("a folder for the test");
        for (path, bytes) in files {
            let path = folder.path().join(path);
            fs::create_dir_all(path.parent().expect("below the folder")).expect("writable");
            fs::write(path, bytes).expect("writable");
        }
        folder
    }

    fn codes(findings: &[Finding]) -> Vec<&str> {
        findings.iter().map(|finding| finding.code).collect()
    }

    #[test]
    fn files_come_sorted_and_hidden_ones_stay_out() {
        let folder = folder_of(&[
            ("b.md", b"b"),
            ("a/c.md", b"c"),
            ("a.md", b"a"),
            (".git/x.md", b""),
            ("_drafts/x.md", b""),
            ("notes.docx", b""),
            ("pictures/x.PNG", b"png"),
        ]);
        let (sources, findings) = course(folder.path()).expect("the folder is there");
        let paths: Vec<_> = sources.texts.iter().map(|text| text.path.as_str()).collect();
        assert_eq!(paths, ["a.md", "a/c.md", "b.md"]);
        assert_eq!(sources.assets[0].path, "pictures/x.PNG");
        assert_eq!(codes(&findings), [""; 0]);
        assert_eq!(sources.find_text("a/c.md").map(|(file, _)| file), Some(FileId(1)));
        assert!(sources.find_asset("pictures/x.PNG").is_some());
    }

    #[test]
    fn marks_and_line_ends_of_other_systems_leave_no_trace() {
        let folder = folder_of(&[("a.md", b"\xef\xbb\xbfone\r\ntwo\rthree\n")]);
        let (sources, findings) = course(folder.path()).expect("the folder is there");
        assert_eq!(sources.texts[0].text, "one\ntwo\nthree\n");
        assert_eq!(codes(&findings), [""; 0]);
    }

    #[test]
    fn text_in_utf_16_is_text() {
        let little = b"\xff\xfe\xb0\x00C\x00\n\x00";
        let folder = folder_of(&[("a.md", little), ("b.md", b"\xfe\xff\x00x"), ("c.md", b"\xff\xfex")]);
        let (sources, findings) = course(folder.path()).expect("the folder is there");
        let texts: Vec<_> = sources.texts.iter().map(|text| text.text.as_str()).collect();
        assert_eq!(&texts[..2], ["°C\n", "x"]);
        assert_eq!(codes(&findings), ["not-utf-8"], "half a letter is none");
    }

    #[test]
    fn a_lesson_with_another_ending_is_told() {
        let names = [
            "10-a.md.txt",
            "20-b.MD",
            "30-c.docx",
            "notes.docx",
            "40-d.txt",
            "50-e.csv",
            "_60-f.txt",
            "70-g.md",
        ];
        let files: Vec<(&str, &[u8])> = names.iter().map(|name| (*name, &b"x"[..])).collect();
        let folder = folder_of(&files);
        let (_, findings) = course(folder.path()).expect("the folder is there");
        let said: Vec<_> = findings.iter().map(|finding| finding.message.as_str()).collect();
        assert_eq!(said.len(), 4, "{said:?}");
        assert!(
            findings[0].help[0].contains("`10-a.md`") && findings[2].help[0].contains("plain text"),
            "{findings:?}"
        );
    }

    #[test]
    fn bytes_that_are_no_text_are_shown_at_their_place() {
        let folder = folder_of(&[("a.md", b"caf\xe9 and \xff"), ("b.md", b"a\0b")]);
        let (sources, findings) = course(folder.path()).expect("the folder is there");
        assert_eq!(codes(&findings), ["not-utf-8", "control-character"]);
        let span = findings[0].place.as_ref().expect("it has a place").span;
        assert_eq!(&sources.texts[0].text[span.start..span.end], "\u{fffd}");
    }

    #[test]
    fn large_files_and_odd_files_are_findings() {
        let large = vec![b'x'; (LARGEST_TEXT + 1) as usize];
        let folder = folder_of(&[("a.md", &large), ("real.md", b"")]);
        std::os::unix::fs::symlink("/etc/hosts", folder.path().join("out.md")).expect("links can be made");
        std::os::unix::fs::symlink("real.md", folder.path().join("in.md")).expect("links can be made");
        std::os::unix::fs::symlink("nowhere.md", folder.path().join("lost.md")).expect("links can be made");
        std::os::unix::fs::symlink(".", folder.path().join("loop")).expect("links can be made");
        fs::create_dir(folder.path().join("folder.md")).expect("folders can be made");
        let (sources, findings) = course(folder.path()).expect("the folder is there");
        assert_eq!(codes(&findings), ["too-large", "unreadable", "link-out-of-course"]);
        let paths: Vec<_> = sources.texts.iter().map(|text| text.path.as_str()).collect();
        assert_eq!(paths, ["in.md", "real.md"]);
    }

    #[test]
    fn no_folder_is_the_only_failure() {
        let folder = folder_of(&[("a.md", b"")]);
        let said = course(&folder.path().join("missing")).expect_err("no folder").to_string();
        assert!(said.ends_with("write the folder of your course behind the command"), "{said}");
        fs::create_dir(folder.path().join("starters")).expect("folders can be made");
        fs::write(folder.path().join("starters/course.toml"), "").expect("writable");
        let said = course(&folder.path().join("missing")).expect_err("no folder").to_string();
        assert!(said.contains("there is a course in `") && said.contains("starters`"), "{said}");
        assert!(course(&folder.path().join("a.md")).is_err());
    }
}
