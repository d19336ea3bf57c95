//! `calculator`: a calculator placed in a lesson. Its names are bound by the resolve stage.

use toml::de::DeValue;

use super::Block;
use crate::course::{CalculatorBlock, LIMITS, StartValue};
use crate::finding::{Finding, shown};
use crate::parse::anchor::{Anchors, slug};
use crate::parse::keys::{Keys, number_of};
use crate::parse::school_rule::is_kebab_case;
use crate::source::Spanned;

/// Reads the block; without a calculator's name there is nothing to place.
pub fn read(block: Block, anchors: &mut Anchors, found: &mut Vec<Finding>) -> Option<CalculatorBlock> {
    let id = |name: &str| anchors.of_block(&slug(name));
    block
        .body
        .read("the `calculator` block", block.fence, found, |keys, found| calculator(keys, block, id, found))
}

fn calculator(
    keys: &mut Keys,
    block: Block,
    id: impl FnOnce(&str) -> String,
    found: &mut Vec<Finding>,
) -> Option<CalculatorBlock> {
    let calculator = keys.needed_text("use", found);
    let name = keys.text("name", found).inspect(|name| check_name(name, found));
    let title = keys.text("title", found).map(|title| title.value);
    let locked = keys.texts("locked", found);
    let mut start = Vec::new();
    for (field, (value, span)) in keys.entries("start", found) {
        let value = match value {
            DeValue::String(text) => Some(StartValue::Text(text.to_string())),
            other => number_of(other).map(StartValue::Number),
        };
        match value {
            Some(value) => start.push((field, Spanned::new(value, span))),
            None => {
                let message = format!("the starting value of `{}` is neither a number nor text", field.value);
                found.push(
                    Finding::error("wrong-type", message, span, "of the wrong kind").help(
                        "write a number in the unit of the field's name, or text with a unit: \"6 ft\"",
                    ),
                );
            }
        }
    }
    if calculator.value.is_empty() {
        return None;
    }
    let id = id(&calculator.value);
    Some(CalculatorBlock {
        id,
        calculator,
        name,
        title,
        start,
        locked,
        bound: None,
        sources: Vec::new(),
        span: block.fence,
    })
}

fn check_name(name: &Spanned<String>, found: &mut Vec<Finding>) {
    if is_kebab_case(&name.value) && name.value != LIMITS {
        return;
    }
    let message = format!("`{}` cannot be the name of a calculator", shown(&name.value));
    found.push(
        Finding::error("run-name", message, name.span, "small letters, figures and hyphens are wanted")
            .help("write such as \"run\" or \"cold-start\"; references in the text use it"),
    );
}
