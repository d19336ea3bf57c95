//! placeholder while the interface settles
use crate::calculator::Calculator;
use crate::report::Report;

/// Placeholder.
pub static CALCULATOR: Calculator = Calculator {
    name: "expected-draw",
    title: "expected-draw",
    summary: "s",
    fields: &[],
    outputs: &[],
    function: |i| Ok(Report::of(i)),
};
