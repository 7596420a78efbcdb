//! Reading the tables of `assets/reference/`.

use std::collections::BTreeMap;

use crate::repository::{read, root};

/// A row of a published table.
#[derive(Debug)]
pub(crate) struct Row {
    place: String,
    fields: BTreeMap<String, String>,
}

/// The rows of a table, by the name of its file.
pub(crate) fn table(name: &str) -> Vec<Row> {
    let text = read(&root().join("assets/reference").join(format!("{name}.csv")));
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let names: Vec<String> =
        reader.headers().expect("a header").iter().map(str::to_owned).collect();
    let row = |(row_idx, record): (usize, Result<csv::StringRecord, csv::Error>)| {
        let record = record.unwrap_or_else(|error| panic!("{name}.csv: {error}"));
        let fields = names.iter().cloned().zip(record.iter().map(str::to_owned)).collect();
        Row { place: format!("{name}.csv row {}", row_idx + 1), fields }
    };
    let rows: Vec<Row> = reader.records().enumerate().map(row).collect();
    assert!(!rows.is_empty(), "{name}.csv is empty");
    rows
}

/// The rows whose text in a column begins so; there must be some.
pub(crate) fn rows(name: &str, column: &str, begins: &str) -> Vec<Row> {
    let mut rows = table(name);
    rows.retain(|row| row.text(column).starts_with(begins));
    assert!(!rows.is_empty(), "{name}.csv has no {column} '{begins}'");
    rows
}

/// The only row whose text in a column is this.
pub(crate) fn the_row(name: &str, column: &str, text: &str) -> Row {
    let mut rows = rows(name, column, text);
    rows.retain(|row| row.text(column) == text);
    assert_eq!(rows.len(), 1, "{name}.csv has {} rows with {column} '{text}'", rows.len());
    rows.remove(0)
}

impl Row {
    /// The text of a column.
    pub(crate) fn text(&self, column: &str) -> &str {
        self.fields.get(column).unwrap_or_else(|| panic!("{} has no column {column}", self.place))
    }

    /// The number of a column; nothing where it is empty.
    pub(crate) fn number(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        let number =
            || text.parse().unwrap_or_else(|_| panic!("{}: {column} '{text}'", self.place));
        (!text.is_empty()).then(number)
    }

    /// The number of a column that has one.
    pub(crate) fn figure(&self, column: &str) -> f64 {
        self.number(column).unwrap_or_else(|| panic!("{} has no {column}", self.place))
    }

    /// Seen, memory or practice.
    pub(crate) fn basis(&self) -> &str {
        self.text("basis")
    }

    /// Where it stands, its source and how far to trust it: for messages.
    pub(crate) fn says(&self) -> String {
        format!("{} ({}: {})", self.place, self.basis(), self.text("source"))
    }

    /// Fails where the program's figure is off the published one by more than this.
    #[track_caller]
    pub(crate) fn agrees(&self, column: &str, found: f64, tolerance: f64) {
        let published = self.figure(column);
        let is_near = (found - published).abs() <= tolerance;
        assert!(is_near, "{column} is {published} in {}, the program has {found}", self.says());
    }
}
