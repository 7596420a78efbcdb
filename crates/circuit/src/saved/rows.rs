//! Rows by id, where a second row of the same id is refused instead of replacing the first.

use std::collections::BTreeMap;
use std::fmt::Display;
use std::marker::PhantomData;

use schemars::JsonSchema;
use serde::de::{Error as _, MapAccess, Visitor};
use serde::{Deserialize, Deserializer};

/// A map read from JSON that refuses a key that stands there twice.
#[derive(Debug, JsonSchema)]
#[schemars(transparent)]
pub(super) struct Rows<K, V>(pub(super) BTreeMap<K, V>);

impl<K, V> Default for Rows<K, V> {
    fn default() -> Self {
        Self(BTreeMap::new())
    }
}

impl<'de, K, V> Deserialize<'de> for Rows<K, V>
where
    K: Deserialize<'de> + Ord + Display,
    V: Deserialize<'de>,
{
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        unique(deserializer).map(Self)
    }
}

/// Reads a map, refusing a key that stands there twice.
pub(crate) fn unique<'de, D, K, V>(deserializer: D) -> Result<BTreeMap<K, V>, D::Error>
where
    D: Deserializer<'de>,
    K: Deserialize<'de> + Ord + Display,
    V: Deserialize<'de>,
{
    deserializer.deserialize_map(UniqueVisitor(PhantomData))
}

struct UniqueVisitor<K, V>(PhantomData<(K, V)>);

impl<'de, K, V> Visitor<'de> for UniqueVisitor<K, V>
where
    K: Deserialize<'de> + Ord + Display,
    V: Deserialize<'de>,
{
    type Value = BTreeMap<K, V>;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("an object of rows")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut access: A) -> Result<Self::Value, A::Error> {
        let mut rows = BTreeMap::new();
        while let Some(key) = access.next_key::<K>()? {
            if rows.contains_key(&key) {
                return Err(A::Error::custom(format!("'{key}' stands here twice")));
            }
            rows.insert(key, access.next_value()?);
        }
        Ok(rows)
    }
}
