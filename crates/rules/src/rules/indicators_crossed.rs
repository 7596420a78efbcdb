//! An indicator that flashes while the stalk is put to the other side.

use std::collections::BTreeSet;

use loomwright_circuit::{Edit, PartId};

use crate::ctx::Ctx;
use crate::fix::{all, moved};
use crate::messages::IN10;
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{Mask, Spot};
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
    let met = [0, 1].into_iter().find_map(|side| {
        let crossed = crossed(ctx, sides[side].0, &lamps[side], &lamps[1 - side])?;
        Some((sides[side].0, crossed))
    });
    let Some((side, Crossed { visit, wrong, dark })) = met else { return };
    let [wrong_parts, dark_parts] =
        [&wrong, &dark].map(|loads| ctx.parts_of(loads.iter().copied()));
    let names = |parts: &BTreeSet<PartId>| ctx.part_names(parts.iter().copied());
    let (verb, stay) = (
        if wrong_parts.len() == 1 { IN10::flashes() } else { IN10::flash() },
        if dark_parts.len() == 1 { IN10::stays() } else { IN10::stay() },
    );
    let says = IN10::says(side, names(&wrong_parts), verb, names(&dark_parts), stay);
    let works = ctx.roles.controls(ControlRole::Indicators);
    let works = works.flat_map(|control| ctx.network.controls()[control].works.iter());
    out.push(
        RULE.says(says)
            .advise(IN10::advice())
            .parts(wrong_parts)
            .parts(dark_parts)
            .parts(works.map(|(part, _)| *part))
            .shown(ctx.shown(visit))
            .source(IN10::source())
            .fix(IN10::fix(), Trust::Ask, changed_over(ctx, &wrong, &dark)),
    );
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

/// The leads that feed one lamp and another, changed over; nothing where more than one lamp is meant, or one of them has
/// more than one lead.
fn changed_over(ctx: &Ctx<'_>, wrong: &[usize], dark: &[usize]) -> Option<Edit> {
    let (&[wrong], &[dark]) = (wrong, dark) else { return None };
    let fed = |load: usize| ctx.after.fed_end(&ctx.after.wiring.loads[load]).map(|(fed, _)| fed);
    let (here, there) = (fed(wrong)?, fed(dark)?);
    let to_other = |from: Spot, to: Spot| {
        let mut wires = ctx.after.wiring.wires_at(from);
        let (wire, None) = (wires.next()?, wires.next()) else { return None };
        let mut row = ctx.wire(wire)?.clone();
        let (from, to) = (ctx.anchor(from)?, ctx.anchor(to)?);
        let end = [&mut row.from, &mut row.to].into_iter().find(|end| end.at == from)?;
        end.at = to;
        // Corners drawn by hand led to the other lamp.
        row.route.clear();
        Some(moved(wire, row))
    };
    all(vec![to_other(here, there)?, to_other(there, here)?])
}
