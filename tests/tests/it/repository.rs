//! The repository as the tests see it: its files, found from the place of this package.

use std::path::{Path, PathBuf};

/// The root of the repository.
pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("a folder above").to_owned()
}

/// The text of a file.
#[expect(clippy::disallowed_methods, reason = "these tests read the repository's own files")]
pub(crate) fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The entries of a folder, sorted; none where there is no such folder.
pub(crate) fn entries(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut paths: Vec<PathBuf> =
        entries.map(|entry| entry.expect("an entry of the folder").path()).collect();
    paths.sort();
    paths
}

/// Every file below a folder of the repository whose name ends so, sorted; build folders left out.
pub(crate) fn files(folder: &str, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![root().join(folder)];
    while let Some(folder) = folders.pop() {
        for path in entries(&folder) {
            let name = path.file_name().map(|name| name.to_string_lossy().into_owned());
            let name = name.unwrap_or_default();
            if path.is_dir() && name != "target" && !name.starts_with('.') {
                folders.push(path);
            } else if path.is_file() && name.ends_with(ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// A path as it stands in the repository.
pub(crate) fn shown(path: &Path) -> String {
    path.strip_prefix(root()).unwrap_or(path).to_string_lossy().into_owned()
}
