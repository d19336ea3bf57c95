//! `calculator`: a calculator placed in a lesson. Its names are bound by the resolve stage.

use super::{Block, start};
use crate::course::CalculatorBlock;
use crate::finding::Finding;
use crate::parse::anchor::{Anchors, slug};
use crate::parse::keys::Keys;

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
    let name = start::name(keys, found);
    let title = keys.text("title", found).map(|title| title.value);
    let locked = keys.texts("locked", found);
    let start = start::start(keys, found);
    if calculator.value.is_empty() {
        return None;
    }
    Some(CalculatorBlock {
        id: id(&calculator.value),
        calculator,
        name,
        title,
        start: start.values,
        start_files: start.files,
        locked,
        bound: None,
        sources: Vec::new(),
        span: block.fence,
    })
}
