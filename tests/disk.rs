//! Disks and folders as they are in a school: each ends in a site or in findings, soon, and nothing else is touched.

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use fieldcoil_tests::folder::content;
use fieldcoil_tests::{college, program};
use tempfile::TempDir;
use walkdir::WalkDir;

/// No answer may take longer.
const PATIENCE: Duration = Duration::from_secs(10);

const PAGE: &str = "```page\ntitle = \"A page\"\nsummary = \"To look something up.\"\n```\n\nText.\n";

/// A course in a folder of its own, beside a folder that nobody may touch.
struct Shop {
    folder: TempDir,
    untouched: BTreeMap<PathBuf, (u64, i64, i64)>,
}

impl Shop {
    fn new() -> Self {
        let folder = TempDir::new().expect("a folder");
        // Others may look in: a test runs the program as somebody else.
        fs::set_permissions(folder.path(), fs::Permissions::from_mode(0o755)).expect("a mode");
        college::write(&folder.path().join("course"), 3).expect("a course");
        fs::create_dir_all(folder.path().join("neighbour/deep")).expect("a folder");
        fs::write(folder.path().join("neighbour/deep/marks.csv"), "mine").expect("a file");
        let untouched = seen(&folder.path().join("neighbour"));
        Shop { folder, untouched }
    }

    fn path(&self, below: &str) -> PathBuf {
        self.folder.path().join(below)
    }

    fn put(&self, file: &str, bytes: impl AsRef<[u8]>) {
        let place = self.path("course").join(file);
        fs::create_dir_all(place.parent().expect("a file stands in a folder")).expect("a folder");
        fs::write(&place, bytes).unwrap_or_else(|error| panic!("{}: {error}", place.display()));
    }

    /// Runs `site`; whatever comes out, it comes soon, tells no panic, and leaves the neighbour alone.
    fn site(&self, out: &str) -> Output {
        self.run(Command::new(program::command(&[]).get_program()).arg("site"), out)
    }

    fn run(&self, command: &mut Command, out: &str) -> Output {
        let begun = Instant::now();
        let output = command
            .arg(self.path("course"))
            .arg("--out")
            .arg(self.path(out))
            .current_dir(self.folder.path())
            .output()
            .expect("the program starts");
        let said = errors(&output);
        assert!(begun.elapsed() < PATIENCE, "it took {:?}: {said}", begun.elapsed());
        assert!(matches!(output.status.code(), Some(0..=2)), "{:?}: {said}", output.status);
        assert!(!said.contains("panicked"), "{said}");
        assert_eq!(seen(&self.path("neighbour")), self.untouched, "somebody else's files were touched");
        output
    }

    /// Published, and with a whole first page.
    fn published(&self) -> Output {
        let output = self.site("site");
        assert!(output.status.success(), "{}", errors(&output));
        let first = fs::read_to_string(self.path("site/index.html")).expect("a first page");
        assert!(first.trim_end().ends_with("</html>"));
        output
    }

    /// Refused with these words, and without a site.
    fn refused(&self, words: &str) {
        let output = self.site("site");
        let said = errors(&output);
        assert_eq!(output.status.code(), Some(1), "{said}");
        assert!(said.contains(words), "“{words}” is missing in: {said}");
        assert!(!self.path("site").exists(), "half a site");
    }
}

/// Everything below a folder, with number, size and time of its last change.
fn seen(folder: &Path) -> BTreeMap<PathBuf, (u64, i64, i64)> {
    let entries = WalkDir::new(folder).into_iter().map(|entry| entry.expect("readable"));
    entries
        .map(|entry| {
            let about = entry.metadata().expect("readable");
            (
                entry.path().to_path_buf(),
                (about.ino(), about.size() as i64, about.mtime_nsec() + about.mtime()),
            )
        })
        .collect()
}

fn errors(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn bytes_of_other_systems_are_read() {
    let shop = Shop::new();
    let lesson = college::lesson(1, 3);
    shop.put(&college::file_name(1), format!("\u{feff}{}", lesson.replace('\n', "\r\n")));
    let output = shop.published();
    assert_eq!(errors(&output), "", "a mark at the beginning and other line ends are no mistakes");
    let page = fs::read_to_string(shop.path("site/bench-1.html")).expect("a page");
    assert!(!page.contains('\r') && !page.contains('\u{feff}'));
}

#[test]
fn bytes_that_are_no_text_are_findings() {
    let shop = Shop::new();
    shop.put("pages/a.md", [PAGE.as_bytes(), b"\xff\xfe caf\xe9\n"].concat());
    shop.refused("pages/a.md:7:1");
}

#[test]
fn fifty_megabytes_are_findings() {
    for name in ["pages/large.md", "large.csv", "large.png", "large.svg"] {
        let shop = Shop::new();
        shop.put(name, vec![b'x'; 50 << 20]);
        let output = shop.site("site");
        // A table may be as large, and nothing shows it.
        let is_fine = name.ends_with(".csv");
        assert_eq!(output.status.success(), is_fine, "{name}: {}", errors(&output));
        assert!(is_fine || errors(&output).contains("50 MB"), "{name}: {}", errors(&output));
    }
}

#[test]
fn names_of_every_script_are_addresses() {
    let shop = Shop::new();
    let names = [
        "mit leerzeichen",
        "κινητήρας",
        "стартер",
        "スターター",
        "محرك البدء",
        "מתנע",
        "ஸ்டார்ட்டர்",
        "🔧 fix",
        "a&b'c",
        "at 100 %",
        "x#y",
    ];
    for name in names {
        shop.put(&format!("pages/{name}.md"), PAGE.replace("A page", &format!("Page {}", name.len())));
    }
    let output = shop.published();
    let pages = fs::read_dir(shop.path("site")).expect("a site").count();
    // Three lessons and their sheets, the first page, the one for what is not there, assets, the list.
    assert!(pages >= names.len() + 3, "{pages}: {}", errors(&output));
    let first = fs::read_to_string(shop.path("site/index.html")).expect("a first page");
    for href in first.split("href=\"").skip(1).filter_map(|rest| rest.split('"').next()) {
        let way = percent(href.split('#').next().unwrap_or_default());
        assert!(way.is_empty() || shop.path("site").join(&way).exists(), "{href} leads nowhere");
    }
}

#[test]
fn a_name_without_a_letter_is_a_finding() {
    let shop = Shop::new();
    shop.put("pages/🔧.md", PAGE);
    shop.refused("unfit-address");
}

/// A way with its `%20` and `&amp;` read.
fn percent(href: &str) -> String {
    let href = href.replace("&amp;", "&").replace("&#39;", "'").replace("&#x27;", "'");
    let mut bytes = Vec::new();
    let mut rest = href.as_bytes();
    while let Some((first, after)) = rest.split_first() {
        let code = (*first == b'%')
            .then(|| {
                after.get(..2).and_then(|hex| u8::from_str_radix(std::str::from_utf8(hex).ok()?, 16).ok())
            })
            .flatten();
        bytes.push(code.unwrap_or(*first));
        rest = if code.is_some() { &after[2..] } else { after };
    }
    String::from_utf8(bytes).expect("text")
}

#[test]
fn long_paths_are_a_site_or_a_finding() {
    let shop = Shop::new();
    let folders = |count: usize| vec!["a-folder-with-a-long-name-of-forty-letters"; count].join("/");
    shop.put(&format!("pages/{}/a-page-at-the-end.md", folders(4)), PAGE);
    let output = shop.published();
    assert!(errors(&output).contains("unportable-name"), "others cannot hold it: {}", errors(&output));

    let longer = Shop::new();
    assert!(folders(6).len() > 240);
    longer.put(&format!("pages/{}/a-page-at-the-end.md", folders(6)), PAGE);
    longer.refused("unfit-address");
}

#[test]
fn what_is_no_file_is_a_finding() {
    let shop = Shop::new();
    let pipe = shop.path("course/pages");
    fs::create_dir_all(&pipe).expect("a folder");
    let made = Command::new("mkfifo").arg(pipe.join("pipe.md")).status().expect("mkfifo starts");
    assert!(made.success());
    shop.refused("pages/pipe.md");
}

#[test]
fn a_folder_named_as_a_lesson_is_a_folder() {
    let shop = Shop::new();
    shop.put("pages/x.md/inside.md", PAGE);
    shop.published();
}

#[test]
fn links_in_circles_end() {
    let shop = Shop::new();
    let course = shop.path("course");
    fs::create_dir_all(course.join("pages")).expect("a folder");
    symlink(".", course.join("pages/here")).expect("a link");
    symlink("../..", course.join("pages/above")).expect("a link");
    symlink("b.md", course.join("pages/a.md")).expect("a link");
    symlink("a.md", course.join("pages/b.md")).expect("a link");
    shop.refused("pages/a.md");
}

#[test]
fn a_file_where_a_folder_is_wanted_is_refused() {
    let shop = Shop::new();
    fs::write(shop.path("site"), "a file").expect("a file");
    let output = shop.site("site");
    assert_eq!(output.status.code(), Some(2), "{}", errors(&output));
    assert_eq!(fs::read(shop.path("site")).expect("still there"), b"a file");
    let output = shop.site("site/below");
    assert_eq!(output.status.code(), Some(2), "{}", errors(&output));
    let output = shop.site("neighbour");
    assert!(errors(&output).contains("deep/marks.csv"), "{}", errors(&output));
}

#[test]
fn files_that_come_and_go_while_they_are_read() {
    let shop = Shop::new();
    let ended = AtomicBool::new(false);
    thread::scope(|scope| {
        scope.spawn(|| {
            while !ended.load(Ordering::Relaxed) {
                for number in 0..20 {
                    let place = shop.path("course").join(format!("page-{number}.svg"));
                    let _ = fs::write(&place, "<svg xmlns=\"http://www.w3.org/2000/svg\"/>");
                    let _ = fs::remove_file(&place);
                }
            }
        });
        for _ in 0..20 {
            let output = shop.site("site");
            let said = errors(&output);
            assert!(output.status.success() || said.contains("unreadable"), "{said}");
        }
        ended.store(true, Ordering::Relaxed);
    });
    shop.published();
}

/// As a user who may not read a lesson. The superuser may read everything, so there the program runs as nobody.
#[test]
fn a_lesson_that_may_not_be_read_is_a_finding() {
    let shop = Shop::new();
    let lesson = shop.path("course").join(college::file_name(1));
    fs::set_permissions(&lesson, fs::Permissions::from_mode(0o000)).expect("a mode");
    let own = shop.path("fieldcoil");
    fs::copy(program::command(&[]).get_program(), &own).expect("a copy of the program");
    let is_root = fs::metadata("/proc/self").expect("Linux").uid() == 0;
    let mut command = match is_root {
        true => Command::new("setpriv"),
        false => Command::new(&own),
    };
    if is_root {
        command.args(["--reuid=65534", "--regid=65534", "--clear-groups"]).arg(&own);
    }
    let output = shop.run(command.arg("site"), "site");
    let said = errors(&output);
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(said.contains("unreadable") && said.contains(&college::file_name(1)), "{said}");
}

/// On a disk with too little room, or where that cannot be had, with too little room for a file.
#[test]
fn a_full_disk_leaves_the_old_site() {
    let own = Command::new("unshare").args(["--map-root-user", "--mount", "true"]).output();
    let may_mount = own.is_ok_and(|own| own.status.success());
    for kilobytes in [0, 8, 30, 50] {
        let shop = Shop::new();
        shop.published();
        let before = content(&shop.path("site")).expect("readable");
        let text = college::lesson(1, 3) + "\nOne more sentence.\n";
        shop.put(&college::file_name(1), text);

        // The old site lies on the small disk, with room for so much more.
        let small = shop.path("small");
        fs::create_dir(&small).expect("a folder");
        let script = format!(
            "if [ -z \"$MOUNTED\" ] && mount -t tmpfs -o size={}k none small 2>/dev/null; then cp -r site small/site; \
             \"$@\"; else cp -r site small/site; (trap '' XFSZ; ulimit -f {}; \"$@\"); fi; code=$?; \
             cp -r small/site kept; ls -A small > listed; exit $code",
            before.values().map(|bytes| bytes.len().div_ceil(4096) * 4).sum::<usize>() + kilobytes,
            kilobytes / 8
        );
        let mut command = match may_mount {
            true => Command::new("unshare"),
            false => Command::new("env"),
        };
        command.args(if may_mount { ["--map-root-user", "--mount"] } else { ["--", "MOUNTED=no"] });
        command.args(["bash", "-c", &script, "bash"]);
        command.arg(program::command(&[]).get_program()).arg("site");
        let output = shop.run(&mut command, "small/site");
        let said = errors(&output);
        assert_eq!(output.status.code(), Some(2), "{kilobytes} kB: {said}");
        assert!(said.contains("cannot write") || said.contains("cannot make the folder"), "{said}");
        assert!(content(&shop.path("kept")).expect("readable") == before, "the old site is not whole");
        let listed = fs::read_to_string(shop.path("listed")).expect("a list");
        assert_eq!(listed.trim(), "site", "nothing is left beside it");
    }
}
