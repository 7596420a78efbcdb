//! The fix that lets a relay do what a switch or its lead cannot bear.
//!
//! Where one lead feeds all, it becomes the trigger of a relay at its far end; where several leave the switch, they move
//! to a relay beside it. Either way the relay gets a fused feed of its own from the battery's side; so whatever the switch
//! went through before is spared, and nothing of it has to be laid anew.

mod taken;

use std::collections::BTreeSet;

use loomwright_circuit::{
    Anchor, Colour, ColourCode, Edit, Insulation, Part, PartId, Wire, WireColour, WireId,
};
use loomwright_units::{Amps, WireArea};

use crate::ctx::Ctx;
use crate::cures::{BESIDE, TRIGGER, ids_once_placed};
use crate::fix::{self, all, earth_colour, fit_ends, wire_to_fit};
use crate::fuse_fix::{LEAD, sized};
use crate::limits::{TAB_63, blade_for, rated, size_for};
use crate::messages::RelayFixes;
use crate::places::{Stands, column};
use crate::wiring::Spot;

use taken::{Place, Taken};

/// What a common relay of this kind bears, A (practice).
const RELAYS: [f64; 3] = [30.0, 40.0, 70.0];

/// A relay carries no more of its rating than this all day (practice: 70 to 80 %).
const SHARE: f64 = 0.8;

/// The lead from the battery's side to a relay at the other end of the car is taken to be so long, m.
const FEED: f64 = 2.5;

/// A motor takes for its start what a fuse for so many times its current all day stands (practice).
const STARTS: f64 = 1.5;

/// The parts that come new, placed under one another as current goes: the feed above, earth below.
struct Fitted {
    rows: Vec<(PartId, Part)>,
    /// Cable that the fuse guards.
    guarded: WireArea,
}

impl Fitted {
    fn at(&self, which: usize, terminal: &str) -> Anchor {
        Anchor::terminal(self.rows[which].0, terminal)
    }

    fn fit_ends(&self, ctx: &Ctx<'_>, wire: &mut Wire) {
        for (id, part) in &self.rows {
            fit_ends(ctx.car, Some((*id, part)), wire);
        }
    }
}

const FUSE: usize = 0;
const RELAY: usize = 1;
const EARTH: usize = 2;

/// Where the parts of a relay stand, from its middle: terminals 30 and 86 above, 87 and 85 below.
const STAND: [Stands<'_>; 3] = [
    Stands { kind: "fuse-blade", x: -5.0, y: -35.0, is_upright: true },
    Stands { kind: "relay-make", x: 0.0, y: 0.0, is_upright: true },
    Stands { kind: "body-earth", x: 7.5, y: 25.0, is_upright: false },
];

/// A relay with a fused feed of its own in the place of what a contact does between two of its terminals; or, in a
/// sentence, why there is none.
pub(crate) fn relay_for_contact(
    ctx: &Ctx<'_>,
    part: PartId,
    joins: &[String; 2],
    amps: f64,
) -> Result<Edit, String> {
    let taken = Taken::of(ctx, part, joins)?;
    let too_much = || RelayFixes::too_much(Amps(amps));
    let starts = if taken.has_motor(ctx) { STARTS } else { 1.0 };
    let rating = blade_for(amps * starts).ok_or_else(too_much)?;
    let relay_amps = RELAYS.into_iter().find(|it| amps <= it * SHARE).ok_or_else(too_much)?;
    // Leads that had a terminal of their own each would share one tab.
    if matches!(&taken.at, Place::Terminal { leads, .. } if leads.len() > 1 && amps > TAB_63) {
        return Err(RelayFixes::one_tab(Amps(amps), Amps(TAB_63)));
    }
    let source = feed_point(ctx).ok_or_else(|| RelayFixes::nowhere_to_feed_from().to_owned())?;
    fitted(ctx, &taken, rating, relay_amps)
        .and_then(|fitted| {
            let mut edits: Vec<Edit> =
                fitted.rows.iter().map(|(_, part)| Edit::Place(part.clone())).collect();
            edits.extend(feed_and_earth(ctx, &fitted, source));
            let mut sizes = thicker(ctx, &taken, rating)?;
            edits.extend(match &taken.at {
                Place::Lead { trigger, onward } => lead(ctx, &fitted, *trigger, *onward)?,
                Place::Terminal { spot, leads } => terminal(ctx, &fitted, *spot, leads, &sizes)?,
            });
            if let Place::Terminal { leads, .. } = &taken.at {
                // Those have their size with their new end.
                sizes.retain(|(wire, _)| !leads.contains(wire));
            }
            for &(wire, _) in &sizes {
                edits.push(Edit::AlterWire(wire, sized(ctx, wire, &sizes)?));
            }
            all(edits)
        })
        .ok_or_else(|| RelayFixes::sizes_unknown().to_owned())
}

fn fitted(ctx: &Ctx<'_>, taken: &Taken, rating: f64, relay_amps: f64) -> Option<Fitted> {
    let near = match taken.at {
        Place::Lead { onward: spot, .. } | Place::Terminal { spot, .. } => {
            ctx.anchor(spot)?.part()?
        }
    };
    let mut parts = column(ctx.car, near, &STAND)?;
    parts[FUSE].facts.insert("amps".to_owned(), rating);
    parts[RELAY].facts.insert("volts".to_owned(), ctx.system_volts());
    parts[RELAY].facts.insert("amps".to_owned(), relay_amps);
    let rows = ids_once_placed(ctx.car, &parts)?.into_iter().zip(parts).collect();
    let guarded = size_for(rating, WireArea::new(TRIGGER).ok()?, Some(Insulation::ThinWall))?;
    Some(Fitted { rows, guarded })
}

/// From the battery's side through the fuse to terminal 30, and from the coil to earth.
fn feed_and_earth(ctx: &Ctx<'_>, fitted: &Fitted, source: Anchor) -> Vec<Edit> {
    let feed = feed_colour(ctx, &source);
    let fused = fused_colour(ctx, feed);
    let (coil, earth) = (WireArea::new(TRIGGER).ok(), Some(earth_colour(ctx.car)));
    let guarded = Some(fitted.guarded);
    let mut wires = [
        wire_to_fit(source, fitted.at(FUSE, "1"), feed, guarded, LEAD.0),
        wire_to_fit(fitted.at(FUSE, "2"), fitted.at(RELAY, "30"), fused, guarded, FEED),
        wire_to_fit(fitted.at(RELAY, "85"), fitted.at(EARTH, "1"), earth, coil, BESIDE),
    ];
    for wire in &mut wires {
        fitted.fit_ends(ctx, wire);
    }
    wires.into_iter().map(Edit::Run).collect()
}

/// A lead becomes the trigger, and the relay feeds on from where it ended.
fn lead(ctx: &Ctx<'_>, fitted: &Fitted, trigger: WireId, onward: Spot) -> Option<Vec<Edit>> {
    let onward = ctx.anchor(onward)?;
    let old = ctx.wire(trigger)?;
    let mut moved = old.clone();
    let end = if moved.from.at == onward { &mut moved.from } else { &mut moved.to };
    let was_fitted = end.fitting.take();
    end.at = fitted.at(RELAY, "86");
    moved.route.clear();
    let mut on =
        wire_to_fit(fitted.at(RELAY, "87"), onward, old.colour, Some(fitted.guarded), BESIDE);
    on.to.fitting = was_fitted;
    for wire in [&mut moved, &mut on] {
        fitted.fit_ends(ctx, wire);
    }
    Some(vec![fix::moved(trigger, moved), Edit::Run(on)])
}

/// The leads of a terminal go to the relay's, and a new one from there triggers it.
fn terminal(
    ctx: &Ctx<'_>,
    fitted: &Fitted,
    spot: Spot,
    leads: &BTreeSet<WireId>,
    sizes: &[(WireId, WireArea)],
) -> Option<Vec<Edit>> {
    let contact = ctx.anchor(spot)?;
    let mut colour = None;
    let mut edits = Vec::new();
    for &lead in leads {
        let mut moved = sized(ctx, lead, sizes)?;
        colour = colour.or(moved.colour);
        let end = if moved.from.at == contact { &mut moved.from } else { &mut moved.to };
        end.fitting = None;
        end.at = fitted.at(RELAY, "87");
        moved.route.clear();
        fitted.fit_ends(ctx, &mut moved);
        edits.push(fix::moved(lead, moved));
    }
    let size = trigger_cable(ctx, spot, leads)?;
    let mut trigger = wire_to_fit(contact, fitted.at(RELAY, "86"), colour, Some(size), BESIDE);
    fitted.fit_ends(ctx, &mut trigger);
    edits.push(Edit::Run(trigger));
    Some(edits)
}

/// Cable for a new trigger: a coil's current is little, but the fuse before the contact has to guard it too. Where there
/// is none it is as thick as the leads that it takes the place of.
fn trigger_cable(ctx: &Ctx<'_>, contact: Spot, leads: &BTreeSet<WireId>) -> Option<WireArea> {
    let feeds = ctx.after.live.regular(contact);
    let fuses: Option<Vec<f64>> = feeds.map(|way| Some(ctx.weakest_fuse(way)?.1)).collect();
    let least = WireArea::new(TRIGGER).ok()?;
    match fuses.and_then(|fuses| fuses.into_iter().reduce(f64::max)) {
        Some(amps) if rated(least, Some(Insulation::ThinWall)).amps >= amps => Some(least),
        Some(amps) => size_for(amps, least, Some(Insulation::ThinWall)),
        None => {
            let sizes = leads.iter().filter_map(|lead| ctx.wire(*lead)?.size);
            sizes.max_by(|a, b| a.square_mm().total_cmp(&b.square_mm()))
        }
    }
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

/// The wires that stay behind the relay and would carry less than its fuse, with the size that carries as much.
fn thicker(ctx: &Ctx<'_>, taken: &Taken, rating: f64) -> Option<Vec<(WireId, WireArea)>> {
    let mut sizes = Vec::new();
    for &wire in &taken.behind {
        let rated = ctx.rated(wire)?;
        if rated.amps < rating {
            sizes.push((wire, size_for(rating, rated.size, rated.insulation)?));
        }
    }
    Some(sizes)
}
