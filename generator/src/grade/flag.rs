//! What the instructor should look at: nothing here takes points off by itself.

/// A flag.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Flag {
    /// The code it is about, as the roster or the file writes it; empty when a whole file is meant.
    pub code: String,
    /// The lesson; empty when none is meant.
    pub lesson: String,
    /// Of which kind.
    pub kind: FlagKind,
    /// What was found, a sentence.
    pub says: String,
    /// The file it came from; empty when there is none.
    pub file: String,
}

/// Declares the kinds with the words that tables use for them.
macro_rules! kinds {
    ($($(#[$doc:meta])* $name:ident = $word:literal;)*) => {
        /// Of which kind a flag is.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum FlagKind { $($(#[$doc])* $name,)* }

        impl FlagKind {
            /// Every one, in order.
            pub const ALL: &[FlagKind] = &[$(FlagKind::$name,)*];

            /// The word in tables.
            pub fn word(self) -> &'static str {
                match self { $(FlagKind::$name => $word,)* }
            }
        }
    };
}

kinds! {
    /// A file or a row of it cannot be read.
    Unreadable = "unreadable-file";
    /// A file was not looked at, such as a link out of the folder.
    LeftOut = "left-out";
    /// The code is not on the roster.
    UnknownCode = "unknown-code";
    /// Handed in for another course.
    OtherCourse = "other-course";
    /// For another edition of the course.
    OtherEdition = "other-edition";
    /// For another term.
    OtherTerm = "other-term";
    /// With numbers drawn by another key.
    OtherKey = "other-key";
    /// With numbers drawn by another version of the rule.
    OtherDraw = "other-draw";
    /// For a lesson that the course has not, or that was not asked for.
    UnknownLesson = "unknown-lesson";
    /// It names a problem, a sheet, a reading or a list that the lesson has not.
    UnknownItem = "unknown-item";
    /// Nothing was handed in.
    Missing = "missing";
    /// Handed in more than once.
    Duplicate = "duplicate";
    /// On paper and in a file, and not the same.
    PaperAndFile = "paper-and-file";
    /// Handed in before it was begun, or by no clock.
    Times = "times";
    /// Right for the numbers of somebody else.
    OthersNumbers = "others-numbers";
    /// Readings that cannot be true.
    Impossible = "impossible-reading";
    /// A reading that is no number with its unit.
    NoReading = "no-reading";
    /// Points by hand that the problem does not have.
    Points = "points";
}

impl Flag {
    /// A flag about a student's work.
    pub fn of(code: impl Into<String>, lesson: &str, kind: FlagKind, says: impl Into<String>) -> Self {
        Flag { code: code.into(), lesson: lesson.to_owned(), kind, says: says.into(), file: String::new() }
    }

    /// The same with its file.
    pub fn in_file(self, file: &str) -> Self {
        Flag { file: file.to_owned(), ..self }
    }
}
