//! The formulas of all calculators, as the steps of their reports state them, with what each letter means.

use std::collections::BTreeMap;

use fieldcoil_calc::calculator::Calculator;
use fieldcoil_calc::catalog::CATALOG;
use fieldcoil_calc::input::Inputs;
use fieldcoil_calc::report::Step;
use fieldcoil_calc::view;

use super::capital;
use crate::render::escape;
use crate::render::view::{LetterView, TableView};
use crate::render::words::Words;

/// What is typed into a fresh form, each field with its text.
type Typed = &'static [(&'static str, &'static str)];

/// What is worked besides the fresh form, so that formulas show that only some inputs ask for.
const MORE: &[(&str, Typed)] = &[
    ("expected-draw", &[("sheet_voltage_v", "11.5"), ("sheet_current_a", "70"), ("sheet_speed_rpm", "3000")]),
    (
        "bench-verdict",
        &[
            ("terminal_voltage_v", "11.8"),
            ("speed_rpm", "3600"),
            ("limit_voltage_v", "11.5"),
            ("limit_speed_min_rpm", "3000"),
        ],
    ),
    (
        "source-load",
        &[
            ("rested_voltage_v", "12.5"),
            ("specific_gravity", "1.25"),
            ("battery_temperature_c", "20"),
            ("bank_in_series", "2"),
        ],
    ),
    ("winding-temperature", &[("asked_temperature_c", "120")]),
    (
        "solenoid-coils",
        &[
            ("pull_in_drop_v", "4"),
            ("pull_in_test_a", "20"),
            ("hold_in_drop_v", "6"),
            ("hold_in_test_a", "8"),
        ],
    ),
    ("cranking-speed", &[("cylinders", "4")]),
    ("cranking-speed", &[("torque_from", "force and arm"), ("force_n", "40"), ("arm_m", "0.1")]),
];

/// What letters mean that no field and no step of the calculator names, or that stand for several things in it.
const LETTERS: &[(&str, &str, &str)] = &[
    ("voltage-drop", "d", "diameter of a wire of that gauge"),
    ("voltage-drop", "n", "number of joints; in the line of the gauge, its number"),
    ("voltage-drop", "A", "cross-section of the conductor"),
    ("voltage-drop", "ρ", "resistivity of the metal at 20 °C"),
    ("voltage-drop", "T₀", "234.5 °C for copper, 228.1 °C for aluminium"),
    ("voltage-drop", "U₁₀₀", "guide for each 100 A, by system and kind of circuit"),
    ("voltage-drop", "β", "234.5 °C for copper, 228 °C for aluminium"),
    ("voltage-drop", "K", "the metal's constant for heating without loss"),
    ("voltage-drop", "S", "cross-section of the conductor that ends hottest"),
    ("expected-draw", "ω", "speed as an angle in each second"),
    ("expected-draw", "k", "motor constant: volts for each rad/s, and torque for each amp"),
    ("expected-draw", "i_h", "current at which the iron has half of its field"),
    ("expected-draw", "K", "motor constant if the iron never filled"),
    ("expected-draw", "M", "drag: the torque that a free motor needs"),
    ("expected-draw", "M_b", "the part of the drag that is the same at every speed"),
    ("expected-draw", "c", "the part of the drag that grows with the square of the speed"),
    ("expected-draw", "i", "current at that moment"),
    ("expected-draw", "R", "all resistance of the circuit"),
    ("expected-draw", "J", "inertia of all that turns"),
    ("expected-draw", "Q", "charge in that window"),
    ("expected-draw", "Q_w", "heat made in the winding"),
    ("expected-draw", "L", "inductance of the winding"),
    ("bench-verdict", "n", "speed: the sheet's in the first line, the one read in the second"),
    ("bench-verdict", "n₂", "least speed at the volts that were read"),
    ("bench-verdict", "U₂", "volts that were read at the motor"),
    ("bench-verdict", "U", "test voltage of the sheet"),
    ("cranking-speed", "ω", "speed as an angle in each second"),
    ("cranking-speed", "k", "motor constant"),
    ("cranking-speed", "n_p", "speed of the pinion"),
    ("cranking-speed", "n_e", "speed of the engine"),
    ("trace-reading", "I_r", "current of a row as it was recorded"),
    ("trace-reading", "I₀", "zero of the clamp: the mean before the current began"),
    ("trace-reading", "S", "sum of the rows of the settled stretch"),
    ("trace-reading", "m", "number of these rows"),
    ("trace-reading", "s", "scatter of these rows"),
    ("trace-reading", "m_e", "number of independent readings that they are worth"),
    ("trace-reading", "u₀", "standard uncertainty of the zero"),
    ("trace-reading", "t", "time when the mean stays near the settled current"),
    ("trace-reading", "t₀", "time when the current begins"),
    ("trace-reading", "I_max", "greatest row before the current has settled"),
    ("trace-reading", "Q₁", "charge from the first row to the second"),
    ("trace-reading", "Q₂", "the same for the next two rows, and so on"),
    ("trace-reading", "Q₃", "the same for the next two rows, and so on"),
    ("trace-reading", "t₁", "time of a row"),
    ("trace-reading", "t₂", "time of the next row"),
    ("trace-reading", "I₁", "current of a row"),
    ("trace-reading", "I₂", "current of the next row"),
];

/// A table for each calculator that states formulas.
pub fn tables(words: &Words) -> Vec<TableView> {
    CATALOG.iter().filter_map(|calculator| table(calculator, words)).collect()
}

fn table(calculator: &'static Calculator, words: &Words) -> Option<TableView> {
    let steps = steps(calculator);
    if steps.is_empty() {
        return None;
    }
    let rows = steps.iter().map(|step| vec![escape::text(&step.title), view::typeset(&step.formula)]);
    let letters = letters(calculator, &steps);
    let letters = letters.into_iter().map(|(letter, means)| LetterView {
        letter: view::formula(&letter),
        means: capital(&means.unwrap_or_default()),
    });
    Some(TableView {
        caption: calculator.title.to_owned(),
        heads: words.list("library.formulas_heads"),
        rows: rows.collect(),
        letters: letters.collect(),
        notes: Vec::new(),
    })
}

/// Every formula of a calculator once, in the order in which its reports state them.
fn steps(calculator: &'static Calculator) -> Vec<Step> {
    let sets = MORE.iter().filter(|(name, _)| *name == calculator.name).map(|(_, typed)| *typed);
    let mut steps: Vec<Step> = Vec::new();
    for typed in std::iter::once::<Typed>(&[]).chain(sets) {
        let mut inputs = Inputs::starting(calculator);
        let taken = typed.iter().all(|(name, text)| inputs.set(name, text).is_ok());
        let report = calculator.evaluate(&inputs).ok().filter(|_| taken);
        for step in report.into_iter().flat_map(|report| report.steps) {
            let known = steps.iter().any(|known| known.formula == step.formula);
            if !known && step.formula.contains(" = ") {
                steps.push(step);
            }
        }
    }
    steps
}

/// The letters of these formulas in their order, with what they mean.
fn letters(calculator: &Calculator, steps: &[Step]) -> Vec<(String, Option<String>)> {
    let mut worked: BTreeMap<String, &str> = BTreeMap::new();
    for step in steps {
        for part in step.formula.split("; ") {
            if let Some(first) = letters_of(part).into_iter().next() {
                worked.entry(first).or_insert(&step.title);
            }
        }
    }
    let mut all: Vec<(String, Option<String>)> = Vec::new();
    for letter in steps.iter().flat_map(|step| letters_of(&step.formula)) {
        if all.iter().any(|(known, _)| *known == letter) {
            continue;
        }
        let told = LETTERS.iter().find(|(name, own, _)| *name == calculator.name && *own == letter);
        let field = calculator.fields.iter().find(|field| field.symbol == letter);
        let meaning = told
            .map(|(_, _, meaning)| (*meaning).to_owned())
            .or_else(|| field.map(|field| field.label.to_owned()))
            .or_else(|| worked.get(&letter).map(|title| (*title).to_owned()));
        all.push((letter, meaning));
    }
    all
}

/// The letters of a formula with their indices, words and units left out.
fn letters_of(formula: &str) -> Vec<String> {
    let mut letters = Vec::new();
    let chars: Vec<char> = formula.chars().collect();
    let mut at = 0;
    while at < chars.len() {
        let from = at;
        while at < chars.len() && chars[at].is_alphabetic() {
            at += 1;
        }
        if at == from {
            at += 1;
            continue;
        }
        // A unit stands after a number: `20 °C`, `0.127 mm`.
        let before = |back: usize| from.checked_sub(back).and_then(|at| chars.get(at)).copied();
        let is_unit = before(1) == Some('°')
            || (before(1) == Some(' ') && before(2).is_some_and(|c| c.is_ascii_digit()));
        let is_word = at - from > 1;
        let is_number = matches!(chars[from], 'π') || (chars[from] == 'e' && chars.get(at) == Some(&'^'));
        let mut letter: String = chars[from..at].iter().collect();
        while let Some(c) = chars.get(at).filter(|c| matches!(c, '₀'..='₉')) {
            letter.push(*c);
            at += 1;
        }
        if chars.get(at) == Some(&'_') {
            letter.push('_');
            at += 1;
            while let Some(c) = chars.get(at).filter(|c| c.is_ascii_alphanumeric()) {
                letter.push(*c);
                at += 1;
            }
        }
        if !(is_unit || is_word || is_number) {
            letters.push(letter);
        }
    }
    letters
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_set_is_worked_and_adds_formulas() {
        for (name, typed) in MORE {
            let calculator = fieldcoil_calc::catalog::find(name).expect("it is in the catalogue");
            let mut inputs = Inputs::starting(calculator);
            for (field, text) in *typed {
                inputs.set(field, text).unwrap_or_else(|problem| panic!("{name}, {field}: {problem:?}"));
            }
            let report = calculator.evaluate(&inputs).unwrap_or_else(|refusal| panic!("{name}: {refusal:?}"));
            let fresh = calculator.evaluate(&Inputs::starting(calculator)).expect("a fresh form is workable");
            let more =
                report.steps.iter().any(|step| fresh.steps.iter().all(|known| known.formula != step.formula));
            assert!(more, "{name}: {typed:?} adds no formula");
        }
    }

    #[test]
    fn every_letter_is_explained() {
        let mut lost = Vec::new();
        for calculator in CATALOG {
            let steps = steps(calculator);
            let unknown = letters(calculator, &steps).into_iter().filter(|(_, meaning)| meaning.is_none());
            lost.extend(unknown.map(|(letter, _)| format!("{}: {letter}", calculator.name)));
        }
        assert_eq!(lost, [""; 0]);
        let idle = LETTERS.iter().filter(|(name, letter, _)| {
            let calculator = fieldcoil_calc::catalog::find(name).expect("it is in the catalogue");
            steps(calculator).iter().all(|step| !letters_of(&step.formula).iter().any(|own| own == letter))
        });
        assert_eq!(idle.count(), 0, "letters that no formula has");
    }

    #[test]
    fn letters_are_told_from_words_and_units() {
        let of = |formula| letters_of(formula).join(" ");
        assert_eq!(of("r = r₂₀ · (T₀ + T) / (T₀ + 20 °C)"), "r r₂₀ T₀ T T₀");
        assert_eq!(of("d = 0.127 mm · 92^((36 − n) / 39); A = π · d² / 4"), "d n A d");
        assert_eq!(of("T₂ = (T + β) · e^(I² · t) − β"), "T₂ T β I t β");
        assert_eq!(of("I_max = (U₀ − U_min) / R_i"), "I_max U₀ U_min R_i");
    }
}
