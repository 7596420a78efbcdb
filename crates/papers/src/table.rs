//! Tables as CSV: RFC 4180, UTF-8, units in the header.

use loomwright_circuit::Car;
use loomwright_rules::Report;

use crate::{ExportError, rows};

/// A table of the pack, ready for a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Name of its file.
    pub file: &'static str,
    /// Its rows as CSV, the header first.
    pub csv: String,
}

/// The tables of a car: connections, leads to make up, parts and findings.
///
/// # Errors
/// A table that the writer refuses.
pub fn tables(car: &Car, report: &Report) -> Result<Vec<Table>, ExportError> {
    Ok(vec![connections(car)?, leads(car, report)?, parts(car)?, findings(car, report)?])
}

fn connections(car: &Car) -> Result<Table, ExportError> {
    const HEADER: [&str; 14] = [
        "wire",
        "colour",
        "letters",
        "size (mm2)",
        "insulation",
        "length (m)",
        "from",
        "from terminal",
        "from end",
        "to",
        "to terminal",
        "to end",
        "standing",
        "note",
    ];
    let rows = rows::wires(car).into_iter().map(|row| {
        [
            row.number,
            row.colour,
            row.letters,
            row.size,
            row.insulation.to_owned(),
            row.length,
            row.from.part,
            row.from.terminal,
            row.from.fitting.to_owned(),
            row.to.part,
            row.to.terminal,
            row.to.fitting.to_owned(),
            row.standing.to_owned(),
            row.note,
        ]
    });
    table("connections.csv", &HEADER, rows)
}

fn leads(car: &Car, report: &Report) -> Result<Table, ExportError> {
    const HEADER: [&str; 10] = [
        "wire",
        "colour",
        "letters",
        "size (mm2)",
        "insulation",
        "length (m)",
        "from",
        "from end",
        "to",
        "to end",
    ];
    let joined = |end: &rows::EndRow| format!("{} {}", end.part, end.terminal).trim().to_owned();
    let rows = rows::leads(car, report).into_iter().map(|row| {
        let (from, to) = (joined(&row.from), joined(&row.to));
        [
            row.number,
            row.colour,
            row.letters,
            row.size,
            row.insulation.to_owned(),
            row.length,
            from,
            row.from.fitting.to_owned(),
            to,
            row.to.fitting.to_owned(),
        ]
    });
    table("leads.csv", &HEADER, rows)
}

fn parts(car: &Car) -> Result<Table, ExportError> {
    const HEADER: [&str; 6] = ["part", "kind", "figures", "sheet", "standing", "note"];
    let rows = rows::parts(car).into_iter().map(|row| {
        [row.label, row.kind, row.figures, row.sheet, row.standing.to_owned(), row.note]
    });
    table("parts.csv", &HEADER, rows)
}

fn findings(car: &Car, report: &Report) -> Result<Table, ExportError> {
    const HEADER: [&str; 13] = [
        "number",
        "code",
        "level",
        "title",
        "says",
        "what to do",
        "shown by",
        "where",
        "source",
        "whose work",
        "way of the current",
        "adds up from",
        "accepted",
    ];
    let rows = rows::findings(car, report).into_iter().map(|row| {
        [
            row.number.to_string(),
            row.code.to_owned(),
            row.level.to_owned(),
            row.title.to_owned(),
            row.says,
            row.advice,
            row.moves,
            row.places.join("; "),
            row.source,
            row.origin,
            row.way,
            row.shares,
            row.accepted,
        ]
    });
    table("findings.csv", &HEADER, rows)
}

fn table<const N: usize>(
    file: &'static str,
    header: &[&str; N],
    rows: impl Iterator<Item = [String; N]>,
) -> Result<Table, ExportError> {
    let refuse = |says: String| ExportError::Table { file, says };
    let mut writer =
        csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    writer.write_record(header).map_err(|error| refuse(error.to_string()))?;
    for row in rows {
        writer.write_record(row).map_err(|error| refuse(error.to_string()))?;
    }
    let bytes = writer.into_inner().map_err(|error| refuse(error.to_string()))?;
    let csv = String::from_utf8(bytes).map_err(|error| refuse(error.to_string()))?;
    Ok(Table { file, csv })
}
