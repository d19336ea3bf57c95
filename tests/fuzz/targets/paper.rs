//! Any bytes as a table of paper work.
#![no_main]

use fieldcoil::grade::paper;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let (rows, complaints) = paper::read("x.csv", bytes);
    assert!(rows.iter().all(|row| row.line > 0));
    assert!(complaints.iter().all(|complaint| !complaint.help.is_empty()));
});
