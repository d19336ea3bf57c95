//! A chart as SVG elements: the same in a page, on paper and in a file of its own.
//!
//! Everything is drawn with presentation attributes in the colour of the text around it, so a chart needs no style
//! sheet and is told apart by strokes alone, in black and white as in any colour scheme.

use super::ticks::Ticks;
use super::{Axis, Band, Chart, Mark, Series};
use crate::number::to_places;
use crate::report::show;
use crate::unit::Unit;
use crate::view::Html;

const WIDTH: f64 = 420.0;
const PLOT: Frame = Frame { left: 52.0, right: 400.0, top: 26.0, bottom: 222.0 };
/// Below the plot: the axis' labels and its name.
const AXIS_DEPTH: f64 = 40.0;
const KEY_ROW: f64 = 18.0;
/// Most crosses that carry their value.
const MOST_NAMED: usize = 8;

/// Where the plot lies in the drawing.
struct Frame {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

/// An axis with its divisions and its place in the drawing.
struct Scale {
    unit: &'static Unit,
    ticks: Ticks,
    from: f64,
    to: f64,
}

impl Scale {
    fn new(axis: &Axis, (low, high): (f64, f64), wanted: usize, (from, to): (f64, f64)) -> Self {
        let unit = axis.drawn_unit();
        let ticks = Ticks::covering(unit.of_base(low), unit.of_base(high), wanted);
        Scale { unit, ticks, from, to }
    }

    fn place(&self, base: f64) -> f64 {
        self.place_drawn(self.unit.of_base(base))
    }

    fn place_drawn(&self, value: f64) -> f64 {
        let share = (value - self.ticks.first) / (self.ticks.last() - self.ticks.first);
        self.from + share.clamp(-0.02, 1.02) * (self.to - self.from)
    }
}

const STROKE: &str = "fill=\"none\" stroke=\"currentColor\"";
const FAINT: &str = "fill=\"none\" stroke=\"currentColor\" stroke-opacity=\"0.25\"";
const LIMIT: &str = "stroke=\"currentColor\" stroke-dasharray=\"10 3 2 3\"";

impl Chart {
    /// The chart with its caption, as a page shows it.
    pub fn figure(&self) -> String {
        let mut html = Html::default();
        html.open("figure", "class=\"chart\"");
        self.drawing(&mut html, "", None);
        html.open("figcaption", "");
        html.leaf("b", "", &[self.title.as_str(), "."].concat());
        html.text(" ");
        html.text(&self.says());
        html.close("figcaption");
        html.close("figure");
        html.done()
    }

    /// The chart as a file of its own.
    pub fn file(&self) -> String {
        let mut html = Html::default();
        self.drawing(&mut html, "xmlns=\"http://www.w3.org/2000/svg\" ", Some(&self.says()));
        html.done()
    }

    fn drawing(&self, out: &mut Html, before: &str, desc: Option<&str>) {
        let keys = self.series.len() + self.bands.len();
        let height = PLOT.bottom + AXIS_DEPTH + KEY_ROW * keys as f64 + 4.0;
        let x = Scale::new(&self.x, self.x_range(), 6, (PLOT.left, PLOT.right));
        let y = Scale::new(&self.y, self.y_range(), 5, (PLOT.bottom, PLOT.top));
        let attributes = [
            before,
            "viewBox=\"0 0 ",
            &place(WIDTH),
            " ",
            &place(height),
            "\" role=\"img\" font-family=\"sans-serif\" font-size=\"12.5\" fill=\"currentColor\"",
        ];
        out.open_with("svg", &attributes.concat(), "aria-label", &["Chart: ", &self.title].concat());
        if let Some(desc) = desc {
            out.leaf("title", "", &self.title);
            out.leaf("desc", "", desc);
        }
        grid(out, &x, &y);
        label_at(out, &self.x.name(), (PLOT.right, PLOT.bottom + 32.0), "end");
        label_at(out, &self.y.name(), (4.0, PLOT.top - 10.0), "start");
        for band in &self.bands {
            band_lines(out, band, &y);
        }
        for series in &self.series {
            curve(out, series, &self.y, &x, &y);
        }
        key(out, &self.series, &self.bands);
        out.close("svg");
    }
}

/// Division lines, all in one path, and their labels.
fn grid(out: &mut Html, x: &Scale, y: &Scale) {
    let [left, right, top, bottom] = [PLOT.left, PLOT.right, PLOT.top, PLOT.bottom].map(place);
    let mut d = String::new();
    for (value, label) in x.ticks.labels() {
        let at = x.place_drawn(value);
        d.push_str(&["M", &place(at), " ", &top, "V", &bottom].concat());
        label_at(out, &label, (at, PLOT.bottom + 15.0), "middle");
    }
    for (value, label) in y.ticks.labels() {
        let at = y.place_drawn(value);
        d.push_str(&["M", &left, " ", &place(at), "H", &right].concat());
        label_at(out, &label, (PLOT.left - 6.0, at + 4.0), "end");
    }
    path(out, &d, FAINT);
    path(out, &["M", &left, " ", &top, "V", &bottom, "H", &right].concat(), STROKE);
}

fn band_lines(out: &mut Html, band: &Band, y: &Scale) {
    for end in [band.low, band.high].into_iter().flatten().map(|end| y.place(end)) {
        line(out, (PLOT.left, end), (PLOT.right, end), LIMIT);
    }
    if let (Some(low), Some(high)) = (band.low, band.high) {
        let (top, bottom) = (place(y.place(high)), place(y.place(low)));
        let (left, right) = (place(PLOT.left), place(PLOT.right));
        let d = ["M", &left, " ", &top, "H", &right, "V", &bottom, "H", &left, "z"].concat();
        path(out, &d, "fill-opacity=\"0.07\"");
    }
}

fn curve(out: &mut Html, series: &Series, axis: &Axis, x: &Scale, y: &Scale) {
    let points = series.finite();
    if series.mark == Mark::Crosses {
        let named = points.len() <= MOST_NAMED;
        for (at, value) in points {
            cross(out, (x.place(at), y.place(value)), named.then(|| show(axis.quantity, value, 3)));
        }
        return;
    }
    let mut d = String::new();
    for (at, value) in points {
        d.push(if d.is_empty() { 'M' } else { 'L' });
        d.push_str(&place(x.place(at)));
        d.push(' ');
        d.push_str(&place(y.place(value)));
    }
    path(out, &d, stroke(series.mark));
}

fn cross(out: &mut Html, (left, up): (f64, f64), named: Option<String>) {
    let (a, b) = (place(left - 5.0), place(left + 5.0));
    let (c, d) = (place(up - 5.0), place(up + 5.0));
    let d = ["M", &a, " ", &c, "L", &b, " ", &d, "M", &a, " ", &d, "L", &b, " ", &c].concat();
    path(out, &d, stroke(Mark::Crosses));
    if let Some(words) = named {
        // A label that would leave the plot stands on the other side of its cross.
        let (shift, anchor) = if left > PLOT.right - 60.0 { (-8.0, "end") } else { (8.0, "start") };
        let lift = if up < PLOT.top + 12.0 { 14.0 } else { -5.0 };
        // A curve behind the words is kept off them by a rim in the colour of the sheet.
        let rim = [anchor, "\" paint-order=\"stroke\" stroke=\"Canvas\" stroke-width=\"4"].concat();
        label_at(out, &words, (left + shift, up + lift), &rim);
    }
}

/// What each stroke stands for, one row each below the plot.
fn key(out: &mut Html, series: &[Series], bands: &[Band]) {
    let strokes = series.iter().map(|one| (one.mark == Mark::Crosses, stroke(one.mark), &one.name));
    let limits = bands.iter().map(|band| (false, LIMIT, &band.name));
    let mut row = PLOT.bottom + AXIS_DEPTH + 10.0;
    for (is_cross, stroke, name) in strokes.chain(limits) {
        match is_cross {
            true => cross(out, (PLOT.left + 18.0, row - 4.0), None),
            false => line(out, (PLOT.left, row - 4.0), (PLOT.left + 36.0, row - 4.0), stroke),
        }
        label_at(out, name, (PLOT.left + 44.0, row), "start");
        row += KEY_ROW;
    }
}

fn stroke(mark: Mark) -> &'static str {
    match mark {
        Mark::Line | Mark::Crosses => {
            "fill=\"none\" stroke=\"currentColor\" stroke-width=\"2\" stroke-linejoin=\"round\""
        }
        Mark::Dashes => "fill=\"none\" stroke=\"currentColor\" stroke-width=\"2\" stroke-dasharray=\"8 5\"",
        Mark::Dots => "fill=\"none\" stroke=\"currentColor\" stroke-width=\"2\" stroke-dasharray=\"2 4\"",
    }
}

fn line(out: &mut Html, from: (f64, f64), to: (f64, f64), strokes: &str) {
    let d = ["M", &place(from.0), " ", &place(from.1), "L", &place(to.0), " ", &place(to.1)];
    path(out, &d.concat(), strokes);
}

fn path(out: &mut Html, d: &str, attributes: &str) {
    out.open_with("path", attributes, "d", d);
    out.close("path");
}

fn label_at(out: &mut Html, words: &str, (left, base): (f64, f64), anchor: &str) {
    let attributes =
        ["x=\"", &place(left), "\" y=\"", &place(base), "\" text-anchor=\"", anchor, "\""].concat();
    out.leaf("text", &attributes, words);
}

/// A place in the drawing, to a tenth; SVG wants an ASCII minus.
fn place(value: f64) -> String {
    let words = to_places(value, 1);
    let words = words.strip_suffix(".0").unwrap_or(&words);
    words.replace('−', "-")
}
