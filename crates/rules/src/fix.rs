//! Building the edits that fixes offer.

use loomwright_circuit::seen::Gauge;
use loomwright_circuit::{
    Anchor, Car, Colour, ColourCode, Edit, End, Insulation, Part, PartId, Placement, RowId,
    Standing, Wire, WireColour, WireId,
};
use loomwright_units::{Metres, WireArea};

use crate::ctx::Ctx;
use crate::messages::NewLeads;
use crate::places::part_near;
use crate::wiring::Spot;

/// The size of an earth lead where that of its feed is not known, mm² (practice).
pub(crate) const LEAST_EARTH_LEAD: f64 = 1.0;

/// The id that a part will have once placed.
pub(crate) fn id_once_placed(car: &Car, part: &Part) -> Option<PartId> {
    let patch = car.plan(Edit::Place(part.clone())).ok()?;
    patch.rows().find_map(|row| match row {
        RowId::Part(id) => Some(*id),
        _ => None,
    })
}

/// A wire to fit between two terminals: thin-wall cable, as is bought new today; its ends are fitted by [`fit_ends`].
pub(crate) fn wire_to_fit(
    from: Anchor,
    to: Anchor,
    colour: Option<WireColour>,
    size: Option<WireArea>,
    metres: f64,
) -> Wire {
    let end = |at| End::at(at);
    let mut wire = Wire::new("", end(from), end(to));
    wire.standing = Standing::ToFit;
    wire.colour = colour;
    wire.size = size;
    wire.length = Some(Metres(metres));
    wire.note = NewLeads::assumed(metres);
    wire.insulation = Some(Insulation::ThinWall);
    wire
}

/// Gives ends of a wire the fitting that their terminal takes, where they have none; `new` is a part that is placed in
/// the same edit.
pub(crate) fn fit_ends(car: &Car, new: Option<(PartId, &Part)>, wire: &mut Wire) {
    for end in [&mut wire.from, &mut wire.to] {
        let Anchor::Terminal { part, terminal } = &end.at else { continue };
        let part_type = match new {
            Some((id, row)) if id == *part => car.type_named(&row.type_name),
            _ => car.type_of(*part),
        };
        if end.fitting.is_none() {
            let terminal = part_type.and_then(|part_type| part_type.terminal(terminal));
            end.fitting = terminal.and_then(|terminal| terminal.fitting);
        }
    }
}

/// Changes a wire whose ends alone are other than they were: its cable stays in the car.
pub(crate) fn moved(id: WireId, wire: Wire) -> Edit {
    Edit::AlterWire(id, Wire { keeps: Some(id), ..wire })
}

/// Black, the colour of earth leads in BS AU 7; brown in the German code.
pub(crate) fn earth_colour(car: &Car) -> WireColour {
    match car.vehicle().colours {
        ColourCode::Din => WireColour::plain(Colour::Brown),
        _ => WireColour::plain(Colour::Black),
    }
}

/// The edit that changes the leads at two terminals of a part over: they stay the cables that they are. Where the symbol
/// can be turned so that its terminals change places, it is, and the leads are drawn as they were.
pub(crate) fn swapped_ends(ctx: &Ctx<'_>, id: PartId, terminals: [&str; 2]) -> Option<Edit> {
    let mut edits = Vec::new();
    let turned = turned_over(ctx, id, terminals);
    if let Some(place) = turned {
        let part = ctx.car.part(id)?.clone();
        edits.push(Edit::SetPart(id, Part { place, ..part }));
    }
    let wires = ctx.car.wires().iter();
    for (&wire_id, known) in wires.filter(|(_, wire)| ctx.after.wiring.version.has(wire.standing)) {
        let mut wire = known.clone();
        for end in [&mut wire.from, &mut wire.to] {
            let Anchor::Terminal { part, terminal } = &end.at else { continue };
            if *part != id {
                continue;
            }
            let [a, b] = terminals;
            let other = if terminal == a { b } else { a };
            if terminal == a || terminal == b {
                end.at = Anchor::terminal(id, other);
            }
        }
        if wire != *known {
            if turned.is_none() {
                // Corners drawn by hand led to the other terminal, and would now make a loop.
                wire.route.clear();
            }
            edits.push(Edit::SetWire(wire_id, wire));
        }
    }
    all(edits)
}

/// How a part lies with two of its terminals in each other's places and all others in their own.
fn turned_over(ctx: &Ctx<'_>, id: PartId, [one, other]: [&str; 2]) -> Option<Placement> {
    let (part, part_type) = ctx.part(id)?;
    let swaps = |place: &Placement| {
        part_type.terminals.iter().all(|terminal| {
            let goes_to = match &*terminal.name {
                name if name == one => other,
                name if name == other => one,
                name => name,
            };
            let Some(goes_to) = part_type.terminal(goes_to) else { return false };
            let (before, after) = (&part.place, place);
            before.sheet_from_symbol(goes_to.at) == after.sheet_from_symbol(terminal.at)
                && before.direction(goes_to.leaves) == after.direction(terminal.leaves)
        })
    };
    let mut turned = part.place;
    for _ in 0..4 {
        for mirror in [part.place.mirror, !part.place.mirror] {
            let place = Placement { mirror, ..turned };
            if swaps(&place) {
                return Some(place);
            }
        }
        turned.turn = turned.turn.next();
    }
    None
}

impl Ctx<'_> {
    /// The terminal at a spot as a wire's end.
    pub(crate) fn anchor(&self, spot: Spot) -> Option<Anchor> {
        let (part, terminal) = self.after.wiring.terminal(spot)?;
        Some(Anchor::terminal(part, terminal))
    }

    /// Gives each wire another size.
    pub(crate) fn resize(&self, sizes: &[(WireId, WireArea)]) -> Option<Edit> {
        let edits: Option<Vec<Edit>> = sizes
            .iter()
            .map(|&(id, size)| {
                let mut wire = self.wire(id)?.clone();
                wire.size = Some(size);
                wire.seen.gauge = wire.seen.gauge.map(|_| Gauge::Copper);
                Some(Edit::AlterWire(id, wire))
            })
            .collect();
        all(edits?)
    }

    /// Sets a fact of a part.
    pub(crate) fn set_fact(&self, id: PartId, name: &str, value: f64) -> Option<Edit> {
        let mut part = self.car.part(id)?.clone();
        part.facts.insert(name.to_owned(), value);
        Some(Edit::SetPart(id, part))
    }

    /// Runs a lead from a terminal to an earth point that is there.
    pub(crate) fn lead_to_earth(
        &self,
        spot: Spot,
        point: Spot,
        size: Option<WireArea>,
    ) -> Option<Edit> {
        let size = size.or_else(|| WireArea::new(LEAST_EARTH_LEAD).ok());
        let colour = Some(earth_colour(self.car));
        let mut wire = wire_to_fit(self.anchor(spot)?, self.anchor(point)?, colour, size, 0.5);
        fit_ends(self.car, None, &mut wire);
        Some(Edit::Run(wire))
    }

    /// Places an earth point near the part of this terminal and runs a lead to it.
    pub(crate) fn earth_lead(&self, spot: Spot, size: Option<WireArea>) -> Option<Edit> {
        let (part, _) = self.after.wiring.terminal(spot)?;
        let earth = part_near(self.car, part, "body-earth")?;
        let earth_id = id_once_placed(self.car, &earth)?;
        let to = Anchor::terminal(earth_id, "1");
        let size = size.or_else(|| WireArea::new(LEAST_EARTH_LEAD).ok());
        let colour = Some(earth_colour(self.car));
        let mut wire = wire_to_fit(self.anchor(spot)?, to, colour, size, 0.5);
        fit_ends(self.car, Some((earth_id, &earth)), &mut wire);
        Some(Edit::All(vec![Edit::Place(earth), Edit::Run(wire)]))
    }
}

/// Several edits as one; nothing where there is none.
pub(crate) fn all(mut edits: Vec<Edit>) -> Option<Edit> {
    match edits.len() {
        0 => None,
        1 => edits.pop(),
        _ => Some(Edit::All(edits)),
    }
}
