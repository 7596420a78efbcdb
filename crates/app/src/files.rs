//! The only place that touches the disk.
#![expect(clippy::disallowed_methods, reason = "this module is where the disk is touched")]

use std::io::Read as _;
use std::path::{Path, PathBuf};

use anyhow::Context as _;

/// Reads a whole file, or standard input for `-`; refuses what is larger than any car file can be.
pub fn read(path: &Path) -> anyhow::Result<Vec<u8>> {
    const MOST_BYTES: u64 = 64 << 20;
    let mut bytes = Vec::new();
    if path == Path::new("-") {
        std::io::stdin()
            .take(MOST_BYTES + 1)
            .read_to_end(&mut bytes)
            .context("cannot read standard input")?;
    } else {
        let file =
            std::fs::File::open(path).with_context(|| format!("cannot open {}", path.display()))?;
        file.take(MOST_BYTES + 1)
            .read_to_end(&mut bytes)
            .with_context(|| format!("cannot read {}", path.display()))?;
    }
    anyhow::ensure!(
        bytes.len() as u64 <= MOST_BYTES,
        "{} is larger than 64 MB; no car file is",
        path.display()
    );
    Ok(bytes)
}

/// Writes a file so that a crash leaves either the old or the new content: a new file beside it, then a rename.
pub fn write(path: &Path, bytes: &[u8]) -> anyhow::Result<()> {
    use std::io::Write as _;
    let name = path.file_name().with_context(|| format!("{} names no file", path.display()))?;
    let mut beside = name.to_owned();
    beside.push(".part");
    let beside = path.with_file_name(beside);
    let attempt = || -> std::io::Result<()> {
        let mut file = std::fs::File::create(&beside)?;
        file.write_all(bytes)?;
        file.sync_all()?;
        std::fs::rename(&beside, path)
    };
    attempt().with_context(|| format!("cannot write {}", path.display()))
}

/// Makes a folder and its parents.
pub fn make_folder(path: &Path) -> anyhow::Result<PathBuf> {
    std::fs::create_dir_all(path)
        .with_context(|| format!("cannot make the folder {}", path.display()))?;
    Ok(path.to_path_buf())
}
