//! `papers`: the garage pack written into a folder.

use std::io::Write;
use std::path::Path;

use anyhow::Context as _;
use loomwright_circuit::Car;
use loomwright_drawing::Palette;
use loomwright_papers::{PackOptions, Pages, Paper, pack};

use super::{Outcome, PaperName, ShowName};
use crate::files;
use crate::press::Shown;

/// What a call asks of the pack.
pub(crate) fn options(
    (paper, mono): (PaperName, bool),
    show: ShowName,
    dpi: u32,
    templates: Option<&Path>,
) -> anyhow::Result<PackOptions> {
    let (version, alteration_only) = match show {
        ShowName::Marked => Shown::Marked,
        ShowName::Before => Shown::Before,
        ShowName::After => Shown::After,
        ShowName::Alteration => Shown::Alteration,
    }
    .rows();
    Ok(PackOptions {
        paper: match paper {
            PaperName::A4 => Paper::A4,
            PaperName::A3 => Paper::A3,
            PaperName::Letter => Paper::Letter,
        },
        palette: if mono { Palette::Mono } else { Palette::Print },
        date: files::today(),
        version,
        alteration_only,
        templates: templates.map(files::in_folder).transpose()?.unwrap_or_default(),
        png_dots_per_inch: dpi,
        ..PackOptions::default()
    })
}

/// Writes the pack into a folder, or one page of it.
pub(crate) fn papers(
    car: &Car,
    to: &Path,
    page: Option<usize>,
    options: &PackOptions,
    out: &mut dyn Write,
) -> anyhow::Result<Outcome> {
    const FAILED: &str = "the papers could not be made";
    let report = super::findings::report(car);
    let files = if let Some(page) = page {
        let pages = Pages::set(car, &report, options).context(FAILED)?;
        vec![(format!("page-{page}.pdf"), pages.pdf_of(page).context(FAILED)?)]
    } else {
        let pack = pack(car, &report, options).context(FAILED)?;
        pack.files().into_iter().map(|file| (file.name, file.bytes)).collect()
    };
    let folder = files::make_folder(to)?;
    for (name, bytes) in files {
        let path = folder.join(&name);
        files::write(&path, &bytes)?;
        writeln!(out, "wrote {}", path.display())?;
    }
    Ok(Outcome::Done)
}
