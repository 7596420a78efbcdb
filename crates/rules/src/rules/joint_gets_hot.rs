//! A connector or joint in which so much is lost that it gets hot.

use std::collections::BTreeMap;

use loomwright_circuit::PartId;
use loomwright_units::{Amps, Volts, Watts};

use crate::ctx::{Ctx, is_shorted};
use crate::losses::volts_across;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;
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

/// Heat in one way of a connector, W (practice: a watt in a small joint, two in a plastic plug, and it suffers).
const WARM: f64 = 1.0;

/// The worst way of a connector.
#[derive(Clone, Copy)]
struct Worst {
    volts: f64,
    amps: f64,
    visit: usize,
}

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
    let mut worst: BTreeMap<PartId, Worst> = BTreeMap::new();
    for (visit_idx, visit) in ctx.visits() {
        if joints.is_empty() || is_shorted(visit) || ctx.is_cranking(visit) {
            continue;
        }
        for &(part, ends) in &joints {
            let Some(volts) = volts_across(ctx, visit, ends).filter(|volts| *volts > 0.0) else {
                continue;
            };
            let terminal = ends.map(|end| wiring.terminal(end)).into_iter().flatten().next();
            let amps = terminal.and_then(|(id, name)| visit.settled.on.terminal_amps(id, name));
            let Some(amps) = amps.map(|amps| amps.0.abs()) else { continue };
            let known = worst.get(&part).map_or(WARM, |worst| worst.volts * worst.amps);
            if volts * amps > known * (1.0 + 1e-9) {
                worst.insert(part, Worst { volts, amps, visit: visit_idx });
            }
        }
    }
    for (part, worst) in worst {
        out.push(finding(ctx, part, worst));
    }
}

fn finding(ctx: &Ctx<'_>, part: PartId, worst: Worst) -> Finding {
    let watts = worst.volts * worst.amps;
    let says = format!(
        "{} loses {} at {}: {} of heat in it, {} at most should be",
        ctx.part_name(part),
        Volts((worst.volts * 1000.0).round() / 1000.0),
        Amps((worst.amps * 10.0).round() / 10.0),
        Watts((watts * 10.0).round() / 10.0),
        Watts(WARM),
    );
    RULE.says(says)
        .advise("Make it anew, larger, or leave it out: fewer joints in a heavy feed")
        .parts([part])
        .figure("watts", watts)
        .figure("limit_watts", WARM)
        .figure("volts_lost", worst.volts)
        .figure("amps", worst.amps)
        .shown(ctx.shown(worst.visit))
        .source("heat: volts lost times current; practice: a watt in a joint")
}
