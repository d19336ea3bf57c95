//! A site that is made over its last edition is the site that would be made anew, to the byte, whatever was changed in
//! the course, and although most of its pages are not made again.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use fieldcoil::command::{Outcome, site};
use fieldcoil::options::{CourseOptions, SiteOptions};
use walkdir::WalkDir;

const LIST: &str = ".fieldcoil-files";

/// A course in a folder, and the site that is made again after each change of it.
struct Bed {
    folder: tempfile::TempDir,
}

impl Bed {
    fn of(files: &[(&str, String)]) -> Self {
        let bed = Bed { folder: tempfile::tempdir().expect("a folder") };
        for (path, text) in files {
            bed.write(path, text);
        }
        bed
    }

    fn path(&self, path: &str) -> PathBuf {
        self.folder.path().join("course").join(path)
    }

    fn write(&self, path: &str, text: impl AsRef<[u8]>) {
        fs::create_dir_all(self.path(path).parent().expect("a folder")).expect("made");
        fs::write(self.path(path), text).expect("written");
    }

    /// Changes a text of the course.
    fn change(&self, path: &str, from: &str, to: &str) {
        let text = fs::read_to_string(self.path(path)).expect("a text");
        assert!(text.contains(from), "{path} has no `{from}`");
        self.write(path, text.replacen(from, to, 1));
    }

    fn make(&self, out: &str) -> BTreeMap<String, Vec<u8>> {
        let out = self.folder.path().join(out);
        let options = SiteOptions {
            course: CourseOptions { folder: self.folder.path().join("course"), strict: false },
            out: out.clone(),
            zip: None,
            compressed: false,
            take_over: false,
        };
        assert!(matches!(site::run(&options), Ok(Outcome::Fine)), "the course has no errors");
        content(&out)
    }

    /// Makes the site over the last one, and anew, and compares the two.
    fn same(&self, after: &str) -> BTreeMap<String, Vec<u8>> {
        let over = self.make("over");
        let anew = self.make("anew");
        fs::remove_dir_all(self.folder.path().join("anew")).expect("gone");
        let paths = |site: &BTreeMap<String, Vec<u8>>| site.keys().cloned().collect::<Vec<_>>();
        assert_eq!(paths(&over), paths(&anew), "after {after}");
        for (path, bytes) in &over {
            assert!(*bytes == anew[path], "{path} is another one after {after}");
        }
        over
    }
}

fn content(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = WalkDir::new(folder).into_iter().map(|entry| entry.expect("readable"));
    let files = entries.filter(|entry| entry.file_type().is_file());
    let named = |entry: &walkdir::DirEntry| {
        let path = entry.path().strip_prefix(folder).expect("below");
        (path.to_string_lossy().into_owned(), fs::read(entry.path()).expect("readable"))
    };
    files.map(|entry| named(&entry)).collect()
}

/// How many files of a site the list knows the origin of.
fn with_origin(site: &BTreeMap<String, Vec<u8>>) -> usize {
    String::from_utf8_lossy(&site[LIST]).lines().filter(|line| line.contains(".html // ")).count()
}

fn lesson(title: &str, body: &str) -> String {
    format!(
        "```lesson\ntitle = \"{title}\"\nsummary = \"How it is done.\"\nminutes = 10\noutcomes = [\"Do it.\"]\n```\n\n{body}\n"
    )
}

/// The first bytes of a picture of 640 by 480, and one that differs.
fn picture(last: u8) -> Vec<u8> {
    [&b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR\0\0\x02\x80\0\0\x01\xe0\x08\x02"[..], &[last]].concat()
}

/// Three lessons that take from each other whatever lessons can: titles, anchors, numbers and a picture.
fn small() -> Bed {
    let about = "title = \"T\"\nsummary = \"S.\"\nschool = \"A school (invented)\"\nauthor = \"A\"\nedition = \"1\"\n";
    let run = "## Loss\n\nText.\n\n```calculator\nuse = \"voltage-drop\"\nname = \"run\"\n[start]\ncurrent_a = 150\n\
        conductor_size = \"35 mm2\"\nrun_out_m = 1.4\nrun_return_m = 1.0\n```\n";
    let taker = "It drops `value leads/run.drop_v`. See [there](10-leads.md#loss).\n\n![The bench](p/bench.png)\n\n\
        Look at [the file](p/bench.png) too.\n";
    let bed = Bed::of(&[
        ("course.toml", about.to_owned()),
        ("10-leads.md", lesson("Leads", run)),
        ("20-taker.md", lesson("Taker", taker)),
        ("30-last.md", lesson("Last", "Read [the picture](p/bench.png).\n")),
    ]);
    bed.write("p/bench.png", picture(0));
    bed
}

#[test]
fn a_site_over_its_last_edition_is_the_one_made_anew() {
    let bed = small();
    let site = bed.same("nothing");
    assert_eq!(with_origin(&site), 3, "each lesson is kept");
    bed.change("10-leads.md", "Text.", "Another text, and a line.\n\nMore.");
    let before = bed.same("a change of words");
    bed.change("10-leads.md", "current_a = 150", "current_a = 180");
    let site = bed.same("another number, which another lesson shows");
    assert_ne!(site["taker.html"], before["taker.html"]);
    assert_eq!(site["last.html"], before["last.html"]);
    bed.change("10-leads.md", "title = \"Leads\"", "title = \"Long leads\"");
    bed.same("another title");
    bed.change("10-leads.md", "## Loss", "## The loss");
    bed.change("20-taker.md", "#loss", "#the-loss");
    bed.same("another anchor");
    bed.write("p/bench.png", picture(1));
    bed.same("another picture");
    bed.change("20-taker.md", "![The bench](p/bench.png)", "");
    bed.change("20-taker.md", "Look at [the file](p/bench.png) too.", "");
    bed.change("30-last.md", "[the picture](p/bench.png)", "the text");
    let site = bed.same("a picture that is linked no longer");
    assert!(!site.keys().any(|path| path.ends_with(".png")));
    bed.write("15-between.md", lesson("Between", "Text."));
    bed.same("a lesson more");
    fs::remove_file(bed.path("15-between.md")).expect("gone");
    bed.same("a lesson less");
    bed.change("course.toml", "edition = \"1\"", "edition = \"2\"");
    bed.same("another edition");
}

#[test]
fn what_was_told_is_told_again_and_what_was_spoiled_is_mended() {
    let bed = small();
    bed.change("10-leads.md", "outcomes = [\"Do it.\"]", "");
    let site = bed.same("a warning");
    assert_eq!(with_origin(&site), 2, "the lesson with a finding is looked at each time");
    let page = bed.folder.path().join("over/last.html");
    fs::write(&page, "spoiled").expect("written");
    bed.change("20-taker.md", "It drops", "There drops");
    bed.same("a page that somebody has written over");
    fs::remove_file(page).expect("gone");
    bed.change("20-taker.md", "There drops", "It drops");
    bed.same("a page that somebody has deleted");
}

/// The default course, with its glossary, outcomes, references, limits and homework.
#[test]
fn the_default_course_over_its_last_edition() {
    let bed = Bed { folder: tempfile::tempdir().expect("a folder") };
    let course = Path::new(env!("CARGO_MANIFEST_DIR")).join("../content");
    for (path, bytes) in content(&course) {
        bed.write(&path, bytes);
    }
    let site = bed.same("nothing");
    assert!(with_origin(&site) > 15, "{} pages are kept", with_origin(&site));
    bed.change("course.toml", "edition = \"", "edition = \"x");
    bed.same("another edition");
    for path in content(&course).into_keys().filter(|path| path.ends_with(".md")) {
        let text = fs::read_to_string(bed.path(&path)).expect("a text");
        bed.write(&path, format!("{text}\nOne more sentence.\n"));
    }
    bed.same("a sentence in every text");
    bed.change("glossary.toml", "means = \"", "means = \"Here: ");
    bed.same("another meaning of a word");
    bed.change("limits.toml", "maximum = ", "maximum = 1");
    bed.same("another limit");
}
