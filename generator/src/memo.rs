//! What was worked out before, kept by everything that it hangs on: the same question twice is worked once.
//!
//! A course that is read again after a save is mostly the course of before. The work that is kept is pure, so an
//! answer that is kept is the answer that would come; only the time differs.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

/// Answers by their questions.
pub struct Memo<V> {
    kept: Mutex<BTreeMap<String, Arc<V>>>,
    most: usize,
}

impl<V> Memo<V> {
    /// Keeps at most so many answers: when there are more, all are forgotten and those that matter come back.
    pub const fn new(most: usize) -> Self {
        Memo { kept: Mutex::new(BTreeMap::new()), most }
    }

    /// The answer to `question`, which names everything that `work` looks at.
    pub fn answer(&self, question: String, work: impl FnOnce() -> V) -> Arc<V> {
        // A thread that fell over while it looked something up has spoiled nothing.
        let kept = || self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(answer) = kept().get(&question) {
            return Arc::clone(answer);
        }
        let answer = Arc::new(work());
        let mut kept = kept();
        if kept.len() >= self.most {
            kept.clear();
        }
        kept.insert(question, Arc::clone(&answer));
        answer
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_question_is_worked_once_until_too_many_are_kept() {
        let memo = Memo::new(2);
        let worked = std::cell::Cell::new(0);
        let ask = |question: &str| {
            *memo.answer(question.to_owned(), || {
                worked.set(worked.get() + 1);
                question.len()
            })
        };
        assert_eq!((ask("a"), ask("bb"), ask("a")), (1, 2, 1));
        assert_eq!(worked.get(), 2);
        assert_eq!((ask("ccc"), ask("a")), (3, 1));
        assert_eq!(worked.get(), 4);
    }
}
