//! An alternator that nothing wakes: no charge lamp, or one that passes too little current.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Edit, PartId};
use loomwright_electrics::{NoteKind, Visit};
use loomwright_units::{Amps, exact, with_decimals};

use crate::ctx::{Ctx, is_shorted};
use crate::fix::{fit_ends, id_once_placed, wire_to_fit};
use crate::messages::CH01;
use crate::places::part_near;
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "CH01",
    name: "alternator-not-woken",
    title: "Alternator not woken",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("alternator_not_woken.md"),
    needs: Needs::States,
    check,
};

/// A charge lamp that passes less has an open lead behind it, A.
const OPEN: f64 = 0.005;

/// Resistance across a charge lamp of light-emitting diodes, ohm (practice: 75 to 150 ohm, 3 W, at 12 V).
const ACROSS: f64 = 82.0;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (&id, part) in ctx.car.parts() {
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        let warning = part_type.elements.iter().find_map(|element| match element {
            Element::Generator { needs_lamp: true, warning, plus, .. } => {
                ctx.is_wired(id, plus).then_some(warning.as_deref())
            }
            _ => None,
        });
        if let Some(warning) = warning.filter(|_| ctx.after.wiring.version.has(part.standing)) {
            out.findings.extend(finding(ctx, id, warning));
        }
    }
}

/// The first visit in which the engine idles and the alternator sleeps.
fn sleeps<'c>(ctx: &'c Ctx<'_>, id: PartId) -> Option<(usize, &'c Visit)> {
    let is_noted = |visit: &Visit| {
        let notes = &visit.settled.on.notes;
        notes.iter().any(|note| note.kind == NoteKind::NotExcited && note.parts.contains(&id))
    };
    let mut visits = ctx.visits();
    visits.find(|(_, visit)| turns(ctx, visit) && !is_shorted(visit) && is_noted(visit))
}

/// Whether the engine idles by itself.
fn turns(ctx: &Ctx<'_>, visit: &Visit) -> bool {
    ctx.roles.controls(ControlRole::Engine).any(|control| {
        let at = visit.settled.state.setting.0.get(control).map(|at| usize::from(*at));
        let position = at.and_then(|at| ctx.network.controls()[control].positions.get(at));
        position.is_some_and(|position| position.name == "idling")
    })
}

fn finding(ctx: &Ctx<'_>, id: PartId, warning: Option<&str>) -> Option<Finding> {
    let asleep = sleeps(ctx, id);
    let wiring = &ctx.after.wiring;
    let name = ctx.part_name(id);
    let lamp = (0..wiring.loads.len())
        .find(|&load| ctx.roles.load(load) == Some(Role::ChargeLamp))
        .map(|load| wiring.loads[load].part);
    let is_wired = warning.is_some_and(|warning| ctx.is_wired(id, warning));
    let (says, edit) = match (lamp.filter(|_| is_wired), asleep) {
        (_, None) if is_wired => return None,
        (Some(lamp), Some((_, visit))) => {
            let amps = visit.settled.on.amps(lamp).map_or(0.0, |amps| amps.0.abs());
            let says = CH01::says(
                ctx.part_name(lamp),
                Amps((amps * 1e3).round() / 1e3),
                &name,
                with_decimals(2.2, 1),
            );
            // Through a lamp that passes nothing the lead is open, and so it is beside it.
            (says, if amps > OPEN { beside(ctx, lamp) } else { None })
        }
        _ => (CH01::says_no_lamp(&name), None),
    };
    let finding = RULE
        .says(says)
        .advise(CH01::advice())
        .parts(lamp.filter(|_| is_wired))
        .parts([id])
        .shown(asleep.map(|(visit, _)| ctx.shown(visit)).unwrap_or_default())
        .source(CH01::source());
    Some(finding.fix(CH01::fix(exact(ACROSS)), Trust::Ask, edit))
}

/// A resistor across a lamp.
fn beside(ctx: &Ctx<'_>, lamp: PartId) -> Option<Edit> {
    let ends = ctx.after.wiring.loads.iter().find(|load| load.part == lamp)?.ends;
    let mut resistor = part_near(ctx.car, lamp, "resistor")?;
    let share = ctx.system_volts() / 12.0;
    resistor.facts.insert("ohms".to_owned(), ACROSS * share * share);
    let id = id_once_placed(ctx.car, &resistor)?;
    let mut edits = vec![Edit::Place(resistor.clone())];
    for (end, terminal) in ends.into_iter().zip(["1", "2"]) {
        let beside = ctx.after.wiring.wires_at(end).find_map(|wire| ctx.wire(wire));
        let mut wire = wire_to_fit(
            ctx.anchor(end)?,
            Anchor::terminal(id, terminal),
            beside.and_then(|wire| wire.colour),
            beside.and_then(|wire| wire.size),
            0.1,
        );
        fit_ends(ctx.car, Some((id, &resistor)), &mut wire);
        edits.push(Edit::Run(wire));
    }
    Some(Edit::All(edits))
}
