//! A wire whose colour says one thing in BS AU 7 while the wire does another.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::FuseFamily;
use loomwright_circuit::{ColourCode, Edit, WireColour, WireId};

use crate::ctx::Ctx;
use crate::fix::all;
use crate::jobs::{Job, job_at, jobs_of_colour};
use crate::rule::{Needs, Out, Rule};
use crate::unfused::by_kind;
use crate::{Level, Trust};

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
            _ => {}
        }
    }
    for ((colour, job), wires) in groups {
        let Some(right) = job.colour(code) else { continue };
        let verb = if wires.len() == 1 { "is" } else { "are" };
        let says = format!(
            "{} {verb} {}; {} stands for {}",
            ctx.wire_names(wires.iter().copied()),
            job.words(),
            colour.words(),
            jobs_of_colour(colour)[0].words(),
        );
        let edit = recolour(ctx, &wires, right);
        out.push(
            RULE.says(says)
                .advise(format!("Use {}, or sleeve and label both ends", right.words()))
                .wires(wires)
                .source("BS AU 7a:1983")
                .fix(format!("Take {} instead", right.words()), Trust::Safe, edit),
        );
    }
    if !lying_black.is_empty() {
        let names = ctx.wire_names(lying_black.iter().copied());
        out.push(
            RULE.says(format!("{names} can be live; black stands for an earth lead"))
                .advise("Use the colour of the feed it comes from, or sleeve and label both ends")
                .wires(lying_black)
                .source("BS AU 7a:1983"),
        );
    }
}

/// Whether a fuse that is missing, or one for the whole car, is why the colour is not that of the job.
fn is_explained(
    ctx: &Ctx<'_>,
    unfused: &BTreeSet<WireId>,
    id: WireId,
    ends: [usize; 2],
    (settled, job): (&[Job], Job),
) -> bool {
    let meant = |fused, bare| settled.contains(&fused) && job == bare;
    if meant(Job::LiveFused, Job::Live) || meant(Job::KeyLiveFused, Job::KeyLive) {
        return unfused.contains(&id);
    }
    let is_fused_too = meant(Job::Live, Job::LiveFused) || meant(Job::KeyLive, Job::KeyLiveFused);
    let ways = ends.into_iter().flat_map(|end| ctx.after.live.regular(end));
    is_fused_too
        && ways.into_iter().all(|way| {
            let mut fuses = way.fuses.iter();
            fuses.clone().all(|&fuse| is_link(ctx, fuse)) || fuses.any(|&fuse| is_main(ctx, fuse))
        })
}

/// Whether it is a fusible link: feeds behind one keep the colours that they have without.
fn is_link(ctx: &Ctx<'_>, fuse: usize) -> bool {
    ctx.fuse_rating(fuse).is_some_and(|rating| rating.family == FuseFamily::Link)
}

/// Whether most consumers hang on one fuse: then the feeds behind it keep the colours that they have without.
fn is_main(ctx: &Ctx<'_>, fuse: usize) -> bool {
    let side = &ctx.after;
    let fed = side.wiring.loads.iter().filter_map(|load| side.fed_end(load));
    let hangs = |(end, _)| side.live.regular(end).all(|way| way.fuses.contains(&fuse));
    let (mut n_fed, mut n_hanging) = (0, 0);
    for hangs in fed.map(hangs) {
        n_fed += 1;
        n_hanging += usize::from(hangs);
    }
    n_fed > 1 && 2 * n_hanging > n_fed
}

/// Trailer wiring has a code of its own (ISO 1724).
fn is_on_trailer(ctx: &Ctx<'_>, ends: [usize; 2]) -> bool {
    ends.into_iter().filter_map(|end| ctx.after.wiring.terminal(end)).any(|(part, _)| {
        ctx.car.part(part).is_some_and(|part| part.label.to_lowercase().contains("trailer"))
    })
}

fn is_live(ctx: &Ctx<'_>, ends: [usize; 2]) -> bool {
    ends.iter().any(|&end| ctx.after.live.reach(end) && !ctx.after.hard_earth[end])
}

/// Only for wires still to be run: one that is there has the colour it has.
fn recolour(ctx: &Ctx<'_>, wires: &[WireId], right: WireColour) -> Option<Edit> {
    if !wires.iter().all(|wire| ctx.is_new(*wire)) {
        return None;
    }
    let edits = wires.iter().filter_map(|&id| {
        let mut wire = ctx.wire(id)?.clone();
        wire.colour = Some(right);
        Some(Edit::SetWire(id, wire))
    });
    all(edits.collect())
}
