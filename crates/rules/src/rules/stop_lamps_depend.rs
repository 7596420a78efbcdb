//! Stop lamps that follow something else than the brake.

use std::collections::BTreeSet;

use loomwright_electrics::Visit;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::LI04;
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "LI04",
    name: "stop-lamps-depend",
    title: "Stop lamps depend",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("stop_lamps_depend.md"),
    needs: Needs::States,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let stops = ctx.with_role(Role::Stop);
    if stops.is_empty() || !ctx.has_control(ControlRole::Brake) {
        return;
    }
    let visits: Vec<(usize, &Visit)> = ctx.lasting_but(ControlRole::Brake).collect();
    unasked(ctx, &stops, &visits, out);
    missing(ctx, &stops, &visits, out);
}

/// Lit with the pedal up.
fn unasked(ctx: &Ctx<'_>, stops: &[usize], visits: &[(usize, &Visit)], out: &mut Out) {
    // Where indicators share the filament, it flashes; that is no brake light.
    let shines =
        |visit: &Visit, load: usize| ctx.is_lit(visit, load) && !ctx.is_flashing(visit, load);
    let shows = visits.iter().find(|(_, visit)| {
        ctx.is_at_rest(visit, ControlRole::Brake) && stops.iter().any(|&load| shines(visit, load))
    });
    let Some(&(visit_idx, visit)) = shows else { return };
    let lamps = ctx.parts_of(stops.iter().copied().filter(|&load| shines(visit, load)));
    let verb = if lamps.len() == 1 { "is" } else { "are" };
    out.push(
        RULE.says(LI04::says_brake_up(ctx.part_names(lamps.iter().copied()), verb))
            .advise(LI04::advice_brake_up())
            .parts(lamps)
            .shown(ctx.shown(visit_idx))
            .source(LI04::source_brake_up()),
    );
}

/// Dark with the pedal down and the key on, while some other switch decides.
fn missing(ctx: &Ctx<'_>, stops: &[usize], visits: &[(usize, &Visit)], out: &mut Out) {
    let is_asked = |visit_idx: usize, visit: &Visit| {
        !ctx.is_at_rest(visit, ControlRole::Brake)
            && (!ctx.has_control(ControlRole::Ignition)
                || !ctx.is_at_rest(visit, ControlRole::Ignition))
            && !ctx.is_cranking(visit_idx)
    };
    let lit = |visit: &Visit| stops.iter().any(|&load| ctx.is_lit(visit, load));
    let asked: Vec<&(usize, &Visit)> =
        visits.iter().filter(|(idx, visit)| is_asked(*idx, visit)).collect();
    let Some((visit_idx, dark)) = asked.iter().find(|(_, visit)| !lit(visit)) else { return };
    let Some((_, bright)) = asked.iter().find(|(_, visit)| lit(visit)) else { return };
    let Some(control) = deciding(ctx, &asked, &lit) else { return };
    let works: BTreeSet<_> =
        ctx.network.controls()[control].works.iter().map(|(part, _)| *part).collect();
    let at = |visit: &Visit| ctx.position(visit, control).unwrap_or_default().to_owned();
    let (name, off, on) = (&ctx.network.controls()[control].name, at(dark), at(bright));
    let verb = if stops.len() == 1 { "stays" } else { "stay" };
    out.push(
        RULE.says(LI04::says_brake_down(
            ctx.part_names(ctx.parts_of(stops.iter().copied())),
            verb,
            name,
            &off,
            &on,
        ))
        .advise(LI04::advice_brake_down())
        .parts(ctx.parts_of(stops.iter().copied()))
        .parts(works)
        .shown(ctx.shown(*visit_idx))
        .source(LI04::source_brake_down()),
    );
}

/// The one control whose position goes with whether they are lit. That an isolator cuts everything off is its job.
fn deciding(
    ctx: &Ctx<'_>,
    asked: &[&(usize, &Visit)],
    lit: &impl Fn(&Visit) -> bool,
) -> Option<usize> {
    let may_cut = |control: usize| {
        let works = &ctx.network.controls()[control].works;
        let mut types = works.iter().filter_map(|(part, _)| ctx.car.part(*part));
        types.any(|part| {
            part.type_name.starts_with("isolator") || part.type_name == "inertia-switch"
        })
    };
    let of_role = |role| ctx.roles.controls(role).collect::<Vec<_>>();
    let known = [of_role(ControlRole::Brake), of_role(ControlRole::Ignition)].concat();
    (0..ctx.network.controls().len())
        .filter(|control| !known.contains(control) && !may_cut(*control))
        .find(|&control| {
            let positions = |wanted: bool| -> BTreeSet<&str> {
                let such = asked.iter().filter(|(_, visit)| lit(visit) == wanted);
                such.filter_map(|(_, visit)| ctx.position(visit, control)).collect()
            };
            let (bright, dark) = (positions(true), positions(false));
            !bright.is_empty() && !dark.is_empty() && bright.is_disjoint(&dark)
        })
}
