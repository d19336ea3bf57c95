//! `circuit`: a wiring diagram.

use std::collections::BTreeMap;

use fieldcoil_calc::physics::conductor::{Metal, Size, StrandClass, resistance_per_metre, run_resistance};
use fieldcoil_calc::quantity::Metre;

use super::Block;
use crate::course::{Circuit, CircuitState, CircuitSymbol, CircuitWire, Part, StatedReading};
use crate::finding::{Finding, shown};
use crate::parse::keys::Keys;
use crate::source::Spanned;
use crate::symbol::{Kind, SYMBOLS, Turned};

/// How far a diagram may go, in grid steps: a page shows no more.
const GRID: (i32, i32) = (0, 120);
/// A meter's reading and its tolerance, in volts or amperes.
const READING: (f64, f64) = (-10_000.0, 10_000.0);

/// More than this is no diagram that a page shows and a reader takes in, and leading its wires takes long.
const MOST: [(&str, &str, usize); 4] =
    [("symbol", "symbols", 40), ("wire", "wires", 60), ("state", "states", 24), ("reading", "readings", 200)];
/// Letters of a label: more are a text.
const LONGEST_LABEL: usize = 80;

/// Reads the block.
pub fn read(block: Block, id: String, found: &mut Vec<Finding>) -> Circuit {
    let before = found.len();
    let mut circuit = block
        .body
        .read("the `circuit` block", block.fence, found, |keys, found| circuit(keys, block, id, found));
    circuit.complete = found.len() == before;
    circuit
}

fn circuit(keys: &mut Keys, block: Block, id: String, found: &mut Vec<Finding>) -> Circuit {
    let name = keys.text("name", found);
    let title = keys.needed_text("title", found).value;
    let text = keys.needed_text("text", found).value;
    let hookup = keys.text("hookup", found);
    let has_symbols = keys.has("symbol");
    let mut symbols = Vec::new();
    for keys in keys.tables("symbol", "this symbol", found) {
        symbols.extend(symbol(keys, found));
    }
    let mut wires = Vec::new();
    for keys in keys.tables("wire", "this wire", found) {
        wires.push(wire(keys, found));
    }
    let mut states = Vec::new();
    for keys in keys.tables("state", "this state", found) {
        states.push(state(keys, found));
    }
    let mut stated = Vec::new();
    for keys in keys.tables("reading", "this reading", found) {
        stated.extend(reading(keys, found));
    }
    let counts = [symbols.len(), wires.len(), states.len(), stated.len()];
    for ((key, what, most), count) in MOST.iter().zip(counts).filter(|((.., most), count)| count > most) {
        let message = format!("this circuit has {count} {what}; a diagram holds {most}");
        found.push(
            Finding::error("large-circuit", message, block.fence, format!("too many `[[{key}]]` tables"))
                .help("make two diagrams of it, each with what its part of the lesson is about"),
        );
    }
    if !has_symbols {
        found.push(
            Finding::error("empty-circuit", "this circuit has no symbols", block.fence, "nothing to draw")
                .help("add symbols: a line `[[symbol]]`, then `name = …`, `kind = …`, `at = [10, 5]`"),
        );
    }
    Circuit {
        id,
        name,
        title,
        text,
        hookup,
        symbols,
        wires,
        states,
        stated,
        complete: true,
        drawn: None,
        span: block.fence,
    }
}

/// The values that a kind has, each with the numbers that make sense for it.
fn values_of(kind: Kind) -> &'static [(&'static str, (f64, f64))] {
    const OHM: (f64, f64) = (0.0, 1e9);
    const VOLT: (f64, f64) = (0.0, 1000.0);
    match kind {
        Kind::Battery | Kind::BenchSupply => &[("source_voltage_v", VOLT), ("source_resistance_ohm", OHM)],
        Kind::Solenoid => &[
            ("pull_in_resistance_ohm", OHM),
            ("hold_in_resistance_ohm", OHM),
            ("contact_resistance_ohm", OHM),
            ("closes_at_v", VOLT),
            ("drops_at_v", VOLT),
        ],
        Kind::Relay => &[
            ("coil_resistance_ohm", OHM),
            ("contact_resistance_ohm", OHM),
            ("closes_at_v", VOLT),
            ("drops_at_v", VOLT),
        ],
        Kind::SeriesMotor | Kind::MagnetMotor => &[
            ("winding_resistance_ohm", OHM),
            ("brush_drop_v", VOLT),
            ("sheet_voltage_v", VOLT),
            ("sheet_current_a", (0.0, 10_000.0)),
            ("sheet_speed_rpm", (0.0, 1e6)),
            ("load_torque_nm", (0.0, 10_000.0)),
        ],
        Kind::CaseGround | Kind::EngineBlock | Kind::Point | Kind::ClampMeter => &[],
        Kind::Ammeter
        | Kind::Voltmeter
        | Kind::MainSwitch
        | Kind::PushSwitch
        | Kind::KeySwitch
        | Kind::NeutralSwitch
        | Kind::ClutchSwitch
        | Kind::Fuse
        | Kind::FusibleLink
        | Kind::Joint
        | Kind::Resistor
        | Kind::CarbonPile
        | Kind::Lamp => &[("resistance_ohm", OHM)],
    }
}

fn symbol(mut keys: Keys, found: &mut Vec<Finding>) -> Option<CircuitSymbol> {
    let span = keys.span;
    let name = keys.needed_text("name", found);
    let kind = keys.needed_word("kind", SYMBOLS.iter().map(|symbol| (symbol.word, symbol.kind)), found);
    let at = keys.needed_place("at", GRID, found);
    let quarters = keys.word("turn", [("right", 1), ("half", 2), ("left", 3)].into_iter(), found);
    let flipped = keys.flag("mirror", found).unwrap_or_default();
    let has_label = keys.has("label");
    let label = keys.maybe_empty_text("label", found);
    check_label(label.as_ref(), found);
    let parts = Part::ALL.iter().map(|part| (part.word(), *part));
    let part = keys.word("part", parts, found);
    let reads = keys.text_or_texts("reads", found);
    let closed_at = keys.has("closed").then(|| keys.span_of("closed"));
    let closed = keys.flag("closed", found);
    let free = keys.text_or_texts("free", found);
    let mut values = BTreeMap::new();
    // Without a known kind no value is asked for, and each would be reported as unknown.
    let kind_values = kind.as_ref().map(|kind| values_of(kind.value));
    for (key, accepted) in kind_values.into_iter().flatten() {
        values.extend(keys.number(key, *accepted, found).map(|value| (*key, value)));
    }
    if name.value.contains('.') {
        let message = format!("the name `{}` has a dot in it", shown(&name.value));
        found.push(
            Finding::error("symbol-name", message, name.span, "a dot parts a symbol from its terminal")
                .help("write the name without dots: `main-switch`"),
        );
    }
    let kind = kind?;
    keys.finish(found);
    if let Some(place) = closed_at.filter(|_| !kind.value.can_be_switched()) {
        let message = format!("`{}` cannot be open or closed", kind.value.symbol().word);
        found.push(
            Finding::error("useless-key", message, place, "says nothing here").help("take the line out"),
        );
    }
    if let Some(turn) = quarters.as_ref().filter(|turn| turn.value % 2 == 1 && !kind.value.can_lie()) {
        let message = format!("a {} cannot lie on its side", kind.value.symbol().label);
        found.push(
            Finding::error("upright-symbol", message, turn.span, "its words would run into each other")
                .help("turn the things around it, or write `mirror = true` or `turn = \"half\"`"),
        );
    }
    let symbol = kind.value.symbol();
    let own = if kind.value == Kind::Point { "" } else { symbol.label };
    Some(CircuitSymbol {
        name,
        turned: Turned { symbol, at: at?.value, quarters: quarters.map_or(0, |turn| turn.value), flipped },
        label: if has_label { label.map_or_else(String::new, |label| label.value) } else { own.to_owned() },
        part,
        reads,
        closed: closed.unwrap_or(kind.value == Kind::NeutralSwitch),
        free,
        values,
        span,
    })
}

fn check_label(label: Option<&Spanned<String>>, found: &mut Vec<Finding>) {
    let Some(label) = label else { return };
    let letters = label.value.chars().count();
    if letters > LONGEST_LABEL {
        let message = format!("a label has {letters} letters; a diagram has room for {LONGEST_LABEL}");
        found.push(
            Finding::error("long-label", message, label.span, "a text, not a label")
                .help("write a name here, and the rest into the lesson"),
        );
    }
}

fn wire(mut keys: Keys, found: &mut Vec<Finding>) -> CircuitWire {
    let span = keys.span;
    let from = keys.needed_text("from", found);
    let to = keys.needed_text("to", found);
    let name = keys.text("label", found);
    check_label(name.as_ref(), found);
    let parts = keys.text_or_texts("part", found);
    let reads = keys.text_or_texts("reads", found);
    let size = keys.text("size", found);
    let length = keys.number("length_m", (0.0, 100.0), found);
    let resistance = keys.number("resistance_ohm", (0.0, 1e9), found);
    let places = (keys.span_of("size"), keys.span_of("length_m"));
    keys.finish(found);
    let parts = parts.into_iter().filter_map(|part| part_of(part, found)).collect();
    let sized = size.as_ref().zip(length.as_ref());
    let by_size = sized.and_then(|(size, length)| cable_ohm(size, length.value, found));
    if size.is_some() != length.is_some() && resistance.is_none() {
        let (has, lacks, place) =
            if size.is_some() { ("size", "length_m", places.0) } else { ("length_m", "size", places.1) };
        let message = format!("this wire has a `{has}` and no `{lacks}`");
        found.push(
            Finding::error("missing-key", message, place, format!("`{lacks}` is missing"))
                .help("give both, or `resistance_ohm`, or neither"),
        );
    }
    let gauge = size.map(|size| size.value.replace("mm2", "mm²").replace(' ', "\u{a0}"));
    let long = length.map(|length| format!("{}\u{a0}m", fieldcoil_calc::number::short(length.value)));
    let measure = [gauge, long].into_iter().flatten().collect::<Vec<_>>().join(", ");
    let name = name.map_or_else(String::new, |name| name.value);
    let label = [name, measure].into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", ");
    CircuitWire {
        from,
        to,
        label,
        parts,
        reads,
        resistance_ohm: resistance.map(|ohm| ohm.value).or(by_size),
        span,
    }
}

/// Resistance of a flexible copper cable at 20 °C.
fn cable_ohm(size: &Spanned<String>, length_m: f64, found: &mut Vec<Finding>) -> Option<f64> {
    let each = Size::named(&size.value)
        .and_then(|size| resistance_per_metre(size, Metal::Copper, StrandClass::Flexible));
    if each.is_none() {
        let message = format!("`{}` is no size of a copper cable", shown(&size.value));
        found.push(
            Finding::error("cable-size", message, size.span, "in no list of sizes")
                .help("write a size as `35 mm2` (IEC 60228) or `AWG 2/0`, or give `resistance_ohm`"),
        );
    }
    Some(run_resistance(each?, Metre(length_m)).0)
}

fn part_of(word: Spanned<String>, found: &mut Vec<Finding>) -> Option<Spanned<Part>> {
    let part = Part::find(&word.value);
    if part.is_none() {
        let message = format!("`part` cannot be `{}`", shown(&word.value));
        let all: Vec<_> = Part::ALL.iter().map(|part| format!("`{}`", part.word())).collect();
        found.push(
            Finding::error("unknown-word", message, word.span, "not one of the words known here")
                .near(&word.value, Part::ALL.iter().map(|part| part.word()))
                .help(format!("known are {}", all.join(", "))),
        );
    }
    part.map(|part| Spanned::new(part, word.span))
}

fn state(mut keys: Keys, found: &mut Vec<Finding>) -> CircuitState {
    let name = keys.needed_text("name", found);
    let closed = keys.text_or_texts("closed", found);
    let open = keys.text_or_texts("open", found);
    keys.finish(found);
    CircuitState { name, closed, open }
}

fn reading(mut keys: Keys, found: &mut Vec<Finding>) -> Option<StatedReading> {
    let meter = keys.needed_text("meter", found);
    let when = keys.needed_text("when", found);
    let value = keys.needed_number("value", READING, found);
    let tolerance = keys.needed_number("tolerance", (0.0, READING.1), found);
    keys.finish(found);
    Some(StatedReading { meter, when, value: value?, tolerance: tolerance?.value })
}
