//! The parts that a rig puts into a car: a meter's own battery, and what stands in series with it.

use loomwright_circuit::part_type::{Element, Figure, Group, Terminal};
use loomwright_circuit::{Direction, PartType, Point};

pub(super) const METER: &str = "rig-meter";
pub(super) const SERIES: &str = "rig-series";

/// The meter's own battery.
pub(super) fn meter() -> PartType {
    rig_type(
        METER,
        &["+", "-"],
        Element::Battery {
            plus: "+".to_owned(),
            minus: "-".to_owned(),
            volts: Figure::Number(2.0),
            amp_hours: Figure::Number(10.0),
            charge: None,
            celsius: None,
        },
    )
}

pub(super) fn series() -> PartType {
    let between = ["1".to_owned(), "2".to_owned()];
    rig_type(
        SERIES,
        &["1", "2"],
        Element::Resistor { between, ohms: Figure::Fact("ohms".to_owned()) },
    )
}

fn rig_type(name: &str, terminals: &[&str], element: Element) -> PartType {
    let terminal = |name: &&str| Terminal {
        name: (*name).to_owned(),
        din: None,
        says: String::new(),
        at: Point::new(0.0, 0.0),
        leaves: Direction::Left,
        fitting: None,
        may_stay_empty: true,
    };
    PartType {
        name: name.to_owned(),
        title: name.to_owned(),
        group: Group::Instruments,
        nicknames: Vec::new(),
        teaches: String::new(),
        stem: String::new(),
        sketch: String::new(),
        terminals: terminals.iter().map(terminal).collect(),
        behind: Vec::new(),
        facts: Vec::new(),
        shows: String::new(),
        controls: Vec::new(),
        impossible: Vec::new(),
        elements: vec![element],
        outline: Vec::new(),
        glows: Vec::new(),
    }
}
