//! The list of calculators; its order is the order on the site.

use crate::calculator::{
    Calculator, bench_verdict, cranking_speed, expected_draw, solenoid_coils, source_load, trace_reading,
    voltage_drop, winding_temperature,
};

/// Every calculator.
pub static CATALOG: &[&Calculator] = &[
    &voltage_drop::CALCULATOR,
    &expected_draw::CALCULATOR,
    &bench_verdict::CALCULATOR,
    &source_load::CALCULATOR,
    &winding_temperature::CALCULATOR,
    &solenoid_coils::CALCULATOR,
    &cranking_speed::CALCULATOR,
    &trace_reading::CALCULATOR,
];

/// The calculator of this name.
pub fn find(name: &str) -> Option<&'static Calculator> {
    CATALOG.iter().copied().find(|calculator| calculator.name == name)
}
