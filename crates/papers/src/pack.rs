//! The whole pack at once, as the files that it is saved in.

use loomwright_circuit::Car;
use loomwright_rules::Report;

use crate::contents::Contents;
use crate::picture::{Drawing, drawings_of};
use crate::plates::{fits, plates};
use crate::table::{Table, tables_of};
use crate::{ExportError, PackOptions, Pages};

/// A garage pack: everything that goes into its folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pack {
    /// All pages as one PDF.
    pub pdf: Vec<u8>,
    /// Each sheet's drawing.
    pub drawings: Vec<Drawing>,
    /// Every table of the pack as CSV, and all of them as JSON.
    pub tables: Vec<Table>,
}

/// A file of the pack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PackFile {
    /// Its name in the pack's folder.
    pub name: String,
    /// Its content.
    pub bytes: Vec<u8>,
}

/// Makes the garage pack of a car. The same car, report and options give the same bytes.
///
/// # Errors
/// Pages, drawings or tables that cannot be made; the message says which.
pub fn pack(car: &Car, report: &Report, options: &PackOptions) -> Result<Pack, ExportError> {
    let contents = Contents::of(car, report);
    let drawn = options.drawn(car);
    let fits = fits(&drawn, report, options);
    let plates = plates(&drawn, report, options, &fits);
    Ok(Pack {
        tables: tables_of(&contents)?,
        drawings: drawings_of(&drawn, options, &fits)?,
        pdf: Pages::set_from(car, report, options, contents, plates)?.pdf()?,
    })
}

impl Pack {
    /// The pack as files: `pack.pdf`, `drawing-1.svg`, `drawing-1.png` and so on, and the tables.
    pub fn files(self) -> Vec<PackFile> {
        let mut files = vec![PackFile { name: "pack.pdf".to_owned(), bytes: self.pdf }];
        for (idx, drawing) in self.drawings.into_iter().enumerate() {
            let number = idx + 1;
            files.push(PackFile {
                name: format!("drawing-{number}.svg"),
                bytes: drawing.svg.into_bytes(),
            });
            files.push(PackFile { name: format!("drawing-{number}.png"), bytes: drawing.png });
        }
        files.extend(
            self.tables.into_iter().map(|table| PackFile {
                name: table.file.to_owned(),
                bytes: table.text.into_bytes(),
            }),
        );
        files
    }
}
