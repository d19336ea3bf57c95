//! What a calculation starts with: values of its fields, files for its texts, and the name by which texts refer to it.

use toml::de::DeValue;

use crate::course::{LIMITS, StartValue};
use crate::finding::{Finding, shown};
use crate::parse::keys::{Keys, number_of};
use crate::parse::school_rule::is_kebab_case;
use crate::source::Spanned;

/// Starting values and starting files, each with its field.
#[derive(Debug, Default)]
pub struct Start {
    pub values: Vec<(Spanned<String>, Spanned<StartValue>)>,
    pub files: Vec<(Spanned<String>, Spanned<String>)>,
}

/// Reads the table `start`.
pub fn start(keys: &mut Keys, found: &mut Vec<Finding>) -> Start {
    let mut start = Start::default();
    for (field, (value, span)) in keys.entries("start", found) {
        if let Some(file) = file_of(value) {
            start.files.push((field, Spanned::new(file, span)));
            continue;
        }
        let value = match value {
            DeValue::String(text) => Some(StartValue::Text(text.to_string())),
            other => number_of(other).map(StartValue::Number),
        };
        match value {
            Some(value) => start.values.push((field, Spanned::new(value, span))),
            None => {
                let message = format!(
                    "the starting value of `{}` is neither a number nor text nor a file",
                    field.value
                );
                found.push(
                    Finding::error("wrong-type", message, span, "of the wrong kind").help(
                        "write a number in the unit of the field's name, or text with a unit: \"6 ft\", or { file = \"traces/run.csv\" }",
                    ),
                );
            }
        }
    }
    start
}

/// The name in `{ file = "…" }`.
fn file_of(value: &DeValue) -> Option<String> {
    let DeValue::Table(table) = value else { return None };
    let mut entries = table.iter();
    match (entries.next(), entries.next()) {
        (Some((key, value)), None) if key.get_ref() == "file" => match value.get_ref() {
            DeValue::String(name) => Some(name.to_string()),
            _ => None,
        },
        _ => None,
    }
}

/// Reads the key `name`, by which texts refer to the calculation.
pub fn name(keys: &mut Keys, found: &mut Vec<Finding>) -> Option<Spanned<String>> {
    let name = keys.text("name", found)?;
    if !is_kebab_case(&name.value) || name.value == LIMITS {
        let message = format!("`{}` cannot be the name of a calculator", shown(&name.value));
        found.push(
            Finding::error("run-name", message, name.span, "small letters, figures and hyphens are wanted")
                .help("write such as \"run\" or \"cold-start\"; references in the text use it"),
        );
    }
    Some(name)
}
