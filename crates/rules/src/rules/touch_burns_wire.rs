//! A wire that is spoilt before its fuse opens, should it touch the metal, though the fuse is no larger than the wire.

use std::collections::BTreeSet;

use loomwright_circuit::WireId;
use loomwright_electrics::{FuseRef, Outcome, Verdict};
use loomwright_units::{Seconds, with_decimals};

use crate::ctx::Ctx;
use crate::messages::{Common, PR05};
use crate::rule::{Needs, Out, Rule};
use crate::thin::thin_wires;
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "PR05",
    name: "touch-burns-wire",
    title: "Short burns the wire",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("touch_burns_wire.md"),
    needs: Needs::Study,
    check,
};

/// What a slow device may take over what the wire stands, from which it is told where the device might be fast enough
/// (practice: the times of one rating differ about twofold).
const FAR_TOO_SLOW: f64 = 2.25;

/// A wire that burns, and how.
struct Burns<'a> {
    wire: WireId,
    outcome: &'a Outcome,
    /// Whether even the fastest device of its rating is too slow.
    is_sure: bool,
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    // A fuse above the wire is told by itself, as is a way round the fuse; a touch so soft that no fuse sees it is nearly
    // every car's, and tells nothing of this one.
    let told: BTreeSet<WireId> =
        thin_wires(ctx).into_values().flatten().map(|thin| thin.wire).collect();
    let mut by_device: Vec<(FuseRef, Vec<Burns<'_>>)> = Vec::new();
    for study in ctx.evidence.study.unwrap_or_default() {
        // The first contact tried is a hard one.
        let Some(outcome) = study.touches.first().map(|touch| &touch.worst) else { continue };
        let Some(device) = outcome.devices.first() else { continue };
        let Some((least, most)) = too_slow(outcome) else { continue };
        if told.contains(&study.wire) || most < FAR_TOO_SLOW && least <= 1.0 {
            continue;
        }
        let burns = Burns { wire: study.wire, outcome, is_sure: least > 1.0 };
        match by_device.iter_mut().find(|(known, _)| known == device) {
            Some((_, wires)) => wires.push(burns),
            None => by_device.push((device.clone(), vec![burns])),
        }
    }
    for (device, wires) in &by_device {
        out.findings.extend(finding(ctx, device, wires));
    }
}

/// How long the device takes over what the wire stands: at the least and at the most.
fn too_slow(outcome: &Outcome) -> Option<(f64, f64)> {
    let stands = outcome.burns_after.filter(|_| outcome.verdict == Some(Verdict::Burns))?.0;
    let [least, most] = outcome.clears?;
    Some((least.0 / stands, most.0 / stands))
}

fn finding(ctx: &Ctx<'_>, device: &FuseRef, wires: &[Burns<'_>]) -> Option<Finding> {
    let soon = |burns: &Burns<'_>| burns.outcome.burns_after.map_or(f64::INFINITY, |time| time.0);
    let worst = wires.iter().reduce(|a, b| if soon(b) < soon(a) { b } else { a })?;
    let after = worst.outcome.burns_after?;
    let [_, clears] = worst.outcome.clears?;
    let others = match wires.len() {
        1 => String::new(),
        n => PR05::more_likewise(n - 1),
    };
    let says = PR05::says(
        ctx.wire_name(worst.wire),
        rounded(after),
        ctx.part_name(device.part),
        rounded(clears),
        &others,
    );
    let is_sure = wires.iter().any(|burns| burns.is_sure);
    Some(
        RULE.says(says)
            .level(if is_sure { Level::Danger } else { Level::Advice })
            .advise(PR05::advice())
            .parts([device.part])
            .wires(std::iter::once(worst.wire).chain(wires.iter().map(|burns| burns.wire)))
            .figure("amps", worst.outcome.at.amps.0)
            .figure("burns_after_seconds", after.0)
            .figure("limit_seconds", clears.0)
            .shown(ctx.shown(worst.outcome.at.visit))
            .source(PR05::source()),
    )
}

fn rounded(time: Seconds) -> String {
    match time.0 {
        seconds if seconds < 10.0 => PR05::tenths(with_decimals(seconds.max(0.1), 1)),
        seconds if seconds < 120.0 => PR05::seconds(seconds),
        seconds => Common::minutes(seconds / 60.0),
    }
}
