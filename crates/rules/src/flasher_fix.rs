//! The fix that puts an electronic flasher unit in the place of a thermal one.

use loomwright_circuit::{Anchor, Edit, Part, PartId};
use loomwright_units::WireArea;

use crate::ctx::Ctx;
use crate::cures::{BESIDE, TRIGGER, ids_once_placed};
use crate::fix::{all, earth_colour, fit_ends, moved, wire_to_fit};
use crate::places::{Stands, column};

/// Terminals of thermal units, and those of electronic ones that take their leads.
const TAKES: [(&str, &str); 3] = [("B", "49"), ("L", "49a"), ("P", "C")];

/// A unit of a kind with its earth point below.
fn stand(kind: &str) -> [Stands<'_>; 2] {
    [
        Stands { kind, x: 0.0, y: 0.0, is_upright: false },
        Stands { kind: "body-earth", x: 0.0, y: 20.0, is_upright: false },
    ]
}

/// An electronic unit with an earth lead of its own, made for at least so much, in the place of a thermal one; where that
/// one has a lead for a tell-tale, with a terminal for it.
pub(crate) fn electronic_unit(ctx: &Ctx<'_>, old: PartId, watts: f64) -> Option<Edit> {
    let kind = if ctx.is_wired(old, "P") { "flasher-electronic-4" } else { "flasher-electronic-3" };
    let [mut unit, earth] = <[Part; 2]>::try_from(column(ctx.car, old, &stand(kind))?).ok()?;
    unit.facts.insert("watts".to_owned(), watts.ceil());
    let (usual, part_type) = (unit.clone(), ctx.car.type_named(&unit.type_name)?);
    let bears = usual.fact(part_type, "most_watts").unwrap_or(0.0);
    unit.facts.insert("most_watts".to_owned(), bears.max(watts.ceil()));
    let new = [unit, earth];
    let ids = ids_once_placed(ctx.car, &new)?;
    let &[unit, earth] = ids.as_slice() else { return None };
    let mut edits: Vec<Edit> = new.iter().cloned().map(Edit::Place).collect();
    let wiring = &ctx.after.wiring;
    for (from, to) in TAKES {
        for id in wiring.spot(old, from).into_iter().flat_map(|spot| wiring.wires_at(spot)) {
            let mut wire = ctx.wire(id)?.clone();
            for end in [&mut wire.from, &mut wire.to] {
                if end.at == Anchor::terminal(old, from) {
                    end.at = Anchor::terminal(unit, to);
                }
            }
            // Corners drawn by hand led to the old unit.
            wire.route.clear();
            fit_ends(ctx.car, Some((unit, &new[0])), &mut wire);
            edits.push(moved(id, wire));
        }
    }
    let (from, to) = (Anchor::terminal(unit, "31"), Anchor::terminal(earth, "1"));
    let size = WireArea::new(TRIGGER).ok();
    let mut lead = wire_to_fit(from, to, Some(earth_colour(ctx.car)), size, BESIDE);
    for row in ids.iter().copied().zip(&new) {
        fit_ends(ctx.car, Some(row), &mut lead);
    }
    edits.push(Edit::Run(lead));
    edits.push(Edit::TakeAway { parts: vec![old], wires: Vec::new() });
    all(edits)
}
