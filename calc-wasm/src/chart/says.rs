//! What a chart shows, in words: for those who do not see it.

use super::{Axis, Band, Chart, Mark, Series};
use crate::report::show;

/// Most points that are told one by one.
const MOST_TOLD: usize = 8;

impl Chart {
    /// What the chart shows: its axes, and of each curve where it begins, its greatest and least value and its end.
    pub fn says(&self) -> String {
        let (from, to) = self.x_range();
        let mut text = format!(
            "{} against {}, {} to {}.",
            self.y.label,
            lower(&self.x.label),
            value(&self.x, from),
            value(&self.x, to)
        );
        for series in &self.series {
            text.push(' ');
            text.push_str(&upper(&self.series_words(series)));
        }
        for band in &self.bands {
            text.push(' ');
            text.push_str(&upper(&self.band_words(band)));
        }
        text
    }

    fn series_words(&self, series: &Series) -> String {
        let points = series.finite();
        let told = |(x, y): &(f64, f64)| format!("{} at {}", value(&self.y, *y), value(&self.x, *x));
        if series.mark == Mark::Crosses && points.len() <= MOST_TOLD {
            let all: Vec<String> = points.iter().map(told).collect();
            return format!("{}: {}.", series.name, all.join(", "));
        }
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            return format!("{}: no points.", series.name);
        };
        let greatest = points.iter().fold(first, |best, point| if point.1 > best.1 { point } else { best });
        let least = points.iter().fold(first, |best, point| if point.1 < best.1 { point } else { best });
        let mut text = format!("{}: from {}", series.name, value(&self.y, first.1));
        for (word, point) in [("greatest", greatest), ("least", least)] {
            if point != first && point != last {
                text.push_str(&format!(", {word} {}", told(point)));
            }
        }
        text.push_str(&format!(", to {} at the end.", value(&self.y, last.1)));
        text
    }

    fn band_words(&self, band: &Band) -> String {
        match (band.low, band.high) {
            (Some(low), Some(high)) => {
                format!("{}: {} to {}.", band.name, value(&self.y, low), value(&self.y, high))
            }
            (Some(one), None) | (None, Some(one)) => format!("{}: {}.", band.name, value(&self.y, one)),
            (None, None) => format!("{}.", band.name),
        }
    }
}

fn value(axis: &Axis, value: f64) -> String {
    show(axis.quantity, value, 3)
}

/// A sentence begins with a capital. Names are English: the tables of all alphabets would weigh more than the charts.
fn upper(sentence: &str) -> String {
    let mut sentence = sentence.to_owned();
    if let Some(first) = sentence.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    sentence
}

/// `Time` in the middle of a sentence; a symbol keeps its letter.
fn lower(label: &str) -> String {
    let mut label = label.to_owned();
    let is_word = label.as_bytes().get(1).is_some_and(u8::is_ascii_lowercase);
    if let Some(first) = label.get_mut(..1).filter(|_| is_word) {
        first.make_ascii_lowercase();
    }
    label
}
