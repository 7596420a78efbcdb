//! The part types that are kept for all cars: one file in the folder of data.

use std::path::PathBuf;

use loomwright_circuit::{load_parts, save_parts};

use super::Store;
use crate::files;
use crate::state::OwnLibrary;
use crate::texts::PartWords;

/// The file of one's own part types.
const PARTS_FILE: &str = "own-parts.loom-part.json";

impl Store {
    /// The part types that are kept for all cars. A file that cannot be read stays as it is, and is told.
    pub fn parts(&self) -> OwnLibrary {
        let path = self.work.as_ref().map(|folder| folder.join(PARTS_FILE));
        let Some(path) = path.filter(|path| files::exists(path)) else {
            return OwnLibrary::default();
        };
        let read = files::read(&path).and_then(|bytes| Ok(load_parts(&bytes)?));
        match read {
            Ok(types) => OwnLibrary { types, damage: None },
            Err(error) => {
                let damage = PartWords::damaged(format!("{error:#}"), path.display());
                OwnLibrary { damage: Some(damage), ..OwnLibrary::default() }
            }
        }
    }

    /// Keeps a change of the part types: what another window kept meanwhile stays. A damaged file is set aside first,
    /// and its new name is given.
    ///
    /// # Errors
    /// A disk that refuses.
    pub fn keep_parts(
        &self,
        library: &mut OwnLibrary,
        change: impl Fn(&mut OwnLibrary),
    ) -> anyhow::Result<Option<PathBuf>> {
        let Some(folder) = &self.work else {
            change(library);
            return Ok(None);
        };
        files::make_folder(folder)?;
        let path = folder.join(PARTS_FILE);
        let mut found = self.parts();
        let aside = found.damage.take().map(|_| files::set_aside(&path)).transpose()?;
        change(&mut found);
        files::write(&path, &save_parts(found.types.values().map(AsRef::as_ref)))?;
        *library = found;
        Ok(aside)
    }
}
