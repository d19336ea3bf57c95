//! Pages made from small courses built by hand.

use std::collections::BTreeMap;

use fieldcoil_calc::catalog;
use fieldcoil_calc::input::Inputs;
use pulldown_cmark::{Event, Options, Parser};

use super::site;
use crate::course::{
    About, Action, Bench, CalculatorBlock, Caution, Figure, Heading, Holds, Hookup, HookupStep, Lesson,
    Listing, Outline, Part, Phase, Picture, Piece, Question, Role, Signal, StartValue, Taken, Worksheet,
    WorksheetReading,
};
use crate::resolve::Reader;
use crate::site::Site;
use crate::source::{FileId, SourceAsset, SourceSet, Span, Spanned};

mod from_outside;

fn nowhere() -> Span {
    Span::new(FileId(0), 0..0)
}

fn spanned<T>(value: T) -> Spanned<T> {
    Spanned { value, span: nowhere() }
}

/// A text that shows when it was not escaped.
fn marked(name: &str) -> String {
    format!("{name}<b>&\"")
}

fn lesson<'s>(address: &str, number: usize, pieces: Vec<Piece<'s>>) -> Lesson<'s> {
    let outline = Outline {
        role: Role::Lesson,
        file: FileId(number as u32),
        address: address.to_owned(),
        number,
        module: 0,
        title: marked("lesson-title"),
        summary: marked("lesson-summary"),
        minutes: 90,
        outcomes: vec![marked("outcome")],
        teaches: Vec::new(),
        before: vec![],
        author: Some(marked("lesson-author")),
        span: nowhere(),
        headings: ["first", "second"]
            .map(|id| Heading { level: 2, text: marked("heading"), id: id.to_owned(), span: nowhere() })
            .into(),
        holds: Holds::of(&pieces),
    };
    Lesson { outline, pieces }
}

static NO_ORIGINS: BTreeMap<String, String> = BTreeMap::new();
static NO_FILES: SourceSet = SourceSet { texts: Vec::new(), assets: Vec::new() };

fn course(lessons: Vec<Lesson<'_>>) -> Reader<'_> {
    let about = About {
        title: marked("course-title"),
        summary: marked("course-summary"),
        school: marked("school"),
        author: marked("author"),
        edition: marked("edition"),
        language: "en".to_owned(),
        ..About::default()
    };
    Reader::of(about, lessons, &NO_FILES)
}

fn made(course: &Reader) -> BTreeMap<String, Vec<u8>> {
    Site::of(&site(course, &BTreeMap::new(), &NO_ORIGINS)).expect("the pages are made").files
}

fn page(course: &Reader, path: &str) -> String {
    let mut files = made(course);
    let bytes = files.remove(path).unwrap_or_else(|| panic!("no {path} in {:?}", files.keys()));
    String::from_utf8(bytes).expect("pages are text")
}

fn lesson_page(piece: Piece<'_>) -> String {
    page(&course(vec![lesson("one", 1, vec![piece])]), "one.html")
}

fn prose(text: &str) -> Piece<'_> {
    let options = Options::ENABLE_TABLES | Options::ENABLE_FOOTNOTES | Options::ENABLE_TASKLISTS;
    Piece::Prose(Parser::new_ext(text, options).into_offset_iter().collect())
}

fn caution(signal: Signal) -> Caution {
    Caution {
        signal,
        hazard: marked("hazard"),
        consequence: marked("consequence"),
        avoid: vec![marked("avoid")],
        sign: Some(spanned("W012".to_owned())),
        span: nowhere(),
    }
}

fn step(phase: Phase, action: Action, part: Option<Part>) -> HookupStep {
    HookupStep {
        phase,
        action: spanned(action),
        part: part.map(spanned),
        say: marked("say"),
        why: marked("why"),
        seconds: None,
        reading: None,
        state: None,
        span: nowhere(),
    }
}

fn hookup(steps: Vec<HookupStep>) -> Hookup {
    Hookup {
        name: None,
        id: "hookup-1".to_owned(),
        title: marked("hookup-title"),
        bench: Bench::Supply,
        limit_s: 5.0,
        limit_span: nowhere(),
        limit_source: Some(marked("limit-source")),
        complete: true,
        steps,
        span: nowhere(),
    }
}

fn worksheet() -> Worksheet {
    let reading = WorksheetReading {
        name: spanned("peak_current_a".to_owned()),
        label: marked("reading"),
        unit: marked("unit"),
        minimum: None,
        maximum: None,
        limit_from: None,
        limit: Some(marked("limit")),
        source: marked("source"),
        taken: Taken::Energized,
        during: None,
        span: nowhere(),
    };
    Worksheet {
        practises: Vec::new(),
        assesses: Vec::new(),
        id: "worksheet-1".to_owned(),
        title: marked("worksheet-title"),
        blanks: vec![marked("blank")],
        readings: vec![reading],
        questions: vec![Question { ask: marked("ask"), lines: 3 }],
        sign_off: vec![marked("sign-off")],
        span: nowhere(),
    }
}

fn calculator(name: &str, start: &[(&str, StartValue)], locked: &[&str]) -> CalculatorBlock {
    let calculator = catalog::find(name).expect("a calculator of the catalog");
    let mut inputs = Inputs::starting(calculator);
    for (field, value) in start {
        let text = match value {
            StartValue::Number(number) => number.to_string(),
            StartValue::Text(text) => text.clone(),
        };
        inputs.set(field, &text).unwrap_or_else(|problem| panic!("{problem}"));
    }
    CalculatorBlock {
        id: format!("{name}-1"),
        calculator: spanned(name.to_owned()),
        name: None,
        title: Some(marked("calculator-title")),
        start: start
            .iter()
            .map(|(field, value)| (spanned((*field).to_owned()), spanned(value.clone())))
            .collect(),
        start_files: Vec::new(),
        locked: locked.iter().map(|field| spanned((*field).to_owned())).collect(),
        bound: Some((calculator, inputs)),
        sources: Vec::new(),
        span: nowhere(),
    }
}

/// The part of a page from `from` to the next `to`.
fn cut<'h>(html: &'h str, from: &str, to: &str) -> &'h str {
    let start = html.find(from).unwrap_or_else(|| panic!("no `{from}` in the page"));
    let rest = &html[start..];
    &rest[..rest.find(to).unwrap_or(rest.len())]
}

fn assert_escaped(html: &str, names: &[&str]) {
    assert!(!html.contains("<b>&\""), "a text came through as markup");
    for name in names {
        assert!(html.contains(&format!("{name}&lt;b&gt;&amp;&quot;")), "no escaped `{name}`");
    }
}

#[test]
fn every_text_of_every_block_is_escaped() {
    let mut run = step(Phase::Run, Action::Read, None);
    run.reading = Some(spanned(marked("unknown-reading")));
    let figure = Figure {
        id: "figure-1".to_owned(),
        alt: marked("alt"),
        caption: Some(marked("figure-caption")),
        file: spanned("pictures/bench.png".to_owned()),
        picture: Some(Picture::File { address: "assets/bench.png".to_owned(), size: Some((640, 480)) }),
        span: nowhere(),
    };
    let listing = Listing { language: "no-language".to_owned(), code: marked("code"), span: nowhere() };
    let pieces = vec![
        Piece::Caution(caution(Signal::Danger)),
        Piece::Hookup(hookup(vec![
            step(Phase::Hookup, Action::InstructorCheck, None),
            step(Phase::Run, Action::Energize, None),
            run,
        ])),
        Piece::Worksheet(worksheet()),
        Piece::Calculator(calculator("voltage-drop", &[], &[])),
        Piece::Figure(figure),
        Piece::Listing(listing),
        prose("| h&lt;ead | b |\n| --- | --- |\n| 1 | 2 |\n"),
    ];
    let course = course(vec![lesson("one", 1, pieces)]);
    let around = ["course-title", "lesson-title", "school", "edition", "lesson-author"];
    let blocks =
        ["hazard", "consequence", "avoid", "hookup-title", "limit-source", "say", "why", "unknown-reading"];
    let sheet = ["worksheet-title", "blank", "reading", "unit", "limit", "source", "ask", "sign-off"];
    let lesson_only =
        ["lesson-summary", "outcome", "heading", "calculator-title", "alt", "figure-caption", "code"];
    let html = page(&course, "one.html");
    assert_escaped(&html, &[&around[..], &blocks, &sheet, &lesson_only].concat());
    assert!(html.contains("aria-label=\"Table 1: h&lt;ead, b\""));
    assert_escaped(&page(&course, "one-sheet.html"), &[&around[..], &blocks, &sheet].concat());
    let first = [
        "course-title",
        "course-summary",
        "school",
        "author",
        "edition",
        "lesson-title",
        "lesson-summary",
        "outcome",
    ];
    assert_escaped(&page(&course, "index.html"), &first);
    assert_escaped(&page(&course, "404.html"), &["course-title", "school", "author"]);
}

#[test]
fn pages_keep_to_their_own_security_policy() {
    let pieces = vec![
        prose("Text.\n\n| a | b |\n| :-- | --: |\n| 1 | 2 |\n\n- [ ] open\n- [x] done\n"),
        Piece::Calculator(calculator("bench-verdict", &[], &[])),
        Piece::Hookup(hookup(vec![step(Phase::Hookup, Action::Wear, Some(Part::EyeProtection))])),
        Piece::Worksheet(worksheet()),
    ];
    let files = made(&course(vec![lesson("one", 1, pieces)]));
    for (path, bytes) in files.iter().filter(|(path, _)| path.ends_with(".html")) {
        let html = std::str::from_utf8(bytes).expect("pages are text");
        assert!(!html.contains(" style="), "{path} has a style attribute");
        assert!(!html.contains("<style"), "{path} has a style element");
        assert!(!html.contains("<script>"), "{path} has a script of its own");
        let hosts = html.matches("http:").count() + html.matches("https:").count();
        // The vocabulary's name, in data that nothing follows.
        let vocabulary = html.matches("\"@context\":\"https://schema.org\"").count();
        assert_eq!(hosts, vocabulary, "{path} names another host");
        assert!(
            html.find("Content-Security-Policy").is_some_and(|at| at < 120),
            "{path} has no policy at its head"
        );
        assert_eq!(html.matches("<h1").count(), 1, "{path}");
    }
}

#[test]
fn links_of_nested_pages_climb_to_the_root() {
    let pieces = vec![Piece::Worksheet(worksheet())];
    let lessons = vec![lesson("safety", 1, vec![]), lesson("cables/joints", 2, pieces)];
    let course = course(lessons);
    let nested = page(&course, "cables/joints.html");
    for link in [
        "href=\"../index.html\"",
        "href=\"../safety.html\"",
        "href=\"../cables/joints-sheet.html\"",
        "href=\"../assets/sheet-",
    ] {
        assert!(nested.contains(link), "{link}");
    }
    assert!(page(&course, "cables/joints-sheet.html").contains("href=\"../cables/joints.html\""));
    let flat = page(&course, "safety.html");
    assert!(flat.contains("href=\"cables/joints.html\"") && !flat.contains("../"));
    assert!(!flat.contains("safety-sheet.html"), "nothing of this lesson goes to the bench");
}

#[test]
fn the_current_lesson_is_marked() {
    let course =
        course(vec![lesson("one", 1, vec![]), lesson("two", 2, vec![Piece::Worksheet(worksheet())])]);
    let strip = |path: &str| cut(&page(&course, path), "<nav class=\"lessons\"", "</nav>").to_owned();
    assert!(strip("two.html").contains("<a href=\"two.html\" aria-current=\"page\"><b>2</b>"));
    assert!(strip("two-sheet.html").contains("<a href=\"two.html\" aria-current=\"true\"><b>2</b>"));
    assert!(!strip("index.html").contains("aria-current"));
}

#[test]
fn forms_follow_the_definition() {
    let html = lesson_page(Piece::Calculator(calculator("voltage-drop", &[], &[])));
    let definition = catalog::find("voltage-drop").expect("of the catalog");
    for field in definition.fields {
        assert!(html.contains(&format!("data-field=\"{}\"", field.name)), "{}", field.name);
        assert!(html.contains(&format!("<label for=\"voltage-drop-1-{}\">", field.name)), "{}", field.name);
    }
    let report = definition.evaluate(&Inputs::starting(definition)).expect("a fresh form can be worked");
    assert!(report.answers.len() > 10);
    for answer in &report.answers {
        let name = answer.output.name;
        assert!(html.contains(&format!("data-output=\"{name}\"")), "{name}");
    }
    assert!(html.contains("data-state=\"\""));
}

#[test]
fn a_start_value_keeps_the_unit_it_was_written_in() {
    let start =
        [("run_out_m", StartValue::Text("6 ft".to_owned())), ("current_a", StartValue::Number(150.0))];
    let html = lesson_page(Piece::Calculator(calculator("voltage-drop", &start, &[])));
    let length = cut(&html, "data-field=\"run_out_m\"", "</div>");
    assert!(length.contains("value=\"6\" data-start=\"6\""), "{length}");
    assert!(
        length.contains("data-start=\"ft\"") && length.contains("<option value=\"ft\" selected>"),
        "{length}"
    );
    let current = cut(&html, "data-field=\"current_a\"", "</div>");
    assert!(
        current.contains("value=\"150\"") && current.contains("<option value=\"A\" selected>"),
        "{current}"
    );
}

#[test]
fn locked_fields_cannot_be_changed() {
    let block = calculator("voltage-drop", &[], &["current_a", "conductor_material"]);
    let html = lesson_page(Piece::Calculator(block));
    let current = cut(&html, "data-field=\"current_a\"", "</div>");
    assert!(current.starts_with("data-field=\"current_a\" data-locked>"), "{current}");
    let inputs = current.matches("<input").count();
    assert_eq!(current.matches(" readonly").count(), inputs, "{current}");
    assert!(current.contains("<select data-part=\"unit\" data-start=\"A\" disabled"), "{current}");
    let material = cut(&html, "data-field=\"conductor_material\"", "</div>");
    assert!(material.contains(" disabled aria-describedby"), "{material}");
    let free = cut(&html, "data-field=\"run_out_m\"", "</div>");
    assert!(!free.contains("readonly") && !free.contains("data-locked"), "{free}");
}

#[test]
fn a_number_in_place_of_an_option_opens_its_box() {
    let listed = lesson_page(Piece::Calculator(calculator("voltage-drop", &[], &[])));
    let size = cut(&listed, "data-field=\"conductor_size\"", "</div>");
    assert!(
        size.contains("<option value=\"other\">") && size.contains("<span class=\"field-other\" hidden>"),
        "{size}"
    );
    let start = [("conductor_size", StartValue::Text("27 mm2".to_owned()))];
    let typed = lesson_page(Piece::Calculator(calculator("voltage-drop", &start, &[])));
    let size = cut(&typed, "data-field=\"conductor_size\"", "</div>");
    assert!(
        size.contains("data-start=\"other\"") && size.contains("<option value=\"other\" selected>"),
        "{size}"
    );
    assert!(
        size.contains("<span class=\"field-other\">") && size.contains("value=\"27\" data-start=\"27\""),
        "{size}"
    );
}

#[test]
fn steps_are_live_while_a_switch_is_closed_or_the_motor_energized() {
    let steps = vec![
        step(Phase::Hookup, Action::Attach, Some(Part::MainTerminal)),
        step(Phase::Hookup, Action::InstructorCheck, None),
        step(Phase::Run, Action::SwitchOn, Some(Part::MainSwitch)),
        step(Phase::Run, Action::Energize, Some(Part::StartButton)),
        step(Phase::Run, Action::Release, Some(Part::StartButton)),
        step(Phase::Unhook, Action::SwitchOff, Some(Part::MainSwitch)),
        step(Phase::Unhook, Action::Detach, Some(Part::MainTerminal)),
    ];
    let html = lesson_page(Piece::Hookup(hookup(steps)));
    let live: Vec<bool> = html
        .split("<li class=\"step\"")
        .skip(1)
        .map(|item| cut(item, " data-action", ">").contains("data-live"))
        .collect();
    assert_eq!(live, [false, false, true, true, true, true, false]);
    for list in [
        "start=\"1\" data-phase=\"hookup\"",
        "start=\"3\" data-phase=\"run\"",
        "start=\"6\" data-phase=\"unhook\"",
    ] {
        assert!(html.contains(list), "{list}");
    }
    let check = cut(&html, "data-action=\"instructor-check\"", "</li>");
    assert!(
        check.contains(" data-check>") && check.contains("id=\"hookup-1-2-initials\" data-part=\"initials\""),
        "{check}"
    );
}

#[test]
fn steps_name_the_readings_of_the_worksheet() {
    let mut read = step(Phase::Run, Action::Read, None);
    read.reading = Some(spanned("peak_current_a".to_owned()));
    let mut rest = step(Phase::Run, Action::Rest, None);
    rest.seconds = Some(spanned(120.0));
    let mut sheet = worksheet();
    sheet.readings[0].label = "Peak current".to_owned();
    let pieces = vec![Piece::Hookup(hookup(vec![read, rest])), Piece::Worksheet(sheet)];
    let html = page(&course(vec![lesson("one", 1, pieces)]), "one.html");
    assert!(html.contains("Read: <b>peak current</b>"));
    assert!(html.contains("Rest: <b>120 s</b>"));
}

#[test]
fn steps_that_last_have_a_timer_of_so_many_milliseconds() {
    let lasting = |action, seconds| {
        let mut step = step(Phase::Run, action, None);
        step.seconds = Some(spanned(seconds));
        step
    };
    let steps = vec![
        lasting(Action::Energize, 0.3),
        lasting(Action::Rest, 0.0019),
        step(Phase::Run, Action::Look, None),
    ];
    let html = lesson_page(Piece::Hookup(hookup(steps)));
    assert!(html.contains("data-action=\"energize\" data-live data-ms=\"300\">"), "{html}");
    // More time than the lesson gives is never given.
    assert!(html.contains("data-ms=\"1\">"), "{html}");
    assert_eq!(html.matches("data-do=\"timer\"").count(), 2);
    assert_eq!(html.matches("data-part=\"timer\"").count(), 1);
    let still = lesson_page(Piece::Hookup(hookup(vec![step(Phase::Run, Action::Look, None)])));
    for part in ["data-ms", "data-part=\"timer\"", "data-do=\"sound\""] {
        assert!(!still.contains(part), "{part} in a list without a timer");
    }
}

#[test]
fn signal_words_have_word_and_shape() {
    for (signal, word) in [
        (Signal::Danger, "danger"),
        (Signal::Warning, "warning"),
        (Signal::Caution, "caution"),
        (Signal::Notice, "notice"),
    ] {
        let html = lesson_page(Piece::Caution(caution(signal)));
        let note = cut(&html, "<section class=\"caution\"", "</section>");
        assert!(note.contains(&format!("data-signal=\"{word}\"")), "{note}");
        assert!(note.to_lowercase().contains(&format!("</svg> {word}")), "{note}");
        // The alert triangle is kept for what injures people.
        assert_eq!(note.contains("icon-solid"), signal != Signal::Notice, "{note}");
        assert!(note.contains("Electricity"), "the sign's meaning stands in words");
    }
}

#[test]
fn notes_count_on_over_the_whole_lesson() {
    // A lesson is read in one go and cut where blocks stand; here a rule marks the place of a block.
    let text = "One[^b] and two[^a].\n\n***\n\nAgain[^b].\n\n[^a]: Second & last.\n\n[^b]: First.\n";
    let Piece::Prose(events) = prose(text) else { unreachable!("prose gives prose") };
    let rule = events.iter().position(|(event, _)| *event == Event::Rule).expect("the mark");
    let pieces = vec![
        Piece::Prose(events[..rule].to_vec()),
        Piece::Caution(caution(Signal::Notice)),
        Piece::Prose(events[rule + 1..].to_vec()),
    ];
    let html = page(&course(vec![lesson("one", 1, pieces)]), "one.html");
    assert!(html.contains(
        "One<sup class=\"note-call\"><a href=\"#note-1\" id=\"note-1-at\" aria-label=\"Note 1\">1</a></sup>"
    ));
    assert!(html.contains("two<sup class=\"note-call\"><a href=\"#note-2\" id=\"note-2-at\""));
    assert!(
        html.contains("Again<sup class=\"note-call\"><a href=\"#note-1\" aria-label=\"Note 1\">1</a></sup>")
    );
    let notes = cut(&html, "<section class=\"notes\"", "</section>");
    let (first, second) = (notes.find("First."), notes.find("Second &amp; last."));
    assert!(first.is_some() && first < second, "{notes}");
}

#[test]
fn tables_scroll_and_align_without_style_attributes() {
    let html = lesson_page(prose("| Reading | Limit |\n| :-- | --: |\n| 62 A | `80` |\n"));
    let table = cut(&html, "<div class=\"table-scroll\"", "</div>");
    assert!(
        table.contains("role=\"region\" tabindex=\"0\" aria-label=\"Table 1: Reading, Limit\""),
        "{table}"
    );
    assert!(table.contains("<th scope=\"col\" class=\"right\">Limit</th>"), "{table}");
    assert!(table.contains("<td>62\u{a0}A</td><td class=\"right\"><code>80</code></td>"), "{table}");
}

#[test]
fn listings_inside_lists_are_listings_too() {
    let html = lesson_page(prose("1. Look:\n\n   ```rust\n   let a = 1; // <b>\n   ```\n\n2. Done.\n"));
    assert!(
        html.contains("<pre class=\"listing\" role=\"region\" tabindex=\"0\" aria-label=\"Listing 1\">"),
        "{html}"
    );
    assert!(html.contains("<span class=\"c\">// &lt;b&gt;</span>"), "{html}");
}

#[test]
fn files_that_lessons_show_are_copied() {
    let mut course = course(vec![lesson("one", 1, vec![])]);
    let shown = BTreeMap::from([("assets/bench-1.png".to_owned(), "pictures/bench.png".to_owned())]);
    let sources = SourceSet {
        assets: ["pictures/bench.png", "pictures/unused.png"]
            .map(|path| SourceAsset { path: path.to_owned(), bytes: b"png".to_vec() })
            .into(),
        ..SourceSet::default()
    };
    course.sources = &sources;
    let files = Site::of(&site(&course, &shown, &NO_ORIGINS)).expect("made").files;
    assert_eq!(files.get("assets/bench-1.png").map(Vec::as_slice), Some(&b"png"[..]));
    assert!(!files.keys().any(|path| path.contains("unused")));
}

#[test]
fn the_script_comes_only_where_it_is_used() {
    let plain = page(&course(vec![lesson("one", 1, vec![])]), "one.html");
    assert!(!plain.contains("<script src"));
    let with = lesson_page(Piece::Calculator(calculator("expected-draw", &[], &[])));
    let built = crate::asset::ASSETS.calculators.is_some();
    assert_eq!(with.contains("<script src=\"assets/calculators-"), built);
}

#[test]
fn the_same_course_gives_the_same_bytes() {
    let make = || {
        let pieces = vec![Piece::Hookup(hookup(vec![])), prose("Text.\n"), Piece::Worksheet(worksheet())];
        made(&course(vec![lesson("one", 1, pieces)]))
    };
    assert_eq!(make(), make());
}
