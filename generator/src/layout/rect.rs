//! Rectangles in drawing units.

/// A rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Rect {
    /// Around a middle.
    pub fn around((x, y): (f64, f64), width: f64, height: f64) -> Rect {
        Rect {
            left: x - width / 2.0,
            top: y - height / 2.0,
            right: x + width / 2.0,
            bottom: y + height / 2.0,
        }
    }

    /// The smallest one with both points.
    pub fn between(a: (f64, f64), b: (f64, f64)) -> Rect {
        Rect { left: a.0.min(b.0), top: a.1.min(b.1), right: a.0.max(b.0), bottom: a.1.max(b.1) }
    }

    /// Larger by `by` on every side.
    pub fn grown(self, by: f64) -> Rect {
        Rect { left: self.left - by, top: self.top - by, right: self.right + by, bottom: self.bottom + by }
    }

    /// The smallest one with both in it.
    pub fn with(self, other: Rect) -> Rect {
        Rect {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    /// Do the two have an area in common?
    pub fn overlaps(&self, other: &Rect) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// What lies between the two where they face each other; nothing where they touch or do not.
    pub fn gap(&self, other: &Rect) -> Option<Rect> {
        let across = (self.left.max(other.left), self.right.min(other.right));
        let down = (self.top.max(other.top), self.bottom.min(other.bottom));
        if across.0 < across.1 && down.0 > down.1 {
            return Some(Rect { left: across.0, right: across.1, top: down.1, bottom: down.0 });
        }
        (down.0 < down.1 && across.0 > across.1).then_some(Rect {
            left: across.1,
            right: across.0,
            top: down.0,
            bottom: down.1,
        })
    }

    /// Its width.
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Its height.
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }
}
