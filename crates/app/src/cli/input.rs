//! Reading the file that a command takes.

use std::path::Path;

use loomwright_circuit::Car;

/// Reads a car file or a sketch; which of them it is shows in its first character, not in its name.
pub(crate) fn car(path: &Path) -> anyhow::Result<Car> {
    Ok(crate::files::open(path)?.car)
}
