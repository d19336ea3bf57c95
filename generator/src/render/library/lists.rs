//! Lists of what is in the course: its outcomes, and its lessons week by week.

use super::table;
use crate::course::{Course, Outline};
use crate::render::typeset::date;
use crate::render::view::{LinkView, TableView};
use crate::render::words::Words;
use crate::render::{escape, lesson, link, outcomes as listed};

/// The school's outcomes with the lessons that see to each.
pub fn outcomes(course: &Course, root: &str, words: &Words) -> TableView {
    let none = words.get("outcomes.none");
    let links = |lessons: &[LinkView]| match lessons {
        [] => none.to_owned(),
        lessons => {
            let all: Vec<_> = lessons.iter().map(|to| anchor(root, &to.href, &to.title)).collect();
            all.join("<br>")
        }
    };
    let rows = listed::view(course).into_iter().map(|outcome| {
        vec![
            escape::text(&outcome.name),
            escape::text(&outcome.text),
            links(&outcome.taught),
            links(&outcome.practised),
            links(&outcome.assessed),
        ]
    });
    table(words, "outcomes", rows.collect())
}

/// The lessons with their time, by weeks where the course has a term; those that are in no week come last.
pub fn weeks(course: &Course, root: &str, words: &Words) -> TableView {
    let term = course.about.term.as_ref();
    let week = |lesson: &Outline| term.and_then(|term| Some(term.weeks.get(&lesson.address)?.value));
    let mut lessons: Vec<&Outline> = course.lessons.iter().collect();
    lessons.sort_by_key(|lesson| week(lesson).unwrap_or(u32::MAX));
    let has_modules = !course.about.modules.is_empty();
    let row = |lesson: &&Outline| {
        let mut row = Vec::new();
        if let Some(term) = term {
            let none = || words.get("outcomes.none").to_owned();
            row.push(week(lesson).map_or_else(none, |week| week.to_string()));
            row.push(term.date_of(&lesson.address).map_or_else(none, date));
        }
        if has_modules {
            row.push(escape::text(&lesson::module_words(course, lesson, words)));
        }
        let title = format!("{}. {}", lesson.number, lesson.title);
        row.push(anchor(root, &link::page_path(&lesson.address), &title));
        row.push(lesson.minutes.to_string());
        row
    };
    let rows = lessons.iter().map(row).collect();
    let mut weeks = table(words, "weeks", rows);
    let names = words.list("library.weeks_heads");
    let shown = [term.is_some(), term.is_some(), has_modules, true, true];
    weeks.heads = names.into_iter().zip(shown).filter(|(_, shown)| *shown).map(|(name, _)| name).collect();
    if let Some(term) = term {
        weeks.caption = words.fill("library.weeks_of", &[("term", &term.name)]);
    }
    let minutes: u32 = course.lessons.iter().map(|lesson| lesson.minutes).sum();
    let (hours, rest) = (minutes / 60, minutes % 60);
    let sum = words.fill(
        "library.weeks_sum",
        &[
            ("lessons", &course.lessons.len().to_string()),
            ("hours", &hours.to_string()),
            ("minutes", &rest.to_string()),
        ],
    );
    weeks.notes = vec![escape::text(&sum)];
    weeks
}

fn anchor(root: &str, href: &str, title: &str) -> String {
    format!("<a href=\"{root}{href}\">{}</a>", escape::text(title))
}
