//! Live wires without a fuse, and who is to answer for them.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::{Colour, ColourCode, Standing, Wire, WireColour, WireId};

use crate::ctx::Ctx;
use crate::feeds::{Way, Ways};
use crate::jobs::job_of;
use crate::roles::Role;
use crate::side::Side;
use crate::wiring::{Link, LinkKind, LoadKind};

/// Copper from which a lead at the battery is a battery cable, mm² (practice).
const BATTERY_CABLE: f64 = 10.0;

/// A lead that feeds no more than this many amperes of relay coils and tell-tales is a trigger lead (practice).
const TRIGGER_AMPS: f64 = 1.0;

/// The alteration loads a lead more when it adds this many amperes and a tenth of what was there (practice).
const MORE_AMPS: f64 = 1.0;

/// What an unfused wire is, by who is to answer for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    /// Of the alteration, or of nobody knows whom.
    Added,
    /// The maker's, which the alteration loads more.
    LoadedMore,
    /// Feeds only coils and tell-tales.
    Trigger,
    /// The maker's, as found.
    AsBuilt,
}

/// Unfused wires by what they are.
pub(crate) fn by_kind(ctx: &Ctx<'_>) -> BTreeMap<Kind, BTreeSet<WireId>> {
    let mut by_kind: BTreeMap<Kind, BTreeSet<WireId>> = BTreeMap::new();
    let feeds = unfused(ctx);
    let to_fuses = long_leads_to_fuses(ctx, &feeds);
    let kind = |wire: WireId| match kind_of(ctx, wire) {
        // The maker's lead to a fuse: what hangs on that fuse overloads it no further than the fuse lets through.
        Kind::LoadedMore if !feeds.contains(&wire) => Kind::AsBuilt,
        kind => kind,
    };
    let kinds: BTreeMap<WireId, Kind> =
        feeds.union(&to_fuses).map(|&wire| (wire, kind(wire))).collect();
    for (&wire, &kind) in &kinds {
        let kind = if kind == Kind::AsBuilt && hangs_on_added(ctx, wire, &kinds) {
            Kind::Added
        } else {
            kind
        };
        by_kind.entry(kind).or_default().insert(wire);
    }
    by_kind
}

/// Wires over which a consumer is fed without any fuse, the starter's feed and battery cables excepted.
fn unfused(ctx: &Ctx<'_>) -> BTreeSet<WireId> {
    let side = &ctx.after;
    let (mut wires, mut starter) = (BTreeSet::new(), BTreeSet::new());
    let mut trigger = BTreeSet::new();
    for (load_idx, load) in side.wiring.loads.iter().enumerate() {
        let role = ctx.roles.load(load_idx);
        for end in load.ends {
            let onto = match role {
                Some(Role::Starter) => &mut starter,
                Some(Role::StarterTrigger) => &mut trigger,
                _ => &mut wires,
            };
            onto.extend(unfused_to(side, end));
        }
    }
    for generator in &side.wiring.generators {
        for end in [generator.plus, generator.minus] {
            wires.extend(unfused_to(side, end));
        }
    }
    wires.extend(between_batteries(ctx));
    wires.retain(|wire| !starter.contains(wire) && !is_battery_cable(ctx, *wire));
    wires
}

fn is_battery_cable(ctx: &Ctx<'_>, wire: WireId) -> bool {
    let side = &ctx.after;
    let ends = side.wiring.wire_ends().find(|(id, _)| *id == wire);
    let at_battery =
        ends.is_some_and(|(_, ends)| side.hard_live[ends[0]] || is_behind_isolator(ctx, ends[0]));
    let size = ctx.wire(wire).and_then(|wire| wire.size);
    at_battery && size.is_some_and(|size| size.square_mm() >= BATTERY_CABLE * 0.96)
}

/// Whether copper and the contact of a battery isolator alone lead from the battery to a spot.
pub(crate) fn is_behind_isolator(ctx: &Ctx<'_>, spot: usize) -> bool {
    let side = &ctx.after;
    let is_isolator = |part| {
        let part = ctx.car.part(part);
        part.is_some_and(|part| part.type_name.starts_with("isolator"))
    };
    side.live.to(spot).any(|way| {
        side.live.links_of(way).iter().all(|&link| match side.wiring.links[link].kind {
            LinkKind::Wire(_) | LinkKind::Copper(_) => true,
            LinkKind::Contact { part, .. } => is_isolator(part),
            _ => false,
        })
    })
}

/// A lead from a live point to the fuse that guards it may be this long, m.
///
/// # Source
/// Practice: the fuse stands within about 0.3 m of the source.
pub const BARE_LEAD_METRES: f64 = 0.5;

/// Wires that run from a live point to a fuse with nothing before them that blows, and too long to go without. What the
/// maker laid counts as the point that the lead starts from, but is told too where it is long itself; so does what feeds
/// something without a fuse, which is told anyhow: no fuse at the end of the lead could be nearer to it.
fn long_leads_to_fuses(ctx: &Ctx<'_>, feeds: &BTreeSet<WireId>) -> BTreeSet<WireId> {
    let side = &ctx.after;
    let mut wires = BTreeSet::new();
    let fuses = side.wiring.links.iter().filter(|link| matches!(link.kind, LinkKind::Fuse { .. }));
    for end in fuses.flat_map(|link| link.ends) {
        if side.hard_earth[end] {
            continue;
        }
        let bare = side.live.regular(end).filter(|way| way.fuses.is_empty() && !way.is_limited);
        for way in bare {
            // A lead starts anew behind a battery cable, which is live by itself.
            let on_way = side.wires_of(way);
            for on_way in on_way.split(|&wire| is_battery_cable(ctx, wire)) {
                let of = |wire| (is_makers(ctx, wire), feeds.contains(&wire));
                for lead in on_way.chunk_by(|&a, &b| of(a) == of(b)) {
                    if metres(ctx, lead) > BARE_LEAD_METRES {
                        wires.extend(lead);
                    }
                }
            }
        }
    }
    wires
}

/// The length of a lead; one that is not measured may be long.
fn metres(ctx: &Ctx<'_>, lead: &[WireId]) -> f64 {
    let length = |&wire: &WireId| ctx.wire(wire).and_then(|wire| wire.length);
    lead.iter().map(|wire| length(wire).map_or(f64::INFINITY, |it| it.0)).sum()
}

/// Wires that join one battery's live post to another's and that one of them feeds without a fuse: a lead between two
/// batteries wants a fuse at both ends.
fn between_batteries(ctx: &Ctx<'_>) -> BTreeSet<WireId> {
    let side = &ctx.after;
    let supplies = &side.wiring.supplies;
    let mut wires = BTreeSet::new();
    if supplies.len() < 2 {
        return wires;
    }
    for from in supplies {
        let ways = Ways::from(&side.wiring, &[from.live], &side.hard_earth, !from.is_plus_live);
        for way in supplies.iter().filter(|to| to.live != from.live).flat_map(|to| ways.to(to.live))
        {
            let links = ways.links_of(way).into_iter().map(|link| side.wiring.links[link].kind);
            let before_fuse = links.take_while(|kind| !matches!(kind, LinkKind::Fuse { .. }));
            let lead: Vec<WireId> = before_fuse
                .filter_map(|kind| if let LinkKind::Wire(wire) = kind { Some(wire) } else { None })
                // A lead starts anew behind a battery cable, which is live by itself.
                .filter(|wire| !is_battery_cable(ctx, *wire))
                .collect();
            if metres(ctx, &lead) > BARE_LEAD_METRES {
                wires.extend(lead);
            }
        }
    }
    wires
}

fn unfused_to(side: &Side<'_>, end: usize) -> Vec<WireId> {
    if side.hard_earth[end] {
        return Vec::new();
    }
    let bare = |way: &&Way| way.fuses.is_empty() && !way.is_limited;
    side.live.regular(end).filter(bare).flat_map(|way| side.wires_of(way)).collect()
}

fn kind_of(ctx: &Ctx<'_>, wire: WireId) -> Kind {
    let volts = ctx.car.vehicle().voltage.volts().0;
    // What the maker fused and the alteration leaves without is not as built.
    let is_built = is_makers(ctx, wire) && !was_fused(ctx, wire);
    let before = ctx.before.as_ref().map_or(f64::INFINITY, |side| side.watts(wire));
    let added_amps = (ctx.after.watts(wire) - before) / volts;
    if is_built && added_amps > MORE_AMPS && added_amps * volts > before * 0.1 {
        Kind::LoadedMore
    } else if is_built {
        Kind::AsBuilt
    } else if is_trigger(ctx, wire) {
        Kind::Trigger
    } else {
        Kind::Added
    }
}

/// Whether what the alteration loads a lead with has a fuse of its own, and the lead bears all of it.
pub(crate) fn is_borne(ctx: &Ctx<'_>, wire: WireId) -> bool {
    let volts = ctx.system_volts();
    let amps = match ctx.extremes().wires.get(&wire) {
        Some(greatest) => greatest.value.0,
        None => ctx.after.watts(wire) / volts,
    };
    adds_little_bare(ctx, wire) && ctx.rated(wire).is_some_and(|rated| amps <= rated.amps)
}

/// Whether the lead would bear all of it for all that is known, its size not being known.
pub(crate) fn is_borne_if_thick(ctx: &Ctx<'_>, wire: WireId) -> bool {
    is_borne(ctx, wire) || ctx.rated(wire).is_none() && adds_little_bare(ctx, wire)
}

/// Whether what the alteration adds on it without a fuse of its own is next to nothing.
fn adds_little_bare(ctx: &Ctx<'_>, wire: WireId) -> bool {
    let before = ctx.before.as_ref().map_or(0.0, |side| bare_watts(side, wire));
    (bare_watts(&ctx.after, wire) - before) / ctx.system_volts() <= MORE_AMPS
}

/// The most marked power of the consumers that a wire feeds without any fuse, W.
fn bare_watts(side: &Side<'_>, wire: WireId) -> f64 {
    let is_bare = |load: usize| {
        let ends = side.wiring.loads[load].ends.into_iter();
        ends.flat_map(|end| unfused_to(side, end)).any(|on| on == wire)
    };
    side.watts_at_once(
        side.fed_by(wire).iter().map(|&(load, _)| load).filter(|&load| is_bare(load)),
    )
}

/// Whether every feed of a wire had a fuse before the alteration.
fn was_fused(ctx: &Ctx<'_>, wire: WireId) -> bool {
    let Some(before) = ctx.before.as_ref() else { return false };
    let ends = before.wiring.wire_ends().find(|(id, _)| *id == wire).map(|(_, ends)| ends);
    let ends = ends.into_iter().flatten().filter(|&end| !before.hard_earth[end]);
    let mut ways = ends.flat_map(|end| before.live.regular(end)).peekable();
    ways.peek().is_some() && ways.all(|way| !way.fuses.is_empty())
}

/// Whether it is as found, or new in the place of one that is to come off between the same parts and no thicker, and of
/// a colour that makers left unfused: brown, white, blue and red in BS AU 7. What is as found and has no colour yet is
/// judged by that of its job: the window proposes it, so filling it in must not be what clears or condemns a lead.
pub(crate) fn is_makers(ctx: &Ctx<'_>, id: WireId) -> bool {
    let Some(wire) = ctx.wire(id) else { return false };
    if wire.standing == Standing::ToFit {
        let parts = |wire: &Wire| wire.ends().map(|end| end.at.part());
        let area = |wire: &Wire| wire.size.map_or(0.0, |size| size.square_mm());
        let is_replaced = |old: &Wire| {
            old.standing == Standing::ToRemove
                && old.colour == wire.colour
                && parts(old) == parts(wire)
                && area(old) <= area(wire)
                && is_unfused_colour(ctx, old.colour)
        };
        return ctx.car.wires().values().any(is_replaced);
    }
    let is_of_job = || {
        let job = wire.colour.is_none().then(|| job_of(&ctx.after, &ctx.roles, id)).flatten();
        let colour = job.and_then(|job| job.colour(ctx.car.vehicle().colours));
        colour.is_some_and(|colour| is_unfused_colour(ctx, Some(colour)))
    };
    wire.standing == Standing::AsFound && (is_unfused_colour(ctx, wire.colour) || is_of_job())
}

fn is_unfused_colour(ctx: &Ctx<'_>, colour: Option<WireColour>) -> bool {
    let main = colour.map(|colour| colour.main);
    match ctx.car.vehicle().colours {
        ColourCode::None => true,
        ColourCode::Din => matches!(
            main,
            Some(Colour::Red | Colour::Black | Colour::White | Colour::Yellow | Colour::Slate)
        ),
        ColourCode::BsAu7 | ColourCode::BsAu7a => {
            let is_long_range = colour.is_some_and(|c| c.tracer == Some(Colour::Yellow));
            matches!(main, Some(Colour::Brown | Colour::White | Colour::Blue | Colour::Red))
                && !(main == Some(Colour::Blue) && is_long_range)
        }
    }
}

/// Whether every unfused way to a wire leads over one that was added: then it is part of that one's run.
fn hangs_on_added(ctx: &Ctx<'_>, wire: WireId, kinds: &BTreeMap<WireId, Kind>) -> bool {
    let side = &ctx.after;
    let ends = side.wiring.wire_ends().find(|(id, _)| *id == wire).map(|(_, ends)| ends);
    let ways = ends.into_iter().flatten().flat_map(|end| side.live.regular(end));
    let mut bare = ways.filter(|way| way.fuses.is_empty() && !way.is_limited).peekable();
    bare.peek().is_some()
        && bare.all(|way| side.wires_of(way).iter().any(|on| kinds.get(on) == Some(&Kind::Added)))
}

fn is_trigger(ctx: &Ctx<'_>, wire: WireId) -> bool {
    let side = &ctx.after;
    let fed = side.fed_by(wire);
    let is_small = |&(load_idx, _): &(usize, bool)| {
        let load = &side.wiring.loads[load_idx];
        load.kind == LoadKind::Coil
            || ctx.roles.load(load_idx).is_some_and(Role::is_tell_tale)
            || load.watts <= 3.0
    };
    !fed.is_empty()
        && fed.iter().all(is_small)
        && side.watts(wire) / ctx.car.vehicle().voltage.volts().0 <= TRIGGER_AMPS
}

/// The fuses that a run of unfused wires ends at, where it feeds nothing that has no fuse before it.
pub(crate) fn fuses_at_the_far_end(ctx: &Ctx<'_>, run: &[WireId]) -> Vec<usize> {
    let side = &ctx.after;
    let feeds = unfused(ctx);
    if run.iter().any(|wire| feeds.contains(wire)) {
        return Vec::new();
    }
    let on_run = |way: &Way| {
        way.fuses.is_empty() && side.wires_of(way).iter().any(|wire| run.contains(wire))
    };
    let links = side.wiring.links.iter().enumerate();
    let is_at_end = |&(_, link): &(usize, &Link)| {
        matches!(link.kind, LinkKind::Fuse { .. })
            && link.ends.iter().any(|&end| side.live.regular(end).any(on_run))
    };
    links.filter(is_at_end).map(|(idx, _)| idx).collect()
}

/// Wires that hang together, the one nearest the battery first.
pub(crate) fn runs(ctx: &Ctx<'_>, wires: &BTreeSet<WireId>) -> Vec<Vec<WireId>> {
    let ends: BTreeMap<WireId, [usize; 2]> = ctx.after.wiring.wire_ends().collect();
    let mut runs = ctx.runs(wires);
    for run in &mut runs {
        run.sort_by_key(|wire| (depth(ctx, ends[wire]), *wire));
    }
    runs
}

/// How many links lie between the battery and a wire.
pub(crate) fn depth(ctx: &Ctx<'_>, ends: [usize; 2]) -> usize {
    let ways = ends.into_iter().flat_map(|end| ctx.after.live.to(end));
    let bare = ways.filter(|way| way.fuses.is_empty());
    bare.map(|way| ctx.after.live.links_of(way).len()).min().unwrap_or(usize::MAX)
}
