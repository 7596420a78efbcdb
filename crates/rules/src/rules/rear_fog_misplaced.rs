//! Rear fog lamps of which number, place or power do not agree with the rules for lamps that were chosen.

use loomwright_circuit::seen::{Approval, Side};
use loomwright_circuit::{PartId, Region};
use loomwright_units::exact;

use crate::ctx::Ctx;
use crate::messages::LW01;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::Load;
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "LW01",
    name: "rear-fog-misplaced",
    title: "Check rear fog lamp",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("rear_fog_misplaced.md"),
    needs: Needs::Drawing,
    check,
};

/// Least distance to a stop lamp, mm; height of the lamp's centre, mm; most lamps; most power without an approval
/// mark, W.
///
/// # Source
/// SI 1989/1796 schedule 11 as told by "Fit those fog lights today", Commercial Motor, 14 Sept 1979, and
/// burlingtonregister.bappy.com/lights.htm; the power from memory. UN R48 6.11: 250 to 1000 mm, over 100 mm.
const FROM_STOP: f64 = 100.0;
const HEIGHT: (f64, f64) = (250.0, 1000.0);
const MOST: usize = 2;
const MOST_WATTS: f64 = 27.0;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let Some(region) = ctx.car.vehicle().region else { return };
    let loads = ctx.with_role(Role::RearFog);
    let lamps: Vec<PartId> = ctx.parts_of(loads.iter().copied()).into_iter().collect();
    if lamps.len() > MOST {
        let says = LW01::says_number(lamps.len(), MOST);
        out.push(finding(region, Level::Fault, &says).parts(lamps.iter().copied()));
    }
    for &load_idx in &loads {
        let load = &ctx.after.wiring.loads[load_idx];
        for (level, says) in of_lamp(ctx, load, lamps.len()) {
            out.push(finding(region, level, &says).parts([load.part]));
        }
    }
}

/// What is amiss with one lamp, of so many.
fn of_lamp(ctx: &Ctx<'_>, load: &Load, n_lamps: usize) -> Vec<(Level, String)> {
    let Some((part, _)) = ctx.part(load.part) else { return Vec::new() };
    let (label, seen) = (&part.label, &part.seen);
    let mut rows = Vec::new();
    if n_lamps == 1 && seen.side == Some(Side::Nearside) {
        let says = LW01::says_side(label);
        rows.push((Level::Fault, says));
    }
    if let Some(mm) = seen.from_stop.map(|length| length.mm()).filter(|mm| *mm < FROM_STOP) {
        let says = LW01::says_from_stop_lamp(label, exact(mm), exact(FROM_STOP));
        rows.push((Level::Fault, says));
    }
    if let Some(mm) = seen.height.map(|length| length.mm())
        && !(HEIGHT.0..=HEIGHT.1).contains(&mm)
    {
        let (least, most) = HEIGHT;
        let says = LW01::says_height(label, exact(mm), exact(least), exact(most));
        rows.push((Level::Advice, says));
    }
    if load.watts > MOST_WATTS && seen.approval != Some(Approval::Marked) {
        let watts = load.watts;
        let says = LW01::says_power(label, exact(watts), exact(MOST_WATTS));
        rows.push((Level::Advice, says));
    }
    rows
}

fn finding(region: Region, level: Level, says: &str) -> Finding {
    RULE.says(LW01::check(says)).level(level).advise(LW01::advice()).source(match region {
        Region::Uk => LW01::source_british(),
        Region::Unece => LW01::source_un(),
    })
}
