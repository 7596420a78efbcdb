//! A fuse that carries more than the wire behind it does.

use std::collections::BTreeMap;

use loomwright_circuit::part_type::{Element, FuseFamily};
use loomwright_circuit::{Edit, Standing, WireId};

use crate::ctx::Ctx;
use crate::limits::{Rated, blade_at_most, glass_at_most, size_for};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "PR01",
    name: "fuse-above-wire",
    title: "Fuse too large",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("fuse_above_wire.md"),
    needs: Needs::Drawing,
    check,
};

/// Makers of the fifties and sixties put a glass fuse that carries 17.5 A before 14/.012 cable good for 8.75 A; as
/// found, up to this multiple is taken for the maker's own doing (practice).
const AS_BUILT: f64 = 2.05;

struct Thin {
    wire: WireId,
    rated: Rated,
    level: Level,
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let mut built = Vec::new();
    for (fuse, mut thin) in thin_wires(ctx) {
        let Some(amps) = ctx.fuse_amps(fuse) else { continue };
        thin.sort_by(|a, b| {
            a.level
                .cmp(&b.level)
                .then(a.rated.amps.total_cmp(&b.rated.amps))
                .then(a.wire.cmp(&b.wire))
        });
        if thin.iter().all(|thin| is_as_built(ctx, fuse, amps, thin)) {
            built.push((fuse, amps, thin));
        } else if let Some(worst) = thin.first() {
            out.push(finding(ctx, fuse, amps, worst, &thin));
        }
    }
    if let Some(finding) = as_built(ctx, &built) {
        out.push(finding);
    }
}

/// For each fuse, the wires behind it that carry less than it does. A wire with several feeds is judged by the one
/// whose weakest fuse is the largest.
fn thin_wires(ctx: &Ctx<'_>) -> BTreeMap<usize, Vec<Thin>> {
    let side = &ctx.after;
    let mut by_fuse: BTreeMap<usize, Vec<Thin>> = BTreeMap::new();
    for (wire, ends) in side.wiring.wire_ends() {
        let Some(rated) = ctx.rated(wire) else { continue };
        let ends = ends.into_iter().filter(|&end| !side.hard_earth[end]);
        let ways = ends.flat_map(|end| side.live.regular(end)).filter(|way| !way.is_limited);
        let known = ways.filter(|way| way.fuses.iter().all(|&fuse| ctx.fuse_amps(fuse).is_some()));
        let worst = known
            .filter_map(|way| ctx.weakest_fuse(way))
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
        if let Some((fuse, amps)) = worst
            && let Some(level) = rated.judge(amps)
        {
            by_fuse.entry(fuse).or_default().push(Thin { wire, rated, level });
        }
    }
    by_fuse
}

fn is_as_built(ctx: &Ctx<'_>, fuse: usize, amps: f64, thin: &Thin) -> bool {
    let Some((part, part_type)) =
        ctx.after.wiring.links[fuse].kind.part().and_then(|id| ctx.part(id))
    else {
        return false;
    };
    let is_glass =
        |element: &Element| matches!(element, Element::Fuse { family: FuseFamily::Glass, .. });
    let watts_before = ctx.before.as_ref().map_or(f64::INFINITY, |side| side.watts(thin.wire));
    part.standing == Standing::AsFound
        && part_type.elements.iter().any(is_glass)
        && !ctx.is_new(thin.wire)
        && amps <= thin.rated.best_amps * AS_BUILT
        && ctx.after.watts(thin.wire) <= watts_before * 1.02 + 1.0
}

fn finding(ctx: &Ctx<'_>, fuse: usize, amps: f64, worst: &Thin, thin: &[Thin]) -> Finding {
    let name = ctx.fuse_name(fuse);
    let wires = thin.iter().map(|thin| thin.wire);
    let limit = worst.rated.amps;
    let doubt = if worst.rated.is_cover_known { "" } else { ", its cover not being known" };
    let others = match thin.len() {
        1 => String::new(),
        n => format!("; {} more behind it are as thin or nearly so", n - 1),
    };
    let says = format!(
        "{name} carries {} and {} is good for {}{doubt}{others}",
        loomwright_units::Amps(amps),
        ctx.wire_name(worst.wire),
        loomwright_units::Amps(limit),
    );
    let source = if worst.level == Level::Danger {
        "fuse at most what the cable carries (IEC 60364-4-43, 433.1); cable by suppliers' tables"
    } else {
        worst.rated.source
    };
    let part = ctx.after.wiring.links[fuse].kind.part();
    let finding = Rule::says(&RULE, says)
        .level(worst.level)
        .advise(
            "Fit a smaller fuse or thicker cable, or a second fuse where the cable gets thinner",
        )
        .parts(part)
        .wires(wires)
        .figure("fuse_amps", amps)
        .figure("limit_amps", limit)
        .source(source);
    fixes(ctx, fuse, amps, thin, finding)
}

fn fixes(ctx: &Ctx<'_>, fuse: usize, amps: f64, thin: &[Thin], mut finding: Finding) -> Finding {
    let least = thin.iter().map(|thin| thin.rated.amps).fold(f64::INFINITY, f64::min);
    let load = load_amps(ctx, fuse);
    let LinkKind::Fuse { part, .. } = ctx.after.wiring.links[fuse].kind else { return finding };
    let (carries, blows) = ctx.fuse_facts(fuse);
    let is_british = blows.as_ref().is_some_and(|name| {
        ctx.part(part).is_some_and(|(part, kind)| part.fact(kind, name).is_some())
    });
    if is_british {
        if let (Some(name), Some(rating)) = (blows, glass_at_most(least))
            && rating / 2.0 >= load
        {
            let edit = british(ctx, part, &name, carries.as_deref(), rating);
            finding = finding.fix(format!("Fit a {rating} A glass fuse"), Trust::Ask, edit);
        }
    } else if let (Some(name), Some(rating)) = (carries, blade_at_most(least))
        && rating >= load
    {
        let edit = ctx.set_fact(part, &name, rating);
        finding = finding.fix(format!("Fit a {rating} A fuse"), Trust::Ask, edit);
    }
    let sizes: Option<Vec<_>> = thin
        .iter()
        .map(|thin| {
            let wire = ctx.wire(thin.wire)?;
            Some((thin.wire, size_for(amps, wire.size?, wire.insulation)?))
        })
        .collect();
    let title = if thin.len() == 1 { "Run thicker cable" } else { "Run thicker cables" };
    let edit = sizes.and_then(|sizes| ctx.resize(&sizes));
    finding.fix(title, Trust::Ask, edit)
}

fn british(
    ctx: &Ctx<'_>,
    id: loomwright_circuit::PartId,
    blows: &str,
    carries: Option<&str>,
    rating: f64,
) -> Option<Edit> {
    let mut part = ctx.car.part(id)?.clone();
    part.facts.insert(blows.to_owned(), rating);
    if let Some(carries) = carries
        && part.facts.contains_key(carries)
    {
        part.facts.insert(carries.to_owned(), rating / 2.0);
    }
    Some(Edit::SetPart(id, part))
}

/// What all consumers behind a fuse take at their marked power, A.
fn load_amps(ctx: &Ctx<'_>, fuse: usize) -> f64 {
    let wiring = &ctx.after.wiring;
    let ends = wiring.links[fuse].ends;
    let wires = ends.into_iter().flat_map(|end| wiring.wires_at(end));
    let watts = wires.map(|wire| ctx.after.watts(wire)).fold(0.0, f64::max);
    watts / ctx.car.vehicle().voltage.volts().0
}

fn as_built(ctx: &Ctx<'_>, built: &[(usize, f64, Vec<Thin>)]) -> Option<Finding> {
    let (_, amps, thin) = built.first()?;
    let worst = thin.first()?;
    let names: Vec<String> = built.iter().map(|(fuse, ..)| ctx.fuse_name(*fuse)).collect();
    let says = format!(
        "{} {} more than the leads behind: {} against {} for {}; the car was built so",
        crate::words::list(&names),
        if names.len() == 1 { "carries" } else { "carry" },
        loomwright_units::Amps(*amps),
        loomwright_units::Amps(worst.rated.amps),
        ctx.wire_name(worst.wire),
    );
    let parts = built.iter().filter_map(|(fuse, ..)| ctx.after.wiring.links[*fuse].kind.part());
    let wires = built.iter().flat_map(|(_, _, thin)| thin.iter().map(|thin| thin.wire));
    let finding = Rule::says(&RULE, says).level(Level::Advice);
    let finding = finding
        .advise("A known weakness of the car, not of your work: fit the smallest fuse that holds")
        .parts(parts)
        .wires(wires)
        .figure("fuse_amps", *amps)
        .figure("limit_amps", worst.rated.amps)
        .source("practice");
    Some(finding)
}
