//! Rows by their ids, which copies of a table share until they are changed one by one.

use std::collections::{BTreeMap, btree_map};
use std::iter::FusedIterator;
use std::sync::Arc;

/// A table of rows in order of their ids.
///
/// A copy costs no more than its ids: each row is shared with it, until either changes that row. So of two versions of a
/// car it is seen at once, row by row, what is the very same.
#[derive(Debug)]
pub struct Rows<K, R>(BTreeMap<K, Arc<R>>);

/// Goes through a table in order of its ids.
#[derive(Debug)]
pub struct Iter<'a, K, R>(btree_map::Iter<'a, K, Arc<R>>);

impl<K: Ord, R> Rows<K, R> {
    /// The row with this id.
    pub fn get(&self, id: &K) -> Option<&R> {
        self.0.get(id).map(AsRef::as_ref)
    }

    /// The same with the id as it is kept.
    pub fn get_key_value(&self, id: &K) -> Option<(&K, &R)> {
        self.0.get_key_value(id).map(|(id, row)| (id, row.as_ref()))
    }

    /// The row with the greatest id.
    pub fn last_key_value(&self) -> Option<(&K, &R)> {
        self.0.last_key_value().map(|(id, row)| (id, row.as_ref()))
    }

    /// Whether there is a row with this id.
    pub fn contains_key(&self, id: &K) -> bool {
        self.0.contains_key(id)
    }

    /// All rows with their ids.
    pub fn iter(&self) -> Iter<'_, K, R> {
        Iter(self.0.iter())
    }

    /// All ids.
    pub fn keys(&self) -> btree_map::Keys<'_, K, Arc<R>> {
        self.0.keys()
    }

    /// All rows.
    pub fn values(&self) -> impl DoubleEndedIterator<Item = &R> + ExactSizeIterator + Clone {
        self.0.values().map(AsRef::as_ref)
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(crate) fn insert(&mut self, id: K, row: R) {
        self.0.insert(id, Arc::new(row));
    }

    pub(crate) fn remove(&mut self, id: &K) {
        self.0.remove(id);
    }

    pub(crate) fn values_mut(&mut self) -> impl Iterator<Item = &mut R>
    where
        R: Clone,
    {
        self.0.values_mut().map(Arc::make_mut)
    }
}

impl<K: Clone, R> Clone for Rows<K, R> {
    fn clone(&self) -> Self {
        Self(self.0.clone())
    }
}

impl<K, R> Default for Rows<K, R> {
    fn default() -> Self {
        Self(BTreeMap::new())
    }
}

impl<K: PartialEq, R: PartialEq> PartialEq for Rows<K, R> {
    fn eq(&self, other: &Self) -> bool {
        let is_same = |(a, b): (&Arc<R>, &Arc<R>)| Arc::ptr_eq(a, b) || a == b;
        self.0.len() == other.0.len()
            && self.0.keys().eq(other.0.keys())
            && self.0.values().zip(other.0.values()).all(is_same)
    }
}

impl<K: Ord, R> FromIterator<(K, R)> for Rows<K, R> {
    fn from_iter<I: IntoIterator<Item = (K, R)>>(rows: I) -> Self {
        Self(rows.into_iter().map(|(id, row)| (id, Arc::new(row))).collect())
    }
}

impl<K: Ord, R> std::ops::Index<&K> for Rows<K, R> {
    type Output = R;

    fn index(&self, id: &K) -> &R {
        &self.0[id]
    }
}

impl<'a, K, R> IntoIterator for &'a Rows<K, R> {
    type Item = (&'a K, &'a R);
    type IntoIter = Iter<'a, K, R>;

    fn into_iter(self) -> Self::IntoIter {
        Iter(self.0.iter())
    }
}

impl<'a, K, R> Iterator for Iter<'a, K, R> {
    type Item = (&'a K, &'a R);

    fn next(&mut self) -> Option<Self::Item> {
        self.0.next().map(|(id, row)| (id, row.as_ref()))
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        self.0.size_hint()
    }
}

impl<K, R> DoubleEndedIterator for Iter<'_, K, R> {
    fn next_back(&mut self) -> Option<Self::Item> {
        self.0.next_back().map(|(id, row)| (id, row.as_ref()))
    }
}

impl<K, R> ExactSizeIterator for Iter<'_, K, R> {}

impl<K, R> FusedIterator for Iter<'_, K, R> {}

impl<K, R> Clone for Iter<'_, K, R> {
    fn clone(&self) -> Self {
        Self(self.0.clone())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_copy_shares_every_row_that_was_not_changed() {
        let table: Rows<u32, String> = (0..5).map(|id| (id, format!("row {id}"))).collect();
        let mut copy = table.clone();
        copy.insert(3, "another".to_owned());
        assert_ne!(table, copy);
        for ((id, row), (_, copied)) in table.iter().zip(&copy) {
            assert_eq!(std::ptr::eq(row, copied), *id != 3, "row {id}");
        }
        copy.insert(3, "row 3".to_owned());
        assert_eq!(table, copy, "alike is equal, if not the very same");
        for row in copy.values_mut() {
            row.push('!');
        }
        assert_eq!(table.get(&0).map(String::as_str), Some("row 0"));
        copy.remove(&0);
        assert_eq!((table.len(), copy.len()), (5, 4));
    }
}
