//! Charts as data: curves, points and bands over two axes, in base units.

use crate::unit::{Quantity, Unit};

mod draw;
mod says;
mod ticks;

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

impl Axis {
    fn drawn_unit(&self) -> &'static Unit {
        self.quantity
            .unit(self.unit)
            .filter(|_| !self.unit.is_empty())
            .unwrap_or_else(|| self.quantity.base())
    }

    /// `Time, s`.
    fn name(&self) -> String {
        match self.drawn_unit().symbol {
            "" => self.label.clone(),
            unit => format!("{}, {unit}", self.label),
        }
    }
}

impl Series {
    /// The points that can be drawn.
    fn finite(&self) -> Vec<(f64, f64)> {
        self.points.iter().copied().filter(|(x, y)| x.is_finite() && y.is_finite()).collect()
    }
}

impl Chart {
    fn x_range(&self) -> (f64, f64) {
        range(self.series.iter().flat_map(Series::finite).map(|(x, _)| x))
    }

    /// The values of all series and bands; from zero where they reach down to its neighbourhood.
    fn y_range(&self) -> (f64, f64) {
        let values = self.series.iter().flat_map(Series::finite).map(|(_, y)| y);
        let ends = self.bands.iter().flat_map(|band| [band.low, band.high]).flatten();
        let (low, high) = range(values.chain(ends.filter(|end| end.is_finite())));
        // A little noise below nothing does not open a division of its own.
        let is_noise = low < 0.0 && -low < 0.05 * high;
        if is_noise || (low > 0.0 && low < 0.5 * high) { (0.0, high) } else { (low, high) }
    }
}

fn range(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = values
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
    if low <= high { (low, high) } else { (0.0, 1.0) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chart() -> Chart {
        Chart {
            title: "Current after energizing".to_owned(),
            x: Axis::new("Time", Quantity::Time, "s"),
            y: Axis::new("Current", Quantity::Current, "A"),
            series: vec![
                Series {
                    name: "expected".to_owned(),
                    mark: Mark::Line,
                    points: vec![(0.0, 0.0), (0.02, 512.0), (1.0, 70.0), (2.0, 65.0)],
                },
                Series {
                    name: "read at the bench".to_owned(),
                    mark: Mark::Crosses,
                    points: vec![(2.0, 68.0), (f64::NAN, 1.0)],
                },
            ],
            bands: vec![Band { name: "sheet".to_owned(), low: Some(40.0), high: Some(80.0) }],
        }
    }

    #[test]
    fn a_chart_says_what_it_shows() {
        assert_eq!(
            chart().says(),
            "Current against time, 0.00 s to 2.00 s. Expected: from 0.00 A, greatest 512 A at 20.0 ms, to 65.0 A at the end. \
             Read at the bench: 68.0 A at 2.00 s. Sheet: 40.0 A to 80.0 A."
        );
    }

    #[test]
    fn a_chart_file_is_drawn_with_plain_numbers() {
        let file = chart().file();
        assert!(file.starts_with("<svg xmlns=") && file.contains("<desc>Current against time"));
        assert!(file.contains(" d=\"M52 ") && !file.contains("NaN") && !file.contains('−'), "{file}");
    }

    #[test]
    fn a_chart_without_points_is_drawn_all_the_same() {
        let mut chart = chart();
        chart.series.clear();
        chart.bands.clear();
        assert!(chart.file().ends_with("</svg>"));
    }
}
