//! Reading the file that a command takes: a car file or a sketch.

use std::path::Path;

use anyhow::Context as _;
use loomwright_circuit::Car;

/// Reads a car file or a sketch; what it is shows in its first character, not in its name.
pub(crate) fn car(path: &Path) -> anyhow::Result<Car> {
    let bytes = crate::files::read(path)?;
    let name = if path == Path::new("-") { "standard input".to_owned() } else { path.display().to_string() };
    crate::files::car_from(&bytes).with_context(|| name)
}
