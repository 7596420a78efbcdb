//! Figures of a part type: what an element shows of its own, and the facts that hold them.

use loomwright_circuit::PartType;
use loomwright_circuit::part_type::{Element, Fact, Figure};

/// A figure of an element as it is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureView {
    /// What it is.
    pub title: String,
    /// Its unit.
    pub unit: String,
    /// What it usually is; nothing where it is asked of each part, or is the car's.
    pub usual: Option<f64>,
    /// Whether nothing means the car's own voltage.
    pub is_car_volts: bool,
}

/// The figures of an element in its own order.
pub fn figures(row: &PartType, element: &Element) -> Vec<FigureView> {
    let view = |figure: &&Figure| match figure {
        Figure::Number(number) => FigureView {
            title: String::new(),
            unit: String::new(),
            usual: Some(*number),
            is_car_volts: false,
        },
        Figure::Fact(name) => {
            let fact = row.fact(name);
            FigureView {
                title: fact.map(|fact| fact.title.clone()).unwrap_or_default(),
                unit: fact.map(|fact| fact.unit.clone()).unwrap_or_default(),
                usual: fact.and_then(|fact| fact.usual),
                is_car_volts: name == "volts",
            }
        }
    };
    element.figures().iter().map(view).collect()
}

/// Sets what a figure usually is. A number that the type fixes needs one.
///
/// # Errors
/// A number outside what its fact accepts.
pub fn set_figure(
    row: &mut PartType,
    element: usize,
    figure: usize,
    value: Option<f64>,
) -> Result<(), String> {
    let Some(element) = row.elements.get_mut(element) else { return Ok(()) };
    let Some(figure) = element.figures_mut().into_iter().nth(figure) else { return Ok(()) };
    match figure {
        Figure::Number(number) => {
            if let Some(value) = value {
                *number = value;
            }
        }
        Figure::Fact(name) => {
            let name = name.clone();
            let Some(fact) = row.facts.iter_mut().find(|fact| fact.name == name) else {
                return Ok(());
            };
            if let Some(value) = value
                && !(fact.least..=fact.greatest).contains(&value)
            {
                let (least, greatest, unit) = (fact.least, fact.greatest, &fact.unit);
                return Err(crate::texts::PartWords::range(least, greatest, unit)
                    .trim()
                    .to_owned());
            }
            fact.usual = value;
        }
    }
    Ok(())
}

/// A figure that a new fact holds: its title, its unit, what it usually is, least and greatest.
pub(super) fn fresh(
    row: &mut PartType,
    base: &str,
    title: &str,
    unit: &str,
    (usual, least, greatest): (f64, f64, f64),
) -> Figure {
    let is_free = |name: &String| row.fact(name).is_none();
    let later = (2..=1000_u32).map(|n| format!("{base}_{n}"));
    let name = std::iter::once(base.to_owned()).chain(later).find(is_free).unwrap_or_default();
    row.facts.push(Fact {
        name: name.clone(),
        title: title.to_owned(),
        unit: unit.to_owned(),
        usual: Some(usual),
        least,
        greatest,
    });
    Figure::Fact(name)
}

/// The marked voltage that all of a part has in common; without a figure of its own it is the car's.
pub(super) fn volts(row: &mut PartType) -> Figure {
    if row.fact("volts").is_none() {
        row.facts.push(Fact {
            name: "volts".to_owned(),
            title: crate::texts::PartFigures::volts().to_owned(),
            unit: "V".to_owned(),
            usual: None,
            least: 2.0,
            greatest: 32.0,
        });
    }
    Figure::Fact("volts".to_owned())
}

/// Takes out the facts that no element uses any more.
pub(super) fn drop_unused(row: &mut PartType) {
    let used: Vec<String> = row
        .elements
        .iter()
        .flat_map(Element::figures)
        .filter_map(|figure| match figure {
            Figure::Fact(name) => Some(name.clone()),
            Figure::Number(_) => None,
        })
        .collect();
    row.facts.retain(|fact| used.contains(&fact.name));
}

/// What the symbol shows by itself: the watts of all that has some, else the amps of a fuse, else ohms.
pub(super) fn shown(row: &PartType) -> String {
    let with_unit = |unit: &str, of: fn(&Element) -> bool| {
        let used: Vec<&Figure> =
            row.elements.iter().filter(|it| of(it)).flat_map(Element::figures).collect();
        let facts = row
            .facts
            .iter()
            .filter(|fact| fact.unit == unit && used.contains(&&Figure::Fact(fact.name.clone())));
        facts.map(|fact| format!("{{{}}}", fact.name)).collect::<Vec<_>>().join("/")
    };
    type Is = fn(&Element) -> bool;
    let kinds: [(&str, Is); 3] = [
        ("W", |_| true),
        ("A", |it| matches!(it, Element::Fuse { .. })),
        ("ohm", |it| matches!(it, Element::Resistor { .. })),
    ];
    let found = kinds.into_iter().map(|(unit, of)| (unit, with_unit(unit, of)));
    let first = found.into_iter().find(|(_, shown)| !shown.is_empty());
    first.map(|(unit, shown)| format!("{shown} {unit}")).unwrap_or_default()
}

/// Facts of the same title are told apart by the terminal that each is of.
pub(super) fn retitle(row: &mut PartType) {
    let bases = crate::texts::PartFigures::ALL;
    let base_of = |title: &str| {
        let is_of = |base: &&&str| title == **base || title.starts_with(&format!("{base}, "));
        bases.iter().find(is_of).copied()
    };
    let owner = |name: &str| {
        let uses = |element: &&Element| element.figures().contains(&&Figure::Fact(name.to_owned()));
        let element = row.elements.iter().find(uses)?;
        element.terminals().first().map(|it| (*it).clone()).filter(|it| !it.is_empty())
    };
    let titles: Vec<Option<String>> = row
        .facts
        .iter()
        .map(|fact| {
            let base = base_of(&fact.title)?;
            let alike = row.facts.iter().filter(|it| base_of(&it.title) == Some(base)).count();
            let of = owner(&fact.name).filter(|_| alike > 1);
            Some(of.map_or_else(|| base.to_owned(), |of| format!("{base}, {of}")))
        })
        .collect();
    for (fact, title) in row.facts.iter_mut().zip(titles) {
        if let Some(title) = title {
            fact.title = title;
        }
    }
}
