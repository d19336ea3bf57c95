//! What was worked out before, kept by everything that it hangs on: the same question twice is worked once.
//!
//! A course that is read again after a save is mostly the course of before. The work that is kept is pure, so an
//! answer that is kept is the answer that would come; only the time differs.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

/// Answers by their questions.
pub struct Memo<V> {
    kept: Mutex<Kept<V>>,
    most: usize,
}

/// What was asked for of late, and what was asked for before that.
struct Kept<V> {
    young: BTreeMap<String, Arc<V>>,
    old: BTreeMap<String, Arc<V>>,
}

impl<V> Kept<V> {
    fn find(&mut self, question: &str, most: usize) -> Option<Arc<V>> {
        if let Some(answer) = self.young.get(question) {
            return Some(Arc::clone(answer));
        }
        let (question, answer) = self.old.remove_entry(question)?;
        self.keep(question, &answer, most);
        Some(answer)
    }

    fn keep(&mut self, question: String, answer: &Arc<V>, most: usize) {
        if self.young.len() >= most {
            self.old = std::mem::take(&mut self.young);
        }
        self.young.insert(question, Arc::clone(answer));
    }
}

impl<V> Memo<V> {
    /// Keeps so many answers that were asked for last, and at most as many older ones.
    pub const fn new(most: usize) -> Self {
        Memo { kept: Mutex::new(Kept { young: BTreeMap::new(), old: BTreeMap::new() }), most }
    }

    /// The answer to `question`, which names everything that `work` looks at.
    pub fn answer(&self, question: String, work: impl FnOnce() -> V) -> Arc<V> {
        // A thread that fell over while it looked something up has spoiled nothing.
        let kept = || self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(answer) = kept().find(&question, self.most) {
            return answer;
        }
        // Two threads may work out the same: the answer is the same too.
        let answer = Arc::new(work());
        kept().keep(question, &answer, self.most);
        answer
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_question_is_worked_once_while_it_is_asked_for() {
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
        // Full: what was there becomes old, and what of it is asked for stays.
        assert_eq!((ask("ccc"), ask("a")), (3, 1));
        assert_eq!(worked.get(), 3);
        // Full again: `bb` was not asked for, and is gone; `a` is known.
        assert_eq!((ask("dddd"), ask("bb"), ask("a")), (4, 2, 1));
        assert_eq!(worked.get(), 5);
    }
}
