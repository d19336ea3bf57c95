//! Is a lesson easy to read? Hints alone, and few of them: who writes decides.

mod grade;
mod sentence;

use crate::course::{About, Lesson};
use crate::finding::Finding;
use sentence::Sentence;

/// How many sentences a hint shows.
const SHOWN: usize = 5;
/// A grade is worked out over a passage of so many words at least.
const LEAST_WORDS: usize = 100;

/// Looks at the prose of a lesson.
pub fn check(lesson: &Lesson, about: &About, found: &mut Vec<Finding>) {
    let sentences = sentence::of(lesson);
    check_length(&sentences, about, found);
    // The formula was fitted to English.
    if about.language.split('-').next().is_some_and(|first| first.eq_ignore_ascii_case("en")) {
        check_grade(lesson, &sentences, about, found);
    }
}

fn check_length(sentences: &[Sentence], about: &About, found: &mut Vec<Finding>) {
    let limit = about.prose.longest_sentence as usize;
    let mut long: Vec<&Sentence> = sentences.iter().filter(|sentence| sentence.length > limit).collect();
    let count = long.len();
    long.sort_by_key(|sentence| (std::cmp::Reverse(sentence.length), sentence.span));
    long.truncate(SHOWN);
    let Some((first, rest)) = long.split_first() else { return };
    let message = match count {
        1 => format!("a sentence has more than {limit} words"),
        count => format!("{count} sentences have more than {limit} words"),
    };
    let words = |sentence: &Sentence| format!("{} words", sentence.length);
    let mut finding = Finding::hint("long-sentence", message, first.span, words(first));
    for sentence in rest {
        finding = finding.also(sentence.span, words(sentence));
    }
    let mut help = "make two sentences of one; a list helps where several things follow".to_owned();
    if count > SHOWN {
        help.push_str(&format!("; the {SHOWN} longest are shown"));
    }
    found.push(finding.help(help));
}

fn check_grade(lesson: &Lesson, sentences: &[Sentence], about: &About, found: &mut Vec<Finding>) {
    let Some(level) = grade::of(sentences).filter(|level| level.words >= LEAST_WORDS) else { return };
    let limit = about.prose.reading_grade;
    if level.grade <= limit {
        return;
    }
    found.push(
        Finding::hint(
            "reading-grade",
            format!("this lesson reads at grade {:.1}; the limit is {limit}", level.grade),
            lesson.span,
            format!("{:.1} words a sentence, {:.2} syllables a word", level.words_each, level.syllables_each),
        )
        .help("shorter sentences and everyday words bring it down; names of parts may stay")
        .help("an estimate by the Flesch-Kincaid formula (Kincaid and others 1975, US Navy report 8-75)"),
    );
}
