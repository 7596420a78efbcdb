//! The rows that tables and pages share: wires, leads to make up, parts and findings, in words.

use loomwright_circuit::part_type::{Element, Fact};
use loomwright_circuit::{Car, End, Fitting, Part, PartType, Standing, Version, Wire, WireId};
use loomwright_electrics::{Network, assumed, cable};
use loomwright_rules::{Origin, Report, source_for_reader, traced};
use loomwright_units::{Celsius, trimmed, with_decimals};
use serde::Serialize;

use crate::held::why_held;
use crate::labels::outside_mm;
use crate::moves::is_of_plan;
use crate::warned::{self, Warning};
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
    /// Why nobody is told to fit it; empty elsewhere.
    pub(crate) held: String,
    /// Dangers and faults that name it, told of leads to fit; filled in by `warned`.
    pub(crate) warnings: Vec<Warning>,
    #[serde(skip)]
    pub(crate) id: WireId,
    #[serde(skip)]
    pub(crate) metres: Option<f64>,
    /// From end to end, both fittings with it, as the solver takes it; nothing where size or length is not known.
    #[serde(skip)]
    pub(crate) ohms: Option<f64>,
    #[serde(skip)]
    pub(crate) square_mm: Option<f64>,
    /// How thick it is over its cover, mm.
    #[serde(skip)]
    pub(crate) outside_mm: Option<f64>,
}

/// An end of a wire in words.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct EndRow {
    /// Label of the part; empty at a loose end.
    pub(crate) part: String,
    /// Its terminal; empty where the part has only one.
    pub(crate) terminal: String,
    pub(crate) fitting: &'static str,
    /// What the fitting goes on, where that is not the terminal itself; empty elsewhere.
    pub(crate) on: String,
    #[serde(skip)]
    pub(crate) kind: Option<Fitting>,
}

impl EndRow {
    /// Its fitting, and what that goes on: "M8 ring on the bolt of its clamp".
    pub(crate) fn made(&self) -> String {
        [self.fitting, &self.on].join(" ").trim_end().to_owned()
    }

    /// Part and terminal in one line.
    pub(crate) fn words(&self) -> String {
        match (self.part.as_str(), self.terminal.as_str()) {
            ("", _) => "loose end".to_owned(),
            (part, terminal) => words::at_terminal(part, terminal),
        }
    }
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
    pub(crate) source: String,
    /// Whose work it is about; empty where that was not asked.
    pub(crate) origin: String,
    /// Whether the car had it before, and the alteration leaves it as it was.
    pub(crate) is_own: bool,
    /// The way of the current that it is about; empty where it is about none.
    pub(crate) way: String,
    /// Whose currents add up there; empty where it is one consumer's.
    pub(crate) shares: String,
    /// Who accepted it, when and why; empty where nobody has.
    pub(crate) accepted: String,
    /// Whether what would mend it is drawn nowhere yet, so that it stands in no list.
    pub(crate) is_unlisted: bool,
}

/// Every wire of the car, as people count.
pub(crate) fn wires(car: &Car) -> Vec<WireRow> {
    let mut rows: Vec<_> = car.wires().iter().map(|(id, wire)| wire_row(car, *id, wire)).collect();
    rows.sort_by(|a, b| words::by_count(&a.number, &b.number));
    rows
}

/// The wires to fit in the order in which they are cut: by colour, of one cable the thicker first, of one size the
/// longest, so that what is left over still makes the next.
pub(crate) fn leads(car: &Car, report: &Report) -> Vec<WireRow> {
    let fit = car.wires().iter().filter(|(_, wire)| {
        // What stays in the car with an end moved is not cut.
        wire.standing == Standing::ToFit && car.kept_of(wire).is_none()
    });
    let rows = fit.map(|(id, wire)| WireRow {
        warnings: warned::of_wire(report, *id),
        ..wire_row(car, *id, wire)
    });
    // Nor is what would lead nowhere.
    let mut rows: Vec<_> = rows.filter(|row| row.held.is_empty()).collect();
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

/// The wires of a standing that are new, or that go for good: those that stay with an end moved are neither.
pub(crate) fn wires_of(car: &Car, standing: Standing) -> Vec<WireRow> {
    let wires = wires(car).into_iter().filter(|row| row.standing == standing.words());
    wires.filter(|row| is_of_plan(car, standing, &row.number)).collect()
}

pub(crate) fn end_row(car: &Car, end: &End) -> EndRow {
    let (part, terminal) = words::place(car, &end.at);
    EndRow {
        part: part.to_owned(),
        terminal: terminal.to_owned(),
        fitting: end.fitting.map_or("", |fitting| fitting.words()),
        on: on_clamp(car, end),
        kind: end.fitting,
    }
}

pub(crate) fn wire_row(car: &Car, id: WireId, wire: &Wire) -> WireRow {
    let code = car.vehicle().colours;
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
        size: square_mm.map_or_else(String::new, |size| trimmed(size, 2)),
        insulation: wire.insulation.map_or("", |insulation| insulation.words()),
        length: metres.map_or_else(String::new, |length| with_decimals(length, 2)),
        from: end_row(car, &wire.from),
        to: end_row(car, &wire.to),
        standing: wire.standing.words(),
        note: wire.note.clone(),
        held: why_held(car, wire).unwrap_or_default(),
        warnings: Vec::new(),
        id,
        metres,
        ohms: wire.size.zip(wire.length).map(|(size, length)| {
            let copper = cable::resistance(length, size, Celsius(20.0));
            copper.0 + 2.0 * assumed::end_ohms(size.square_mm()).0
        }),
        square_mm,
        outside_mm: wire.size.map(|size| outside_mm(size, wire.insulation)),
    }
}

/// A ring has no place on a battery's post: it goes on the bolt of the clamp there.
fn on_clamp(car: &Car, end: &End) -> String {
    let is_battery = end.at.part().and_then(|id| car.type_of(id)).is_some_and(|known| {
        known.elements.iter().any(|element| matches!(element, Element::Battery { .. }))
    });
    let is_ring = matches!(
        end.fitting,
        Some(
            Fitting::RingM4
                | Fitting::RingM5
                | Fitting::RingM6
                | Fitting::RingM8
                | Fitting::RingM10
        )
    );
    if is_battery && is_ring { "on the bolt of its clamp".to_owned() } else { String::new() }
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

/// The part's figures that matter to a person: its ratings, and what differs from the usual of its kind.
fn figures(car: &Car, part: &Part, part_type: &PartType) -> String {
    let each = part_type.facts.iter().filter_map(|fact| {
        let system = car.vehicle().voltage.volts().0;
        let value = part
            .fact(part_type, &fact.name)
            .or_else(|| (fact.name == "volts").then_some(system))?;
        // A part without a voltage of its own, or with a share or resistance as usual, is like any other of its kind.
        let is_own = part.facts.get(&fact.name).is_some_and(|own| fact.usual != Some(*own));
        if !is_own && !is_rating(fact) {
            return None;
        }
        let title = fact.title.split(" (").next().unwrap_or(&fact.title);
        let text = match fact.unit.as_str() {
            // Earths and joints: thousandths are what a meter shows.
            "ohm" if value < 0.1 => format!("{title} {} milliohm", trimmed(value * 1e3, 2)),
            // A share of the marked volts is read on a meter as volts.
            "" if fact.name == "pull_in" || fact.name == "drop_out" => {
                let volts = part.fact(part_type, "volts").unwrap_or(system);
                let title = title.split(',').next().unwrap_or(title);
                format!("{title} at {} V", trimmed(value * volts, 1))
            }
            unit => format!("{title} {} {unit}", trimmed(value, 3)),
        };
        Some(text.trim_end().to_owned())
    });
    each.collect::<Vec<_>>().join(", ")
}

/// Whether a fact is what the part is bought by: its volts, amps, watts and ampere-hours.
fn is_rating(fact: &Fact) -> bool {
    // What it does in some state is no rating, though counted in the same units.
    let is_behaviour =
        matches!(fact.name.as_str(), "idle_amps" | "lamp_out_watts" | "volts_regulated");
    matches!(fact.unit.as_str(), "V" | "A" | "W" | "Ah") && !is_behaviour
}

/// The findings, numbered as their tags.
pub(crate) fn findings(car: &Car, report: &Report) -> Vec<FindingRow> {
    let network = Network::of(car, Version::After);
    let rows = report.findings.iter().enumerate().map(|(idx, finding)| {
        let traced = traced(car, &network, finding);
        let says = [Some(finding.says.clone()), finding.band.says(), finding.back()];
        FindingRow {
            number: report.number(idx),
            code: finding.code,
            level: finding.level.word(),
            title: finding.title,
            says: says.into_iter().flatten().collect::<Vec<_>>().join(". "),
            advice: finding.advice.clone(),
            moves: words::moves(&finding.moves),
            places: words::labels(car, &finding.parts, &finding.wires),
            source: source_for_reader(finding.source),
            is_own: finding.origin == Origin::AsFound,
            origin: finding.origin.says().unwrap_or_default(),
            way: traced.as_ref().map(|traced| traced.way(car)).unwrap_or_default(),
            shares: traced.and_then(|traced| traced.adds_up_from(car)).unwrap_or_default(),
            accepted: match &finding.accepted {
                Some(accepted) if accepted.back.is_none() => accepted.says(),
                _ => String::new(),
            },
            is_unlisted: warned::is_serious(finding),
        }
    });
    rows.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_prints_its_ratings_and_what_is_unlike_its_kind() {
        let car = loomwright_sketch::parse(
            "car 12 V negative earth
battery B1 12 V 40 Ah
earth E1 body
earth E2 body ohms=0.02
relay K1 12 V pull_in=0.5
flasher-electronic-2 FL1
",
        )
        .unwrap();
        let figures: Vec<_> = parts(&car).into_iter().map(|row| row.figures).collect();
        assert_eq!(
            figures,
            [
                "Marked voltage 12 V, Capacity 40 Ah",
                "",
                "Resistance of the joint 20 milliohm",
                "Power of the lamps it is made for 42 W, Greatest power of lamps 94 W",
                "Marked voltage 12 V, Pull-in at 6 V, Contact rating 30 A",
            ]
        );
    }
}
