//! `convert`: a car written as a file or a sketch.

use std::io::Write;
use std::path::Path;

use loomwright_circuit::Car;

use super::Outcome;
use crate::files;
use crate::texts::Board;

/// Writes a car file where the name says so, else a sketch.
pub(crate) fn convert(car: &Car, to: &Path, out: &mut dyn Write) -> anyhow::Result<Outcome> {
    if to == Path::new("-") {
        write!(out, "{}", sketch(car))?;
        return Ok(Outcome::Done);
    }
    let is_car_file =
        to.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("json"));
    let bytes = if is_car_file { loomwright_circuit::save(car) } else { sketch(car).into_bytes() };
    files::write(to, &bytes)?;
    writeln!(out, "wrote {}", to.display())?;
    if !is_car_file && !car.notes().is_empty() {
        writeln!(out, "{}", Board::notes_are_comments())?;
    }
    Ok(Outcome::Done)
}

/// The sketch; notes on sheets come first, as comments, since a sketch has no places.
fn sketch(car: &Car) -> String {
    let mut text = String::new();
    if !car.notes().is_empty() {
        text = format!("# {}\n", Board::notes_are_comments());
    }
    for note in car.notes().values() {
        for line in note.text.lines() {
            text += format!("#   {line}").trim_end();
            text.push('\n');
        }
    }
    text + &loomwright_sketch::print(car)
}
