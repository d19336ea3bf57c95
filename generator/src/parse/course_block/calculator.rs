//! `calculator`: a calculator placed in a lesson. Its names are bound by the resolve stage.

use toml::de::DeValue;

use super::Block;
use crate::course::{CalculatorBlock, StartValue};
use crate::finding::Finding;
use crate::parse::anchor::{Anchors, slug};
use crate::parse::keys::{Keys, number_of};
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
    let name = keys.needed_text("use", found);
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
    if name.value.is_empty() {
        return None;
    }
    let id = id(&name.value);
    Some(CalculatorBlock { id, name, title, start, locked, bound: None, span: block.fence })
}
