//! Hostile strings in every text of every block and file, in a roster and in hand-ins: in no page does a script run, and no
//! page has an element, an attribute or an address that a harmless course does not have.
//!
//! Pages are opened as they are, where the browser says whatever their policy had to stop; those of the hostile course also
//! without their policy, where nothing would stop it. Courses with errors are shown too, though no command publishes them.

mod course;
mod strings;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::{LazyLock, MutexGuard};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use course::{Base, Field};
use fieldcoil::finding::render::in_one_line;
use fieldcoil::grade::{self, Given, Plan, Wishes};
use fieldcoil::handouts::Settings;
use fieldcoil::pipeline;
use fieldcoil::roster::{self, Roster};
use fieldcoil::source::SourceSet;
use fieldcoil_tests::browser::{Chromium, shared};
use fieldcoil_tests::homework::codes;
use fieldcoil_tests::server::Server;
use serde_json::json;
use strings::Hostile;

/// Files by their paths.
type Files = BTreeMap<String, Vec<u8>>;

/// So many strings stand in each text.
const TOGETHER: usize = 16;
/// A name of a roster may have so many letters.
const LONGEST_NAME: usize = 190;

/// Folders of pages as they are, and of the same pages without a policy.
const AS_IS: &str = "as-is";
const OPEN: &str = "open";
/// The folder of the course whose names are hostile, one in each lesson.
const REFUSED: &str = "refused";
/// What somebody types into every box.
const TYPED: &str = "\"><img src=x onerror=alert(1)>";

/// Elements that a course may allow in its lessons.
const ALLOWED: &str = "abbr b bdi br cite dd del details dfn div dl dt em i ins kbd mark q s samp small span strong sub \
                       summary sup u var wbr";

/// What stands in a page before its own scripts: writes down what runs, and what the policy stops.
const WATCH: &str = "
window.ran = [];
for (const name of ['alert', 'confirm', 'prompt', 'print', 'open']) window[name] = () => { window.ran.push(name); };
addEventListener('securitypolicyviolation', event =>
    window.ran.push(`${event.effectiveDirective} stopped ${event.blockedURI} ${event.sample}`));
";

/// Types the string into every box, unfolds everything and presses what does not leave the page.
const WORK: &str = "
for (const part of document.querySelectorAll('details')) part.open = true;
for (const box of document.querySelectorAll('input:not([type=file]), textarea')) {
    if (box.type === 'radio' || box.type === 'checkbox') { box.click(); continue; }
    box.value = arguments[0];
    for (const kind of ['input', 'change']) box.dispatchEvent(new Event(kind, { bubbles: true }));
}
for (const button of document.querySelectorAll('button')) button.click();
";

static STRINGS: LazyLock<Vec<Hostile>> = LazyLock::new(|| strings::all().expect("strings that can be read"));

fn groups() -> Vec<Vec<String>> {
    STRINGS.chunks(TOGETHER).map(|some| some.iter().map(|string| string.text.clone()).collect()).collect()
}

/// The site of a course with whatever is wrong in it, and how many errors there are.
fn site(sources: &SourceSet) -> Result<(Files, usize)> {
    let (checked, found) = pipeline::check(sources, Vec::new());
    let errors = found.iter().filter(|finding| finding.is_error()).count();
    Ok((pipeline::site(&checked)?.files, errors))
}

fn errors(sources: &SourceSet) -> BTreeSet<String> {
    let found = pipeline::check(sources, Vec::new()).1;
    found
        .iter()
        .filter(|finding| finding.is_error())
        .map(|finding| in_one_line(finding, sources, ""))
        .collect()
}

/// Texts that may say anything, and texts that are names of something and are refused.
fn parted(base: &Base) -> Result<(BTreeSet<Field>, BTreeSet<Field>)> {
    let nothing = BTreeSet::new();
    let harmless = errors(&base.course(&nothing, &[vec!["probe".to_owned()]], false)?);
    ensure!(harmless.is_empty(), "the course has findings as it is: {harmless:?}");
    let (mut free, mut bound) = (BTreeSet::new(), BTreeSet::new());
    for field in &base.fields {
        let chosen = BTreeSet::from([field.clone()]);
        let refused = errors(&base.course(&chosen, &[vec!["<b>probe</b>".to_owned()]], false)?);
        if refused.is_empty() { &mut free } else { &mut bound }.insert(field.clone());
    }
    Ok((free, bound))
}

/// As many strings as a name has room for, until all are in one.
fn names(strings: &[String]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for string in strings {
        match names.last_mut() {
            Some(name) if name.len() + string.len() < LONGEST_NAME => name.push_str(&format!(" {string}")),
            _ => names.push(string.clone()),
        }
    }
    names
}

/// A class whose names and groups are the strings.
fn class(names: &[String]) -> Result<Roster> {
    let quoted = |name: &String| {
        let short: String = name.chars().filter(|c| *c != '\0').take(LONGEST_NAME).collect();
        format!("\"{}\"", short.replace('"', "\"\""))
    };
    let mut text = "code,name,group\n".to_owned();
    for (code, name) in codes(names.len()).iter().zip(names) {
        text.push_str(&format!("{code},{0},{0}\n", quoted(name)));
    }
    let (roster, complaints) = roster::read("class.csv", &text);
    ensure!(roster.students.len() == names.len(), "{complaints:?}");
    Ok(roster)
}

/// Hand-ins of one student for the lessons of a course: as the page writes them, with the string wherever a text may stand;
/// and one in which everything but the code is the string.
fn hand_ins(code: &str, lessons: usize, string: &str) -> Vec<Given> {
    let hand_in = |lesson: &str, about: Option<&str>, number: usize| {
        let or = |usual: &str| about.unwrap_or(usual).to_owned();
        json!({
            "fieldcoil_hand_in": 1, "course": or("Hostile texts"), "edition": or("1"), "term": or("Autumn 2026"),
            "lesson": lesson, "code": code, "draw": 1, "key": or("otter under the weir"), "tool": string,
            "started": or("2026-09-09T08:00:00Z"), "handed_in": or("2026-09-09T09:30:00Z"),
            "homework": [
                { "name": format!("drop-{number}"), "answers": { "a": string, "b": format!("1 {string}"), string: string },
                  "reasons": [string] },
                { "name": string, "answers": { string: string }, "reasons": [string] },
            ],
            "readings": [
                { "sheet": "worksheet-1", "values": { "settled_current_a": string, "pinion": string, string: string },
                  "answers": [string] },
                { "sheet": string, "values": { string: string }, "answers": [string] },
            ],
            "checklists": [{ "list": "bench", "done": 3, "of": 22, "initials": [string], "energized_ms": { "13": 4000 } },
                { "list": string, "done": 1, "of": 2, "initials": [string], "energized_ms": { string: 1 } }],
        })
    };
    let quoted = string.replace('"', "\"\"");
    let mut given: Vec<(String, String)> = (0..lessons)
        .map(|number| {
            (format!("{code}-{number}.json"), hand_in(&format!("bench-{number}"), None, number).to_string())
        })
        .collect();
    given.push((format!("{code} {string}.json"), hand_in("bench-0", Some(string), 0).to_string()));
    given.push((format!("{code} {string} 2.json"), hand_in(string, None, 0).to_string()));
    given.push((format!("{code}.csv"), format!("code,homework,ask,answer\n{code},drop-0,a,\"{quoted}\"\n{code},\"{quoted}\",\"{quoted}\",\"{quoted}\"\n")));
    given.push((
        format!("{code}-2.csv"),
        format!(
            "code,lesson,reading,value\n{code},bench-0,pinion,\"{quoted}\"\n\"{quoted}\",\"{quoted}\",x,y\n"
        ),
    ));
    given.into_iter().map(|(file, text)| Given { file, bytes: Ok(text.into_bytes()) }).collect()
}

/// Handouts and grades of a course for students with these names, who hand in the strings.
fn of_class(sources: &SourceSet, names: &[String], lessons: usize) -> Result<(Files, Files)> {
    let (checked, _) = pipeline::check(sources, Vec::new());
    let class = class(names)?;
    let settings = Settings { names: true, ..Settings::default() };
    let handouts = pipeline::handouts(&checked, &class, &[], settings)?.files;
    let all = checked.lessons();
    let plan = Plan::of(checked.course(), &all).context("there is a term")?;
    let given = codes(names.len())
        .iter()
        .zip(names)
        .flat_map(|(code, string)| hand_ins(&code.to_string(), lessons, string))
        .collect();
    let wishes = Wishes { names: true, ..Wishes::default() };
    let graded = grade::class(checked.course(), &plan, &class, given, &wishes, &mut |_, _| ())?;
    Ok((handouts, graded.site.files))
}

/// A folder of files that a browser looks through.
struct Shown {
    folder: &'static str,
    files: Files,
}

impl Shown {
    /// Its pages; of courses in which only some lessons are hostile, those that have a string in them.
    fn pages(&self) -> impl Iterator<Item = &String> {
        let is_hostile = |bytes: &[u8]| {
            let html = String::from_utf8_lossy(bytes);
            self.folder != REFUSED || html.contains("alert(1)") || html.contains("canary")
        };
        let pages = self.files.iter().filter(|(path, _)| path.ends_with(".html") && *path != "404.html");
        pages.filter(move |(_, bytes)| is_hostile(bytes)).map(|(path, _)| path)
    }

    /// Puts the files below a folder, once as they are and once with no policy in any page.
    fn put(&self, root: &Path) -> Result<()> {
        for kind in [AS_IS, OPEN] {
            for (path, bytes) in &self.files {
                let place = root.join(kind).join(self.folder).join(path);
                std::fs::create_dir_all(place.parent().context("a folder")?)?;
                let bytes = match path.ends_with(".html") && kind == OPEN {
                    true => without_policy(path, bytes)?.into_bytes(),
                    false => bytes.clone(),
                };
                std::fs::write(place, bytes)?;
            }
        }
        Ok(())
    }
}

fn without_policy(path: &str, bytes: &[u8]) -> Result<String> {
    let html = std::str::from_utf8(bytes)?;
    let parts = html.split_once("<meta http-equiv=\"Content-Security-Policy\"");
    let (before, rest) = parts.with_context(|| format!("{path} has no policy"))?;
    let (policy, after) = rest.split_once('>').context("it ends")?;
    ensure!(!policy.contains("unsafe-inline") && policy.contains("default-src 'none'"), "{path}: {policy}");
    Ok(format!("{before}{after}"))
}

/// A browser that looks through pages.
struct Looker {
    browser: MutexGuard<'static, Chromium>,
    host: String,
    /// Elements that pages of a harmless course have, and those that a course may allow.
    known: BTreeSet<String>,
    pages: usize,
}

impl Looker {
    fn start(root: &Path) -> Result<Self> {
        let mut browser = shared();
        browser.before_every_page(WATCH)?;
        let host = Server::start(root, "/")?.address.trim_end_matches('/').to_owned();
        let known = ALLOWED.split_whitespace().map(str::to_owned).collect();
        Ok(Looker { browser, host, known, pages: 0 })
    }

    /// What is wrong inside the page that is open.
    fn seen(&mut self) -> Result<Vec<String>> {
        let said = self.browser.run(include_str!("look.js"), &[json!(self.known), json!(self.host)])?;
        Ok(serde_json::from_value(said)?)
    }

    /// What the browser said and asked for since the last call, of all pages together.
    fn logged(&mut self) -> Result<Vec<String>> {
        // Sound waits for a real press; a set of handouts has no icon.
        let is_usual = |line: &str| line.contains("AudioContext") || line.contains("/favicon.ico");
        let mut faults = self.browser.console()?;
        faults.retain(|line| !is_usual(line));
        let mut asked = self.browser.requests()?;
        let own = [self.host.as_str(), "about:blank", "data:", "blob:"];
        asked.retain(|asked| !own.iter().any(|own| asked.starts_with(own)));
        faults.extend(asked.into_iter().map(|asked| format!("a page asks for {asked}")));
        Ok(faults)
    }

    fn open(&mut self, kind: &str, folder: &str, page: &str) -> Result<()> {
        self.pages += 1;
        self.browser.open(&format!("{}/{kind}/{folder}/{page}", self.host))
    }

    /// Every page, and what is wrong with it; with `typed` somebody works in it.
    fn look(&mut self, shown: &Shown, kind: &str, typed: Option<&str>) -> Result<Vec<String>> {
        let mut all = Vec::new();
        for page in shown.pages() {
            self.open(kind, shown.folder, page)?;
            if let Some(typed) = typed {
                self.browser.run(WORK, &[json!(typed)])?;
            }
            let faults = self.seen()?.into_iter();
            all.extend(faults.map(|fault| format!("{kind}/{}/{page}: {fault}", shown.folder)));
        }
        all.extend(self.logged()?);
        Ok(all)
    }

    /// The page of a lesson after somebody has loaded a hand-in that is full of strings.
    fn loaded(&mut self, shown: &Shown, root: &Path, strings: &[String]) -> Result<Vec<String>> {
        let typed: Vec<&str> =
            strings.iter().map(String::as_str).filter(|text| !text.contains('\0')).collect();
        let given = hand_ins(&codes(1)[0].to_string(), 1, &typed.join(" "));
        let file = root.join("hand-in.json");
        std::fs::write(&file, given[0].bytes.as_ref().ok().context("bytes")?)?;
        self.open(AS_IS, shown.folder, "bench-0.html")?;
        self.browser.choose_file("#hand-in-load", &file)?;
        let boxes = "return [...document.querySelectorAll('input, textarea')].filter(box => box.value.includes('alert(1)')).length";
        let start = Instant::now();
        while self.browser.run(boxes, &[])?.as_u64().is_none_or(|full| full < 4) {
            ensure!(start.elapsed() < Duration::from_secs(20), "the hand-in is never loaded");
        }
        Ok([self.seen()?, self.logged()?].concat())
    }

    /// Learns which elements pages have.
    fn learn(&mut self, shown: &Shown) -> Result<()> {
        const NAMES: &str = "return [...document.querySelectorAll('*')].map(element => element.localName)";
        for page in shown.pages() {
            self.open(AS_IS, shown.folder, page)?;
            self.known.extend(serde_json::from_value::<Vec<String>>(self.browser.run(NAMES, &[])?)?);
        }
        let faults = self.logged()?;
        ensure!(faults.is_empty(), "a harmless course: {faults:?}");
        Ok(())
    }

    /// A page with this in it and nothing else.
    fn planted(&mut self, root: &Path, string: &str) -> Result<Vec<String>> {
        let page = format!(
            "<!DOCTYPE html>\n<html lang=\"en\"><head><title>Planted</title></head><body><p>{string}</p></body></html>"
        );
        std::fs::create_dir_all(root.join("planted"))?;
        std::fs::write(root.join("planted/page.html"), page)?;
        self.browser.open(&format!("{}/planted/page.html", self.host))?;
        self.seen()
    }
}

#[test]
fn no_string_runs_wherever_it_stands() -> Result<()> {
    let root = tempfile::tempdir()?;
    let base = Base::read()?;
    let (free, bound) = parted(&base)?;
    let groups = groups();
    let strings = groups.concat();
    ensure!(strings.len() > 80 && free.len() > 60, "{} strings, {} free texts", strings.len(), free.len());
    let dropped = errors(&base.course(&free, &groups, false)?);
    ensure!(dropped.is_empty(), "blocks with errors are not shown: {dropped:#?}");

    let nothing = BTreeSet::new();
    let harmless = base.course(&nothing, &[vec!["word".to_owned()]], true)?;
    let hostile = base.course(&free, &groups, true)?;
    let refused = base.one_by_one(&bound, &groups[0])?;
    let (refused_site, errors) = site(&refused)?;
    ensure!(errors >= bound.len(), "{errors} errors for {} names that are none", bound.len());
    let (plain_handouts, plain_grades) = of_class(&harmless, &["Somebody".to_owned()], 1)?;
    let (handouts, grades) = of_class(&hostile, &strings[..1], groups.len())?;
    let (class_handouts, class_grades) = of_class(&harmless, &names(&strings), 1)?;
    let plain = [
        Shown { folder: "plain", files: site(&harmless)?.0 },
        Shown { folder: "plain-handouts", files: plain_handouts },
        Shown { folder: "plain-grades", files: plain_grades },
    ];
    let all = [
        Shown { folder: "hostile", files: site(&hostile)?.0 },
        Shown { folder: REFUSED, files: refused_site },
        Shown { folder: "handouts", files: handouts },
        Shown { folder: "grades", files: grades },
        Shown { folder: "class-handouts", files: class_handouts },
        Shown { folder: "class-grades", files: class_grades },
    ];
    for shown in plain.iter().chain(&all) {
        shown.put(root.path())?;
    }
    let mut looker = Looker::start(root.path())?;
    for shown in &plain {
        looker.learn(shown)?;
    }

    // The same look finds every string that does harm, when it stands in a page as it is.
    let live = STRINGS.iter().filter(|string| string.is_live);
    let mut caught = 0;
    for string in live {
        let faults = looker.planted(root.path(), &string.text)?;
        ensure!(!faults.is_empty(), "nobody sees `{}`", string.text);
        caught += 1;
    }
    ensure!(caught > 40 && looker.planted(root.path(), "plain words")?.is_empty(), "{caught}");

    looker.logged()?;

    let mut faults = looker.loaded(&plain[0], root.path(), &strings)?;
    faults.extend(looker.look(&all[0], OPEN, None)?);
    for shown in &all {
        let typed = if shown.folder == "hostile" { Some(TYPED) } else { None };
        faults.extend(looker.look(shown, AS_IS, typed)?);
    }
    ensure!(
        faults.is_empty(),
        "{} faults in {} pages: {:#?}",
        faults.len(),
        looker.pages,
        &faults[..faults.len().min(30)]
    );
    ensure!(looker.pages > 100, "{} pages", looker.pages);
    Ok(())
}
