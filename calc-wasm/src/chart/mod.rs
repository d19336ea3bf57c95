//! Charts as data: curves, points and bands over two axes, in base units.

use crate::unit::Quantity;

/// A chart. Everything in it is in base units; the axes say in which units it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// What it shows: `Current after energizing`.
    pub title: String,
    /// Along.
    pub x: Axis,
    /// Up.
    pub y: Axis,
    /// Curves and points, the most important first.
    pub series: Vec<Series>,
    /// Ranges of the upward axis that mean something, such as the sheet's limits.
    pub bands: Vec<Band>,
}

/// One axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// `Time`.
    pub label: String,
    /// What is measured along it.
    pub quantity: Quantity,
    /// Symbol of the unit in which it is drawn; empty for the base unit.
    pub unit: &'static str,
}

/// One curve or one set of points.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// What it is: `expected`, `read at the bench`.
    pub name: String,
    /// How it is drawn, so that it is told from the others in black and white.
    pub mark: Mark,
    /// Where it goes.
    pub points: Vec<(f64, f64)>,
}

/// How a series is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// A whole line.
    Line,
    /// A broken line.
    Dashes,
    /// A line of dots.
    Dots,
    /// Crosses, with the value beside each: things that were measured.
    Crosses,
}

/// A range that means something.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// `limits of the sheet`.
    pub name: String,
    /// Its lower end, if it has one.
    pub low: Option<f64>,
    /// Its upper end, if it has one.
    pub high: Option<f64>,
}

impl Axis {
    /// An axis drawn in the unit with this symbol; `""` for the base unit.
    pub fn new(label: &str, quantity: Quantity, unit: &'static str) -> Self {
        Axis { label: label.to_owned(), quantity, unit }
    }
}
