//! Fixes that change a fuse or put one in.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::{FuseFamily, LoadFamily};
use loomwright_circuit::seen::Gauge;
use loomwright_circuit::{Anchor, Edit, PartId, Wire, WireId};
use loomwright_units::{Amps, Metres, WireArea, exact};

use crate::ctx::Ctx;
use crate::earths::unearthed;
use crate::fix::{fit_ends, id_once_placed, moved, wire_to_fit};
use crate::limits::{
    blade_for, glass_at_most, glass_for, rating_at_most, rating_for, rating_with_room, size_for,
};
use crate::messages::FuseFixes;
use crate::places::part_near;
use crate::unfused::{depth, fuses_at_the_far_end};
use crate::wiring::LoadKind;
use crate::words::tenths;

/// A fuse put in at the source.
pub(crate) struct AtSource {
    pub(crate) rating: f64,
    /// The wire that it is put into.
    pub(crate) first: WireId,
    /// Wires that get thicker cable with it.
    pub(crate) thicker: Vec<WireId>,
    pub(crate) edit: Edit,
}

/// A blade fuse into the first wire of a run that has one way in, with a short lead before it, and thicker cable where
/// a wire behind it would carry less than the fuse.
pub(crate) fn fuse_at_source(ctx: &Ctx<'_>, run: &[WireId], amps: f64) -> Result<AtSource, String> {
    let nowhere = || FuseFixes::nowhere_to_fit().to_owned();
    let first = *run.first().ok_or_else(nowhere)?;
    let (rating, sizes) = rating_before(ctx, run, amps)?;
    let ends = ctx.after.wiring.wire_ends().find(|(wire, _)| *wire == first).map(|(_, ends)| ends);
    let (ends, wire) = ends.zip(ctx.wire(first)).ok_or_else(nowhere)?;
    let depth_of = |end| depth(ctx, [end, end]);
    let source_is_from = depth_of(ends[0]) <= depth_of(ends[1]);
    let source = if source_is_from { wire.from.at.clone() } else { wire.to.at.clone() };
    let others_leave = run[1..].iter().any(|other| {
        ctx.wire(*other).is_some_and(|other| other.ends().iter().any(|end| end.at == source))
    });
    if others_leave {
        return Err(FuseFixes::several_leave().to_owned());
    }
    if is_fed_by_another(ctx, run) {
        return Err(FuseFixes::fed_twice().to_owned());
    }
    put_in(ctx, first, (source, source_is_from), rating, sizes).ok_or_else(nowhere)
}

/// The blade fuse for a run, with the wires behind it that get thicker cable: with room for cold filaments, where the cable
/// bears that as it is.
fn rating_before(
    ctx: &Ctx<'_>,
    run: &[WireId],
    amps: f64,
) -> Result<(f64, Vec<(WireId, WireArea)>), String> {
    // What fuses behind it let through has their room already.
    let is_roomy = fuses_at_the_far_end(ctx, run).is_empty() && is_steady(ctx, run.iter().copied());
    let roomy = rating_with_room(FuseFamily::Blade, amps).filter(|_| is_roomy);
    if let Some(rating) = roomy
        && thicker(ctx, run, rating)?.is_empty()
    {
        return Ok((rating, Vec::new()));
    }
    let none = || FuseFixes::none_so_large(Amps(tenths(amps)));
    let rating = blade_for(amps).ok_or_else(none)?;
    Ok((rating, thicker(ctx, run, rating)?))
}

/// Puts the fuse into the first wire, at the end where it is fed.
fn put_in(
    ctx: &Ctx<'_>,
    first: WireId,
    (source, source_is_from): (Anchor, bool),
    rating: f64,
    sizes: Vec<(WireId, WireArea)>,
) -> Option<AtSource> {
    let wire = ctx.wire(first)?;
    let mut fuse = part_near(ctx.car, source.part()?, "fuse-blade")?;
    fuse.facts.insert("amps".to_owned(), rating);
    let fuse_id = id_once_placed(ctx.car, &fuse)?;
    let mut behind = sized(ctx, first, &sizes)?;
    let end = if source_is_from { &mut behind.from } else { &mut behind.to };
    // What was fitted for the source stays there, on the new lead.
    let at_source = end.fitting.take();
    end.at = Anchor::terminal(fuse_id, "2");
    let to = Anchor::terminal(fuse_id, "1");
    let mut lead = wire_to_fit(source, to, wire.colour, behind.size, LEAD.0);
    lead.from.fitting = at_source;
    for wire in [&mut behind, &mut lead] {
        fit_ends(ctx.car, Some((fuse_id, &fuse)), wire);
    }
    let mut edits = vec![Edit::Place(fuse), moved(first, behind), Edit::Run(lead)];
    for &(id, _) in sizes.iter().filter(|(id, _)| *id != first) {
        edits.push(Edit::AlterWire(id, sized(ctx, id, &sizes)?));
    }
    let thicker = sizes.into_iter().map(|(id, _)| id).collect();
    Some(AtSource { rating, first, thicker, edit: Edit::All(edits) })
}

/// Whether something that a run feeds has another feed with a fuse, round the run.
fn is_fed_by_another(ctx: &Ctx<'_>, run: &[WireId]) -> bool {
    let side = &ctx.after;
    let mut loads = run.iter().flat_map(|wire| side.fed_by(*wire));
    loads.any(|&(load, _)| {
        let ends = side.wiring.loads[load].ends.into_iter().filter(|&end| !side.hard_earth[end]);
        let fused = ends.flat_map(|end| side.live.regular(end)).filter(|way| !way.fuses.is_empty());
        fused
            .into_iter()
            .any(|way| !side.wires_of(way).iter().any(|wire| run.first() == Some(wire)))
    })
}

/// The wires behind a new fuse before a run that carry less than it, with the size that carries as much; or why there
/// are none, as where a size is not known.
fn thicker(ctx: &Ctx<'_>, run: &[WireId], rating: f64) -> Result<Vec<(WireId, WireArea)>, String> {
    let side = &ctx.after;
    let mut behind: BTreeSet<WireId> = run.iter().copied().collect();
    for &(_, ends) in &side.wiring.wire_ends().collect::<Vec<_>>() {
        for way in ends.into_iter().filter(|&end| !side.hard_earth[end]).flat_map(|end| {
            side.live.regular(end).filter(|way| way.fuses.is_empty() && !way.is_limited)
        }) {
            let on_way = side.wires_of(way);
            let from = on_way.iter().position(|wire| Some(wire) == run.first());
            behind.extend(from.into_iter().flat_map(|from| on_way[from..].iter().copied()));
        }
    }
    let mut sizes = Vec::new();
    for wire in behind {
        let unknown = || FuseFixes::size_unknown(ctx.wire_name(wire));
        let rated = ctx.rated(wire).ok_or_else(unknown)?;
        if rated.amps < rating {
            let size = size_for(rating, rated.size, rated.insulation);
            sizes.push((wire, size.ok_or_else(|| FuseFixes::no_cable(exact(rating)))?));
        }
    }
    Ok(sizes)
}

/// A wire with the size that it is to get, if it gets another.
pub(crate) fn sized(ctx: &Ctx<'_>, id: WireId, sizes: &[(WireId, WireArea)]) -> Option<Wire> {
    let mut wire = ctx.wire(id)?.clone();
    if let Some((_, size)) = sizes.iter().find(|(known, _)| *known == id) {
        wire.size = Some(*size);
        wire.seen.gauge = wire.seen.gauge.map(|_| Gauge::Copper);
    }
    Some(wire)
}

/// The lead before a fuse at the source: a car's usual limit is 300 mm (practice).
pub(crate) const LEAD: Metres = Metres(0.15);

/// A smaller fuse of the same kind.
pub(crate) struct Smaller {
    pub(crate) title: String,
    pub(crate) edit: Edit,
    /// The largest that the cable bears, A, where what hangs on the fuse wants no such large one.
    pub(crate) cable_bears: Option<f64>,
}

/// A fuse of the same kind that carries at most this: the one that suits what hangs on it, or the largest if that bears
/// the load; or why there is none.
pub(crate) fn smaller_fuse(ctx: &Ctx<'_>, fuse: usize, amps: f64) -> Result<Smaller, String> {
    let unread = || FuseFixes::unread().to_owned();
    let part = ctx.after.wiring.links[fuse].kind.part().ok_or_else(unread)?;
    let load = borne_amps(ctx, fuse);
    let too_large = || FuseFixes::load_too_large(Amps(tenths(load)));
    let (carries, blows) = ctx.fuse_facts(fuse);
    let (row, part_type) = ctx.part(part).ok_or_else(unread)?;
    if let Some(name) = blows.filter(|name| row.fact(part_type, name).is_some()) {
        let rating = glass_at_most(amps).filter(|rating| rating / 2.0 >= load);
        let rating = rating.ok_or_else(too_large)?;
        let edit = british(ctx, part, &name, carries.as_deref(), rating).ok_or_else(unread)?;
        let title = FuseFixes::fix_glass(exact(rating));
        return Ok(Smaller { title, edit, cable_bears: None });
    }
    // One whose number nobody can read is told as that first.
    let family = ctx.fuse_rating(fuse).ok_or_else(unread)?.family;
    let largest = rating_at_most(family, amps).filter(|rating| *rating >= load);
    let largest = largest.ok_or_else(too_large)?;
    let suits =
        is_steady(ctx, ctx.wires_behind(fuse)).then(|| rating_with_room(family, load)).flatten();
    let suits = suits.filter(|rating| *rating < largest);
    let rating = suits.unwrap_or(largest);
    let edit = carries.and_then(|name| ctx.set_fact(part, &name, rating)).ok_or_else(unread)?;
    let title = FuseFixes::fix_fuse(exact(rating), ctx.fuse_word(fuse));
    Ok(Smaller { title, edit, cable_bears: suits.map(|_| largest) })
}

/// Whether nothing that these wires feed takes much more for longer than a moment, as motors do that run up, or takes what
/// nobody can say, as what is plugged in.
fn is_steady(ctx: &Ctx<'_>, wires: impl Iterator<Item = WireId>) -> bool {
    let side = &ctx.after;
    let loads = wires.flat_map(|wire| side.fed_by(wire).iter());
    let mut loads = loads.map(|&(load, _)| side.wiring.loads[load].kind).peekable();
    let steady = |kind| {
        matches!(
            kind,
            LoadKind::Filament
                | LoadKind::Led
                | LoadKind::Coil
                | LoadKind::Voltmeter
                | LoadKind::Consumer(LoadFamily::Heater)
        )
    };
    loads.peek().is_some() && loads.all(steady)
}

/// The smallest rating of the same kind that bears all that hangs on a fuse, and what that is, both in A; nothing of an
/// old glass fuse, whose number is another.
pub(crate) fn fuse_for_load(ctx: &Ctx<'_>, fuse: usize) -> Option<(f64, f64)> {
    let family = ctx.fuse_rating(fuse)?.family;
    let load = tenths(borne_amps(ctx, fuse));
    let is_glass = family == FuseFamily::Glass;
    Some((rating_for(family, load).filter(|_| !is_glass)?, load))
}

/// The smallest fuse of the same kind that bears this load all day, if every wire behind it carries as much; or why there
/// is none.
pub(crate) fn larger_fuse(ctx: &Ctx<'_>, fuse: usize, amps: f64) -> Result<(String, Edit), String> {
    let unknown = || FuseFixes::wires_unknown().to_owned();
    let rated = ctx.wires_behind(fuse).map(|wire| Some((wire, ctx.rated(wire)?.amps)));
    let rated: Vec<(WireId, f64)> = rated.collect::<Option<_>>().ok_or_else(unknown)?;
    let weakest = rated.into_iter().min_by(|a, b| a.1.total_cmp(&b.1));
    let least = weakest.map_or(f64::INFINITY, |(_, amps)| amps);
    let too_thin = || match weakest {
        Some((wire, amps)) => FuseFixes::wire_too_thin(ctx.wire_name(wire), Amps(tenths(amps))),
        None => FuseFixes::none_so_large(Amps(tenths(amps))),
    };
    let (carries, blows) = ctx.fuse_facts(fuse);
    let part = ctx.after.wiring.links[fuse].kind.part();
    let (row, part_type) = part.and_then(|part| ctx.part(part)).ok_or_else(unknown)?;
    let part = part.ok_or_else(unknown)?;
    if let Some(name) = blows.filter(|name| row.fact(part_type, name).is_some()) {
        let rating = glass_for(amps).filter(|rating| rating / 2.0 <= least).ok_or_else(too_thin)?;
        let edit = british(ctx, part, &name, carries.as_deref(), rating).ok_or_else(unknown)?;
        return Ok((FuseFixes::fix_glass(exact(rating)), edit));
    }
    let family = ctx.fuse_rating(fuse).map_or(FuseFamily::Blade, |fuse| fuse.family);
    let rating = rating_for(family, amps).filter(|rating| *rating <= least).ok_or_else(too_thin)?;
    let word = ctx.fuse_word(fuse);
    let edit = carries.and_then(|carries| ctx.set_fact(part, &carries, rating));
    Ok((FuseFixes::fix_fuse(exact(rating), word), edit.ok_or_else(unknown)?))
}

fn british(
    ctx: &Ctx<'_>,
    id: PartId,
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

/// The most that a fuse has to bear, A: what the states show through it, with what has no way home as it is drawn and takes
/// its share as soon as that is mended; never more than what hangs on it takes at once.
fn borne_amps(ctx: &Ctx<'_>, fuse: usize) -> f64 {
    let wiring = &ctx.after.wiring;
    let wires = || wiring.links[fuse].ends.into_iter().flat_map(|end| wiring.wires_at(end));
    let unearthed: Vec<usize> = unearthed(ctx).into_iter().map(|(load, _)| load).collect();
    let watts = |wire: WireId, is_it: &dyn Fn(usize) -> bool| -> f64 {
        let loads = ctx.after.fed_by(wire).iter().map(|&(load, _)| load);
        ctx.after.watts_at_once(loads.filter(|load| is_it(*load)))
    };
    let amps = |is_it: &dyn Fn(usize) -> bool| {
        let most = wires().map(|wire| watts(wire, is_it)).fold(0.0, f64::max);
        most / ctx.car.vehicle().voltage.volts().0
    };
    amps(&|_| true).min(met_amps(ctx, fuse) + amps(&|load| unearthed.contains(&load)))
}

/// The most that the states show through a fuse, with the room that it wants; without them nothing is known.
fn met_amps(ctx: &Ctx<'_>, fuse: usize) -> f64 {
    let link = ctx.after.wiring.links[fuse];
    let terminals = link.ends.map(|end| ctx.after.wiring.terminal(end).map(|(_, name)| name));
    let met = ctx.extremes().fuses.iter().find(|met| {
        let between = [&met.between[0], &met.between[1]].map(|name| Some(name.as_str()));
        Some(met.part) == link.kind.part() && between == terminals
    });
    let greatest = met.and_then(|met| met.greatest);
    greatest.map_or(f64::INFINITY, |met| met.value.0.abs() / 0.8)
}
