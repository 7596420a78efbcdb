//! The part types that the program brings.

use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock};

use crate::{Name, PartType};

/// Part types by name.
#[derive(Debug, Clone, Default)]
pub struct Library {
    types: BTreeMap<Name, Arc<PartType>>,
}

/// One embedded file: its name for messages, and its text.
const FILES: &[(&str, &str)] = &[
    ("supply.json", include_str!("../../../assets/part-types/supply.json")),
    ("protection.json", include_str!("../../../assets/part-types/protection.json")),
    ("switching.json", include_str!("../../../assets/part-types/switching.json")),
    ("signalling.json", include_str!("../../../assets/part-types/signalling.json")),
    ("lighting.json", include_str!("../../../assets/part-types/lighting.json")),
    ("motors.json", include_str!("../../../assets/part-types/motors.json")),
    ("instruments.json", include_str!("../../../assets/part-types/instruments.json")),
    ("joints.json", include_str!("../../../assets/part-types/joints.json")),
];

static STANDARD: LazyLock<Library> = LazyLock::new(|| {
    let mut types = BTreeMap::new();
    for (file, text) in FILES {
        let rows: Vec<PartType> = serde_json::from_str(text)
            .unwrap_or_else(|error| panic!("embedded part types {file}: {error}"));
        types.extend(rows.into_iter().map(|row| (row.name.clone(), Arc::new(row))));
    }
    Library { types }
});

impl Library {
    /// The embedded library.
    pub fn standard() -> &'static Self {
        &STANDARD
    }

    /// The part type of this name.
    pub fn get(&self, name: &str) -> Option<&Arc<PartType>> {
        self.types.get(name)
    }

    /// All part types, by name.
    pub fn iter(&self) -> impl Iterator<Item = &Arc<PartType>> {
        self.types.values()
    }
}
