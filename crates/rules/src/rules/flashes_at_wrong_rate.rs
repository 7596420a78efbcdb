//! A flasher unit that flashes faster or slower than the law's band.

use std::collections::BTreeMap;

use loomwright_circuit::PartId;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::IN07;
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "IN07",
    name: "flashes-at-wrong-rate",
    title: "Wrong flash rate",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("flashes_at_wrong_rate.md"),
    needs: Needs::States,
    check,
};

/// Least and greatest rate, flashes a minute.
///
/// # Source
/// MOT inspection manual 1.5, ukmot.com; UN R48 6.5.9: 90 ± 30 a minute.
const RATES: (f64, f64) = (60.0, 120.0);

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let lamps: Vec<usize> = ctx.roles.indicators().collect();
    // The worst of each unit speaks.
    let mut worst: BTreeMap<(PartId, bool), (f64, usize)> = BTreeMap::new();
    let units = ctx.car.parts().keys().filter(|unit| ctx.is_flasher(**unit));
    let units: Vec<PartId> = units.copied().collect();
    for (visit_idx, visit) in ctx.lasting() {
        for &unit in &units {
            let reading = visit.settled.on.part(unit);
            let rate = reading.and_then(|reading| reading.flashes_per_minute);
            let Some(rate) = rate.filter(|rate| !(RATES.0..=RATES.1).contains(rate)) else {
                continue;
            };
            let is_fast = rate > RATES.1;
            let far = |rate: f64| (rate - 90.0).abs();
            let known = worst.entry((unit, is_fast)).or_insert((rate, visit_idx));
            if far(rate) > far(known.0) * 1.01 {
                *known = (rate, visit_idx);
            }
        }
    }
    for ((unit, is_fast), (rate, visit_idx)) in worst {
        let Some(visit) = ctx.visit(visit_idx) else { continue };
        let parts = ctx.parts_of(lamps.iter().copied().filter(|&lamp| ctx.is_lit(visit, lamp)));
        let (limit, why) =
            if is_fast { (RATES.1, IN07::bulb_out()) } else { (RATES.0, IN07::too_little()) };
        let than = if is_fast { IN07::too_fast() } else { IN07::too_slow() };
        out.push(
            RULE.says(IN07::says(ctx.part_name(unit), rate, than, limit, why))
                .advise(IN07::advice())
                .parts([unit])
                .parts(parts)
                .figure("per_minute", rate)
                .figure("limit_per_minute", limit)
                .shown(ctx.shown(visit_idx))
                .source(IN07::source()),
        );
    }
}
