//! The pages of limits and of published facts: every one with where it comes from.

use std::collections::BTreeMap;

use fieldcoil_calc::number::short;

use super::link;
use super::typeset::tied;
use super::view::{FactCell, FactTable, FactsView, LinkView};
use super::words::Words;
use crate::course::{Course, Limit, Origin, Outline};

/// Is there anything to say where it comes from?
pub fn has_sources(course: &Course) -> bool {
    !course.references.is_empty() || course.limits.iter().any(is_published)
}

/// The page of the limits.
pub fn limits(course: &Course, words: &Words) -> FactsView {
    let table = limit_table(course, words, |_| true);
    FactsView {
        title: words.get("facts.limits").to_owned(),
        about: words.get("facts.limits_about").to_owned(),
        tables: vec![FactTable {
            title: String::new(),
            about: String::new(),
            label: words.get("facts.limits").to_owned(),
            ..table
        }],
        more: has_sources(course).then(|| more("facts.to_sources", "sources", words)),
    }
}

/// The page of the published facts.
pub fn sources(course: &Course, words: &Words) -> FactsView {
    let tables =
        [limit_table(course, words, is_published), fact_table(course, words), reference_table(course, words)];
    FactsView {
        title: words.get("facts.title").to_owned(),
        about: words.get("facts.about").to_owned(),
        tables: tables.into_iter().filter(|table| !table.rows.is_empty()).collect(),
        more: (!course.limits.is_empty()).then(|| more("facts.to_limits", "limits", words)),
    }
}

fn more(name: &str, page: &str, words: &Words) -> LinkView {
    LinkView { title: words.get(name).to_owned(), href: link::page_path(page) }
}

/// Anything but invented.
fn is_published(limit: &Limit) -> bool {
    !matches!(limit.origin, Some(Origin::Demo))
}

fn table(name: &str, words: &Words, rows: Vec<Vec<FactCell>>) -> FactTable {
    let title = words.get(&format!("facts.{name}_title")).to_owned();
    FactTable {
        about: words.get(&format!("facts.{name}_about")).to_owned(),
        heads: words.list(&format!("facts.{name}_heads")),
        label: title.clone(),
        title,
        rows,
    }
}

fn limit_table(course: &Course, words: &Words, shown: impl Fn(&Limit) -> bool) -> FactTable {
    let rows = course.limits.iter().filter(|limit| shown(limit)).map(|limit| {
        vec![
            cell(&limit.of),
            cell(&limit.what),
            cell(&range(limit, words)),
            cell(&limit.at),
            cell(&origin(limit, course, words)),
        ]
    });
    table("limit", words, rows.collect())
}

/// `40 to 80 A`, as worksheets say it.
fn range(limit: &Limit, words: &Words) -> String {
    let (minimum, maximum) = (limit.minimum.map(short), limit.maximum.map(short));
    let range = match (&minimum, &maximum) {
        (Some(minimum), Some(maximum)) => {
            words.fill("worksheet.between", &[("minimum", minimum), ("maximum", maximum)])
        }
        (Some(minimum), None) => words.fill("worksheet.at_least", &[("minimum", minimum)]),
        (None, Some(maximum)) => words.fill("worksheet.at_most", &[("maximum", maximum)]),
        (None, None) => String::new(),
    };
    match limit.unit {
        Some((_, unit)) if !unit.symbol.is_empty() => format!("{range} {}", unit.symbol),
        _ => range,
    }
}

fn origin(limit: &Limit, course: &Course, words: &Words) -> String {
    match &limit.origin {
        Some(Origin::Published(key)) => course
            .references
            .iter()
            .find(|reference| reference.key.value == key.value)
            .map_or_else(String::new, |reference| reference.cite.clone()),
        Some(Origin::Demo) => words.get("facts.invented").to_owned(),
        Some(Origin::Practice) => words.get("facts.practice").to_owned(),
        Some(Origin::Memory) => words.get("facts.memory").to_owned(),
        None => String::new(),
    }
}

/// What the calculators of the course say of their facts, each once, with the lessons where it is used.
fn fact_table(course: &Course, words: &Words) -> FactTable {
    let mut facts: BTreeMap<(&str, &str), Vec<&Outline>> = BTreeMap::new();
    for lesson in &course.lessons {
        for source in course.cited.get(&lesson.number).into_iter().flatten() {
            let lessons = facts.entry((source.fact, source.from)).or_default();
            if lessons.last().is_none_or(|last| last.number != lesson.number) {
                lessons.push(lesson);
            }
        }
    }
    let row = |((fact, from), lessons): ((&str, &str), Vec<&Outline>)| {
        vec![cell(fact), cell(from), links(lessons.into_iter())]
    };
    table("fact", words, facts.into_iter().map(row).collect())
}

fn reference_table(course: &Course, words: &Words) -> FactTable {
    let rows = course.references.iter().map(|reference| {
        let named = course.lessons.iter().filter(|lesson| reference.named_in.contains(&lesson.address));
        vec![cell(&reference.number), cell(&reference.title), cell(&reference.note), links(named)]
    });
    table("reference", words, rows.collect())
}

fn cell(words: &str) -> FactCell {
    FactCell { words: tied(words).into_owned(), links: Vec::new() }
}

fn links<'l>(lessons: impl Iterator<Item = &'l Outline>) -> FactCell {
    let link = |lesson: &Outline| LinkView {
        title: format!("{}. {}", lesson.number, lesson.title),
        href: link::page_path(&lesson.address),
    };
    FactCell { words: String::new(), links: lessons.map(link).collect() }
}
