//! `page`: what a page that is no lesson says of itself.

use super::{Block, Head};
use crate::course::Role;
use crate::finding::Finding;

/// Whom a page is for, when not for everybody.
const READERS: [(&str, ()); 1] = [("instructor", ())];

/// Reads the block.
pub fn read(block: Block, found: &mut Vec<Finding>) -> Head {
    block.body.read("the `page` block", block.fence, found, |keys, found| Head {
        title: keys.needed_text("title", found).value,
        summary: keys.needed_text("summary", found).value,
        role: Role::Page { instructor: keys.word("for", READERS.into_iter(), found).is_some() },
        ..Head::empty(Role::Page { instructor: false }, block.fence)
    })
}
