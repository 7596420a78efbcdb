//! Hazard warning that depends on the key or the stalk.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::{Element, Figure};
use loomwright_circuit::{PartId, WireId};
use loomwright_electrics::{PartState, Setting, Settled};
use loomwright_units::Watts;

use crate::ctx::Ctx;
use crate::feeds::Way;
use crate::messages::{Common, IN02};
use crate::reach::Shown;
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "IN02",
    name: "hazard-warning-stops",
    title: "Hazard warning stops",
    level: Level::Fault,
    since: "0.1.0",
    help: include_str!("hazard_warning_stops.md"),
    needs: Needs::States,
    check,
};

const SOURCE: &str = IN02::source_law();

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let lamps: BTreeSet<usize> = ctx.roles.indicators().collect();
    if lamps.is_empty() || ctx.after.wiring.supplies.is_empty() {
        return;
    }
    for hazard in ctx.roles.controls(ControlRole::Hazard) {
        if ctx.is_wired_control(hazard) {
            settings(ctx, hazard, &lamps, out);
        }
    }
}

/// Hazard warning on, with key and stalk in each position: all indicators must flash.
fn settings(ctx: &Ctx<'_>, hazard: usize, lamps: &BTreeSet<usize>, out: &mut Out) {
    let rest = ctx.network.at_rest();
    let key: Vec<usize> = ctx.roles.controls(ControlRole::Ignition).collect();
    let stalk: Vec<usize> = ctx.roles.controls(ControlRole::Indicators).collect();
    let n_stalk = stalk.iter().map(|&idx| ctx.network.controls()[idx].positions.len()).max();
    // A lamp that flashes neither with the stalk nor with hazard warning is amiss in itself.
    let mut silent = amiss(ctx, hazard, lamps);
    // Lamps that an overloaded unit keeps lit are told; that they go out is another trouble.
    let mut told_lit: BTreeSet<usize> = BTreeSet::new();
    for key_at in if key.is_empty() { vec![0] } else { vec![1, 0] } {
        for stalk_at in 0..n_stalk.unwrap_or(1) {
            let mut setting = rest.state.setting.clone();
            put(ctx, &mut setting, &key, key_at);
            put(ctx, &mut setting, &stalk, stalk_at);
            let before = ctx.network.moved(&rest.state, &setting);
            put(ctx, &mut setting, &[hazard], 1);
            let settled = ctx.network.moved(&before.state, &setting);
            let does_as_told = |lamp: &usize| {
                flashes(ctx, &settled, *lamp)
                    || told_lit.contains(lamp) && is_lit(ctx, &settled, *lamp)
            };
            let mut dark: BTreeSet<usize> =
                lamps.iter().copied().filter(|lamp| !does_as_told(lamp)).collect();
            if dark.is_subset(&silent) {
                continue;
            }
            let part_of = |lamp: &usize| ctx.after.wiring.loads[*lamp].part;
            let lit: BTreeSet<usize> =
                dark.iter().copied().filter(|lamp| is_lit(ctx, &settled, *lamp)).collect();
            if let Some(unit) = overloaded(ctx, &settled).filter(|_| !lit.is_subset(&silent)) {
                let stay: Vec<PartId> = lit.iter().map(part_of).collect();
                out.push(stays_lit(ctx, &stay, unit, &setting));
                dark.retain(|lamp| !lit.contains(lamp));
                told_lit.extend(lit);
                // What stays dark under it is amiss for a reason of its own.
                if dark.is_subset(&silent) {
                    continue;
                }
            }
            // All that are dark, those told before too: what fails for another reason does so here as well.
            let parts: Vec<PartId> = dark.iter().map(part_of).collect();
            let where_at = match (key_at, stalk_at) {
                (0, 0) if !key.is_empty() => IN02::ignition_off(),
                (_, 0) => IN02::ignition_on(),
                _ => IN02::stalk_over(),
            };
            let names = ctx.part_names(parts.iter().copied());
            let does = match (dark.is_disjoint(&told_lit), parts.len()) {
                (true, 1) => IN02::does_not_flash(),
                (true, _) => IN02::do_not_flash(),
                (false, 1) => IN02::goes_out(),
                (false, _) => IN02::go_out(),
            };
            out.push(
                RULE.says(IN02::says_dark(&names, does, where_at))
                    .advise(IN02::advice_dark())
                    .parts(parts)
                    .parts(switches(ctx, hazard))
                    .wires(if key_at == 0 { fed_by_key(ctx, hazard, &key) } else { Vec::new() })
                    .shown(shown(ctx, &setting))
                    .source(SOURCE),
            );
            silent.extend(dark);
        }
    }
}

/// The switch that works hazard warning: where to look.
fn switches(ctx: &Ctx<'_>, hazard: usize) -> Vec<PartId> {
    ctx.network.controls()[hazard].works.iter().map(|(part, _)| *part).collect()
}

/// The leads to its switch that are live with the key only: what is to be fed otherwise.
fn fed_by_key(ctx: &Ctx<'_>, hazard: usize, key: &[usize]) -> Vec<WireId> {
    let switches = switches(ctx, hazard);
    let is_at_switch = |end: usize| {
        ctx.after.wiring.terminal(end).is_some_and(|(part, _)| switches.contains(&part))
    };
    let is_key = |(control, _): &(usize, _)| key.contains(control);
    let needs_key = |way: &Way| way.needs.0.iter().any(is_key);
    let needs_only_key = |way: &Way| needs_key(way) && way.needs.0.iter().all(is_key);
    // What is live by the key is so by other ways, too, that lead there through switches.
    let is_fed_so = |ends: [usize; 2]| {
        let ways = || ends.into_iter().flat_map(|end| ctx.after.live.regular(end));
        ends.into_iter().any(is_at_switch) && ways().any(needs_only_key) && ways().all(needs_key)
    };
    ctx.after.wiring.wire_ends().filter(|(_, ends)| is_fed_so(*ends)).map(|(id, _)| id).collect()
}

/// A flasher unit that stays closed under its lamps, with the power that it is made for, W.
fn overloaded(ctx: &Ctx<'_>, settled: &Settled) -> Option<(PartId, f64)> {
    ctx.car.parts().iter().find_map(|(&id, part)| {
        let part_type = ctx.car.type_of(id)?;
        part_type.elements.iter().enumerate().find_map(|(idx, element)| {
            let Element::Flasher { most_watts, .. } = element else { return None };
            let stays_lit = settled.on.element(id, idx)?.state() == PartState::Working;
            let most_watts = match most_watts {
                Figure::Number(watts) => Some(*watts),
                Figure::Fact(name) => part.fact(part_type, name),
            };
            Some((id, most_watts?)).filter(|_| stays_lit)
        })
    })
}

fn stays_lit(
    ctx: &Ctx<'_>,
    lamps: &[PartId],
    (unit, most_watts): (PartId, f64),
    setting: &Setting,
) -> Finding {
    let loads = &ctx.after.wiring.loads;
    let indicators = ctx.roles.indicators().filter(|&load| lamps.contains(&loads[load].part));
    let watts: f64 = indicators.map(|load| loads[load].watts).sum();
    let says = IN02::says_overloaded(
        ctx.part_names(lamps.iter().copied()),
        ctx.part_name(unit),
        Watts(most_watts),
        Watts(watts),
    );
    let advice = IN02::advice_overloaded(Watts(watts));
    RULE.says(says)
        .advise(advice)
        .parts([unit])
        .parts(lamps.iter().copied())
        .figure("watts", watts)
        .figure("limit_watts", most_watts)
        .shown(shown(ctx, setting))
        .source(Common::practice_thermal_flasher())
}

/// Lamps that flash with the key on in no position of the stalk, nor with hazard warning; none where that is all.
fn amiss(ctx: &Ctx<'_>, hazard: usize, lamps: &BTreeSet<usize>) -> BTreeSet<usize> {
    let rest = ctx.network.at_rest();
    let key: Vec<usize> = ctx.roles.controls(ControlRole::Ignition).collect();
    let stalk: Vec<usize> = ctx.roles.controls(ControlRole::Indicators).collect();
    let mut amiss = lamps.clone();
    for (stalk_at, hazard_at) in [(0, 1), (1, 0), (2, 0)] {
        let mut setting = rest.state.setting.clone();
        put(ctx, &mut setting, &key, 1);
        put(ctx, &mut setting, &stalk, stalk_at);
        put(ctx, &mut setting, &[hazard], hazard_at);
        let settled = ctx.network.moved(&rest.state, &setting);
        amiss.retain(|&lamp| !flashes(ctx, &settled, lamp));
    }
    if amiss.len() == lamps.len() { BTreeSet::new() } else { amiss }
}

fn put(ctx: &Ctx<'_>, setting: &mut Setting, controls: &[usize], at: usize) {
    for &control in controls {
        let most = ctx.network.controls()[control].positions.len() - 1;
        if let Some(position) = setting.0.get_mut(control) {
            *position = u8::try_from(at.min(most)).unwrap_or(0);
        }
    }
}

fn shown(ctx: &Ctx<'_>, setting: &Setting) -> Shown {
    let setting = ctx.network.named(setting);
    let rest = ctx.network.named(&ctx.network.rest());
    let setting: std::collections::BTreeMap<String, String> = setting
        .into_iter()
        .filter(|(control, position)| rest.get(control) != Some(position))
        .collect();
    let moves = setting
        .iter()
        .map(|(control, position)| loomwright_electrics::Move {
            control: control.clone(),
            position: position.clone(),
        })
        .collect();
    Shown { moves, setting }
}

/// Lit in the phase in which flasher units are closed.
fn is_lit(ctx: &Ctx<'_>, settled: &Settled, lamp: usize) -> bool {
    let load = &ctx.after.wiring.loads[lamp];
    load.light(&settled.on).is_some_and(|light| light > 0.3)
}

/// Lit in the one phase, dark in the other.
fn flashes(ctx: &Ctx<'_>, settled: &Settled, lamp: usize) -> bool {
    let load = &ctx.after.wiring.loads[lamp];
    let off = settled.off.as_ref().and_then(|off| load.light(off));
    is_lit(ctx, settled, lamp) && off.is_some_and(|light| light < 0.1)
}
