//! Reading the list of parts: one part a line, cells parted by `;` or a tab, every fault of every line at once.

use crate::calculator::voltage_drop::run::Run;
use crate::calculator::voltage_drop::size::{size_of, size_words};
use crate::input::{Entry, Inputs};
use crate::measurement::meter::Spread;
use crate::measurement::words;
use crate::number::{NumberProblem, parse, plain, short, split_unit};
use crate::physics::conductor::{Metal, Size};
use crate::quantity::{Metre, Ohm, SquareMillimetre, Volt};
use crate::refusal::{FieldRefusal, Problem, Refusal};
use crate::unit::Quantity;

/// Most parts that one list may have.
const MOST: usize = 20;
/// Most letters of a name, so that tables stay readable.
const LONGEST_NAME: usize = 60;

/// One part of a circuit.
pub(super) struct Part {
    pub(super) name: String,
    /// Size of a cable; nothing for a switch or contact, which has a resistance.
    pub(super) size: Option<Size>,
    /// Resistance of a switch or contact; nothing for a cable.
    pub(super) fixed: Ohm,
    pub(super) length: Metre,
    pub(super) joints: f64,
    /// The drop that a meter showed across it.
    pub(super) measured: Option<Volt>,
    /// How far that reading may be off, in volts.
    pub(super) spread: Option<Spread>,
}

impl Part {
    /// A part of which only the name is known.
    fn empty(name: &str) -> Self {
        Part {
            name: name.to_owned(),
            size: None,
            fixed: Ohm(0.0),
            length: Metre(0.0),
            joints: 0.0,
            measured: None,
            spread: None,
        }
    }
}

/// The parts that were listed. A line without any text is passed over.
pub(super) fn read(inputs: &Inputs, run: &Run) -> Result<Vec<Part>, Refusal> {
    let mut parts: Vec<Part> = Vec::new();
    let mut faults = Vec::new();
    let lines = inputs.text("parts").lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    for (at, line) in lines {
        let mut reader = Line { number: at + 1, run, faults: Vec::new() };
        let part = reader.part(inputs, line);
        if parts.iter().any(|other| other.name == part.name) && !part.name.is_empty() {
            reader.fault("name", &format!("“{}” stands twice; give each part a name of its own.", part.name));
        }
        faults.append(&mut reader.faults);
        parts.push(part);
    }
    if parts.len() > MOST {
        faults.push(format!("there are {} parts; accepted are {MOST} at most.", parts.len()));
    }
    if parts.iter().all(|part| part.fixed.0 + part.length.0 + part.joints == 0.0)
        && !parts.is_empty()
        && faults.is_empty()
    {
        faults.push("no part has a resistance, a length or a joint; list at least one that has.".to_owned());
    }
    if faults.is_empty() {
        return Ok(parts);
    }
    let field = inputs.field("parts");
    let problem = |sentence| FieldRefusal { field, problem: Problem::Contradiction(sentence) };
    Err(Refusal { problems: faults.into_iter().map(problem).collect() })
}

/// What a cell is read as.
struct Wanted {
    cell: &'static str,
    quantity: Quantity,
    most: f64,
    accepted: &'static str,
}

const LENGTH: Wanted = Wanted {
    cell: "length",
    quantity: Quantity::Length,
    most: 100.0,
    accepted: "a length up to 100 m with its unit, as 1.8 m or 6 ft",
};
const RESISTANCE: Wanted = Wanted {
    cell: "resistance",
    quantity: Quantity::Resistance,
    most: 1.0,
    accepted: "a resistance from 0 Ω to 1 Ω, as 0.4 mΩ",
};
const DROP: Wanted = Wanted {
    cell: "measured drop",
    quantity: Quantity::Voltage,
    most: 100.0,
    accepted: "a voltage from 0 V to 100 V with its unit, as 0.21 V, 210 mV or 0.21 ± 0.01 V",
};
const SIZES_ACCEPTED: &str =
    "a size of the list as AWG 2 or 35 mm², an area from 0.2 mm² to 1000 mm², or a resistance as 0.4 mΩ";

struct Line<'a> {
    number: usize,
    run: &'a Run,
    faults: Vec<String>,
}

impl Line<'_> {
    fn fault(&mut self, cell: &str, what: &str) {
        self.faults.push(format!("line {}, {cell}: {what}", self.number));
    }

    /// Reads a line; what could not be read is a fault and stands as nothing.
    fn part(&mut self, inputs: &Inputs, line: &str) -> Part {
        let parting = if line.contains(';') { ';' } else { '\t' };
        let cells: Vec<&str> = line.split(parting).map(str::trim).collect();
        let cell = |at: usize| cells.get(at).copied().unwrap_or_default();
        if cells.iter().skip(5).any(|cell| !cell.is_empty()) {
            self.fault(
                "cells",
                "more than five; accepted are name; size or resistance; length; joints; measured drop. A comma is a decimal mark and parts nothing.",
            );
        }
        let name = cell(0);
        if cells.len() == 1 {
            self.fault(
                "cells",
                "no semicolon; semicolons part the cells, as in Battery to solenoid; AWG 2; 1.8 m. A comma is a decimal mark and parts nothing.",
            );
            return Part::empty(name);
        }
        if name.is_empty() || name.chars().count() > LONGEST_NAME {
            self.fault("name", &format!("accepted are 1 to {LONGEST_NAME} letters."));
        }
        let (size, fixed) = self.conductor(inputs, cell(1));
        let length = match cell(2) {
            "" if size.is_some() => {
                self.fault(LENGTH.cell, &format!("empty; a cable needs {}.", LENGTH.accepted));
                0.0
            }
            "" => 0.0,
            text => self.number(text, &LENGTH),
        };
        let joints = if cell(3).is_empty() { 0.0 } else { self.joints(cell(3)) };
        let mut part = Part { size, fixed: Ohm(fixed), length: Metre(length), joints, ..Part::empty(name) };
        if !cell(4).is_empty() {
            let (measured, spread) = self.reading(cell(4));
            (part.measured, part.spread) = (Some(Volt(measured)), spread);
        }
        part
    }

    /// Reads `0.21 V`, `0.21 ± 0.01 V`, `0.21 V ± (0.5 % + 2)`.
    fn reading(&mut self, text: &str) -> (f64, Option<Spread>) {
        let Some((reading, part)) = text.split_once('±').or_else(|| text.split_once("+-")) else {
            return (self.number(text, &DROP), None);
        };
        let (number, own) = split_unit(reading);
        let (part, after) = spread_and_unit(part);
        let symbol = if own.is_empty() { after } else { own };
        let before = self.faults.len();
        let value = self.number(&format!("{number} {symbol}"), &DROP);
        if self.faults.len() > before {
            return (value, None);
        }
        let factor = DROP.quantity.unit(symbol).map_or(1.0, |unit| unit.factor);
        let digit = plain(number).map_or(1.0, |plain| words::last_digit(&plain));
        let agree = after.is_empty() || DROP.quantity.unit(after).map(|unit| unit.factor) == Some(factor);
        let spread = words::read(part, digit, !after.is_empty() && !part.ends_with(')'))
            .map(|spread| spread.scaled(factor));
        match spread.filter(|spread| agree && spread.is_sound()) {
            Some(spread) => (value, Some(spread)),
            None => {
                self.fault(
                    DROP.cell,
                    &format!(
                        "“{text}” has a ± that cannot be read; accepted are 0.21 ± 0.01 V, 0.21 ± 2 % V and 0.21 ± (0.5 % + 2) V."
                    ),
                );
                (value, None)
            }
        }
    }

    /// The size of a cable, or the resistance of something else.
    fn conductor(&mut self, inputs: &Inputs, text: &str) -> (Option<Size>, f64) {
        let (number, unit) = split_unit(text);
        if !number.is_empty() && Quantity::Resistance.unit(unit).is_some() && !unit.is_empty() {
            return (None, self.number(text, &RESISTANCE));
        }
        let Some(size) = listed_size(inputs, text) else {
            let what = if text.is_empty() { "empty".to_owned() } else { format!("“{text}” is no size") };
            self.fault("size", &format!("{what}; accepted are {SIZES_ACCEPTED}."));
            return (None, 0.0);
        };
        if let Size::Area(SquareMillimetre(area)) = size
            && !(0.2..=1000.0).contains(&area)
        {
            self.fault("size", &format!("{} mm²; accepted are {SIZES_ACCEPTED}.", short(area)));
            return (None, 0.0);
        }
        if self.run.per_metre(size).is_none() {
            self.fault(
                "size",
                &format!(
                    "IEC 60228 prints no resistance for {} of this make-up in {}; choose class 2 from 10 mm² up, or a gauge.",
                    size_words(size),
                    Metal::key(self.run.metal)
                ),
            );
            return (None, 0.0);
        }
        (Some(size), 0.0)
    }

    fn joints(&mut self, text: &str) -> f64 {
        let (number, word) = split_unit(text);
        match parse(number) {
            Ok(count)
                if matches!(word, "" | "joint" | "joints")
                    && (0.0..=50.0).contains(&count)
                    && count.fract() == 0.0 =>
            {
                count
            }
            _ => {
                self.fault(
                    "joints",
                    &format!("“{text}” is no count; accepted are whole numbers from 0 to 50, as 2 joints."),
                );
                0.0
            }
        }
    }

    fn number(&mut self, text: &str, wanted: &Wanted) -> f64 {
        let (number, symbol) = split_unit(text);
        let unit = if symbol.is_empty() { None } else { wanted.quantity.unit(symbol) };
        let what = match (parse(number), unit) {
            (Ok(value), Some(unit)) if (0.0..=wanted.most).contains(&unit.to_base(value)) => {
                return unit.to_base(value);
            }
            (Ok(_), Some(_)) => "is not in the range",
            (Ok(_), None) if symbol.is_empty() => "has no unit",
            (Ok(_), None) => "has a unit that is not known here",
            (Err(NumberProblem::Thousands), _) => "has a mark that may part thousands or decimals",
            (Err(NumberProblem::NotANumber), _) => "is not a number with its unit",
        };
        self.fault(wanted.cell, &format!("“{text}” {what}; accepted is {}.", wanted.accepted));
        0.0
    }
}

/// Splits `(0.5 % + 2) V` into what is said and the unit behind it, if one is there.
fn spread_and_unit(text: &str) -> (&str, &str) {
    let text = text.trim();
    let starts = text.char_indices().filter(|(_, c)| c.is_alphabetic());
    for (at, _) in starts {
        if DROP.quantity.unit(&text[at..]).is_some() {
            return (text[..at].trim_end(), &text[at..]);
        }
    }
    (text, "")
}

/// `AWG 00` is `AWG 2/0`, as some print it.
fn zeros(text: &str) -> Option<usize> {
    let upper = text.to_uppercase();
    let bare = upper.replacen("AWG", "", 1);
    let zeros = bare.trim();
    let only = !zeros.is_empty() && zeros.len() <= 4 && zeros.bytes().all(|byte| byte == b'0');
    (only && (zeros.len() > 1 || bare.len() < upper.len())).then_some(zeros.len())
}

/// The size that a text names, as the field for one size reads it; a bare number is none, it may be a gauge or an area.
fn listed_size(inputs: &Inputs, text: &str) -> Option<Size> {
    if let Some(count) = zeros(text) {
        return listed_size(inputs, &format!("AWG {count}/0"));
    }
    let (number, unit) = split_unit(text);
    if text.is_empty() || (!number.is_empty() && unit.is_empty()) {
        return None;
    }
    let mut one = Inputs::starting(inputs.calculator);
    let named = if unit == "/0" { format!("AWG {text}") } else { text.to_owned() };
    one.set("conductor_size", &named).ok()?;
    match one.entry("conductor_size") {
        entry @ (Entry::Choice(_) | Entry::Other(_)) => Some(size_of(entry)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::CALCULATOR;
    use super::*;

    fn listed(text: &str) -> Result<Vec<Part>, Vec<String>> {
        let mut inputs = Inputs::starting(&CALCULATOR);
        inputs.set("parts", text).expect("text");
        Run::of(&inputs)
            .map(|run| run.parts)
            .map_err(|refusal| refusal.problems.iter().map(ToString::to_string).collect())
    }

    fn part(text: &str) -> Part {
        listed(text).expect("readable").remove(0)
    }

    #[test]
    fn a_line_reads_with_point_comma_tab_and_units() {
        for text in [
            "Battery to solenoid; AWG 2; 1.8 m; 2 joints; 0.21 V",
            " Battery to solenoid ;2 awg;1,8 m;2;210 mV ",
            "Battery to solenoid\tAWG 2\t180 cm\t2\t0,21 V",
            "\n\nBattery to solenoid; AWG 2; 1.8 m; 2 joints; 0.21 V; ;\n",
        ] {
            let part = part(text);
            assert_eq!(part.name, "Battery to solenoid");
            assert_eq!(part.size, Some(Size::Gauge(2)));
            assert!((part.length.0 - 1.8).abs() < 1e-12 && part.joints == 2.0 && part.fixed.0 == 0.0);
            assert!((part.measured.expect("given").0 - 0.21).abs() < 1e-12, "{text}");
        }
    }

    #[test]
    fn sizes_and_resistances_are_told_apart() {
        let size = |text: &str| part(&format!("x; {text}; 1 m")).size;
        assert_eq!(size("2/0"), Some(Size::Gauge(-1)));
        for (at, text) in ["AWG 0", "AWG 00", "awg000", "0000"].into_iter().enumerate() {
            assert_eq!(size(text), Some(Size::Gauge(-(at as i32))), "{text}");
        }
        assert_eq!(size("35 mm²"), Some(Size::Metric(SquareMillimetre(35.0))));
        assert_eq!(size("35mm2"), Some(Size::Metric(SquareMillimetre(35.0))));
        assert_eq!(size("27 mm2"), Some(Size::Area(SquareMillimetre(27.0))));
        let contact = part("Contact; 0.4 mΩ; ; ; 80 mV");
        assert_eq!((contact.size, contact.length.0, contact.joints), (None, 0.0, 0.0));
        assert!((contact.fixed.0 - 0.000_4).abs() < 1e-15);
    }

    #[test]
    fn every_bad_line_is_reported_at_once_with_its_number() {
        let faults = listed(
            "A; AWG 5; 1.8 m\nB; AWG 2\n\nC; 35 mm²; 1.8; two; 0.2 A\n; 35; 1 m\nA; 0.4 mΩ; ; -1; 1,250 V; more",
        )
        .err()
        .expect("faults");
        let expected = [
            ("line 1, size", "AWG 5"),
            ("line 2, length", "empty"),
            ("line 4, length", "no unit"),
            ("line 4, joints", "two"),
            ("line 4, measured drop", "unit that is not known"),
            ("line 5, name", "1 to 60"),
            ("line 5, size", "35"),
            ("line 6, cells", "decimal mark"),
            ("line 6, joints", "-1"),
            ("line 6, measured drop", "thousands"),
            ("line 6, name", "twice"),
        ];
        assert_eq!(faults.len(), expected.len(), "{faults:#?}");
        for (fault, (place, what)) in faults.iter().zip(expected) {
            assert!(fault.contains(place) && fault.contains(what), "{fault}");
        }
    }

    #[test]
    fn a_reading_carries_what_it_may_be_off() {
        let read = |text: &str| part(&format!("x; AWG 2; 1 m; ; {text}"));
        for (text, standing) in [
            ("0.21 V", None),
            ("0.21 ± 0.01 V", Some(Spread::within(0.01))),
            ("0,21 V ± 0,01", Some(Spread::within(0.01))),
            ("0.21 V ± 0.01 V", Some(Spread::within(0.01))),
            ("0.21 ± (0.5 % + 2) V", Some(Spread::meter(0.5, 2.0, 0.01))),
            ("0.21 +- (0.5 % + 2 digits) V", Some(Spread::meter(0.5, 2.0, 0.01))),
            ("0.21 V ± 2 %", Some(Spread::meter(2.0, 0.0, 0.0))),
        ] {
            let part = read(text);
            assert!((part.measured.expect("given").0 - 0.21).abs() < 1e-12, "{text}");
            assert_eq!(part.spread, standing, "{text}");
        }
        let small = read("210 ± 10 mV").spread.expect("given");
        assert!((small.within - 0.01).abs() < 1e-15);
        for text in
            ["0.21 ± V", "0.21 ± x V", "0.21 ± -1 V", "0.21 V ± 10 mV", "0.21 ± 2 A", "0.21 ± 0.01", "± 1 V"]
        {
            let faults = listed(&format!("x; AWG 2; 1 m; ; {text}")).err().expect(text);
            assert!(faults.len() == 1 && faults[0].contains("measured drop"), "{text}: {faults:?}");
        }
    }

    #[test]
    fn commas_between_cells_are_told() {
        let faults = listed("A, AWG 2, 1.8 m\nB, AWG 2, 1.8 m").err().expect("faults");
        assert!(faults.len() == 2 && faults[0].contains("semicolons part the cells"), "{faults:?}");
    }

    #[test]
    fn more_than_twenty_parts_are_refused_and_twenty_are_not() {
        let lines = |count: usize| (0..count).map(|at| format!("P{at}; 35 mm²; 1 m\n")).collect::<String>();
        assert_eq!(listed(&lines(20)).expect("twenty").len(), 20);
        assert!(listed(&lines(21)).err().expect("too many")[0].contains("21 parts"));
    }

    #[test]
    fn a_list_without_any_resistance_is_refused() {
        assert!(listed("Switch; 0 mΩ").is_err());
        assert!(listed("Switch; 0 mΩ; ; 1").is_ok());
    }
}
