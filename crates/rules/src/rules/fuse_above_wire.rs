//! A fuse that carries more than the wire behind it does.

use loomwright_circuit::Edit;
use loomwright_units::{Amps, WireArea, exact};

use crate::ctx::Ctx;
use crate::fix::all;
use crate::fuse_fix::{Smaller, fuse_for_load, smaller_fuse};
use crate::limits::size_for;
use crate::messages::{Common, PR01};
use crate::rule::{Needs, Out, Rule};
use crate::thin::{Thin, is_as_built, is_better_than_before, thin_wires};
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

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let mut built = Vec::new();
    for (fuse, mut thin) in thin_wires(ctx) {
        let Some(amps) = ctx.fuse_least(fuse) else { continue };
        thin.sort_by(|a, b| {
            a.level
                .cmp(&b.level)
                .then(a.rated.amps.total_cmp(&b.rated.amps))
                .then(a.wire.cmp(&b.wire))
        });
        let (better, thin): (Vec<_>, Vec<_>) =
            thin.into_iter().partition(|thin| is_better_than_before(ctx, fuse, thin));
        if !better.is_empty() {
            out.push(better_than_before(ctx, fuse, amps, &better));
        }
        if thin.is_empty() {
            continue;
        }
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

fn finding(ctx: &Ctx<'_>, fuse: usize, amps: f64, worst: &Thin, thin: &[Thin]) -> Finding {
    let name = ctx.fuse_name(fuse);
    let wires = thin.iter().map(|thin| thin.wire);
    let limit = worst.rated.amps;
    let doubt = if worst.rated.insulation.is_some() { "" } else { PR01::unknown_insulation() };
    let reading = match ctx.fuse_readings(fuse).len() {
        1 => "",
        _ => PR01::at_the_least(),
    };
    let others = match thin.len() {
        1 => String::new(),
        2 => PR01::one_more_wire().to_owned(),
        n => PR01::more_wires(n - 1),
    };
    let says = PR01::says(
        &name,
        Amps(amps),
        reading,
        ctx.wire_name(worst.wire),
        Amps(limit),
        doubt,
        &others,
    );
    let source = if worst.level <= Level::Fault { PR01::source() } else { worst.rated.source };
    let part = ctx.after.wiring.links[fuse].kind.part();
    let finding = Rule::says(&RULE, says)
        .level(worst.level)
        .parts(part)
        .wires(wires)
        .figure("fuse_amps", amps)
        .figure("limit_amps", limit)
        .source(source);
    fixes(ctx, fuse, amps, thin, finding)
}

fn fixes(ctx: &Ctx<'_>, fuse: usize, amps: f64, thin: &[Thin], mut finding: Finding) -> Finding {
    let least = thin.iter().map(|thin| thin.rated.amps).fold(f64::INFINITY, f64::min);
    let smaller = smaller_fuses(ctx, fuse, thin, least);
    let sizes: Option<Vec<_>> = thin
        .iter()
        .map(|thin| {
            let wire = ctx.wire(thin.wire)?;
            Some((thin.wire, size_for(amps, wire.copper()?, wire.insulation)?))
        })
        .collect();
    finding = finding.advise(advice(ctx, fuse, (thin, amps), smaller.as_ref().ok()));
    finding = match smaller {
        Ok(Smaller { title, edit, .. }) => finding.fix(title, Trust::Ask, Some(edit)),
        Err(why) => match for_load(ctx, fuse, (thin, amps)) {
            Some((title, edit)) => finding.fix(title, Trust::Ask, Some(edit)),
            None => finding.unfixed(why),
        },
    };
    let title =
        if thin.len() == 1 { Common::run_thicker_cable() } else { Common::run_thicker_cables() };
    let edit = sizes.and_then(|sizes| ctx.resize(&sizes));
    finding.fix(title, Trust::Ask, edit)
}

/// The fuse for what hangs on this one, with cable that bears it; nothing where that is no smaller, or none is sold.
fn for_load(ctx: &Ctx<'_>, fuse: usize, (thin, amps): (&[Thin], f64)) -> Option<(String, Edit)> {
    let (rating, _) = fuse_for_load(ctx, fuse).filter(|(rating, _)| *rating < amps)?;
    let weak = thin.iter().filter(|thin| thin.rated.amps < rating);
    let sizes: Option<Vec<_>> = weak
        .map(|thin| {
            let wire = ctx.wire(thin.wire)?;
            Some((thin.wire, size_for(rating, wire.copper()?, wire.insulation)?))
        })
        .collect();
    let part = ctx.after.wiring.links[fuse].kind.part()?;
    let (carries, _) = ctx.fuse_facts(fuse);
    let fitted = ctx.set_fact(part, &carries?, rating)?;
    let edit = all(vec![fitted, ctx.resize(&sizes?)?])?;
    Some((PR01::fix_both(exact(rating), ctx.fuse_word(fuse)), edit))
}

/// What to do, with its figures: the fuse that the cable bears, where it bears the load, too; else the fuse that bears the
/// load, and the cable that bears that fuse.
fn advice(
    ctx: &Ctx<'_>,
    fuse: usize,
    (thin, amps): (&[Thin], f64),
    smaller: Option<&Smaller>,
) -> String {
    let word = ctx.fuse_word(fuse);
    let cable = |amps: f64| {
        let weak = thin.iter().filter(|thin| thin.rated.amps < amps);
        let sizes = weak.map(|thin| size_for(amps, thin.rated.size, thin.rated.insulation));
        let sizes: Option<Vec<WireArea>> = sizes.collect();
        let largest = sizes?.into_iter().max_by(|a, b| a.square_mm().total_cmp(&b.square_mm()))?;
        Some(PR01::cable(largest))
    };
    let or_thicker = || cable(amps).unwrap_or_else(|| PR01::thicker_cable().to_owned());
    if let Some(Smaller { title, cable_bears, .. }) = smaller {
        return match cable_bears {
            Some(largest) => PR01::advice_suits(title, exact(*largest), or_thicker()),
            None => PR01::advice_smaller(title, or_thicker()),
        };
    }
    let for_load = fuse_for_load(ctx, fuse).filter(|(rating, _)| *rating < amps);
    let for_load = for_load.and_then(|(rating, load)| Some((rating, load, cable(rating)?)));
    match for_load {
        Some((rating, load, cable)) => PR01::advice_both(Amps(load), exact(rating), word, cable),
        None => PR01::advice_thicker(word, or_thicker()),
    }
}

/// A smaller fuse in place of this one, and of each other that alone guards these wires on another way to them.
fn smaller_fuses(ctx: &Ctx<'_>, fuse: usize, thin: &[Thin], least: f64) -> Result<Smaller, String> {
    let mut fuses = vec![fuse];
    let side = &ctx.after;
    for (_, ends) in
        side.wiring.wire_ends().filter(|(id, _)| thin.iter().any(|thin| thin.wire == *id))
    {
        let ends = ends.into_iter().filter(|&end| !side.hard_earth[end]);
        for way in ends.flat_map(|end| side.live.regular(end)).filter(|way| !way.is_limited) {
            if let Some((weakest, amps)) = ctx.weakest_fuse(way)
                && amps > least
                && !fuses.contains(&weakest)
            {
                fuses.push(weakest);
            }
        }
    }
    // A smaller fuse loses more volts: of several at once, only where the wires are in earnest.
    if fuses.len() > 1 && thin.iter().all(|thin| thin.level == Level::Advice) {
        return Err(PR01::several_fuses().to_owned());
    }
    let mut each =
        fuses.iter().map(|&fuse| smaller_fuse(ctx, fuse, least)).collect::<Result<Vec<_>, _>>()?;
    if each.len() == 1 {
        return Ok(each.remove(0));
    }
    let names: Vec<String> = fuses.iter().map(|&fuse| ctx.fuse_name(fuse)).collect();
    let edit = all(each.into_iter().map(|smaller| smaller.edit).collect());
    Ok(Smaller {
        title: PR01::fix_fuses(crate::words::list(&names)),
        edit: edit.ok_or_else(|| PR01::several_fuses().to_owned())?,
        cable_bears: None,
    })
}

/// As-found wires that had no fuse at all before this one, which is too large for them.
fn better_than_before(ctx: &Ctx<'_>, fuse: usize, amps: f64, thin: &[Thin]) -> Finding {
    let wires = thin.iter().map(|thin| thin.wire);
    let limit = thin.iter().map(|thin| thin.rated.amps).fold(f64::INFINITY, f64::min);
    let good_for = if thin.len() == 1 { PR01::good_for() } else { PR01::least_good_for() };
    let says = PR01::says_better(
        ctx.fuse_name(fuse),
        Amps(amps),
        ctx.wire_names(wires.clone()),
        good_for,
        Amps(limit),
    );
    RULE.says(says)
        .level(Level::Advice)
        .advise(PR01::advice_better())
        .parts(ctx.after.wiring.links[fuse].kind.part())
        .wires(wires)
        .figure("fuse_amps", amps)
        .figure("limit_amps", limit)
        .source(Common::practice())
}

fn as_built(ctx: &Ctx<'_>, built: &[(usize, f64, Vec<Thin>)]) -> Option<Finding> {
    let (_, amps, thin) = built.first()?;
    let worst = thin.first()?;
    let names: Vec<String> = built.iter().map(|(fuse, ..)| ctx.fuse_name(*fuse)).collect();
    let says = PR01::says_as_built(
        crate::words::list(&names),
        if names.len() == 1 { "carries" } else { "carry" },
        Amps(*amps),
        Amps(worst.rated.amps),
        ctx.wire_name(worst.wire),
    );
    let parts = built.iter().filter_map(|(fuse, ..)| ctx.after.wiring.links[*fuse].kind.part());
    let wires = built.iter().flat_map(|(_, _, thin)| thin.iter().map(|thin| thin.wire));
    let finding = Rule::says(&RULE, says).level(Level::Advice);
    let finding = finding
        .advise(PR01::advice_as_built())
        .parts(parts)
        .wires(wires)
        .figure("fuse_amps", *amps)
        .figure("limit_amps", worst.rated.amps)
        .source(Common::practice())
        .unfixed(PR01::built_so());
    Some(finding)
}
