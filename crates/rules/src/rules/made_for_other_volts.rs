//! A lamp or motor made for another voltage than it gets.

use std::collections::BTreeMap;

use loomwright_circuit::Edit;
use loomwright_circuit::part_type::LoadFamily;
use loomwright_electrics::{Met, MetIn, Visit, filament};
use loomwright_units::Volts;

use crate::ctx::Ctx;
use crate::fix::all;
use crate::messages::{Common, VO02};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{Load, LoadKind};
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "VO02",
    name: "made-for-other-volts",
    title: "Made for other volts",
    level: Level::Fault,
    since: "0.1.0",
    help: include_str!("made_for_other_volts.md"),
    needs: Needs::States,
    check,
};

/// More than this multiple of its volts burns a lamp out soon: its life goes with the thirteenth power of them
/// (practice).
const BURNS: f64 = 1.2;

/// A lamp that never has this share of its volts gives little more than a third of its light, by the 3.4th power
/// (practice).
const DIM: f64 = 0.75;

/// Of the car's volts: a part that gets as much stands alone between supply and earth.
const ALONE: f64 = 0.9;

/// A consumer of the wiring, by its number there, with the most that it gets.
type Row = (usize, Met<Volts>);

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    // What is made for the same volts and meets the same fate has the same cause.
    let mut groups: BTreeMap<(bool, u64), Vec<Row>> = BTreeMap::new();
    for (load_idx, load) in wiring.loads.iter().enumerate() {
        if !ctx.is_other_voltage(load.volts) && ctx.on_part_of_a_row(load).is_none() {
            continue;
        }
        let names = load.ends.map(|end| wiring.terminal(end).map_or("", |(_, name)| name));
        let known = ctx.extremes().loads.iter().find(|known| {
            known.part == load.part
                && [known.between[0].as_str(), known.between[1].as_str()] == names
        });
        let most = known.map_or_else(|| most_of_coil(ctx, load), |known| known.greatest);
        let most = if is_fed_more_to_start(load) { most_but_cranking(ctx, load) } else { most };
        let Some(most) = most else { continue };
        let is_over = most.value.0 > load.volts * BURNS;
        // A coil that never has its volts is told where relays that stay out are.
        let is_under = load.kind != LoadKind::Coil
            && known.is_some_and(|known| known.least.is_some())
            && most.value.0 < load.volts * DIM;
        if is_under && !ctx.is_exact() {
            let name = ctx.part_name(load.part);
            out.not_checked(&RULE, &VO02::missing(&name, ctx.doubt()));
            continue;
        }
        if is_over || is_under {
            groups.entry((is_over, load.volts.to_bits())).or_default().push((load_idx, most));
        }
    }
    for ((is_over, _), rows) in groups {
        out.push(finding(ctx, is_over, &rows));
    }
}

/// A coil behind a ballast has the battery's full volts while the starter turns, for which it is made.
fn is_fed_more_to_start(load: &Load) -> bool {
    load.kind == LoadKind::Consumer(LoadFamily::IgnitionCoil)
}

fn most_but_cranking(ctx: &Ctx<'_>, load: &Load) -> Option<Met<Volts>> {
    most_of(load, ctx.visits().filter(|(visit, _)| !ctx.is_cranking(*visit)))
}

/// The most volts of a coil: extremes are kept of what lights, turns or heats.
fn most_of_coil(ctx: &Ctx<'_>, load: &Load) -> Option<Met<Volts>> {
    most_of(load, ctx.visits())
}

fn most_of<'v>(
    load: &Load,
    visits: impl Iterator<Item = (usize, &'v Visit)>,
) -> Option<Met<Volts>> {
    let met = |(visit, at): (usize, &Visit)| {
        let volts = load.in_solution(&at.settled.on)?.volts();
        Some(Met { value: Volts(volts.0.abs()), visit, met_in: MetIn::On })
    };
    let mets = visits.filter_map(met);
    mets.reduce(|most, next| if next.value.0 > most.value.0 * (1.0 + SAME) { next } else { most })
}

/// A figure so little larger is the same one, met again.
const SAME: f64 = 1e-9;

fn finding(ctx: &Ctx<'_>, is_over: bool, rows: &[Row]) -> Finding {
    let wiring = &ctx.after.wiring;
    let (load, most) = rows
        .iter()
        .fold(rows[0], |worst, row| if row.1.value.0 > worst.1.value.0 { *row } else { worst });
    let marked = wiring.loads[load].volts;
    let mut parts: Vec<_> = rows.iter().map(|(load, _)| wiring.loads[*load].part).collect();
    parts.dedup();
    let is_one = parts.len() == 1;
    let gets = Volts((most.value.0 * 10.0).round() / 10.0);
    let percent = 100.0 * filament::light(most.value.0, marked);
    let fate = match (is_over, wiring.loads[load].kind == LoadKind::Filament) {
        (true, _) if is_one => VO02::burns_one().to_owned(),
        (true, _) => VO02::burns_several().to_owned(),
        (false, true) if is_one => VO02::gives_light_one(percent),
        (false, true) => VO02::gives_light_several(percent),
        (false, false) if is_one => VO02::hardly_works_one().to_owned(),
        (false, false) => VO02::hardly_works_several().to_owned(),
    };
    let part_of_row = ctx.on_part_of_a_row(&wiring.loads[load]);
    let from =
        part_of_row.map_or_else(String::new, |battery| VO02::from_alone(ctx.part_name(battery)));
    let names = ctx.part_names(parts.iter().copied());
    let says = if is_one {
        VO02::says_one(names, Volts(marked), gets, &from, &fate)
    } else {
        VO02::says_several(names, Volts(marked), gets, &from, &fate)
    };
    let advice = if part_of_row.is_some() { VO02::advice_row() } else { VO02::advice() };
    let is_alone = most.value.0 > ctx.system_volts() * ALONE;
    let edit = if is_alone { fitted(ctx, rows) } else { None };
    RULE.says(says)
        .advise(advice)
        .parts(parts)
        .figure("volts", most.value.0)
        .figure("marked_volts", marked)
        .shown(ctx.shown(most.visit))
        .source(Common::practice())
        .fix(VO02::fix(Volts(ctx.system_volts())), Trust::Ask, edit)
}

/// The same parts made for the car's volts.
fn fitted(ctx: &Ctx<'_>, rows: &[Row]) -> Option<Edit> {
    let mut facts: BTreeMap<_, Vec<String>> = BTreeMap::new();
    for (load, _) in rows {
        let load = &ctx.after.wiring.loads[*load];
        facts.entry(load.part).or_default().push(ctx.volts_fact(load.part, load.element)?);
    }
    let edits = facts.into_iter().map(|(id, names)| {
        let mut part = ctx.car.part(id)?.clone();
        for name in names {
            part.facts.insert(name, ctx.system_volts());
        }
        Some(Edit::SetPart(id, part))
    });
    all(edits.collect::<Option<Vec<_>>>()?)
}
