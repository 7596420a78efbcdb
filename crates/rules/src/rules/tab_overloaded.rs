//! Several circuits stacked on one tab that together draw more than it carries.

use std::collections::BTreeMap;

use loomwright_circuit::{Anchor, Fitting, PartId, WireId};
use loomwright_units::Amps;

use crate::Level;
use crate::ctx::{Ctx, is_shorted};
use crate::limits::{FITTING_SOURCE, TAB_63, fitting_carries};
use crate::messages::WP06;
use crate::rule::{Needs, Out, Rule};
use crate::words::tenths;

pub(super) const RULE: Rule = Rule {
    code: "WP06",
    name: "tab-overloaded",
    title: "Stacked on a tab",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("tab_overloaded.md"),
    needs: Needs::States,
    check,
};

/// What one tab carries with receptacles stacked on it, A; nothing for what is no tab.
fn tab_carries(fitting: Fitting) -> Option<f64> {
    match fitting {
        Fitting::Blade63 => Some(TAB_63),
        Fitting::Blade28 | Fitting::Blade48 | Fitting::Blade95 => fitting_carries(fitting, None),
        _ => None,
    }
}

/// A wire with the fitting at the end in question.
type Ended = (WireId, Option<Fitting>);

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let mut at: BTreeMap<(PartId, &str), Vec<Ended>> = BTreeMap::new();
    for (&wire, row) in ctx.car.wires() {
        for end in row.ends().into_iter().filter(|_| ctx.after.wiring.version.has(row.standing)) {
            if let Anchor::Terminal { part, terminal } = &end.at {
                at.entry((*part, terminal.as_str())).or_default().push((wire, end.fitting));
            }
        }
    }
    for (&id, part) in ctx.car.parts() {
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        for terminal in &part_type.terminals {
            let Some(here) = at.get(&(id, terminal.name.as_str())) else { continue };
            let limit =
                here.iter().filter_map(|(_, fitting)| tab_carries((*fitting)?)).reduce(f64::min);
            let Some(limit) = limit.filter(|_| here.len() > 1) else { continue };
            let amps_in = |visit: &loomwright_electrics::Visit| {
                visit.settled.on.terminal_amps(id, &terminal.name).map_or(0.0, |amps| amps.0.abs())
            };
            let worst = ctx
                .visits()
                .filter(|(_, visit)| !is_shorted(visit))
                .max_by(|a, b| amps_in(a.1).total_cmp(&amps_in(b.1)).then(b.0.cmp(&a.0)));
            let Some((visit_idx, visit)) = worst else { continue };
            let amps = amps_in(visit);
            if amps <= limit {
                continue;
            }
            out.push(
                RULE.says(WP06::says(
                    here.len(),
                    &terminal.name,
                    &part.label,
                    Amps(tenths(amps)),
                    Amps(limit),
                ))
                .advise(WP06::advice())
                .parts([id])
                .wires(here.iter().map(|(wire, _)| *wire))
                .figure("amps", amps)
                .figure("limit_amps", limit)
                .shown(ctx.shown(visit_idx))
                .source(FITTING_SOURCE),
            );
        }
    }
}
