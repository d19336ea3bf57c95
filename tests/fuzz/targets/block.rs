//! Any text as the inside of a block, or as a file beside the lessons.
#![no_main]

use libfuzzer_sys::fuzz_target;

#[path = "../../../generator/tests/support/answered.rs"]
mod answered;
#[path = "../../../generator/tests/support/made_up.rs"]
#[allow(dead_code, reason = "other targets use the rest")]
mod made_up;

fuzz_target!(|text: &str| {
    answered::check(&made_up::block(text));
});
