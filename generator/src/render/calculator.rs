//! Calculators: the form from the definition, and the result of the starting values, worked here so that a page
//! shows it without script.

use std::collections::BTreeSet;

use fieldcoil_calc::calculator::{ChoiceField, Field, Kind, NumberField, TextField};
use fieldcoil_calc::input::{Entry, Inputs};
use fieldcoil_calc::measurement::words::written;
use fieldcoil_calc::number::short;
use fieldcoil_calc::refusal::range_words;
use fieldcoil_calc::unit::Unit;
use fieldcoil_calc::view::{Parts, formula, parts, refused};

use super::view::{
    CalculatorView, ChoiceView, FieldView, GroupView, NumberView, OptionView, OtherView, ResultView,
    TextView, UnitView,
};
use super::words::Words;
use crate::course::CalculatorBlock;
use crate::worked::worked;

/// A calculator as its component sees it; nothing while its name is bound to none, which `resolve` reports.
pub fn view(block: &CalculatorBlock, words: &Words) -> Option<CalculatorView> {
    let (calculator, inputs) = block.bound.as_ref()?;
    let locked: BTreeSet<&str> = block.locked.iter().map(|name| name.value.as_str()).collect();
    let mut shown = inputs.clone();
    let mut groups: Vec<GroupView> = Vec::new();
    for (field, entry) in inputs.entries() {
        let view =
            field_view(field, entry, inputs.shown_unit(field.name), locked.contains(field.name), words);
        read_back(&mut shown, &view);
        match groups.last_mut().filter(|group| group.title == field.group) {
            Some(group) => group.fields.push(view),
            None => groups.push(GroupView { title: field.group, fields: vec![view] }),
        }
    }
    Some(CalculatorView {
        id: block.id.clone(),
        name: calculator.name,
        title: block.title.clone().unwrap_or_else(|| calculator.title.to_owned()),
        summary: calculator.summary,
        groups,
        result: result(&shown),
    })
}

fn field_view(
    field: &'static Field,
    entry: &Entry,
    unit: &'static Unit,
    locked: bool,
    words: &Words,
) -> FieldView {
    let number = match &field.kind {
        Kind::Number(number) => Some(number_view(field, number, entry, unit, words)),
        Kind::Choice(_) | Kind::Text(_) => None,
    };
    let choice = match &field.kind {
        Kind::Choice(choice) => Some(choice_view(choice, entry, words)),
        Kind::Number(_) | Kind::Text(_) => None,
    };
    let text = match &field.kind {
        Kind::Text(text) => Some(text_view(field, text, entry, words)),
        Kind::Number(_) | Kind::Choice(_) => None,
    };
    let optional = match &field.kind {
        Kind::Number(number) => !number.required,
        Kind::Text(text) => !text.required,
        Kind::Choice(_) => false,
    };
    FieldView {
        name: field.name,
        label: field.label,
        symbol: formula(field.symbol),
        help: field.help,
        locked,
        optional,
        number,
        choice,
        text,
    }
}

fn text_view(field: &Field, text: &TextField, entry: &Entry, words: &Words) -> TextView {
    let value = match entry {
        Entry::Text(text) => text.clone(),
        _ => String::new(),
    };
    TextView {
        lines: (value.lines().count() + 1).clamp(3, 12),
        value,
        example: text.example,
        file_label: match text.file {
            true => words.fill("calculator.file", &[("label", field.label)]),
            false => String::new(),
        },
    }
}

fn number_view(
    field: &Field,
    number: &NumberField,
    entry: &Entry,
    unit: &'static Unit,
    words: &Words,
) -> NumberView {
    let reading = match entry {
        Entry::Number(measured) => Some(measured),
        _ => None,
    };
    let spread = reading.and_then(|measured| measured.spread);
    let units = number.quantity.units();
    NumberView {
        value: reading.map(|measured| short(unit.of_base(measured.value))).unwrap_or_default(),
        measured: number.measured,
        plus_minus: spread.map(|spread| written(spread.scaled(1.0 / unit.factor))).unwrap_or_default(),
        plus_minus_label: words.fill("calculator.plus_minus", &[("label", field.label)]),
        unit: unit.symbol,
        unit_label: words.fill("calculator.unit", &[("label", field.label)]),
        units: match units {
            [_] => Vec::new(),
            all => all.iter().map(|one| UnitView { symbol: one.symbol, selected: one == unit }).collect(),
        },
        range: accepted(number, words),
    }
}

fn choice_view(choice: &'static ChoiceField, entry: &Entry, words: &Words) -> ChoiceView {
    let key = match entry {
        Entry::Choice(key) => Some(*key),
        _ => None,
    };
    let open = matches!(entry, Entry::Other(_));
    let listed = choice.options.iter().map(|option| OptionView {
        key: option.key,
        label: option.label,
        selected: key == Some(option.key),
    });
    let other_option =
        choice.other.as_ref().map(|other| OptionView { key: "other", label: other.label, selected: open });
    ChoiceView {
        start: if open { "other" } else { key.unwrap_or(choice.start) },
        options: listed.chain(other_option).collect(),
        other: choice.other.as_ref().map(|other| OtherView {
            open,
            value: match entry {
                Entry::Other(value) => short(*value),
                _ => String::new(),
            },
            label: other.label,
            unit: other.number.quantity.base().symbol,
        }),
        range: choice
            .other
            .as_ref()
            .filter(|_| open)
            .map(|other| accepted(&other.number, words))
            .unwrap_or_default(),
    }
}

fn accepted(number: &NumberField, words: &Words) -> String {
    words.fill("calculator.accepted", &[("range", &range_words(number))])
}

/// Reads a number box back the way the page does, so that both work with the same number to the last bit.
fn read_back(inputs: &mut Inputs, field: &FieldView) {
    if let Some(number) = &field.number {
        // What does not read back was refused before: the entry stays as it was and the result names the problem.
        let _ = inputs.set_parts(field.name, &number.value, &number.plus_minus, number.unit);
    }
}

fn result(inputs: &Inputs) -> ResultView {
    match worked(inputs).as_ref() {
        Ok(report) => result_view("", parts(report)),
        Err(refusal) => result_view("refused", refused(refusal)),
    }
}

fn result_view(state: &'static str, parts: Parts) -> ResultView {
    let Parts { readings, findings, steps, sources } = parts;
    ResultView { state, readings, findings, steps, sources }
}
