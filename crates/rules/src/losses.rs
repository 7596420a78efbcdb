//! Volts lost between the supply and a lamp, and where.

use loomwright_circuit::part_type::{Element, Figure};
use loomwright_circuit::{PartId, WireId};
use loomwright_electrics::{Visit, assumed};

use crate::ctx::{Ctx, is_shorted};
use crate::messages::Losses;
use crate::roles::{ControlRole, Role};
use crate::wiring::{LinkKind, Load, Mask, Spot};

/// Volts that may be lost between supply and lamp and back, in a 12 or 24 V car: headlamps and lamps under 15 W,
/// others.
///
/// # Source
/// Bosch Automotive Handbook, permissible voltage drops, whole circuit (memory). A 6 V car may lose half (practice).
const MAY_LOSE: [f64; 2] = [0.6, 0.9];

/// Lamps from this power have the larger allowance, W; same source.
const LARGE_WATTS: f64 = 15.0;

/// Volts that a joint to metal may lose at what usually flows, in a 12 or 24 V car; half in a 6 V one (practice: 0.1 V is
/// good, 0.2 V the limit).
const EARTH_MAY_LOSE: f64 = 0.2;

/// What an earth point may lose in this car, V.
pub(crate) fn earth_limit(ctx: &Ctx<'_>) -> f64 {
    EARTH_MAY_LOSE * (ctx.system_volts() / 12.0).min(1.0)
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Loss {
    pub(crate) load: usize,
    pub(crate) visit: usize,
    pub(crate) supply: f64,
    pub(crate) at_lamp: f64,
    pub(crate) limit: f64,
    /// What loses most on the way there and back, with its loss.
    pub(crate) most: Option<(Lossy, f64)>,
}

impl Loss {
    /// What takes so much of the loss that it is the cause; nothing where the loss adds up along the way.
    pub(crate) fn cause(&self) -> Option<Lossy> {
        let (lossy, volts) = self.most?;
        (volts > (self.supply - self.at_lamp) * MAIN_SHARE).then_some(lossy)
    }
}

/// Whether a poor earth point is the cause, which is told of the point itself.
pub(crate) fn is_of_an_earth(ctx: &Ctx<'_>, losses: &[Loss]) -> bool {
    losses.iter().any(|loss| {
        matches!(loss.cause(), Some(Lossy::Earth(_)))
            && loss.most.is_some_and(|(_, volts)| volts > earth_limit(ctx))
    })
}

/// What takes this share of the whole loss is its cause (practice).
const MAIN_SHARE: f64 = 0.4;

/// Something on the way that loses volts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Lossy {
    Wire(WireId),
    /// The contacts of a switch or relay.
    Contacts(PartId),
    /// The bolt of an earth point.
    Earth(PartId),
    /// A joint or connector.
    Joint(PartId),
    /// A fuse, a flasher unit, a diode or a meter.
    Part(PartId),
}

impl Lossy {
    pub(crate) fn part(self) -> Option<PartId> {
        match self {
            Self::Wire(_) => None,
            Self::Contacts(part) | Self::Earth(part) | Self::Joint(part) | Self::Part(part) => {
                Some(part)
            }
        }
    }
}

/// What a lamp may lose, V; nothing for tell-tales, instrument lamps and lamps dimmed on purpose.
pub(crate) fn limit(ctx: &Ctx<'_>, load_idx: usize, load: &Load) -> Option<f64> {
    let side = &ctx.after;
    let role = ctx.roles.load(load_idx);
    let is_small = matches!(
        role,
        Some(
            Role::TellTale
                | Role::HazardTellTale
                | Role::ChargeLamp
                | Role::OilLamp
                | Role::Panel
                | Role::Courtesy
        )
    );
    let (fed, _) = side.fed_end(load)?;
    if !load.kind.is_light() || is_small || side.live.to(fed).all(|way| way.is_limited) {
        return None;
    }
    let is_head = matches!(role, Some(Role::MainBeam | Role::DipBeam));
    let [small, large] = MAY_LOSE;
    let volts = if load.watts >= LARGE_WATTS && !is_head { large } else { small };
    Some(volts * (ctx.car.vehicle().voltage.volts().0 / 12.0).min(1.0))
}

/// A consumer and the volts that it may lose.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Allowed<'c> {
    pub(crate) load_idx: usize,
    pub(crate) load: &'c Load,
    pub(crate) limit: f64,
}

/// The worst that each of some consumers loses over its limit, in their order.
///
/// # Complexity
/// O(visits · consumers); each visit is gone to once.
pub(crate) fn worst_losses(ctx: &Ctx<'_>, allowed: &[Allowed<'_>]) -> Vec<Loss> {
    let mut watched: Vec<Watched<'_, '_>> =
        allowed.iter().filter_map(|allowed| Watched::of(ctx, *allowed)).collect();
    if watched.is_empty() {
        return Vec::new();
    }
    for (visit_idx, visit) in ctx.visits() {
        if let Some(supply) = supply_volts(ctx, visit) {
            for watched in &mut watched {
                watched.see(visit_idx, visit, supply);
            }
        }
    }
    watched.into_iter().filter_map(Watched::worst).collect()
}

/// One consumer while visits go by.
struct Watched<'c, 'a> {
    ctx: &'c Ctx<'a>,
    allowed: Allowed<'c>,
    fed: Spot,
    back: Spot,
    /// Controls that are held for a moment, and none of which its ways need.
    held: Vec<(usize, Mask)>,
    /// The worst that was seen with none of them held, and with one.
    worst: [Option<Loss>; 2],
    /// Whether it was fed with none of them held.
    has_ordinary: bool,
}

impl<'c, 'a> Watched<'c, 'a> {
    /// Nothing for a consumer that loses nothing worth a look.
    fn of(ctx: &'c Ctx<'a>, allowed: Allowed<'c>) -> Option<Self> {
        let Allowed { load, limit, .. } = allowed;
        let (fed, back) = ctx.after.fed_end(load)?;
        let name = |end| ctx.after.wiring.terminal(end).map_or("", |(_, name)| name);
        let names = load.ends.map(name);
        let least = ctx.extremes().loads.iter().find(|known| {
            known.part == load.part
                && [known.between[0].as_str(), known.between[1].as_str()] == names
        });
        // No supply here holds more than this; one that always has nearly as much loses nothing worth a look.
        if least.and_then(|known| known.least)?.value.0 > most_supply(ctx) - limit {
            return None;
        }
        let ways = || ctx.after.live.to(fed).chain(ctx.after.earth.to(back));
        let is_needed =
            |control: usize| ways().any(|way| way.needs.0.iter().any(|need| need.0 == control));
        let held = held_for_a_moment(ctx).filter(|(control, _)| !is_needed(*control)).collect();
        Some(Self { ctx, allowed, fed, back, held, worst: [None; 2], has_ordinary: false })
    }

    fn see(&mut self, visit_idx: usize, visit: &Visit, supply: f64) {
        let Some(at_lamp) = volts_across(self.ctx, visit, self.allowed.load.ends) else { return };
        let stands =
            |&(control, mask): &(usize, Mask)| self.ctx.stands(&visit.settled, control, mask);
        let is_held = self.held.iter().any(stands);
        let lost = supply - at_lamp;
        let known = self.worst[usize::from(is_held)];
        let known = known.map_or(self.allowed.limit, |worst| worst.supply - worst.at_lamp);
        let is_worse = lost > known * (1.0 + 1e-6);
        // With one of them held, being fed tells nothing by itself.
        let tells = is_worse || !(is_held || self.has_ordinary);
        if !tells || self.ctx.is_cranking(visit_idx) || !self.is_fed(visit) {
            return;
        }
        self.has_ordinary |= !is_held;
        if is_worse && !is_shorted(visit) {
            let Allowed { load_idx, limit, .. } = self.allowed;
            let loss =
                Loss { load: load_idx, visit: visit_idx, supply, at_lamp, limit, most: None };
            self.worst[usize::from(is_held)] = Some(loss);
        }
    }

    fn is_fed(&self, visit: &Visit) -> bool {
        let Self { ctx, fed, back, .. } = self;
        // A lamp behind an open breaker loses nothing on the way: it has no way.
        ctx.network.open_breakers(&visit.settled.state).next().is_none()
            && ctx.after.live.to(*fed).any(|way| ctx.fits(&visit.settled, &way.needs))
            && ctx.after.earth.to(*back).any(|way| ctx.fits(&visit.settled, &way.needs))
    }

    /// Nobody judges the lights with the horn pushed, unless they light in no other way.
    fn worst(self) -> Option<Loss> {
        let [ordinary, held] = self.worst;
        let mut worst = if self.has_ordinary { ordinary } else { held }?;
        worst.most = lossiest(self.ctx, self.allowed.load, worst.visit);
        Some(worst)
    }
}

/// Controls with the positions from which they spring back, the brake's excepted, which is held while the car waits.
fn held_for_a_moment<'c>(ctx: &'c Ctx<'_>) -> impl Iterator<Item = (usize, Mask)> + 'c {
    let sprung = |control: usize| {
        let positions = ctx.network.controls()[control].positions.iter().enumerate().take(64);
        positions
            .filter(|(_, position)| position.springs_to.is_some())
            .fold(0, |mask: Mask, (idx, _)| mask | 1 << idx)
    };
    (0..ctx.after.wiring.n_controls)
        .filter(|&control| !ctx.roles.controls(ControlRole::Brake).any(|brake| brake == control))
        .map(move |control| (control, sprung(control)))
        .filter(|(_, mask)| *mask != 0)
}

pub(crate) fn volts_across(ctx: &Ctx<'_>, visit: &Visit, [a, b]: [Spot; 2]) -> Option<f64> {
    Some((ctx.volts_at(visit, a)? - ctx.volts_at(visit, b)?).abs())
}

pub(crate) fn supply_volts(ctx: &Ctx<'_>, visit: &Visit) -> Option<f64> {
    let (live, earthed) = ctx.after.wiring.whole_supply()?;
    volts_across(ctx, visit, [live, earthed])
}

/// The most volts that any supply of the car holds: a charged battery, or a regulator.
fn most_supply(ctx: &Ctx<'_>) -> f64 {
    let share = if ctx.after.wiring.generators.is_empty() { CHARGED } else { REGULATED };
    ctx.car.vehicle().voltage.volts().0 * share
}

/// A charged battery and the highest regulator setting over marked volts: 12.7 V and 16.6 V in a 12 V car.
const CHARGED: f64 = 12.7 / 12.0;
const REGULATED: f64 = 16.6 / 12.0;

/// Losses that differ by no more than this share are equal.
const SAME: f64 = 1e-3;

/// What loses most on the way there and back in this visit.
fn lossiest(ctx: &Ctx<'_>, load: &Load, visit: usize) -> Option<(Lossy, f64)> {
    let side = &ctx.after;
    let (fed, back) = side.fed_end(load)?;
    let visit = ctx.visit(visit)?;
    let there = side.live.to(fed).find(|way| ctx.fits(&visit.settled, &way.needs))?;
    let home = side.earth.to(back).find(|way| ctx.fits(&visit.settled, &way.needs));
    let links = side.live.links_of(there).into_iter();
    let links = links.chain(home.into_iter().flat_map(|way| side.earth.links_of(way)));
    most_of(&losses_along(ctx, visit, links))
}

/// What each thing along some links loses in a visit, in their order.
pub(crate) fn losses_along(
    ctx: &Ctx<'_>,
    visit: &Visit,
    links: impl Iterator<Item = usize>,
) -> Vec<(Lossy, f64)> {
    let mut lost: Vec<(Lossy, f64)> = Vec::new();
    for (lossy, volts) in links.filter_map(|link| loss(ctx, visit, link)) {
        // A connector may be passed there and back.
        match lost.iter_mut().find(|(known, _)| *known == lossy) {
            Some((_, known)) => *known += volts,
            None => lost.push((lossy, volts)),
        }
    }
    lost
}

/// What loses most; of equal ones the first.
pub(crate) fn most_of(lost: &[(Lossy, f64)]) -> Option<(Lossy, f64)> {
    let more = |most: (Lossy, f64), next: (Lossy, f64)| {
        if next.1 > most.1 * (1.0 + SAME) { next } else { most }
    };
    lost.iter().copied().reduce(more)
}

fn loss(ctx: &Ctx<'_>, visit: &Visit, link: usize) -> Option<(Lossy, f64)> {
    let wiring = &ctx.after.wiring;
    let link = wiring.links[link];
    if let LinkKind::Wire(wire) = link.kind {
        let [a, b] = visit.settled.on.wire_volts(wire)?;
        return Some((Lossy::Wire(wire), (a - b).abs().0));
    }
    let part = link.kind.part()?;
    let [a, b] = link.ends;
    if wiring.terminal(a).is_none() || wiring.terminal(b).is_none() {
        return Some((Lossy::Earth(part), bolt_volts(ctx, visit, part)?));
    }
    let volts = volts_across(ctx, visit, [a, b])?;
    Some(match link.kind {
        LinkKind::Contact { .. } => (Lossy::Contacts(part), volts),
        LinkKind::Copper(_) if is_earth_point(ctx, part) => (Lossy::Earth(part), volts),
        LinkKind::Copper(_) => (Lossy::Joint(part), volts),
        _ => (Lossy::Part(part), volts),
    })
}

fn is_earth_point(ctx: &Ctx<'_>, part: PartId) -> bool {
    ctx.part(part).is_some_and(|(_, part_type)| {
        part_type.elements.iter().all(|element| matches!(element, Element::Earth { .. }))
    })
}

/// The worst that a joint meets.
#[derive(Debug, Clone, Copy)]
pub(crate) struct WorstJoint {
    pub(crate) volts: f64,
    pub(crate) amps: f64,
    pub(crate) visit: usize,
}

impl WorstJoint {
    /// Heat in it, W.
    pub(crate) fn watts(self) -> f64 {
        self.volts * self.amps
    }
}

/// Heat in a joint from which it is named, W (practice: a watt in a small joint, two in a plastic plug, and it suffers).
pub(crate) const WARM: f64 = 1.0;

/// Volts between the terminal of an earth point and the metal that it is bolted to, by Ohm's law.
pub(crate) fn bolt_volts(ctx: &Ctx<'_>, visit: &Visit, id: PartId) -> Option<f64> {
    let (terminal, ohms) = bolt_ohms(ctx, id)?;
    Some(visit.settled.on.terminal_amps(id, terminal)?.0.abs() * ohms)
}

/// The terminal of an earth point and the resistance of its bolt, ohm.
pub(crate) fn bolt_ohms<'c>(ctx: &'c Ctx<'_>, id: PartId) -> Option<(&'c str, f64)> {
    let (part, part_type) = ctx.part(id)?;
    let (terminal, ohms) = part_type.elements.iter().find_map(|element| match element {
        Element::Earth { terminal, ohms, .. } => Some((terminal.as_str(), ohms)),
        _ => None,
    })?;
    let ohms = match ohms {
        Figure::Number(ohms) => *ohms,
        Figure::Fact(name) => part.fact(part_type, name).unwrap_or(assumed::EARTH_POINT_OHMS),
    };
    Some((terminal, ohms))
}

/// Where something is lost, in words: "in W12 (black)".
pub(crate) fn whereabouts(ctx: &Ctx<'_>, lossy: Lossy) -> String {
    match lossy {
        Lossy::Wire(wire) if ctx.wire(wire).is_some_and(|row| row.size.is_none()) => {
            Losses::in_unsized(ctx.wire_name(wire))
        }
        Lossy::Wire(wire) => Losses::in_one(ctx.wire_name(wire)),
        Lossy::Contacts(part) => Losses::in_contacts(ctx.part_name(part)),
        Lossy::Earth(part) => Losses::at_metal(ctx.part_name(part)),
        Lossy::Joint(part) => Losses::at_joint(ctx.part_name(part)),
        Lossy::Part(part) => Losses::in_one(ctx.part_name(part)),
    }
}
