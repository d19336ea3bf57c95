//! A term: when which lesson is taught, and the key that draws its numbers.

use std::collections::BTreeMap;

use time::{Date, Duration};

use crate::source::Spanned;

/// The `[term]` of `course.toml`. Dates and drawn numbers depend on it, and nothing else does.
#[derive(Debug, Clone)]
pub struct Term {
    /// What it is called: `Autumn 2026`.
    pub name: String,
    /// The first day of its first week.
    pub starts: Date,
    /// The key that draws each student's numbers. It is public: the page needs it.
    pub key: String,
    /// In which week each lesson is taught, by its address; the first week is 1.
    pub weeks: BTreeMap<String, Spanned<u32>>,
}

impl Term {
    /// The first day of the week in which a lesson is taught.
    pub fn date_of(&self, address: &str) -> Option<Date> {
        let week = self.weeks.get(address)?.value;
        self.starts.checked_add(Duration::weeks(i64::from(week) - 1))
    }
}

/// A date as ISO 8601 writes it: `2026-09-07`.
pub fn iso(date: Date) -> String {
    format!("{:04}-{:02}-{:02}", date.year(), u8::from(date.month()), date.day())
}
