//! `convert` and `papers`: files written.

use std::io::Write;
use std::path::Path;

use anyhow::Context as _;
use loomwright_circuit::Car;
use loomwright_drawing::Palette;
use loomwright_papers::{PackOptions, Paper};

use super::{Outcome, PaperName};
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

/// Writes the garage pack into a folder.
pub(crate) fn papers(
    car: &Car,
    to: &Path,
    paper: PaperName,
    mono: bool,
    out: &mut dyn Write,
) -> anyhow::Result<Outcome> {
    let options = PackOptions {
        paper: match paper {
            PaperName::A4 => Paper::A4,
            PaperName::A3 => Paper::A3,
            PaperName::Letter => Paper::Letter,
        },
        palette: if mono { Palette::Mono } else { Palette::Print },
        date: files::today(),
        ..PackOptions::default()
    };
    let pack = loomwright_papers::pack(car, &super::findings::report(car), &options)
        .context("the papers could not be made")?;
    let folder = files::make_folder(to)?;
    for file in pack.files() {
        let path = folder.join(&file.name);
        files::write(&path, &file.bytes)?;
        writeln!(out, "wrote {}", path.display())?;
    }
    Ok(Outcome::Done)
}
