//! Work of many equal parts, shared out over all cores.

use std::num::NonZero;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// What comes of each item, in the order of the items. The caller's thread takes its share, so
/// that a single core spawns nothing.
pub fn on_all_cores<T: Sync, R: Send + Sync>(items: &[T], each: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let cores = thread::available_parallelism().map_or(1, NonZero::get);
    let made: Vec<OnceLock<R>> = items.iter().map(|_| OnceLock::new()).collect();
    let next = AtomicUsize::new(0);
    let work = || {
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some((item, place)) = items.get(at).zip(made.get(at)) else {
                return;
            };
            place.get_or_init(|| each(item));
        }
    };
    thread::scope(|scope| {
        for _ in 1..cores.min(items.len()) {
            scope.spawn(work);
        }
        work();
    });
    made.into_iter().filter_map(OnceLock::into_inner).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_item_is_done_once_and_the_order_stands() {
        let done = AtomicUsize::new(0);
        let items: Vec<usize> = (0..1000).collect();
        let squares = on_all_cores(&items, |item| {
            done.fetch_add(1, Ordering::Relaxed);
            item * item
        });
        assert_eq!(
            squares,
            items.iter().map(|item| item * item).collect::<Vec<_>>()
        );
        assert_eq!(done.into_inner(), 1000);
        assert!(on_all_cores(&[] as &[u8], |_| 1).is_empty());
    }
}
