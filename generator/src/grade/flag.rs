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
    ($($(#[$doc:meta])* $name:ident = $word:literal, $to_do:literal;)*) => {
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

            /// What the instructor does about it.
            pub fn to_do(self) -> &'static str {
                match self { $(FlagKind::$name => $to_do,)* }
            }
        }
    };
}

kinds! {
    /// A file or a row of it cannot be read.
    Unreadable = "unreadable-file",
        "Have it handed in again from the page, or type it off into a table; in a table of yours, mend the line.";
    /// A file was not looked at, such as a link out of the folder.
    LeftOut = "left-out",
        "Put the file itself into the folder and grade again.";
    /// The code is not on the roster.
    UnknownCode = "unknown-code",
        "Ask whose it is, and have it handed in again with the right code. A new student goes on the roster first.";
    /// Handed in for another course.
    OtherCourse = "other-course",
        "Grade it with that course, or ask for the hand-in of this one.";
    /// For another edition of the course.
    OtherEdition = "other-edition",
        "Look whether the questions are still the same; if not, have it handed in again from the new page.";
    /// For another term.
    OtherTerm = "other-term",
        "Have it handed in again from this term's page.";
    /// With numbers drawn by another key.
    OtherKey = "other-key",
        "The student worked with other numbers: have it handed in again from this term's page.";
    /// With numbers drawn by another version of the rule.
    OtherDraw = "other-draw",
        "The student worked with other numbers: have it handed in again from the page as it is now.";
    /// For a lesson that the course has not, or that was not asked for.
    UnknownLesson = "unknown-lesson",
        "Look whether the lesson was renamed; grade with the course that it was handed in for.";
    /// It names a problem, a sheet, a reading or a list that the lesson has not.
    UnknownItem = "unknown-item",
        "Compare your page with the student's, and type off into a table what shall count.";
    /// Nothing was handed in.
    Missing = "missing",
        "Ask for it.";
    /// Handed in more than once.
    Duplicate = "duplicate",
        "Nothing, if the later one shall count; else take that one out of the folder and grade again.";
    /// On paper and in a file, and not the same.
    PaperAndFile = "paper-and-file",
        "Decide which of the two counts, take the other out and grade again.";
    /// Handed in before it was begun, or by no clock.
    Times = "times",
        "Mostly a clock that is set wrong: ask when it was done.";
    /// Right for the numbers of somebody else.
    OthersNumbers = "others-numbers",
        "Lay both hand-ins side by side, and have both students work it again beside you.";
    /// Readings that cannot be true.
    Impossible = "impossible-reading",
        "Ask how it was read, and have it read again at the bench.";
    /// A reading that is no number with its unit.
    NoReading = "no-reading",
        "Have it read again, with number and unit.";
    /// Points by hand that the problem does not have.
    Points = "points",
        "Mend the points in the table and grade again.";
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
