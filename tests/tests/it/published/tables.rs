//! Every published table says where its rows come from, and how far to trust them.

use super::table::table;
use crate::repository::{files, read, root};

/// Names that no row may carry outside its source: what it says holds for any car.
const MAKERS: [&str; 8] =
    ["Lu-cas", "M-G", "For-d", "Trium-ph", "Ro-ver", "Bos-ch", "Sca-nia", "Little-fuse"];

fn names() -> Vec<String> {
    let stem =
        |path: std::path::PathBuf| path.file_stem().expect("a name").to_string_lossy().into_owned();
    let names: Vec<String> = files("assets/reference", ".csv").into_iter().map(stem).collect();
    assert!(names.len() >= 16, "only {names:?}");
    names
}

#[test]
fn every_row_has_a_source_and_a_basis() {
    for row in names().iter().flat_map(|name| table(name)) {
        assert!(!row.text("source").is_empty(), "{}", row.says());
        assert!(["seen", "memory", "practice"].contains(&row.basis()), "{}", row.says());
        row.text("note");
    }
}

#[test]
fn makers_stand_in_sources_only() {
    let makers = MAKERS.map(|name| name.replace('-', ""));
    for name in names() {
        let text = read(&root().join("assets/reference").join(format!("{name}.csv")));
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let headers = reader.headers().expect("a header").clone();
        for record in reader.records() {
            let record = record.expect("a row");
            for (column, field) in
                headers.iter().zip(&record).filter(|(column, _)| *column != "source")
            {
                let words = || field.split(|c: char| !c.is_alphanumeric());
                let is_named = |maker: &&String| words().any(|word| word == maker.as_str());
                assert!(makers.iter().find(is_named).is_none(), "{name}.csv, {column}: {field}");
            }
        }
    }
}

#[test]
fn the_readme_counts_the_rows() {
    let readme = read(&root().join("assets/reference/README.md"));
    for name in names() {
        let rows = table(&name);
        let of = |basis: &str| rows.iter().filter(|row| row.basis() == basis).count();
        let line = format!(
            "| {name}.csv | {} | {} | {} | {} |",
            rows.len(),
            of("seen"),
            of("memory"),
            of("practice")
        );
        assert!(readme.contains(&line), "README.md lacks {line}");
    }
}
