//! What readers of TOML ask for, written down while they read: the schemas in `generator/schemas` are made of it, so they
//! say what the readers accept and nothing else.
//!
//! Nothing is written down unless somebody asks for it with [`while_reading`].

use std::cell::RefCell;

/// The kind of a value.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Text.
    Text,
    /// Text that may be empty.
    MaybeEmptyText,
    /// A list of texts.
    Texts,
    /// One text or a list.
    TextOrTexts,
    /// A number between two bounds.
    Number(f64, f64),
    /// A whole number between two bounds.
    Whole(u32, u32),
    /// A list of them.
    Wholes(u32, u32),
    /// A number as it is written.
    Decimal,
    /// Two numbers.
    Pair,
    /// Two whole numbers between two bounds.
    Place(i32, i32),
    /// Yes or no.
    Flag,
    /// A date.
    Date,
    /// One of these words.
    Word(Vec<&'static str>),
    /// A table of this name.
    Table(&'static str),
    /// A list of tables of this name.
    Tables(&'static str),
    /// A table whose keys are names of fields or lessons.
    Entries,
}

/// Something that a reader did.
#[derive(Debug, Clone, PartialEq)]
pub enum Asked {
    /// It asked for a key of this kind.
    Key(&'static str, Shape),
    /// It said that the key has to be there.
    Needed(&'static str),
    /// It was done with the table.
    Finished,
}

/// What was done in which table: its name in findings, and the byte where it stands.
pub type Record = Vec<(&'static str, usize, Asked)>;

thread_local! {
    static RECORD: RefCell<Option<Record>> = const { RefCell::new(None) };
}

/// Everything that readers ask for while `read` runs on this thread.
pub fn while_reading(read: impl FnOnce()) -> Record {
    RECORD.with(|record| *record.borrow_mut() = Some(Record::new()));
    read();
    RECORD.with(|record| record.borrow_mut().take()).unwrap_or_default()
}

/// Writes down, if anybody wants it.
pub(super) fn note(what: &'static str, at: usize, asked: impl FnOnce() -> Asked) {
    RECORD.with(|record| {
        if let Some(record) = record.borrow_mut().as_mut() {
            record.push((what, at, asked()));
        }
    });
}
