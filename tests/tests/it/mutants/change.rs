//! Changes that a hand slips into a sound car.

use std::fmt;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Car, Edit, End, Part, PartId, Standing, Wire, WireId};
use loomwright_units::{Metres, WireArea};

/// What kind of slip it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Slip {
    EarthDropped,
    WireOpened,
    WireThinner,
    ContactsBridged,
    PolarityReversed,
    FuseTooLarge,
    FuseBridged,
    FuseTooSmall,
    EndsSwapped,
    EndMoved,
    PlacesJoined,
    LoadTooStrong,
    EarthRusty,
    ColoursSwapped,
}

impl fmt::Display for Slip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::EarthDropped => "earth dropped",
            Self::WireOpened => "wire opened",
            Self::WireThinner => "wire thinner",
            Self::ContactsBridged => "contacts bridged",
            Self::PolarityReversed => "polarity reversed",
            Self::FuseTooLarge => "fuse too large",
            Self::FuseBridged => "fuse bridged",
            Self::FuseTooSmall => "fuse too small",
            Self::EndsSwapped => "ends swapped",
            Self::EndMoved => "end moved",
            Self::PlacesJoined => "places joined",
            Self::LoadTooStrong => "load too strong",
            Self::EarthRusty => "earth rusty",
            Self::ColoursSwapped => "colours swapped",
        })
    }
}

/// A slip at one place of one car.
#[derive(Debug, Clone)]
pub(crate) struct Change {
    pub(crate) slip: Slip,
    /// In words that stay the same as long as the sketch does.
    pub(crate) says: String,
    pub(crate) edits: Vec<Edit>,
}

/// Every slip that this car offers.
pub(crate) fn changes(car: &Car) -> Vec<Change> {
    let mut all = Vec::new();
    for (id, wire) in car.wires() {
        of_wire(car, *id, wire, &mut all);
    }
    for (id, part) in car.parts() {
        of_part(car, *id, part, &mut all);
    }
    between_parts(car, &mut all);
    all
}

/// Adds a slip. What a hand changes is part of the alteration, and judged as such.
fn push(all: &mut Vec<Change>, slip: Slip, says: String, edits: Vec<Edit>) {
    let standing = Standing::ToFit;
    // A figure is corrected where it stands: what is in the holder is what was found there.
    let is_found = matches!(slip, Slip::FuseTooLarge | Slip::FuseTooSmall | Slip::EarthRusty);
    let is_made_anew = |edit: Edit| match edit {
        edit if is_found => edit,
        Edit::SetPart(id, part) => Edit::All(vec![
            Edit::SetPart(id, part),
            Edit::Mark { parts: vec![id], wires: Vec::new(), standing },
        ]),
        Edit::SetWire(id, wire) => Edit::All(vec![
            Edit::SetWire(id, wire),
            Edit::Mark { parts: Vec::new(), wires: vec![id], standing },
        ]),
        Edit::Run(wire) => Edit::Run(Wire { standing, ..wire }),
        other => other,
    };
    let edits = edits.into_iter().map(is_made_anew).collect();
    all.push(Change { slip, says, edits });
}

fn at(end: &End) -> Option<(PartId, &str)> {
    match &end.at {
        Anchor::Terminal { part, terminal } => Some((*part, terminal)),
        Anchor::Loose { .. } => None,
    }
}

fn is_on(end: &End, part: PartId) -> bool {
    at(end).is_some_and(|(of, _)| of == part)
}

fn is_of(car: &Car, end: &End, is: impl Fn(&Part) -> bool) -> bool {
    at(end).and_then(|(part, _)| car.part(part)).is_some_and(is)
}

fn of_wire(car: &Car, id: WireId, wire: &Wire, all: &mut Vec<Change>) {
    let is_earth = |part: &Part| part.type_name.ends_with("-earth") || part.label == "STUD";
    let earths = wire.ends().into_iter().any(|end| is_of(car, end, is_earth));
    let slip = if earths { Slip::EarthDropped } else { Slip::WireOpened };
    push(
        all,
        slip,
        format!("{} taken out", wire.label),
        vec![Edit::Erase { parts: vec![], wires: vec![id] }],
    );
    if let Some(size) = wire.size {
        for share in [0.3, 0.15] {
            let thin = WireArea::new((size.square_mm() * share).max(0.35)).expect("a size");
            if thin < size {
                let says = format!("{} of {:.2} mm2", wire.label, thin.square_mm());
                let wire = Wire { size: Some(thin), ..wire.clone() };
                push(all, Slip::WireThinner, says, vec![Edit::SetWire(id, wire)]);
            }
        }
    }
}

/// A short piece of the size of the thickest wire there, from one terminal to another.
fn piece(car: &Car, from: (PartId, &str), to: (PartId, &str)) -> Option<Wire> {
    let touches = |wire: &&Wire| {
        wire.ends().into_iter().any(|end| at(end) == Some(from) || at(end) == Some(to))
    };
    let there = car.wires().values().filter(touches);
    let model = there.max_by(|a, b| a.size.partial_cmp(&b.size).expect("sizes compare"))?;
    let end = |(part, terminal): (PartId, &str)| End {
        at: Anchor::Terminal { part, terminal: terminal.to_owned() },
        ..model.from.clone()
    };
    Some(Wire {
        label: "slip".to_owned(),
        from: end(from),
        to: end(to),
        length: Some(Metres(0.2)),
        colour: None,
        route: Vec::new(),
        ..model.clone()
    })
}

fn of_part(car: &Car, id: PartId, part: &Part, all: &mut Vec<Change>) {
    let part_type = car.type_of(id).expect("a type");
    let bridge = |slip: Slip, from: &str, to: &str, all: &mut Vec<Change>| {
        if let Some(wire) = piece(car, (id, from), (id, to)) {
            push(
                all,
                slip,
                format!("{} bridged from {from} to {to}", part.label),
                vec![Edit::Run(wire)],
            );
        }
    };
    for element in &part_type.elements {
        match element {
            Element::Contacts { joins, .. } => {
                let groups = joins.values().flatten().filter(|group| group.len() >= 2);
                let mut pairs: Vec<_> = groups.map(|group| (&group[0], &group[1])).collect();
                pairs.sort();
                pairs.dedup();
                for (from, to) in pairs {
                    bridge(Slip::ContactsBridged, from, to, all);
                }
            }
            Element::Relay { pulled_in, at_rest, .. } => {
                for group in pulled_in.iter().chain(at_rest) {
                    bridge(Slip::ContactsBridged, &group[0], &group[1], all);
                }
            }
            Element::Fuse { between, .. } => {
                bridge(Slip::FuseBridged, &between[0], &between[1], all);
            }
            Element::Led { anode, cathode, .. } | Element::Diode { anode, cathode, .. } => {
                turned(car, id, [anode, cathode], all);
            }
            Element::Battery { plus, minus, .. } => turned(car, id, [plus, minus], all),
            _ => {}
        }
    }
    of_figures(id, part, all);
}

/// Everything that was on one terminal goes to the other.
fn turned(car: &Car, id: PartId, [one, other]: [&String; 2], all: &mut Vec<Change>) {
    let end = |end: &End| {
        let mut end = end.clone();
        if let Anchor::Terminal { part, terminal } = &mut end.at
            && *part == id
        {
            if terminal == one {
                other.clone_into(terminal);
            } else if terminal == other {
                one.clone_into(terminal);
            }
        }
        end
    };
    let is_there = |wire: &Wire| wire.ends().into_iter().any(|end| is_on(end, id));
    let there = car.wires().iter().filter(|(_, wire)| is_there(wire));
    let wires = there.map(|(wire_id, wire)| {
        Edit::SetWire(*wire_id, Wire { from: end(&wire.from), to: end(&wire.to), ..wire.clone() })
    });
    let label = &car.part(id).expect("a part").label;
    push(all, Slip::PolarityReversed, format!("{label} turned round"), wires.collect());
}

fn of_figures(id: PartId, part: &Part, all: &mut Vec<Change>) {
    let times = |slip: Slip, share: f64, names: &[&str], all: &mut Vec<Change>| {
        let mut facts = part.facts.clone();
        for (name, figure) in &mut facts {
            if names.contains(&name.as_str()) {
                *figure *= share;
            }
        }
        if facts != part.facts {
            let says = format!("{} by {share}", part.label);
            push(all, slip, says, vec![Edit::SetPart(id, Part { facts, ..part.clone() })]);
        }
    };
    let is_fuse = part.type_name.starts_with("fuse") || part.type_name.starts_with("breaker");
    let ratings =
        ["amps", "carries", "blows", "amps_1", "amps_2", "amps_3", "amps_4", "amps_5", "amps_6"];
    if is_fuse {
        // Torpedo fuses hold half as much again for an hour (practice): a slip is what is beyond that.
        let shares = if part.type_name == "fuse-torpedo" { [3.0, 5.0] } else { [2.0, 3.0] };
        for share in shares.into_iter().filter(|_| part.type_name != "fuse-glass") {
            times(Slip::FuseTooLarge, share, &ratings, all);
        }
        if part.facts.contains_key("blows") {
            foil(id, part, all);
        }
        for share in [0.15, 0.3, 0.5] {
            times(Slip::FuseTooSmall, share, &ratings, all);
        }
    } else if !part.type_name.starts_with("flasher") {
        for share in [2.0, 3.0, 4.0] {
            times(
                Slip::LoadTooStrong,
                share,
                &["watts", "main_watts", "dip_watts", "stop_watts"],
                all,
            );
        }
    }
    if part.type_name.ends_with("-earth") {
        for ohms in [2.0, 5.0, 9.0] {
            let mut rusty = part.clone();
            rusty.facts.insert("ohms".to_owned(), ohms);
            let says = format!("{} of {ohms} ohm", part.label);
            push(all, Slip::EarthRusty, says, vec![Edit::SetPart(id, rusty)]);
        }
    }
}

/// Old glass fuses carry up to twice what the wire does in cars as they were built; a slip is the foil round the glass.
fn foil(id: PartId, part: &Part, all: &mut Vec<Change>) {
    let mut wrapped = part.clone();
    wrapped.facts.insert("blows".to_owned(), 120.0);
    wrapped.facts.remove("carries");
    let says = format!("{} wrapped in foil", part.label);
    push(all, Slip::FuseTooLarge, says, vec![Edit::SetPart(id, wrapped)]);
}

fn between_parts(car: &Car, all: &mut Vec<Change>) {
    let wires: Vec<(WireId, &Wire)> = car.wires().iter().map(|(id, wire)| (*id, wire)).collect();
    for (idx, (id, wire)) in wires.iter().enumerate() {
        for (other_id, other) in &wires[idx + 1..] {
            swapped_ends(car, (*id, wire), (*other_id, other), all);
        }
        // Colours of a wire and of one some way on in the list.
        let (other_id, other) = wires[(idx + 7) % wires.len()];
        if wire.colour != other.colour && wire.colour.is_some() && other.colour.is_some() {
            let says = format!("colours of {} and {} changed over", wire.label, other.label);
            let edits = [(*id, *wire, other.colour), (other_id, other, wire.colour)];
            let edits =
                edits.map(|(id, wire, colour)| Edit::SetWire(id, Wire { colour, ..wire.clone() }));
            push(all, Slip::ColoursSwapped, says, edits.into());
        }
        // The far end of a wire goes where another one ends, and a piece of wire joins two places.
        let (_, other) = wires[(idx * 5 + 3) % wires.len()];
        if let (Some(from), Some(to)) = (at(&wire.to), at(&other.to))
            && from != to
            && Some(to) != at(&wire.from)
        {
            let moved =
                Wire { to: End { at: other.to.at.clone(), ..wire.to.clone() }, ..(*wire).clone() };
            let says = format!("{} taken to {}", wire.label, named(car, to));
            push(all, Slip::EndMoved, says, vec![Edit::SetWire(*id, moved)]);
            if let Some(piece) = piece(car, from, to) {
                let says = format!("{} joined to {}", named(car, from), named(car, to));
                push(all, Slip::PlacesJoined, says, vec![Edit::Run(piece)]);
            }
        }
    }
}

fn named(car: &Car, (part, terminal): (PartId, &str)) -> String {
    format!("{}.{terminal}", car.part(part).expect("a part").label)
}

/// Two wires on different terminals of one part change places there.
fn swapped_ends(
    car: &Car,
    (id, wire): (WireId, &Wire),
    (other_id, other): (WireId, &Wire),
    all: &mut Vec<Change>,
) {
    for (end_idx, end) in wire.ends().into_iter().enumerate() {
        for (other_idx, other_end) in other.ends().into_iter().enumerate() {
            let (Some(one), Some(two)) = (at(end), at(other_end)) else { continue };
            if one.0 != two.0 || one.1 == two.1 {
                continue;
            }
            let with = |wire: &Wire, idx: usize, anchor: &Anchor| {
                let mut wire = wire.clone();
                let end = if idx == 0 { &mut wire.from } else { &mut wire.to };
                end.at = anchor.clone();
                wire
            };
            let says =
                format!("{} and {} changed over at {}", wire.label, other.label, named(car, one));
            let edits = vec![
                Edit::SetWire(id, with(wire, end_idx, &other_end.at)),
                Edit::SetWire(other_id, with(other, other_idx, &end.at)),
            ];
            push(all, Slip::EndsSwapped, says, edits);
        }
    }
}
