//! A connector or joint in which so much is lost that it gets hot.

use std::collections::BTreeMap;

use loomwright_circuit::PartId;
use loomwright_units::{Amps, Volts, Watts};

use crate::ctx::{Ctx, is_shorted};
use crate::losses::{WARM, WorstJoint, volts_across};
use crate::messages::CA05;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;
use crate::words::tenths;
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "CA05",
    name: "joint-gets-hot",
    title: "Joint gets hot",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("joint_gets_hot.md"),
    needs: Needs::States,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    let joints: Vec<(PartId, [usize; 2])> = wiring
        .links
        .iter()
        .filter_map(|link| match link.kind {
            LinkKind::Copper(part) => Some((part, link.ends)),
            _ => None,
        })
        .filter(|(_, ends)| ends.iter().all(|&end| wiring.terminal(end).is_some()))
        .collect();
    let mut worst: BTreeMap<PartId, WorstJoint> = BTreeMap::new();
    for (visit_idx, visit) in ctx.visits() {
        if joints.is_empty() || is_shorted(visit) || ctx.is_cranking(visit_idx) {
            continue;
        }
        for &(part, ends) in &joints {
            let Some(volts) = volts_across(ctx, visit, ends).filter(|volts| *volts > 0.0) else {
                continue;
            };
            let terminal = ends.map(|end| wiring.terminal(end)).into_iter().flatten().next();
            let amps = terminal.and_then(|(id, name)| visit.settled.on.terminal_amps(id, name));
            let Some(amps) = amps.map(|amps| amps.0.abs()) else { continue };
            let known = worst.get(&part).map_or(WARM, |worst| worst.watts());
            if volts * amps > known * (1.0 + 1e-9) {
                worst.insert(part, WorstJoint { volts, amps, visit: visit_idx });
            }
        }
    }
    for (part, worst) in worst {
        out.push(finding(ctx, part, worst));
    }
}

fn finding(ctx: &Ctx<'_>, part: PartId, worst: WorstJoint) -> Finding {
    let watts = worst.watts();
    let says = CA05::says(
        ctx.part_name(part),
        Volts((worst.volts * 1000.0).round() / 1000.0),
        Amps(tenths(worst.amps)),
        Watts(tenths(watts)),
        Watts(WARM),
    );
    RULE.says(says)
        .advise(CA05::advice())
        .parts([part])
        .figure("watts", watts)
        .figure("limit_watts", WARM)
        .figure("volts_lost", worst.volts)
        .figure("amps", worst.amps)
        .shown(ctx.shown(worst.visit))
        .source(CA05::source())
}
