//! A class of 30 on paper: whose sheets come out of the printer, what stands on them, what the keys say, and what never
//! reaches the site.

mod keys;
mod quiz;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

use anyhow::{Context, Result, ensure};
use fieldcoil::course::{Homework, Piece};
use fieldcoil::handouts::{Paper, Settings, draw_codes};
use fieldcoil::pipeline::Checked;
use fieldcoil::resolve::Read;
use fieldcoil::roster::{self, Roster, Student};
use fieldcoil::site::Site;
use fieldcoil::source::load;
use fieldcoil::{pipeline, roster::write};
use fieldcoil_calc::calculator::Kind;
use fieldcoil_calc::homework::code::Code;
use fieldcoil_calc::homework::draw::Lot;
use fieldcoil_calc::homework::item::{Item, Numbers};
use fieldcoil_tests::browser::{A4, Chromium, Firefox, LETTER, shared};
use fieldcoil_tests::folder::content;
use fieldcoil_tests::pdf::{Sheet, read, squeezed};
use fieldcoil_tests::program::run;
use fieldcoil_tests::repository::root;
use serde_json::json;

/// The lesson with two problems and a worksheet, and the one with a worksheet alone.
const LESSON: &str = "voltage-drop";
const JOINTS: &str = "cables/joints";
/// The lesson with a self-check alone, and the sheets of no lesson.
const CHECKS: &str = "checks";
const SIGN_OFF: &str = "sign-off";
const WARNING: &str = "Answer keys and names. Keep this folder off the site and off shared drives.";
/// Points that a printer leaves white at each edge: 5 mm.
const WHITE: f64 = 5.0 / 25.4 * 72.0;
/// Sheets of paper that a student's work may take; in large print twice that.
const MOST_SHEETS: usize = 3;

struct Class {
    checked: Checked<'static>,
    lessons: Vec<Arc<Read<'static>>>,
    roster: Roster,
    key: String,
}

static CLASS: LazyLock<Class> = LazyLock::new(|| {
    let (sources, found) = load::course(&course_folder()).expect("a course");
    let (checked, found) = pipeline::check(Box::leak(Box::new(sources)), found);
    assert!(found.is_empty(), "the course of this test has findings: {found:#?}");
    let key = checked.course().about.term.as_ref().expect("a term").key.clone();
    let lessons = checked.lessons();
    let text = fs::read_to_string(root().join("generator/tests/class_set/class.csv")).expect("a roster");
    let (mut roster, complaints) = roster::read("class.csv", &text);
    assert_eq!((complaints.len(), roster.students.len()), (0, 30));
    // Codes that are the same in every run of this test.
    let mut state = 20u32;
    let drawn = draw_codes(&mut roster, |bytes| {
        for byte in bytes {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            *byte = (state >> 24) as u8;
        }
        Ok::<(), ()>(())
    });
    assert_eq!(drawn, Ok(30));
    Class { checked, lessons, roster, key }
});

fn course_folder() -> PathBuf {
    root().join("generator/tests/class_set/course")
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join("handouts")
}

impl Class {
    /// Makes the class set in a folder of this name.
    fn made(&self, name: &str, settings: Settings) -> Result<(Site, PathBuf)> {
        let site = pipeline::handouts(&self.checked, &self.roster, &[], settings)?;
        let folder = folder().join(name);
        for (path, bytes) in &site.files {
            let file = folder.join(path);
            fs::create_dir_all(file.parent().context("a folder")?)?;
            fs::write(file, bytes)?;
        }
        Ok((site, folder))
    }

    /// The problems of the course.
    fn problems(&self) -> impl Iterator<Item = (&Homework, &Item)> {
        self.lessons.iter().flat_map(|read| &read.lesson.pieces).filter_map(|piece| match piece {
            Piece::Homework(homework) => Some((&**homework, homework.item.as_ref()?)),
            _ => None,
        })
    }

    fn numbers(&self, item: &Item, code: Code) -> Numbers {
        item.numbers(&Lot { key: &self.key, code: &code.plain(), attempt: 0 })
    }
}

fn code(student: &Student) -> Code {
    student.code.expect("every student has one")
}

/// A field's value as a reader knows it, put together here without the generator.
fn said(item: &Item, field: &str, text: &str) -> String {
    let field = item.asks.iter().find_map(|ask| ask.calculator.field(field)).expect("a field");
    match &field.kind {
        Kind::Choice(choice) => {
            choice.options.iter().find(|option| option.key == text).expect("an option").label.to_owned()
        }
        Kind::Number(number) if text.parse::<f64>().is_ok() => {
            [text, number.quantity.base().symbol].join(" ").trim().to_owned()
        }
        _ => text.to_owned(),
    }
}

/// The text of a problem with a student's numbers in it.
fn told(homework: &Homework, item: &Item, numbers: &Numbers) -> String {
    let all = item.given.iter().chain(numbers);
    all.fold(homework.text.value.clone(), |text, (field, value)| {
        text.replace(&format!("{{{field}}}"), &said(item, field, value))
    })
}

fn open(browser: &mut Chromium, folder: &Path, page: &str) -> Result<()> {
    browser.open(&format!("file://{}", folder.join(page).display()))
}

fn settings() -> impl Iterator<Item = (Settings, String)> {
    (0..8u32).map(|bits| {
        let [letter, large_print, double_sided] = [1, 2, 4].map(|bit| bits & bit != 0);
        let paper = if letter { Paper::Letter } else { Paper::A4 };
        (Settings { paper, large_print, double_sided, names: false }, format!("set-{bits}"))
    })
}

/// The sheets of each class set that was printed, by its folder and lesson: two tests look at them.
static PRINTED: Mutex<Printed> = Mutex::new(BTreeMap::new());
type Printed = BTreeMap<(String, String), Arc<Vec<Sheet>>>;

/// The sheets of a printed class set.
fn printed(browser: &mut Chromium, settings: Settings, name: &str, lesson: &str) -> Result<Arc<Vec<Sheet>>> {
    let key = (name.to_owned(), lesson.to_owned());
    let mut known = PRINTED.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(sheets) = known.get(&key) {
        return Ok(Arc::clone(sheets));
    }
    let (_, folder) = CLASS.made(name, settings)?;
    open(browser, &folder, &format!("students/{lesson}.html"))?;
    let pdf = browser.print(if settings.paper == Paper::A4 { A4 } else { LETTER })?;
    let sheets = Arc::new(read(&pdf, &folder.join(format!("{}.pdf", lesson.replace('/', "-"))))?);
    known.insert(key, Arc::clone(&sheets));
    Ok(sheets)
}

/// Whose each sheet is, by its place in the roster; nothing for a white one.
fn owners(sheets: &[Sheet], roster: &Roster) -> Result<Vec<Option<usize>>> {
    let codes: Vec<String> = roster.students.iter().map(|student| code(student).to_string()).collect();
    let mut owners = Vec::new();
    for (index, sheet) in sheets.iter().enumerate() {
        let words: Vec<&str> = sheet.words.iter().map(|word| word.text.as_str()).collect();
        let found: Vec<usize> = (0..codes.len()).filter(|at| words.contains(&codes[*at].as_str())).collect();
        ensure!(
            found.len() == 1 || (found.is_empty() && words.is_empty()),
            "sheet {} has the codes of {found:?}: {}",
            index + 1,
            sheet.text()
        );
        owners.push(found.first().copied());
    }
    Ok(owners)
}

/// Is this sheet of the right size, with no word beyond what a printer prints?
fn all_inside(sheet: &Sheet, settings: Settings) -> Result<()> {
    let (width, height) = if settings.paper == Paper::A4 { (595.0, 842.0) } else { (612.0, 792.0) };
    let fits = (sheet.width - width).abs() < 1.5 && (sheet.height - height).abs() < 1.5;
    ensure!(fits, "{settings:?}: a page of {} by {}", sheet.width, sheet.height);
    for word in &sheet.words {
        let [left, top, right, bottom] = word.edges;
        let inside = left >= WHITE && top >= WHITE && right <= width - WHITE && bottom <= height - WHITE;
        ensure!(inside, "{settings:?}: “{}” stands at {:?}", word.text, word.edges);
    }
    Ok(())
}

#[test]
fn each_student_begins_a_sheet_and_nothing_is_cut() -> Result<()> {
    let mut browser = shared();
    for (settings, name) in settings() {
        for lesson in [LESSON, JOINTS, CHECKS, SIGN_OFF] {
            let sheets = printed(&mut browser, settings, &name, lesson)?;
            let owners = owners(&sheets, &CLASS.roster)?;
            let mut counts = BTreeMap::new();
            let mut last = None;
            for (index, owner) in owners.iter().enumerate() {
                let Some(owner) = *owner else {
                    // A white page is there only so that the next student begins on the right.
                    let next = owners.get(index + 1).copied().flatten();
                    let fits = settings.double_sided && index % 2 == 1 && next != last && next.is_some();
                    ensure!(fits, "{settings:?}: page {} is white", index + 1);
                    continue;
                };
                if last != Some(owner) {
                    ensure!(last.map_or(0, |last| last + 1) == owner, "{settings:?}: {last:?}, then {owner}");
                    ensure!(
                        !settings.double_sided || index % 2 == 0,
                        "{settings:?}: student {owner} begins on page {}, a left one",
                        index + 1
                    );
                    last = Some(owner);
                }
                *counts.entry(owner).or_insert(0) += 1;
            }
            ensure!(counts.len() == 30, "{settings:?}: sheets of {} students", counts.len());
            let most = if settings.large_print { 2 * MOST_SHEETS } else { MOST_SHEETS };
            ensure!(counts.values().all(|count| *count <= most), "{settings:?}: {counts:?}");
            if lesson == JOINTS && settings.double_sided {
                ensure!(owners.contains(&None), "one page each, and no white one between");
            }
            for sheet in sheets.iter() {
                all_inside(sheet, settings)?;
            }
        }
    }
    Ok(())
}

#[test]
fn every_students_printed_numbers_are_the_librarys() -> Result<()> {
    let mut browser = shared();
    let mut different = BTreeMap::<String, usize>::new();
    for (settings, name) in settings() {
        let sheets = printed(&mut browser, settings, &name, LESSON)?;
        let owners = owners(&sheets, &CLASS.roster)?;
        for (at, student) in CLASS.roster.students.iter().enumerate() {
            let own = || {
                sheets.iter().zip(&owners).filter(|(_, owner)| **owner == Some(at)).map(|(sheet, _)| sheet)
            };
            for (homework, item) in CLASS.problems() {
                let numbers = CLASS.numbers(item, code(student));
                let text = told(homework, item, &numbers);
                ensure!(
                    own().any(|sheet| sheet.squeezed().contains(&squeezed(&text))),
                    "{settings:?}: {} has no sheet with “{text}”",
                    code(student)
                );
                *different.entry(text).or_default() += 1;
                for (ask, right) in item.asks.iter().zip(item.answers(&numbers)) {
                    let right = squeezed(&ask.shown(right.context("an answer")?));
                    ensure!(
                        !own().any(|sheet| sheet.squeezed().contains(&right)),
                        "{}: the sheet gives {right} away",
                        code(student)
                    );
                }
                for ask in &homework.asks {
                    let is_there = own().any(|sheet| sheet.squeezed().contains(&squeezed(&ask.text)));
                    ensure!(is_there, "{settings:?}: no “{}”", ask.text);
                }
            }
            for piece in &CLASS.lessons[0].lesson.pieces {
                let Piece::Worksheet(worksheet) = piece else { continue };
                for reading in &worksheet.readings {
                    let has = |sheet: &Sheet| {
                        let mut words = sheet.words.iter();
                        reading.label.split_whitespace().all(|word| words.any(|other| other.text == word))
                    };
                    ensure!(own().any(has), "{settings:?}: no row for {}", reading.label);
                }
            }
        }
    }
    ensure!(different.len() > 50, "60 problems have only {} different texts", different.len());
    Ok(())
}

/// Another browser with another way of printing. It makes no left pages shorter, so what it prints for both sides begins
/// each student on a new page and not surely on a right one; the page that lists the sets says so.
#[test]
fn firefox_begins_a_sheet_for_each_student_too() -> Result<()> {
    let mut firefox = Firefox::start()?;
    for (settings, name) in
        settings().filter(|(_, name)| ["set-0", "set-3", "set-4"].contains(&name.as_str()))
    {
        let (site, folder) = CLASS.made(&format!("firefox-{name}"), settings)?;
        firefox.open(&format!("file://{}/students/{LESSON}.html", folder.display()))?;
        let pdf = firefox.print(if settings.paper == Paper::A4 { A4 } else { LETTER })?;
        let sheets = read(&pdf, &folder.join("firefox.pdf"))?;
        let owners = owners(&sheets, &CLASS.roster)?;
        ensure!(owners.is_sorted() && owners.iter().all(Option::is_some), "{settings:?}: {owners:?}");
        let most = if settings.large_print { 2 * MOST_SHEETS } else { MOST_SHEETS };
        for student in 0..30 {
            let count = owners.iter().filter(|owner| **owner == Some(student)).count();
            ensure!((1..=most).contains(&count), "{settings:?}: student {student} has {count} sheets");
        }
        for sheet in &sheets {
            all_inside(sheet, settings)?;
        }
        let list = String::from_utf8_lossy(&site.files["students/index.html"]).into_owned();
        ensure!(list.contains("Firefox") == settings.double_sided, "{list}");
    }
    Ok(())
}

/// Boxes to write in, letters to read, no colour, nothing beyond the edge.
const MEASURE: &str = r#"
const [page, smallest, boxes, squares] = arguments;
const mm = 96 / 25.4, wrong = [];
const tall = (selector, least) => {
    const all = [...document.querySelectorAll(selector)];
    if (!all.length) wrong.push(["none", selector]);
    for (const node of all) {
        const height = node.getBoundingClientRect().height;
        if (height < least * mm - .5) wrong.push([selector, height / mm]);
    }
};
for (const selector of boxes) tall(selector, 10);
const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
const grey = colour => {
    const [r, g, b] = colour.match(/[\d.]+/g).map(Number);
    return r === g && g === b;
};
while (texts.nextNode()) {
    if (!texts.currentNode.data.trim()) continue;
    const parent = texts.currentNode.parentElement, style = getComputedStyle(parent);
    // A drawing is as large as the paper lets it be, and the numbers in it stand beside lines in full size.
    const drawn = parent.closest("svg");
    if (drawn && parent.matches("title, desc")) continue;
    const scale = drawn ? parent.getScreenCTM().a : 1, least = drawn ? 7 : smallest;
    const size = parseFloat(style.fontSize) * scale * 72 / 96;
    if (size < least - .01) wrong.push(["small", size, texts.currentNode.data]);
    if (!grey(drawn ? style.fill : style.color)) wrong.push(["colour", style.color]);
}
for (const node of document.querySelectorAll(".circuit .ink")) {
    if (getComputedStyle(node).stroke !== "rgb(0, 0, 0)") wrong.push(["a line that nobody sees", node.outerHTML]);
}
for (const node of document.body.querySelectorAll("*")) {
    if (node.closest("svg")) continue;
    const box = node.getBoundingClientRect();
    if (box.right > page + 1 || box.left < -1) wrong.push(["wide", node.className, box.right]);
}
const codes = [...document.querySelectorAll(".student")].length;
if (codes !== 30 || document.querySelectorAll(".square").length !== squares) wrong.push(["students", codes]);
for (const node of document.querySelectorAll(".square")) {
    if (node.getBoundingClientRect().width < 25 * mm) wrong.push(["square"]);
}
if (document.querySelector("script, link, [style]")) wrong.push(["more than its own styles"]);
return wrong.slice(0, 10);
"#;

#[test]
fn there_is_room_to_write_and_large_print_is_large() -> Result<()> {
    let mut browser = shared();
    browser.media("print", "light")?;
    for (settings, name) in settings() {
        let (_, folder) = CLASS.made(&name, settings)?;
        // The paper's width less margins of 12 mm on both sides.
        let width = if settings.paper == Paper::A4 { 703 } else { 725 };
        browser.area(width, 1000)?;
        let smallest = if settings.large_print { 18.0 } else { 8.0 };
        let all = [
            ".readings tbody tr",
            ".readings .box",
            ".answer-box",
            ".line",
            ".sign-off li",
            ".blanks p",
            ".choice",
        ];
        for (page, boxes, squares) in [
            (LESSON, &all[..], 30),
            (CHECKS, &[".choice", ".check-entry", ".places li", ".circuit svg"], 30),
            (SIGN_OFF, &[".outcomes tbody tr"], 0),
        ] {
            open(&mut browser, &folder, &format!("students/{page}.html"))?;
            let wrong =
                browser.run(MEASURE, &[json!(width), json!(smallest), json!(boxes), json!(squares)])?;
            ensure!(wrong == json!([]), "{page}, {settings:?}: {wrong}");
        }
    }
    browser.media("", "light")?;
    Ok(())
}

/// Every file below a folder, as text, in one.
fn everything(folder: &Path) -> Result<String> {
    let files = content(folder)?;
    Ok(files.values().map(|bytes| String::from_utf8_lossy(bytes).into_owned() + "\n").collect())
}

#[test]
fn no_name_code_or_answer_is_in_the_site_or_answers_and_names_on_the_students_sheets() -> Result<()> {
    let folder = tempfile::tempdir()?;
    let path = |below: &str| folder.path().join(below).display().to_string();
    fs::write(path("class.csv"), write(&CLASS.roster))?;
    let course = course_folder().display().to_string();
    for args in [
        vec!["site", &course, "--out", &path("site")],
        vec!["handouts", &course, "--roster", &path("class.csv"), "--out", &path("handouts")],
    ] {
        let said = run(&args);
        ensure!(said.status == 0, "{said:?}");
    }
    let (site, students, instructor) = (
        everything(Path::new(&path("site")))?,
        everything(Path::new(&path("handouts/students")))?,
        everything(Path::new(&path("handouts/instructor")))?,
    );
    let mut looked_for = 0;
    for student in &CLASS.roster.students {
        let code = code(student);
        // The part of a name that no escape changes.
        let name = student.name.split([' ', ',']).max_by_key(|part| part.len()).context("a name")?;
        let mut answers = Vec::new();
        for (_, item) in CLASS.problems() {
            let numbers = CLASS.numbers(item, code);
            for (ask, right) in item.asks.iter().zip(item.answers(&numbers)) {
                answers.push(ask.shown(right.context("an answer")?));
            }
        }
        // What is looked for is where it belongs: a scan that finds nothing anywhere proves nothing.
        for secret in answers.iter().map(String::as_str).chain([name]) {
            ensure!(instructor.contains(secret), "{secret} is not even in the key");
            for form in [secret.to_owned(), secret.replace('\u{a0}', " "), secret.replace('\u{a0}', "")] {
                ensure!(!site.contains(&form), "the site has {form}");
                ensure!(!students.contains(&form), "the students' sheets have {form}");
                looked_for += 1;
            }
        }
        ensure!(students.contains(&code.to_string()) && instructor.contains(&code.to_string()));
        for form in [code.to_string(), code.plain()] {
            ensure!(!site.contains(&form), "the site has the code {form}");
        }
    }
    ensure!(looked_for == 30 * 3 * (3 + 1), "{looked_for}");
    Ok(())
}
