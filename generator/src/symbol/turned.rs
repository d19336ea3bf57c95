//! A symbol in its place: turned, mirrored and moved.

use super::{STEP, Symbol};

/// A symbol in its place.
#[derive(Debug, Clone, Copy)]
pub struct Turned {
    /// Which one.
    pub symbol: &'static Symbol,
    /// Where its middle is, in grid steps.
    pub at: (i32, i32),
    /// How many quarter turns, with the clock.
    pub quarters: u8,
    /// Is it mirrored, left to right, before it is turned?
    pub flipped: bool,
}

impl Turned {
    /// A direction or a place in the symbol's own axes, in those of the drawing.
    fn turn(&self, (x, y): (i32, i32)) -> (i32, i32) {
        let x = if self.flipped { -x } else { x };
        match self.quarters % 4 {
            0 => (x, y),
            1 => (-y, x),
            2 => (-x, -y),
            _ => (y, -x),
        }
    }

    /// A place given in grid steps of the symbol, in those of the drawing.
    pub fn place(&self, own: (i32, i32)) -> (i32, i32) {
        let (x, y) = self.turn(own);
        (self.at.0 + x, self.at.1 + y)
    }

    /// A place given in drawing units of the symbol, in those of the drawing.
    pub fn fine_place(&self, own: (i32, i32)) -> (i32, i32) {
        let (x, y) = self.turn(own);
        (self.at.0 * STEP + x, self.at.1 * STEP + y)
    }

    /// Where a terminal is, in grid steps.
    pub fn pin(&self, index: usize) -> (i32, i32) {
        self.place(self.symbol.pins[index].at)
    }

    /// Left, top, right and bottom of the body, in grid steps.
    pub fn body(&self) -> [i32; 4] {
        let [left, top, right, bottom] = self.symbol.body;
        let (a, b) = (self.place((left, top)), self.place((right, bottom)));
        [a.0.min(b.0), a.1.min(b.1), a.0.max(b.0), a.1.max(b.1)]
    }

    /// What SVG calls it.
    pub fn transform(&self) -> String {
        let (x, y) = (self.at.0 * STEP, self.at.1 * STEP);
        let mut out = format!("translate({x} {y})");
        if !self.quarters.is_multiple_of(4) {
            out.push_str(&format!("rotate({})", 90 * i32::from(self.quarters % 4)));
        }
        if self.flipped {
            out.push_str("scale(-1 1)");
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::label::width;
    use crate::layout::rect::Rect;
    use crate::symbol::Kind;

    /// However a symbol stands that may stand so, the words inside it are apart and stay in it.
    #[test]
    fn words_inside_a_symbol_are_legible_however_it_is_turned() {
        const SIZE: f64 = 12.0;
        let mut lying = Vec::new();
        for symbol in crate::symbol::SYMBOLS {
            for (quarters, flipped) in (0..4).flat_map(|quarters| [(quarters, false), (quarters, true)]) {
                let turned = Turned { symbol, at: (0, 0), quarters, flipped };
                let marks = symbol.pins.iter().filter_map(|pin| Some((pin.mark_at?, pin.mark)));
                let texts = symbol.texts.iter().map(|(x, y, words)| ((*x, *y), *words));
                let boxes: Vec<Rect> = texts
                    .chain(marks)
                    .map(|(own, words)| {
                        let (x, y) = turned.fine_place(own);
                        // The face's widest letters are rare in marks: nine tenths of the greatest width.
                        Rect::around((f64::from(x), f64::from(y)), 0.9 * width(words, SIZE), 0.75 * SIZE)
                    })
                    .collect();
                let body = turned.body().map(|edge| f64::from(edge * STEP));
                let outer = Rect { left: body[0], top: body[1], right: body[2], bottom: body[3] }.grown(4.0);
                let legible = boxes.iter().enumerate().all(|(at, one)| {
                    outer.with(*one) == outer && boxes[..at].iter().all(|other| !other.overlaps(one))
                });
                if !legible {
                    lying.push((symbol.word, quarters));
                }
            }
        }
        lying.dedup();
        for (word, quarters) in &lying {
            let symbol = crate::symbol::SYMBOLS.iter().find(|symbol| symbol.word == *word).expect("its row");
            assert!(!symbol.kind.can_lie() && quarters % 2 == 1, "{word}, {quarters} quarter turns");
        }
        assert!(lying.iter().any(|(word, _)| *word == "solenoid"), "the check can fail");
    }

    #[test]
    fn a_battery_on_its_side_has_its_positive_to_the_right() {
        let battery =
            |quarters, flipped| Turned { symbol: Kind::Battery.symbol(), at: (10, 10), quarters, flipped };
        assert_eq!(battery(0, false).pin(0), (10, 8), "positive at the top");
        assert_eq!(battery(1, false).pin(0), (12, 10));
        assert_eq!(battery(2, false).pin(0), (10, 12));
        assert_eq!(battery(3, false).pin(0), (8, 10));
        assert_eq!(battery(1, true).pin(0), (12, 10), "a mirrored battery looks the same");
        assert_eq!(battery(1, false).body(), [8, 8, 12, 12]);
        assert_eq!(battery(1, true).transform(), "translate(100 100)rotate(90)scale(-1 1)");
    }
}
