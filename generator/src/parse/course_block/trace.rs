//! `trace`: a recorded or simulated current beside the lesson.

use super::{Block, start};
use crate::course::{Made, Trace};
use crate::finding::Finding;

/// The words for where numbers come from.
const MADE: [(&str, Made); 2] = [("simulated", Made::Simulated), ("recorded", Made::Recorded)];

/// Reads the block; without a file or its origin there is nothing honest to show.
pub fn read(block: Block, id: String, found: &mut Vec<Finding>) -> Option<Trace> {
    block.body.read("the `trace` block", block.fence, found, |keys, found| {
        let name = start::name(keys, found);
        let title = keys.needed_text("title", found).value;
        let file = keys.needed_text("file", found);
        let made = keys.needed_word("made", MADE.into_iter(), found);
        let text = keys.text("text", found).map_or_else(String::new, |text| text.value);
        let start = start::start(keys, found).values;
        let made = made?.value;
        (!file.value.is_empty()).then_some(Trace {
            id,
            name,
            title,
            text,
            file,
            made,
            start,
            bound: None,
            span: block.fence,
        })
    })
}
