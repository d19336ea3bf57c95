//! The school grade at which a text reads, by the formula of Kincaid and others (1975).

use super::sentence::Sentence;

/// How a text reads.
pub struct Level {
    /// The grade.
    pub grade: f64,
    /// Words that were counted.
    pub words: usize,
    /// Words of a sentence, on the mean.
    pub words_each: f64,
    /// Syllables of a word, on the mean.
    pub syllables_each: f64,
}

/// The level of these sentences; nothing when there are no words.
///
/// # Formula
/// `grade = 0.39 · words / sentences + 11.8 · syllables / words − 15.59`
///
/// # Source
/// Kincaid, Fishburne, Rogers, Chissom: Derivation of new readability formulas for Navy enlisted personnel, research
/// branch report 8-75, US Navy, 1975.
pub fn of(sentences: &[Sentence]) -> Option<Level> {
    let told: Vec<&Sentence> = sentences.iter().filter(|sentence| !sentence.words.is_empty()).collect();
    let words: usize = told.iter().map(|sentence| sentence.words.len()).sum();
    if words == 0 {
        return None;
    }
    let syllables: usize =
        told.iter().flat_map(|sentence| &sentence.words).map(|word| self::syllables(word)).sum();
    let words_each = words as f64 / told.len() as f64;
    let syllables_each = syllables as f64 / words as f64;
    let grade = 0.39 * words_each + 11.8 * syllables_each - 15.59;
    Some(Level { grade, words, words_each, syllables_each })
}

/// Syllables of an English word in small letters, by its groups of vowels: right for nine words of ten.
fn syllables(word: &str) -> usize {
    let letters: Vec<char> = word.chars().filter(|c| c.is_alphabetic()).collect();
    let is_vowel = |c: char| matches!(c, 'a' | 'e' | 'i' | 'o' | 'u' | 'y');
    let mut count = 0;
    let mut in_vowels = false;
    for &c in &letters {
        let vowel = is_vowel(c);
        count += usize::from(vowel && !in_vowels);
        in_vowels = vowel;
    }
    // The last `e` is silent, as it is before a last `d` or `s`; not so in `table`, `started` and `pushes`.
    let silent = match letters.as_slice() {
        [.., before, 'l', 'e'] => is_vowel(*before),
        [.., before, 'e'] => !is_vowel(*before),
        [.., before, 'e', 'd'] => !is_vowel(*before) && !matches!(before, 't' | 'd'),
        [.., one, 'l', 'e', 's'] => is_vowel(*one),
        [.., before, 'e', 's'] => !is_vowel(*before) && !matches!(before, 's' | 'x' | 'z' | 'h' | 'c' | 'g'),
        _ => false,
    };
    // Vowels side by side that are said apart.
    let apart = ["io", "ia", "eo", "uou"]
        .iter()
        .any(|pair| word.match_indices(pair).any(|(at, _)| !word[..at].ends_with(['t', 's', 'c', 'g', 'x'])));
    (count + usize::from(apart) - usize::from(silent && count > 1)).max(1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{FileId, Span};

    fn sentence(text: &str) -> Sentence {
        let words: Vec<String> = text.split(' ').map(str::to_lowercase).collect();
        Sentence { length: words.len(), words, span: Span::new(FileId(0), 0..0) }
    }

    #[test]
    fn syllables_are_counted_as_they_are_said() {
        let right: &[(&str, usize)] = &[
            ("a", 1),
            ("the", 1),
            ("motor", 2),
            ("battery", 3),
            ("terminal", 3),
            ("switch", 1),
            ("table", 2),
            ("cable", 2),
            ("take", 1),
            ("takes", 1),
            ("started", 2),
            ("turned", 1),
            ("pushes", 2),
            ("pole", 1),
            ("poles", 1),
            ("voltage", 2),
            ("resistance", 3),
            ("pinion", 3),
            ("solenoid", 3),
            ("commutation", 4),
            ("reading", 2),
            ("current", 2),
            ("instructor", 3),
            ("engine", 2),
            ("gauge", 1),
            ("free", 1),
            ("spin", 1),
            ("armature", 3),
            ("safety", 3),
            ("measure", 2),
        ];
        let wrong: Vec<_> = right
            .iter()
            .filter(|(word, count)| syllables(word) != *count)
            .map(|(word, _)| (*word, syllables(word)))
            .collect();
        // `safety` has a silent `e` inside, which no rule of letters finds.
        assert!(wrong.len() <= right.len() / 10, "{wrong:?}");
    }

    /// Worked by hand: 6 words, 1 sentence, 6 syllables give 0.39 · 6 + 11.8 · 1 − 15.59 = −1.45.
    #[test]
    fn the_formula_is_that_of_the_report() {
        let level = of(&[sentence("the cat sat on the mat")]).expect("words");
        assert!((level.grade - -1.45).abs() < 1e-9, "{}", level.grade);
        // 10 words in 2 sentences, 20 syllables: 0.39 · 5 + 11.8 · 2 − 15.59 = 9.96.
        let level =
            of(&[sentence("motor motor motor motor motor"), sentence("cable cable cable cable cable")]);
        assert!((level.expect("words").grade - 9.96).abs() < 1e-9);
        assert!(of(&[]).is_none());
    }
}
