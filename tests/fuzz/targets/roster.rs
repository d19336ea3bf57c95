//! Any text as a roster: what is read is written and read again as the same class.
#![no_main]

use fieldcoil::roster;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let (class, _) = roster::read("x.csv", text);
    let (again, complaints) = roster::read("x.csv", &roster::write(&class));
    assert!(complaints.is_empty(), "{complaints:?}");
    let who = |class: &roster::Roster| {
        class.students.iter().map(|one| (one.code, one.name.clone(), one.group.clone())).collect::<Vec<_>>()
    };
    // A student of whom nothing is known is an empty row, and no row of a roster.
    let known: Vec<_> = who(&class).into_iter().filter(|one| *one != (None, String::new(), String::new())).collect();
    assert_eq!(known, who(&again));
});
