//! The default course with a class: nothing of what belongs to the instructor alone is in a byte of the site.
//!
//! A lesson may say “12.4 V”, and somebody's answer may be 12.4 V: such a place is no leak, and no scan for texts can
//! tell the two apart. So the site is built a second time, elsewhere, without roster and handouts and with another key of
//! the same length. What the lessons say stands at the same place in both. Whatever hangs on the key or the class does not.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, ensure};
use fieldcoil::course::Piece;
use fieldcoil::handouts::draw_codes;
use fieldcoil::pipeline;
use fieldcoil::roster::{self, Roster};
use fieldcoil::source::load;
use fieldcoil_calc::homework::draw::Lot;
use fieldcoil_calc::homework::item::Item;
use fieldcoil_calc::view;
use fieldcoil_tests::folder;
use fieldcoil_tests::program::run;
use fieldcoil_tests::repository::root;

const KEY: &str = "quillmoor autumn 2026";
const OTHER_KEY: &str = "quillmoor spring 2031";
const STUDENTS: usize = 30;

/// Files by their paths.
type Files = BTreeMap<String, Vec<u8>>;

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    /// Of a student, whole or the part that no escape changes.
    Name,
    /// With its hyphen or without.
    Code,
    /// A right answer with its unit, in each way of writing it.
    Answer,
    /// A worked step: with numbers put in, or as the instructor's page has it.
    Step,
}

/// What must not be in the site. Ways of writing the same are secrets of their own.
type Secrets = BTreeSet<(Kind, String)>;

/// A place where a secret stands.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Hit {
    file: String,
    at: usize,
    kind: Kind,
    text: String,
}

struct Class {
    roster: Roster,
    secrets: Secrets,
    /// The right answers, and the worked steps, each told once for each student.
    answers: usize,
    steps: usize,
}

/// A class whose codes are the same in every run, with all that the course keeps from it.
fn class() -> Result<Class> {
    let text = fs::read_to_string(root().join("generator/tests/class_set/class.csv"))?;
    let (mut roster, complaints) = roster::read("class.csv", &text);
    ensure!(complaints.is_empty() && roster.students.len() == STUDENTS);
    let mut state = 77u32;
    draw_codes(&mut roster, |bytes| {
        for byte in bytes {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            *byte = (state >> 24) as u8;
        }
        Ok::<(), anyhow::Error>(())
    })?;
    let (sources, found) = load::course(&root().join("content"))?;
    let (checked, _) = pipeline::check(&sources, found);
    let (course, lessons) = (checked.course(), checked.lessons());
    ensure!(course.about.term.as_ref().is_some_and(|term| term.key == KEY), "the course has another key");
    let pieces = lessons.iter().flat_map(|read| &read.lesson.pieces);
    let items: Vec<&Item> = pieces
        .filter_map(|piece| match piece {
            Piece::Homework(homework) => homework.item.as_ref(),
            _ => None,
        })
        .collect();
    let mut class = Class { roster, secrets: Secrets::new(), answers: 0, steps: 0 };
    for student in class.roster.students.clone() {
        let code = student.code.context("a code")?;
        let part = student.name.split([' ', ',']).max_by_key(|part| part.len()).context("a name")?;
        for name in [student.name.as_str(), part] {
            class.secrets.insert((Kind::Name, name.to_owned()));
        }
        for code in [code.to_string(), code.plain()] {
            class.secrets.insert((Kind::Code, code));
        }
        for item in &items {
            class.add(item, &code.plain())?;
        }
    }
    Ok(class)
}

impl Class {
    /// Answers and steps of a problem with these numbers.
    fn add(&mut self, item: &Item, code: &str) -> Result<()> {
        let numbers = item.numbers(&Lot { key: KEY, code, attempt: 0 });
        let right = item.answers(&numbers);
        for (at, ask) in item.asks.iter().enumerate() {
            let shown = ask.shown(right[at].with_context(|| format!("{} has no answer", item.name))?);
            self.answers += 1;
            for between in ["\u{a0}", " ", "", "\u{202f}", "&nbsp;", "&#160;", "&#xa0;"] {
                let text = shown.replace('\u{a0}', between);
                self.secrets.insert((Kind::Answer, text.replace('.', ",")));
                self.secrets.insert((Kind::Answer, text));
            }
            let report =
                item.report(ask, &numbers, &right[..at]).map_err(|refusal| anyhow::anyhow!("{refusal:?}"))?;
            for step in report.steps.iter().filter(|step| !step.numbers.is_empty()) {
                self.steps += 1;
                self.secrets.insert((Kind::Step, format!("{} = {}", step.numbers, step.result)));
                self.secrets.insert((Kind::Step, step.numbers.clone()));
            }
            let html = view::parts(&report).steps;
            let rows = html.split("<li").skip(1).filter_map(|row| row.split("</li>").next());
            self.secrets.extend(rows.map(|row| (Kind::Step, format!("<li{row}"))));
        }
        Ok(())
    }
}

/// Every place of every secret in files and their names.
fn hits(files: &Files, secrets: &Secrets) -> Vec<Hit> {
    const HEAD: usize = 3;
    let mut by_head: HashMap<&[u8], Vec<&(Kind, String)>> = HashMap::new();
    for secret in secrets {
        by_head.entry(&secret.1.as_bytes()[..HEAD]).or_default().push(secret);
    }
    let mut hits = Vec::new();
    for (file, bytes) in files {
        for bytes in [bytes.as_slice(), file.as_bytes()] {
            for (at, head) in bytes.windows(HEAD).enumerate() {
                for (kind, text) in by_head.get(head).into_iter().flatten() {
                    if bytes[at..].starts_with(text.as_bytes()) {
                        hits.push(Hit { file: file.clone(), at, kind: *kind, text: text.clone() });
                    }
                }
            }
        }
    }
    hits
}

/// Secrets that stand in the site and not at the same place in its twin. A name or a code is one wherever it stands.
fn leaks(site: &Files, twin: &Files, secrets: &Secrets) -> Vec<Hit> {
    let lessons_own: BTreeSet<Hit> = hits(twin, secrets).into_iter().collect();
    let is_leak = |hit: &Hit| matches!(hit.kind, Kind::Name | Kind::Code) || !lessons_own.contains(hit);
    hits(site, secrets).into_iter().filter(is_leak).collect()
}

/// Files that differ in more than the key.
fn differing(site: &Files, twin: &Files) -> Vec<String> {
    let paths: BTreeSet<&String> = site.keys().chain(twin.keys()).collect();
    let differs = |path: &&&String| match (site.get(**path), twin.get(**path)) {
        (Some(one), Some(other)) => {
            replaced(&without_digest(path, one), KEY, OTHER_KEY) != without_digest(path, other)
        }
        _ => true,
    };
    paths.iter().filter(differs).map(|path| (*path).clone()).collect()
}

/// The list of the site's files without what they were made from: digests of the course's texts, the key among them,
/// which every page with homework has. No class is among them.
fn without_digest(path: &str, bytes: &[u8]) -> Vec<u8> {
    if path != ".fieldcoil-files" {
        return bytes.to_vec();
    }
    let text = String::from_utf8_lossy(bytes);
    let is_digest = |words: &str| words.chars().all(|c| c.is_ascii_hexdigit() || c == ' ');
    let mut lines = text.lines();
    let header = lines.next().unwrap_or_default();
    let made_from = lines.next().and_then(|line| line.strip_prefix("# made from //"));
    assert!(made_from.is_some_and(is_digest), "{made_from:?}");
    let rest = lines.map(|line| {
        let (path, origin) = line.split_once(" // ").unwrap_or((line, ""));
        // The files that a page shows follow its digest.
        assert!(is_digest(origin.split(" assets/").next().unwrap_or_default()), "{line}");
        path
    });
    [header].into_iter().chain(rest).collect::<Vec<_>>().join("\n").into_bytes()
}

fn replaced(bytes: &[u8], from: &str, to: &str) -> Vec<u8> {
    let mut out = bytes.to_vec();
    let mut at = 0;
    while at + from.len() <= out.len() {
        if out[at..].starts_with(from.as_bytes()) {
            out[at..at + from.len()].copy_from_slice(to.as_bytes());
            at += from.len();
        } else {
            at += 1;
        }
    }
    out
}

/// The course in a folder of its own, with another key.
fn with_other_key(folder: &Path) -> Result<PathBuf> {
    let to = folder.join("content");
    for (path, bytes) in folder::content(&root().join("content"))? {
        let place = to.join(&path);
        fs::create_dir_all(place.parent().context("a folder")?)?;
        let bytes = if path == "course.toml" { replaced(&bytes, KEY, OTHER_KEY) } else { bytes };
        fs::write(place, bytes)?;
    }
    Ok(to)
}

fn made(args: &[&str]) -> Result<()> {
    let said = run(args);
    ensure!(said.status == 0, "{said:?}");
    Ok(())
}

#[test]
fn every_byte_of_the_default_site_is_free_of_the_class_and_its_answers() -> Result<()> {
    ensure!(KEY.len() == OTHER_KEY.len());
    let class = class()?;
    let folder = tempfile::tempdir()?;
    let path = |below: &str| folder.path().join(below).display().to_string();
    fs::write(path("class.csv"), roster::write(&class.roster))?;
    let content = root().join("content").display().to_string();
    // Handouts first, and beside the site: what could get into it is there.
    made(&["handouts", &content, "--roster", &path("class.csv"), "--names", "--out", &path("handouts")])?;
    made(&["site", &content, "--out", &path("site")])?;
    let elsewhere = tempfile::tempdir()?;
    let other = with_other_key(elsewhere.path())?.display().to_string();
    let twin_path = elsewhere.path().join("site");
    made(&["site", &other, "--out", &twin_path.display().to_string()])?;
    let (site, twin) = (folder::content(Path::new(&path("site")))?, folder::content(&twin_path)?);

    // How much is looked for, counted from the lessons' own text, and that all of it is where it belongs.
    let lessons = folder::content(&root().join("content"))?;
    let asks: usize = lessons
        .values()
        .map(|bytes| String::from_utf8_lossy(bytes).lines().filter(|line| *line == "[[ask]]").count())
        .sum();
    let of = |kind: Kind| class.secrets.iter().filter(move |(other, _)| *other == kind).count();
    ensure!(asks > 10 && class.answers == STUDENTS * asks, "{} answers to {asks} asks", class.answers);
    ensure!(class.steps > 5 * class.answers, "{} steps", class.steps);
    ensure!(of(Kind::Code) == 2 * STUDENTS && of(Kind::Name) > STUDENTS, "{} names", of(Kind::Name));
    // Many answers differ from student to student, else the drawing would hide nothing.
    ensure!(of(Kind::Answer) > 7 * class.answers / 2, "{} ways of writing answers", of(Kind::Answer));
    let instructor = folder::content(Path::new(&path("handouts/instructor")))?;
    let known: BTreeSet<String> = hits(&instructor, &class.secrets).into_iter().map(|hit| hit.text).collect();
    for (kind, text) in &class.secrets {
        // Other ways of writing, and steps as plain text, are looked for and never written.
        let is_written = match kind {
            Kind::Name => true,
            Kind::Code => text.contains('-'),
            Kind::Answer => text.contains('\u{a0}') && !text.contains(','),
            Kind::Step => text.starts_with("<li"),
        };
        ensure!(!is_written || known.contains(text), "{text} is not even in the instructor's folder");
    }

    let found = leaks(&site, &twin, &class.secrets);
    ensure!(found.is_empty(), "{} leaks: {:#?}", found.len(), &found[..found.len().min(5)]);
    let different = differing(&site, &twin);
    ensure!(different.is_empty(), "these hang on more than the key: {different:?}");
    let with_key = site.values().filter(|bytes| replaced(bytes, KEY, OTHER_KEY) != **bytes).count();
    ensure!(with_key > 0, "no page draws numbers: nothing was compared");

    // The same looks find a leak wherever it is put, also of what a lesson says at another place by chance.
    let mut planted = Vec::new();
    for kind in [Kind::Name, Kind::Code, Kind::Answer, Kind::Step] {
        let all: Vec<&String> =
            class.secrets.iter().filter(|(own, _)| *own == kind).map(|(_, text)| text).collect();
        planted.extend(all.iter().step_by(all.len() / 15).map(|text| (kind, *text)));
    }
    let places: Vec<&String> = [".html", ".js", ".svg", ".css"]
        .iter()
        .filter_map(|ending| site.keys().find(|path| path.ends_with(ending)))
        .collect();
    ensure!(places.len() > 2, "{places:?}");
    let mut caught = 0;
    for (index, (kind, text)) in planted.iter().enumerate() {
        let file = places[index % places.len()];
        // The lesson says it at its very beginning, in both sites.
        let lesson = [text.as_bytes(), b"\n", &site[file]].concat();
        let mut spoilt = lesson.clone();
        let middle = text.len() + 1 + site[file].len() * (index + 1) / (planted.len() + 1);
        spoilt.splice(middle..middle, text.bytes());
        let [lesson, spoilt] = [lesson, spoilt].map(|bytes| Files::from([(file.clone(), bytes)]));
        let found = leaks(&spoilt, &lesson, &class.secrets);
        let has = |at| found.contains(&Hit { file: file.clone(), at, kind: *kind, text: (*text).clone() });
        ensure!(has(middle), "{text} in {file} was not found");
        ensure!(has(0) == matches!(kind, Kind::Name | Kind::Code), "{text}: what a lesson says is no leak");
        ensure!(differing(&spoilt, &lesson).contains(file), "{text} in {file} makes no difference");
        caught += 1;
    }
    ensure!(caught >= 60, "{caught}");
    Ok(())
}
