//! A diagram as SVG.
//!
//! What comes and goes with the steps of a hookup or the states of a diagram has `data-on`: the moments at which it is
//! lit, as inclusive ranges. What is lit at the moment that a page without script shows has `data-lit` from the start.

use crate::course::selfcheck::Place;
use crate::course::{
    Circuit, CircuitSymbol, Drawn, LABEL_SIZE, LabelOf, Moments, PlacedLabel, STEP_MARK, Scenes, Terminal,
};
use crate::layout::Point;
use crate::layout::label::LINE;
use crate::layout::rect::Rect;
use crate::render::escape;
use crate::symbol::{STEP, Shape};

/// Half the width of the number of a place to be named.
const ASK_MARK: f64 = 11.0;

/// The whole drawing.
pub fn svg(circuit: &Circuit, drawn: &Drawn) -> String {
    let mut out = Drawing { text: String::new(), shown: drawn.scenes.shown, asks: false };
    out.head(drawn.bounds, &circuit.id, &circuit.title, &circuit.text);
    // Where wires run together, the one with current is seen.
    for (class, at) in [
        ("ink wire", &drawn.scenes.joined),
        ("live hot", &drawn.scenes.hot),
        ("live flow", &drawn.scenes.flow),
    ] {
        for (way, at) in drawn.ways.iter().zip(at).filter(|(_, at)| !at.is_empty()) {
            let moments = out.moments(at);
            out.wire(way, class, &moments);
        }
    }
    out.things(circuit, drawn, &[]);
    for (step, (x, y)) in drawn.steps.iter().flatten() {
        out.number("step-mark", fine((*x, *y)), STEP_MARK, step);
    }
    for label in &drawn.labels {
        let values = drawn.scenes.values.iter().filter(|(of, _, _)| *of == label.of);
        out.label(label, values.map(|(_, at, words)| (at, words.as_str())));
    }
    out.push("</svg>");
    out.text
}

/// The drawing with numbers where places are to be named: `id` goes before its identifiers, `text` says what is to be
/// done. All wires are there, and nothing is lit.
pub fn asked(circuit: &Circuit, drawn: &Drawn, places: &[Place], id: &str, text: &str) -> String {
    let mut out = Drawing { text: String::new(), shown: drawn.scenes.shown, asks: true };
    out.head(drawn.bounds.grown(ASK_MARK), id, &circuit.title, text);
    for way in &drawn.ways {
        out.wire(way, "ink wire", " data-lit");
    }
    out.things(circuit, drawn, places);
    let is_asked = |label: &PlacedLabel| places.iter().any(|place| place.is_named_by(label.of));
    for label in drawn.labels.iter().filter(|label| !is_asked(label)) {
        out.label(label, std::iter::empty());
    }
    for (index, place) in places.iter().enumerate() {
        let at = number_place(circuit, drawn, places, *place);
        out.number("ask-mark", at, ASK_MARK, &(index + 1).to_string());
    }
    out.push("</svg>");
    out.text
}

/// Where the number of a place stands: on a terminal; of a symbol where its words were, as close to it as wires and
/// the numbers of terminals leave room.
fn number_place(circuit: &Circuit, drawn: &Drawn, places: &[Place], place: Place) -> (f64, f64) {
    let symbol = match place {
        Place::Terminal(terminal) => return fine(terminal_place(circuit, terminal)),
        Place::Symbol(symbol) => symbol,
    };
    let [left, top, right, bottom] = circuit.symbols[symbol].turned.body();
    let ((left, top), (right, bottom)) = (fine((left, top)), fine((right, bottom)));
    let middle = ((left + right) / 2.0, (top + bottom) / 2.0);
    let Some(label) = drawn.labels.iter().find(|label| place.is_named_by(label.of)) else { return middle };
    let wires = drawn.ways.iter().flat_map(|way| way.windows(2));
    let mut barred: Vec<Rect> =
        wires.map(|pair| Rect::between(fine(pair[0]), fine(pair[1])).grown(ASK_MARK + 1.0)).collect();
    barred.extend(places.iter().filter_map(|other| match other {
        Place::Terminal(terminal) => {
            let at = fine(terminal_place(circuit, *terminal));
            Some(Rect::between(at, at).grown(2.0 * ASK_MARK + 1.0))
        }
        Place::Symbol(_) => None,
    }));
    let rect = label.rect();
    let count = (rect.width() / 2.0) as usize;
    let mut rooms: Vec<(f64, f64)> =
        (0..=count).map(|step| (rect.left + 2.0 * step as f64, label.middle.1)).collect();
    let far = |(x, y): &(f64, f64)| (x - middle.0) * (x - middle.0) + (y - middle.1) * (y - middle.1);
    rooms.sort_by(|one, other| far(one).total_cmp(&far(other)));
    let is_free = |(x, y): &&(f64, f64)| {
        barred.iter().all(|rect| *x < rect.left || *x > rect.right || *y < rect.top || *y > rect.bottom)
    };
    rooms.iter().find(is_free).copied().unwrap_or(label.middle)
}

fn terminal_place(circuit: &Circuit, (symbol, pin): Terminal) -> Point {
    circuit.symbols[symbol].turned.pin(pin)
}

fn fine((x, y): Point) -> (f64, f64) {
    (f64::from(x * STEP), f64::from(y * STEP))
}

struct Drawing {
    text: String,
    shown: usize,
    /// Is it a question? Then nothing that carries current is marked.
    asks: bool,
}

impl Drawing {
    fn push(&mut self, svg: &str) {
        self.text.push_str(svg);
    }

    fn head(&mut self, bounds: Rect, id: &str, title: &str, text: &str) {
        self.push(&format!(
            "<svg viewBox=\"{} {} {} {}\" width=\"{}\" role=\"img\" aria-labelledby=\"{id}-title\">",
            place(bounds.left),
            place(bounds.top),
            place(bounds.width()),
            place(bounds.height()),
            place(bounds.width() * 1.25),
        ));
        self.push(&format!("<title id=\"{id}-title\">{}</title>", escape::text(title)));
        self.push(&format!("<desc id=\"{id}-text\">{}</desc>", escape::text(text)));
    }

    /// Junctions and symbols; the marks of terminals that are to be named are left out.
    fn things(&mut self, circuit: &Circuit, drawn: &Drawn, asked: &[Place]) {
        for (x, y) in &drawn.dots {
            let (x, y) = (x * STEP, y * STEP);
            self.push(&format!("<circle class=\"ink fill-ink\" cx=\"{x}\" cy=\"{y}\" r=\"3\"/>"));
        }
        for (index, symbol) in circuit.symbols.iter().enumerate() {
            let is_asked = |pin: usize| asked.contains(&Place::Terminal((index, pin)));
            self.symbol(symbol, &drawn.scenes, index, is_asked);
        }
    }

    /// A number in a circle.
    fn number(&mut self, class: &str, (x, y): (f64, f64), half: f64, number: &str) {
        let (cx, cy) = (place(x), place(y));
        self.push(&format!(
            "<g class=\"{class}\"><circle class=\"ink fill-paper\" cx=\"{cx}\" cy=\"{cy}\" r=\"{half}\"/>"
        ));
        self.words("", (x, y), 11.0, number);
        self.push("</g>");
    }

    /// `data-on="3-5 9"`, and `data-lit` when that holds at the moment shown first.
    fn moments(&self, at: &Moments) -> String {
        let range = |(first, last): &(usize, usize)| match first == last {
            true => first.to_string(),
            false => format!("{first}-{last}"),
        };
        let ranges: Vec<String> = at.iter().map(range).collect();
        let lit = at.iter().any(|(first, last)| (*first..=*last).contains(&self.shown));
        format!(" data-on=\"{}\"{}", ranges.join(" "), if lit { " data-lit" } else { "" })
    }

    fn wire(&mut self, way: &[Point], class: &str, moments: &str) {
        self.push(&format!("<path class=\"{class}\"{moments} d=\""));
        for (index, (x, y)) in way.iter().enumerate() {
            let letter = if index == 0 { 'M' } else { 'L' };
            self.push(&format!("{letter}{} {}", x * STEP, y * STEP));
        }
        self.push("\"/>");
    }

    fn symbol(
        &mut self,
        symbol: &CircuitSymbol,
        scenes: &Scenes,
        index: usize,
        is_asked: impl Fn(usize) -> bool,
    ) {
        let (worked, busy, count) = (&scenes.worked[index], &scenes.busy[index], scenes.count);
        let turned = symbol.turned;
        let table = turned.symbol;
        let moments = if busy.is_empty() || self.asks { String::new() } else { self.moments(busy) };
        self.push(&format!("<g class=\"device\"{moments} transform=\"{}\">", turned.transform()));
        self.shapes(table.shapes);
        if worked.is_empty() || table.worked.is_empty() {
            self.shapes(table.rest);
        } else {
            for (shapes, at) in [(table.rest, &complement(worked, count)), (table.worked, worked)] {
                self.push(&format!("<g class=\"moving\"{}>", self.moments(at)));
                self.shapes(shapes);
                self.push("</g>");
            }
        }
        self.push("</g>");
        for (x, y, words) in table.texts {
            self.inner_words(symbol, (*x, *y), words, LABEL_SIZE - 1.0);
        }
        for (_, pin) in table.pins.iter().enumerate().filter(|(index, _)| !is_asked(*index)) {
            if let Some(at) = pin.mark_at {
                self.inner_words(symbol, at, pin.mark, LABEL_SIZE - 1.0);
            }
        }
    }

    fn shapes(&mut self, shapes: &[Shape]) {
        for shape in shapes {
            let (class, d) = match shape {
                Shape::Line(d) => ("ink", d),
                Shape::Bold(d) => ("ink strong", d),
                Shape::Link(d) => ("ink link", d),
                Shape::Open(d) => ("ink fill-paper", d),
                Shape::Solid(d) => ("ink fill-ink", d),
            };
            self.push(&format!("<path class=\"{class}\" d=\"{d}\"/>"));
        }
    }

    /// Words inside a symbol stay upright however it is turned.
    fn inner_words(&mut self, symbol: &CircuitSymbol, own: (i32, i32), words: &str, size: f64) {
        let (x, y) = symbol.turned.fine_place(own);
        self.words(" class=\"mark\"", (f64::from(x), f64::from(y)), size, words);
    }

    /// A line of words around a middle.
    fn words(&mut self, attributes: &str, (x, y): (f64, f64), size: f64, words: &str) {
        // Capitals and figures are about 0.7 of the letter's size high.
        let (x, y) = (place(x), place(y + 0.35 * size));
        let size = place(size);
        let words = escape::text(words);
        self.push(&format!(
            "<text{attributes} x=\"{x}\" y=\"{y}\" font-size=\"{size}\" text-anchor=\"middle\">{words}</text>"
        ));
    }

    fn label<'v>(&mut self, label: &PlacedLabel, values: impl Iterator<Item = (&'v Moments, &'v str)>) {
        let (x, y) = label.middle;
        let lines = label.lines.len() + label.value_lines;
        let line_at = |index: usize| y + (index as f64 - (lines as f64 - 1.0) / 2.0) * LINE * LABEL_SIZE;
        let class = match label.of {
            LabelOf::Symbol(_) => " class=\"name\"",
            LabelOf::Wire(_) => " class=\"wire-name\"",
        };
        let (words_from, values_from) =
            if label.values_first { (label.value_lines, 0) } else { (0, label.lines.len()) };
        for (index, line) in label.lines.iter().enumerate() {
            self.words(class, (x, line_at(words_from + index)), LABEL_SIZE, line);
        }
        for (at, words) in values {
            self.push(&format!("<g class=\"value\"{}>", self.moments(at)));
            // Fewer values than there is room for stand next to the words.
            let parts = words.split(", ").count();
            let from = if label.values_first { label.value_lines - parts } else { values_from };
            for (index, part) in words.split(", ").enumerate() {
                self.words("", (x, line_at(from + index)), LABEL_SIZE, part);
            }
            self.push("</g>");
        }
    }
}

/// The moments that are left.
fn complement(of: &Moments, count: usize) -> Moments {
    let mut left = Moments::new();
    let mut next = 0;
    for (first, last) in of {
        if next < *first {
            left.push((next, first - 1));
        }
        next = last + 1;
    }
    if next < count {
        left.push((next, count - 1));
    }
    left
}

/// A number with at most one decimal.
fn place(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    if tenths == 0.0 { "0".to_owned() } else { tenths.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_is_all_the_rest() {
        assert_eq!(complement(&vec![(2, 3), (5, 5)], 8), [(0, 1), (4, 4), (6, 7)]);
        assert_eq!(complement(&vec![(0, 7)], 8), []);
        assert_eq!(complement(&vec![], 3), [(0, 2)]);
    }
}
