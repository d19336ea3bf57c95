//! Work that falls into parts, shared out to every processor.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;

/// Does `work` for every number below `count` and gives the results in order. Each thread takes the next number that
/// nobody has begun, so that long parts hold nobody up.
pub fn each<T: Send>(count: usize, work: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let done = try_each(count, |index| Ok::<T, std::convert::Infallible>(work(index)));
    match done {
        Ok(all) => all,
        Err(never) => match never {},
    }
}

/// As [`each`]; after a failure no part is begun any more, and of the failures the first in order is told.
pub fn try_each<T: Send, E: Send>(
    count: usize,
    work: impl Fn(usize) -> Result<T, E> + Sync,
) -> Result<Vec<T>, E> {
    let next = AtomicUsize::new(0);
    let failed = AtomicBool::new(false);
    let share = || {
        let mut done = Vec::new();
        while !failed.load(Ordering::Relaxed) {
            let index = next.fetch_add(1, Ordering::Relaxed);
            if index >= count {
                break;
            }
            let result = work(index);
            failed.fetch_or(result.is_err(), Ordering::Relaxed);
            done.push((index, result));
        }
        done
    };
    let threads = thread::available_parallelism().map_or(1, usize::from).min(count);
    let mut all = thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(share)).collect();
        let mut all = share();
        for other in others {
            match other.join() {
                Ok(done) => all.extend(done),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        all
    });
    all.sort_by_key(|(index, _)| *index);
    all.into_iter().map(|(_, result)| result).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_come_in_order_however_long_each_takes() {
        let slow_first = |index: usize| {
            thread::sleep(std::time::Duration::from_millis(if index == 0 { 20 } else { 0 }));
            index * 2
        };
        assert_eq!(each(50, slow_first), (0..50).map(|index| index * 2).collect::<Vec<_>>());
        assert_eq!(each(0, slow_first), Vec::<usize>::new());
    }

    #[test]
    fn after_a_failure_nothing_more_is_begun() {
        let begun = AtomicUsize::new(0);
        let result = try_each(1000, |index| {
            begun.fetch_add(1, Ordering::Relaxed);
            thread::sleep(std::time::Duration::from_micros(50));
            if index == 5 { Err(index) } else { Ok(()) }
        });
        assert_eq!(result, Err(5));
        assert!(begun.load(Ordering::Relaxed) < 1000);
    }
}
