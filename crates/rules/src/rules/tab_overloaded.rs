//! Several circuits stacked on one tab that together draw more than it carries.

use loomwright_circuit::{Anchor, Fitting};
use loomwright_units::Amps;

use crate::Level;
use crate::ctx::{Ctx, is_shorted};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "WP06",
    name: "tab-overloaded",
    title: "Stacked on a tab",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("tab_overloaded.md"),
    needs: Needs::States,
    check,
};

/// What one tab carries with receptacles stacked on it, A.
///
/// # Source
/// DIN 46245 and IEC 61210 as UK suppliers list them (memory): 6.3 mm with its largest cable 24 A.
fn carries(fitting: Fitting) -> Option<f64> {
    Some(match fitting {
        Fitting::Blade28 => 8.0,
        Fitting::Blade48 => 15.0,
        Fitting::Blade63 => 24.0,
        Fitting::Blade95 => 50.0,
        _ => return None,
    })
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    for (&id, part) in ctx.car.parts() {
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        for terminal in &part_type.terminals {
            let at = Anchor::terminal(id, &terminal.name);
            let here = ctx.car.wires().iter().filter(|(_, wire)| wiring.version.has(wire.standing));
            let here: Vec<_> = here
                .filter_map(|(wire, row)| {
                    row.ends().into_iter().find(|end| end.at == at).map(|end| (*wire, end.fitting))
                })
                .collect();
            let limit =
                here.iter().filter_map(|(_, fitting)| carries((*fitting)?)).reduce(f64::min);
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
                RULE.says(format!(
                    "{} circuits hang on the one tab {} of {}: together {}, and such a tab is good for {}",
                    here.len(),
                    terminal.name,
                    part.label,
                    Amps((amps * 10.0).round() / 10.0),
                    Amps(limit)
                ))
                .advise("Take some of them from a feed of their own, through a relay that this tab only triggers")
                .parts([id])
                .wires(here.iter().map(|(wire, _)| *wire))
                .figure("amps", amps)
                .figure("limit_amps", limit)
                .shown(ctx.shown(visit_idx))
                .source("DIN 46245 and IEC 61210 as suppliers list them (memory)"),
            );
        }
    }
}
