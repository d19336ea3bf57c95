//! Any bytes as a circuit that is spelt right: symbols are placed, wires led, and what flows is worked out.
#![no_main]

use libfuzzer_sys::fuzz_target;

#[path = "../../../generator/tests/support/answered.rs"]
mod answered;
#[path = "../../../generator/tests/support/made_up.rs"]
#[allow(dead_code, reason = "other targets use the rest")]
mod made_up;

fuzz_target!(|bytes: &[u8]| {
    answered::check(&made_up::circuit(bytes));
});
