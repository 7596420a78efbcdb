//! A wire that ends in the air, and terminals that need a wire and have none.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Name, PartId, PartType};

use crate::Level;
use crate::ctx::Ctx;
use crate::rule::{Needs, Out, Rule};
use crate::rules::load_without_earth::unearthed;
use crate::wiring::Spot;
use crate::words::list;

pub(super) const RULE: Rule = Rule {
    code: "WP01",
    name: "end-left-open",
    title: "End left open",
    level: Level::Fault,
    since: "0.1.0",
    help: include_str!("end_left_open.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    loose_wires(ctx, out);
    blind_joints(ctx, out);
    let spoken_for: BTreeSet<Spot> = unearthed(ctx).into_iter().map(|(_, end)| end).collect();
    let mut alone = Vec::new();
    for (&id, part) in ctx.car.parts() {
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        if !ctx.after.wiring.version.has(part.standing) || is_only_a_joint(part_type) {
            continue;
        }
        let wired = |name: &str| is_wired(ctx, id, name);
        if part_type.terminals.iter().any(|terminal| wired(&terminal.name)) {
            open_terminals(ctx, id, part_type, &spoken_for, out);
        } else {
            alone.push(id);
        }
    }
    if !alone.is_empty() {
        let verb = if alone.len() == 1 { "is" } else { "are" };
        out.push(
            RULE.says(format!(
                "{} {verb} joined to nothing",
                ctx.part_names(alone.iter().copied())
            ))
            .advise("Wire it, or take it off the drawing")
            .parts(alone)
            .source("practice"),
        );
    }
}

fn is_wired(ctx: &Ctx<'_>, part: PartId, terminal: &str) -> bool {
    let wiring = &ctx.after.wiring;
    wiring.spot(part, terminal).is_some_and(|spot| wiring.wires_at(spot).next().is_some())
}

/// Joints and earth points: one terminal that does nothing by itself.
fn is_only_a_joint(part_type: &PartType) -> bool {
    part_type.terminals.len() == 1
        && part_type
            .elements
            .iter()
            .all(|element| matches!(element, Element::Joined { .. } | Element::Earth { .. }))
}

fn loose_wires(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    for (id, ends) in side.wiring.wire_ends() {
        let Some(wire) = ctx.wire(id) else { continue };
        if wire.ends().iter().all(|end| matches!(end.at, Anchor::Terminal { .. })) {
            continue;
        }
        let is_live = ends.iter().any(|&end| side.live.reach(end) && !side.hard_earth[end]);
        let what = if is_live { "ends in the air and can be live" } else { "ends in the air" };
        out.push(
            RULE.says(format!("{} {what}", ctx.wire_name(id)))
                .advise("Join it, or cut it back, insulate the end and label it")
                .wires([id])
                .source("practice"),
        );
    }
}

/// Joints at which a single wire ends.
fn blind_joints(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    for (&id, part) in ctx.car.parts() {
        if !wiring.version.has(part.standing) || part.type_name != "joint" {
            continue;
        }
        let Some(spot) = wiring.spot(id, "1") else { continue };
        let wires: Vec<_> = wiring.wires_at(spot).collect();
        if let [wire] = wires.as_slice() {
            out.push(
                RULE.says(format!(
                    "{} ends at {}, where nothing goes on",
                    ctx.wire_name(*wire),
                    part.label
                ))
                .advise("Join the wire that should go on from there, or take the joint away")
                .parts([id])
                .wires([*wire])
                .source("practice"),
            );
        }
    }
}

fn open_terminals(
    ctx: &Ctx<'_>,
    id: PartId,
    part_type: &PartType,
    spoken_for: &BTreeSet<Spot>,
    out: &mut Out,
) {
    let wired = |name: &Name| is_wired(ctx, id, name);
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
        if is_blind_way || (is_half_wired && !terminal.may_stay_empty) {
            dead.push(name);
        } else if !terminal.may_stay_empty
            && has_named_contacts(&part_type.name)
            && at.clone().any(|element| is_contact(element, &wired))
        {
            spare.push(name);
        }
    }
    for (names, level) in [(dead, Level::Fault), (spare, Level::Advice)] {
        if !names.is_empty() {
            let names: Vec<String> = names.into_iter().map(str::to_owned).collect();
            let (what, verb) =
                if names.len() == 1 { ("terminal", "has") } else { ("terminals", "have") };
            let label = ctx.part_name(id);
            out.push(
                RULE.says(format!("{label}: {what} {} {verb} no wire", list(&names)))
                    .level(level)
                    .advise("Join what belongs there")
                    .parts([id])
                    .source("practice"),
            );
        }
    }
}

/// Lighting, dip and such switches have a use for every terminal; a plain switch or relay may have one to spare.
fn has_named_contacts(type_name: &str) -> bool {
    !type_name.starts_with("switch") && !type_name.starts_with("relay")
}

/// Terminals of an element; for a switch or relay its contacts too.
fn ends_of(element: &Element) -> Vec<&str> {
    match element {
        Element::Battery { plus, minus, .. } | Element::Generator { plus, minus, .. } => {
            vec![plus, minus]
        }
        Element::Joined { terminals, .. } => terminals.iter().map(String::as_str).collect(),
        Element::Earth { terminal, .. } => vec![terminal],
        Element::Resistor { between, .. }
        | Element::Filament { between, .. }
        | Element::Fuse { between, .. }
        | Element::Load { between, .. }
        | Element::Meter { between, .. } => between.iter().map(String::as_str).collect(),
        Element::Led { anode, cathode, .. } | Element::Diode { anode, cathode, .. } => {
            vec![anode, cathode]
        }
        Element::Contacts { joins, .. } => {
            joins.values().flatten().flatten().map(String::as_str).collect()
        }
        Element::Relay { coil, at_rest, pulled_in, .. } => {
            let contacts = at_rest.iter().chain(pulled_in).flatten();
            coil.iter().chain(contacts).map(String::as_str).collect()
        }
        Element::Flasher { feed, lamps, earth, .. } => [Some(feed), Some(lamps), earth.as_ref()]
            .into_iter()
            .flatten()
            .map(String::as_str)
            .collect(),
    }
}

/// Whether an element cannot work because this terminal has no wire while others of it have.
fn is_half_wired(element: &Element, name: &str, wired: &dyn Fn(&Name) -> bool) -> bool {
    match element {
        Element::Contacts { joins, .. } => {
            let groups = joins.values().flatten();
            !groups.clone().any(|group| group.iter().filter(|name| wired(name)).count() > 1)
        }
        Element::Relay { coil, at_rest, pulled_in, .. } => {
            if coil.iter().any(|end| end == name) {
                return true;
            }
            let mut groups = at_rest.iter().chain(pulled_in);
            !groups.any(|group| group.iter().filter(|name| wired(name)).count() > 1)
        }
        Element::Flasher { .. } => true,
        _ => ends_of(element).iter().any(|end| *end != name && wired(&(*end).to_owned())),
    }
}

/// Whether a switch or relay does some work already, so that another contact of it is spare or forgotten.
fn is_contact(element: &Element, wired: &dyn Fn(&Name) -> bool) -> bool {
    matches!(element, Element::Contacts { .. } | Element::Relay { .. })
        && ends_of(element).iter().any(|name| wired(&(*name).to_owned()))
}
