//! The same work on several items at once.

use std::num::NonZero;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

/// Most threads at once: a node has other things to do.
const MOST_THREADS: usize = 4;

/// `work` applied to every item, results in the order of the items; on the caller's thread where one is enough.
pub(super) fn map<T: Sync, U: Send>(items: &[T], work: impl Fn(&T) -> U + Sync) -> Vec<U> {
    let processors = std::thread::available_parallelism().map_or(1, NonZero::get);
    let threads = processors.min(MOST_THREADS).min(items.len());
    if threads < 2 {
        return items.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<(usize, U)>> = Mutex::new(Vec::with_capacity(items.len()));
    let worker = || {
        while let Some((index, item)) = taken(items, &next) {
            let result = work(item);
            done.lock().unwrap_or_else(PoisonError::into_inner).push((index, result));
        }
    };
    std::thread::scope(|scope| {
        for _ in 1..threads {
            scope.spawn(worker);
        }
        worker();
    });
    let mut done = done.into_inner().unwrap_or_else(PoisonError::into_inner);
    done.sort_by_key(|(index, _)| *index);
    done.into_iter().map(|(_, result)| result).collect()
}

fn taken<'a, T>(items: &'a [T], next: &AtomicUsize) -> Option<(usize, &'a T)> {
    let index = next.fetch_add(1, Ordering::Relaxed);
    items.get(index).map(|item| (index, item))
}

#[cfg(test)]
mod tests {
    use super::map;

    #[test]
    fn results_keep_the_order_of_the_items() {
        for count in [0, 1, 2, 100] {
            let items: Vec<usize> = (0..count).collect();
            let squares: Vec<usize> = items.iter().map(|n| n * n).collect();
            assert_eq!(map(&items, |n| n * n), squares);
        }
    }
}
