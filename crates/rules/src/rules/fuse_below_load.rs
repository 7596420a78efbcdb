//! A fuse that what hangs on it opens, sooner or later.

use loomwright_circuit::part_type::FuseFamily;
use loomwright_circuit::{PartId, Standing};
use loomwright_electrics::Settled;
use loomwright_electrics::fuse::Rating;
use loomwright_units::{Amps, Seconds};

use crate::ctx::{Ctx, is_shorted};
use crate::fuse_dark::dark;
use crate::fuse_fix::larger_fuse;
use crate::fuse_start::{Start, opening_start};
use crate::messages::PR04;
use crate::rule::{Needs, Out, Rule};
use crate::rules::{charging_way, generators};
use crate::wiring::LinkKind;
use crate::words::tenths;
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "PR04",
    name: "fuse-below-load",
    title: "Fuse too small",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("fuse_below_load.md"),
    needs: Needs::States,
    check,
};

/// A load of more than this share of the rating ages the fuse (practice: load at 75 to 80 % of the rating).
const AGES: f64 = 0.8;

/// Over this share nobody vouches for the fuse.
///
/// # Source
/// ISO 8820-3: 110 % for 100 hours without opening (memory).
const HOLDS: f64 = 1.1;

/// The longest that a starter is worked at a time (practice: not over half a minute).
const CRANKING: Seconds = Seconds(30.0);

/// The worst that a fuse meets.
#[derive(Debug, Clone, Copy)]
struct Worst {
    amps: f64,
    visit: usize,
    is_cranking: bool,
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for link in 0..ctx.after.wiring.links.len() {
        if let Some(rating) = ctx.fuse_rating(link)
            && let Some(worst) = worst(ctx, link, rating)
        {
            out.push(finding(ctx, link, rating, worst));
        } else if let Some(rating) = ctx.fuse_rating(link)
            && let Some(start) = opening_start(ctx, link, rating)
        {
            out.push(at_start(ctx, link, rating, start));
        }
    }
    for (id, output, amps) in generators(ctx) {
        in_charging_lead(ctx, id, output, amps, out);
    }
}

/// Fuses between a generator and the battery that its full output opens, as after a flat battery.
fn in_charging_lead(ctx: &Ctx<'_>, id: PartId, output: &str, amps: f64, out: &mut Out) {
    let side = &ctx.after;
    let way = side.wiring.spot(id, output).and_then(|output| charging_way(ctx, output));
    for &link in way.map_or(&[][..], |way| &way.fuses) {
        let Some(rating) = ctx.fuse_rating(link).filter(|it| it.carries < amps) else { continue };
        let fuse = side.wiring.links[link].kind.part();
        let is_new =
            |part: PartId| ctx.car.part(part).is_some_and(|part| part.standing == Standing::ToFit);
        let is_told =
            |known: &Finding| known.code == RULE.code && known.parts.first() == fuse.as_ref();
        if out.findings.iter().any(is_told) {
            continue;
        }
        let (name, generator) = (ctx.fuse_name(link), ctx.part_name(id));
        let is_ours = is_new(id) || fuse.is_some_and(is_new) || ctx.before.is_none();
        out.push(
            RULE.says(PR04::says_charging(&name, Amps(rating.carries), &generator, Amps(amps)))
                .level(if is_ours { Level::Fault } else { Level::Advice })
                .advise(PR04::advice_charging())
                .parts(fuse)
                .parts([id])
                .figure("amps", amps)
                .figure("limit_amps", rating.carries)
                .source(PR04::source_opens()),
        );
    }
}

fn worst(ctx: &Ctx<'_>, link: usize, rating: Rating) -> Option<Worst> {
    let LinkKind::Fuse { part, element } = ctx.after.wiring.links[link].kind else { return None };
    // A link is cable: what it carries all day does not age it.
    let ages = if rating.family == FuseFamily::Link { 1.0 } else { AGES };
    let least = rating.carries * ages;
    // A fuse that never carries much, shorts and cranking included, needs no second look.
    let is_candidate =
        ctx.extremes().fuses.iter().any(|known| {
            known.part == part && known.greatest.is_some_and(|met| met.value.0 > least)
        });
    if !is_candidate {
        return None;
    }
    let mut worst: Option<Worst> = None;
    for (visit_idx, visit) in ctx.visits().filter(|(_, visit)| !is_shorted(visit)) {
        let Some(amps) = heating(&visit.settled, part, element) else { continue };
        if amps <= worst.map_or(least, |worst| worst.amps) * (1.0 + 1e-9) {
            continue;
        }
        let is_cranking = ctx.is_cranking(visit_idx);
        // A starter is worked for seconds: only a fuse that opens in them counts.
        if is_cranking && rating.opens_within(Amps(amps)).is_none_or(|time| time > CRANKING) {
            continue;
        }
        worst = Some(Worst { amps, visit: visit_idx, is_cranking });
    }
    worst
}

/// The current that heats a fuse as much as what flows: with a flasher at work, the root of the mean square of both
/// phases, which are about equally long.
fn heating(settled: &Settled, part: PartId, element: usize) -> Option<f64> {
    let amps = |solution: &loomwright_electrics::Solution| {
        Some(solution.element(part, element)?.amps().0.abs())
    };
    let on = amps(&settled.on)?;
    Some(match settled.off.as_ref().and_then(amps) {
        Some(off) => f64::midpoint(on * on, off * off).sqrt(),
        None => on,
    })
}

fn finding(ctx: &Ctx<'_>, link: usize, rating: Rating, worst: Worst) -> Finding {
    let opens = rating.opens_within(Amps(worst.amps));
    let dark = ctx.visit(worst.visit).map_or_else(Vec::new, |visit| dark(ctx, link, visit));
    let (level, says) = if rating.is_breaker() && opens.is_none() {
        breaker_says(ctx, link, rating, worst.amps, &dark)
    } else {
        fuse_says(ctx, link, rating, worst, &dark)
    };
    let finding = RULE
        .says(says)
        .level(level)
        .advise(PR04::advice(ctx.fuse_word(link)))
        .parts(ctx.after.wiring.links[link].kind.part())
        .parts(dark)
        .figure("amps", worst.amps)
        .figure("limit_amps", rating.carries)
        .figure("opens_within_seconds", opens.map_or(f64::NAN, |time| time.0))
        .shown(ctx.shown(worst.visit))
        .source(if level == Level::Advice { PR04::source_load() } else { PR04::source_opens() });
    match larger_fuse(ctx, link, worst.amps) {
        Ok((title, edit)) => finding.fix(title, Trust::Ask, Some(edit)),
        Err(why) => finding.unfixed(why),
    }
}

/// What becomes of a fuse, or of a breaker that is sure to open.
fn fuse_says(
    ctx: &Ctx<'_>,
    link: usize,
    rating: Rating,
    worst: Worst,
    dark: &[PartId],
) -> (Level, String) {
    let name = ctx.fuse_name(link);
    let (load, limit) = (Amps(tenths(worst.amps)), Amps(rating.carries));
    let share = worst.amps / rating.carries;
    let opens = rating.opens_within(Amps(worst.amps));
    let is_link = rating.family == FuseFamily::Link;
    let dangers = if dark.is_empty() { Level::Fault } else { Level::Danger };
    if opens.is_some() || (share > HOLDS && !rating.is_british && !is_link) {
        let when = opens.map_or_else(|| PR04::sooner_or_later().to_owned(), within);
        let while_cranking = if worst.is_cranking { PR04::while_cranking() } else { "" };
        let goes = if dark.len() == 1 { "goes" } else { "go" };
        let back = if rating.closes_again() { PR04::back_when_cool() } else { "" };
        let and = dark_too(ctx, dark, &PR04::goes_dark(goes, back));
        let says = PR04::says_opens(&name, load, while_cranking, limit, &when, &and);
        return (dangers, says);
    }
    if is_link {
        let says = PR04::says_link(&name, load, limit);
        return (Level::Advice, says);
    }
    if share > 1.0 {
        let and = dark_too(ctx, dark, PR04::with_it());
        let says = PR04::says_ages(&name, load, limit, &and);
        return (dangers, says);
    }
    let says = PR04::says_ages_by_it(&name, load, share * 100.0, limit);
    (Level::Advice, says)
}

/// What becomes of a breaker up to the current that is sure to open it: it does not age, and nobody can tell.
fn breaker_says(
    ctx: &Ctx<'_>,
    link: usize,
    rating: Rating,
    amps: f64,
    dark: &[PartId],
) -> (Level, String) {
    let name = ctx.fuse_name(link);
    let (load, limit) = (Amps(tenths(amps)), Amps(rating.carries));
    if amps <= rating.carries {
        let share = amps / rating.carries * 100.0;
        let says = PR04::says_hot_day(&name, load, share, limit);
        return (Level::Advice, says);
    }
    let sure = rating.carries * rating.gates().first().map_or(1.0, |gate| gate.multiple);
    let and = dark_too(ctx, dark, PR04::with_it());
    let level = if dark.is_empty() { Level::Fault } else { Level::Danger };
    let says = PR04::says_may_hold(&name, load, limit, Amps(tenths(sure)), &and);
    (level, says)
}

/// A fuse that bears what runs, and not the start of it.
fn at_start(ctx: &Ctx<'_>, link: usize, rating: Rating, start: Start) -> Finding {
    let says = PR04::says_start(
        ctx.fuse_name(link),
        Amps(rating.carries),
        ctx.part_name(start.motor),
        Amps(tenths(start.amps)),
        within(start.within),
    );
    let finding = RULE
        .says(says)
        .level(Level::Fault)
        .advise(PR04::advice_start(ctx.fuse_word(link)))
        .parts(ctx.after.wiring.links[link].kind.part())
        .parts([start.motor])
        .figure("amps", start.amps)
        .figure("limit_amps", rating.carries)
        .figure("opens_within_seconds", start.within.0)
        .shown(ctx.shown(start.visit))
        .source(PR04::source_start());
    match larger_fuse(ctx, link, start.bears) {
        Ok((title, edit)) => finding.fix(title, Trust::Ask, Some(edit)),
        Err(why) => finding.unfixed(why),
    }
}

fn dark_too(ctx: &Ctx<'_>, dark: &[PartId], does: &str) -> String {
    match dark {
        [] => String::new(),
        _ => PR04::and_parts(ctx.part_names(dark.iter().copied()), does),
    }
}

/// "within 5 s", "within half an hour".
fn within(time: Seconds) -> String {
    match time.0 {
        seconds if seconds < 1.0 => PR04::at_once().to_owned(),
        seconds if seconds < 120.0 => PR04::within_seconds(seconds),
        seconds if seconds < 3600.0 => PR04::within_minutes(seconds / 60.0),
        _ => PR04::within_the_hour().to_owned(),
    }
}
