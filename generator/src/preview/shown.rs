//! What a preview shows: the last good site, and what was found in the course since.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use serde::Serialize;
use sha2::{Digest, Sha256};

use crate::asset::theme;
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
    tag: OnceLock<String>,
}

impl File {
    fn new(bytes: Vec<u8>) -> Self {
        File { bytes, tag: OnceLock::new() }
    }

    /// Digits that differ when the bytes do.
    pub fn tag(&self) -> &str {
        self.tag.get_or_init(|| tag_of(&self.bytes))
    }
}

fn tag_of(bytes: &[u8]) -> String {
    Sha256::digest(bytes)[..8].iter().map(|byte| format!("{byte:02x}")).collect()
}

/// What was found, as the strip in a page shows it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Report {
    /// Is the site that is shown older than the course?
    pub is_stale: bool,
    /// What stands on the folded strip.
    pub summary: String,
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
    /// What was found in a course; `is_stopped` when it keeps the course from being shown, `has_site` when there is an
    /// older site to show.
    pub fn new(
        found: &[Finding],
        sources: &SourceSet,
        folder: &str,
        is_stopped: bool,
        has_site: bool,
    ) -> Self {
        let line = |finding: &Finding| Line {
            severity: finding.severity.word(),
            place: render::place_words(finding, sources, folder),
            message: finding.message.clone(),
            help: finding.help.clone(),
        };
        let counted = render::count_words(found);
        let summary = match (counted.as_str(), is_stopped) {
            ("", _) => "nothing found".to_owned(),
            (counted, false) => counted.to_owned(),
            (counted, true) => format!("{counted}: {}", kept_words(has_site)),
        };
        Report { is_stale: is_stopped, summary, lines: found.iter().map(line).collect() }
    }

    /// What kept the course from being read or shown at all.
    pub fn failure(reason: String, has_site: bool) -> Self {
        let line = Line { severity: "error", place: String::new(), message: reason, help: Vec::new() };
        Report { is_stale: true, summary: format!("1 error: {}", kept_words(has_site)), lines: vec![line] }
    }
}

/// What is shown while a course has errors.
pub fn kept_words(has_site: bool) -> &'static str {
    match has_site {
        true => "the last good site is shown",
        false => "there is no site to show yet",
    }
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
    /// The state before the first reading of a course: no site.
    pub fn nothing(report: Report) -> Self {
        let own = ["page.js", "strip.css"].map(|name| {
            let bytes = theme(&format!("preview/{name}")).as_bytes().to_vec();
            (format!("{OWN}{name}"), Arc::new(File::new(bytes)))
        });
        let nothing_yet = with_script("index.html", theme("preview/nothing_yet.html").as_bytes().to_vec());
        Shown { files: Arc::default(), own: Arc::new(own.into()), nothing_yet: Arc::new(nothing_yet), report }
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
        let file = |path: &str, bytes| match path.ends_with(".html") {
            true => with_script(path, bytes),
            false => File::new(bytes),
        };
        let files = site.files.into_iter().map(|(path, bytes)| {
            let file = file(&path, bytes);
            // A file that has not changed keeps its place and its tag.
            let old = self.files.get(&path).filter(|old| old.bytes == file.bytes);
            (path, old.cloned().unwrap_or_else(|| Arc::new(file)))
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

/// A page with the preview's script in its head. Nothing else of it changes.
fn with_script(path: &str, bytes: Vec<u8>) -> File {
    const HEAD_END: &str = "</head>";
    let Ok(html) = std::str::from_utf8(&bytes) else { return File::new(bytes) };
    let Some(at) = html.find(HEAD_END) else { return File::new(bytes) };
    // The page for addresses that are not there stands at any depth, so its way has to begin at the root.
    let script = match path {
        NOT_FOUND => format!("/{OWN}page.js"),
        path => relative(path, &format!("{OWN}page.js")),
    };
    let shown = format!("{}<script src=\"{script}\" defer></script>\n{}", &html[..at], &html[at..]);
    File::new(shown.into_bytes())
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
        let shown = Shown::nothing(Report::default())
            .rebuilt(site(&[("a/b.html", html), ("x.css", "p{}")]), Report::default());
        let (status, file) = shown.file("a/b.html");
        let text = String::from_utf8(file.bytes.clone()).expect("text");
        assert_eq!(status, 200);
        assert_eq!(text.replace("<script src=\"../_preview/page.js\" defer></script>\n", ""), html);
        assert_eq!(shown.file("x.css").1.bytes, b"p{}");
    }

    #[test]
    fn marks_change_with_the_page_and_with_the_report() {
        let head = |text: &str| format!("<head></head>{text}");
        let (one, two) = (head("one"), head("two"));
        let first = Shown::nothing(Report::default())
            .rebuilt(site(&[("a.html", &one), ("b.html", &one)]), Report::default());
        let next = first.rebuilt(site(&[("a.html", &two), ("b.html", &one)]), Report::default());
        assert_ne!(first.mark("a.html"), next.mark("a.html"));
        assert_eq!(first.mark("b.html"), next.mark("b.html"));
        assert_eq!(next.changed_pages(&first), 1);
        let told = next.reported(Report::failure("x".to_owned(), true));
        assert_ne!(told.mark("b.html"), next.mark("b.html"));
        assert!(told.has_site() && told.report.is_stale);
    }

    #[test]
    fn without_a_site_every_address_says_so() {
        let shown = Shown::nothing(Report::failure("x".to_owned(), false));
        for path in ["index.html", "a/b.html", "assets/x.png"] {
            let (status, file) = shown.file(path);
            assert_eq!(status, 503);
            assert!(String::from_utf8_lossy(&file.bytes).contains("page.js"));
        }
        assert_eq!(shown.file("_preview/page.js").0, 200);
    }
}
