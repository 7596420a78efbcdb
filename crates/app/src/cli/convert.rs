//! `convert`: a car written as a file or a sketch.

use std::io::Write;
use std::path::Path;

use loomwright_circuit::Car;

use super::Outcome;
use crate::files;

/// Writes a car file where the name says so, else a sketch.
pub(crate) fn convert(car: &Car, to: &Path, out: &mut dyn Write) -> anyhow::Result<Outcome> {
    if to == Path::new("-") {
        write!(out, "{}", loomwright_sketch::print(car))?;
        return Ok(Outcome::Done);
    }
    let is_car_file =
        to.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("json"));
    let bytes = if is_car_file {
        loomwright_circuit::save(car)
    } else {
        loomwright_sketch::print(car).into_bytes()
    };
    files::write(to, &bytes)?;
    writeln!(out, "wrote {}", to.display())?;
    Ok(Outcome::Done)
}
