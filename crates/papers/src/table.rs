//! Tables as CSV (RFC 4180, UTF-8, units in the header), and all of them as one JSON.

mod sheets;

use loomwright_circuit::Car;
use loomwright_rules::{Report, for_files};
use loomwright_units::as_in_files;
use serde_json::{Map, Value};

use crate::ExportError;
use crate::contents::Contents;

/// A table of the pack, ready for a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Name of its file.
    pub file: &'static str,
    /// Its rows as CSV, the header first; of `tables.json`, all tables as JSON.
    pub text: String,
}

/// A table before it is written: a header with units, and rows of as many fields.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Listing {
    pub(crate) name: &'static str,
    pub(crate) file: &'static str,
    pub(crate) header: Vec<&'static str>,
    pub(crate) rows: Vec<Vec<String>>,
}

/// The tables of a car, as CSV each, and last all of them as JSON.
///
/// They are for other programs, so their figures have points whatever people write, those in the sentences of a report that was told with the reader's mark as well.
///
/// # Errors
/// A table that the writer refuses.
pub fn tables(car: &Car, report: &Report) -> Result<Vec<Table>, ExportError> {
    let mut contents = as_in_files(|| Contents::of(car, report));
    for row in &mut contents.findings {
        for told in [&mut row.says, &mut row.advice, &mut row.source, &mut row.origin] {
            *told = for_files(car, told);
        }
    }
    tables_of(&contents)
}

pub(crate) fn tables_of(contents: &Contents) -> Result<Vec<Table>, ExportError> {
    let all = sheets::all(contents);
    let mut tables = all.iter().map(csv).collect::<Result<Vec<_>, _>>()?;
    tables.push(Table { file: "tables.json", text: json(&all) });
    Ok(tables)
}

fn csv(table: &Listing) -> Result<Table, ExportError> {
    let refuse = |says: String| ExportError::Table { file: table.file, says };
    let mut writer =
        csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    writer.write_record(&table.header).map_err(|error| refuse(error.to_string()))?;
    for row in &table.rows {
        writer.write_record(row).map_err(|error| refuse(error.to_string()))?;
    }
    let bytes = writer.into_inner().map_err(|error| refuse(error.to_string()))?;
    let text = String::from_utf8(bytes).map_err(|error| refuse(error.to_string()))?;
    Ok(Table { file: table.file, text })
}

/// One array of objects a table, fields by the words of the header.
fn json(all: &[Listing]) -> String {
    let object = |header: &[&str], row: &[String]| -> Value {
        let fields = header.iter().zip(row);
        fields
            .map(|(name, value)| ((*name).to_owned(), Value::from(value.as_str())))
            .collect::<Map<_, _>>()
            .into()
    };
    let tables = all.iter().map(|table| {
        let rows = table.rows.iter().map(|row| object(&table.header, row));
        (table.name.to_owned(), Value::from(rows.collect::<Vec<_>>()))
    });
    let mut text = format!("{:#}", Value::from(tables.collect::<Map<_, _>>()));
    text.push('\n');
    text
}
