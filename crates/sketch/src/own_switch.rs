//! Part types for switches that a sketch describes by their contact table.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::{
    ContactTable, ControlType, Element, Fact, Figure, Group, Position, Shape, Stroke, Terminal,
    Weight, When,
};
use loomwright_circuit::{Car, Direction, Fitting, Library, PartType, Point};

use crate::words;

/// Key of the one control of such a switch.
const LEVER: &str = "lever";
/// Distance between terminals, mm.
const PITCH_MM: f64 = 5.0;

/// A contact table: the positions in order, the first at rest.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Table {
    pub(crate) rows: Vec<Row>,
    /// Whether the contacts of the next position close before those of the last one open.
    pub(crate) makes_before_it_breaks: bool,
}

/// The word for that in a sketch.
pub(crate) const MAKE_BEFORE_BREAK: &str = "make-before-break";

/// One position and the terminals joined in it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Row {
    pub(crate) position: String,
    pub(crate) springs_to: Option<String>,
    pub(crate) joins: Vec<Vec<String>>,
}

/// A position, where it springs to, and the sets of terminals that are one in it.
type Meaning<'a> = (&'a str, Option<&'a str>, BTreeSet<BTreeSet<&'a str>>);

impl Table {
    /// The terminals in the order in which they are first named.
    pub(crate) fn terminals(&self) -> Vec<&str> {
        let mut seen = Vec::new();
        for name in self.rows.iter().flat_map(|row| &row.joins).flatten() {
            if !seen.contains(&name.as_str()) {
                seen.push(name);
            }
        }
        seen
    }

    /// The table of a part type that is nothing but one switch; nothing for any other.
    pub(crate) fn of(part_type: &PartType) -> Option<Self> {
        let ([control], [Element::Contacts { joins, .. }]) =
            (part_type.controls.as_slice(), part_type.elements.as_slice())
        else {
            return None;
        };
        if control.shared.is_some() || control.driven || !part_type.impossible.is_empty() {
            return None;
        }
        let row = |position: &Position| Row {
            position: position.name.clone(),
            springs_to: position.springs_to.clone(),
            joins: joins.get(&position.name).cloned().unwrap_or_default(),
        };
        Some(Self {
            rows: control.positions.iter().map(row).collect(),
            makes_before_it_breaks: control.make_before_break,
        })
    }

    /// The table as a sketch writes it; nothing if the names cannot stand in one.
    pub(crate) fn written(&self) -> Option<String> {
        let fits = |name: &str| {
            name.chars().all(|c| c.is_alphanumeric() || matches!(c, '+' | '_' | '/' | '~'))
                && !matches!(name, "to" | "as")
        };
        if self.terminals().is_empty() || !self.terminals().into_iter().all(fits) {
            return None;
        }
        let row = |row: &Row| {
            let springs = row.springs_to.as_deref();
            let springs = springs.map(|to| format!(">{}", words::name(to))).unwrap_or_default();
            let groups: Vec<String> = row.joins.iter().map(|group| group.join("-")).collect();
            format!("{}{springs}: {}", words::name(&row.position), groups.join(" "))
        };
        let rows: Vec<String> = self.rows.iter().map(row).collect();
        let first = if self.makes_before_it_breaks { MAKE_BEFORE_BREAK } else { "" };
        Some(format!("{first} {}", rows.join("; ")).trim().to_owned())
    }

    /// What it does, however it is written: for each position the sets of terminals that are one.
    fn meaning(&self) -> Vec<Meaning<'_>> {
        self.rows
            .iter()
            .map(|row| (row.position.as_str(), row.springs_to.as_deref(), merged(&row.joins)))
            .collect()
    }
}

/// Groups that share a terminal are one group.
fn merged(joins: &[Vec<String>]) -> BTreeSet<BTreeSet<&str>> {
    let mut sets: Vec<BTreeSet<&str>> = Vec::new();
    for group in joins {
        let mut merged: BTreeSet<&str> = group.iter().map(String::as_str).collect();
        let (meeting, apart): (Vec<_>, Vec<_>) =
            sets.into_iter().partition(|set| !set.is_disjoint(&merged));
        merged.extend(meeting.into_iter().flatten());
        sets = apart;
        sets.push(merged);
    }
    sets.into_iter().collect()
}

/// The library's part type that is a switch with just this table.
pub(crate) fn library_type(table: &Table) -> Option<&'static PartType> {
    Library::standard().iter().map(AsRef::as_ref).find(|part_type| {
        let names: BTreeSet<&str> =
            part_type.terminals.iter().map(|terminal| terminal.name.as_str()).collect();
        names == table.terminals().into_iter().collect()
            && Table::of(part_type).is_some_and(|known| {
                known.meaning() == table.meaning()
                    && known.makes_before_it_breaks == table.makes_before_it_breaks
            })
    })
}

/// A part type of the car's own with this table, under a name that the car has free or has for the same type.
pub(crate) fn own_type(table: &Table, car: &Car) -> PartType {
    let stem = slug(table);
    let mut part_type = made(table, stem.clone());
    let mut n_tried = 1;
    while car.type_named(&part_type.name).is_some_and(|known| **known != part_type) {
        n_tried += 1;
        part_type.name = format!("{stem}-{n_tried}");
    }
    part_type
}

/// Whether a part type is one that [`own_type`] makes, whatever its name.
pub(crate) fn is_made(part_type: &PartType, table: &Table) -> bool {
    library_type(table).is_none() && made(table, part_type.name.clone()) == *part_type
}

/// "switch-off-side-head"
fn slug(table: &Table) -> String {
    let mut slug = String::from("switch");
    for row in &table.rows {
        slug.push('-');
        slug.extend(
            row.position
                .chars()
                .map(|c| c.to_ascii_lowercase())
                .map(|c| if c.is_ascii_lowercase() || c.is_ascii_digit() { c } else { '-' }),
        );
    }
    slug.chars().take(60).collect()
}

fn made(table: &Table, name: String) -> PartType {
    let positions: Vec<&str> = table.rows.iter().map(|row| row.position.as_str()).collect();
    let title: String = format!("Switch: {}", positions.join(", ")).chars().take(100).collect();
    let joins: ContactTable = table
        .rows
        .iter()
        .filter(|row| !row.joins.is_empty())
        .map(|row| (row.position.clone(), row.joins.clone()))
        .collect();
    let position =
        |row: &Row| Position { name: row.position.clone(), springs_to: row.springs_to.clone() };
    let layout = Layout::of(table);
    PartType {
        name,
        title: title.trim_end().to_owned(),
        group: Group::Switching,
        nicknames: Vec::new(),
        teaches: "A switch of this car's own. Its contact table says which terminals each position joins.".into(),
        stem: "Switch".into(),
        sketch: format!("switch S1 {}", table.written().unwrap_or_default()),
        terminals: layout.terminals(),
        behind: Vec::new(),
        facts: vec![Fact {
            name: "amps".into(),
            title: "Contact rating".into(),
            unit: "A".into(),
            usual: Some(10.0),
            least: 0.1,
            greatest: 500.0,
        }],
        shows: String::new(),
        controls: vec![ControlType {
            key: LEVER.into(),
            shared: None,
            positions: table.rows.iter().map(position).collect(),
            driven: false,
            make_before_break: table.makes_before_it_breaks,
        }],
        impossible: Vec::new(),
        elements: vec![Element::Contacts {
            control: LEVER.into(),
            joins,
            amps: Figure::Fact("amps".into()),
        }],
        outline: layout.outline(table),
        glows: Vec::new(),
    }
}

/// Where the terminals of such a switch lie: those that others are joined to on the left, the others on the right.
struct Layout<'a> {
    names: Vec<&'a str>,
    places: BTreeMap<&'a str, Point>,
    half_height: f64,
}

impl<'a> Layout<'a> {
    fn of(table: &'a Table) -> Self {
        let names = table.terminals();
        let firsts: BTreeSet<&str> = table
            .rows
            .iter()
            .flat_map(|row| &row.joins)
            .filter_map(|group| group.first().map(String::as_str))
            .collect();
        let (left, right): (Vec<&str>, Vec<&str>) =
            names.iter().partition(|name| firsts.contains(**name));
        let n_rows = left.len().max(right.len());
        let top = -(PITCH_MM * n_rows.saturating_sub(1) as f64 / 2.0 / 2.5).floor() * 2.5;
        let column = |names: &[&'a str], x: f64| -> Vec<(&'a str, Point)> {
            let at = |(n, name): (usize, &&'a str)| {
                (*name, Point::new(x, PITCH_MM.mul_add(n as f64, top)))
            };
            names.iter().enumerate().map(at).collect()
        };
        let places = column(&left, -12.5).into_iter().chain(column(&right, 12.5)).collect();
        Self { names, places, half_height: -top + PITCH_MM }
    }

    fn terminals(&self) -> Vec<Terminal> {
        let terminal = |name: &&str| {
            let at = self.at(name);
            Terminal {
                name: (*name).to_owned(),
                din: None,
                says: String::new(),
                at,
                leaves: if at.x < 0.0 { Direction::Left } else { Direction::Right },
                fitting: Some(Fitting::Blade63),
                may_stay_empty: false,
            }
        };
        self.names.iter().map(terminal).collect()
    }

    fn at(&self, name: &str) -> Point {
        self.places.get(name).copied().unwrap_or_default()
    }

    /// The end of a terminal's lead inside the frame.
    fn inner(&self, name: &str) -> Point {
        let at = self.at(name);
        Point::new(at.x.signum() * 5.0, at.y)
    }

    fn outline(&self, table: &Table) -> Vec<Stroke> {
        let (x, y) = (7.5, self.half_height);
        let corners = [[-x, -y], [x, -y], [x, y], [-x, y]].map(Point::from).to_vec();
        let mut strokes = vec![stroke(Shape::Polygon(corners), None)];
        strokes[0].dashed = true;
        strokes[0].weight = Weight::Thin;
        for name in &self.names {
            strokes.push(stroke(Shape::Line(vec![self.at(name), self.inner(name)]), None));
            let mut pin = stroke(Shape::Circle { centre: self.inner(name), radius: 0.5 }, None);
            pin.filled = true;
            strokes.push(pin);
        }
        for row in &table.rows {
            for group in &row.joins {
                let when =
                    When::At { control: LEVER.into(), positions: vec![row.position.clone()] };
                let points = group.iter().map(|name| self.inner(name)).collect();
                strokes.push(stroke(Shape::Line(points), Some(when)));
            }
        }
        strokes
    }
}

fn stroke(draw: Shape, when: Option<When>) -> Stroke {
    Stroke { draw, when, weight: Weight::Normal, dashed: false, filled: false }
}
