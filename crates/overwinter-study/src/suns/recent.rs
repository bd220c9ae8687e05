//! The values asked for last, by what they were made from, within a limit of memory.

use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};

/// Values by key. A key is compared with those kept one by one, and whole: no two that differ ever
/// share a value.
#[derive(Debug)]
pub(super) struct Recent<K, V> {
    most_bytes: usize,
    size_bytes: fn(&V) -> usize,
    kept: Mutex<Vec<Kept<K, V>>>,
}

/// A value is made outside the lock by whoever asks first; others who want it wait for it alone.
type Cell<V> = Arc<OnceLock<Arc<V>>>;

#[derive(Debug)]
struct Kept<K, V> {
    key: K,
    cell: Cell<V>,
    /// 0 until it is made.
    bytes: usize,
}

impl<K: Clone + PartialEq, V> Recent<K, V> {
    /// None yet; those asked for longest ago go as soon as all together hold more than `most_bytes`.
    pub(super) fn new(most_bytes: usize, size_bytes: fn(&V) -> usize) -> Self {
        Self {
            most_bytes,
            size_bytes,
            kept: Mutex::default(),
        }
    }

    /// The value of a key, made if it is not kept.
    pub(super) fn get(&self, key: &K, make: impl FnOnce() -> V) -> Arc<V> {
        let cell = self.cell(key);
        let mut is_new = false;
        let value = cell.get_or_init(|| {
            is_new = true;
            Arc::new(make())
        });
        if is_new {
            self.weigh(&cell, (self.size_bytes)(value));
        }
        Arc::clone(value)
    }

    /// The place of a key, from now on the newest.
    fn cell(&self, key: &K) -> Cell<V> {
        let mut kept = self.lock();
        match kept.iter().rposition(|kept| kept.key == *key) {
            Some(at) => kept[at..].rotate_left(1),
            None => kept.push(Kept {
                key: key.clone(),
                cell: Cell::default(),
                bytes: 0,
            }),
        }
        kept.last()
            .map_or_else(Cell::default, |kept| Arc::clone(&kept.cell))
    }

    /// Notes the size of a new value and drops the oldest beyond the limit; the newest always stays.
    fn weigh(&self, cell: &Cell<V>, bytes: usize) {
        let mut kept = self.lock();
        let new = kept.iter_mut().find(|kept| Arc::ptr_eq(&kept.cell, cell));
        if let Some(new) = new {
            new.bytes = bytes;
        }
        let mut held: usize = kept.iter().map(|kept| kept.bytes).sum();
        let mut drop = 0;
        while held > self.most_bytes && drop + 1 < kept.len() {
            held -= kept[drop].bytes;
            drop += 1;
        }
        kept.drain(..drop);
    }

    fn lock(&self) -> MutexGuard<'_, Vec<Kept<K, V>>> {
        // What a thread that panicked left behind is whole: nothing in between can fail.
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicUsize, Ordering};

    #[test]
    fn the_last_values_within_the_limit_are_kept_and_others_let_go() {
        let recent = Recent::new(30, |value: &Vec<u8>| value.len());
        let made = AtomicUsize::new(0);
        let ask = |key: usize| {
            recent.get(&key, || {
                made.fetch_add(1, Ordering::Relaxed);
                vec![0; 10]
            })
        };
        let first = Arc::downgrade(&ask(0));
        (0..3).for_each(|key| drop(ask(key)));
        assert_eq!(made.load(Ordering::Relaxed), 3);
        assert!(first.upgrade().is_some());
        // 1 was asked for longest ago once 0 has been asked for again.
        ask(0);
        ask(3);
        ask(0);
        assert_eq!(made.load(Ordering::Relaxed), 4);
        ask(1);
        assert_eq!(made.load(Ordering::Relaxed), 5);
        (10..1000).for_each(|key| drop(ask(key)));
        assert!(first.upgrade().is_none());
        assert_eq!(recent.lock().len(), 3);
    }

    #[test]
    fn a_value_beyond_the_limit_is_given_all_the_same() {
        let recent = Recent::new(5, |value: &Vec<u8>| value.len());
        assert_eq!(recent.get(&1, || vec![0; 10]).len(), 10);
        assert_eq!(recent.get(&2, || vec![0; 20]).len(), 20);
        assert_eq!(recent.lock().len(), 1);
    }

    #[test]
    fn threads_that_want_the_same_make_it_once() {
        let recent = Recent::new(usize::MAX, |_: &usize| 1);
        let made = AtomicUsize::new(0);
        std::thread::scope(|scope| {
            for _ in 0..4 {
                scope.spawn(|| {
                    for key in 0..100 {
                        let make = || {
                            made.fetch_add(1, Ordering::Relaxed);
                            key
                        };
                        assert_eq!(*recent.get(&key, make), key);
                    }
                });
            }
        });
        assert_eq!(made.load(Ordering::Relaxed), 100);
    }
}
