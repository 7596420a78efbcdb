//! A relay whose coil is fed and never has the volts to pull in.

use loomwright_circuit::part_type::{Element, Figure};
use loomwright_electrics::PartState;
use loomwright_units::Volts;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::SW03;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{Load, LoadKind};
use crate::words::tenths;

pub(super) const RULE: Rule = Rule {
    code: "SW03",
    name: "relay-stays-out",
    title: "Relay never pulls in",
    level: Level::Fault,
    since: "0.1.0",
    help: include_str!("relay_stays_out.md"),
    needs: Needs::States,
    check,
};

/// Under this share of the car's volts a coil is as good as not fed (practice).
const FED: f64 = 0.05;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let has_its_volts = ctx.battery_rows().iter().all(|row| !ctx.is_other_voltage(row.volts));
    if !has_its_volts {
        return;
    }
    for load in ctx.after.wiring.loads.iter().filter(|load| load.kind == LoadKind::Coil) {
        let Some((volts, visit)) = most_without_pulling_in(ctx, load) else { continue };
        if volts < ctx.system_volts() * FED {
            continue;
        }
        let name = ctx.part_name(load.part);
        if !ctx.is_exact() {
            out.not_checked(&RULE, &SW03::missing(&name, ctx.doubt()));
            continue;
        }
        let gets = Volts(tenths(volts));
        let needed = pull_in(ctx, load).map_or(f64::NAN, |share| share * load.volts);
        let needs =
            if needed.is_finite() { SW03::needs(Volts(tenths(needed))) } else { String::new() };
        let is_other = ctx.is_other_voltage(load.volts);
        let coil =
            if is_other { SW03::coil(Volts(load.volts)) } else { SW03::own_coil().to_owned() };
        let advice = if is_other {
            SW03::advice_coil(Volts(ctx.system_volts()))
        } else {
            SW03::advice_feed().to_owned()
        };
        out.push(
            RULE.says(SW03::says(&name, &coil, gets, &needs))
                .advise(advice)
                .parts([load.part])
                .figure("volts", volts)
                .figure("limit_volts", needed)
                .shown(ctx.shown(visit))
                .source(SW03::source()),
        );
    }
}

/// The most volts that a coil has, and where; nothing for one that pulls in somewhere, or buzzes.
fn most_without_pulling_in(ctx: &Ctx<'_>, load: &Load) -> Option<(f64, usize)> {
    let mut most: Option<(f64, usize)> = None;
    for (visit_idx, visit) in ctx.visits() {
        for phase in [Some(&visit.settled.on), visit.settled.off.as_ref()].into_iter().flatten() {
            let coil = load.in_solution(phase)?;
            if coil.state() != PartState::Out {
                return None;
            }
            let volts = coil.volts().0.abs();
            if most.is_none_or(|(known, _)| volts > known * (1.0 + 1e-9)) {
                most = Some((volts, visit_idx));
            }
        }
    }
    most
}

fn pull_in(ctx: &Ctx<'_>, load: &Load) -> Option<f64> {
    let (part, part_type) = ctx.part(load.part)?;
    match part_type.elements.get(load.element)? {
        Element::Relay { pull_in: Figure::Number(share), .. } => Some(*share),
        Element::Relay { pull_in: Figure::Fact(name), .. } => part.fact(part_type, name),
        _ => None,
    }
}
