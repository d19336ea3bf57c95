//! Ranges of numbers of done steps, as a drawing beside a checklist says when a wire is live.

/// Does `done` lie in one of the ranges of `text`: `8-36 40-41`, both ends included, a lone number for itself?
///
/// What cannot be read as a range holds no number: a wire that is not understood is not shown as live.
///
/// # Example
/// ```
/// use fieldcoil_calc::bench::steps::holds;
///
/// assert!(holds("8-36 40-41", 36));
/// assert!(!holds("8-36 40-41", 37));
/// ```
pub fn holds(text: &str, done: usize) -> bool {
    text.split_ascii_whitespace().any(|range| {
        let (first, last) = range.split_once('-').unwrap_or((range, range));
        let ends = (first.parse::<usize>(), last.parse::<usize>());
        matches!(ends, (Ok(first), Ok(last)) if (first..=last).contains(&done))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(text: &str) -> Vec<usize> {
        (0..50).filter(|done| holds(text, *done)).collect()
    }

    #[test]
    fn both_ends_belong_to_a_range() {
        assert_eq!(all("3-5 9-9 12"), [3, 4, 5, 9, 12]);
        assert_eq!(all("0-1"), [0, 1]);
        assert_eq!(all("  48-99  "), [48, 49]);
    }

    #[test]
    fn what_is_no_range_holds_nothing() {
        for text in ["", " ", "-", "5-", "-5", "a-b", "5-3", "1-2-3", "1–3", "+-3"] {
            assert_eq!(all(text), [0; 0], "{text}");
        }
        assert_eq!(all("x 4-5"), [4, 5], "a bad range spoils no good one");
    }
}
