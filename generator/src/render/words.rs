//! The interface's words, one file a language.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use crate::asset::theme_below;

/// The words of one language: a table of tables, as `theme/words/en.toml` has them.
#[derive(Debug)]
pub struct Words {
    table: toml::Table,
    /// The same as templates take it; made once, for every piece of every page gets it.
    value: tera::Value,
}

static LANGUAGES: LazyLock<BTreeMap<&'static str, Words>> = LazyLock::new(|| {
    let files = theme_below("words/").filter_map(|(path, text)| {
        let name = path.strip_prefix("words/")?.strip_suffix(".toml")?;
        let table: toml::Table = text.parse().expect("a test reads every file of words");
        Some((name, Words { value: tera::Value::from_serializable(&table), table }))
    });
    files.collect()
});

impl Words {
    /// The words of a language; `de-AT` finds `de`, and English stands in for what nobody has written yet.
    pub fn of(language: &str) -> &'static Words {
        let primary = language.split('-').next().unwrap_or_default().to_ascii_lowercase();
        LANGUAGES.get(primary.as_str()).or_else(|| LANGUAGES.get("en")).expect("the theme has English words")
    }

    /// All of them, for templates.
    pub fn value(&self) -> tera::Value {
        self.value.clone()
    }

    /// One word or sentence: `lesson.minutes`.
    ///
    /// # Panics
    /// When the theme has no such word: names are written in this crate and covered by its tests.
    pub fn get(&self, name: &str) -> &str {
        self.find(name)
            .and_then(toml::Value::as_str)
            .unwrap_or_else(|| panic!("the theme has no words `{name}`"))
    }

    /// All words of a table, by their names.
    pub fn texts(&self, table: &str) -> impl Iterator<Item = (String, String)> {
        let table = self.table.get(table).and_then(toml::Value::as_table);
        let all = table.into_iter().flatten();
        all.filter_map(|(name, text)| Some((name.clone(), text.as_str()?.to_owned())))
    }

    /// Several sentences.
    ///
    /// # Panics
    /// As [`get`](Words::get).
    pub fn list(&self, name: &str) -> Vec<String> {
        let list = self.find(name).and_then(toml::Value::as_array);
        let list = list.unwrap_or_else(|| panic!("the theme has no list of words `{name}`"));
        list.iter().filter_map(toml::Value::as_str).map(str::to_owned).collect()
    }

    /// A sentence with values put in place of the names between braces.
    ///
    /// # Panics
    /// As [`get`](Words::get).
    pub fn fill(&self, name: &str, values: &[(&str, &str)]) -> String {
        let mut rest = self.get(name);
        let mut out = String::with_capacity(rest.len() + 16);
        while let Some((before, after)) = rest.split_once('{') {
            let (key, after) = after.split_once('}').unwrap_or((after, ""));
            out.push_str(before);
            out.push_str(values.iter().find(|(name, _)| *name == key).map_or("", |(_, value)| value));
            rest = after;
        }
        out.push_str(rest);
        out
    }

    fn find(&self, name: &str) -> Option<&toml::Value> {
        let (table, name) = name.rsplit_once('.')?;
        let mut here = &self.table;
        for part in table.split('.') {
            here = here.get(part)?.as_table()?;
        }
        here.get(name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_region_falls_back_to_its_language_and_all_to_english() {
        for language in ["en", "en-GB", "EN-us", "tlh", ""] {
            assert_eq!(Words::of(language).get("signal.danger"), "Danger", "{language}");
        }
    }

    #[test]
    fn values_are_put_in_once() {
        let words = Words::of("en");
        assert_eq!(words.fill("page.station_of", &[("number", "{count}"), ("count", "4")]), "{count} of 4");
    }
}
