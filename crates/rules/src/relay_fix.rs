//! The fix that lets a relay close to the load do what a switch or its lead cannot bear.
//!
//! The lead that fed the load becomes the trigger of the relay, which gets a fused feed of its own from the battery's
//! side; so whatever the switch went through before is spared, and nothing of it has to be laid anew.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::LoadFamily;
use loomwright_circuit::{
    Anchor, Colour, ColourCode, Edit, Insulation, PartId, Wire, WireColour, WireId,
};
use loomwright_units::WireArea;

use crate::ctx::Ctx;
use crate::cures::{BESIDE, TRIGGER, ids_once_placed};
use crate::fix::{Places, all, earth_colour, fit_ends, wire_to_fit};
use crate::fuse_fix::{LEAD, sized};
use crate::limits::{blade_for, size_for};
use crate::roles::Role;
use crate::wiring::{LinkKind, LoadKind, Spot};

/// What a common relay of this kind bears, A (practice).
const RELAYS: [f64; 3] = [30.0, 40.0, 70.0];

/// A relay carries no more of its rating than this all day (practice: 70 to 80 %).
const SHARE: f64 = 0.8;

/// The lead from the battery's side to a relay at the other end of the car is taken to be so long, m.
const FEED: f64 = 2.5;

/// A motor takes for its start what a fuse for so many times its current all day stands (practice).
const STARTS: f64 = 1.5;

/// Coils of relays for 6, 12 and 24 V, ohm (practice: some 1.7 W each).
const COILS: [(f64, f64); 3] = [(6.0, 20.0), (12.0, 85.0), (24.0, 255.0)];

/// What a contact feeds, and where a relay can take it over.
struct Taken {
    /// The wire that becomes the trigger.
    trigger: WireId,
    /// Where it ended, and the relay feeds on.
    onward: Spot,
    loads: BTreeSet<usize>,
    /// Wires between there and the loads, up to the next fuse.
    behind: BTreeSet<WireId>,
}

/// A relay with a fused feed of its own in the place of what a contact does between two of its terminals.
pub(crate) fn relay_for_contact(
    ctx: &Ctx<'_>,
    part: PartId,
    joins: &[String; 2],
    amps: f64,
) -> Option<Edit> {
    let taken = taken(ctx, part, joins)?;
    let rating = blade_for(amps * if has_motor(ctx, &taken) { STARTS } else { 1.0 })?;
    let source = feed_point(ctx)?;
    let mut places = Places::of(ctx.car);
    let onward = ctx.anchor(taken.onward)?;
    let mut relay = places.near(onward.part()?, "relay-make")?;
    let volts = ctx.system_volts();
    relay.facts.insert("volts".to_owned(), volts);
    let (_, ohms) = COILS.into_iter().find(|(known, _)| (known - volts).abs() < 1.0)?;
    relay.facts.insert("ohms".to_owned(), ohms);
    relay.facts.insert("amps".to_owned(), RELAYS.into_iter().find(|it| amps <= it * SHARE)?);
    let earth = places.near(onward.part()?, "body-earth")?;
    let mut fuse = places.near(source.part()?, "fuse-blade")?;
    fuse.facts.insert("amps".to_owned(), rating);
    let new = [relay, earth, fuse];
    let ids = ids_once_placed(ctx.car, &new)?;
    let &[relay, earth, fuse] = ids.as_slice() else { return None };

    let old = ctx.wire(taken.trigger)?;
    let mut trigger = old.clone();
    let end = if trigger.from.at == onward { &mut trigger.from } else { &mut trigger.to };
    let fitted = end.fitting.take();
    end.at = Anchor::terminal(relay, "86");
    trigger.route.clear();
    // What is made anew is of cable that is sold today.
    trigger.insulation = trigger.insulation.or(Some(Insulation::ThinWall));
    let thinnest = size_behind(rating)?;
    let coil = WireArea::new(TRIGGER).ok();
    let at = |part, terminal: &str| Anchor::terminal(part, terminal);
    let feed = feed_colour(ctx, &source);
    let mut on = wire_to_fit(at(relay, "87"), onward, old.colour, Some(thinnest), BESIDE);
    on.to.fitting = fitted;
    let mut wires = vec![
        wire_to_fit(source, at(fuse, "1"), feed, Some(thinnest), LEAD.0),
        wire_to_fit(at(fuse, "2"), at(relay, "30"), fused_colour(ctx, feed), Some(thinnest), FEED),
        on,
        wire_to_fit(at(relay, "85"), at(earth, "1"), Some(earth_colour(ctx.car)), coil, BESIDE),
    ];
    let rows: Vec<_> = ids.iter().copied().zip(&new).collect();
    for wire in wires.iter_mut().chain([&mut trigger]) {
        for &row in &rows {
            fit_ends(ctx.car, Some(row), wire);
        }
    }
    let mut edits: Vec<Edit> = new.iter().cloned().map(Edit::Place).collect();
    edits.push(Edit::AlterWire(taken.trigger, trigger));
    edits.extend(thicker(ctx, &taken, rating)?);
    edits.extend(wires.into_iter().map(Edit::Run));
    all(edits)
}

/// The last wire that everything behind a contact has in common; nothing where the contact stands in an earth lead,
/// where its ways part at once, or where what it feeds must not hang on a relay or on one fuse.
fn taken(ctx: &Ctx<'_>, part: PartId, joins: &[String; 2]) -> Option<Taken> {
    let side = &ctx.after;
    let ends = joins.each_ref().map(|name| side.wiring.spot(part, name));
    let is_contact = |link: usize| {
        let link = side.wiring.links[link];
        matches!(link.kind, LinkKind::Contact { part: of, .. } if of == part)
            && ends.iter().all(|end| end.is_some_and(|end| link.ends.contains(&end)))
    };
    let mut loads = BTreeSet::new();
    let mut tails: Vec<Vec<(usize, Spot)>> = Vec::new();
    for (load_idx, load) in side.wiring.loads.iter().enumerate() {
        for end in load.ends.into_iter().filter(|&end| !side.hard_earth[end]) {
            for way in side.live.regular(end) {
                let mut spot = side.live.start_of(way);
                let steps = side.live.links_of(way).into_iter().map(|link| {
                    let ends = side.wiring.links[link].ends;
                    spot = if ends[0] == spot { ends[1] } else { ends[0] };
                    (link, spot)
                });
                let steps: Vec<(usize, Spot)> = steps.collect();
                if let Some(at) = steps.iter().position(|(link, _)| is_contact(*link)) {
                    loads.insert(load_idx);
                    tails.push(steps[at + 1..].to_vec());
                }
            }
        }
    }
    if loads.is_empty() || !loads.iter().all(|&load| bears_relay(ctx, load)) {
        return None;
    }
    let first = tails.first()?;
    let is_shared = |at: usize| tails.iter().all(|tail| tail.get(at) == first.get(at));
    let n_shared = (0..first.len()).take_while(|&at| is_shared(at)).count();
    let wire_at = |&(link, spot): &(usize, Spot)| match side.wiring.links[link].kind {
        LinkKind::Wire(wire) => Some((wire, spot)),
        _ => None,
    };
    let at = (0..n_shared).rev().find(|&at| wire_at(&first[at]).is_some())?;
    let (trigger, onward) = wire_at(&first[at])?;
    let mut behind = BTreeSet::new();
    for tail in &tails {
        let is_fuse = |link: usize| matches!(side.wiring.links[link].kind, LinkKind::Fuse { .. });
        let before_fuse = tail[at + 1..].iter().take_while(|(link, _)| !is_fuse(*link));
        behind.extend(before_fuse.filter_map(wire_at).map(|(wire, _)| wire));
    }
    Some(Taken { trigger, onward, loads, behind })
}

/// Whether a consumer may hang on a relay and a fuse with others: not the ignition and the starter, and no lamps that
/// must not go dark together.
fn bears_relay(ctx: &Ctx<'_>, load_idx: usize) -> bool {
    let load = &ctx.after.wiring.loads[load_idx];
    let is_meant = matches!(
        load.kind,
        LoadKind::Filament
            | LoadKind::Led
            | LoadKind::Consumer(LoadFamily::Motor | LoadFamily::Heater | LoadFamily::Horn)
    );
    let role = ctx.roles.load(load_idx);
    let stays = matches!(
        role,
        Some(
            Role::Starter
                | Role::StarterTrigger
                | Role::Ignition
                | Role::FuelPump
                | Role::DipBeam
                | Role::Side
        )
    );
    is_meant && !stays && !role.is_some_and(Role::is_indicator)
}

fn has_motor(ctx: &Ctx<'_>, taken: &Taken) -> bool {
    taken
        .loads
        .iter()
        .any(|&load| ctx.after.wiring.loads[load].kind == LoadKind::Consumer(LoadFamily::Motor))
}

/// Where a heavy new feed starts: on the terminal at which the battery cable ends, where only copper and an isolator
/// lead to it from the battery; else on the post itself.
fn feed_point(ctx: &Ctx<'_>) -> Option<Anchor> {
    let side = &ctx.after;
    let starters = ctx.roles.starters().map(|load| side.wiring.loads[load].part);
    let solenoids = ctx.car.parts().iter().filter(|(_, part)| {
        part.type_name == "starter-solenoid" && side.wiring.version.has(part.standing)
    });
    let posts = solenoids.map(|(id, _)| *id).chain(starters);
    let at_starter = posts
        .filter_map(|part| side.wiring.spot(part, "30"))
        .find(|&spot| side.hard_live[spot] || crate::unfused::is_behind_isolator(ctx, spot));
    let has_isolator = !crate::isolators::isolators(ctx).is_empty();
    let post = || side.wiring.supplies.first().map(|supply| supply.live);
    ctx.anchor(at_starter.or_else(|| if has_isolator { None } else { post() })?)
}

/// Brown in BS AU 7 for what is live at all times, red in the German code.
fn feed_colour(ctx: &Ctx<'_>, source: &Anchor) -> Option<WireColour> {
    let known = |wire: &Wire| wire.ends().iter().any(|end| end.at == *source);
    let mut at_source = ctx.car.wires().values().filter(|wire| known(wire));
    at_source.find_map(|wire| wire.colour).or_else(|| {
        Some(WireColour::plain(match ctx.car.vehicle().colours {
            ColourCode::Din => Colour::Red,
            _ => Colour::Brown,
        }))
    })
}

/// Purple behind the fuse in BS AU 7, for what is live at all times and fused; elsewhere as before it.
fn fused_colour(ctx: &Ctx<'_>, feed: Option<WireColour>) -> Option<WireColour> {
    match ctx.car.vehicle().colours {
        ColourCode::BsAu7 | ColourCode::BsAu7a => Some(WireColour::plain(Colour::Purple)),
        _ => feed,
    }
}

/// The size of new leads behind a fuse: the thinnest thin-wall cable that it guards.
fn size_behind(rating: f64) -> Option<WireArea> {
    size_for(rating, WireArea::new(TRIGGER).ok()?, Some(Insulation::ThinWall))
}

/// Thicker cable for what stays behind the relay and would carry less than its fuse.
fn thicker(ctx: &Ctx<'_>, taken: &Taken, rating: f64) -> Option<Vec<Edit>> {
    let mut sizes = Vec::new();
    for &wire in &taken.behind {
        let rated = ctx.rated(wire)?;
        if rated.amps < rating {
            sizes.push((wire, size_for(rating, rated.size, rated.insulation)?));
        }
    }
    let wires = sizes.iter().map(|&(id, _)| Some(Edit::AlterWire(id, sized(ctx, id, &sizes)?)));
    wires.collect()
}
