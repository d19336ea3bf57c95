//! What the marks of terminals mean.

use super::table as view;
use crate::render::view::TableView;
use crate::render::words::Words;

/// A terminal: by its number, by its letter, what it is, when it is live.
type Mark = (&'static str, &'static str, &'static str, &'static str);

/// The numbers are those of DIN 72552 (from memory); letters are what the trade casts into solenoid caps (common
/// practice, no source).
const MARKS: &[Mark] = &[
    (
        "30",
        "B, BAT, +",
        "Battery cable on the solenoid; the feed of a relay's contact",
        "always, until the battery is off",
    ),
    (
        "31",
        "E, GND, −",
        "Return to the battery: the case of the motor, the body",
        "never: it is the other pole",
    ),
    ("45", "M", "From the main contact to the motor's own lead", "while the main contact is closed"),
    ("50", "S", "Start: the feed of both solenoid coils", "while the key or button asks for a start"),
    (
        "–",
        "R, I",
        "A contact that feeds the ignition while the engine is cranked",
        "while the main contact is closed",
    ),
    ("15", "IGN", "Switched by the key", "while the key is on"),
    ("85", "–", "Relay coil, the end of its winding", "as its circuit has it"),
    ("86", "–", "Relay coil, the start of its winding", "as its circuit has it"),
    (
        "87",
        "–",
        "Relay contact, closed while the coil is fed",
        "while the relay is pulled in and its 30 is live",
    ),
    (
        "87a",
        "–",
        "Relay contact, closed while the coil is not fed",
        "while the relay is at rest and its 30 is live",
    ),
];

/// The table.
pub fn table(words: &Words) -> TableView {
    let rows = MARKS
        .iter()
        .map(|(number, letter, what, live)| [number, letter, what, live].map(|&cell| cell.to_owned()).into());
    let mut marks = view(words, "terminals", rows.collect());
    marks.notes = words.list("library.terminals_notes");
    marks
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::course::Part;
    use crate::symbol::SYMBOLS;

    #[test]
    fn every_mark_of_hookups_and_circuits_is_explained() {
        let known = |mark: &str| {
            MARKS
                .iter()
                .any(|(number, letters, ..)| *number == mark || letters.split(", ").any(|own| own == mark))
        };
        let labels = Part::ALL.iter().filter_map(|part| part.label().split_once('(')?.1.split_once(')'));
        let in_hookups = labels.flat_map(|(marks, _)| marks.split(" / "));
        // Terminals that a lesson's author has to name apart (1, 2) carry no mark on the motor.
        let in_circuits = SYMBOLS.iter().flat_map(|symbol| symbol.pins).map(|pin| pin.name);
        let in_circuits =
            in_circuits.filter(|name| name.len() > 1 && name.starts_with(|c: char| c.is_ascii_digit()));
        let mut count = 0;
        for mark in in_hookups.chain(in_circuits) {
            assert!(known(mark), "`{mark}` is not in the table");
            count += 1;
        }
        assert!(count > 10, "{count} marks were looked at");
    }
}
