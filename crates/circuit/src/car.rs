//! The car: all rows, and reading them.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::part_type::{Element, Position};
use crate::promise::Moment;
use crate::{
    Accepted, AcceptedId, Anchor, Library, Name, Note, NoteId, Part, PartId, PartSeen, PartType,
    Placement, Point, Promise, PromiseId, Rows, SheetId, Standing, Vehicle, Wire, WireId, WireSeen,
};

/// One vehicle, its drawings and its alteration plan. Changed only by [`Car::apply`](crate::Car).
#[derive(Debug, Clone, PartialEq)]
pub struct Car {
    pub(crate) vehicle: Vehicle,
    pub(crate) sheets: BTreeMap<SheetId, Sheet>,
    /// Shared with copies of the car until either is changed: a copy costs little, and of two cars it is seen at once
    /// that their parts, or their wires, are the very same.
    pub(crate) parts: Arc<Rows<PartId, Part>>,
    pub(crate) wires: Arc<Rows<WireId, Wire>>,
    pub(crate) promises: BTreeMap<PromiseId, Promise>,
    pub(crate) accepted: BTreeMap<AcceptedId, Accepted>,
    /// Notes on the sheets.
    pub(crate) notes: BTreeMap<NoteId, Note>,
    /// Part types that only this car has.
    pub(crate) own_types: BTreeMap<Name, Arc<PartType>>,
    /// The last id given; ids are never given twice.
    pub(crate) last_id: u32,
}

/// One sheet of the drawing.
#[derive(
    Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize, schemars::JsonSchema,
)]
#[serde(deny_unknown_fields)]
pub struct Sheet {
    /// The heading on the sheet.
    pub title: String,
}

/// What a row is known by.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum RowId {
    /// The vehicle's facts: one row.
    Vehicle,
    /// A sheet.
    Sheet(SheetId),
    /// A part.
    Part(PartId),
    /// A wire.
    Wire(WireId),
    /// A promise.
    Promise(PromiseId),
    /// An accepted finding.
    Accepted(AcceptedId),
    /// A note on a sheet.
    Note(NoteId),
    /// A part type of the car's own.
    OwnType(Name),
}

/// A row with its content.
#[derive(Debug, Clone, PartialEq)]
pub enum Row {
    /// The vehicle's facts.
    Vehicle(Vehicle),
    /// A sheet.
    Sheet(Sheet),
    /// A part.
    Part(Part),
    /// A wire.
    Wire(Wire),
    /// A promise.
    Promise(Promise),
    /// An accepted finding.
    Accepted(Accepted),
    /// A note on a sheet.
    Note(Note),
    /// A part type of the car's own.
    OwnType(Arc<PartType>),
}

/// A control of the car: one name, worked as one, however many switches it moves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Control {
    /// Its name in this car.
    pub name: String,
    /// Its positions; the first is rest.
    pub positions: Vec<Position>,
    /// The parts it works, with the key of the control in each part's type.
    pub works: Vec<(PartId, Name)>,
}

impl Default for Car {
    fn default() -> Self {
        Self::new(Vehicle::default())
    }
}

impl Car {
    /// An empty car with one sheet.
    pub fn new(vehicle: Vehicle) -> Self {
        let sheets = [(SheetId(1), Sheet { title: "Sheet 1".to_owned() })].into();
        Self {
            vehicle,
            sheets,
            parts: Arc::default(),
            wires: Arc::default(),
            promises: BTreeMap::new(),
            accepted: BTreeMap::new(),
            notes: BTreeMap::new(),
            own_types: BTreeMap::new(),
            last_id: 1,
        }
    }

    /// The car with what is to be removed standing as found, as it did before anybody planned to remove it. What is to fit
    /// stays in it.
    #[must_use]
    pub fn with_nothing_removed(&self) -> Self {
        let mut car = self.clone();
        for (id, part) in self.parts.iter().filter(|(_, row)| row.standing == Standing::ToRemove) {
            let found = Part { standing: Standing::AsFound, ..part.clone() };
            car.put(&RowId::Part(*id), Some(Row::Part(found)));
        }
        for (id, wire) in self.wires.iter().filter(|(_, row)| row.standing == Standing::ToRemove) {
            let found = Wire { standing: Standing::AsFound, ..wire.clone() };
            car.put(&RowId::Wire(*id), Some(Row::Wire(found)));
        }
        car
    }

    /// Whether two cars differ at most in how they are drawn: places on the sheet, corners drawn by hand, titles of
    /// sheets, notes on rows and on sheets. What flows in them and what there is to say of it is the same.
    pub fn is_wired_as(&self, other: &Self) -> bool {
        let part = |part: &Part| Part {
            sheet: SheetId(0),
            place: Placement::default(),
            note: String::new(),
            ..part.clone()
        };
        let wire = |wire: &Wire| Wire { route: Vec::new(), note: String::new(), ..wire.clone() };
        self.vehicle == other.vehicle
            && alike(&self.parts, &other.parts, part)
            && alike(&self.wires, &other.wires, wire)
            && self.promises == other.promises
            && self.accepted == other.accepted
            && self.own_types == other.own_types
    }

    /// Whether the same flows in two cars after their alterations, in every setting: they differ at most in how they are
    /// drawn, in what is said, seen, numbered or coloured, and in what the alteration brings of what stays.
    ///
    /// What is said of them may differ: rules read names, colours and what was seen.
    pub fn flows_as(&self, other: &Self) -> bool {
        // Controls are called after their part, those of breakers too.
        let names_controls = |part: &Part| {
            self.type_named(&part.type_name).is_none_or(|known| {
                let is_fuse = |element: &Element| matches!(element, Element::Fuse { .. });
                !known.controls.is_empty() || known.elements.iter().any(is_fuse)
            })
        };
        let part = |part: &Part| Part {
            sheet: SheetId(0),
            place: Placement::default(),
            label: if names_controls(part) { part.label.clone() } else { String::new() },
            standing: after(part.standing),
            seen: PartSeen::default(),
            roles: BTreeMap::new(),
            note: String::new(),
            ..part.clone()
        };
        let wire = |wire: &Wire| Wire {
            label: String::new(),
            standing: after(wire.standing),
            colour: None,
            seen: WireSeen::default(),
            route: Vec::new(),
            note: String::new(),
            ..wire.clone()
        };
        self.vehicle == other.vehicle
            && alike(&self.parts, &other.parts, part)
            && alike(&self.wires, &other.wires, wire)
            && self.promises == other.promises
            && self.own_types == other.own_types
    }

    /// Facts of the vehicle.
    pub fn vehicle(&self) -> &Vehicle {
        &self.vehicle
    }

    /// The sheets, in order.
    pub fn sheets(&self) -> &BTreeMap<SheetId, Sheet> {
        &self.sheets
    }

    /// The parts, in order of their ids. Copies of a car give the very same map until the parts of one are changed.
    pub fn parts(&self) -> &Rows<PartId, Part> {
        &self.parts
    }

    /// The wires, in order of their ids. Copies of a car give the very same map until the wires of one are changed.
    pub fn wires(&self) -> &Rows<WireId, Wire> {
        &self.wires
    }

    /// The promises.
    pub fn promises(&self) -> &BTreeMap<PromiseId, Promise> {
        &self.promises
    }

    /// The findings that were accepted.
    pub fn accepted(&self) -> &BTreeMap<AcceptedId, Accepted> {
        &self.accepted
    }

    /// The notes on the sheets.
    pub fn notes(&self) -> &BTreeMap<NoteId, Note> {
        &self.notes
    }

    /// Part types that only this car has.
    pub fn own_types(&self) -> &BTreeMap<Name, Arc<PartType>> {
        &self.own_types
    }

    /// A part of this car.
    pub fn part(&self, id: PartId) -> Option<&Part> {
        self.parts.get(&id)
    }

    /// A wire of this car.
    pub fn wire(&self, id: WireId) -> Option<&Wire> {
        self.wires.get(&id)
    }

    /// The part type of this name: the car's own, else the program's.
    pub fn type_named(&self, name: &str) -> Option<&Arc<PartType>> {
        self.own_types.get(name).or_else(|| Library::standard().get(name))
    }

    /// The part type of a part. The loader and the edits let no part of an unknown type in.
    pub fn type_of(&self, id: PartId) -> Option<&Arc<PartType>> {
        self.type_named(&self.part(id)?.type_name)
    }

    /// The sheet and the place of a wire's end.
    pub fn pos_on_sheet(&self, anchor: &Anchor) -> Option<(SheetId, Point)> {
        match anchor {
            Anchor::Loose { sheet, at } => Some((*sheet, *at)),
            Anchor::Terminal { part, terminal } => {
                let terminal = self.type_of(*part)?.terminal(terminal)?;
                let part = self.part(*part)?;
                Some((part.sheet, part.place.sheet_from_symbol(terminal.at)))
            }
        }
    }

    /// The wire to remove whose cable a wire to fit is: the cable stays in the car, and only what it is joined to changes.
    /// Nothing where it is a new lead, or no longer the same cable.
    pub fn kept_of(&self, wire: &Wire) -> Option<(WireId, &Wire)> {
        let id = wire.keeps.filter(|_| wire.standing == Standing::ToFit)?;
        let old = self.wires.get(&id)?;
        let is_kept = old.standing == Standing::ToRemove && old.is_cable_like(wire);
        is_kept.then_some((id, old))
    }

    /// The wire to remove whose cable a wire to fit could be: the same cable, with an end where this one has it.
    pub fn could_keep(&self, wire: &Wire) -> Option<WireId> {
        if wire.standing != Standing::ToFit {
            return None;
        }
        let shares_end = |old: &Wire| old.from.at == wire.from.at || old.to.at == wire.to.at;
        let goes = self.wires.iter().filter(|(_, old)| old.standing == Standing::ToRemove);
        let mut alike = goes.filter(|(_, old)| old.is_cable_like(wire) && shares_end(old));
        let is_free =
            |id: WireId| self.goes_on_as(id).is_none_or(|(_, as_wire)| as_wire.label == wire.label);
        alike.find(|(id, _)| is_free(**id)).map(|(id, _)| *id)
    }

    /// The wire to fit that goes on with the cable of this one to remove; nothing where that one goes.
    pub fn goes_on_as(&self, id: WireId) -> Option<(WireId, &Wire)> {
        let mut wires = self.wires.iter().filter(|(_, wire)| wire.keeps == Some(id));
        let (new, wire) = wires.find(|(_, wire)| self.kept_of(wire).is_some())?;
        Some((*new, wire))
    }

    /// The part with this label.
    pub fn part_labelled(&self, label: &str) -> Option<(PartId, &Part)> {
        self.parts.iter().find(|(_, part)| part.label == label).map(|(id, part)| (*id, part))
    }

    /// Every control, in order of name; positions in the order in which the parts give them.
    pub fn controls(&self) -> Vec<Control> {
        let mut controls: BTreeMap<&str, Control> = BTreeMap::new();
        for (id, part) in &*self.parts {
            let Some(part_type) = self.type_named(&part.type_name) else { continue };
            for control_type in &part_type.controls {
                let name = part.control(part_type, &control_type.key);
                let control = controls.entry(name).or_insert_with(|| Control {
                    name: name.to_owned(),
                    positions: Vec::new(),
                    works: Vec::new(),
                });
                for position in &control_type.positions {
                    if !control.positions.iter().any(|known| known.name == position.name) {
                        control.positions.push(position.clone());
                    }
                }
                control.works.push((*id, control_type.key.clone()));
            }
        }
        controls.into_values().collect()
    }

    /// Combinations of positions that cannot occur, from the types of the parts in the car.
    pub fn impossible(&self) -> Vec<&[Moment]> {
        let mut seen: Vec<&[Moment]> = Vec::new();
        for part in self.parts.values() {
            let Some(part_type) = self.type_named(&part.type_name) else { continue };
            for combination in &part_type.impossible {
                if !seen.contains(&combination.as_slice()) {
                    seen.push(combination);
                }
            }
        }
        seen
    }
}

/// Whether two tables hold the same rows but for what `bare` takes off them; rows equal as they are cost no more than
/// that.
/// A standing as far as the car after the alteration goes.
fn after(standing: Standing) -> Standing {
    match standing {
        Standing::AsFound | Standing::ToFit => Standing::AsFound,
        Standing::ToRemove => Standing::ToRemove,
    }
}

fn alike<K: Ord, R: PartialEq>(a: &Rows<K, R>, b: &Rows<K, R>, bare: impl Fn(&R) -> R) -> bool {
    let are_alike = |((a_id, a), (b_id, b)): ((&K, &R), (&K, &R))| {
        a_id == b_id && (std::ptr::eq(a, b) || a == b || bare(a) == bare(b))
    };
    std::ptr::eq(a, b) || a.len() == b.len() && a.iter().zip(b).all(are_alike)
}
