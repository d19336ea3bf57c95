//! A value of a hand-in with the way to it, so that what is wrong is named by its place.

use std::collections::BTreeMap;

use serde_json::Value;

use super::{LONGEST_NAME, LONGEST_TEXT, MOST_ENTRIES, Moment};
use crate::complaint::Complaint;
use crate::finding::shown;

/// What to do about a file whose form is wrong.
const HELP: &str = "the file was edited or is not from the page; have the student hand in again";

/// A table of the file, the way to it and where complaints go.
pub struct Place<'v, 'c> {
    file: &'v str,
    way: String,
    value: &'v Value,
    complaints: &'c mut Vec<Complaint>,
}

impl<'v, 'c> Place<'v, 'c> {
    /// The whole file.
    pub fn new(file: &'v str, value: &'v Value, complaints: &'c mut Vec<Complaint>) -> Self {
        Place { file, way: String::new(), value, complaints }
    }

    /// Is it a table? Else it is complained of.
    pub fn is_table(&mut self) -> bool {
        let is_table = self.value.is_object();
        if !is_table {
            let where_ = if self.way.is_empty() { "the file".to_owned() } else { format!("`{}`", self.way) };
            let message = format!("{where_} is {}; wanted is a table", kind(self.value));
            self.complaints.push(Complaint::of_file(self.file, message, HELP));
        }
        is_table
    }

    /// Complains of a key.
    pub fn complain(&mut self, key: &str, message: &str, help: &str) {
        let message = format!("at `{}`: {message}", self.way_to(key));
        self.complaints.push(Complaint::of_file(self.file, message, help));
    }

    fn way_to(&self, key: &str) -> String {
        let key = shown(key);
        if self.way.is_empty() { key.to_string() } else { format!("{}.{key}", self.way) }
    }

    fn wrong(&mut self, key: &str, found: &Value, wanted: &str) {
        self.complain(key, &format!("it is {}; wanted is {wanted}", kind(found)), HELP);
    }

    /// A short text that has to be there.
    pub fn name(&mut self, key: &str) -> String {
        if self.value.get(key).is_none() {
            self.complain(key, "it is missing", HELP);
        }
        self.name_or_nothing(key)
    }

    /// A short text.
    pub fn name_or_nothing(&mut self, key: &str) -> String {
        match self.value.get(key) {
            None => String::new(),
            Some(Value::String(text)) if text.chars().count() <= LONGEST_NAME => text.clone(),
            Some(Value::String(_)) => {
                self.complain(key, &format!("it has more than {LONGEST_NAME} letters"), HELP);
                String::new()
            }
            Some(other) => {
                self.wrong(key, other, "text");
                String::new()
            }
        }
    }

    /// A whole number that has to be there.
    pub fn whole(&mut self, key: &str) -> Option<u64> {
        match self.value.get(key) {
            None => {
                self.complain(key, "it is missing", HELP);
                None
            }
            Some(value) => {
                let whole = value.as_u64();
                if whole.is_none() {
                    self.wrong(key, value, "a whole number from 0 up");
                }
                whole
            }
        }
    }

    /// A time, if there is one.
    pub fn moment(&mut self, key: &str) -> Option<Moment> {
        let text = self.name_or_nothing(key);
        if text.is_empty() {
            return None;
        }
        let moment = Moment::read(&text);
        if moment.is_none() {
            let message = format!("`{}` is no time such as `2026-11-26T16:20:10Z`", shown(&text));
            self.complain(key, &message, HELP);
        }
        moment
    }

    /// A list of tables; a missing one is empty.
    pub fn list<T>(&mut self, key: &str, mut entry: impl FnMut(&mut Place<'v, '_>) -> T) -> Vec<T> {
        let Some(entries) = self.entries(key) else { return Vec::new() };
        let mut all = Vec::with_capacity(entries.len());
        for (at, value) in entries.iter().enumerate() {
            let way = format!("{}[{at}]", self.way_to(key));
            let mut place = Place { file: self.file, way, value, complaints: self.complaints };
            if place.is_table() {
                all.push(entry(&mut place));
            }
        }
        all
    }

    /// A list of texts; a missing one is empty.
    pub fn texts(&mut self, key: &str) -> Vec<String> {
        let entries = self.entries(key).unwrap_or_default();
        let mut all = Vec::with_capacity(entries.len());
        for (at, value) in entries.iter().enumerate() {
            all.push(self.text(&format!("{key}[{at}]"), value).unwrap_or_default());
        }
        all
    }

    /// A table of texts; a missing one is empty. `null` is a box that was never touched.
    pub fn texts_by_name(&mut self, key: &str) -> BTreeMap<String, String> {
        let mut all = BTreeMap::new();
        for (name, value) in self.table(key) {
            if let Some(text) = self.text(&format!("{key}.{name}"), value) {
                all.insert(name.clone(), text);
            }
        }
        all
    }

    /// A table of whole numbers; a missing one is empty.
    pub fn numbers_by_name(&mut self, key: &str) -> BTreeMap<String, u64> {
        let mut all = BTreeMap::new();
        for (name, value) in self.table(key) {
            match value.as_u64() {
                Some(number) => {
                    all.insert(name.clone(), number);
                }
                None => self.wrong(&format!("{key}.{name}"), value, "a whole number from 0 up"),
            }
        }
        all
    }

    fn text(&mut self, key: &str, value: &Value) -> Option<String> {
        match value {
            Value::String(text) if text.chars().count() <= LONGEST_TEXT => return Some(text.clone()),
            Value::String(_) => {
                self.complain(key, &format!("it has more than {LONGEST_TEXT} letters"), HELP);
            }
            Value::Null => {}
            other => self.wrong(key, other, "text, as it was typed"),
        }
        None
    }

    fn entries(&mut self, key: &str) -> Option<&'v [Value]> {
        let value = self.value.get(key)?;
        match value.as_array() {
            Some(entries) if entries.len() <= MOST_ENTRIES => Some(entries),
            Some(entries) => {
                let message = format!("it has {} entries; at most {MOST_ENTRIES} are read", entries.len());
                self.complain(key, &message, HELP);
                None
            }
            None => {
                self.wrong(key, value, "a list");
                None
            }
        }
    }

    fn table(&mut self, key: &str) -> Vec<(&'v String, &'v Value)> {
        let Some(value) = self.value.get(key) else { return Vec::new() };
        match value.as_object() {
            Some(table) if table.len() <= MOST_ENTRIES => {
                let (named, too_long): (Vec<_>, Vec<_>) =
                    table.iter().partition(|(name, _)| name.chars().count() <= LONGEST_NAME);
                if !too_long.is_empty() {
                    self.complain(key, &format!("a name in it has more than {LONGEST_NAME} letters"), HELP);
                }
                named
            }
            Some(table) => {
                let message = format!("it has {} entries; at most {MOST_ENTRIES} are read", table.len());
                self.complain(key, &message, HELP);
                Vec::new()
            }
            None => {
                self.wrong(key, value, "a table");
                Vec::new()
            }
        }
    }
}

fn kind(value: &Value) -> &'static str {
    match value {
        Value::Null => "nothing",
        Value::Bool(_) => "true or false",
        Value::Number(_) => "a number",
        Value::String(_) => "text",
        Value::Array(_) => "a list",
        Value::Object(_) => "a table",
    }
}
