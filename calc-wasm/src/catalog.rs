//! The list of calculators; its order is the order on the site.

use crate::calculator::{Calculator, bench_verdict, expected_draw, trace_reading, voltage_drop};

/// Every calculator.
pub static CATALOG: &[&Calculator] = &[
    &voltage_drop::CALCULATOR,
    &expected_draw::CALCULATOR,
    &bench_verdict::CALCULATOR,
    &trace_reading::CALCULATOR,
];

/// The calculator of this name.
pub fn find(name: &str) -> Option<&'static Calculator> {
    CATALOG.iter().copied().find(|calculator| calculator.name == name)
}
