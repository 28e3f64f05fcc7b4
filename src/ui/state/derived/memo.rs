//! A value that is computed again only when its inputs are others.

use std::cell::RefCell;
use std::rc::Rc;

/// The last value, with the inputs it was computed from.
#[derive(Debug)]
pub struct Memo<K, V>(RefCell<Option<(K, Rc<V>)>>);

impl<K, V> Default for Memo<K, V> {
    fn default() -> Self {
        Self(RefCell::new(None))
    }
}

impl<K: PartialEq, V> Memo<K, V> {
    /// The last value, whatever its inputs: for what may lag behind while something is dragged.
    pub fn last(&self) -> Option<Rc<V>> {
        self.0.borrow().as_ref().map(|(_, value)| value.clone())
    }

    /// Whether the last value is of these inputs.
    pub fn holds(&self, key: &K) -> bool {
        let slot = self.0.borrow();
        slot.as_ref().is_some_and(|(known, _)| known == key)
    }

    /// The value for these inputs.
    pub fn get(&self, key: K, compute: impl FnOnce(&K) -> V) -> Rc<V> {
        let mut slot = self.0.borrow_mut();
        if let Some((known, value)) = &*slot
            && *known == key
        {
            return value.clone();
        }
        let value = Rc::new(compute(&key));
        *slot = Some((key, value.clone()));
        value
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::Cell;

    #[test]
    fn a_value_is_computed_once_for_its_inputs() {
        let (memo, count) = (Memo::default(), Cell::new(0));
        let double = |key: i32| {
            *memo.get(key, |key| {
                count.set(count.get() + 1);
                2 * key
            })
        };
        assert_eq!([double(1), double(1), double(2), double(1)], [2, 2, 4, 2]);
        assert_eq!(memo.last().as_deref(), Some(&2));
        assert!(memo.holds(&1) && !memo.holds(&2));
        assert_eq!(count.get(), 3);
    }
}
