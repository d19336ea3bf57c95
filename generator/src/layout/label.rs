//! Room for words: beside what they belong to, and over nothing.

use super::rect::Rect;

/// Height of a line of words, in parts of the size of its letters.
pub const LINE: f64 = 1.2;

/// A place where words may stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Their middle.
    pub middle: (f64, f64),
    /// Width and height that they need there.
    pub size: (f64, f64),
    /// What lies between them and what they belong to: best free, so that they are not taken for another's.
    pub way: Option<Rect>,
}

impl Room {
    /// The room that is taken.
    pub fn rect(&self) -> Rect {
        Rect::around(self.middle, self.size.0, self.size.1)
    }
}

/// Finds a place for each of several words among those that may be tried, best first; by its place in that list, or nothing
/// when there is no room. What is placed bars the way of the next.
pub fn place(wanted: &[Vec<Room>], barred: &[Rect]) -> Vec<Option<usize>> {
    let mut barred = barred.to_vec();
    let mut found = Vec::with_capacity(wanted.len());
    for rooms in wanted {
        let clear = |rect: &Rect| barred.iter().all(|other| !other.overlaps(rect));
        let is_free = |room: &Room| clear(&room.rect());
        let is_near = |room: &Room| is_free(room) && room.way.as_ref().is_none_or(clear);
        let place = rooms.iter().position(is_near).or_else(|| rooms.iter().position(is_free));
        barred.extend(place.map(|at| rooms[at].rect()));
        found.push(place);
    }
    found
}

/// Middles around a rectangle at growing distance: right, left, below, above, each slid along its side.
pub fn around(of: Rect, size: (f64, f64), reach: f64) -> Vec<(f64, f64)> {
    const APART: f64 = 3.0;
    const SLIDE: f64 = 5.0;
    let (x, y) = ((of.left + of.right) / 2.0, (of.top + of.bottom) / 2.0);
    let mut places = Vec::new();
    let mut gap = APART;
    while gap <= reach {
        let right = of.right + gap + size.0 / 2.0;
        let left = of.left - gap - size.0 / 2.0;
        let below = of.bottom + gap + size.1 / 2.0;
        let above = of.top - gap - size.1 / 2.0;
        let (up, across) = ((of.height() + size.1) / 2.0, (of.width() + size.0) / 2.0);
        let slides = (up.max(across) / SLIDE).ceil() as i32;
        for slide in 0..=slides {
            let by = f64::from(slide) * SLIDE;
            for by in [by, -by] {
                if by.abs() <= across {
                    places.extend([(x + by, above), (x + by, below)]);
                }
                if by.abs() <= up {
                    places.extend([(right, y + by), (left, y + by)]);
                }
            }
        }
        gap += SLIDE;
    }
    places
}

/// How wide words are at most when set in letters of this size: by the widest of the common sans serif faces.
pub fn width(words: &str, size: f64) -> f64 {
    let letter = |letter: char| match letter {
        'i' | 'j' | 'l' | '\'' | '|' => 0.30,
        'f' | 'r' | 't' | 'I' | 'J' | '.' | ',' | ':' | ';' | '(' | ')' | '/' | ' ' | '\u{a0}' | '-'
        | '·' => 0.42,
        'm' | 'M' | 'w' | 'W' | '%' | '@' => 1.0,
        'A'..='Z' | 'Ω' | '−' | '+' | '=' | '±' => 0.84,
        _ => 0.65,
    };
    words.chars().map(letter).sum::<f64>() * size
}

/// Words broken into lines that are not much longer than `longest`; a line break in them is kept.
pub fn lines(words: &str, longest: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split(' ').filter(|word| !word.is_empty()) {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= longest => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rooms(of: Rect, size: (f64, f64)) -> Vec<Room> {
        around(of, size, 60.0).into_iter().map(|middle| Room { middle, size, way: None }).collect()
    }

    #[test]
    fn words_stand_beside_and_never_over() {
        let body = Rect::around((50.0, 50.0), 40.0, 20.0);
        let rooms = rooms(body, (30.0, 14.0));
        let placed = place(&vec![rooms.clone(); 20], &[body]);
        let rects: Vec<Rect> =
            placed.iter().map(|place| rooms[place.expect("there is room")].rect()).collect();
        for (index, rect) in rects.iter().enumerate() {
            assert!(!rect.overlaps(&body));
            assert!(rects[..index].iter().all(|other| !other.overlaps(rect)));
        }
    }

    #[test]
    fn no_room_is_said() {
        let all = Rect { left: -1e6, top: -1e6, right: 1e6, bottom: 1e6 };
        let inside = vec![Room { middle: (0.0, 0.0), size: (1.0, 1.0), way: None }];
        assert_eq!(place(std::slice::from_ref(&inside), &[]), [Some(0)]);
        assert_eq!(place(&[inside], &[all]), [None]);
    }

    #[test]
    fn long_words_are_broken_at_blanks() {
        assert_eq!(lines("clamp meter round the lead", 12), ["clamp meter", "round the", "lead"]);
        assert_eq!(lines("35\u{a0}mm² · 1.2\u{a0}m", 20), ["35\u{a0}mm² · 1.2\u{a0}m"]);
        assert_eq!(lines("", 20), Vec::<String>::new());
    }
}
