//! A wire whose colour says one thing in BS AU 7 while the wire does another.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::FuseFamily;
use loomwright_circuit::{ColourCode, Edit, WireColour, WireId};

use crate::ctx::Ctx;
use crate::feeds::Way;
use crate::fix::all;
use crate::jobs::{Job, job_at, jobs_of_colour};
use crate::messages::CO01;
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};
use crate::supplies::instead_of_supply;
use crate::unfused::by_kind;
use crate::wiring::LinkKind;
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "CO01",
    name: "colour-contradicts-job",
    title: "Misleading colour",
    level: Level::Advice,
    since: "0.1.0",
    help: include_str!("colour_contradicts_job.md"),
    needs: Needs::Drawing,
    check,
};

/// Battery cable is black or bare on either side, mm² (practice).
const BATTERY_CABLE: f64 = 9.6;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let code = ctx.car.vehicle().colours;
    if !matches!(code, ColourCode::BsAu7 | ColourCode::BsAu7a) {
        return;
    }
    let mut groups: BTreeMap<(WireColour, Job), Vec<WireId>> = BTreeMap::new();
    let mut lying_black: Vec<WireId> = Vec::new();
    let mut no_supply: BTreeMap<(WireColour, &'static str), Vec<WireId>> = BTreeMap::new();
    let unfused: BTreeSet<WireId> = by_kind(ctx).into_values().flatten().collect();
    for (id, ends) in ctx.after.wiring.wire_ends() {
        let Some(wire) = ctx.wire(id) else { continue };
        let Some(colour) = wire.colour else { continue };
        let settled = jobs_of_colour(colour);
        let is_cable = wire.size.is_some_and(|size| size.square_mm() >= BATTERY_CABLE);
        if settled.is_empty() || is_cable || is_on_trailer(ctx, ends) {
            continue;
        }
        match job_at(&ctx.after, &ctx.roles, id, ends) {
            Some(job) if !settled.contains(&job) => {
                if is_explained(ctx, &unfused, id, ends, (settled, job)) {
                    continue;
                }
                groups.entry((colour, job)).or_default().push(id);
            }
            None if settled == [Job::Earth] && is_live(ctx, ends) => lying_black.push(id),
            None if settled.iter().all(|job| job.is_supply()) => {
                if let Some(what) = instead_of_supply(ctx, ends) {
                    no_supply.entry((colour, what)).or_default().push(id);
                }
            }
            _ => {}
        }
    }
    let lies = groups.into_iter();
    out.findings
        .extend(lies.filter_map(|((colour, job), wires)| contradiction(ctx, colour, job, wires)));
    for ((colour, what), wires) in no_supply {
        out.push(no_supply_after_all(ctx, colour, what, wires));
    }
    if !lying_black.is_empty() {
        let names = ctx.wire_names(lying_black.iter().copied());
        out.push(
            RULE.says(CO01::says_black(&names))
                .advise(CO01::advice_black())
                .wires(lying_black)
                .source(CO01::source()),
        );
    }
}

fn contradiction(
    ctx: &Ctx<'_>,
    colour: WireColour,
    job: Job,
    wires: Vec<WireId>,
) -> Option<Finding> {
    let right = job.colour(ctx.car.vehicle().colours)?;
    let verb = if wires.len() == 1 { "is" } else { "are" };
    let (names, colour_job) = (ctx.wire_names(wires.iter().copied()), jobs_of_colour(colour)[0]);
    let says = if job.is_supply() && colour_job.is_of_lamps() {
        CO01::says_before_switch(names, verb, job.words(), colour.words(), colour_job.words())
    } else {
        CO01::says_other_job(names, verb, job.words(), colour.words(), colour_job.words())
    };
    let edit = recolour(ctx, &wires, right);
    Some(
        RULE.says(says)
            .advise(CO01::advice_other_job(right.words()))
            .wires(wires)
            .source(CO01::source())
            .fix(CO01::fix(right.words()), Trust::Safe, edit),
    )
}

fn no_supply_after_all(
    ctx: &Ctx<'_>,
    colour: WireColour,
    what: &str,
    wires: Vec<WireId>,
) -> Finding {
    let verb = if wires.len() == 1 { "is" } else { "are" };
    RULE.says(CO01::says_other_job(
        ctx.wire_names(wires.iter().copied()),
        verb,
        what,
        colour.words(),
        jobs_of_colour(colour)[0].words(),
    ))
    .advise(CO01::advice_no_supply())
    .wires(wires)
    .source(CO01::source())
}

/// Whether a fuse that is missing, or one for the whole car, is why the colour is not that of the job.
fn is_explained(
    ctx: &Ctx<'_>,
    unfused: &BTreeSet<WireId>,
    id: WireId,
    ends: [usize; 2],
    (settled, job): (&[Job], Job),
) -> bool {
    if settled.contains(&Job::LiveFused) && job == Job::KeyLiveFused && is_of_hazard(ctx, ends) {
        return true;
    }
    let meant = |fused, bare| settled.contains(&fused) && job == bare;
    if meant(Job::LiveFused, Job::Live) || meant(Job::KeyLiveFused, Job::KeyLive) {
        return unfused.contains(&id);
    }
    let is_fused_too = meant(Job::Live, Job::LiveFused) || meant(Job::KeyLive, Job::KeyLiveFused);
    let ways = ends.into_iter().flat_map(|end| ctx.after.live.regular(end));
    is_fused_too
        && ways.into_iter().all(|way| {
            let mut fuses = way.fuses.iter();
            fuses.clone().all(|&fuse| is_link(ctx, fuse))
                || fuses.any(|&fuse| is_main(ctx, fuse))
                || (job == Job::KeyLiveFused
                    && fuses.all(|&fuse| is_before_the_key(ctx, way, fuse)))
        })
}

/// Whether it leads to a hazard switch: fed with the key it has the right colour and the wrong feed, which another rule
/// tells.
fn is_of_hazard(ctx: &Ctx<'_>, ends: [usize; 2]) -> bool {
    let controls = ctx.network.controls();
    let works: BTreeSet<_> = ctx
        .roles
        .controls(ControlRole::Hazard)
        .flat_map(|control| controls[control].works.iter().map(|(part, _)| *part))
        .collect();
    let mut parts = ends.into_iter().filter_map(|end| ctx.after.wiring.terminal(end));
    parts.any(|(part, _)| works.contains(&part))
}

/// Whether a fuse stands between the battery and the key: what the key feeds keeps the colour that it has without.
fn is_before_the_key(ctx: &Ctx<'_>, way: &Way, fuse: usize) -> bool {
    let links = ctx.after.live.links_of(way);
    let at = |wanted: &dyn Fn(&usize) -> bool| links.iter().position(wanted);
    let is_key = |link: &usize| {
        matches!(ctx.after.wiring.links[*link].kind, LinkKind::Contact { control, .. }
            if ctx.roles.controls(ControlRole::Ignition).any(|key| key == control))
    };
    let (fuse, key) = (at(&|link| *link == fuse), at(&is_key));
    matches!((fuse, key), (Some(fuse), Some(key)) if fuse < key)
}

/// Whether it is a fusible link: feeds behind one keep the colours that they have without.
fn is_link(ctx: &Ctx<'_>, fuse: usize) -> bool {
    ctx.fuse_rating(fuse).is_some_and(|rating| rating.family == FuseFamily::Link)
}

/// Whether a fuse stands before others, or before the key or the lighting switch: then the feeds behind it keep the
/// colours that they have without.
fn is_main(ctx: &Ctx<'_>, fuse: usize) -> bool {
    let side = &ctx.after;
    let heads = [ControlRole::Ignition, ControlRole::Lighting];
    let is_head = |control: usize| {
        heads.into_iter().any(|role| ctx.roles.controls(role).any(|known| known == control))
    };
    let fed = side.wiring.loads.iter().filter_map(|load| side.fed_end(load));
    fed.flat_map(|(end, _)| side.live.regular(end)).any(|way| {
        let links = side.live.links_of(way);
        let at = links.iter().position(|link| *link == fuse);
        at.is_some_and(|at| {
            links[at + 1..].iter().any(|&link| match side.wiring.links[link].kind {
                LinkKind::Fuse { .. } => true,
                LinkKind::Contact { control, .. } => is_head(control),
                _ => false,
            })
        })
    })
}

/// Trailer wiring has a code of its own (ISO 1724).
fn is_on_trailer(ctx: &Ctx<'_>, ends: [usize; 2]) -> bool {
    let mut parts = ends.into_iter().filter_map(|end| ctx.after.wiring.terminal(end));
    parts.any(|(part, _)| ctx.is_of_trailer(part))
}

fn is_live(ctx: &Ctx<'_>, ends: [usize; 2]) -> bool {
    ends.iter().any(|&end| ctx.after.live.reach(end) && !ctx.after.hard_earth[end])
}

/// Only for wires still to be run: one that is there has the colour it has. In a plug, leads are told apart by colours
/// that somebody chose together.
fn recolour(ctx: &Ctx<'_>, wires: &[WireId], right: WireColour) -> Result<Edit, String> {
    let is_in_plug = |wire: &WireId| {
        let mut parts = ctx
            .wire(*wire)
            .into_iter()
            .flat_map(|wire| wire.ends())
            .filter_map(|end| ctx.car.part(end.at.part()?));
        parts.any(|part| part.type_name.starts_with("connector-"))
    };
    if !wires.iter().all(|wire| ctx.is_new(*wire)) {
        return Err(CO01::stays().to_owned());
    }
    if wires.iter().any(is_in_plug) {
        return Err(CO01::in_plug().to_owned());
    }
    let edits = wires.iter().filter_map(|&id| {
        let mut wire = ctx.wire(id)?.clone();
        wire.colour = Some(right);
        Some(Edit::SetWire(id, wire))
    });
    all(edits.collect()).ok_or_else(|| CO01::stays().to_owned())
}
