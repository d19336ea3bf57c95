//! A recorded current: a file of the course with what it is.

use fieldcoil_calc::input::Inputs;
use fieldcoil_calc::recording::Recording;

use super::StartValue;
use crate::source::{Span, Spanned};

/// A recording that a lesson shows as a chart and gives to its reader.
#[derive(Debug, Clone)]
pub struct Trace {
    /// Anchor: `trace-1`.
    pub id: String,
    /// The name by which texts refer to what `trace-reading` finds in it.
    pub name: Option<Spanned<String>>,
    /// What it is of.
    pub title: String,
    /// What is to be seen in it, or nothing.
    pub text: String,
    /// The file as the lesson names it.
    pub file: Spanned<String>,
    /// Where its numbers come from.
    pub made: Made,
    /// What else `trace-reading` is told: an engine's cylinders, a settled stretch.
    pub start: Vec<(Spanned<String>, Spanned<StartValue>)>,
    /// Filled in by the resolve stage; nothing when the file is missing or cannot be read, which is a finding.
    pub bound: Option<BoundTrace>,
    /// Where it stands.
    pub span: Span,
}

/// A recording that was found and read.
#[derive(Debug, Clone)]
pub struct BoundTrace {
    /// Its rows.
    pub recording: Recording,
    /// What `trace-reading` is given.
    pub inputs: Inputs,
    /// The file's address, relative to the lesson's page.
    pub address: String,
}

/// Where the numbers of a recording come from: nobody shall take a simulation for a motor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Made {
    /// By a program, from stated numbers.
    Simulated,
    /// By a clamp and a recorder.
    Recorded,
}
