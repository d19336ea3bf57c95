//! Courses in which every text of every block and file is hostile. The schemas say which texts there are, so a new key is
//! among them by itself.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use anyhow::{Context, Result, ensure};
use fieldcoil::source::{SourceSet, SourceText};
use fieldcoil_tests::repository::root;
use serde_json::Value as Json;
use toml::{Table, Value};

/// A text of a block or file: schema, table in it, key.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Field {
    pub schema: String,
    pub table: String,
    pub key: String,
}

/// Files that are TOML as a whole, and in which lists of tables they name things that others refer to.
const FILES: [&str; 5] = ["course", "glossary", "limits", "outcomes", "references"];
/// Keys by which entries of such a list are told apart.
const NAMES: [&str; 3] = ["name", "key", "word"];

/// So many letters of a string, with a number after them, have room beside a symbol.
const LONGEST_LABEL: usize = 76;

/// What is written where.
pub struct Spoil<'s> {
    /// Which fields become hostile.
    pub fields: &'s BTreeSet<Field>,
    /// Fields that the course has nowhere, still to be put in.
    missing: BTreeSet<Field>,
    /// Fields that were there.
    seen: BTreeSet<Field>,
    strings: Vec<&'s str>,
    count: usize,
    labels: usize,
}

impl<'s> Spoil<'s> {
    /// Texts of TOML with control characters are refused; such strings stand in the prose alone.
    pub fn new(fields: &'s BTreeSet<Field>, missing: &BTreeSet<Field>, strings: &'s [String]) -> Self {
        let is_text = |string: &&String| !string.chars().any(|c| c.is_control() && !c.is_whitespace());
        let strings = strings.iter().filter(is_text).map(String::as_str).collect();
        let missing = missing.intersection(fields).cloned().collect();
        Spoil { fields, missing, seen: BTreeSet::new(), strings, count: 0, labels: 0 }
    }

    /// All strings, each time another one first, before what stood there; no two texts are the same. A diagram has no room
    /// for so much: there each text has one of them.
    fn hostile(&mut self, field: &Field, text: &str) -> String {
        self.count += 1;
        let count = self.strings.len();
        if field.key == "label" && field.schema == "circuit" {
            self.labels += 1;
            let one: String = self.strings[self.labels % count].chars().take(LONGEST_LABEL).collect();
            return format!("{one} {}", self.labels);
        }
        let turned = (0..count).map(|at| self.strings[(at + self.count) % count]);
        let mut joined = turned.collect::<Vec<_>>().join(" ");
        if field.schema == "homework" && field.key == "text" {
            // There braces are round names of fields, and others are refused with the problem.
            joined = joined.replace('{', "(");
        }
        format!("{joined} {} {text}", self.count)
    }

    fn texts(&mut self, field: &Field, value: &mut Value) {
        match value {
            Value::String(text) => {
                self.seen.insert(field.clone());
                if self.fields.contains(field) {
                    *text = self.hostile(field, text);
                }
            }
            Value::Array(values) => values.iter_mut().for_each(|value| self.texts(field, value)),
            _ => {}
        }
    }

    fn table(&mut self, schema: &Schema, name: &str, shape: &Json, table: &mut Table) {
        for (key, shape) in shape["properties"].as_object().into_iter().flatten() {
            let field = schema.field(name, key);
            if is_text(shape) && !table.contains_key(key) && self.missing.remove(&field) {
                table.insert(key.clone(), Value::String("text".to_owned()));
            }
            let Some(value) = table.get_mut(key) else { continue };
            if is_text(shape) {
                self.texts(&field, value);
            } else if let Some(inner) = inner(shape).or_else(|| inner(&shape["items"])) {
                let tables: Vec<&mut Table> = match value {
                    Value::Table(table) => vec![table],
                    Value::Array(values) => values.iter_mut().filter_map(Value::as_table_mut).collect(),
                    _ => vec![],
                };
                for table in tables {
                    self.table(schema, inner, &schema.json["$defs"][inner], table);
                }
            } else if shape["additionalProperties"].is_object()
                && let Value::Table(entries) = value
            {
                let choices = shape["additionalProperties"]["anyOf"].as_array();
                let named = choices.into_iter().flatten().find_map(inner);
                for (_, value) in entries.iter_mut() {
                    match (value, named) {
                        (Value::Table(table), Some(inner)) => {
                            self.table(schema, inner, &schema.json["$defs"][inner], table);
                        }
                        (value, _) => self.texts(&field, value),
                    }
                }
            }
        }
    }
}

/// The definition that a shape refers to.
fn inner(shape: &Json) -> Option<&str> {
    shape["$ref"].as_str()?.strip_prefix("#/$defs/")
}

/// Is it a text, or a list of texts?
fn is_text(shape: &Json) -> bool {
    shape["type"] == "string"
        || (shape["type"] == "array" && is_text(&shape["items"]))
        || shape["anyOf"].as_array().is_some_and(|all| all.iter().all(is_text))
}

struct Schema {
    name: String,
    json: Json,
}

impl Schema {
    fn field(&self, table: &str, key: &str) -> Field {
        Field { schema: self.name.clone(), table: table.to_owned(), key: key.to_owned() }
    }
}

/// The schemas, and the course of which all others are made.
pub struct Base {
    schemas: BTreeMap<String, Schema>,
    /// Every text that there is.
    pub fields: BTreeSet<Field>,
    /// Those that the course does not have by itself.
    pub missing: BTreeSet<Field>,
    texts: BTreeMap<String, String>,
}

impl Base {
    pub fn read() -> Result<Self> {
        let mut base = Base {
            schemas: BTreeMap::new(),
            fields: BTreeSet::new(),
            missing: BTreeSet::new(),
            texts: BTreeMap::new(),
        };
        for entry in fs::read_dir(root().join("generator/schemas"))? {
            let path = entry?.path();
            let name = path.file_stem().and_then(|stem| stem.to_str()).context("a name")?.to_owned();
            let schema =
                Schema { json: serde_json::from_str(&fs::read_to_string(&path)?)?, name: name.clone() };
            let inner = schema.json["$defs"].as_object().into_iter().flatten();
            let tables = inner.map(|(table, shape)| (table.as_str(), shape)).chain([("", &schema.json)]);
            for (table, shape) in tables {
                for (key, shape) in shape["properties"].as_object().context("keys")? {
                    if is_text(shape) {
                        base.fields.insert(schema.field(table, key));
                    }
                }
            }
            base.schemas.insert(name, schema);
        }
        let folder = root().join("tests/injections/course");
        for path in [
            "course.toml",
            "glossary.toml",
            "limits.toml",
            "outcomes.toml",
            "references.toml",
            "first.md",
            "lesson.md",
            "prose.md",
            "pages/words.md",
            "drawing.svg",
            "trace.csv",
        ] {
            base.texts.insert(path.to_owned(), fs::read_to_string(folder.join(path))?);
        }
        let nothing = BTreeSet::new();
        let mut spoil = Spoil::new(&nothing, &nothing, &[]);
        base.lesson("lesson.md", 0, &mut spoil)?;
        base.lesson("pages/words.md", 0, &mut spoil)?;
        for file in FILES {
            base.file(file, &mut spoil)?;
        }
        base.missing = base.fields.difference(&spoil.seen).cloned().collect();
        Ok(base)
    }

    /// Lessons of these strings, prose among them, where wanted, and files of all of them.
    pub fn course(&self, fields: &BTreeSet<Field>, groups: &[Vec<String>], prose: bool) -> Result<SourceSet> {
        let (mut texts, nothing) = (self.around()?, BTreeSet::new());
        let all: Vec<String> = groups.concat();
        let mut addresses = vec!["first".to_owned()];
        for (number, strings) in groups.iter().enumerate() {
            let mut spoil = Spoil::new(fields, &self.missing, strings);
            let mut text = self.lesson("lesson.md", number, &mut spoil)?;
            let left: Vec<&Field> =
                spoil.missing.iter().filter(|field| field.schema != "page" && self.is_block(field)).collect();
            ensure!(left.is_empty(), "no table of the course could have these: {left:?}");
            for (at, string) in strings.iter().enumerate().filter(|_| prose) {
                text.push_str(
                    &self.texts["prose.md"].replace("NUMBER", &at.to_string()).replace("STRING", string),
                );
                text.push_str("\n\n");
            }
            texts.insert(format!("{}-bench-{number}.md", number + 100), text);
            addresses.push(format!("bench-{number}"));
        }
        let mut spoil = Spoil::new(fields, &self.missing, &all);
        texts.insert("pages/words.md".to_owned(), self.lesson("pages/words.md", 0, &mut spoil)?);
        let mut drawing = self.texts["drawing.svg"].clone();
        drawing = drawing
            .replace("STRING", &all.concat().replace('&', "&amp;").replace('<', "&lt;").replace('\0', ""));
        texts.insert("drawing.svg".to_owned(), drawing);
        for file in FILES {
            // Names of the first entries stay as they are, since others refer to them.
            let own = if file == "course" { fields } else { &nothing };
            let mut whole = self.file(file, &mut Spoil::new(own, &self.missing, &all))?;
            for (number, strings) in groups.iter().enumerate().filter(|_| file != "course") {
                let more = self.file(file, &mut Spoil::new(fields, &self.missing, strings))?;
                add_entries(&mut whole, more, number);
            }
            if let Some(Value::Array(modules)) = whole.get_mut("module") {
                let lessons = addresses.iter().cloned().map(Value::String).collect();
                modules[0]
                    .as_table_mut()
                    .context("a table")?
                    .insert("lessons".to_owned(), Value::Array(lessons));
            }
            texts.insert(format!("{file}.toml"), toml::to_string(&whole)?);
        }
        Ok(sources(texts))
    }

    /// One lesson for each of these fields, in which it alone is hostile; files in which all of them are.
    pub fn one_by_one(&self, fields: &BTreeSet<Field>, strings: &[String]) -> Result<SourceSet> {
        let mut texts = self.around()?;
        for (number, field) in fields.iter().filter(|field| self.is_block(field)).enumerate() {
            let chosen = BTreeSet::from([field.clone()]);
            let text = self.lesson("lesson.md", number, &mut Spoil::new(&chosen, &self.missing, strings))?;
            texts.insert(format!("{}-bench-{number}.md", number + 100), text);
        }
        for file in FILES {
            let whole = self.file(file, &mut Spoil::new(fields, &self.missing, strings))?;
            texts.insert(format!("{file}.toml"), toml::to_string(&whole)?);
        }
        Ok(sources(texts))
    }

    /// Does it stand in a block, and not in a file of its own?
    fn is_block(&self, field: &Field) -> bool {
        !FILES.contains(&field.schema.as_str())
    }

    fn around(&self) -> Result<BTreeMap<String, String>> {
        let own = ["drawing.svg", "trace.csv", "pages/words.md"];
        let mut texts: BTreeMap<String, String> =
            own.map(|path| (path.to_owned(), self.texts[path].clone())).into();
        texts.insert("10-first.md".to_owned(), self.texts["first.md"].clone());
        Ok(texts)
    }

    fn file(&self, file: &str, spoil: &mut Spoil) -> Result<Table> {
        let mut table: Table = toml::from_str(&self.texts[&format!("{file}.toml")])?;
        let schema = &self.schemas[file];
        spoil.table(schema, "", &schema.json, &mut table);
        Ok(table)
    }

    fn lesson(&self, path: &str, number: usize, spoil: &mut Spoil) -> Result<String> {
        const FENCE: &str = "~~~~~~~~~~";
        let text = self.texts[path].replace("NUMBER", &number.to_string());
        let mut out = String::new();
        for (at, part) in text.split("```").enumerate() {
            if at % 2 == 0 {
                out.push_str(part);
                continue;
            }
            let (word, body) = part.split_once('\n').context("a block")?;
            let mut table: Table = toml::from_str(body).with_context(|| format!("{path}: {word}"))?;
            let schema = self.schemas.get(word).with_context(|| format!("no schema {word}"))?;
            spoil.table(schema, "", &schema.json, &mut table);
            out.push_str(&format!("{FENCE}{word}\n{}{FENCE}", toml::to_string(&table)?));
        }
        Ok(out)
    }
}

/// Adds the entries of a file's lists once more, under names of their own.
fn add_entries(whole: &mut Table, more: Table, number: usize) {
    for (key, list) in more {
        let (Some(Value::Array(all)), Value::Array(mut list)) = (whole.get_mut(&key), list) else { continue };
        for entry in list.iter_mut().filter_map(Value::as_table_mut) {
            for name in NAMES {
                if let Some(Value::String(name)) = entry.get_mut(name) {
                    name.push_str(&format!("-{number}"));
                }
            }
            for form in entry.get_mut("also").and_then(Value::as_array_mut).into_iter().flatten() {
                if let Value::String(form) = form {
                    form.push_str(&format!("-{number}"));
                }
            }
        }
        all.extend(list);
    }
}

fn sources(texts: BTreeMap<String, String>) -> SourceSet {
    let texts = texts.into_iter().map(|(path, text)| SourceText { path, text }).collect();
    SourceSet { texts, assets: Vec::new() }
}
