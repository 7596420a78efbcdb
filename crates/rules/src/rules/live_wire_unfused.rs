//! A live wire with nothing between it and the battery that would blow.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::{Anchor, Colour, ColourCode, Edit, Standing, WireId};
use loomwright_units::{Amps, Metres};

use crate::ctx::{Ctx, Side};
use crate::feeds::Way;
use crate::fix::{id_once_placed, part_near, wire_to_fit};
use crate::limits::blade_at_most;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LoadKind;
use crate::words::count;
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "PR02",
    name: "live-wire-unfused",
    title: "No fuse",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("live_wire_unfused.md"),
    needs: Needs::Drawing,
    check,
};

/// Copper from which a lead at the battery is a battery cable, mm² (practice).
const BATTERY_CABLE: f64 = 10.0;

/// A lead that feeds no more than this many amperes of relay coils and tell-tales is a trigger lead (practice).
const TRIGGER_AMPS: f64 = 1.0;

/// The alteration loads a lead more when it adds this many amperes and a tenth of what was there (practice).
const MORE_AMPS: f64 = 1.0;

/// What an unfused wire is, by who is to answer for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    /// Of the alteration, or of nobody knows whom.
    Added,
    /// The maker's, which the alteration loads more.
    LoadedMore,
    /// Feeds only coils and tell-tales.
    Trigger,
    /// The maker's, as found.
    AsBuilt,
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let mut by_kind: BTreeMap<Kind, BTreeSet<WireId>> = BTreeMap::new();
    let kinds: BTreeMap<WireId, Kind> =
        unfused(ctx).into_iter().map(|wire| (wire, kind_of(ctx, wire))).collect();
    for (&wire, &kind) in &kinds {
        let kind = if kind == Kind::AsBuilt && hangs_on_added(ctx, wire, &kinds) {
            Kind::Added
        } else {
            kind
        };
        by_kind.entry(kind).or_default().insert(wire);
    }
    for (kind, wires) in by_kind {
        if kind == Kind::AsBuilt {
            out.push(finding(ctx, kind, &wires.into_iter().collect::<Vec<_>>()));
        } else {
            for run in runs(ctx, &wires) {
                out.push(finding(ctx, kind, &run));
            }
        }
    }
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
    let is_cable = |wire: &WireId| {
        let ends = side.wiring.wire_ends().find(|(id, _)| id == wire);
        let at_battery = ends.is_some_and(|(_, ends)| side.hard_live[ends[0]]);
        let size = ctx.wire(*wire).and_then(|wire| wire.size);
        at_battery && size.is_some_and(|size| size.square_mm() >= BATTERY_CABLE * 0.96)
    };
    wires.retain(|wire| !starter.contains(wire) && !is_cable(wire));
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
    let is_built = is_makers(ctx, wire);
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

/// Whether it is as found and of a colour that makers left unfused: brown, white, blue and red in BS AU 7.
fn is_makers(ctx: &Ctx<'_>, id: WireId) -> bool {
    let Some(wire) = ctx.wire(id) else { return false };
    let main = wire.colour.map(|colour| colour.main);
    let is_unfused_colour = match ctx.car.vehicle().colours {
        ColourCode::None => true,
        ColourCode::Din => matches!(
            main,
            Some(Colour::Red | Colour::Black | Colour::White | Colour::Yellow | Colour::Slate)
        ),
        ColourCode::BsAu7 | ColourCode::BsAu7a => {
            let is_long_range = wire.colour.is_some_and(|c| c.tracer == Some(Colour::Yellow));
            matches!(main, Some(Colour::Brown | Colour::White | Colour::Blue | Colour::Red))
                && !(main == Some(Colour::Blue) && is_long_range)
        }
    };
    wire.standing == Standing::AsFound && is_unfused_colour
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
            || ctx.roles.load(load_idx) == Some(Role::TellTale)
            || load.watts <= 3.0
    };
    !fed.is_empty()
        && fed.iter().all(is_small)
        && side.watts(wire) / ctx.car.vehicle().voltage.volts().0 <= TRIGGER_AMPS
}

/// Wires that hang together, the one nearest the battery first.
fn runs(ctx: &Ctx<'_>, wires: &BTreeSet<WireId>) -> Vec<Vec<WireId>> {
    let ends: BTreeMap<WireId, [usize; 2]> = ctx.after.wiring.wire_ends().collect();
    let mut runs = ctx.runs(wires);
    for run in &mut runs {
        run.sort_by_key(|wire| (depth(ctx, ends[wire]), *wire));
    }
    runs
}

/// How many links lie between the battery and a wire.
fn depth(ctx: &Ctx<'_>, ends: [usize; 2]) -> usize {
    let ways = ends.into_iter().flat_map(|end| ctx.after.live.to(end));
    let bare = ways.filter(|way| way.fuses.is_empty());
    bare.map(|way| ctx.after.live.links_of(way).len()).min().unwrap_or(usize::MAX)
}

fn finding(ctx: &Ctx<'_>, kind: Kind, run: &[WireId]) -> Finding {
    let wires = count(run.len(), "wire", "wires");
    let names = ctx.wire_names(run.iter().copied());
    let volts = ctx.car.vehicle().voltage.volts().0;
    let amps = run.iter().map(|wire| ctx.after.watts(*wire)).fold(0.0, f64::max) / volts;
    let load = Amps(amps);
    let start = RULE.says(match kind {
        Kind::Added => format!(
            "From the battery to {names} there is nothing to blow but the wire, with up to {load} of consumers on it"
        ),
        Kind::LoadedMore => {
            format!("{names}, unfused since the car was built, would feed up to {load} after the alteration")
        }
        Kind::Trigger if run.len() == 1 => {
            format!("The trigger lead {names} starts from an unfused circuit")
        }
        Kind::Trigger => format!("The trigger leads {names} start from an unfused circuit"),
        Kind::AsBuilt => format!("{wires} of the car's own, live and unfused as built: {names}"),
    });
    let level = match kind {
        Kind::Added | Kind::LoadedMore => Level::Danger,
        Kind::Trigger | Kind::AsBuilt => Level::Advice,
    };
    let advice = match kind {
        Kind::Added => {
            "Fit a fuse where it leaves the supply, no larger than the thinnest wire behind it"
        }
        Kind::LoadedMore => {
            "Give the new load its own fused feed from the battery or the solenoid stud"
        }
        Kind::Trigger => "A small fuse where it leaves the circuit would save that circuit too",
        Kind::AsBuilt => {
            "A known weakness of the car, not of your work: keep these leads well clipped, or fuse them"
        }
    };
    let finding = start
        .level(level)
        .advise(advice)
        .wires(run.iter().copied())
        .figure("amps", amps)
        .source("practice: every added circuit is fused at its source");
    let edit = match kind {
        Kind::Added | Kind::Trigger => fuse_at_source(ctx, run, amps),
        Kind::LoadedMore | Kind::AsBuilt => None,
    };
    match edit {
        Some((rating, edit)) => {
            finding.fix(format!("Fit a {rating} A fuse at the source"), Trust::Ask, Some(edit))
        }
        None => finding,
    }
}

/// A blade fuse into the first wire of a run that has one way in, with a short lead before it.
fn fuse_at_source(ctx: &Ctx<'_>, run: &[WireId], amps: f64) -> Option<(f64, Edit)> {
    let first = *run.first()?;
    let least = run
        .iter()
        .map(|wire| ctx.rated(*wire).map(|rated| rated.amps))
        .try_fold(f64::INFINITY, |least, amps| amps.map(|amps| least.min(amps)))?;
    let rating = blade_at_most(least).filter(|rating| *rating >= amps)?;
    let (_, ends) = ctx.after.wiring.wire_ends().find(|(wire, _)| *wire == first)?;
    let wire = ctx.wire(first)?;
    let depth_of = |end| depth(ctx, [end, end]);
    let source_is_from = depth_of(ends[0]) <= depth_of(ends[1]);
    let source = if source_is_from { wire.from.at.clone() } else { wire.to.at.clone() };
    let others_leave = run[1..].iter().any(|other| {
        ctx.wire(*other).is_some_and(|other| other.ends().iter().any(|end| end.at == source))
    });
    if others_leave {
        return None;
    }
    let mut fuse = part_near(ctx.car, source.part()?, "fuse-blade")?;
    fuse.facts.insert("amps".to_owned(), rating);
    let fuse_id = id_once_placed(ctx.car, &fuse)?;
    let mut behind = wire.clone();
    let end = if source_is_from { &mut behind.from } else { &mut behind.to };
    end.at = Anchor::terminal(fuse_id, "2");
    let lead = wire_to_fit(source, Anchor::terminal(fuse_id, "1"), wire.colour, wire.size, LEAD.0);
    let mut lead = lead;
    lead.insulation = wire.insulation;
    Some((
        rating,
        Edit::All(vec![Edit::Place(fuse), Edit::AlterWire(first, behind), Edit::Run(lead)]),
    ))
}

/// The lead before a fuse at the source: a car's usual limit is 300 mm (practice).
const LEAD: Metres = Metres(0.15);
