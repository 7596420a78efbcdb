//! The rows that tables and pages share: wires, leads to make up, parts and findings, in words.

use loomwright_circuit::{Car, End, Part, PartType, Standing, Wire};
use loomwright_rules::{Level, Report};
use serde::Serialize;

use crate::words;

/// A wire in words. What is not known is empty.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct WireRow {
    pub(crate) number: String,
    /// Colour in words, main colour first.
    pub(crate) colour: String,
    /// Colour in the letters of the car's code.
    pub(crate) letters: String,
    /// Words of main colour and tracer, for the little picture of the cable.
    pub(crate) cover: Vec<&'static str>,
    /// mm².
    pub(crate) size: String,
    pub(crate) insulation: &'static str,
    /// m.
    pub(crate) length: String,
    pub(crate) from: EndRow,
    pub(crate) to: EndRow,
    pub(crate) standing: &'static str,
    pub(crate) note: String,
    #[serde(skip)]
    pub(crate) metres: Option<f64>,
    #[serde(skip)]
    pub(crate) square_mm: Option<f64>,
}

/// An end of a wire in words.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct EndRow {
    /// Label of the part; empty at a loose end.
    pub(crate) part: String,
    /// Its terminal; empty where the part has only one.
    pub(crate) terminal: String,
    pub(crate) fitting: &'static str,
}

/// A part in words.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct PartRow {
    pub(crate) label: String,
    pub(crate) kind: String,
    pub(crate) figures: String,
    pub(crate) sheet: String,
    pub(crate) standing: &'static str,
    pub(crate) note: String,
}

/// A finding in words.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct FindingRow {
    /// The number on its tag.
    pub(crate) number: usize,
    pub(crate) code: &'static str,
    pub(crate) level: &'static str,
    pub(crate) title: &'static str,
    pub(crate) says: String,
    pub(crate) advice: String,
    pub(crate) moves: String,
    /// Parts and wires concerned.
    pub(crate) places: Vec<String>,
    pub(crate) source: &'static str,
}

/// Every wire of the car, as people count.
pub(crate) fn wires(car: &Car) -> Vec<WireRow> {
    let mut rows: Vec<_> = car.wires().values().map(|wire| wire_row(car, wire)).collect();
    rows.sort_by(|a, b| words::by_count(&a.number, &b.number));
    rows
}

/// The wires to fit, by cable, the longest first: the order in which they are cut.
pub(crate) fn leads(car: &Car) -> Vec<WireRow> {
    let fit = car.wires().values().filter(|wire| wire.standing == Standing::ToFit);
    let mut rows: Vec<_> = fit.map(|wire| wire_row(car, wire)).collect();
    rows.sort_by(|a, b| {
        let cable = |row: &WireRow| (row.colour.clone(), row.insulation);
        cable(a)
            .cmp(&cable(b))
            .then_with(|| b.square_mm.unwrap_or(0.0).total_cmp(&a.square_mm.unwrap_or(0.0)))
            .then_with(|| b.metres.unwrap_or(0.0).total_cmp(&a.metres.unwrap_or(0.0)))
            .then_with(|| words::by_count(&a.number, &b.number))
    });
    rows
}

fn wire_row(car: &Car, wire: &Wire) -> WireRow {
    let code = car.vehicle().colours;
    let end_row = |end: &End| {
        let (part, terminal) = words::place(car, &end.at);
        EndRow {
            part: part.to_owned(),
            terminal: terminal.to_owned(),
            fitting: end.fitting.map_or("", |fitting| fitting.words()),
        }
    };
    let square_mm = wire.size.map(|size| size.square_mm());
    let metres = wire.length.map(|length| length.0);
    let cover = wire.colour.map_or_else(Vec::new, |colour| {
        std::iter::once(colour.main).chain(colour.tracer).map(|one| one.word()).collect()
    });
    WireRow {
        number: wire.label.clone(),
        colour: wire.colour.map_or_else(String::new, |colour| colour.words()),
        letters: wire.colour.map_or_else(String::new, |colour| colour.letters(code)),
        cover,
        size: square_mm.map_or_else(String::new, |size| words::number(size, 2)),
        insulation: wire.insulation.map_or("", |insulation| insulation.words()),
        length: metres.map_or_else(String::new, |length| words::number(length, 2)),
        from: end_row(&wire.from),
        to: end_row(&wire.to),
        standing: wire.standing.words(),
        note: wire.note.clone(),
        metres,
        square_mm,
    }
}

/// Every part, as people count.
pub(crate) fn parts(car: &Car) -> Vec<PartRow> {
    let rows = car.parts().values().map(|part| {
        let part_type = car.type_named(&part.type_name);
        PartRow {
            label: part.label.clone(),
            kind: part_type.map_or_else(|| part.type_name.clone(), |known| known.title.clone()),
            figures: part_type.map_or_else(String::new, |known| figures(car, part, known)),
            sheet: car.sheets().get(&part.sheet).map_or_else(String::new, |row| row.title.clone()),
            standing: part.standing.words(),
            note: part.note.clone(),
        }
    });
    let mut rows: Vec<_> = rows.collect();
    rows.sort_by(|a, b| words::by_count(&a.label, &b.label));
    rows
}

/// The part's figures: "Power 55 W, Voltage 12 V".
fn figures(car: &Car, part: &Part, part_type: &PartType) -> String {
    let each = part_type.facts.iter().filter_map(|fact| {
        let value = part
            .fact(part_type, &fact.name)
            .or_else(|| (fact.name == "volts").then(|| car.vehicle().voltage.volts().0))?;
        let text = format!("{} {} {}", fact.title, words::number(value, 3), fact.unit);
        Some(text.trim_end().to_owned())
    });
    each.collect::<Vec<_>>().join(", ")
}

/// The findings, numbered as their tags.
pub(crate) fn findings(car: &Car, report: &Report) -> Vec<FindingRow> {
    let rows = report.findings.iter().enumerate().map(|(idx, finding)| FindingRow {
        number: idx + 1,
        code: finding.code,
        level: finding.level.word(),
        title: finding.title,
        says: finding.says.clone(),
        advice: finding.advice.clone(),
        moves: words::moves(&finding.moves),
        places: words::labels(car, &finding.parts, &finding.wires),
        source: finding.source,
    });
    rows.collect()
}

/// How many findings there are of a level.
pub(crate) fn n_findings(report: &Report, level: Level) -> usize {
    report.findings.iter().filter(|finding| finding.level == level).count()
}
