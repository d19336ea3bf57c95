//! The course's own fenced blocks: an info word and a body of TOML.

mod calculator;
mod caution;
mod circuit;
mod homework;
pub mod hookup;
mod lesson;
mod library;
mod page;
mod selfcheck;
mod start;
mod trace;
mod worksheet;

pub use lesson::Head;

use super::anchor::Anchors;
use super::keys::Body;
use crate::course::Piece;
use crate::finding::Finding;
use crate::finding::nearest::distance;
use crate::source::Span;

/// A fenced block as it stands in a lesson.
#[derive(Debug, Clone, Copy)]
pub struct Block<'s> {
    /// Its TOML.
    pub body: Body<'s>,
    /// Its first line, where missing keys are shown.
    pub fence: Span,
}

/// What an info word means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Word {
    /// A block of this program.
    Known(Name),
    /// Nearly the word of a block.
    Mistyped(&'static str),
    /// A code listing.
    Listing,
}

/// The blocks that can be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Name {
    /// What a lesson says of itself.
    Lesson,
    /// What a page that is no lesson says of itself.
    Page,
    /// A safety note.
    Caution,
    /// A hookup-order checklist.
    Hookup,
    /// A wiring diagram.
    Circuit,
    /// A calculator.
    Calculator,
    /// A problem with drawn numbers.
    Homework,
    /// Questions that answer at once.
    Selfcheck,
    /// A recorded current.
    Trace,
    /// A sheet for readings.
    Worksheet,
    /// A table that the program makes.
    Library,
}

const KNOWN: &[(&str, Name)] = &[
    ("lesson", Name::Lesson),
    ("page", Name::Page),
    ("caution", Name::Caution),
    ("hookup", Name::Hookup),
    ("circuit", Name::Circuit),
    ("calculator", Name::Calculator),
    ("homework", Name::Homework),
    ("selfcheck", Name::Selfcheck),
    ("trace", Name::Trace),
    ("worksheet", Name::Worksheet),
    ("library", Name::Library),
];

/// The names of all blocks that can be read.
pub fn known_words() -> impl Iterator<Item = &'static str> {
    KNOWN.iter().map(|(word, _)| *word)
}

/// What this info word means.
pub fn word(info: &str) -> Word {
    if let Some((_, name)) = KNOWN.iter().find(|(word, _)| *word == info) {
        return Word::Known(*name);
    }
    // A safety note that is shown as a listing because of a slip would go unseen. Longer words may have two slips;
    // shorter ones one, for `less` is a language.
    let near = |word: &&'static str| distance(word, info) <= if word.len() >= 8 { 2 } else { 1 };
    match known_words().find(near) {
        Some(word) => Word::Mistyped(word),
        None => Word::Listing,
    }
}

/// Reads a block that becomes a piece of the lesson; nothing when what is missing leaves nothing to show.
pub fn piece<'s>(
    name: Name,
    block: Block,
    anchors: &mut Anchors,
    found: &mut Vec<Finding>,
) -> Option<Piece<'s>> {
    match name {
        Name::Lesson | Name::Page => None,
        Name::Library => library::read(block, found).map(Piece::Library),
        Name::Caution => caution::read(block, found).map(Piece::Caution),
        Name::Hookup => Some(Piece::Hookup(hookup::read(block, anchors.of_block("hookup"), found))),
        Name::Circuit => {
            Some(Piece::Circuit(Box::new(circuit::read(block, anchors.of_block("circuit"), found))))
        }
        Name::Calculator => calculator::read(block, anchors, found).map(Piece::Calculator),
        Name::Homework => {
            Some(Piece::Homework(Box::new(homework::read(block, anchors.of_block("homework"), found))))
        }
        Name::Selfcheck => {
            Some(Piece::Selfcheck(selfcheck::read(block, anchors.of_block("selfcheck"), found)))
        }
        Name::Trace => trace::read(block, anchors.of_block("trace"), found).map(Piece::Trace),
        Name::Worksheet => {
            Some(Piece::Worksheet(worksheet::read(block, anchors.of_block("worksheet"), found)))
        }
    }
}

/// Reads the block at the top of a lesson, or of a page that is none.
pub fn head(name: Name, block: Block, found: &mut Vec<Finding>) -> Head {
    match name {
        Name::Page => page::read(block, found),
        _ => lesson::read(block, found),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_with_a_slip_are_no_listings() {
        for (info, meaning) in [
            ("caution", Word::Known(Name::Caution)),
            ("Caution", Word::Mistyped("caution")),
            ("cuation", Word::Mistyped("caution")),
            ("hookups", Word::Mistyped("hookup")),
            ("calclator", Word::Mistyped("calculator")),
            ("circuit", Word::Known(Name::Circuit)),
            ("trace", Word::Known(Name::Trace)),
            ("less", Word::Listing),
            ("rust", Word::Listing),
            ("", Word::Listing),
            ("text", Word::Listing),
        ] {
            assert_eq!(word(info), meaning, "{info}");
        }
    }
}
