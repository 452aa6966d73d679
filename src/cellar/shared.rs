//! A map with many holders that is copied only when one of them changes it: a snapshot of a large
//! cellar is no copy of it.

use std::collections::BTreeMap;
use std::ops::{Deref, DerefMut};
use std::sync::Arc;

use super::thing::Key;

/// What is known of each key. It is read as a map, and changed as one; others who hold it do not see
/// the change.
#[derive(Clone, Debug, PartialEq)]
pub struct Shared<T>(Arc<BTreeMap<Key, Arc<T>>>);

impl<T> Shared<T> {
    /// Whether both are one and the same map, and not only equal: a quick answer, and no is only perhaps.
    pub fn is_same_as(&self, other: &Shared<T>) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

impl<T> Default for Shared<T> {
    fn default() -> Shared<T> {
        Shared(Arc::default())
    }
}

impl<T> Deref for Shared<T> {
    type Target = BTreeMap<Key, Arc<T>>;

    fn deref(&self) -> &BTreeMap<Key, Arc<T>> {
        &self.0
    }
}

impl<T> DerefMut for Shared<T> {
    fn deref_mut(&mut self) -> &mut BTreeMap<Key, Arc<T>> {
        Arc::make_mut(&mut self.0)
    }
}

impl<T> FromIterator<(Key, Arc<T>)> for Shared<T> {
    fn from_iter<I: IntoIterator<Item = (Key, Arc<T>)>>(all: I) -> Shared<T> {
        Shared(Arc::new(all.into_iter().collect()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_is_seen_by_nobody_else() {
        let one: Shared<&str> = [(Key(1), Arc::new("red"))].into_iter().collect();
        let mut other = one.clone();
        assert!(one.is_same_as(&other));
        other.insert(Key(1), Arc::new("white"));
        assert!(!one.is_same_as(&other));
        assert_eq!((*one[&Key(1)], *other[&Key(1)]), ("red", "white"));
    }
}
