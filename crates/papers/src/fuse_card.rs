//! The fuse card: what each fuse is, what its number means, and what goes dark with it.

mod fed;

use std::collections::BTreeMap;

use loomwright_circuit::part_type::{Element, Figure, FuseFamily};
use loomwright_circuit::{Car, Part, PartId, PartType, Standing, Version};
use loomwright_electrics::{FuseRef, Network};
use loomwright_rules::Report;
use loomwright_units::trimmed;
use serde::Serialize;

use self::fed::{Fed, feeds};
use crate::warned::{self, Warning};
use crate::words;

/// One fuse.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct FuseRow {
    pub(crate) label: String,
    /// Which of a box, by its terminals; empty for a fuse by itself.
    pub(crate) way: String,
    pub(crate) kind: &'static str,
    /// A, all day; empty where not known.
    pub(crate) carries: String,
    #[serde(skip)]
    pub(crate) carries_amps: Option<f64>,
    /// A, at which an old one blows; empty for others.
    pub(crate) blows: String,
    /// What the number on it means.
    pub(crate) means: String,
    /// What it feeds.
    pub(crate) feeds: String,
    pub(crate) standing: &'static str,
    /// Dangers and faults that name it.
    pub(crate) warnings: Vec<Warning>,
}

pub(crate) fn fuse_card(car: &Car, report: &Report) -> Vec<FuseRow> {
    let network = Network::of(car, Version::After);
    let feeds = feeds(car, &network);
    let present = car.parts().iter().filter(|(_, part)| part.standing != Standing::ToRemove);
    let mut rows = Vec::new();
    for (id, part) in present {
        let Some(known) = car.type_of(*id) else { continue };
        let fuses: Vec<&Element> = known
            .elements
            .iter()
            .filter(|element| matches!(element, Element::Fuse { .. }))
            .collect();
        for element in &fuses {
            let row = fuse_row(car, *id, part, known, element, fuses.len() > 1, &feeds);
            rows.extend(row.map(|row| FuseRow { warnings: warned::of_part(report, *id), ..row }));
        }
    }
    rows.sort_by(|a, b| {
        words::by_count(&a.label, &b.label).then_with(|| words::by_count(&a.way, &b.way))
    });
    rows
}

fn fuse_row(
    car: &Car,
    id: PartId,
    part: &Part,
    known: &PartType,
    element: &Element,
    is_one_of_several: bool,
    feeds: &BTreeMap<FuseRef, Fed>,
) -> Option<FuseRow> {
    let Element::Fuse { between, family, carries, blows, .. } = element else { return None };
    let figure = |figure: &Figure| match figure {
        Figure::Number(number) => Some(*number),
        Figure::Fact(name) => part.fact(known, name),
    };
    let marked = part.fact(known, "marked");
    let blows = blows.as_ref().and_then(figure);
    let carries = figure(carries);
    let fed = feeds.get(&FuseRef { part: id, between: between.clone() });
    let amps = |value: Option<f64>| value.map_or_else(String::new, |value| trimmed(value, 1));
    let carries_amps = carries.or_else(|| blows.map(|blows| blows / 2.0));
    Some(FuseRow {
        label: car.part(id)?.label.clone(),
        way: if is_one_of_several { between.join(" to ") } else { String::new() },
        kind: kind(*family),
        means: means(*family, carries, blows, marked),
        carries: amps(carries_amps),
        carries_amps,
        blows: amps(blows),
        feeds: fed.map_or_else(|| Fed::default().words(car), |fed| fed.words(car)),
        standing: part.standing.words(),
        warnings: Vec::new(),
    })
}

fn kind(family: FuseFamily) -> &'static str {
    match family {
        FuseFamily::Blade => "blade",
        FuseFamily::Glass => "glass",
        FuseFamily::Torpedo => "torpedo",
        FuseFamily::Link => "fusible link",
        FuseFamily::Breaker => "breaker, closes again by itself",
        FuseFamily::ManualBreaker => "breaker, closed by hand",
    }
}

fn means(
    family: FuseFamily,
    carries: Option<f64>,
    blows: Option<f64>,
    marked: Option<f64>,
) -> String {
    let number = |value: f64| trimmed(value, 1);
    match (family, carries, blows, marked) {
        (FuseFamily::Glass, Some(carries), Some(blows), _) => format!(
            "old marking: {} A is where it blows, {} A what it carries all day. A modern fuse marked {} is too large.",
            number(blows),
            number(carries),
            number(blows)
        ),
        (FuseFamily::Glass, None, Some(blows), _) => format!(
            "old marking: {} A is where it blows; about half of that is what it carries all day. A modern fuse marked {} \
             is too large.",
            number(blows),
            number(blows)
        ),
        (FuseFamily::Glass, Some(carries), None, _) => format!(
            "marked with what it carries, {} A; an old fuse of the same number carries half.",
            number(carries)
        ),
        (FuseFamily::Glass, None, None, Some(marked)) => format!(
            "marked {} A; whether it blows there or carries that is not known: find out before you replace it.",
            number(marked)
        ),
        (FuseFamily::Link, ..) => {
            "a length of thinner cable that melts: never replaced by a piece of wire.".to_owned()
        }
        (_, Some(carries), ..) => format!("modern marking: carries {} A all day.", number(carries)),
        _ => "its rating is not known: read it off the fuse.".to_owned(),
    }
}
