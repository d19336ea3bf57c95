//! A lesson's page and its bench sheet.

use super::prose::ProseWriter;
use super::typeset::date;
use super::view::{BenchSheetView, HeadingView, LessonView, LinkView, PairView};
use super::words::Words;
use super::{
    calculator, caution, circuit, figure, handin, homework, hookup, library, link, selfcheck, templates,
    trace, worksheet,
};
use crate::course::{Course, Lesson, Outline, Piece, Role};

/// A lesson as its template sees it.
pub fn view(course: &Course, lesson: &Lesson<'_>, words: &Words) -> anyhow::Result<LessonView> {
    let mut prose = ProseWriter::new(words);
    let mut pieces = Vec::with_capacity(lesson.pieces.len());
    let mut rest = lesson.pieces.as_slice();
    while let [piece, after @ ..] = rest {
        let mut html = piece_html(piece, course, lesson, &mut prose, words)?;
        rest = after;
        if let [next, after @ ..] = rest
            && belong_together(piece, next, lesson)
        {
            let pair = PairView { first: html, second: piece_html(next, course, lesson, &mut prose, words)? };
            html = templates::piece("with_circuit", words, &pair)?;
            rest = after;
        }
        pieces.push(html);
    }
    let before = lesson.before.iter().filter_map(|address| {
        let earlier = course.lessons.iter().find(|lesson| lesson.address == address.value)?;
        Some(LinkView { title: earlier.title.clone(), href: link::page_path(&earlier.address) })
    });
    Ok(LessonView {
        kicker: kicker(course, lesson, words),
        title: lesson.title.clone(),
        summary: lesson.summary.clone(),
        minutes: match lesson.role {
            Role::Lesson => words.fill("lesson.minutes", &[("minutes", &lesson.minutes.to_string())]),
            Role::Page { .. } => String::new(),
        },
        week: week_words(course, lesson, words),
        before: before.collect(),
        author: lesson.author.clone().unwrap_or_default(),
        sheet: sheet_path(lesson),
        outcomes: lesson.outcomes.clone(),
        headings: headings(lesson),
        pieces,
        notes: prose.notes(),
        desk: handin::desk(course, lesson, words),
    })
}

/// What stands above the title of a lesson or a page.
fn kicker(course: &Course, lesson: &Outline, words: &Words) -> String {
    let number = match lesson.role {
        Role::Page { instructor: true } => return words.get("page.instructor").to_owned(),
        Role::Page { instructor: false } => return words.get("page.look_up").to_owned(),
        Role::Lesson => format!("{} {}", words.get("page.lesson"), lesson.number),
    };
    match module_words(course, lesson, words) {
        module if module.is_empty() => number,
        module => format!("{number} · {module}"),
    }
}

/// The module of a lesson with its number; nothing without one.
pub fn module_words(course: &Course, lesson: &Outline, words: &Words) -> String {
    let module = lesson.module.checked_sub(1).and_then(|index| course.about.modules.get(index));
    module.map_or_else(String::new, |module| {
        words.fill("page.module", &[("number", &lesson.module.to_string()), ("title", &module.title)])
    })
}

/// The week of the term in which a lesson is taught, with its first day; nothing without a term.
pub fn week_words(course: &Course, lesson: &Outline, words: &Words) -> String {
    let week = course.about.term.as_ref().and_then(|term| {
        let week = term.weeks.get(&lesson.address)?.value.to_string();
        let day = date(term.date_of(&lesson.address)?);
        Some(words.fill("lesson.week", &[("week", &week), ("date", &day)]))
    });
    week.unwrap_or_default()
}

/// The term that a course is given in; nothing without one.
pub fn term_words(course: &Course, words: &Words) -> String {
    course.about.term.as_ref().map_or_else(String::new, |term| {
        words.fill("first_page.term", &[("term", &term.name), ("date", &date(term.starts))])
    })
}

/// The file of the lesson's bench sheet, or nothing when there is nothing to take to the bench.
pub fn sheet_path(lesson: &Outline) -> String {
    if lesson.holds.for_bench {
        link::page_path(&link::bench_sheet_address(&lesson.address))
    } else {
        String::new()
    }
}

/// The bench sheet as its template sees it.
pub fn bench_sheet(course: &Course, lesson: &Lesson<'_>, words: &Words) -> BenchSheetView {
    let mut sheet = BenchSheetView {
        heading: lesson.title.clone(),
        lesson: link::page_path(&lesson.address),
        cautions: Vec::new(),
        hookups: Vec::new(),
        circuits: Vec::new(),
        worksheets: Vec::new(),
        desk: handin::desk(course, lesson, words),
    };
    for piece in &lesson.pieces {
        match piece {
            Piece::Caution(note) => sheet.cautions.push(caution::view(note, words)),
            Piece::Hookup(list) => sheet.hookups.push(hookup::view(list, lesson, words)),
            Piece::Worksheet(readings) => sheet.worksheets.push(worksheet::view(readings, words)),
            Piece::Circuit(block) if block.hookup.is_some() => {
                sheet.circuits.extend(circuit::view(block, lesson, words));
            }
            Piece::Prose(_)
            | Piece::Circuit(_)
            | Piece::Homework(_)
            | Piece::Selfcheck(_)
            | Piece::Calculator(_)
            | Piece::Trace(_)
            | Piece::Library(_)
            | Piece::Listing(_)
            | Piece::Figure(_) => {}
        }
    }
    sheet
}

fn piece_html(
    piece: &Piece<'_>,
    course: &Course,
    lesson: &Lesson<'_>,
    prose: &mut ProseWriter<'_>,
    words: &Words,
) -> anyhow::Result<String> {
    match piece {
        Piece::Prose(events) => Ok(prose.html(events.iter().map(|(event, _)| event.clone()))),
        Piece::Caution(note) => templates::piece("caution", words, &caution::view(note, words)),
        Piece::Hookup(list) => templates::piece("hookup", words, &hookup::view(list, lesson, words)),
        Piece::Circuit(block) => match circuit::view(block, lesson, words) {
            Some(view) => templates::piece("circuit", words, &view),
            None => Ok(String::new()),
        },
        Piece::Calculator(block) => match calculator::view(block, words) {
            Some(view) => templates::piece("calculator", words, &view),
            None => Ok(String::new()),
        },
        Piece::Homework(block) => match homework::view(block, course, words) {
            Some(view) => templates::piece("homework", words, &view),
            None => Ok(String::new()),
        },
        Piece::Trace(block) => match trace::view(block, words) {
            Some(view) => templates::piece("trace", words, &view),
            None => Ok(String::new()),
        },
        Piece::Selfcheck(block) => {
            templates::piece("selfcheck", words, &selfcheck::view(block, lesson, words))
        }
        Piece::Worksheet(sheet) => templates::piece("worksheet", words, &worksheet::view(sheet, words)),
        Piece::Figure(figure) => match figure::view(figure, words) {
            Some(view) => templates::piece("figure", words, &view),
            None => Ok(String::new()),
        },
        Piece::Library(block) => {
            templates::piece("library", words, &library::view(block, course, lesson, words))
        }
        Piece::Listing(listing) => Ok(prose.listing(&listing.language, &listing.code)),
    }
}

/// Are these a checklist and the diagram that its steps light, in either order?
fn belong_together(one: &Piece<'_>, other: &Piece<'_>, lesson: &Lesson<'_>) -> bool {
    match (one, other) {
        (Piece::Circuit(circuit), Piece::Hookup(hookup))
        | (Piece::Hookup(hookup), Piece::Circuit(circuit)) => {
            circuit::hookup_of(circuit, lesson).is_some_and(|own| own.id == hookup.id)
        }
        _ => false,
    }
}

/// What stands on the sheet; a list of one helps nobody.
fn headings(lesson: &Outline) -> Vec<HeadingView> {
    let headings: Vec<_> = lesson
        .headings
        .iter()
        .filter(|heading| heading.level == 2)
        .map(|heading| HeadingView { id: heading.id.clone(), text: heading.text.clone() })
        .collect();
    if headings.len() > 1 { headings } else { Vec::new() }
}
