//! Homework of a lesson: calculators, fields, outputs, units and earlier asks are there, and what is drawn fits.

use fieldcoil_calc::calculator::{Calculator, Kind, OutputKind};
use fieldcoil_calc::catalog::{CATALOG, find};
use fieldcoil_calc::homework::item::{Ask, Choices, Drawn, Item, Tolerance};
use fieldcoil_calc::input::Inputs;
use fieldcoil_calc::measurement::words;
use fieldcoil_calc::number::{parse, split_unit};
use fieldcoil_calc::unit::{Quantity, Unit};

use crate::course::{DrawnFrom, Homework, HomeworkAsk, Lesson, Piece, StartValue};
use crate::finding::nearest::symbol_of;
use crate::finding::{Finding, shown};
use crate::source::Spanned;

/// Numbers that a draw may have; more give no more variety.
const MOST_CHOICES: i64 = 10_000;
/// Decimal places that a drawn number may have.
const MOST_PLACES: usize = 9;

/// Binds the homework of a lesson.
pub fn bind(lesson: &mut Lesson, found: &mut Vec<Finding>) {
    for piece in &mut lesson.pieces {
        if let Piece::Homework(homework) = piece {
            let before = found.len();
            let item = item(homework, found);
            // A problem with holes would only look wrong in other ways.
            homework.item = item.filter(|_| found.len() == before);
        }
    }
}

fn item(homework: &Homework, found: &mut Vec<Finding>) -> Option<Item> {
    let calculator = calculator(&homework.calculator, found);
    let mut asks: Vec<Ask> = Vec::with_capacity(homework.asks.len());
    for (at, ask) in homework.asks.iter().enumerate() {
        let same = |other: &&HomeworkAsk| other.name.value == ask.name.value;
        if let Some(first) = homework.asks[..at].iter().find(same).filter(|_| !ask.name.value.is_empty()) {
            let message = format!("two asks are named `{}`", shown(&ask.name.value));
            found.push(
                Finding::error("second-ask", message, ask.name.span, "the second")
                    .also(first.name.span, "the first")
                    .help("give each ask a name of its own: a, b, c"),
            );
        }
        let own = match &ask.calculator {
            Some(name) => self::calculator(name, found),
            None => calculator,
        };
        asks.extend(own.and_then(|own| bound_ask(own, ask, &asks, found)));
    }
    let calculators: Vec<&'static Calculator> =
        calculator.into_iter().chain(asks.iter().map(|ask| ask.calculator)).collect();
    let given: Vec<_> = homework
        .given
        .iter()
        .filter_map(|(field, value)| {
            let text = match &value.value {
                StartValue::Number(number) => number.to_string(),
                StartValue::Text(text) => text.clone(),
            };
            let own = of_any(&calculators, field, found)?;
            accepted(own, &field.value, &Spanned::new(text.clone(), value.span), found)
                .then(|| (field.value.clone(), text))
        })
        .collect();
    let drawn: Vec<_> = homework
        .drawn
        .iter()
        .filter_map(|(field, from)| {
            let own = of_any(&calculators, field, found)?;
            if homework.given.iter().any(|(other, _)| other.value == field.value) {
                let message = format!("`{}` is given and drawn", shown(&field.value));
                found.push(
                    Finding::error("given-and-drawn", message, field.span, "both at once")
                        .help("take it out of one of the two"),
                );
            }
            let choices = choices(own, field, from, found)?;
            Some(Drawn { field: field.value.clone(), choices })
        })
        .collect();
    check_text(homework, found);
    calculator?;
    Some(Item { name: homework.name.value.clone(), given, drawn, asks })
}

/// The calculator of this name; none is a finding.
pub fn calculator(name: &Spanned<String>, found: &mut Vec<Finding>) -> Option<&'static Calculator> {
    let calculator = find(&name.value);
    if calculator.is_none() {
        let all: Vec<_> = CATALOG.iter().map(|calculator| format!("`{}`", calculator.name)).collect();
        found.push(
            Finding::error(
                "unknown-calculator",
                format!("unknown calculator `{}`", shown(&name.value)),
                name.span,
                "no calculator has this name",
            )
            .near(&name.value, CATALOG.iter().map(|calculator| calculator.name))
            .help(format!("there are {}", all.join(", "))),
        );
    }
    calculator
}

/// The first of these calculators that has the field.
pub fn of_any(
    calculators: &[&'static Calculator],
    field: &Spanned<String>,
    found: &mut Vec<Finding>,
) -> Option<&'static Calculator> {
    let own = calculators.iter().find(|calculator| calculator.field(&field.value).is_some());
    if own.is_none() && !calculators.is_empty() {
        let fields: Vec<&str> =
            calculators.iter().flat_map(|calculator| calculator.fields).map(|field| field.name).collect();
        let message = format!("no calculator that is named here has a field `{}`", shown(&field.value));
        found.push(
            Finding::error("unknown-field", message, field.span, "not a field")
                .near(&field.value, fields.iter().copied())
                .help("`fieldcoil work NAME` lists the fields of a calculator"),
        );
    }
    own.copied()
}

/// Does the field take this text? If not, it is a finding.
pub fn accepted(
    calculator: &'static Calculator,
    field: &str,
    text: &Spanned<String>,
    found: &mut Vec<Finding>,
) -> bool {
    let refused = Inputs::starting(calculator).set(field, &text.value).err();
    if let Some(refusal) = &refused {
        let message = refusal.to_string();
        found.push(Finding::error("unfit-value", message.trim_end_matches('.'), text.span, "not accepted"));
    }
    refused.is_none()
}

fn choices(
    calculator: &'static Calculator,
    field: &Spanned<String>,
    from: &Spanned<DrawnFrom>,
    found: &mut Vec<Finding>,
) -> Option<Choices> {
    let choices = match &from.value {
        DrawnFrom::Among(list) => Choices::Among(list.clone()),
        DrawnFrom::Steps { from: first, to, step, unit } => steps(first, to, step, unit)
            .map_err(|(message, help)| {
                let message = format!("`{}` cannot be drawn: {message}", shown(&field.value));
                found.push(Finding::error("draw-steps", message, from.span, "no such steps").help(help));
            })
            .ok()?,
    };
    // Ranges are intervals, so the ends of evenly spaced numbers speak for all; a list is tried one by one.
    let tried: Vec<u64> = match &choices {
        Choices::Steps { count, .. } => vec![0, count - 1],
        Choices::Among(list) => (0..list.len() as u64).collect(),
    };
    let mut fits = true;
    for index in tried {
        fits &= accepted(calculator, &field.value, &Spanned::new(choices.text(index), from.span), found);
    }
    fits.then_some(choices)
}

type Unsound = (&'static str, &'static str);

fn steps(from: &str, to: &str, step: &str, unit: &str) -> Result<Choices, Unsound> {
    let places_of = |text: &str| text.split_once('.').map_or(0, |(_, rest)| rest.len());
    let places = [from, to, step].into_iter().map(places_of).max().unwrap_or(0);
    if places > MOST_PLACES {
        return Err(("it has too many decimal places", "use a smaller unit: `unit = \"mΩ\"`"));
    }
    let scaled = |text: &str| -> Result<i64, Unsound> {
        let (whole, rest) = text.split_once('.').unwrap_or((text, ""));
        let digits = format!("{whole}{rest:0<places$}");
        digits.parse().map_err(|_| ("a number is too long", "use a larger unit"))
    };
    let (from, to, step) = (scaled(from)?, scaled(to)?, scaled(step)?);
    let span = to.checked_sub(from).filter(|span| *span >= 0);
    let span = span.ok_or(("it goes down", "write the smaller number as `from`"))?;
    if step <= 0 {
        return Err(("its step is not above zero", "write a `step` such as 5"));
    }
    if span % step != 0 {
        return Err(("its last number is not a whole number of steps away", "change `to` or `step`"));
    }
    if span / step >= MOST_CHOICES {
        return Err(("it has more than 10000 numbers", "take a larger `step`"));
    }
    // Shown with the number, so as every page shows it: `Ω` for `ohm`.
    let unit = Quantity::of_unit(unit).map_or(unit, |(_, known)| known.symbol).to_owned();
    Ok(Choices::Steps { from, step, count: (span / step + 1) as u64, places, unit })
}

/// An ask with its calculator, unit and tolerance; what does not fit is a finding.
pub fn bound_ask(
    calculator: &'static Calculator,
    ask: &HomeworkAsk,
    earlier: &[Ask],
    found: &mut Vec<Finding>,
) -> Option<Ask> {
    let numbers = || calculator.outputs.iter().filter(|output| matches!(output.kind, OutputKind::Number(..)));
    let output = calculator.output(&ask.output.value);
    let quantity = match output.map(|output| &output.kind) {
        Some(OutputKind::Number(quantity, _)) => *quantity,
        other => {
            let name = shown(&ask.output.value);
            let message = match other {
                Some(_) => format!("`{name}` of `{}` is no number", calculator.name),
                None => format!("`{}` has no output `{name}`", calculator.name),
            };
            let all: Vec<_> = numbers().map(|output| format!("`{}`", output.name)).collect();
            found.push(
                Finding::error("unknown-output", message, ask.output.span, "cannot be asked for")
                    .near(&ask.output.value, numbers().map(|output| output.name))
                    .help(format!("numbers that it gives are {}", all.join(", "))),
            );
            return None;
        }
    };
    let unit = unit_of(quantity, &ask.unit, found);
    let tolerance = unit.and_then(|unit| tolerance_of(&ask.tolerance, quantity, unit, found));
    let mut uses = Vec::new();
    for (field, name) in &ask.uses {
        let is_number =
            matches!(calculator.field(&field.value).map(|field| &field.kind), Some(Kind::Number(_)));
        if !is_number {
            let fields = calculator.fields.iter().filter(|field| matches!(field.kind, Kind::Number(_)));
            let message = format!("`{}` has no number field `{}`", calculator.name, shown(&field.value));
            found.push(
                Finding::error("unknown-field", message, field.span, "takes no answer")
                    .near(&field.value, fields.map(|field| field.name)),
            );
        }
        if !earlier.iter().any(|other| other.name == name.value) {
            let message = format!("no earlier ask is named `{}`", shown(&name.value));
            found.push(
                Finding::error("unknown-ask", message, name.span, "nothing to go on from")
                    .near(&name.value, earlier.iter().map(|other| other.name.as_str()))
                    .help("name an ask that stands above this one"),
            );
        }
        uses.push((field.value.clone(), name.value.clone()));
    }
    Some(Ask {
        name: ask.name.value.clone(),
        calculator,
        output: ask.output.value.clone(),
        unit: unit?,
        tolerance: tolerance?,
        points: ask.points,
        for_power: ask.for_power,
        for_unit: ask.for_unit,
        uses,
    })
}

fn unit_of(quantity: Quantity, unit: &Spanned<String>, found: &mut Vec<Finding>) -> Option<&'static Unit> {
    let known = quantity.unit(&unit.value);
    if known.is_none() {
        let all: Vec<_> = quantity.units().iter().map(|unit| format!("`{}`", unit.symbol)).collect();
        let message = match unit.value.as_str() {
            "" => "this ask says no unit".to_owned(),
            other => format!("`{}` is no unit of this answer", shown(other)),
        };
        found.push(
            Finding::error("ask-unit", message, unit.span, "not one of its units")
                .near(symbol_of(&unit.value), quantity.units().iter().map(|unit| unit.symbol))
                .help(format!("its units are {}", all.join(", "))),
        );
    }
    known
}

/// `2 %`, `0.01 V`, or what a meter's data sheet says: `0.5 % + 2 × 0.01`.
pub fn tolerance_of(
    tolerance: &Spanned<String>,
    quantity: Quantity,
    unit: &'static Unit,
    found: &mut Vec<Finding>,
) -> Option<Tolerance> {
    let text = tolerance.value.trim();
    let (number, symbol) = split_unit(text);
    let value = parse(number).ok().filter(|value| *value >= 0.0 && value.is_finite());
    let simple = value.and_then(|value| match symbol {
        "%" if quantity != Quantity::Percent => Some(Tolerance::Share(value / 100.0)),
        "" => Some(Tolerance::Absolute(unit.span_to_base(value))),
        symbol => quantity.unit(symbol).map(|unit| Tolerance::Absolute(unit.span_to_base(value))),
    });
    let meter = || {
        let spread = words::read(text, 0.0, false)?;
        // Counts without what one is worth have no size here: there is no reading whose last digit would say it.
        let sized = spread.counts == 0.0 || spread.resolution > 0.0;
        (sized && spread.repeated.is_none()).then_some(Tolerance::Meter(spread))
    };
    let read = simple.or_else(meter);
    if read.is_none() {
        let message = format!("`{}` says no tolerance", shown(text));
        found.push(
            Finding::error("ask-tolerance", message, tolerance.span, "not understood").help(
                "write a share `2 %`, a size `0.01 V`, or a meter's data sheet `0.5 % + 2 × 0.01` in the unit of the answer",
            ),
        );
    }
    read
}

/// Every name between braces is a field that is drawn or given.
fn check_text(homework: &Homework, found: &mut Vec<Finding>) {
    let known: Vec<&str> = homework
        .drawn
        .iter()
        .map(|(field, _)| field.value.as_str())
        .chain(homework.given.iter().map(|(field, _)| field.value.as_str()))
        .collect();
    for name in placeholders(&homework.text.value) {
        if !known.contains(&name) {
            let message = format!("`{{{}}}` is neither drawn nor given", shown(name));
            found.push(
                Finding::error("unknown-placeholder", message, homework.text.span, "in this text")
                    .near(name, known.iter().copied())
                    .help("name a field of `[draw]` or `[given]` between the braces"),
            );
        }
    }
    for (field, _) in &homework.drawn {
        if !placeholders(&homework.text.value).any(|name| name == field.value) {
            let message = format!("the text does not say the drawn `{}`", shown(&field.value));
            found.push(
                Finding::error("untold-draw", message, field.span, "drawn, and never told")
                    .help(format!("write `{{{}}}` where the value stands in `text`", field.value)),
            );
        }
    }
}

/// The names between braces.
pub fn placeholders(text: &str) -> impl Iterator<Item = &str> {
    text.split('{').skip(1).filter_map(|rest| rest.split_once('}')).map(|(name, _)| name)
}
