//! A wiring diagram: symbols, wires, and how the circuit stands at which moment.

use std::collections::BTreeMap;

use super::Part;
use crate::layout::Point;
use crate::layout::rect::Rect;
use crate::layout::route::Way;
use crate::source::{Span, Spanned};
use crate::symbol::{Kind, Turned};

/// A diagram.
#[derive(Debug, Clone)]
pub struct Circuit {
    /// Anchor: `circuit-1`.
    pub id: String,
    /// Name under which a self-check of the lesson asks about it; its title does as well.
    pub name: Option<Spanned<String>>,
    /// Its title.
    pub title: String,
    /// What it shows, in words.
    pub text: String,
    /// The hookup of the lesson whose steps connect it.
    pub hookup: Option<Spanned<String>>,
    /// Its symbols.
    pub symbols: Vec<CircuitSymbol>,
    /// Its wires.
    pub wires: Vec<CircuitWire>,
    /// Moments that it can show; none when a hookup's steps are the moments.
    pub states: Vec<CircuitState>,
    /// Readings that the lesson states, to be held against the computed ones.
    pub stated: Vec<StatedReading>,
    /// Could all of it be read? What is missing would be reported twice.
    pub complete: bool,
    /// Filled in by the resolve stage: where everything goes, and what flows when. Nothing when names or places do not
    /// fit, which are findings.
    pub drawn: Option<Drawn>,
    /// Where it stands.
    pub span: Span,
}

/// A symbol in its place.
#[derive(Debug, Clone)]
pub struct CircuitSymbol {
    /// What wires call it.
    pub name: Spanned<String>,
    /// Which symbol, where and how it is turned.
    pub turned: Turned,
    /// What stands beside it; nothing for what needs no words.
    pub label: String,
    /// The part of a hookup that it is: `main-switch`, `start-button`, `clamp-meter`.
    pub part: Option<Spanned<Part>>,
    /// Of a switch that stands for one of several loads: the readings for which it is the one.
    pub reads: Vec<Spanned<String>>,
    /// Of what can be switched: is it closed when nothing else says so?
    pub closed: bool,
    /// Terminals that are meant to stay free.
    pub free: Vec<Spanned<String>>,
    /// What it measures in volts, ohms and so on, by key.
    pub values: BTreeMap<&'static str, Spanned<f64>>,
    /// Where it stands.
    pub span: Span,
}

impl CircuitSymbol {
    /// What kind of thing it is.
    pub fn kind(&self) -> Kind {
        self.turned.symbol.kind
    }

    /// One of its values.
    pub fn value(&self, key: &str) -> Option<f64> {
        self.values.get(key).map(|value| value.value)
    }
}

/// A wire between two terminals.
#[derive(Debug, Clone)]
pub struct CircuitWire {
    /// One end as written: `supply.+`.
    pub from: Spanned<String>,
    /// The other.
    pub to: Spanned<String>,
    /// What stands beside it: a name, its gauge and its length.
    pub label: String,
    /// The leads of a hookup that it is: it is there when all of them are attached.
    pub parts: Vec<Spanned<Part>>,
    /// Of meter leads that a hookup puts to several places: the readings for which they are here.
    pub reads: Vec<Spanned<String>>,
    /// Its resistance; nothing when neither that nor its size and length are given.
    pub resistance_ohm: Option<f64>,
    /// Where it stands.
    pub span: Span,
}

/// A moment that a diagram without hookup can show.
#[derive(Debug, Clone)]
pub struct CircuitState {
    /// What it is called: `cranking`.
    pub name: Spanned<String>,
    /// Names of the symbols that are closed.
    pub closed: Vec<Spanned<String>>,
    /// Names of those that are open; all others are as they say of themselves.
    pub open: Vec<Spanned<String>>,
}

/// A reading that the lesson states.
#[derive(Debug, Clone)]
pub struct StatedReading {
    /// The meter's symbol.
    pub meter: Spanned<String>,
    /// The moment: a state's name, or a reading of the hookup, taken at its step.
    pub when: Spanned<String>,
    /// What the lesson says, in volts or amperes.
    pub value: Spanned<f64>,
    /// How far the computed one may be from it.
    pub tolerance: f64,
}

/// Numbers of moments, first and last of each stretch.
pub type Moments = Vec<(usize, usize)>;

/// A terminal: place of its symbol in the circuit, place of the pin in the symbol.
pub type Terminal = (usize, usize);

/// A diagram with everything in its place.
#[derive(Debug, Clone)]
pub struct Drawn {
    /// Both terminals of each wire.
    pub ends: Vec<[Terminal; 2]>,
    /// Corners of each wire.
    pub ways: Vec<Way>,
    /// Junctions.
    pub dots: Vec<Point>,
    /// Words in their places.
    pub labels: Vec<PlacedLabel>,
    /// Of each wire the steps that attach it, and where that number stands.
    pub steps: Vec<Option<(String, Point)>>,
    /// All of it.
    pub bounds: Rect,
    /// What flows when.
    pub scenes: Scenes,
}

/// Words in their place.
#[derive(Debug, Clone)]
pub struct PlacedLabel {
    /// What they belong to.
    pub of: LabelOf,
    /// Their middle, in drawing units.
    pub middle: (f64, f64),
    /// Width and height.
    pub size: (f64, f64),
    /// The lines.
    pub lines: Vec<String>,
    /// How many more lines there is room for: for values.
    pub value_lines: usize,
    /// Do the values stand above the words? Then the words are next to what they name.
    pub values_first: bool,
}

/// Size of the letters of labels, in drawing units.
pub const LABEL_SIZE: f64 = 13.0;
/// Half the width of a step's number with its frame.
pub const STEP_MARK: f64 = 9.0;

impl PlacedLabel {
    /// The room it takes.
    pub fn rect(&self) -> Rect {
        Rect::around(self.middle, self.size.0, self.size.1)
    }
}

/// What a label belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LabelOf {
    /// A symbol.
    Symbol(usize),
    /// A wire.
    Wire(usize),
}

/// What a circuit is like at each of its moments: before the first step of its hookup, after each of them; or in each of
/// its states.
#[derive(Debug, Clone, Default)]
pub struct Scenes {
    /// How many moments there are.
    pub count: usize,
    /// The moment that a page without script and a printed one show.
    pub shown: usize,
    /// When each wire is connected.
    pub joined: Vec<Moments>,
    /// When each wire is at the voltage of the supply's side while nothing flows in it.
    pub hot: Vec<Moments>,
    /// When current flows in each wire.
    pub flow: Vec<Moments>,
    /// When each symbol is worked: a switch closed, a contact pulled.
    pub worked: Vec<Moments>,
    /// When current flows in each symbol.
    pub busy: Vec<Moments>,
    /// Values that stand beside things, when there are numbers: which thing, when, and the words.
    pub values: Vec<(LabelOf, Moments, String)>,
    /// What each meter shows at each moment, in volts or amperes; for stated readings.
    pub meters: BTreeMap<usize, Vec<Option<f64>>>,
    /// For each stated reading its moment.
    pub stated_at: Vec<Option<usize>>,
}
