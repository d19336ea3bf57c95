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
    let files: BTreeMap<&str, toml::Table> = files().collect();
    let english = files.get("en").cloned().expect("the theme has English words");
    let languages = files.into_iter().map(|(name, words)| {
        let table = over(&english, words);
        (name, Words { value: tera::Value::from_serializable(&table), table })
    });
    languages.collect()
});

/// The theme's files of words, by their languages.
fn files() -> impl Iterator<Item = (&'static str, toml::Table)> {
    theme_below("words/").filter_map(|(path, text)| {
        let name = path.strip_prefix("words/")?.strip_suffix(".toml")?;
        Some((name, text.parse().expect("a test reads every file of words")))
    })
}

/// English words with those of another language in their places.
fn over(english: &toml::Table, words: toml::Table) -> toml::Table {
    let mut all = english.clone();
    for (name, word) in words {
        let word = match (english.get(&name), word) {
            (Some(toml::Value::Table(english)), toml::Value::Table(words)) => over(english, words).into(),
            (_, word) => word,
        };
        all.insert(name, word);
    }
    all
}

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
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn a_region_falls_back_to_its_language_and_all_to_english() {
        for language in ["en", "en-GB", "EN-us", "tlh", ""] {
            assert_eq!(Words::of(language).get("signal.danger"), "Danger", "{language}");
        }
    }

    /// Words that say something else than English words can: without one of English, of another kind, with other values.
    fn strangers(english: &toml::Table, words: &toml::Table) -> Vec<String> {
        let braces = |text: &str| {
            let parts = text.split('{').skip(1).filter_map(|part| part.split_once('}'));
            parts.map(|(name, _)| name.to_owned()).collect::<BTreeSet<_>>()
        };
        let mut all = Vec::new();
        for (name, word) in words {
            match (english.get(name), word) {
                (Some(toml::Value::Table(english)), toml::Value::Table(words)) => {
                    all.extend(strangers(english, words).iter().map(|more| format!("{name}.{more}")));
                }
                (Some(toml::Value::Array(english)), toml::Value::Array(words))
                    if english.len() == words.len() => {}
                (Some(toml::Value::String(english)), toml::Value::String(word))
                    if braces(english) == braces(word) => {}
                _ => all.push(name.clone()),
            }
        }
        all
    }

    #[test]
    fn every_language_says_what_english_says() {
        let files: BTreeMap<_, _> = files().collect();
        for (language, words) in &files {
            assert_eq!(strangers(&files["en"], words), [""; 0], "theme/words/{language}.toml");
        }
        let words =
            "[page]\nskip = 'Hin'\nskipp = 'Hin'\nmodule = 'Teil {nummer}'\n[first_page]\nuse_steps = 'x'\n";
        let words = words.parse().expect("TOML");
        assert_eq!(strangers(&files["en"], &words), ["first_page.use_steps", "page.module", "page.skipp"]);
    }

    #[test]
    fn english_stands_in_for_single_words() {
        let english = "[page]\nnext = 'Next'\n[page.more]\nold = 'Old'\nnew = 'New'\n".parse().expect("TOML");
        let words = over(&english, "[page.more]\nnew = 'Neu'\n".parse().expect("TOML"));
        let all = "[page]\nnext = 'Next'\n[page.more]\nold = 'Old'\nnew = 'Neu'\n".parse().expect("TOML");
        assert_eq!(words, all);
    }

    #[test]
    fn values_are_put_in_once() {
        let words = Words::of("en");
        assert_eq!(words.fill("page.lesson_of", &[("number", "{count}"), ("count", "4")]), "{count} of 4");
    }
}
