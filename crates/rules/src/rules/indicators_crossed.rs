//! An indicator that flashes while the stalk is put to the other side.

use std::collections::BTreeSet;

use loomwright_circuit::{Edit, PartId, WireId};

use crate::ctx::Ctx;
use crate::fix::{all, moved};
use crate::messages::IN10;
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, Mask, Spot};
use crate::{Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "IN10",
    name: "indicators-crossed",
    title: "Indicator of the other side",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("indicators_crossed.md"),
    needs: Needs::States,
    check,
};

/// What a stalk put to one side does to the lamps of both.
struct Crossed {
    visit: usize,
    /// Lamps of the other side that flash.
    wrong: Vec<usize>,
    /// Lamps of this side that stay dark.
    dark: Vec<usize>,
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let sides = [("left", Role::LeftIndicator), ("right", Role::RightIndicator)];
    let lamps = sides.map(|(_, role)| ctx.with_role(role));
    let met = [0, 1].map(|side| crossed(ctx, sides[side].0, &lamps[side], &lamps[1 - side]));
    let n_lamps = lamps.iter().map(Vec::len).sum::<usize>();
    let all_of_it = |met: &Option<Crossed>| {
        met.as_ref().is_some_and(|met| met.wrong.len() + met.dark.len() == n_lamps)
    };
    // Where one side alone is wrong as a whole, something else is joined amiss.
    let is_whole = met.iter().all(all_of_it);
    let mut met = sides.iter().zip(met).filter_map(|((side, _), met)| Some((*side, met?)));
    let Some((side, Crossed { visit, wrong, dark })) = met.next() else { return };
    let [wrong_parts, dark_parts] =
        [&wrong, &dark].map(|loads| ctx.parts_of(loads.iter().copied()));
    let names = |parts: &BTreeSet<PartId>| ctx.part_names(parts.iter().copied());
    let (verb, stay) = (
        if wrong_parts.len() == 1 { IN10::flashes() } else { IN10::flash() },
        if dark_parts.len() == 1 { IN10::stays() } else { IN10::stay() },
    );
    let says = IN10::says(side, names(&wrong_parts), verb, names(&dark_parts), stay);
    let ends = if is_whole { stalk_ends(ctx) } else { None };
    let at_stalk = ends.is_some();
    let ends = ends.or_else(|| lamp_ends(ctx, &wrong, &dark));
    let wires: Vec<WireId> =
        ends.into_iter().flatten().flat_map(|end| ctx.after.wiring.wires_at(end)).collect();
    let where_at = ends.filter(|_| !wires.is_empty()).map(|ends| place(ctx, ends, at_stalk));
    let says = match where_at {
        Some(place) => IN10::crossed(says, ctx.wire_names(wires.iter().copied()), place),
        None => says,
    };
    let works = ctx.roles.controls(ControlRole::Indicators);
    let works = works.flat_map(|control| ctx.network.controls()[control].works.iter());
    out.push(
        RULE.says(says)
            .advise(if at_stalk { IN10::advice_stalk() } else { IN10::advice() })
            .parts(wrong_parts)
            .parts(dark_parts)
            .parts(works.map(|(part, _)| *part))
            .wires(wires)
            .shown(ctx.shown(visit))
            .source(IN10::source())
            .fix(
                if at_stalk { IN10::fix_stalk() } else { IN10::fix() },
                Trust::Ask,
                changed_over(ctx, ends, at_stalk),
            ),
    );
}

/// Where the leads are crossed, in words.
fn place(ctx: &Ctx<'_>, ends: [Spot; 2], at_stalk: bool) -> String {
    let [one, other] = ends.map(|end| ctx.after.wiring.terminal(end));
    match (one, other) {
        (Some((part, left)), Some((_, right))) if at_stalk => {
            IN10::at_stalk(left, right, ctx.part_name(part))
        }
        _ => IN10::at_lamps().to_owned(),
    }
}

/// The two terminals of the stalk that feed the one side and the other, where but one switch works the indicators.
fn stalk_ends(ctx: &Ctx<'_>) -> Option<[Spot; 2]> {
    let wiring = &ctx.after.wiring;
    let mut controls = ctx.roles.controls(ControlRole::Indicators);
    let (wanted, None) = (controls.next()?, controls.next()) else { return None };
    let positions = &ctx.network.controls().get(wanted)?.positions;
    let reached = |side: &str| -> Option<BTreeSet<Spot>> {
        let at = positions.iter().position(|it| it.name.to_lowercase().contains(side))?;
        let joins = wiring.links.iter().filter(|link| {
            matches!(link.kind, LinkKind::Contact { control, positions, .. }
                if control == wanted && positions >> at & 1 == 1)
        });
        Some(joins.flat_map(|link| link.ends).collect())
    };
    let (left, right) = (reached("left")?, reached("right")?);
    let only = |one: &BTreeSet<Spot>, other: &BTreeSet<Spot>| {
        let mut rest = one.difference(other).copied();
        let (end, None) = (rest.next()?, rest.next()) else { return None };
        Some(end)
    };
    Some([only(&left, &right)?, only(&right, &left)?])
}

/// The terminals that feed one lamp and another; nothing where more than one of a side is meant.
fn lamp_ends(ctx: &Ctx<'_>, wrong: &[usize], dark: &[usize]) -> Option<[Spot; 2]> {
    let (&[wrong], &[dark]) = (wrong, dark) else { return None };
    let fed = |load: usize| ctx.after.fed_end(&ctx.after.wiring.loads[load]).map(|(fed, _)| fed);
    Some([fed(wrong)?, fed(dark)?])
}

/// A setting that lasts, with hazard warning off and the stalk put to a side, in which a lamp of the other side flashes in
/// the place of one of this side. Where all flash, left and right are joined, which is told as that.
fn crossed(ctx: &Ctx<'_>, side: &str, own: &[usize], other: &[usize]) -> Option<Crossed> {
    let to_side: Vec<(usize, Mask)> = ctx
        .roles
        .controls(ControlRole::Indicators)
        .filter_map(|control| {
            let mut positions = ctx.network.controls().get(control)?.positions.iter();
            let at = positions.position(|position| position.name.to_lowercase().contains(side))?;
            Some((control, 1 << at))
        })
        .collect();
    ctx.lasting().find_map(|(visit, met)| {
        let is_put = to_side.iter().any(|&(control, mask)| ctx.stands(&met.settled, control, mask));
        if !is_put || !ctx.is_at_rest(met, ControlRole::Hazard) {
            return None;
        }
        let of = |loads: &[usize], is_lit: bool| -> Vec<usize> {
            loads.iter().copied().filter(|&load| ctx.is_flashing(met, load) == is_lit).collect()
        };
        let (wrong, dark) = (of(other, true), of(own, false));
        (!wrong.is_empty() && !dark.is_empty()).then_some(Crossed { visit, wrong, dark })
    })
}

/// The leads at one terminal and another changed over, or why they are not.
fn changed_over(ctx: &Ctx<'_>, ends: Option<[Spot; 2]>, at_stalk: bool) -> Result<Edit, String> {
    let Some([here, there]) = ends else { return Err(IN10::several().to_owned()) };
    let wiring = &ctx.after.wiring;
    let mut edits = Vec::new();
    for (from, to) in [(here, there), (there, here)] {
        let wires: Vec<WireId> = wiring.wires_at(from).collect();
        // What else hangs on the terminal of a lamp may belong there.
        if wires.is_empty() || (!at_stalk && wires.len() > 1) {
            return Err(IN10::not_one_lead(ctx.terminal_name(from)));
        }
        edits.extend(wires.into_iter().filter_map(|wire| to_other(ctx, wire, from, to)));
    }
    all(edits).ok_or_else(|| IN10::several().to_owned())
}

fn to_other(ctx: &Ctx<'_>, wire: WireId, from: Spot, to: Spot) -> Option<Edit> {
    let mut row = ctx.wire(wire)?.clone();
    let (from, to) = (ctx.anchor(from)?, ctx.anchor(to)?);
    let end = [&mut row.from, &mut row.to].into_iter().find(|end| end.at == from)?;
    end.at = to;
    // Corners drawn by hand led to the other terminal.
    row.route.clear();
    Some(moved(wire, row))
}
