//! What is wrong with a part type that is made, each thing as a sentence at its place.

use std::collections::BTreeMap;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Library, PartType, TypePlace, type_complaints};

use crate::own_type::{Doc, Kind, letter, rows_of, tables};
use crate::state::PartPage;
use crate::texts::PartFaults;
use crate::tool::sentence;

/// Something that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Where.
    pub at: FaultAt,
    /// What, in a sentence.
    pub says: String,
}

/// Where something is wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FaultAt {
    /// Its names.
    Names,
    /// Its name in files.
    FileName,
    /// Its title.
    Title,
    /// Its terminals as a whole.
    Terminals,
    /// A terminal.
    Terminal(usize),
    /// Something between terminals.
    Element(usize),
    /// A control.
    Control(usize),
    /// A row of the table of an element.
    Row(usize, usize),
    /// The symbol.
    Symbol,
}

impl FaultAt {
    /// The page on which that is mended.
    pub fn page(self) -> PartPage {
        match self {
            Self::Names | Self::FileName | Self::Title => PartPage::Names,
            Self::Terminals | Self::Terminal(_) => PartPage::Terminals,
            Self::Element(_) => PartPage::Does,
            Self::Control(_) | Self::Row(..) => PartPage::Contacts,
            Self::Symbol => PartPage::Symbol,
        }
    }
}

/// All that is wrong. `is_taken` says whether another own type has a name already.
pub fn faults(doc: &Doc, is_new: bool, is_taken: impl Fn(&str) -> bool) -> Vec<Fault> {
    let row = doc.finished();
    let mut found = Vec::new();
    if row.title.trim().is_empty() {
        found.push(fault(FaultAt::Title, PartFaults::no_title()));
    } else if Library::standard().get(&row.name).is_some() {
        found.push(fault(FaultAt::FileName, &PartFaults::name_of_program(&row.name)));
    } else if is_new && is_taken(&row.name) {
        found.push(fault(FaultAt::FileName, &PartFaults::name_taken(&row.name)));
    }
    for (place, error) in type_complaints(&row) {
        let at = place_of(place);
        // Told above in plainer words.
        let is_told = row.title.trim().is_empty()
            && matches!(place, TypePlace::Name | TypePlace::Title | TypePlace::Stem);
        let is_unset = matches!(place, TypePlace::Element(idx) if is_unset(&row, idx));
        if !is_told && !is_unset {
            found.push(Fault { at, says: sentence(&error.to_string()) });
        }
    }
    terminal_places(&row, &mut found);
    for idx in 0..row.elements.len() {
        element(&row, idx, &mut found);
    }
    controls(&row, &mut found);
    tables(&row).for_each(|idx| table(&row, idx, &mut found));
    found.sort_by_key(|fault| fault.at);
    found
}

fn fault(at: FaultAt, says: &str) -> Fault {
    Fault { at, says: says.to_owned() }
}

fn place_of(place: TypePlace) -> FaultAt {
    match place {
        TypePlace::Name => FaultAt::FileName,
        TypePlace::Title => FaultAt::Title,
        TypePlace::Stem | TypePlace::Shows | TypePlace::Teaches | TypePlace::Nickname(_) => {
            FaultAt::Names
        }
        TypePlace::Whole => FaultAt::Terminals,
        TypePlace::Terminal(idx) => FaultAt::Terminal(idx),
        TypePlace::Element(idx) => FaultAt::Element(idx),
        TypePlace::Fact(_) => FaultAt::Element(0),
        TypePlace::Control(idx) => FaultAt::Control(idx),
        TypePlace::Stroke(_) | TypePlace::Glow(_) => FaultAt::Symbol,
    }
}

fn is_unset(row: &PartType, element: usize) -> bool {
    let element = row.elements.get(element);
    element.is_some_and(|it| it.terminals().iter().any(|name| name.is_empty()))
}

/// Two terminals in one place could not be told apart on the sheet.
fn terminal_places(row: &PartType, found: &mut Vec<Fault>) {
    let mut seen: BTreeMap<(i64, i64), &str> = BTreeMap::new();
    for (idx, terminal) in row.terminals.iter().enumerate() {
        #[expect(clippy::cast_possible_truncation, reason = "places are within metres")]
        let at = ((terminal.at.x * 100.0).round() as i64, (terminal.at.y * 100.0).round() as i64);
        if let Some(other) = seen.insert(at, &terminal.name) {
            let says = PartFaults::same_place(other, &terminal.name);
            found.push(Fault { at: FaultAt::Terminal(idx), says });
        }
    }
}

fn element(row: &PartType, idx: usize, found: &mut Vec<Fault>) {
    let element = &row.elements[idx];
    let word = Kind::word_of(element);
    if is_unset(row, idx) {
        let says = PartFaults::end_missing(word);
        found.push(Fault { at: FaultAt::Element(idx), says });
        return;
    }
    let ends: Vec<&String> = match element {
        Element::Contacts { .. } => return,
        Element::Relay { coil, .. } => coil.iter().collect(),
        element => element.terminals(),
    };
    let twice = ends.iter().enumerate().find(|(n, end)| ends[..*n].contains(end));
    if let Some((_, end)) = twice {
        let says = PartFaults::end_twice(word, end);
        found.push(Fault { at: FaultAt::Element(idx), says });
    }
}

fn controls(row: &PartType, found: &mut Vec<Fault>) {
    let unnamed = row.controls.iter().filter(|control| control.shared.is_none()).count();
    for (idx, control) in row.controls.iter().enumerate() {
        if control.positions.len() < 2 {
            found.push(fault(FaultAt::Control(idx), PartFaults::one_position()));
        }
        // The control of a part is called as the part is; a second one would be the same.
        if control.shared.is_none() && unnamed > 1 {
            found.push(fault(FaultAt::Control(idx), PartFaults::control_unnamed()));
        }
        let own = |position: &&loomwright_circuit::part_type::Position| {
            position.springs_to.as_deref() == Some(&*position.name)
        };
        if let Some(position) = control.positions.iter().find(own) {
            let says = PartFaults::springs_to_itself(&position.name);
            found.push(Fault { at: FaultAt::Control(idx), says });
        }
    }
}

fn table(row: &PartType, idx: usize, found: &mut Vec<Fault>) {
    let rows = rows_of(row, idx);
    for (position, table_row) in rows.iter().enumerate() {
        for (group, names) in table_row.groups.iter().enumerate() {
            if let [only] = names.as_slice() {
                let says = PartFaults::joined_to_nothing(&table_row.name, only, letter(group));
                found.push(Fault { at: FaultAt::Row(idx, position), says });
            }
        }
    }
    if rows.iter().all(|table_row| table_row.groups.is_empty()) {
        let says = PartFaults::nothing_joined(Kind::word_of(&row.elements[idx]));
        found.push(Fault { at: FaultAt::Row(idx, 0), says });
    }
}
