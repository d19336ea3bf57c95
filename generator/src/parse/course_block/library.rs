//! `library`: a table that the program makes from what it knows.

use super::Block;
use crate::course::{Library, Show};
use crate::finding::Finding;

/// Reads the block; nothing when no table has the name.
pub fn read(block: Block, found: &mut Vec<Finding>) -> Option<Library> {
    block.body.read("the `library` block", block.fence, found, |keys, found| {
        let show = keys.needed_word("show", Show::ALL.into_iter(), found)?;
        Some(Library { show, span: block.fence })
    })
}
