//! A wire that ends in the air, and terminals that need a wire and have none.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::Element;
use loomwright_circuit::seen::Cover;
use loomwright_circuit::{Anchor, Edit, Name, PartId, PartType, Standing, Wire, WireId};

use crate::ctx::Ctx;
use crate::earths::unearthed;
use crate::left_behind::{LeftBehind, left_behind, taken_away};
use crate::messages::{Common, WP01};
use crate::rule::{Needs, Out, Rule};
use crate::shape::{ends_of, has_named_contacts, is_contact, is_half_wired, is_only_a_joint};
use crate::wiring::{Load, LoadKind, Spot};
use crate::words::list;
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "WP01",
    name: "end-left-open",
    title: "End left open",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("end_left_open.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let version = ctx.after.wiring.version;
    if !ctx.car.parts().values().any(|part| version.has(part.standing)) {
        out.not_checked(&RULE, WP01::missing());
    }
    let spoken_for: BTreeSet<Spot> = unearthed(ctx).into_iter().map(|(_, end)| end).collect();
    let returns = returns(ctx, &spoken_for);
    loose_wires(ctx, &returns, out);
    let is_told = |wire: WireId| returns.contains(&wire) || is_loose(ctx, wire);
    for left in left_behind(ctx).filter(|left| !is_told(left.wire)) {
        out.push(left_over(ctx, &left));
    }
    blind_joints(ctx, &returns, out);
    let mut alone = Vec::new();
    let mut open: BTreeMap<(Level, &str, Vec<&str>), Vec<PartId>> = BTreeMap::new();
    for (&id, part) in ctx.car.parts() {
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        if !ctx.after.wiring.version.has(part.standing) || is_only_a_joint(part_type) {
            continue;
        }
        let wired = |name: &str| ctx.is_wired(id, name);
        if part_type.terminals.iter().any(|terminal| wired(&terminal.name)) {
            for (level, names) in open_terminals(ctx, id, part_type, &spoken_for) {
                open.entry((level, &part_type.name, names)).or_default().push(id);
            }
        } else {
            alone.push(id);
        }
    }
    for ((level, _, names), parts) in open {
        out.push(without_wire(ctx, level, &names, &parts));
    }
    let is_missed = |id: &PartId| is_missed(ctx, *id);
    let (idle, spare): (Vec<PartId>, Vec<PartId>) = alone.into_iter().partition(is_missed);
    for (level, alone) in [(Level::Fault, idle), (Level::Advice, spare)] {
        if alone.is_empty() {
            continue;
        }
        let verb = if alone.len() == 1 { "is" } else { "are" };
        out.push(
            RULE.says(WP01::says_alone(ctx.part_names(alone.iter().copied()), verb))
                .level(level)
                .advise(WP01::advice_alone())
                .parts(alone)
                .source(Common::practice()),
        );
    }
}

/// Wires that should lead consumers to earth and do not: what is amiss with them is said there.
fn returns(ctx: &Ctx<'_>, ends: &BTreeSet<Spot>) -> BTreeSet<WireId> {
    let wiring = &ctx.after.wiring;
    let near = wiring.hard_joined(&ends.iter().copied().collect::<Vec<_>>());
    let wires = wiring.wire_ends().filter(|(_, ends)| ends.iter().any(|&end| near[end]));
    wires.map(|(wire, _)| wire).collect()
}

fn loose_wires(ctx: &Ctx<'_>, returns: &BTreeSet<WireId>, out: &mut Out) {
    let side = &ctx.after;
    for (id, ends) in side.wiring.wire_ends().filter(|(id, _)| !returns.contains(id)) {
        let Some(wire) = ctx.wire(id) else { continue };
        if !is_loose(ctx, id) {
            continue;
        }
        let is_live = ends.iter().any(|&end| side.live.reach(end) && !side.hard_earth[end]);
        let always = is_always_live(ctx, ends);
        let is_covered = wire
            .ends()
            .iter()
            .filter(|end| matches!(end.at, Anchor::Loose { .. }))
            .all(|end| matches!(end.seen.cover, Some(Cover::Insulated | Cover::Sealed)));
        let (level, what) = match (is_covered, always, is_live) {
            (true, _, _) => (Level::Advice, WP01::insulated_end()),
            (false, true, _) => (Level::Danger, WP01::always_live_end()),
            (false, false, true) => (Level::Fault, WP01::live_end()),
            (false, false, false) => (Level::Fault, WP01::dead_end()),
        };
        out.push(
            RULE.says(WP01::says_loose(ctx.wire_name(id), what))
                .level(level)
                .advise(advice_loose(&wire.note))
                .wires([id])
                .fix(WP01::fix(), Trust::Ask, (!is_covered).then(|| insulated(wire, id)))
                .source(Common::practice()),
        );
    }
}

/// What to do with a loose end; a note on the wire may tell where it belongs, as that of a kit does.
fn advice_loose(note: &str) -> String {
    let note = note.split_whitespace().collect::<Vec<_>>().join(" ");
    match note.trim_end_matches('.') {
        "" => WP01::advice_loose().to_owned(),
        note => WP01::advice_loose_noted(note),
    }
}

/// Whether an end of it is drawn in the air.
fn is_loose(ctx: &Ctx<'_>, wire: WireId) -> bool {
    let ends = ctx.wire(wire).into_iter().flat_map(Wire::ends);
    ends.into_iter().any(|end| matches!(end.at, Anchor::Loose { .. }))
}

/// Whether nothing has to be switched on for it to be live.
fn is_always_live(ctx: &Ctx<'_>, ends: [Spot; 2]) -> bool {
    let side = &ctx.after;
    let bare = ends.into_iter().filter(|&end| !side.hard_earth[end]);
    bare.into_iter().any(|end| side.live.to(end).any(|way| way.needs.0.is_empty()))
}

/// A wire that stays while the part at its end comes off. What is never live may as well stay in the loom.
fn left_over(ctx: &Ctx<'_>, left: &LeftBehind) -> Finding {
    let side = &ctx.after;
    let ends = side.wiring.wire_ends().find(|(id, _)| *id == left.wire).map(|(_, ends)| ends);
    let bare = ends.into_iter().flatten().filter(|&end| !side.hard_earth[end]);
    let way = bare.flat_map(|end| side.live.to(end)).min_by_key(|way| way.needs.0.len());
    let (wire, gone) = (ctx.wire_name(left.wire), ctx.part_names(left.gone.iter().copied()));
    let is_new = ctx.wire(left.wire).is_some_and(|row| row.standing == Standing::ToFit);
    let verb = if left.gone.len() == 1 { WP01::comes_off() } else { WP01::come_off() };
    let (level, says) = match way {
        Some(way) if way.needs.0.is_empty() => {
            (Level::Danger, WP01::says_left_always_live(wire, gone, verb))
        }
        Some(way) => {
            let when = ctx.positions_named(&way.needs);
            (Level::Fault, WP01::says_left_live(wire, gone, verb, when))
        }
        // Nobody fits a lead to what comes off: the plan is not finished.
        None if is_new => (Level::Fault, WP01::says_fitted_to_gone(wire, gone, verb)),
        None => (Level::Advice, WP01::says_left_dead(wire, gone, verb)),
    };
    let advice = match way {
        _ if is_new => WP01::advice_fitted_to_gone(),
        Some(_) => WP01::advice_left(),
        None => WP01::advice_left_dead(),
    };
    RULE.says(says)
        .level(level)
        .advise(advice)
        .wires([left.wire])
        .parts(left.gone.iter().copied())
        .fix(WP01::fix_left(ctx.wire_name(left.wire)), Trust::Ask, Some(taken_away(ctx, left.wire)))
        .source(Common::practice())
}

/// Its loose ends cut back and insulated.
fn insulated(wire: &Wire, id: WireId) -> Edit {
    let mut wire = wire.clone();
    for end in [&mut wire.from, &mut wire.to] {
        if matches!(end.at, Anchor::Loose { .. }) {
            end.seen.cover = Some(Cover::Insulated);
        }
    }
    Edit::SetWire(id, wire)
}

/// Joints at which a single wire ends.
fn blind_joints(ctx: &Ctx<'_>, returns: &BTreeSet<WireId>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    for (&id, part) in ctx.car.parts() {
        if !wiring.version.has(part.standing) || part.type_name != "joint" {
            continue;
        }
        let Some(spot) = wiring.spot(id, "1") else { continue };
        let wires: Vec<_> = wiring.wires_at(spot).collect();
        if wires.is_empty() {
            out.push(
                RULE.says(WP01::says_idle_joint(&part.label))
                    .level(Level::Advice)
                    .advise(WP01::advice_idle_joint())
                    .parts([id])
                    .source(Common::practice()),
            );
        }
        if let [wire] = wires.as_slice()
            && !returns.contains(wire)
        {
            out.push(
                RULE.says(WP01::says_blind_joint(ctx.wire_name(*wire), &part.label))
                    .level(Level::Fault)
                    .advise(WP01::advice_blind_joint())
                    .parts([id])
                    .wires([*wire])
                    .source(Common::practice()),
            );
        }
    }
}

/// Terminals of a part that have no wire, by how bad that is.
fn open_terminals<'a>(
    ctx: &Ctx<'_>,
    id: PartId,
    part_type: &'a PartType,
    spoken_for: &BTreeSet<Spot>,
) -> Vec<(Level, Vec<&'a str>)> {
    let wired = |name: &Name| ctx.is_wired(id, name);
    let (mut dead, mut spare): (Vec<&str>, Vec<&str>) = (Vec::new(), Vec::new());
    for terminal in &part_type.terminals {
        let name = terminal.name.as_str();
        let is_spoken_for =
            ctx.after.wiring.spot(id, name).is_some_and(|spot| spoken_for.contains(&spot));
        if wired(&terminal.name) || is_spoken_for {
            continue;
        }
        let at = part_type.elements.iter().filter(|element| ends_of(element).contains(&name));
        let is_half_wired = at.clone().any(|element| is_half_wired(element, name, &wired));
        let is_blind_way = at.clone().any(|element| {
            matches!(element, Element::Joined { terminals, .. }
                if terminals.iter().filter(|name| wired(name)).count() == 1)
        });
        let is_stalk = part_type.name == "indicator-stalk";
        let is_driven =
            at.clone().any(|element| is_driven_and_half_wired(part_type, element, name, &wired));
        if is_blind_way || is_driven || ((is_half_wired || is_stalk) && !terminal.may_stay_empty) {
            dead.push(name);
        } else if !terminal.may_stay_empty
            && has_named_contacts(&part_type.name)
            && at.clone().any(|element| is_contact(element, &wired))
        {
            spare.push(name);
        }
    }
    let found = [(Level::Fault, dead), (Level::Advice, spare)];
    found.into_iter().filter(|(_, names)| !names.is_empty()).collect()
}

/// Whether somebody misses what a part does: a consumer that does not work, or a switch that does nothing. A fuse or a
/// relay that is joined to nothing is a spare.
fn is_missed(ctx: &Ctx<'_>, id: PartId) -> bool {
    let consumes = |load: &Load| load.part == id && load.kind != LoadKind::Coil;
    let is_switch = ctx.car.type_of(id).is_some_and(|part_type| {
        part_type.elements.iter().any(|element| matches!(element, Element::Contacts { .. }))
    });
    is_switch || ctx.after.wiring.loads.iter().any(consumes)
}

/// Whether a contact that the motor itself works, as a wiper's park contact, is in use and lacks this wire in one of its
/// positions: nobody chooses that position, so it does not stay unused.
fn is_driven_and_half_wired(
    part_type: &PartType,
    element: &Element,
    name: &str,
    wired: &dyn Fn(&Name) -> bool,
) -> bool {
    let Element::Contacts { control, joins, .. } = element else { return false };
    let is_driven = part_type.control(control).is_some_and(|control| control.driven);
    let mut groups = joins.values().flatten();
    is_driven
        && groups.clone().any(|group| group.iter().all(wired))
        && groups.any(|group| {
            group.iter().any(|end| end == name) && group.iter().any(|end| end != name && wired(end))
        })
}

/// The same terminals of parts of one type, left open for the same reason, are told together.
fn without_wire(ctx: &Ctx<'_>, level: Level, names: &[&str], parts: &[PartId]) -> Finding {
    let names: Vec<String> = names.iter().map(|&name| name.to_owned()).collect();
    let (what, verb) = if names.len() == 1 { ("terminal", "has") } else { ("terminals", "have") };
    let labels = ctx.part_names(parts.iter().copied());
    RULE.says(WP01::says_terminals(&labels, what, list(&names), verb))
        .level(level)
        .advise(WP01::advice_terminals())
        .parts(parts.iter().copied())
        .source(Common::practice())
}
