//! The whole pack at once, as the files that it is saved in.

use loomwright_circuit::Car;
use loomwright_rules::Report;
use loomwright_units::{DecimalMark, decimal_mark};

use crate::contents::Contents;
use crate::picture::{Drawing, drawings_of};
use crate::plates::{fits, plates};
use crate::table::{Table, tables, tables_of};
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
    let drawn = options.drawn(car);
    // Nothing of the lists waits for the drawings, and nothing of the pictures for the pages.
    let (contents, fits) = both(|| Contents::of(car, report), || fits(&drawn, report, options));
    let tables = match decimal_mark() {
        DecimalMark::Point => tables_of(&contents)?,
        DecimalMark::Comma => tables(car, report)?,
    };
    let plates = plates(&drawn, report, options, &fits);
    let (drawings, pdf) = both(
        || drawings_of(&drawn, options, &fits),
        || Pages::set_from(car, report, options, contents, plates)?.pdf(),
    );
    Ok(Pack { tables, drawings: drawings?, pdf: pdf? })
}

/// Does two things at once, the first of them on a thread of its own.
pub(crate) fn both<A: Send, B>(
    first: impl FnOnce() -> A + Send,
    second: impl FnOnce() -> B,
) -> (A, B) {
    std::thread::scope(|scope| {
        let first = scope.spawn(first);
        let second = second();
        (first.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)), second)
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
