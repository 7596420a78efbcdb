//! Contact tables: which terminals are joined in which position, as letters in cells.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Name, PartType};

/// A row of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableRow {
    /// The position.
    pub name: String,
    /// The position that a spring returns it to.
    pub springs_to: Option<Name>,
    /// The terminals joined in it; a group may be empty while it is written.
    pub groups: Vec<Vec<Name>>,
}

/// The elements that have a table.
pub fn tables(row: &PartType) -> impl Iterator<Item = usize> {
    let has =
        |element: &Element| matches!(element, Element::Contacts { .. } | Element::Relay { .. });
    row.elements.iter().enumerate().filter(move |(_, element)| has(element)).map(|(idx, _)| idx)
}

/// The rows of an element's table: positions of its control, or of a relay at rest and pulled in.
pub fn rows_of(row: &PartType, element: usize) -> Vec<TableRow> {
    match row.elements.get(element) {
        Some(Element::Contacts { control, joins, .. }) => {
            let positions = row.control(control).map(|it| it.positions.as_slice());
            let table_row = |position: &loomwright_circuit::part_type::Position| TableRow {
                name: position.name.clone(),
                springs_to: position.springs_to.clone(),
                groups: joins.get(&position.name).cloned().unwrap_or_default(),
            };
            positions.unwrap_or_default().iter().map(table_row).collect()
        }
        Some(Element::Relay { at_rest, pulled_in, .. }) => {
            let rows = [
                (crate::texts::PartWords::at_rest(), at_rest),
                (crate::texts::PartWords::pulled_in(), pulled_in),
            ];
            let table_row = |(name, groups): (&str, &Vec<Vec<Name>>)| TableRow {
                name: name.to_owned(),
                springs_to: None,
                groups: groups.clone(),
            };
            rows.into_iter().map(table_row).collect()
        }
        _ => Vec::new(),
    }
}

/// The group that a terminal is in.
pub fn group_of(row: &TableRow, terminal: &str) -> Option<usize> {
    row.groups.iter().position(|group| group.iter().any(|name| name == terminal))
}

/// The letter of a group.
pub fn letter(group: usize) -> char {
    let n = u8::try_from(group % 26).unwrap_or(0);
    char::from(b'a' + n)
}

/// The group that a cell goes to when it is pressed: the first, each of the others, one more, then none.
pub fn cycled(row: &TableRow, terminal: &str) -> Option<usize> {
    let now = group_of(row, terminal);
    let is_others = |group: &&Vec<Name>| group.iter().any(|name| name != terminal);
    let others = row.groups.iter().filter(is_others).count();
    let next = now.map_or(0, |group| group + 1);
    (next <= others && next < 26).then_some(next)
}

/// Marks a terminal in a position as of a group, or as joined to nothing.
pub fn marked(
    row: &mut PartType,
    (element, position): (usize, usize),
    terminal: &str,
    group: Option<usize>,
) {
    let order: Vec<Name> = row.terminals.iter().map(|it| it.name.clone()).collect();
    let name = rows_of(row, element).get(position).map(|it| it.name.clone());
    let (Some(name), Some(element)) = (name, row.elements.get_mut(element)) else { return };
    let groups = match element {
        Element::Contacts { joins, .. } => joins.entry(name.clone()).or_default(),
        Element::Relay { at_rest, pulled_in, .. } => {
            if position == 0 {
                at_rest
            } else {
                pulled_in
            }
        }
        _ => return,
    };
    for group in groups.iter_mut() {
        group.retain(|known| known != terminal);
    }
    if let Some(group) = group.filter(|group| *group < 26) {
        if groups.len() <= group {
            groups.resize(group + 1, Vec::new());
        }
        groups[group].push(terminal.to_owned());
        groups[group].sort_by_key(|name| order.iter().position(|known| known == name));
    }
    trim(groups);
    if let Element::Contacts { joins, .. } = element
        && joins.get(&name).is_some_and(Vec::is_empty)
    {
        joins.remove(&name);
    }
}

fn trim(groups: &mut Vec<Vec<Name>>) {
    while groups.last().is_some_and(Vec::is_empty) {
        groups.pop();
    }
}

/// Takes a terminal out of an element's table.
pub(super) fn forget(element: &mut Element, terminal: &str) {
    let clean = |groups: &mut Vec<Vec<Name>>| {
        for group in groups.iter_mut() {
            group.retain(|name| name != terminal);
        }
        trim(groups);
    };
    match element {
        Element::Contacts { joins, .. } => {
            joins.values_mut().for_each(clean);
            joins.retain(|_, groups| !groups.is_empty());
        }
        Element::Relay { at_rest, pulled_in, .. } => {
            [at_rest, pulled_in].into_iter().for_each(clean);
        }
        _ => {}
    }
}
