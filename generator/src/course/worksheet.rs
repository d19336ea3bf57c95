//! A sheet on which readings are written at the bench.

use crate::source::{Span, Spanned};

/// A sheet for readings.
#[derive(Debug, Clone)]
pub struct Worksheet {
    /// Anchor: `worksheet-1`.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Outcomes of the school's list that it practises.
    pub practises: Vec<Spanned<String>>,
    /// Outcomes that its sign-off shows.
    pub assesses: Vec<Spanned<String>>,
    /// Blanks at the top besides name, date and bench place: `Motor number`, `Meter and range`.
    pub blanks: Vec<String>,
    /// The readings, in the order taken.
    pub readings: Vec<WorksheetReading>,
    /// Questions answered in writing.
    pub questions: Vec<Question>,
    /// What the instructor signs: `Hookup checked before power`.
    pub sign_off: Vec<String>,
    /// Where it stands.
    pub span: Span,
}

/// One reading.
#[derive(Debug, Clone)]
pub struct WorksheetReading {
    /// Its name, which a hookup's `read` steps use: `settled_current_a`.
    pub name: Spanned<String>,
    /// What is read.
    pub label: String,
    /// In which unit; empty for words such as the pinion's state.
    pub unit: String,
    /// Smallest value allowed.
    pub minimum: Option<f64>,
    /// Greatest value allowed.
    pub maximum: Option<f64>,
    /// The limit of `limits.toml` that it has; unit, numbers and source are filled in from there by the resolve stage.
    pub limit_from: Option<Spanned<String>>,
    /// The limit in words, when it is no number: `out and back`.
    pub limit: Option<String>,
    /// Where the limit comes from.
    pub source: String,
    /// In which state of the bench it means something.
    pub taken: Taken,
    /// During which stretch of current it is taken, where a hookup has several: `light load`.
    pub during: Option<String>,
    /// Where it stands.
    pub span: Span,
}

/// The state of the bench in which a reading is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Taken {
    /// While current flows.
    #[default]
    Energized,
    /// While current flows, or straight after it: a peak that the meter holds, the seconds, the pinion's way back.
    AfterRelease,
    /// While none flows: a rested voltage, a cold resistance.
    AtRest,
}

/// A question answered in writing.
#[derive(Debug, Clone)]
pub struct Question {
    /// The question.
    pub ask: String,
    /// How many lines to leave.
    pub lines: u32,
}
