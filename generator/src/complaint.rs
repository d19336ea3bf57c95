//! What is wrong with a file that is no part of a course: a roster, a hand-in.

use std::fmt::{self, Display, Formatter};

/// Something wrong, with its place and what to do.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Complaint {
    /// The file as it was named.
    pub file: String,
    /// Its line, counted from 1; nothing when the whole file is meant.
    pub line: Option<u64>,
    /// What is wrong, lower case, no full stop.
    pub message: String,
    /// What to do.
    pub help: String,
}

impl Complaint {
    /// A complaint about a whole file.
    pub fn of_file(file: &str, message: impl Into<String>, help: impl Into<String>) -> Self {
        Complaint { file: file.to_owned(), line: None, message: message.into(), help: help.into() }
    }

    /// The same at a line.
    pub fn at(self, line: u64) -> Self {
        Complaint { line: Some(line), ..self }
    }
}

impl Display for Complaint {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "{}:{line}: {}", self.file, self.message)?,
            None => write!(f, "{}: {}", self.file, self.message)?,
        }
        write!(f, "\n  help: {}", self.help)
    }
}
