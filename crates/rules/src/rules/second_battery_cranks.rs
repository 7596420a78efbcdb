//! A second battery that gives starter current through leads that were made for charging.

use std::collections::BTreeSet;

use loomwright_circuit::{PartId, WireId};
use loomwright_electrics::cable;
use loomwright_units::{Amps, Seconds};

use crate::Level;
use crate::ctx::{Ctx, is_shorted};
use crate::feeds::Ways;
use crate::messages::RE06;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;

pub(super) const RULE: Rule = Rule {
    code: "RE06",
    name: "second-battery-cranks",
    title: "Split charge cranks",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("second_battery_cranks.md"),
    needs: Needs::States,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    let beside: Vec<_> =
        side.wiring.supplies.iter().filter(|supply| !side.wiring.is_on_another(supply)).collect();
    if beside.len() < 2 {
        return;
    }
    // The leads and parts that join the posts of two batteries.
    let (mut wires, mut parts) = (BTreeSet::<WireId>::new(), BTreeSet::<PartId>::new());
    let mut has_fuse = false;
    let stop = vec![false; side.wiring.n_spots()];
    let ways = Ways::from(&side.wiring, &[beside[0].live], &stop, !ctx.is_plus_live());
    for link in
        beside[1..].iter().flat_map(|other| ways.to(other.live)).flat_map(|way| ways.links_of(way))
    {
        match side.wiring.links[link].kind {
            LinkKind::Wire(wire) => drop(wires.insert(wire)),
            kind => {
                has_fuse |= matches!(kind, LinkKind::Fuse { .. });
                parts.extend(kind.part());
            }
        }
    }
    let Some((shown, starter, lead)) = joined_while_cranking(ctx, &wires) else { return };
    let Some(limit) = ctx.rated(lead).map(|rated| rated.best_amps) else { return };
    if limit > starter / 2.0 {
        return;
    }
    // Without a fuse the lead itself is what gives way: by the law of short times, which holds for five seconds.
    let size = ctx.wire(lead).and_then(|wire| wire.size);
    let is_spoilt = size.is_some_and(|size| cable::short_time(size, A_START).0 < starter);
    let level = if is_spoilt && !has_fuse { Level::Danger } else { Level::Fault };
    out.push(
        RULE.says(RE06::says(Amps(starter.round()), ctx.wire_name(lead), Amps(limit)))
            .level(level)
            .advise(RE06::advice())
            .wires([lead])
            .wires(wires)
            .parts(parts)
            .parts(ctx.roles.starters().map(|load| side.wiring.loads[load].part))
            .figure("amps", starter)
            .figure("limit_amps", limit)
            .shown(ctx.shown(shown))
            .source(if level == Level::Danger {
                RE06::source_five_seconds()
            } else {
                RE06::source_table()
            }),
    );
}

/// A visit in which the starter turns and current flows between the batteries, what the starter takes there, and the
/// weakest lead between them.
fn joined_while_cranking(ctx: &Ctx<'_>, wires: &BTreeSet<WireId>) -> Option<(usize, f64, WireId)> {
    let rated = |wire: &WireId| ctx.rated(*wire).map(|rated| rated.best_amps);
    let weakest = wires.iter().filter_map(|wire| Some((rated(wire)?, *wire)));
    let (_, lead) = weakest.min_by(|a, b| a.0.total_cmp(&b.0))?;
    ctx.visits().filter(|(idx, visit)| !is_shorted(visit) && ctx.is_cranking(*idx)).find_map(
        |(idx, visit)| {
            let on = &visit.settled.on;
            let flows = on.wire_amps(lead).is_some_and(|amps| amps.0.abs() > FLOWS);
            let starters = ctx.roles.starters().filter_map(|load| {
                let load = &ctx.after.wiring.loads[load];
                Some(load.in_solution(on)?.amps().0.abs())
            });
            let taken = starters.fold(0.0, f64::max);
            (flows && taken > 0.0).then_some((idx, taken, lead))
        },
    )
}

/// A start may take so long (practice); the law of short times holds no longer.
const A_START: Seconds = Seconds(5.0);

/// Less than this between two batteries is no joining, A (practice).
const FLOWS: f64 = 1.0;
