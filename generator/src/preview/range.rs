//! The part of a file that a request asks for (RFC 9110, section 14).

use std::ops::Range;

/// What the header asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Part {
    /// The whole file: no header, several parts, or one that cannot be read; RFC 9110 lets a server ignore those.
    Whole,
    /// These bytes.
    Bytes(Range<usize>),
    /// A part that the file does not have.
    Outside,
}

/// Reads `bytes=0-99`, `bytes=100-` or `bytes=-100` for a file of `size` bytes.
pub fn part(header: &str, size: usize) -> Part {
    let Some((unit, set)) = header.split_once('=') else { return Part::Whole };
    if !unit.trim().eq_ignore_ascii_case("bytes") {
        return Part::Whole;
    }
    let Some((first, last)) = set.trim().split_once('-') else { return Part::Whole };
    match (position(first), position(last)) {
        (Number::None, Number::Is(0)) => Part::Outside,
        (Number::None, Number::Is(_)) if size == 0 => Part::Outside,
        (Number::None, Number::Is(count)) => Part::Bytes(size.saturating_sub(count)..size),
        (Number::Is(first), Number::None) if first < size => Part::Bytes(first..size),
        (Number::Is(first), Number::Is(last)) if last < first => Part::Whole,
        (Number::Is(first), Number::Is(last)) if first < size => {
            Part::Bytes(first..size.min(last.saturating_add(1)))
        }
        (Number::Is(_), Number::None | Number::Is(_)) => Part::Outside,
        (Number::None, Number::None) | (Number::Bad, _) | (_, Number::Bad) => Part::Whole,
    }
}

enum Number {
    None,
    Is(usize),
    Bad,
}

fn position(text: &str) -> Number {
    match text {
        "" => Number::None,
        // A number of more digits than a size has is behind every end.
        text if text.bytes().all(|byte| byte.is_ascii_digit()) => {
            Number::Is(text.parse().unwrap_or(usize::MAX))
        }
        _ => Number::Bad,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_read_as_the_standard_says() {
        for (header, wanted) in [
            ("bytes=0-0", Part::Bytes(0..1)),
            ("bytes=2-5", Part::Bytes(2..6)),
            ("Bytes = 2-5", Part::Bytes(2..6)),
            ("bytes=2-", Part::Bytes(2..10)),
            ("bytes=-3", Part::Bytes(7..10)),
            ("bytes=-300", Part::Bytes(0..10)),
            ("bytes=9-99999999999999999999999999", Part::Bytes(9..10)),
            ("bytes=10-", Part::Outside),
            ("bytes=99999999999999999999999999-", Part::Outside),
            ("bytes=-0", Part::Outside),
            ("bytes=5-2", Part::Whole),
            ("bytes=0-1,3-4", Part::Whole),
            ("bytes=-", Part::Whole),
            ("bytes=a-b", Part::Whole),
            ("bytes=+1-2", Part::Whole),
            ("lines=0-1", Part::Whole),
            ("bytes", Part::Whole),
            ("", Part::Whole),
        ] {
            assert_eq!(part(header, 10), wanted, "{header}");
        }
        assert_eq!(part("bytes=-3", 0), Part::Outside);
    }
}
