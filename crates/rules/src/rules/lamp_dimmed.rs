//! A lamp that loses light because volts are lost on the way to it and back.

use std::collections::BTreeMap;

use loomwright_circuit::WireId;
use loomwright_electrics::filament;
use loomwright_units::Volts;

use crate::ctx::Ctx;
use crate::limits::size_above;
use crate::losses::{Loss, limit, worst_loss};
use crate::rule::{Needs, Out, Rule};
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "VD01",
    name: "lamp-dimmed",
    title: "Dim lamp",
    level: Level::Advice,
    since: "0.1.0",
    help: include_str!("lamp_dimmed.md"),
    needs: Needs::States,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let mut by_wire: BTreeMap<Option<WireId>, Vec<Loss>> = BTreeMap::new();
    for (load_idx, load) in ctx.after.wiring.loads.iter().enumerate() {
        let Some(limit) = limit(ctx, load_idx, load) else { continue };
        if let Some(loss) = worst_loss(ctx, load_idx, load, limit) {
            by_wire.entry(loss.wire.map(|(wire, _)| wire)).or_default().push(loss);
        }
    }
    for (_, mut losses) in by_wire {
        losses.sort_by(|a, b| (b.supply - b.at_lamp).total_cmp(&(a.supply - a.at_lamp)));
        out.push(finding(ctx, &losses));
    }
}

fn finding(ctx: &Ctx<'_>, losses: &[Loss]) -> Finding {
    let worst = losses[0];
    let lost = worst.supply - worst.at_lamp;
    let light_lost = 1.0 - filament::light(worst.at_lamp, worst.supply);
    let part = |loss: &Loss| ctx.after.wiring.loads[loss.load].part;
    let others = match losses.len() {
        1 => String::new(),
        n => format!(", {} more with it", n - 1),
    };
    let most = worst.wire.map_or_else(String::new, |(wire, volts)| {
        format!(
            "; {} of it in {}, the most of any wire",
            Volts((volts * 100.0).round() / 100.0),
            ctx.wire_name(wire)
        )
    });
    let says = format!(
        "{} loses {}{others}, about {:.0} % of its light{most}",
        ctx.part_name(part(&worst)),
        Volts((lost * 100.0).round() / 100.0),
        light_lost * 100.0,
    );
    let finding = RULE
        .says(says)
        .advise("Thicker cable, clean joints, or a relay close to the lamp")
        .parts(losses.iter().map(part))
        .wires(worst.wire.map(|(wire, _)| wire))
        .figure("volts_lost", lost)
        .figure("limit_volts", worst.limit)
        .figure("light_lost", light_lost)
        .shown(ctx.shown(worst.visit))
        .source("Bosch Automotive Handbook, permissible voltage drops (memory)");
    thicker(ctx, &worst, finding)
}

/// A wire that takes this share of the whole loss is its cause (practice).
const MAIN_SHARE: f64 = 0.4;

/// A thicker wire where that alone cures it.
fn thicker(ctx: &Ctx<'_>, worst: &Loss, finding: Finding) -> Finding {
    let Some((wire, volts)) = worst.wire else { return finding };
    let over = worst.supply - worst.at_lamp - worst.limit;
    // What the wire may still lose, with a tenth kept back for the lamp drawing more once it has more volts.
    let may_lose = volts - over * 1.1;
    let size = ctx.wire(wire).and_then(|wire| wire.size);
    let is_the_cause = volts > (worst.supply - worst.at_lamp) * MAIN_SHARE;
    if may_lose < volts * 0.4 || !is_the_cause {
        return finding;
    }
    let Some(size) = size.and_then(|size| size_above(size.square_mm() * volts / may_lose)) else {
        return finding;
    };
    let edit = ctx.resize(&[(wire, size)]);
    finding.fix(format!("Run {size} cable"), Trust::Ask, edit)
}
