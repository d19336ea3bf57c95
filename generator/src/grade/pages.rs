//! The files of a graded class: tables, the class page, a page for each student, the record of outcomes.

mod student;

use anyhow::Result;
use serde::Serialize;

use super::outcome::{self, OutcomeRow};
use super::statistics::{QuestionFigures, difficulty, percent, questions, spreads};
use super::{Class, FlagKind, books};
use crate::asset::{ASSETS, theme};
use crate::render::{Words, template_page};
use crate::site::{Site, asset_path};

/// Name of the file that says what the folder is.
pub const WARNING: &str = "KEEP-PRIVATE.txt";

/// What every page has around it.
#[derive(Debug, Serialize)]
struct Around {
    language: String,
    title: String,
    course: String,
    school: String,
    term: String,
    /// What leads to the folder's root.
    root: &'static str,
    styles: Vec<String>,
    icon: String,
}

#[derive(Debug, Serialize)]
struct ClassPage {
    page: Around,
    students: usize,
    lessons: Vec<LessonView>,
    flags: Vec<FlagView>,
    entries: Vec<EntryView>,
}

#[derive(Debug, Serialize)]
struct LessonView {
    title: String,
    address: String,
    handed_in: String,
    /// Those who handed nothing in: code and name.
    missing: Vec<(String, String)>,
    questions: Vec<QuestionView>,
    /// Charts as HTML.
    charts: Vec<String>,
}

#[derive(Debug, Serialize)]
struct QuestionView {
    number: usize,
    name: String,
    asked: usize,
    right: usize,
    partly: usize,
    wrong: usize,
    blank: usize,
    share: String,
    commonest: String,
}

#[derive(Debug, Serialize)]
struct FlagView {
    code: String,
    name: String,
    lesson: String,
    kind: String,
    says: String,
    to_do: &'static str,
    file: String,
}

#[derive(Debug, Serialize)]
struct EntryView {
    code: String,
    name: String,
    href: String,
    lesson: String,
    how: String,
    points: String,
    possible: String,
    to_mark: usize,
    flags: usize,
}

#[derive(Debug, Serialize)]
struct OutcomesPage {
    page: Around,
    outcomes: Vec<OutcomeView>,
    students: Vec<OutcomeStudent>,
}

#[derive(Debug, Serialize)]
struct OutcomeView {
    name: String,
    text: String,
    priority: String,
}

#[derive(Debug, Serialize)]
struct OutcomeStudent {
    code: String,
    name: String,
    /// In the order of the outcomes.
    cells: Vec<String>,
}

/// Every file.
pub fn site(class: &Class) -> Result<Site> {
    let words = Words::of(&class.course.about.language);
    let outcomes = outcome::rows(class);
    let mut site = Site::default();
    let tables = [
        ("gradebook.csv", books::gradebook(class)),
        ("answers.csv", books::answers(class)),
        ("readings.csv", books::readings(class)),
        ("reasons.csv", books::reasons(class)),
        ("flags.csv", books::flags(class)),
        ("outcomes.csv", books::outcomes(class, &outcomes)),
    ];
    for (name, bytes) in tables {
        site.files.insert(name.to_owned(), bytes);
    }
    let warning = [words.get("grade.private"), "\n"].concat();
    site.files.insert(WARNING.to_owned(), warning.into_bytes());
    let own = theme("css/grade.css").as_bytes().to_vec();
    let own_path = asset_path("grade.css", &own);
    let styles = vec![ASSETS.styles.path.clone(), own_path.clone()];
    site.files.insert(own_path, own);
    for asset in [&ASSETS.styles, &ASSETS.icon] {
        site.files.insert(asset.path.clone(), asset.bytes.clone());
    }

    let around = |title: String, root| Around {
        language: class.course.about.language.clone(),
        title,
        course: class.course.about.title.clone(),
        school: class.course.about.school.clone(),
        term: class.plan.term.name.clone(),
        root,
        styles: styles.clone(),
        icon: ASSETS.icon.path.clone(),
    };
    let page = class_page(class, around(words.get("grade.class").to_owned(), ""), words);
    site.files.insert("index.html".to_owned(), template_page("grade/class.html", words, &page)?.into_bytes());
    let page = outcomes_page(class, &outcomes, around(words.get("grade.outcomes").to_owned(), ""));
    site.files
        .insert("outcomes.html".to_owned(), template_page("grade/outcomes.html", words, &page)?.into_bytes());
    let mut from = 0;
    while from < class.entries.len() {
        let student = class.entries[from].student;
        let own = class.entries[from..].iter().take_while(|entry| entry.student == student).count();
        let entries = &class.entries[from..from + own];
        let code = entries[0].code.to_string();
        let title = words.fill("grade.feedback_for", &[("code", &code)]);
        let page = student::page(class, entries, around(title, "../"), words);
        let html = template_page("grade/student.html", words, &page)?;
        site.files.insert(student_path(&code), html.into_bytes());
        from += own;
    }
    Ok(site)
}

fn student_path(code: &str) -> String {
    format!("students/{code}.html")
}

fn class_page(class: &Class, page: Around, words: &Words) -> ClassPage {
    let lessons = class.lessons.iter().map(|&at| {
        let lesson = &class.plan.lessons[at];
        let own = class.entries.iter().filter(|entry| entry.lesson == at);
        let all: Vec<_> = own.clone().filter_map(|entry| entry.marked.as_ref()).collect();
        let figures = questions(lesson, &all);
        let chart = difficulty(&words.fill("grade.difficulty", &[("lesson", lesson.title)]), &figures);
        let charts = chart.into_iter().chain(spreads(lesson, &all)).map(|chart| chart.figure());
        LessonView {
            title: lesson.title.to_owned(),
            address: lesson.address.to_owned(),
            handed_in: words.fill(
                "grade.handed_in_of",
                &[("count", &all.len().to_string()), ("all", &own.clone().count().to_string())],
            ),
            missing: own
                .filter(|entry| entry.marked.is_none())
                .map(|entry| (entry.code.to_string(), class.name_of(entry.student)))
                .collect(),
            charts: charts.collect(),
            questions: figures.into_iter().zip(1..).map(question_view).collect(),
        }
    });
    // Who handed nothing in stands with each lesson: in the table it would hide the rest.
    let others = class.flags.iter().filter(|flag| flag.kind != FlagKind::Missing);
    let flags = others.map(|flag| FlagView {
        code: flag.code.clone(),
        name: class.name_by(&flag.code),
        lesson: flag.lesson.clone(),
        kind: flag.kind.word().replace('-', " "),
        says: quoted(&flag.says),
        to_do: flag.kind.to_do(),
        file: flag.file.clone(),
    });
    let entries = class.entries.iter().map(|entry| {
        let lesson = class.lesson(entry);
        let marked = entry.marked.as_ref();
        let (by_hand, to_mark) = marked.map_or((0.0, 0), |marked| marked.points_by_hand());
        let code = entry.code.to_string();
        EntryView {
            href: student_path(&code),
            code,
            name: class.name_of(entry.student),
            lesson: lesson.title.to_owned(),
            how: entry.submission.map_or("missing", |submission| submission.how()).to_owned(),
            points: books::points_words(marked.map_or(0.0, |marked| marked.points_by_program()) + by_hand),
            possible: books::points_words(lesson.points_by_program() + lesson.points_by_hand()),
            to_mark,
            flags: entry.flags,
        }
    });
    let students = class.roster.students.iter().filter(|student| student.code.is_some()).count();
    ClassPage {
        page,
        students,
        lessons: lessons.collect(),
        flags: flags.collect(),
        entries: entries.collect(),
    }
}

/// A sentence with the marks round names as a page writes them.
fn quoted(says: &str) -> String {
    let mut open = true;
    let mark = |c: char| match c {
        '`' => {
            open = !open;
            if open { '”' } else { '“' }
        }
        other => other,
    };
    says.chars().map(mark).collect()
}

fn question_view((figures, number): (QuestionFigures, usize)) -> QuestionView {
    QuestionView {
        number,
        name: figures.name,
        asked: figures.asked,
        right: figures.right,
        partly: figures.partly,
        wrong: figures.wrong,
        blank: figures.blank,
        share: percent(figures.share),
        commonest: figures.commonest,
    }
}

fn outcomes_page(class: &Class, rows: &[OutcomeRow], page: Around) -> OutcomesPage {
    let mut names: Vec<&str> = rows.iter().map(|row| row.outcome.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    let known = |name: &str| class.course.outcomes.iter().find(|outcome| outcome.name.value == name);
    let outcomes = names.iter().map(|name| OutcomeView {
        name: (*name).to_owned(),
        text: known(name).map(|outcome| outcome.text.clone()).unwrap_or_default(),
        priority: known(name).map(|outcome| outcome.priority.to_string()).unwrap_or_default(),
    });
    let coded = class.roster.students.iter().enumerate().filter(|(_, student)| student.code.is_some());
    let students = coded.map(|(at, _)| {
        let cells = names.iter().map(|name| {
            let row = rows.iter().find(|row| row.student == at && row.outcome == *name);
            row.map_or(String::new(), cell_words)
        });
        OutcomeStudent { code: class.entries_code(at), name: class.name_of(at), cells: cells.collect() }
    });
    OutcomesPage { page, outcomes: outcomes.collect(), students: students.collect() }
}

/// `6 / 8 · 1 / 2`: points, then sheets.
fn cell_words(row: &OutcomeRow) -> String {
    let mut parts = Vec::new();
    if row.possible > 0.0 {
        let points = (books::points_words(row.points), books::points_words(row.possible));
        parts.push(format!("{} / {} points", points.0, points.1));
    }
    if row.sheets_possible > 0 {
        parts.push(format!("{} / {} sheets", row.sheets, row.sheets_possible));
    }
    parts.join(", ")
}
