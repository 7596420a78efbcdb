//! A part type of one's own while it is made: what it holds, what can be done to it, what is wrong with it.

mod bench;
mod change;
mod faults;
mod figures;
mod kind;
mod symbol;
mod table;

use std::collections::BTreeMap;

use loomwright_circuit::part_type::{ControlType, Element, Group, Position, Terminal};
use loomwright_circuit::{Direction, Fitting, Name, PartType, Point};

use crate::texts::PartWords;

pub use bench::{BENCH_MOST, Reading, Tried, tried};
pub use change::{Change, change};
pub use faults::{Fault, FaultAt, faults};
pub use figures::{figures, set_figure};
pub use kind::Kind;
pub(crate) use symbol::arrange;
pub use symbol::{Thing, move_thing, place_of};
pub use table::{TableRow, cycled, group_of, letter, marked, rows_of, tables};

/// Terminals and strokes keep to this grid, mm.
pub const PITCH: f64 = 2.5;

/// A part type as it is made, and what its terminals were called before.
#[derive(Debug, Clone, PartialEq)]
pub struct Doc {
    /// What it is so far; anything may be missing.
    pub row: PartType,
    /// What each terminal was called in the type that is changed; nothing for a new one.
    pub was: Vec<Option<Name>>,
}

impl Default for Doc {
    /// An empty one with two terminals.
    fn default() -> Self {
        let row = PartType {
            name: String::new(),
            title: String::new(),
            group: Group::Switching,
            nicknames: Vec::new(),
            teaches: String::new(),
            stem: String::new(),
            sketch: String::new(),
            terminals: Vec::new(),
            behind: Vec::new(),
            facts: Vec::new(),
            shows: String::new(),
            controls: Vec::new(),
            impossible: Vec::new(),
            elements: Vec::new(),
            outline: Vec::new(),
            glows: Vec::new(),
        };
        let mut doc = Self { row, was: Vec::new() };
        for _ in 0..2 {
            doc.add_terminal();
        }
        symbol::arrange(&mut doc.row);
        doc
    }
}

impl Doc {
    /// One to be changed: its terminals are known by what they are called now.
    pub fn of(row: &PartType) -> Self {
        let was = row.terminals.iter().map(|terminal| Some(terminal.name.clone())).collect();
        Self { row: row.clone(), was }
    }

    /// Another one like it, under a name of its own.
    pub fn like(row: &PartType) -> Self {
        let mut row = row.clone();
        row.title = PartWords::like(&row.title);
        row.name = slug(&row.title);
        row.sketch = String::new();
        let was = vec![None; row.terminals.len()];
        Self { row, was }
    }

    /// Makes a change, and lets what the program writes by itself follow it: the name, the symbol, what is shown.
    #[must_use]
    pub fn with(&self, change: impl FnOnce(&mut Self)) -> Self {
        let mut next = self.clone();
        change(&mut next);
        let (before, after) = (&self.row, &mut next.row);
        if before.name == slug(&before.title) && after.name == before.name {
            after.name = slug(&after.title);
        }
        if before.stem == stem_of(&before.title) && after.stem == before.stem {
            after.stem = stem_of(&after.title);
        }
        if before.shows == figures::shown(before) && after.shows == before.shows {
            after.shows = figures::shown(after);
        }
        figures::retitle(&mut next.row);
        symbol::follow(before, &mut next.row);
        next
    }

    /// As it goes into a car: without groups that hold nothing.
    pub fn finished(&self) -> PartType {
        let mut row = self.row.clone();
        for element in &mut row.elements {
            match element {
                Element::Contacts { joins, .. } => {
                    for groups in joins.values_mut() {
                        groups.retain(|group| !group.is_empty());
                    }
                    joins.retain(|_, groups| !groups.is_empty());
                }
                Element::Relay { at_rest, pulled_in, .. } => {
                    at_rest.retain(|group| !group.is_empty());
                    pulled_in.retain(|group| !group.is_empty());
                }
                _ => {}
            }
        }
        row
    }

    /// Adds a terminal under the first free number.
    pub fn add_terminal(&mut self) {
        let is_free = |name: &String| self.row.terminals.iter().all(|known| known.name != *name);
        let name = numbers().find(is_free).unwrap_or_default();
        self.row.terminals.push(Terminal {
            name,
            din: None,
            says: String::new(),
            at: symbol::free_place(&self.row),
            leaves: Direction::Right,
            fitting: Some(Fitting::Blade63),
            may_stay_empty: false,
        });
        self.was.push(None);
    }

    /// Takes a terminal out; what stood at it keeps its other end and waits for another.
    pub fn drop_terminal(&mut self, idx: usize) {
        if idx >= self.row.terminals.len() {
            return;
        }
        self.was.remove(idx);
        let name = self.row.terminals.remove(idx).name;
        for element in &mut self.row.elements {
            table::forget(element, &name);
            element.terminals_mut().into_iter().filter(|it| **it == name).for_each(Name::clear);
        }
        self.rename_behind(&name, ".");
    }

    /// What is seen from behind, with another name for a terminal, or a gap where it was.
    fn rename_behind(&mut self, before: &str, now: &str) {
        for row in &mut self.row.behind {
            let names = row.split_whitespace().map(|it| if it == before { now } else { it });
            *row = names.collect::<Vec<_>>().join(" ");
        }
    }

    /// Gives a terminal another name, wherever it is named.
    pub fn rename_terminal(&mut self, idx: usize, name: &str) {
        let Some(terminal) = self.row.terminals.get_mut(idx) else { return };
        let before = std::mem::replace(&mut terminal.name, name.to_owned());
        let named = self.row.elements.iter_mut().flat_map(Element::terminals_mut);
        named.filter(|known| **known == before).for_each(|known| name.clone_into(known));
        self.rename_behind(&before, name);
    }

    /// Puts a terminal one place earlier or later in the order in which they are listed.
    pub fn shift_terminal(&mut self, idx: usize, is_up: bool) {
        let other = if is_up { idx.checked_sub(1) } else { idx.checked_add(1) };
        let Some(other) = other.filter(|other| *other.max(&idx) < self.row.terminals.len()) else {
            return;
        };
        self.row.terminals.swap(idx, other);
        self.was.swap(idx, other);
    }

    /// Adds a position behind the others of a control.
    pub fn add_position(&mut self, control: usize) {
        let Some(control) = self.row.controls.get_mut(control) else { return };
        let is_free = |name: &String| control.positions.iter().all(|known| known.name != *name);
        let name = numbers().find(is_free).unwrap_or_default();
        control.positions.push(Position { name, springs_to: None });
    }

    /// Takes a position out, with what is joined in it.
    pub fn drop_position(&mut self, control: usize, idx: usize) {
        let Some(control) = self.row.controls.get_mut(control) else { return };
        if idx >= control.positions.len() || control.positions.len() == 1 {
            return;
        }
        let gone = control.positions.remove(idx).name;
        for position in &mut control.positions {
            position.springs_to = position.springs_to.take().filter(|to| *to != gone);
        }
        let key = control.key.clone();
        for element in &mut self.row.elements {
            if let Element::Contacts { control, joins, .. } = element
                && *control == key
            {
                joins.remove(&gone);
            }
        }
    }

    /// Gives a position another name, wherever it is named.
    pub fn rename_position(&mut self, control: usize, idx: usize, name: &str) {
        let is_drawn_by_us = symbol::is_drawn_by_us(&self.row);
        let Some(control) = self.row.controls.get_mut(control) else { return };
        let Some(position) = control.positions.get_mut(idx) else { return };
        let before = std::mem::replace(&mut position.name, name.to_owned());
        for position in &mut control.positions {
            if position.springs_to.as_deref() == Some(&*before) {
                position.springs_to = Some(name.to_owned());
            }
        }
        let key = control.key.clone();
        for element in &mut self.row.elements {
            if let Element::Contacts { control, joins, .. } = element
                && *control == key
                && let Some(groups) = joins.remove(&before)
            {
                joins.insert(name.to_owned(), groups);
            }
        }
        if is_drawn_by_us {
            symbol::compose(&mut self.row);
        } else {
            symbol::rename_position(&mut self.row, &key, &before, name);
        }
    }

    /// The terminals at which nothing stands, so that no current goes on from there.
    pub fn idle_terminals(&self) -> Vec<&str> {
        let used: Vec<&Name> = self.row.elements.iter().flat_map(Element::terminals).collect();
        let idle = self.row.terminals.iter().filter(|terminal| !used.contains(&&terminal.name));
        idle.map(|terminal| &*terminal.name).collect()
    }

    /// Adds something between terminals, with usual figures.
    pub fn add_element(&mut self, kind: Kind) {
        kind.add(&mut self.row);
    }

    /// Takes something out, with the figures and the control that only it had.
    pub fn drop_element(&mut self, idx: usize) {
        if idx >= self.row.elements.len() {
            return;
        }
        self.row.elements.remove(idx);
        figures::drop_unused(&mut self.row);
        let works = |control: &ControlType| {
            control.driven
                || control.shared.is_some() && self.row.elements.iter().any(needs_engine)
                || self.row.elements.iter().any(|element| {
                    matches!(element, Element::Contacts { control: key, .. } if *key == control.key)
                })
        };
        let kept: Vec<ControlType> =
            self.row.controls.iter().filter(|control| works(control)).cloned().collect();
        self.row.controls = kept;
    }

    /// Gives a link one more terminal, the first that it has not.
    pub fn add_end(&mut self, element: usize) {
        let names: Vec<Name> = self.row.terminals.iter().map(|it| it.name.clone()).collect();
        if let Some(Element::Joined { terminals, .. }) = self.row.elements.get_mut(element) {
            let free = names.into_iter().find(|name| !terminals.contains(name));
            terminals.push(free.unwrap_or_default());
        }
    }

    /// Joins an end of an element to a terminal.
    pub fn set_end(&mut self, element: usize, end: usize, terminal: &str) {
        let Some(element) = self.row.elements.get_mut(element) else { return };
        if let Some(known) = element.terminals_mut().into_iter().nth(end) {
            terminal.clone_into(known);
        }
    }
}

/// Names to try for what comes new: more than a part type has rows.
fn numbers() -> impl Iterator<Item = String> {
    (1..=1000_u32).map(|n| n.to_string())
}

fn needs_engine(element: &Element) -> bool {
    matches!(element, Element::Generator { .. } | Element::Dynamo { .. })
}

/// The controls with the position in which each stands on the bench.
pub type Set = BTreeMap<String, String>;

/// A name for files made of a title: small letters, digits and dashes, a letter first.
pub fn slug(title: &str) -> Name {
    let letters = title.chars().map(|c| c.to_ascii_lowercase());
    let spaced: String = letters
        .map(|c| if c.is_ascii_lowercase() || c.is_ascii_digit() { c } else { '-' })
        .collect();
    let words: Vec<&str> = spaced.split('-').filter(|word| !word.is_empty()).collect();
    let name: String = words.join("-").chars().take(60).collect();
    match name.chars().next() {
        Some(first) if first.is_ascii_digit() => format!("part-{name}"),
        _ => name,
    }
}

/// The first word of labels, made of a title: "Fog lamp switch, pull-out" gives "Fog lamp switch".
fn stem_of(title: &str) -> String {
    title.split(',').next().unwrap_or_default().trim().to_owned()
}

/// A place on the grid.
pub fn on_grid(at: Point) -> Point {
    at.snapped(PITCH)
}

#[cfg(test)]
mod tests;
