//! `preview` as a browser and an editor meet it: what it answers, and how it follows what is saved.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;
use tempfile::TempDir;

const COURSE: &str = "title = \"Test course\"\nsummary = \"For tests.\"\nschool = \"No school\"\nauthor = \"Nobody\"\n\
                      edition = \"1\"\n";

fn lesson(text: &str) -> String {
    format!(
        "```lesson\ntitle = \"First\"\nsummary = \"A test.\"\nminutes = 5\noutcomes = [\"Test.\"]\n```\n\n{text}\n"
    )
}

/// A running preview of a course in a folder of its own.
struct Preview {
    program: Child,
    said: BufReader<ChildStdout>,
    address: SocketAddr,
    /// What it said before its address.
    before: String,
    folder: TempDir,
}

impl Preview {
    fn of(lesson: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder for the test");
        fs::create_dir(folder.path().join("content")).expect("made");
        fs::write(folder.path().join("content/course.toml"), COURSE).expect("written");
        fs::write(folder.path().join("content/10-first.md"), lesson).expect("written");
        Preview::start(folder, &["preview", "--port", "0"])
    }

    fn start(folder: TempDir, arguments: &[&str]) -> Self {
        let mut program = Command::new(env!("CARGO_BIN_EXE_fieldcoil"))
            .args(arguments)
            .current_dir(folder.path())
            .env("NO_COLOR", "1")
            .stdout(Stdio::piped())
            .stderr(fs::File::create(folder.path().join("errors")).expect("a file"))
            .spawn()
            .expect("the program starts");
        let mut said = BufReader::new(program.stdout.take().expect("piped"));
        let before = lines_to(&mut said, "Open it: ");
        let line = before.lines().last().expect("the line with the address");
        let address = line.trim().trim_start_matches("Open it: http://").trim_end_matches('/');
        let address = address.parse().unwrap_or_else(|_| panic!("an address: {line}"));
        lines_to(&mut said, "Ctrl-C");
        Preview { program, said, address, before, folder }
    }

    fn path(&self, name: &str) -> std::path::PathBuf {
        self.folder.path().join("content").join(name)
    }

    /// Saves as most editors do: beside it first, so that nobody reads half a file.
    fn save(&self, name: &str, text: &str) {
        let beside = self.path(&format!("{name}.new"));
        fs::write(&beside, text).expect("written");
        fs::rename(beside, self.path(name)).expect("renamed");
    }

    fn get(&self, target: &str) -> Answer {
        self.ask("GET", target, "")
    }

    /// Sends a request and reads the whole answer; `headers` are lines with their ends.
    fn ask(&self, method: &str, target: &str, headers: &str) -> Answer {
        let host = if headers.contains("Host:") { "" } else { "Host: localhost\r\n" };
        self.send(
            format!("{method} {target} HTTP/1.1\r\n{host}Connection: close\r\n{headers}\r\n").as_bytes(),
        )
    }

    fn send(&self, bytes: &[u8]) -> Answer {
        let mut stream = TcpStream::connect(self.address).expect("it listens");
        stream.set_read_timeout(Some(Duration::from_secs(30))).expect("set");
        stream.write_all(bytes).expect("sent");
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).expect("the whole answer");
        let at = answer.windows(4).position(|four| four == b"\r\n\r\n").expect("a head");
        let head = String::from_utf8(answer[..at].to_vec()).expect("text");
        let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).expect("a status");
        Answer { status, head, body: answer[at + 4..].to_vec() }
    }

    /// What a page is told: at once, or when its mark is no longer `seen`. Gives the new mark and the data.
    fn event(&self, page: &str, seen: Option<&str>) -> (String, Value) {
        let header = seen.map(|seen| format!("Last-Event-ID: {seen}\r\n")).unwrap_or_default();
        let answer = self.ask("GET", &format!("/_preview/events?page={page}"), &header);
        assert_eq!(answer.status, 200);
        let text = answer.text();
        let line = |name: &str| text.lines().find_map(|line| line.strip_prefix(name)).expect("a line");
        (line("id: ").to_owned(), serde_json::from_str(line("data: ")).expect("JSON"))
    }

    /// Asks for a page until it has this text.
    fn page_gets(&self, page: &str, text: &str) {
        let begun = Instant::now();
        while !self.get(page).text().contains(text) {
            assert!(begun.elapsed() < Duration::from_secs(20), "{page} never has `{text}`");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Ends it as Ctrl-C does; gives what it said last, and its exit status.
    fn stop(mut self) -> (String, Option<i32>) {
        let id = self.program.id().to_string();
        assert!(Command::new("kill").args(["-INT", &id]).status().expect("kill is there").success());
        let mut rest = String::new();
        self.said.read_to_string(&mut rest).expect("text");
        let status = self.program.wait().expect("it ends").code();
        (rest, status)
    }
}

impl Drop for Preview {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

/// What is said up to the line with these words.
fn lines_to(said: &mut impl BufRead, words: &str) -> String {
    let mut lines = String::new();
    while !lines.lines().last().is_some_and(|line| line.contains(words)) {
        assert!(said.read_line(&mut lines).expect("text") > 0, "it ended without `{words}`");
    }
    lines
}

struct Answer {
    status: u16,
    head: String,
    body: Vec<u8>,
}

impl Answer {
    fn header(&self, name: &str) -> Option<&str> {
        let lines = self.head.lines().filter_map(|line| line.split_once(": "));
        lines.filter(|(own, _)| own.eq_ignore_ascii_case(name)).map(|(_, value)| value).next()
    }

    fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }
}

#[test]
fn files_come_with_their_kinds_and_only_when_they_have_changed() {
    let preview = Preview::of(&lesson("Text."));
    let first = preview.get("/");
    assert_eq!((first.status, first.header("Content-Type")), (200, Some("text/html; charset=utf-8")));
    let text = first.text();
    let link = |before: &str, after: &str| {
        let at = text.find(before).expect("a link") + before.len();
        text[at..].split(after).next().expect("an end").to_owned()
    };
    let styles = link("rel=\"stylesheet\" href=\"", "\"");
    let sheet = preview.get(&format!("/{styles}"));
    assert_eq!((sheet.status, sheet.header("Content-Type")), (200, Some("text/css; charset=utf-8")));
    let script = preview.get("/_preview/page.js");
    assert_eq!((script.status, script.header("Content-Type")), (200, Some("text/javascript; charset=utf-8")));
    for answer in [&first, &sheet, &script] {
        assert_eq!(answer.header("Content-Length"), Some(answer.body.len().to_string().as_str()));
        assert_eq!(answer.header("X-Content-Type-Options"), Some("nosniff"));
    }

    let tag = sheet.header("ETag").expect("a tag").to_owned();
    for (list, status) in [(tag.as_str(), 304), ("*", 304), ("\"other\"", 200)] {
        let again = preview.ask("GET", &format!("/{styles}"), &format!("If-None-Match: {list}\r\n"));
        assert_eq!((again.status, again.body.is_empty()), (status, status == 304), "{list}");
        assert_eq!(again.header("ETag"), Some(tag.as_str()));
    }
    let head = preview.ask("HEAD", "/first.html", "Range: bytes=0-3\r\n");
    let whole = preview.get("/first.html");
    assert_eq!((head.status, head.body.len()), (200, 0));
    assert_eq!(head.header("Content-Length"), whole.header("Content-Length"));
    assert_eq!(head.header("ETag"), whole.header("ETag"));
}

#[test]
fn parts_of_files_are_sent() {
    let preview = Preview::of(&lesson("Text."));
    let whole = preview.get("/first.html");
    let (size, tag) = (whole.body.len(), whole.header("ETag").expect("a tag").to_owned());
    let part = |headers: &str| preview.ask("GET", "/first.html", headers);
    let some = part("Range: bytes=10-19\r\n");
    assert_eq!((some.status, &some.body[..]), (206, &whole.body[10..20]));
    assert_eq!(some.header("Content-Range"), Some(format!("bytes 10-19/{size}").as_str()));
    let last = part("Range: bytes=-5\r\n");
    assert_eq!((last.status, &last.body[..]), (206, &whole.body[size - 5..]));
    let outside = part(&format!("Range: bytes={size}-\r\n"));
    assert_eq!(outside.status, 416);
    assert_eq!(outside.header("Content-Range"), Some(format!("bytes */{size}").as_str()));
    for headers in
        ["Range: bytes=0-1,4-5\r\n", "Range: lines=1-2\r\n", "Range: bytes=0-1\r\nIf-Range: \"x\"\r\n"]
    {
        assert_eq!((part(headers).status, part(headers).body == whole.body), (200, true), "{headers}");
    }
    assert_eq!(part(&format!("Range: bytes=0-1\r\nIf-Range: {tag}\r\n")).status, 206);
}

#[test]
fn only_reading_is_allowed_and_only_from_this_machine() {
    let preview = Preview::of(&lesson("Text."));
    for method in ["POST", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "BREW"] {
        let answer = preview.ask(method, "/", "Content-Length: 0\r\n");
        assert_eq!((answer.status, answer.header("Allow")), (405, Some("GET, HEAD")), "{method}");
    }
    for (host, status) in
        [("localhost:1", 200), ("127.0.0.1", 200), ("course.test", 403), ("10.0.0.7:80", 403)]
    {
        assert_eq!(preview.ask("GET", "/", &format!("Host: {host}\r\n")).status, status, "{host}");
    }
    let missing = preview.get("/nowhere/at/all.html");
    assert_eq!((missing.status, missing.header("Content-Type")), (404, Some("text/html; charset=utf-8")));
    assert!(missing.text().contains("<h1>"), "the course's own page");
}

/// Addresses that try to leave the site. None may give anything but a refusal, and never a byte of the course's sources.
#[test]
fn no_address_leads_out_of_the_site() {
    let preview = Preview::of(&lesson("Text."));
    fs::write(preview.folder.path().join("secret.txt"), "SECRET").expect("written");
    preview.save("notes.txt", "SECRET");
    let long = format!("/{}", "a/".repeat(5000));
    let refused = [
        "/../secret.txt",
        "/..",
        "/./index.html",
        "/a/../../secret.txt",
        "/%2e%2e/secret.txt",
        "/.%2e/secret.txt",
        "/%2E%2E%2Fsecret.txt",
        "/..%2fsecret.txt",
        "/..%5csecret.txt",
        "/..\\secret.txt",
        "\\..\\secret.txt",
        "/%252e%252e/secret.txt",
        "/%252e%252e%252fsecret.txt",
        "/%c0%ae%c0%ae/secret.txt",
        "/%c0%af",
        "/%ff",
        "/index.html%00",
        "/%00",
        "/%0d%0aX: y",
        "/%",
        "/%2",
        "/%zz",
        "/%u002e",
        "/.../secret.txt",
        "/..%20/secret.txt",
        "//etc/passwd",
        "///",
        "/a//b",
        "http://localhost/index.html",
        "*",
        "index.html",
        "/C:%5Cwindows%5Cwin.ini",
        &long,
    ];
    for target in refused {
        let answer = preview.get(target);
        assert!(matches!(answer.status, 400 | 414), "{target}: {}", answer.status);
        assert!(!answer.text().contains("SECRET") && !answer.head.contains("\nX: y"), "{target}");
    }
    for target in [
        "/secret.txt",
        "/notes.txt",
        "/course.toml",
        "/10-first.md",
        "/content/10-first.md",
        "/etc/passwd",
        "/C:/boot.ini",
        "/~root",
        "/_preview/",
        "/_preview/../x",
        "/index.html/",
        "/index.html.",
        "/INDEX.HTML",
        "/index.html::$DATA",
    ] {
        let answer = preview.get(target);
        assert!(matches!(answer.status, 400 | 404), "{target}: {}", answer.status);
        assert!(!answer.text().contains("SECRET"), "{target}");
    }
    // Bytes that are no request are turned away, and it lives on.
    for bytes in [&b"\0\r\n\r\n"[..], b"GET\r\n\r\n", b"GET / HTTQ/1.1\r\n\r\n"] {
        assert!(preview.send(bytes).status >= 400);
    }
    assert_eq!(preview.get("/?page=../../x#y").status, 200);
}

#[test]
fn a_page_is_told_when_it_has_changed_and_not_when_another_has() {
    let preview = Preview::of(&lesson("Text."));
    let (seen, told) = preview.event("/first.html", None);
    assert_eq!(told["report"]["summary"], "Preview: nothing found.");
    let other = preview.event("/404.html", None);
    preview.save("10-first.md", &lesson("Other text."));
    let (now, changed) = preview.event("/first.html", Some(&seen));
    assert_ne!(now, seen);
    assert_ne!(changed["page"], told["page"]);
    assert!(preview.get("/first.html").text().contains("Other text."));
    assert_eq!(preview.event("/404.html", None), other);
    // The file of the site is in the page, but for one script.
    let html = preview.get("/first.html").text();
    assert_eq!(html.matches("_preview").count(), 1);
    let page = changed["page"].as_str().expect("text");
    let script = format!("<script src=\"_preview/page.js\" data-page=\"{page}\" defer></script>\n");
    let bare = html.replace(&script, "");
    let out = preview.folder.path().join("out");
    let site = Command::new(env!("CARGO_BIN_EXE_fieldcoil"))
        .args(["site", "content", "--out"])
        .arg(&out)
        .current_dir(preview.folder.path())
        .output()
        .expect("the program starts");
    assert!(site.status.success());
    assert_eq!(fs::read_to_string(out.join("first.html")).expect("a page"), bare);
}

#[test]
fn every_way_of_saving_is_seen() {
    let preview = Preview::of(&lesson("Text."));
    // Into a file beside it, which then takes its place.
    fs::write(preview.path(".10-first.md.new"), lesson("By rename.")).expect("written");
    fs::rename(preview.path(".10-first.md.new"), preview.path("10-first.md")).expect("renamed");
    preview.page_gets("/first.html", "By rename.");
    // The old one out of the way first.
    fs::rename(preview.path("10-first.md"), preview.path("10-first.md~")).expect("renamed");
    fs::write(preview.path("10-first.md"), lesson("By backup.")).expect("written");
    preview.page_gets("/first.html", "By backup.");
    // Emptied, then written piece by piece.
    let mut file = fs::File::create(preview.path("10-first.md")).expect("emptied");
    for part in lesson("In pieces.").as_bytes().chunks(20) {
        file.write_all(part).expect("written");
        file.sync_all().expect("on the disk");
    }
    drop(file);
    preview.page_gets("/first.html", "In pieces.");
    // A folder that appears, with a lesson in it, and another one later.
    fs::create_dir(preview.path("20-cables")).expect("made");
    preview.save("20-cables/10-joints.md", &lesson("In a new folder."));
    preview.page_gets("/cables/joints.html", "In a new folder.");
    preview.save("20-cables/20-lugs.md", &lesson("Later."));
    preview.page_gets("/cables/lugs.html", "Later.");
    fs::remove_dir_all(preview.path("20-cables")).expect("removed");
    let begun = Instant::now();
    while preview.get("/cables/joints.html").status != 404 {
        assert!(begun.elapsed() < Duration::from_secs(20), "the lesson stays");
        std::thread::sleep(Duration::from_millis(20));
    }
    // The whole course moved away and put back by another of its name.
    let (course, away) = (preview.folder.path().join("content"), preview.folder.path().join("away"));
    fs::rename(&course, &away).expect("moved");
    std::thread::sleep(Duration::from_millis(1500));
    assert!(preview.get("/first.html").text().contains("In pieces."), "the last good site stays");
    copy(&away, &course);
    preview.save("10-first.md", &lesson("Back again."));
    preview.page_gets("/first.html", "Back again.");
    preview.save("10-first.md", &lesson("And followed."));
    preview.page_gets("/first.html", "And followed.");
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir(to).expect("made");
    for entry in fs::read_dir(from).expect("a folder") {
        let entry = entry.expect("an entry");
        fs::copy(entry.path(), to.join(entry.file_name())).expect("copied");
    }
}

#[test]
fn five_hundred_saves_end_in_few_sites() {
    let preview = Preview::of(&lesson("Text."));
    for number in 0..500 {
        fs::write(preview.path("10-first.md"), lesson(&format!("Save {number}."))).expect("written");
    }
    preview.page_gets("/first.html", "Save 499.");
    let (said, _) = preview.stop();
    let made = said.matches("Made in").count();
    assert!((1..=20).contains(&made), "{said}");
}

#[test]
fn a_broken_lesson_keeps_the_last_good_site_until_it_is_mended() {
    let preview = Preview::of(&lesson("Text."));
    let (seen, first) = preview.event("/first.html", None);
    preview.save("10-first.md", &lesson("[a](nowhere.md) New."));
    let (broken, told) = preview.event("/first.html", Some(&seen));
    assert_eq!(told["page"], first["page"], "the page stays");
    let report = &told["report"];
    assert_eq!(report["is_stale"], true);
    assert_eq!(report["summary"], "Preview: 1 error. The last good site is shown.");
    assert_eq!(report["lines"][0]["place"], "content/10-first.md:8:5");
    assert_eq!(report["lines"][0]["message"], "there is no `nowhere.md`");
    assert!(preview.get("/first.html").text().contains("Text."));
    let errors = preview.folder.path().join("errors");
    let before = fs::read_to_string(&errors).expect("text");
    assert!(before.contains("error[dead-link]") && before.contains("content/10-first.md:8:5"), "{before}");

    preview.save("10-first.md", &lesson("Mended."));
    let (_, mended) = preview.event("/first.html", Some(&broken));
    assert_eq!(mended["report"]["summary"], "Preview: nothing found.");
    assert_ne!(mended["page"], first["page"]);
    preview.page_gets("/first.html", "Mended.");
    assert!(fs::read_to_string(&errors).expect("text").ends_with("Nothing found any more.\n"));
}

#[test]
fn a_course_that_begins_broken_says_so_and_becomes_a_site() {
    let preview = Preview::of("No lesson block.");
    let answer = preview.get("/");
    assert_eq!((answer.status, answer.header("Content-Type")), (503, Some("text/html; charset=utf-8")));
    let deep = preview.get("/a/b.html").text();
    assert!(deep.contains("src=\"/_preview/page.js\"") && deep.contains("<h1>No site yet</h1>"), "{deep}");
    assert_eq!(preview.get("/_preview/sheet.css").status, 200);
    let (seen, told) = preview.event("/", None);
    assert!(
        told["report"]["summary"].as_str().expect("text").ends_with("There is no site to show yet."),
        "{told}"
    );
    preview.save("10-first.md", &lesson("Text."));
    preview.event("/", Some(&seen));
    assert_eq!(preview.get("/").status, 200);
}

/// Connections that say nothing, or begin to say something and stop: each new one takes the place of the oldest of them.
#[test]
fn connections_that_say_nothing_keep_nobody_out() {
    let preview = Preview::of(&lesson("Text."));
    // What begins is left open, and so is what was answered.
    let beginnings = [
        "",
        "GET / HT",
        "GET / HTTP/1.1\r\nHost: localhost\r\nX: ",
        "GET / HTTP/1.1\r\nHost: localhost\r\n\r\n",
    ];
    let mut open = Vec::new();
    for beginning in beginnings.iter().cycle().take(600) {
        let mut stream = TcpStream::connect(preview.address).expect("it listens");
        stream.write_all(beginning.as_bytes()).expect("sent");
        open.push(stream);
    }
    let begun = Instant::now();
    for _ in 0..20 {
        assert_eq!(preview.get("/first.html").status, 200);
    }
    assert!(begun.elapsed() < Duration::from_secs(5), "{:?}", begun.elapsed());
    // Pages that wait are as many as may; the next is told to come again, and whoever asks for a page gets it.
    let (seen, _) = preview.event("/first.html", None);
    let wait = format!(
        "GET /_preview/events?page=/first.html HTTP/1.1\r\nHost: localhost\r\nLast-Event-ID: {seen}\r\n\r\n"
    );
    for _ in 0..64 {
        let mut stream = TcpStream::connect(preview.address).expect("it listens");
        stream.write_all(wait.as_bytes()).expect("sent");
        open.push(stream);
    }
    let one_more =
        || preview.ask("GET", "/_preview/events?page=/first.html", &format!("Last-Event-ID: {seen}\r\n"));
    let turned_away = one_more();
    assert_eq!((turned_away.status, turned_away.header("Retry-After")), (503, Some("5")));
    assert_eq!(preview.get("/first.html").status, 200);
    // Those who go away leave their places.
    drop(open);
    preview.save("10-first.md", &lesson("Other text."));
    assert_eq!(one_more().status, 200);
}

/// What comes back to bytes that are too many: a status, or nothing when the connection was closed before it was read.
fn status_of(preview: &Preview, bytes: &[u8]) -> Option<u16> {
    let mut stream = TcpStream::connect(preview.address).expect("it listens");
    stream.set_read_timeout(Some(Duration::from_secs(30))).expect("set");
    // It need not take all of it, nor end the connection in peace.
    let _ = stream.write_all(bytes);
    let mut answer = [0; 12];
    stream.read_exact(&mut answer).ok()?;
    std::str::from_utf8(&answer[9..]).ok()?.parse().ok()
}

#[test]
fn requests_without_end_are_refused() {
    let preview = Preview::of(&lesson("Text."));
    let begin = "GET / HTTP/1.1\r\nHost: localhost\r\n";
    let long_value = format!("{begin}X: {}\r\n\r\n", "x".repeat(1_000_000));
    let many = format!("{begin}{}\r\n", "X: y\r\n".repeat(100_000));
    let no_end = format!("{begin}{}", "x".repeat(1_000_000));
    let long_target = format!("GET /{} HTTP/1.1\r\nHost: localhost\r\n\r\n", "a".repeat(1_000_000));
    let blank_lines = "\r\n".repeat(500_000);
    for bytes in [&long_value, &many, &no_end, &long_target, &blank_lines] {
        let status = status_of(&preview, bytes.as_bytes());
        assert!(status.is_none_or(|status| matches!(status, 400 | 414 | 431)), "{status:?}");
    }
    // What a browser with many cookies sends is taken.
    let cookies = format!("{begin}Cookie: {}\r\nConnection: close\r\n\r\n", "c".repeat(8000));
    assert_eq!(status_of(&preview, cookies.as_bytes()), Some(200));
    let status = std::fs::read_to_string(format!("/proc/{}/status", preview.program.id()));
    if let Ok(status) = status {
        let most =
            status.lines().find_map(|line| line.strip_prefix("VmHWM:")).expect("the most memory so far");
        let kilobytes: u64 = most.trim().trim_end_matches(" kB").parse().expect("a number");
        assert!(kilobytes < 400_000, "{kilobytes} kB");
    }
}

#[test]
fn it_ends_cleanly_and_writes_no_folder() {
    let preview = Preview::of(&lesson("Text."));
    let folder = preview.folder.path().to_path_buf();
    preview.page_gets("/first.html", "Text.");
    let mut names: Vec<_> = fs::read_dir(&folder)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").file_name().into_string().expect("text"))
        .collect();
    names.sort();
    assert_eq!(names, ["content", "errors"]);
    let (said, status) = preview.stop();
    assert_eq!((said.as_str(), status), ("Stopped.\n", Some(0)));
}

#[test]
fn the_loopback_address_is_taken_unless_another_is_asked_for() {
    let preview = Preview::of(&lesson("Text."));
    assert!(preview.address.ip().is_loopback() && !preview.before.contains("Anybody"));
    let taken = preview.address.port().to_string();
    let refused = Command::new(env!("CARGO_BIN_EXE_fieldcoil"))
        .args(["preview", "--port", &taken])
        .current_dir(preview.folder.path())
        .output()
        .expect("the program starts");
    let errors = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert_eq!(refused.status.code(), Some(2), "{errors}");
    assert!(
        errors.contains(&format!("cannot serve at 127.0.0.1:{taken}")) && errors.contains("--port 0"),
        "{errors}"
    );

    let folder = tempfile::tempdir().expect("a folder");
    copy(&preview.path(""), &folder.path().join("content"));
    let mut open = Preview::start(folder, &["preview", "--port", "0", "--listen", "0.0.0.0"]);
    assert!(
        open.before.contains("Anybody who reaches this machine at 0.0.0.0 can read the course"),
        "{}",
        open.before
    );
    open.address.set_ip([127, 0, 0, 1].into());
    assert_eq!(open.ask("GET", "/", "Host: bench.test\r\n").status, 200);
}

/// A preview keeps work from one save to the next. What comes of a course is the same whatever was worked before, and
/// by whom.
#[test]
fn what_is_kept_changes_nothing() {
    let course = Path::new(env!("CARGO_MANIFEST_DIR")).join("../content");
    let (sources, found) = fieldcoil::source::load::course(&course).expect("the default course");
    let make = || {
        let (checked, found) = fieldcoil::pipeline::check(&sources, found.clone());
        (found, fieldcoil::pipeline::site(&checked).expect("a site").files)
    };
    // Some begin while nothing is kept yet, all at once; the last finds everything.
    let made: Vec<_> = std::thread::scope(|scope| {
        let all: Vec<_> = (0..3).map(|_| scope.spawn(make)).collect();
        all.into_iter().map(|one| one.join().expect("made")).collect()
    });
    let last = make();
    assert!(last.1.len() > 30 && made.iter().all(|one| *one == last));
}
