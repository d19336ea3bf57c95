//! The schemas of blocks and files say what the readers accept, key by key: they are made from what the readers ask for
//! while they read every case of the suites, the default course and the draft.
//!
//! `UPDATE_EXPECT=1` writes `generator/schemas` anew; the difference is read like code.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use fieldcoil::parse::asked::{Asked, Record, Shape, while_reading};
use fieldcoil::source::{SourceSet, SourceText, load};
use fieldcoil::{draft, parse};
use serde_json::{Map, Value, json};

/// Each schema that the program ships: its file, and the name that findings have for what it describes.
static SCHEMAS: LazyLock<Vec<(&str, String)>> = LazyLock::new(|| {
    let files = draft::SCHEMAS.iter().map(|(file, _)| file.trim_end_matches(".json"));
    let named = files.map(|name| match parse::known_words().any(|word| word == name) {
        true => (name, format!("the `{name}` block")),
        false => (name, format!("`{name}.toml`")),
    });
    named.collect()
});

/// One kind of table: its keys, and those that every one of its readers needed.
#[derive(Default)]
struct Table {
    keys: BTreeMap<&'static str, Vec<Shape>>,
    needed: Option<BTreeSet<&'static str>>,
}

/// The kinds of tables of one block or file, by their names.
type Tables = BTreeMap<&'static str, Table>;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("schemas")
}

/// Every block and file of the suites, the default course and the draft.
fn texts() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut all: Vec<(String, String)> = Vec::new();
    for entry in fs::read_dir(root.join("tests/suite")).expect("the suites are there") {
        let text = fs::read_to_string(entry.expect("readable").path()).expect("text");
        all.extend(files(&text));
    }
    let (sources, _) = load::course(&root.join("../content")).expect("the default course is there");
    all.extend(sources.texts.into_iter().map(|text| (text.path, text.text)));
    all.extend(draft::course("Draft").into_iter().map(|(path, text)| (path.to_owned(), text)));
    all.sort();
    all
}

/// The files of a suite; a lesson without its head is read all the same.
fn files(suite: &str) -> Vec<(String, String)> {
    const MARK: &str = "`````";
    let mut files = Vec::new();
    let mut lines = suite.lines();
    while let Some(line) = lines.next() {
        let Some(words) = line.strip_prefix(MARK) else { continue };
        let body: Vec<&str> = lines.by_ref().take_while(|line| *line != MARK).collect();
        let path = if words == "body" { "10-test.md" } else { words };
        files.push((path.to_owned(), body.join("\n") + "\n"));
    }
    files
}

/// What the readers asked for in every text, each text read by itself.
fn records() -> Vec<Record> {
    texts()
        .into_iter()
        .map(|(path, text)| {
            let sources = SourceSet { texts: vec![SourceText { path, text }], assets: Vec::new() };
            while_reading(|| drop(parse::course(&sources)))
        })
        .collect()
}

/// Tables by the block or file in which they stand: a block's own entries come first, then those of its tables.
fn tables() -> BTreeMap<&'static str, Tables> {
    let mut all: BTreeMap<&'static str, Tables> = BTreeMap::new();
    for record in records() {
        let mut top = "";
        let mut open: BTreeMap<(&'static str, usize), Table> = BTreeMap::new();
        for (what, at, asked) in record {
            if SCHEMAS.iter().any(|(_, name)| name == what) {
                top = what;
            }
            let table = open.entry((what, at)).or_default();
            match asked {
                Asked::Key(key, shape) => {
                    let shapes = table.keys.entry(key).or_default();
                    if !shapes.contains(&shape) {
                        shapes.push(shape);
                    }
                }
                Asked::Needed(key) => {
                    table.needed.get_or_insert_default().insert(key);
                }
                Asked::Finished => {
                    let table = open.remove(&(what, at)).expect("it was open");
                    let whole = all.entry(top).or_default().entry(what).or_default();
                    for (key, shapes) in table.keys {
                        let known = whole.keys.entry(key).or_default();
                        known.extend(
                            shapes.into_iter().filter(|shape| !known.contains(shape)).collect::<Vec<_>>(),
                        );
                    }
                    let needed = table.needed.unwrap_or_default();
                    whole.needed = Some(match whole.needed.take() {
                        None => needed,
                        Some(before) => before.intersection(&needed).copied().collect(),
                    });
                }
            }
        }
    }
    all
}

fn schema(name: &str, tables: &Tables) -> Value {
    let title = name.replace('`', "");
    let mut schema = Map::new();
    schema.insert("$schema".to_owned(), json!("https://json-schema.org/draft/2020-12/schema"));
    schema.insert("title".to_owned(), json!(format!("Fieldcoil: {title}")));
    schema.extend(object(&tables[name]));
    let inner: Map<String, Value> = tables
        .iter()
        .filter(|(what, _)| **what != name)
        .map(|(what, table)| (definition(what), Value::Object(object(table))))
        .collect();
    if !inner.is_empty() {
        schema.insert("$defs".to_owned(), Value::Object(inner));
    }
    Value::Object(schema)
}

fn object(table: &Table) -> Map<String, Value> {
    let properties: Map<String, Value> =
        table.keys.iter().map(|(key, shapes)| ((*key).to_owned(), value(key, shapes))).collect();
    let mut object = Map::new();
    object.insert("type".to_owned(), json!("object"));
    object.insert("properties".to_owned(), Value::Object(properties));
    if let Some(needed) = table.needed.as_ref().filter(|needed| !needed.is_empty()) {
        object.insert("required".to_owned(), json!(needed));
    }
    object.insert("additionalProperties".to_owned(), json!(false));
    object
}

/// A key may be asked for in several ways: `texts` when it was no text, `number` on the way to `whole`. The widest counts.
fn value(key: &str, shapes: &[Shape]) -> Value {
    let text = json!({ "type": "string", "minLength": 1 });
    let start = json!({ "type": ["number", "string"] });
    let widest = shapes.iter().max_by_key(|shape| width(shape)).expect("it was asked for");
    match widest {
        Shape::Text => text,
        Shape::MaybeEmptyText => json!({ "type": "string" }),
        Shape::Texts => json!({ "type": "array", "items": text }),
        Shape::TextOrTexts => json!({ "anyOf": [text, { "type": "array", "items": text }] }),
        Shape::Number(from, to) => json!({ "type": "number", "minimum": from, "maximum": to }),
        Shape::Whole(from, to) => json!({ "type": "integer", "minimum": from, "maximum": to }),
        Shape::Wholes(from, to) => {
            json!({ "type": "array", "items": { "type": "integer", "minimum": from, "maximum": to } })
        }
        Shape::Decimal => json!({ "type": "number" }),
        Shape::Pair => {
            json!({ "type": "array", "items": { "type": "number" }, "minItems": 2, "maxItems": 2 })
        }
        Shape::Place(from, to) => json!({
            "type": "array", "items": { "type": "integer", "minimum": from, "maximum": to },
            "minItems": 2, "maxItems": 2,
        }),
        Shape::Flag => json!({ "type": "boolean" }),
        // TOML has dates; checkers of schemas see them as text, or as nothing that they know.
        Shape::Date => json!({}),
        Shape::Word(words) => json!({ "enum": words }),
        Shape::Table(what) => json!({ "$ref": format!("#/$defs/{}", definition(what)) }),
        Shape::Tables(what) => {
            json!({ "type": "array", "items": { "$ref": format!("#/$defs/{}", definition(what)) } })
        }
        // The keys are names of fields, so the readers do not know them; what stands behind them hangs on the key.
        Shape::Entries => {
            let values = match key {
                "weeks" => json!({ "type": "integer", "minimum": 1, "maximum": 60 }),
                "uses" => json!({ "type": "string" }),
                "given" => start,
                "start" => json!({ "anyOf": [start, {
                    "type": "object", "properties": { "file": { "type": "string" } },
                    "required": ["file"], "additionalProperties": false,
                }] }),
                "draw" => json!({ "anyOf": [
                    { "type": "array", "items": start, "minItems": 1 },
                    { "$ref": "#/$defs/draw" },
                ] }),
                other => panic!("`{other}` has entries of which the schemas know nothing"),
            };
            json!({ "type": "object", "additionalProperties": values })
        }
    }
}

fn width(shape: &Shape) -> u8 {
    match shape {
        Shape::TextOrTexts | Shape::MaybeEmptyText | Shape::Whole(..) | Shape::Word(_) => 2,
        Shape::Texts => 1,
        _ => 0,
    }
}

/// "this hookup step" as the name of a definition: `hookup-step`.
fn definition(what: &str) -> String {
    let words = what.replace('`', "").replace(['[', ']'], "");
    let words = words.trim_start_matches("this ").trim_start_matches("the ").trim_end_matches(" table");
    words.replace(' ', "-")
}

#[test]
fn the_schemas_are_what_the_readers_ask_for() {
    let tables = tables();
    let rewrite = std::env::var_os("UPDATE_EXPECT").is_some_and(|value| value == "1");
    let mut differing = Vec::new();
    for (file, name) in SCHEMAS.iter() {
        let text = serde_json::to_string_pretty(&schema(name, &tables[name.as_str()])).expect("JSON") + "\n";
        let path = folder().join(format!("{file}.json"));
        if fs::read_to_string(&path).unwrap_or_default() != text {
            differing.push(file);
            if rewrite {
                fs::write(&path, text).expect("writable");
            }
        }
    }
    assert!(rewrite || differing.is_empty(), "{differing:?} differ: UPDATE_EXPECT=1 writes them anew");
}

#[test]
fn every_block_and_every_file_has_a_schema_and_the_program_ships_it() {
    for word in parse::known_words() {
        assert!(SCHEMAS.iter().any(|(name, _)| *name == word), "no schema for the block `{word}`");
    }
    let in_folder = fs::read_dir(folder()).expect("the schemas are there").count();
    assert_eq!(in_folder, SCHEMAS.len(), "a schema that the program does not ship");
    let tables = tables();
    assert_eq!(tables.len(), SCHEMAS.len(), "{:?}", tables.keys());
}
