//! `lesson`: what a lesson says of itself.

use super::Block;
use crate::course::Role;
use crate::finding::Finding;
use crate::source::{Span, Spanned};

/// The block at the top of a lesson or a page.
#[derive(Debug)]
pub struct Head {
    pub role: Role,
    pub title: String,
    pub summary: String,
    pub minutes: u32,
    pub outcomes: Vec<String>,
    pub teaches: Vec<Spanned<String>>,
    pub before: Vec<Spanned<String>>,
    pub author: Option<String>,
    pub span: Span,
}

impl Head {
    /// In place of a block that is missing.
    pub fn empty(role: Role, span: Span) -> Self {
        Head {
            role,
            title: String::new(),
            summary: String::new(),
            minutes: 0,
            outcomes: Vec::new(),
            teaches: Vec::new(),
            before: Vec::new(),
            author: None,
            span,
        }
    }
}

/// Reads the block.
pub fn read(block: Block, found: &mut Vec<Finding>) -> Head {
    block.body.read("the `lesson` block", block.fence, found, |keys, found| Head {
        role: Role::Lesson,
        title: keys.needed_text("title", found).value,
        summary: keys.needed_text("summary", found).value,
        minutes: keys.needed_whole("minutes", (1, 6000), found),
        outcomes: keys.texts("outcomes", found).into_iter().map(|outcome| outcome.value).collect(),
        teaches: keys.text_or_texts("teaches", found),
        before: keys.texts("before", found),
        author: keys.text("author", found).map(|author| author.value),
        span: block.fence,
    })
}
