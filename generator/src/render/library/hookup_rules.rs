//! The rules that every hookup is held against: those of the program, and those of the school.

use super::{capital, table};
use crate::course::Course;
use crate::finding::code::CODES;
use crate::proof::hookup::rule_words;
use crate::render::escape;
use crate::render::view::TableView;
use crate::render::words::Words;

/// A table of each; without rules of the school one alone.
pub fn tables(course: &Course, words: &Words) -> Vec<TableView> {
    let meaning = |code: &str| CODES.iter().find(|(own, _)| *own == code).map_or("", |(_, meaning)| *meaning);
    let rows = rule_words()
        .map(|rule| {
            [meaning(rule.code), rule.danger, rule.from].map(|text| escape::text(&capital(text))).into()
        })
        .collect();
    let mut tables = vec![table(words, "rules", rows)];
    if !course.about.rules.is_empty() {
        let own = course.about.rules.iter();
        let rows = own
            .map(|rule| {
                [rule.name.value.as_str(), &rule.danger, &rule.source]
                    .map(|text| escape::text(&capital(text)))
                    .into()
            })
            .collect();
        tables.push(table(words, "school_rules", rows));
    }
    tables
}
