//! What a preview shows: the last good site, and what was found in the course since.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::{Arc, OnceLock};

use serde::Serialize;
use sha2::{Digest, Sha256};

use crate::asset::{ASSETS, theme};
use crate::finding::{Finding, render};
use crate::site::{Site, relative};
use crate::source::SourceSet;

/// Names below this folder are the preview's own. No course has such a name: what begins with `_` is left out of it.
pub const OWN: &str = "_preview/";
/// The file for an address that is not there.
const NOT_FOUND: &str = "404.html";

/// A file as it is sent.
#[derive(Debug, Default)]
pub struct File {
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// Where the preview's script stands in them; nowhere in a file that is no page.
    script: Range<usize>,
    tag: OnceLock<String>,
}

impl File {
    fn new(bytes: Vec<u8>) -> Self {
        File { bytes, script: 0..0, tag: OnceLock::new() }
    }

    /// A page with the preview's script in its head. Nothing else of it changes.
    fn page(path: &str, bytes: Vec<u8>) -> Self {
        const HEAD_END: &[u8] = b"</head>";
        let Some(at) = bytes.windows(HEAD_END.len()).position(|part| part == HEAD_END) else {
            return File::new(bytes);
        };
        let source = match path {
            // A page that stands at any depth begins its way at the root.
            NOT_FOUND => format!("/{OWN}page.js"),
            path => relative(path, &format!("{OWN}page.js")),
        };
        // The script is told which page it came with: while it was on its way there may have been a save.
        let tag = tag_of(&bytes);
        let script = format!("<script src=\"{source}\" data-page=\"{tag}\" defer></script>\n");
        let shown = [&bytes[..at], script.as_bytes(), &bytes[at..]].concat();
        File { bytes: shown, script: at..at + script.len(), tag: tag.into() }
    }

    /// Digits that differ when the bytes do.
    pub fn tag(&self) -> &str {
        self.tag.get_or_init(|| tag_of(&self.bytes))
    }

    /// Is it this file of a site?
    fn is_of(&self, bytes: &[u8]) -> bool {
        let Range { start, end } = self.script;
        self.bytes.len() - self.script.len() == bytes.len()
            && self.bytes[..start] == bytes[..start]
            && self.bytes[end..] == bytes[start..]
    }
}

fn tag_of(bytes: &[u8]) -> String {
    Sha256::digest(bytes)[..8].iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The interface's words for a preview, in the language of the course: table `preview` of the theme's words.
#[derive(Debug, Clone, Default)]
pub struct Words {
    /// The language of the course.
    pub language: String,
    /// The words by their names.
    pub texts: BTreeMap<String, String>,
}

impl Words {
    fn get(&self, name: &str) -> &str {
        self.texts.get(name).map_or("", String::as_str)
    }
}

/// What was found, as the strip in a page shows it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Report {
    /// Is the site that is shown older than the course?
    pub is_stale: bool,
    /// What the strip is called.
    pub label: String,
    /// What stands on the folded strip.
    pub summary: String,
    /// What stands there when the preview has ended.
    pub ended: String,
    /// Each finding.
    pub lines: Vec<Line>,
}

/// One finding in a page.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Line {
    /// `error`, `warning` or `hint`.
    pub severity: &'static str,
    /// `content/10-cables.md:12:5`, or the folder.
    pub place: String,
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub help: Vec<String>,
}

impl Report {
    /// What was found in a course that is shown as it is.
    pub fn fresh(found: &[Finding], sources: &SourceSet, folder: &str, words: &Words) -> Self {
        let summary = match render::count_words(found) {
            counted if counted.is_empty() => words.get("nothing").to_owned(),
            counted => words.get("found").replace("{found}", &counted),
        };
        Report::new(false, summary, lines(found, sources, folder), words)
    }

    /// What was found in a course and keeps it from being shown; `has_site` when there is an older site to show.
    pub fn stale(
        found: &[Finding],
        sources: &SourceSet,
        folder: &str,
        has_site: bool,
        words: &Words,
    ) -> Self {
        let summary = stopped(&render::count_words(found), has_site, words);
        Report::new(true, summary, lines(found, sources, folder), words)
    }

    /// What kept the course from being read or shown at all.
    pub fn failure(reason: String, has_site: bool, words: &Words) -> Self {
        let line = Line { severity: "error", place: String::new(), message: reason, help: Vec::new() };
        Report::new(true, stopped("1 error", has_site, words), vec![line], words)
    }

    fn new(is_stale: bool, summary: String, lines: Vec<Line>, words: &Words) -> Self {
        let [label, ended] = ["label", "ended"].map(|name| words.get(name).to_owned());
        Report { is_stale, label, summary, ended, lines }
    }
}

fn stopped(counted: &str, has_site: bool, words: &Words) -> String {
    words.get(if has_site { "kept" } else { "no_site" }).replace("{found}", counted)
}

fn lines(found: &[Finding], sources: &SourceSet, folder: &str) -> Vec<Line> {
    let line = |finding: &Finding| Line {
        severity: finding.severity.word(),
        place: render::place_words(finding, sources, folder),
        message: finding.message.clone(),
        help: finding.help.clone(),
    };
    found.iter().map(line).collect()
}

/// One state of the preview; a new one takes its place after every change.
#[derive(Debug, Default)]
pub struct Shown {
    files: Arc<BTreeMap<String, Arc<File>>>,
    own: Arc<BTreeMap<String, Arc<File>>>,
    nothing_yet: Arc<File>,
    /// What was found.
    pub report: Report,
}

impl Shown {
    /// A state without a site, as before the first reading of a course.
    pub fn nothing(report: Report, words: &Words) -> Self {
        let own = [
            ("page.js", theme("preview/page.js").as_bytes()),
            ("strip.css", theme("preview/strip.css").as_bytes()),
            // The page that stands for a site looks like one.
            ("sheet.css", &ASSETS.styles.bytes),
        ];
        let own = own.map(|(name, bytes)| (format!("{OWN}{name}"), Arc::new(File::new(bytes.to_vec()))));
        let nothing_yet = theme("preview/nothing_yet.html")
            .replace("{language}", &words.language)
            .replace("{title}", words.get("title"))
            .replace("{text}", words.get("text"));
        // It is sent for every address, at whatever depth, like the page for an address that is not there.
        let nothing_yet = Arc::new(File::page(NOT_FOUND, nothing_yet.into_bytes()));
        Shown { files: Arc::default(), own: Arc::new(own.into()), nothing_yet, report }
    }

    /// The same site with another report.
    pub fn reported(&self, report: Report) -> Self {
        Shown {
            files: Arc::clone(&self.files),
            own: Arc::clone(&self.own),
            nothing_yet: Arc::clone(&self.nothing_yet),
            report,
        }
    }

    /// Another site with its report.
    pub fn rebuilt(&self, site: Site, report: Report) -> Self {
        let files = site.files.into_iter().map(|(path, bytes)| {
            // A file that has not changed keeps its place and its tag.
            let old = self.files.get(&path).filter(|old| old.is_of(&bytes)).cloned();
            let file = old.unwrap_or_else(|| {
                Arc::new(if path.ends_with(".html") { File::page(&path, bytes) } else { File::new(bytes) })
            });
            (path, file)
        });
        Shown { files: Arc::new(files.collect()), ..self.reported(report) }
    }

    /// Is there a site?
    pub fn has_site(&self) -> bool {
        !self.files.is_empty()
    }

    /// Pages of this state that are not the same in another one.
    pub fn changed_pages(&self, other: &Shown) -> usize {
        let is_page = |path: &str| path.ends_with(".html");
        let same =
            |path: &String, file: &Arc<File>| other.files.get(path).is_some_and(|old| Arc::ptr_eq(old, file));
        self.files.iter().filter(|(path, file)| is_page(path) && !same(path, file)).count()
    }

    /// What is sent for a path, and with which status.
    pub fn file(&self, path: &str) -> (u16, Arc<File>) {
        if let Some(file) = self.own.get(path) {
            return (200, Arc::clone(file));
        }
        if !self.has_site() {
            return (503, Arc::clone(&self.nothing_yet));
        }
        match self.files.get(path) {
            Some(file) => (200, Arc::clone(file)),
            None => (404, self.files.get(NOT_FOUND).cloned().unwrap_or_default()),
        }
    }

    /// Digits that differ when the page of this path or the report does.
    pub fn mark(&self, path: &str) -> String {
        let report = serde_json::to_vec(&self.report).unwrap_or_default();
        format!("{}-{}", self.file(path).1.tag(), tag_of(&report))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn site(files: &[(&str, &str)]) -> Site {
        let file = |(path, text): &(&str, &str)| ((*path).to_owned(), text.as_bytes().to_vec());
        Site { files: files.iter().map(file).collect() }
    }

    #[test]
    fn a_page_differs_by_one_script_alone() {
        let html = "<html><head><title>A</title>\n</head><body>é</body></html>";
        let shown = Shown::nothing(Report::default(), &Words::default())
            .rebuilt(site(&[("a/b.html", html), ("x.css", "p{}")]), Report::default());
        let (status, file) = shown.file("a/b.html");
        let text = String::from_utf8(file.bytes.clone()).expect("text");
        assert_eq!(status, 200);
        let script =
            format!("<script src=\"../_preview/page.js\" data-page=\"{}\" defer></script>\n", file.tag());
        assert_eq!(text.replace(&script, ""), html);
        assert_eq!(shown.file("x.css").1.bytes, b"p{}");
    }

    #[test]
    fn marks_change_with_the_page_and_with_the_report() {
        let head = |text: &str| format!("<head></head>{text}");
        let (one, two) = (head("one"), head("two"));
        let first = Shown::nothing(Report::default(), &Words::default())
            .rebuilt(site(&[("a.html", &one), ("b.html", &one)]), Report::default());
        let next = first.rebuilt(site(&[("a.html", &two), ("b.html", &one)]), Report::default());
        assert_ne!(first.mark("a.html"), next.mark("a.html"));
        assert_eq!(first.mark("b.html"), next.mark("b.html"));
        assert_eq!(next.changed_pages(&first), 1);
        let told = next.reported(Report::failure("x".to_owned(), true, &Words::default()));
        assert_ne!(told.mark("b.html"), next.mark("b.html"));
        assert!(told.has_site() && told.report.is_stale);
    }

    #[test]
    fn without_a_site_every_address_says_so() {
        let shown =
            Shown::nothing(Report::failure("x".to_owned(), false, &Words::default()), &Words::default());
        for path in ["index.html", "a/b.html", "assets/x.png"] {
            let (status, file) = shown.file(path);
            assert_eq!(status, 503);
            assert!(String::from_utf8_lossy(&file.bytes).contains("src=\"/_preview/page.js\""));
        }
        assert_eq!(shown.file("_preview/page.js").0, 200);
    }
}
