//! Courses of which one part is made up: a lesson, a block, a file beside the lessons, a circuit. Shared with `tests/fuzz`.

use std::fmt::Write;

use fieldcoil::source::{SourceAsset, SourceSet};
use fieldcoil::symbol::{Kind, SYMBOLS};

use super::answered::course_of;

const COURSE: &str = "title = \"x\"\nsummary = \"x\"\nschool = \"x\"\nauthor = \"x\"\nedition = \"1\"\n";
const HEAD: &str = "```lesson\ntitle = \"x\"\nsummary = \"x\"\nminutes = 9\n```\n\n";

/// What a block can refer to, as a lesson around it.
const AROUND: &str = include_str!("made_up.md");

/// A recording that a trace can show.
const RUN: &[u8] =
    b"time (s),current (A)\n0.00,0\n0.01,0\n0.02,90\n0.03,70\n0.04,60\n0.05,58\n0.06,57\n0.07,58\n0.08,57\n";

/// Files beside the lessons, each with one that is in order.
const FILES: [(&str, &str); 5] = [
    ("course.toml", COURSE),
    (
        "glossary.toml",
        "[[word]]\nword = \"pinion\"\nmeans = \"A small gear.\"\nalso = [\"pinions\"]\nsee = [\"ring gear\"]\n\n\
         [[word]]\nword = \"ring gear\"\nmeans = \"A large one.\"\n",
    ),
    (
        "limits.toml",
        "[[limit]]\nname = \"most\"\nof = \"motor\"\nwhat = \"current\"\nunit = \"A\"\nmaximum = 80\ndemo = true\n",
    ),
    ("outcomes.toml", "[[outcome]]\nname = \"A-1\"\ntext = \"Work safely.\"\npriority = 1\n"),
    (
        "references.toml",
        "[[reference]]\nkey = \"book\"\ntitle = \"A book\"\nnumber = \"1\"\nnote = \"All of it.\"\n",
    ),
];

/// The blocks that a text can stand in.
pub const BLOCKS: [&str; 11] = [
    "lesson",
    "page",
    "caution",
    "hookup",
    "circuit",
    "calculator",
    "homework",
    "selfcheck",
    "trace",
    "worksheet",
    "library",
];

/// All files beside the lessons, `path` of them with another text.
fn course_with<'t>(path: &'t str, text: &'t str) -> Vec<(&'t str, &'t str)> {
    let mut files = FILES.to_vec();
    match files.iter_mut().find(|(other, _)| *other == path) {
        Some((_, other)) => *other = text,
        None => files.push((path, text)),
    }
    files
}

/// Any text as a lesson. The first character says whether HTML may stand in it.
pub fn lesson(text: &str) -> SourceSet {
    let mut rest = text.chars();
    let allows = rest.next().is_some_and(|first| u32::from(first) % 2 == 1);
    let course = format!("{COURSE}allow_html = {allows}\n");
    let mut files = course_with("course.toml", &course);
    let lesson = rest.as_str();
    files.extend([("10-made-up.md", lesson), ("20-other.md", AROUND)]);
    course_of(&files)
}

/// Any text as the inside of a block, or as a file beside the lessons: the first line says which.
pub fn block(text: &str) -> SourceSet {
    let (name, body) = text.split_once('\n').unwrap_or((text, ""));
    if FILES.iter().any(|(path, _)| *path == name) {
        let mut files = course_with(name, body);
        files.push(("10-around.md", AROUND));
        return course_of(&files);
    }
    let sum: usize = name.bytes().map(usize::from).sum();
    let word = BLOCKS.iter().find(|word| **word == name).unwrap_or(&BLOCKS[sum % BLOCKS.len()]);
    let block = format!("````{word}\n{body}\n````\n");
    let mut files = FILES.to_vec();
    let lesson = match *word {
        "lesson" | "page" => format!("{block}\n## A\n\nText.\n"),
        _ => format!("{AROUND}\n## B\n\n{block}\nSee [it](#a).\n"),
    };
    let path = if *word == "page" { "pages/made-up.md" } else { "10-made-up.md" };
    files.push((path, &lesson));
    if *word == "page" {
        files.push(("10-around.md", AROUND));
    }
    let mut sources = course_of(&files);
    sources.assets.push(SourceAsset { path: "traces/run.csv".to_owned(), bytes: RUN.into() });
    sources
}

/// Bytes that choices are made with; all choices are the first one when there are none left.
struct Choices<'b>(std::slice::Iter<'b, u8>);

impl Choices<'_> {
    fn below(&mut self, bound: usize) -> usize {
        usize::from(self.0.next().copied().unwrap_or(0)) % bound.max(1)
    }

    fn one_of<'l, T>(&mut self, list: &'l [T]) -> &'l T {
        &list[self.below(list.len())]
    }

    /// Three of four times.
    fn mostly(&mut self) -> bool {
        self.below(4) != 3
    }
}

/// Values of symbols, likely ones and those at the ends of what is accepted.
const VALUES: [&str; 12] = ["0", "12", "0.01", "1", "0.5", "24", "1000", "1e-300", "1e-9", "900", "0.3", "6"];
const KEYS: [&str; 16] = [
    "source_voltage_v",
    "source_resistance_ohm",
    "pull_in_resistance_ohm",
    "hold_in_resistance_ohm",
    "contact_resistance_ohm",
    "closes_at_v",
    "drops_at_v",
    "coil_resistance_ohm",
    "winding_resistance_ohm",
    "brush_drop_v",
    "sheet_voltage_v",
    "sheet_current_a",
    "sheet_speed_rpm",
    "load_torque_nm",
    "resistance_ohm",
    "none",
];

/// The keys among [`KEYS`] that a kind has.
fn keys_of(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Battery | Kind::BenchSupply => &KEYS[..2],
        Kind::Solenoid => &KEYS[2..7],
        Kind::Relay => &KEYS[4..8],
        Kind::SeriesMotor | Kind::MagnetMotor => &KEYS[8..14],
        Kind::CaseGround | Kind::EngineBlock | Kind::Point | Kind::ClampMeter => &[],
        _ => &KEYS[14..15],
    }
}

/// A symbol that was chosen.
struct Symbol {
    kind: &'static fieldcoil::symbol::Symbol,
    /// Its lines but those about its terminals.
    lines: String,
}

fn symbol(at: usize, pitch: usize, has_numbers: bool, choose: &mut Choices) -> Symbol {
    let kind = if at == 0 { &SYMBOLS[0] } else { choose.one_of(SYMBOLS) };
    let (x, y) = (5 + at % 4 * pitch + choose.below(3), 5 + at / 4 * pitch + choose.below(3));
    let mut lines = format!("\n[[symbol]]\nname = \"s{at}\"\nkind = \"{}\"\nat = [{x}, {y}]\n", kind.word);
    match choose.below(8) {
        1 if kind.kind.can_lie() => lines.push_str("turn = \"right\"\n"),
        2 => lines.push_str("turn = \"half\"\n"),
        3 => lines.push_str("mirror = true\n"),
        4 => lines.push_str("label = \"\"\n"),
        5 => drop(writeln!(lines, "label = \"{}\"", "word ".repeat(1 + choose.below(16)))),
        6 => drop(writeln!(lines, "label = \"{}\"", "W".repeat(1 + choose.below(81)))),
        _ => {}
    }
    if kind.kind.can_be_switched() && choose.mostly() {
        lines.push_str("closed = true\n");
    }
    for (nth, key) in keys_of(kind.kind).iter().enumerate().filter(|_| has_numbers) {
        // With all choices the first one, each value is still another.
        let value = VALUES[(choose.below(VALUES.len()) + nth + 1) % VALUES.len()];
        let _ = writeln!(lines, "{key} = {value}");
    }
    Symbol { kind, lines }
}

fn wire(from: &str, to: &str, choose: &mut Choices) -> String {
    let mut lines = format!("\n[[wire]]\nfrom = \"{from}\"\nto = \"{to}\"\n");
    match choose.below(6) {
        1 => lines.push_str("size = \"35 mm2\"\nlength_m = 1.2\n"),
        2 => lines.push_str("label = \"battery cable\"\n"),
        3 => drop(writeln!(lines, "resistance_ohm = {}", choose.one_of(&VALUES))),
        _ => {}
    }
    lines
}

fn state(at: usize, symbols: &[Symbol], choose: &mut Choices) -> String {
    let (mut closed, mut open) = (Vec::new(), Vec::new());
    for (at, symbol) in symbols.iter().enumerate().filter(|(_, symbol)| symbol.kind.kind.can_be_switched()) {
        let position = match symbol.kind.kind {
            Kind::KeySwitch => *choose.one_of(&[".15", ".50"]),
            _ => "",
        };
        match choose.below(3) {
            1 => closed.push(format!("\"s{at}{position}\"")),
            2 => open.push(format!("\"s{at}\"")),
            _ => {}
        }
    }
    format!("\n[[state]]\nname = \"t{at}\"\nclosed = [{}]\nopen = [{}]\n", closed.join(", "), open.join(", "))
}

/// A circuit that is spelt right, chosen by bytes: a source, some symbols on a loose grid, wires from terminal to terminal.
pub fn circuit(bytes: &[u8]) -> SourceSet {
    let mut choose = Choices(bytes.iter());
    let has_numbers = choose.mostly();
    let count = 2 + choose.below(14);
    let pitch = 10 + choose.below(10);
    let symbols: Vec<Symbol> = (0..count).map(|at| symbol(at, pitch, has_numbers, &mut choose)).collect();
    let (mut wires, mut wired) = (String::new(), Vec::new());
    for _ in 0..choose.below(40) {
        let mut terminal = || {
            let at = choose.below(count);
            format!("s{at}.{}", choose.one_of(symbols[at].kind.pins).name)
        };
        let (from, to) = (terminal(), terminal());
        let joins = |pair: &[String]| pair.contains(&from) && pair.contains(&to);
        if from != to && !wired.chunks(2).any(joins) {
            wires.push_str(&wire(&from, &to, &mut choose));
            wired.extend([from, to]);
        }
    }
    let mut text = String::from("title = \"x\"\ntext = \"x\"\n");
    for (at, Symbol { kind, lines }) in symbols.iter().enumerate() {
        let is_free = |pin: &&fieldcoil::symbol::Pin| !wired.contains(&format!("s{at}.{}", pin.name));
        let free: Vec<_> = kind.pins.iter().filter(is_free).map(|pin| format!("\"{}\"", pin.name)).collect();
        let _ = writeln!(text, "{lines}free = [{}]", free.join(", "));
    }
    text.push_str(&wires);
    for at in 0..choose.below(6) {
        text.push_str(&state(at, &symbols, &mut choose));
    }
    let lesson = format!("{HEAD}## A\n\n```circuit\n{text}```\n");
    let mut files = FILES.to_vec();
    files.push(("10-made-up.md", &lesson));
    course_of(&files)
}
