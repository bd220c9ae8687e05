//! A short list of what was used last.

/// Values by key, no more of them than a bound; the one not used for longest goes first.
#[derive(Clone, Debug)]
pub(crate) struct Recent<K, V> {
    most: usize,
    /// The last used stands last.
    entries: Vec<(K, V)>,
}

impl<K: PartialEq, V: Clone> Recent<K, V> {
    /// An empty list of at most `most` values.
    pub(crate) fn new(most: usize) -> Self {
        Self {
            most,
            entries: Vec::new(),
        }
    }

    /// The value of a key, if it is still there.
    pub(crate) fn get(&mut self, key: &K) -> Option<V> {
        let at = self.entries.iter().position(|(known, _)| known == key)?;
        let entry = self.entries.remove(at);
        let value = entry.1.clone();
        self.entries.push(entry);
        Some(value)
    }

    /// Puts a value in place of any that the key has.
    pub(crate) fn put(&mut self, key: K, value: V) {
        self.entries.retain(|(known, _)| *known != key);
        self.entries.push((key, value));
        let too_many = self.entries.len().saturating_sub(self.most);
        self.entries.drain(..too_many);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_one_not_used_for_longest_goes() {
        let mut recent = Recent::new(2);
        recent.put("a", 1);
        recent.put("b", 2);
        assert_eq!(recent.get(&"a"), Some(1));
        recent.put("c", 3);
        assert_eq!(recent.get(&"b"), None);
        assert_eq!((recent.get(&"a"), recent.get(&"c")), (Some(1), Some(3)));
        recent.put("a", 4);
        assert_eq!((recent.get(&"a"), recent.get(&"c")), (Some(4), Some(3)));
    }
}
