//! From the rows of a car to places and branches.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::EarthPlace;
use loomwright_circuit::{
    Anchor, Body, Car, Control, EarthPolarity, End, Name, Part, PartId, PartType, Version, Wire,
    WireId,
};
use loomwright_units::{Celsius, Metres, WireArea};

use crate::assumed;
use crate::build::dynamo::{BoxRow, DynamoRow};
use crate::build::elements::place_elements;
use crate::cable;
use crate::drive::driven;
use crate::engine::EngineRow;
use crate::finish::finish;
use crate::losses::Losses;
use crate::network::{
    ByEngine, Cable, Closed, Fixed, Note, NoteKind, Place, PlaceName, RelayRow, Tables, WireRow,
    small,
};

mod dynamo;
mod elements;
mod supply;
mod switching;

/// What is being built: tables whose branches still name places instead of elimination steps.
pub(crate) struct Builder {
    pub tables: Tables,
    pub losses: Losses,
    pub n_places: u32,
    pub body: Option<Place>,
    pub engine: Place,
    /// The place of points at the battery's earthed post.
    pub post: Place,
    /// Earthed posts and the batteries they belong to.
    pub posts: Vec<(Place, PartId, Name)>,
    /// Wires and parts of which something was assumed.
    pub without_size: Vec<WireId>,
    pub without_length: Vec<WireId>,
    pub without_figure: BTreeSet<PartId>,
    /// Terminals that a wire goes to.
    pub wired: BTreeSet<(PartId, Name)>,
    /// Fields of generators that have to be excited; they become the last of [`Tables::relays`].
    pub fields: Vec<RelayRow>,
    pub dynamos: Vec<DynamoRow>,
    pub boxes: Vec<BoxRow>,
}

/// Resolves a version of the car.
pub(crate) fn tables(
    car: &Car,
    version: Version,
    losses: Losses,
    goes_on: &mut dyn FnMut() -> bool,
) -> Option<Tables> {
    let mut builder = Builder::new(car, losses);
    builder.tables.controls = controls(car, version);
    builder.tables.impossible = impossible(car, &builder.tables.controls);
    builder.tables.asked = asked(car, &builder.tables.controls);
    builder.tables.engine = EngineRow::of(&builder.tables.controls);
    for wire in car.wires().values().filter(|wire| version.has(wire.standing)) {
        if !goes_on() {
            return None;
        }
        builder.wired.extend(wire.ends().iter().filter_map(|end| terminal_of(end)));
    }
    let present: Vec<(PartId, &Part, &PartType)> = car
        .parts()
        .iter()
        .filter(|(_, part)| version.has(part.standing))
        .filter_map(|(id, part)| Some((*id, part, car.type_of(*id)?.as_ref())))
        .collect();
    for (id, _, part_type) in &present {
        if !goes_on() {
            return None;
        }
        builder.place_terminals(*id, part_type);
    }
    for (id, part, part_type) in &present {
        if !goes_on() {
            return None;
        }
        let first = builder.tables.elements.len();
        place_elements(&mut builder, *id, part, part_type);
        builder.tables.parts.insert(*id, first..builder.tables.elements.len());
    }
    builder.tables.driven = driven(&builder.tables, |control, idx| {
        let (part, key) = &builder.tables.controls[control].works[idx];
        let own = car.type_of(*part).and_then(|part_type| part_type.control(key));
        own.is_some_and(|own| own.driven)
    });
    for (id, wire) in car.wires().iter().filter(|(_, wire)| version.has(wire.standing)) {
        if !goes_on() {
            return None;
        }
        builder.place_wire(*id, wire);
    }
    builder.finish(&present, goes_on)
}

impl Builder {
    fn new(car: &Car, losses: Losses) -> Self {
        let system_volts = car.vehicle().voltage.volts().0;
        let mut builder = Self {
            tables: Tables {
                system_volts,
                is_plus_earthed: car.vehicle().earth == EarthPolarity::Positive,
                losses,
                ..Tables::default()
            },
            losses,
            n_places: 0,
            body: None,
            engine: 0,
            post: 0,
            posts: Vec::new(),
            without_size: Vec::new(),
            without_length: Vec::new(),
            without_figure: BTreeSet::new(),
            wired: BTreeSet::new(),
            fields: Vec::new(),
            dynamos: Vec::new(),
            boxes: Vec::new(),
        };
        builder.engine = builder.new_place(PlaceName::Engine);
        builder.post = builder.new_place(PlaceName::Post);
        if car.vehicle().body == Body::Steel {
            builder.body = Some(builder.new_place(PlaceName::Body));
        }
        builder
    }

    pub(crate) fn new_place(&mut self, name: PlaceName) -> Place {
        self.tables.names.push((name, self.n_places));
        self.n_places += 1;
        self.n_places - 1
    }

    fn place_terminals(&mut self, id: PartId, part_type: &PartType) {
        let mut terminals: Vec<(Name, Place)> = Vec::with_capacity(part_type.terminals.len());
        for terminal in &part_type.terminals {
            if !terminals.iter().any(|(name, _)| *name == terminal.name) {
                let place = self.new_place(PlaceName::Terminal(id, small(terminals.len())));
                terminals.push((terminal.name.clone(), place));
            }
        }
        self.tables.terminals.insert(id, terminals);
    }

    /// The place of a terminal, if the part is there and has it.
    pub(crate) fn place(&self, part: PartId, terminal: &str) -> Option<Place> {
        let terminals = self.tables.terminals.get(&part)?;
        terminals.iter().find(|(name, _)| name == terminal).map(|(_, place)| *place)
    }

    /// Whether a wire goes to a terminal.
    pub(crate) fn is_wired(&self, part: PartId, terminal: &str) -> bool {
        self.wired.contains(&(part, terminal.to_owned()))
    }

    /// Lets the fields of generators follow the relays.
    fn place_fields(&mut self) {
        let first = self.tables.relays.len();
        for branch in &mut self.tables.laws {
            if let Some(ByEngine { field: Some(field), .. }) = &mut branch.by_engine {
                *field += first;
            }
        }
        for switch in &mut self.tables.switches {
            if let Closed::Excited { field, .. } = &mut switch.closed {
                *field += first;
            }
        }
        self.tables.relays.append(&mut self.fields);
    }

    /// The metal that an earth point is bolted to; nothing for a body that carries no current.
    pub(crate) fn metal(&self, place: EarthPlace) -> Option<Place> {
        match place {
            EarthPlace::Body => self.body,
            EarthPlace::Engine => Some(self.engine),
            EarthPlace::Battery => Some(self.post),
        }
    }

    /// A branch whose conductance no state changes.
    pub(crate) fn fixed(&mut self, a: Place, b: Place, ohms: f64) -> usize {
        let ohms = if ohms.is_finite() { ohms.max(assumed::LEAST_OHMS) } else { f64::MAX };
        self.tables.fixed.push(Fixed { a, b, siemens: 1.0 / ohms });
        self.tables.fixed.len() - 1
    }

    fn place_wire(&mut self, id: WireId, wire: &Wire) {
        let mut ends = [0; 2];
        for (is_from, (end, place)) in
            [true, false].into_iter().zip(wire.ends().into_iter().zip(&mut ends))
        {
            let joined = match &end.at {
                Anchor::Terminal { part, terminal } => self.place(*part, terminal),
                Anchor::Loose { .. } => None,
            };
            *place = joined.unwrap_or_else(|| self.new_place(PlaceName::Loose(id, is_from)));
        }
        let (ohms, cable) = self.wire_ohms(id, wire);
        let branch = self.fixed(ends[0], ends[1], ohms);
        self.tables.wire_of.insert(id, self.tables.wires.len());
        self.tables.wires.push(WireRow { id, cable, branch, ends, touches: None });
    }

    /// The cable and its two ends; a missing size or length is assumed, and noted.
    fn wire_ohms(&mut self, id: WireId, wire: &Wire) -> (f64, Cable) {
        let size = wire.copper().or_else(|| {
            self.without_size.push(id);
            WireArea::new(assumed::WIRE_SQUARE_MM).ok()
        });
        let length = wire.length.filter(|l| l.0.is_finite() && l.0 >= 0.0).unwrap_or_else(|| {
            self.without_length.push(id);
            Metres(assumed::WIRE_METRES)
        });
        let insulation = wire.insulation;
        let Some(size) = size else {
            return (assumed::LEAST_OHMS, Cable { size: None, insulation, end_ohms: 0.0 });
        };
        let (end, _) = assumed::end_ohms(size.square_mm());
        let copper = cable::resistance(length, size, Celsius(20.0)).0;
        let end_ohms = self.losses.joints * end;
        let cable = Cable { size: wire.copper(), insulation, end_ohms };
        (self.losses.copper * copper + 2.0 * end_ohms, cable)
    }

    fn finish(
        mut self,
        present: &[(PartId, &Part, &PartType)],
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<Tables> {
        self.regulate();
        self.place_fields();
        self.note(NoteKind::SizeAssumed, Vec::new(), self.without_size.clone());
        self.note(NoteKind::LengthAssumed, Vec::new(), self.without_length.clone());
        let missing = self.without_figure.iter().copied().collect();
        self.note(NoteKind::FigureMissing, missing, Vec::new());
        for parts in positions_that_differ(&self.tables.controls, present) {
            self.note(NoteKind::PositionsDiffer, parts, Vec::new());
        }
        let reference = self.choose_reference();
        self.tables.reference = reference.map(|idx| {
            let (_, part, terminal) = &self.posts[idx];
            (*part, terminal.clone())
        });
        // Without a battery, volts count from the body, or from the engine where the body carries none.
        let place =
            reference.map_or_else(|| self.body.unwrap_or(self.engine), |idx| self.posts[idx].0);
        if reference.is_none() {
            let note = Note { kind: NoteKind::NoSupply, parts: Vec::new(), wires: Vec::new() };
            self.tables.notes.push(note);
        }
        self.tables.metal = self.body.unwrap_or(self.engine);
        finish(self.tables, self.n_places, [place, self.post], goes_on)
    }

    fn note(&mut self, kind: NoteKind, parts: Vec<PartId>, wires: Vec<WireId>) {
        if !(parts.is_empty() && wires.is_empty()) {
            self.tables.notes.push(Note { kind, parts, wires });
        }
    }

    /// Places that copper joins.
    pub(crate) fn copper(&self) -> petgraph::unionfind::UnionFind<u32> {
        let mut joined = petgraph::unionfind::UnionFind::new(self.n_places as usize);
        for branch in &self.tables.fixed {
            if branch.siemens > 1.0 {
                joined.union(branch.a, branch.b);
            }
        }
        joined
    }

    /// Of several batteries, the first whose earthed post copper joins to metal; else the first.
    fn choose_reference(&self) -> Option<usize> {
        if self.posts.len() < 2 {
            return (!self.posts.is_empty()).then_some(0);
        }
        let joined = self.copper();
        let metal = [Some(self.post), self.body, Some(self.engine)];
        let is_earthed =
            |place: Place| metal.iter().flatten().any(|metal| joined.equiv(*metal, place));
        Some(self.posts.iter().position(|(place, ..)| is_earthed(*place)).unwrap_or(0))
    }
}

/// The car's controls as far as their parts are there; at most 255 positions each.
fn controls(car: &Car, version: Version) -> Vec<Control> {
    let is_there = |id: &PartId| car.part(*id).is_some_and(|part| version.has(part.standing));
    let mut controls = car.controls();
    for control in &mut controls {
        control.works.retain(|(id, _)| is_there(id));
        let works = &control.works;
        control.positions.retain(|position| {
            works.iter().any(|(id, key)| {
                let of_type = car.type_of(*id).and_then(|part_type| part_type.control(key));
                of_type.is_some_and(|c| c.positions.iter().any(|p| p.name == position.name))
            })
        });
        control.positions.truncate(usize::from(u8::MAX));
    }
    controls.retain(|control| !control.positions.is_empty());
    controls
}

/// The terminal that the end of a wire is at.
fn terminal_of(end: &End) -> Option<(PartId, Name)> {
    match &end.at {
        Anchor::Terminal { part, terminal } => Some((*part, terminal.clone())),
        Anchor::Loose { .. } => None,
    }
}

/// Declared combinations, as far as this car's controls can be in them.
fn impossible(car: &Car, controls: &[Control]) -> Vec<Vec<(usize, Vec<u8>)>> {
    let resolve = |moments: &[loomwright_circuit::Moment]| -> Option<Vec<(usize, Vec<u8>)>> {
        let mut box_of: BTreeMap<usize, Vec<u8>> = BTreeMap::new();
        for moment in moments {
            let control = controls.iter().position(|control| control.name == moment.control)?;
            let is_meant = |at: u8| {
                let name = &controls[control].positions[usize::from(at)].name;
                moment.positions.contains(name)
            };
            let count = u8::try_from(controls[control].positions.len()).unwrap_or(u8::MAX);
            let mut meant: Vec<u8> = (0..count).filter(|at| is_meant(*at)).collect();
            if let Some(known) = box_of.get(&control) {
                meant.retain(|at| known.contains(at));
            }
            if meant.is_empty() {
                return None;
            }
            box_of.insert(control, meant);
        }
        (!box_of.is_empty()).then(|| box_of.into_iter().collect())
    };
    car.impossible().into_iter().filter_map(resolve).collect()
}

/// Controls and parts of each promise, as far as they are there.
fn asked(car: &Car, controls: &[Control]) -> Vec<(Vec<usize>, Vec<PartId>)> {
    let number = |name: &str| controls.iter().position(|control| control.name == name);
    let asked = |promise: &loomwright_circuit::Promise| {
        let named = promise.when.iter().filter_map(|moment| number(&moment.control)).collect();
        (named, promise.then.iter().map(|claim| claim.part).collect())
    };
    car.promises().values().map(asked).collect()
}

/// Parts that share a control whose positions differ between them.
fn positions_that_differ(
    controls: &[Control],
    present: &[(PartId, &Part, &PartType)],
) -> Vec<Vec<PartId>> {
    let names = |id: PartId, key: &str| -> Option<BTreeSet<&str>> {
        let (.., part_type) = present.iter().find(|(known, ..)| *known == id)?;
        let positions = &part_type.control(key)?.positions;
        Some(positions.iter().map(|position| position.name.as_str()).collect())
    };
    let differs = |control: &&Control| {
        let mut sets = control.works.iter().filter_map(|(id, key)| names(*id, key));
        let first = sets.next();
        sets.any(|set| Some(&set) != first.as_ref())
    };
    let parts = |control: &Control| {
        let ids: BTreeSet<PartId> = control.works.iter().map(|(id, _)| *id).collect();
        ids.into_iter().collect()
    };
    controls.iter().filter(differs).map(parts).collect()
}
