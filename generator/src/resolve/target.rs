//! What links can lead to, and the reading of a link's address.

use std::collections::{BTreeMap, BTreeSet};

use crate::course::{Glossary, Outline};
use crate::source::SourceSet;
use crate::web_address::{is_allowed, misleads, scheme};

/// Everything in a course that a link can lead to.
#[derive(Debug)]
pub struct Targets<'s> {
    /// The course's files.
    pub sources: &'s SourceSet,
    /// Lessons and pages by the path of their text.
    pub lessons: BTreeMap<&'s str, Target>,
}

/// A lesson as a target.
#[derive(Debug)]
pub struct Target {
    /// Its page below the site's root.
    pub page: String,
    /// Its anchors.
    pub anchors: BTreeSet<String>,
    /// Anchors of words that it explains.
    pub words: BTreeSet<String>,
}

impl<'s> Targets<'s> {
    pub fn of<'l>(
        lessons: impl Iterator<Item = &'l Outline>,
        glossary: &Glossary,
        sources: &'s SourceSet,
    ) -> Self {
        let lessons = lessons.filter_map(|lesson| {
            let path = sources.text(lesson.file)?.path.as_str();
            let words = glossary.entries.iter().filter(|_| glossary.page.as_ref() == Some(&lesson.address));
            let words: BTreeSet<String> = words.map(|word| word.anchor.clone()).collect();
            let page = format!("{}.html", lesson.address);
            Some((path, Target { page, anchors: lesson.anchors(), words }))
        });
        Targets { sources, lessons: lessons.collect() }
    }
}

/// What the address of a link or a picture says, before anything is looked up.
#[derive(Debug, PartialEq, Eq)]
pub enum Address {
    /// Out of the site, by one of the schemes that may stand in a page.
    Outside,
    /// A file of the course, perhaps with an anchor; an empty path is the lesson itself.
    Inside {
        /// Path below the course folder.
        path: String,
        /// Anchor without its `#`.
        anchor: Option<String>,
    },
    /// Refused: why, and what to do.
    Refused(&'static str, &'static str),
}

/// Reads an address written in the file at `from` (a path below the course folder).
pub fn read(address: &str, from: &str) -> Address {
    if address.chars().any(misleads) {
        return Address::Refused("has a character that does not belong in an address", "type it anew");
    }
    let address = address.trim();
    if address.is_empty() {
        return Address::Refused(
            "is empty",
            "write where it leads: a lesson's file, an anchor or a web address",
        );
    }
    if let Some(scheme) = scheme(address) {
        return match is_allowed(scheme) {
            true => Address::Outside,
            false => Address::Refused(
                "is of a kind that is refused",
                "links lead to `https:`, `http:`, `mailto:` or `tel:` alone",
            ),
        };
    }
    if address.starts_with('/') {
        return Address::Refused(
            "starts at the root of the host",
            "the site stands under any path: name a lesson's file, or write a web address in full",
        );
    }
    let (path, anchor) = match address.split_once('#') {
        Some((path, anchor)) => (path, Some(decoded(anchor))),
        None => (address, None),
    };
    if path.contains('?') {
        return Address::Refused("asks a file a question", "take out what follows `?`");
    }
    match joined(from, &decoded(path)) {
        Some(path) => Address::Inside { path, anchor },
        None => Address::Refused("leads out of the course folder", "copy the file into the course folder"),
    }
}

/// The path as seen from the folder of `from`, with `.` and `..` worked out; nothing when it leaves the course.
fn joined(from: &str, path: &str) -> Option<String> {
    if path.is_empty() {
        return Some(String::new());
    }
    let mut names: Vec<&str> = from.split('/').collect();
    names.pop();
    for name in path.split('/') {
        match name {
            "" | "." => {}
            ".." => {
                names.pop()?;
            }
            name => names.push(name),
        }
    }
    Some(names.join("/"))
}

/// `%20` and its like as the characters they stand for; what is no such sign stays.
fn decoded(text: &str) -> String {
    if !text.contains('%') {
        return text.to_owned();
    }
    let bytes = text.as_bytes();
    let mut out = Vec::with_capacity(bytes.len());
    let mut at = 0;
    while at < bytes.len() {
        let digits = text.get(at + 1..at + 3).filter(|_| bytes[at] == b'%');
        match digits.and_then(|digits| u8::from_str_radix(digits, 16).ok()) {
            Some(byte) => {
                out.push(byte);
                at += 3;
            }
            None => {
                out.push(bytes[at]);
                at += 1;
            }
        }
    }
    String::from_utf8(out).unwrap_or_else(|_| text.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inside(path: &str, anchor: Option<&str>) -> Address {
        Address::Inside { path: path.to_owned(), anchor: anchor.map(str::to_owned) }
    }

    #[test]
    fn addresses_are_read_as_browsers_read_them() {
        for (address, wanted) in [
            ("20-b.md", inside("cables/20-b.md", None)),
            ("../10-a.md#joints", inside("10-a.md", Some("joints"))),
            ("./x/../20-b.md", inside("cables/20-b.md", None)),
            ("#here", inside("", Some("here"))),
            ("a%20b.md", inside("cables/a b.md", None)),
            ("100%.md", inside("cables/100%.md", None)),
            ("https://example.org/x", Address::Outside),
            ("HTTP://example.org", Address::Outside),
            ("mailto:a@b.example", Address::Outside),
            ("tel:+1-555-0100", Address::Outside),
        ] {
            assert_eq!(read(address, "cables/10-x.md"), wanted, "{address}");
        }
    }

    #[test]
    fn what_could_run_or_lead_astray_is_refused() {
        for address in [
            "javascript:alert(1)",
            "JaVaScRiPt:alert(1)",
            " javascript:alert(1)",
            "\u{a0}javascript:alert(1)",
            "\u{1}javascript:alert(1)",
            "java\tscript:alert(1)",
            "java\u{200b}script:alert(1)",
            "https://exa\u{202e}elpm.example",
            "data:text/html,x",
            "vbscript:x",
            "file:///etc/passwd",
            "//example.org",
            "/index.html",
            "\\\\host\\x",
            "../../x.md",
            "",
            " ",
            "20-b.md?x=1",
        ] {
            assert!(matches!(read(address, "cables/10-x.md"), Address::Refused(..)), "{address:?}");
        }
    }
}
