//! The commands. Each reads what it needs, calls the pipeline and prints.

pub mod draft;
pub mod grade;
pub mod handouts;
pub mod preview;
pub mod proof;
pub mod site;
pub mod work;

use std::io::{self, IsTerminal, Write};

use crate::finding::{Finding, Severity, render};
use crate::source::SourceSet;

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// As wished.
    Fine,
    /// The content has errors.
    Errors,
    /// The call was wrong.
    BadCall,
}

impl Outcome {
    /// The exit status.
    pub fn status(self) -> u8 {
        match self {
            Outcome::Fine => 0,
            Outcome::Errors => 1,
            Outcome::BadCall => 2,
        }
    }
}

/// Says why a command could not be carried out.
pub fn complain(error: &anyhow::Error) {
    // A reader that closed the pipe has seen enough, and there is nobody left to tell.
    let closed = error.chain().any(|cause| {
        cause.downcast_ref::<io::Error>().is_some_and(|error| error.kind() == io::ErrorKind::BrokenPipe)
    });
    if !closed {
        let _ = writeln!(anstream::stderr(), "fieldcoil: {error:#}");
    }
}

/// Findings as a command tells them that makes something: hints are for who writes, and `proof` shows them.
fn write_told(out: &mut impl Write, found: &[Finding], sources: &SourceSet, folder: &str) -> io::Result<()> {
    let told: Vec<Finding> =
        found.iter().filter(|finding| finding.severity != Severity::Hint).cloned().collect();
    write_findings(out, styled_errors(), &told, sources, folder)
}

/// Findings for people, an empty line after each, and how many there are.
fn write_findings(
    out: &mut impl Write,
    styled: bool,
    found: &[Finding],
    sources: &SourceSet,
    folder: &str,
) -> io::Result<()> {
    for finding in found {
        writeln!(out, "{}\n", render::for_people(finding, sources, folder, styled))?;
    }
    Ok(())
}

/// Are colours wanted on the error output?
fn styled_errors() -> bool {
    io::stderr().is_terminal() && colours_allowed()
}

/// Are colours wanted on the output?
fn styled_output() -> bool {
    io::stdout().is_terminal() && colours_allowed()
}

fn colours_allowed() -> bool {
    // <https://no-color.org>: set and not empty means no.
    std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
}
