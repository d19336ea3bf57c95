//! Handing in: what was done on this page as a list to look through, as a file, on paper, and back from a file.

use std::cell::RefCell;

use wasm_bindgen::JsCast;
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;
use web_sys::{Blob, BlobPropertyBag, Element, HtmlInputElement, Url};

use super::boxes::{self, Texts};
use super::memory::{self, Of};
use super::{checklist, clock, desk, dom, form, selfcheck};
use crate::bench::kept::{Kept, Timed};
use crate::homework::code::Code;
use crate::homework::draw;
use crate::homework::handin::{HandIn, HandInProblem, LARGEST, List, Work};
use crate::number::to_places;
use crate::view::Html;

/// A box holds no more letters than this.
const LONGEST: usize = 2000;
/// What is filled in.
const HOMEWORK: &str = "[data-homework]";
const SHEETS: &str = "[data-worksheet]";
/// Begins the names of boxes that are answered in words.
const WORDS: char = '?';

thread_local! {
    /// A file that would take the place of other work, until the student has said what counts.
    static ASKED: RefCell<Option<(HandIn, Code)>> = const { RefCell::new(None) };
}

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(js_namespace = Array, js_name = of)]
    fn list_of(text: &str) -> JsValue;
}

/// Shows what is handed in, and makes the file of it.
pub(super) fn make(section: &Element) {
    let Some(code) = list(section) else { return };
    let hand_in = collect(code);
    let (done, all) = counts();
    let filled = desk::counts("filled", done, all);
    say("handin-status", &[&filled, " ", &desk::says("ready")].concat());
    let Some(link) = dom::part(section, "link") else { return };
    let kind = BlobPropertyBag::new();
    kind.set_type("application/json");
    let blob = Blob::new_with_str_sequence_and_options(&list_of(&hand_in.write()), &kind);
    let Some(address) = blob.ok().and_then(|blob| Url::create_object_url_with_blob(&blob).ok()) else {
        return;
    };
    link.set_attribute("href", &address).ok();
    link.set_attribute("download", &hand_in.file_name()).ok();
    dom::set_text(&link, &desk::tells("save", &[("{file}", &hand_in.file_name())]));
    show(section, "file", true);
    // What is to be done next; the list stands below it.
    dom::focus(&link);
}

/// Prints the list alone.
pub(super) fn print(section: &Element) {
    if list(section).is_none() {
        return;
    }
    let root = dom::document().and_then(|document| document.document_element());
    if let (Some(root), Some(window)) = (root, web_sys::window()) {
        root.set_attribute("data-print", "hand-in").ok();
        window.print().ok();
    }
}

/// Paper has been printed: the next sheet is the page again.
pub(super) fn printed() {
    if let Some(root) = dom::document().and_then(|document| document.document_element()) {
        root.remove_attribute("data-print").ok();
    }
}

/// Something was changed: the file that was made is an old one, and what was asked is no longer so.
pub(super) fn outdated() {
    let Some(section) = section() else { return };
    ASKED.take();
    show(&section, "ask", false);
    let Some(file) = dom::part(&section, "file").filter(|file| !file.has_attribute("hidden")) else { return };
    if let Some(address) = dom::first(&file, "a").and_then(|link| link.get_attribute("href")) {
        Url::revoke_object_url(&address).ok();
    }
    show(&section, "file", false);
    if let Some(list) = dom::part(&section, "list") {
        dom::replace(&list, "");
    }
    say("handin-status", &desk::says("changed"));
}

/// Deletes everything of this course from this browser, when it is asked for twice.
pub(super) fn delete(section: &Element, button: &Element) {
    if !desk::confirmed(button, "delete-again") {
        return;
    }
    dom::set_text(button, &desk::says("delete"));
    outdated();
    let Some(document) = dom::document() else { return };
    for calculator in dom::all(&document, "[data-calculator]") {
        form::reset(&calculator);
    }
    for hookup in dom::all(&document, "[data-hookup]") {
        checklist::wipe(&hookup);
    }
    for questions in dom::all(&document, "[data-selfcheck]") {
        selfcheck::wipe(&questions);
    }
    for area in dom::all(&document, "[data-part=practice]") {
        dom::set_hidden(&area, true);
    }
    memory::forget_course();
    desk::refresh();
    for saved in dom::all(&document, "[data-part=saved], [data-part=handin-status]") {
        dom::set_text(&saved, "");
    }
    if let Some(list) = dom::part(section, "list") {
        dom::replace(&list, "");
    }
    say("deleted", &desk::says("deleted"));
}

/// A file was chosen: it is read here, and goes nowhere.
pub(super) fn chosen(input: &Element) {
    let Some(input) = input.dyn_ref::<HtmlInputElement>() else { return };
    let Some(file) = input.files().and_then(|files| files.get(0)) else { return };
    if file.size() > LARGEST as f64 {
        say("handin-status", &desk::says("too-large"));
    } else {
        form::read(&file, |text| load(&text));
    }
    // So that the same file can be chosen again.
    input.set_value("");
}

fn load(text: &str) {
    outdated();
    match HandIn::read(text).map_err(refused).and_then(|file| fitting(&file).map(|code| (file, code))) {
        Ok((file, code)) if replaces(&file, code) => ask(file, code),
        Ok((file, code)) => put(&file, code),
        Err(sentence) => say("handin-status", &sentence),
    }
}

/// Would this file take the place of work that says something else?
fn replaces(file: &HandIn, code: Code) -> bool {
    let others = |(name, line): (String, String)| {
        memory::recall_named(&name, Of::Page).is_some_and(|kept| !kept.is_empty() && kept != line)
    };
    let ticked = |(section, new): (Element, Kept)| {
        let kept = checklist::kept(&section);
        let is_begun =
            kept.done > 0 || !kept.timed.is_empty() || kept.initials.iter().any(|text| !text.is_empty());
        is_begun && kept.write() != new.write()
    };
    lines(file, code).into_iter().any(others) || lists(file).into_iter().any(ticked)
}

/// Says what stands under the file's code, and asks which of the two counts.
fn ask(file: HandIn, code: Code) {
    let Some(section) = section() else { return };
    let kept = |name: String| memory::recall_named(&name, Of::Page).unwrap_or_default();
    let filled = |line: &str| boxes::read(line).len();
    let plain = code.plain();
    let works = all("[data-homework], [data-worksheet]");
    let here: usize = works.iter().map(|one| filled(&kept(boxes::name(one, &plain)))).sum();
    let ticks: usize = all("[data-hookup]").iter().map(|list| checklist::kept(list).done).sum();
    let there: usize = lines(&file, code).iter().map(|(_, line)| filled(line)).sum();
    let steps: usize = lists(&file).iter().map(|(_, kept)| kept.done).sum();
    let time = |iso: &str| clock::local(iso).unwrap_or_else(|| desk::says("no-time"));
    let question = desk::tells(
        "ask",
        &[
            ("{code}", &code.to_string()),
            ("{here}", &here.to_string()),
            ("{ticks}", &ticks.to_string()),
            ("{saved}", &time(&kept(["saved:", &plain].concat()))),
            ("{there}", &there.to_string()),
            ("{steps}", &steps.to_string()),
            ("{made}", &time(&file.handed_in)),
        ],
    );
    ASKED.set(Some((file, code)));
    say("handin-status", "");
    say("question", &question);
    show(&section, "ask", true);
    if let Some(question) = dom::part(&section, "question") {
        dom::focus(&question);
    }
}

/// The student has said what counts: the file, or what stands here.
pub(super) fn answered(section: &Element, is_file: bool) {
    let asked = ASKED.take();
    show(section, "ask", false);
    match asked.filter(|_| is_file) {
        Some((file, code)) => put(&file, code),
        None => say("handin-status", &desk::says("not-loaded")),
    }
    if let Some(input) = dom::part(section, "load-file") {
        dom::focus(&input);
    }
}

fn refused(problem: HandInProblem) -> String {
    desk::says(match problem {
        HandInProblem::Large => "too-large",
        HandInProblem::Other => "no-hand-in",
        HandInProblem::Version => "other-version",
    })
}

/// The code of a file that belongs here, or why it does not.
fn fitting(file: &HandIn) -> Result<Code, String> {
    if file.course != desk::fact("data-course-title") {
        return Err(desk::tells("other-course", &[("{course}", &clipped(&file.course, 80))]));
    }
    if file.lesson != desk::fact("data-lesson") {
        return Err(desk::tells("other-lesson", &[("{lesson}", &clipped(&file.lesson, 80))]));
    }
    if file.draw != u64::from(draw::VERSION) || file.key != desk::fact("data-term-key") {
        return Err(desk::says("other-draw"));
    }
    Code::read(&file.code).map_err(|_| desk::says("bad-code"))
}

/// Puts a file's texts and ticks in the place of what is kept under its code.
fn put(file: &HandIn, code: Code) {
    desk::set_code(code);
    let plain = code.plain();
    if !file.started.is_empty() {
        memory::keep_named(&["started:", &plain].concat(), Of::Page, &clipped(&file.started, 30));
    }
    for (name, line) in lines(file, code) {
        memory::keep_named(&name, Of::Page, &line);
    }
    for (section, kept) in lists(file) {
        checklist::put(&section, &kept);
    }
    boxes::note_saved();
    desk::refresh();
    let (done, all) = counts();
    say("handin-status", &desk::counts("loaded", done, all));
}

/// What a file has for the problems and sheets of this page: names under which it is kept, and lines to keep.
fn lines(file: &HandIn, code: Code) -> Vec<(String, String)> {
    let plain = code.plain();
    let mut lines = Vec::new();
    for (kind, works) in [(HOMEWORK, &file.homework), (SHEETS, &file.readings)] {
        for section in all(kind) {
            let name = boxes::own_name(&section);
            if let Some(work) = works.iter().find(|work| work.name == name) {
                lines.push((boxes::name(&section, &plain), boxes::write(&joined(work))));
            }
        }
    }
    lines
}

/// What a file has for the checklists of this page.
fn lists(file: &HandIn) -> Vec<(Element, Kept)> {
    let mut lists = Vec::new();
    for section in all("[data-hookup]") {
        let name = dom::attribute(&section, "data-list");
        let steps = checklist::steps(&section);
        // A list of another length is another list: its ticks would say the wrong things.
        if let Some(list) = file.checklists.iter().find(|list| list.list == name && list.of == steps as u64) {
            let lasted = |(step, ms): &(String, u64)| Some((step.parse().ok()?, Timed::Lasted(*ms)));
            let kept = Kept {
                done: (list.done as usize).min(steps),
                initials: list.initials.iter().map(|text| clipped(text, 4)).collect(),
                timed: list.energized_ms.iter().filter_map(lasted).collect(),
            };
            lists.push((section, kept));
        }
    }
    lists
}

/// Everything that was done on this page.
fn collect(code: Code) -> HandIn {
    HandIn {
        course: desk::fact("data-course-title"),
        edition: desk::fact("data-edition"),
        term: desk::fact("data-term"),
        lesson: desk::fact("data-lesson"),
        code: code.to_string(),
        draw: u64::from(draw::VERSION),
        key: desk::fact("data-term-key"),
        tool: desk::fact("data-tool"),
        started: memory::recall_named(&["started:", &code.plain()].concat(), Of::Page).unwrap_or_default(),
        handed_in: clock::iso(),
        homework: works(HOMEWORK),
        readings: works(SHEETS),
        checklists: all("[data-hookup]").iter().map(checklist).collect(),
    }
}

/// What stands in all boxes of a kind of block.
fn works(kind: &str) -> Vec<Work> {
    let work = |section: &Element| {
        let texts = boxes::texts(&boxes::graded(section));
        let (words, values): (Texts, Texts) =
            texts.into_iter().partition(|(name, _)| name.starts_with(WORDS));
        let words = words.into_iter().map(|(_, text)| text).collect();
        Work { name: boxes::own_name(section), values, words }
    };
    all(kind).iter().map(work).collect()
}

fn checklist(section: &Element) -> List {
    let kept = checklist::kept(section);
    let lasted = |(step, timed): &(usize, Timed)| match timed {
        Timed::Lasted(ms) if checklist::is_energize(section, *step) => Some((step.to_string(), *ms)),
        _ => None,
    };
    List {
        list: dom::attribute(section, "data-list"),
        done: kept.done as u64,
        of: checklist::steps(section) as u64,
        energized_ms: kept.timed.iter().filter_map(lasted).collect(),
        initials: kept.initials,
    }
}

/// The texts of all boxes, those that are answered in words by their numbers.
fn joined(work: &Work) -> Texts {
    let numbered = |(at, text): (usize, &String)| (["?", &(at + 1).to_string()].concat(), text.clone());
    let all = work.values.iter().cloned().chain(work.words.iter().enumerate().map(numbered));
    all.map(|(name, text)| (name, clipped(&text, LONGEST))).collect()
}

fn clipped(text: &str, most: usize) -> String {
    text.chars().take(most).collect()
}

/// How many boxes are filled in, of how many.
fn counts() -> (usize, usize) {
    let texts: Texts = all("[data-homework], [data-worksheet]")
        .iter()
        .flat_map(|section| boxes::texts(&boxes::graded(section)))
        .collect();
    (texts.iter().filter(|(_, text)| !text.trim().is_empty()).count(), texts.len())
}

/// Shows what is handed in; without a code it asks for one.
fn list(section: &Element) -> Option<Code> {
    say("deleted", "");
    let Some(code) = desk::code() else {
        say("handin-status", &desk::says("code-first"));
        if let Some(typed) = dom::part(section, "code-typed") {
            dom::focus(&typed);
        }
        return None;
    };
    let mut html = Html::default();
    html.leaf("h3", "", &desk::says("list"));
    let lesson = dom::document().and_then(|document| document.query_selector("h1").ok().flatten());
    let lesson = lesson.and_then(|title| title.text_content()).unwrap_or_default();
    let facts =
        [desk::fact("data-course-title"), desk::fact("data-term"), lesson, code.to_string(), clock::iso()];
    html.leaf("p", "", &facts.join(" · "));
    html.leaf("p", "class=\"field-help\"", &desk::says("clock"));
    for section in all("[data-homework], [data-worksheet]") {
        title(&mut html, &section);
        if let Some(text) = dom::first(&boxes::graded(&section), ".homework-text") {
            html.leaf("p", "", &text.text_content().unwrap_or_default());
        }
        rows(&mut html, &boxes::graded(&section));
    }
    for section in all("[data-hookup]") {
        title(&mut html, &section);
        html.leaf("p", "", &done(&checklist(&section)));
    }
    if let Some(list) = dom::part(section, "list") {
        dom::replace(&list, &html.done());
    }
    Some(code)
}

fn title(html: &mut Html, section: &Element) {
    let title = dom::first(section, "h3").and_then(|title| title.text_content()).unwrap_or_default();
    html.leaf("h4", "", &title);
}

/// Each box with what it asks for.
fn rows(html: &mut Html, root: &Element) {
    html.open("table", "class=\"handin-table\"");
    html.open("tbody", "");
    for one in dom::within(root, "[data-box]") {
        let label = one.get_attribute("aria-label").or_else(|| {
            let row = dom::around(&one, "li")?;
            dom::first(&row, "label")?.text_content()
        });
        let text = dom::value(&one);
        html.open("tr", "");
        html.leaf("th", "scope=\"row\"", &label.unwrap_or_default());
        if text.trim().is_empty() {
            html.leaf("td", "class=\"is-empty\"", &desk::says("empty"));
        } else {
            html.leaf("td", "", &text);
        }
        html.close("tr");
    }
    html.close("tbody");
    html.close("table");
}

/// How far a list is, as a sentence.
fn done(list: &List) -> String {
    let mut parts = vec![desk::counts("checklist", list.done as usize, list.of as usize)];
    let initials: Vec<&str> =
        list.initials.iter().map(String::as_str).filter(|text| !text.is_empty()).collect();
    if !initials.is_empty() {
        parts.push(desk::tells("initials", &[("{initials}", &initials.join(", "))]));
    }
    for (step, ms) in &list.energized_ms {
        let seconds = to_places(*ms as f64 / 1000.0, 1);
        parts.push(desk::tells("energized", &[("{step}", step), ("{seconds}", &seconds)]));
    }
    [&parts.join(", "), "."].concat()
}

fn section() -> Option<Element> {
    dom::document()?.get_element_by_id("hand-in")
}

fn all(selector: &str) -> Vec<Element> {
    dom::document().map(|document| dom::all(&document, selector)).unwrap_or_default()
}

fn show(section: &Element, part: &str, is_shown: bool) {
    if let Some(part) = dom::part(section, part) {
        dom::set_hidden(&part, !is_shown);
    }
}

fn say(part: &str, sentence: &str) {
    if let Some(part) = section().and_then(|section| dom::part(&section, part)) {
        dom::set_text(&part, sentence);
    }
}
