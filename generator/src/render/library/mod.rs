//! Tables that the program makes: what stands in them comes from the calculations, the course and the rules.

mod conductors;
mod formulas;
mod glossary;
mod hookup_rules;
mod lists;
mod terminals;

use super::link;
use super::view::{LibraryView, TableView};
use super::words::Words;
use crate::course::{Course, Lesson, Library, Show};

/// A table of the program as its template sees it, for a page of the course.
pub fn view(library: &Library, course: &Course, page: &Lesson<'_>, words: &Words) -> LibraryView {
    let root = link::to_root(&page.address);
    let tables = |tables| LibraryView { tables, entries: Vec::new() };
    match library.show.value {
        Show::Conductors => tables(conductors::tables(words)),
        Show::Formulas => tables(formulas::tables(words)),
        Show::Terminals => tables(vec![terminals::table(words)]),
        Show::Glossary => LibraryView { tables: Vec::new(), entries: glossary::entries(&course.glossary) },
        Show::Outcomes => tables(vec![lists::outcomes(course, &root, words)]),
        Show::Weeks => tables(vec![lists::weeks(course, &root, words)]),
        Show::HookupRules => tables(hookup_rules::tables(course, words)),
    }
}

/// A text with a capital letter first, as it stands alone on a page.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    first + letters.as_str()
}

/// A table with its caption and heads from the theme's words: `library.NAME`, `library.NAME_heads`.
fn table(words: &Words, name: &str, rows: Vec<Vec<String>>) -> TableView {
    let caption = words.get(&format!("library.{name}")).to_owned();
    let heads = words.list(&format!("library.{name}_heads"));
    TableView { caption, heads, rows, letters: Vec::new(), notes: Vec::new() }
}
