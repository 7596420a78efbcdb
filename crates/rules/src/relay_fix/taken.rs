//! What a relay can take over from a contact: how its leads part, and what they feed.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::LoadFamily;
use loomwright_circuit::{PartId, WireId};

use crate::ctx::Ctx;
use crate::feeds::Step;
use crate::messages::RelayFixes;
use crate::roles::Role;
use crate::wiring::{LinkKind, LoadKind, Spot};

/// What a contact feeds, and where a relay can take it over.
pub(super) struct Taken {
    pub(super) at: Place,
    loads: BTreeSet<usize>,
    /// Wires between there and the loads, up to the next fuse.
    pub(super) behind: BTreeSet<WireId>,
}

/// Where a relay takes over.
pub(super) enum Place {
    /// At the far end of a lead that everything has in common, which becomes the trigger: where it ended, the relay
    /// feeds on.
    Lead { trigger: WireId, onward: Spot },
    /// At the terminal of the contact where its leads part: they go to the relay, and a new lead from here triggers it.
    Terminal { spot: Spot, leads: BTreeSet<WireId> },
}

/// Lamps that take no more than this beside what is too much for a contact may stay on it, W: tell-tales (practice).
const STAYS: f64 = 5.0;

/// What a relay has to do with a consumer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fate {
    /// It is taken over.
    Moves,
    /// It is little, or wants its own feed, and stays on the contact where it has a lead of its own.
    Stays,
    /// It must not hang on a relay and a fuse with others.
    Forbids,
}

/// A consumer with what its current passes behind the contact.
struct Tail {
    load: usize,
    steps: Vec<Step>,
}

impl Taken {
    /// What a relay can take over from a contact, or why none can.
    pub(super) fn of(ctx: &Ctx<'_>, part: PartId, joins: &[String; 2]) -> Result<Self, String> {
        let tails = tails(ctx, part, joins);
        if tails.is_empty() {
            return Err(RelayFixes::in_earth_lead(ctx.part_name(part)));
        }
        let named = |fate: Fate| {
            let meant =
                tails.iter().map(|tail| tail.load).filter(|it| self::fate(ctx, *it) == fate);
            ctx.parts_of(meant)
        };
        let forbids = named(Fate::Forbids);
        if !forbids.is_empty() {
            return Err(RelayFixes::must_not_hang(ctx.part_names(forbids)));
        }
        let moving = moving(ctx, tails)
            .map_err(|stays| RelayFixes::wants_its_own_feed(ctx.part_names(ctx.parts_of(stays))))?;
        let (at, n_before) =
            place(&moving, part).ok_or_else(|| RelayFixes::parts_inside(ctx.part_name(part)))?;
        let mut behind = BTreeSet::new();
        for tail in &moving {
            let is_fuse = |step: &Step| matches!(step.kind, LinkKind::Fuse { .. });
            let before_fuse = tail.steps[n_before..].iter().take_while(|step| !is_fuse(step));
            behind.extend(before_fuse.filter_map(Step::wire));
        }
        Ok(Self { at, loads: moving.iter().map(|tail| tail.load).collect(), behind })
    }

    pub(super) fn has_motor(&self, ctx: &Ctx<'_>) -> bool {
        let motor = LoadKind::Consumer(LoadFamily::Motor);
        self.loads.iter().any(|&load| ctx.after.wiring.loads[load].kind == motor)
    }
}

/// The ways to consumers that lead through a contact, from behind it.
fn tails(ctx: &Ctx<'_>, part: PartId, joins: &[String; 2]) -> Vec<Tail> {
    let side = &ctx.after;
    let ends = joins.each_ref().map(|name| side.wiring.spot(part, name));
    let is_contact = |step: &Step| {
        matches!(step.kind, LinkKind::Contact { part: of, .. } if of == part)
            && ends.contains(&Some(step.from))
            && ends.contains(&Some(step.to))
    };
    let mut tails = Vec::new();
    for (load, row) in side.wiring.loads.iter().enumerate() {
        for end in row.ends.into_iter().filter(|&end| !side.hard_earth[end]) {
            for way in side.live.regular(end) {
                let steps = side.live.steps_of(&side.wiring, way);
                if let Some(at) = steps.iter().position(is_contact) {
                    tails.push(Tail { load, steps: steps[at + 1..].to_vec() });
                }
            }
        }
    }
    tails
}

/// The ways of what is taken over. What may stay does so where it has a lead of its own; else its consumers are handed
/// back.
fn moving(ctx: &Ctx<'_>, tails: Vec<Tail>) -> Result<Vec<Tail>, BTreeSet<usize>> {
    let mut groups: BTreeMap<Option<usize>, Vec<Tail>> = BTreeMap::new();
    for tail in tails {
        groups.entry(tail.steps.first().map(|step| step.link)).or_default().push(tail);
    }
    let (mut moving, mut staying) = (Vec::new(), BTreeSet::new());
    for group in groups.into_values() {
        let stays = |tail: &&Tail| fate(ctx, tail.load) == Fate::Stays;
        let of_group: BTreeSet<usize> = group.iter().filter(stays).map(|tail| tail.load).collect();
        // A tell-tale may be lit by the relay with what it tells of; a coil or a unit has its own feed.
        let is_lit_along =
            of_group.iter().all(|&load| ctx.after.wiring.loads[load].kind.is_light());
        match group.iter().any(|tail| fate(ctx, tail.load) == Fate::Moves) {
            true if of_group.is_empty() || is_lit_along => moving.extend(group),
            true => return Err(of_group),
            false => staying.extend(of_group),
        }
    }
    if moving.is_empty() { Err(staying) } else { Ok(moving) }
}

/// Where all these ways can be taken over, and how many of their steps lie before; nothing where they part within a
/// part.
fn place(tails: &[Tail], part: PartId) -> Option<(Place, usize)> {
    let first = &tails.first()?.steps;
    let is_shared = |at: usize| tails.iter().all(|tail| tail.steps.get(at) == first.get(at));
    let n_shared = (0..first.len()).take_while(|&at| is_shared(at)).count();
    let last = (0..n_shared).rev().find_map(|at| Some((at, first[at].wire()?)));
    if let Some((at, trigger)) = last {
        return Some((Place::Lead { trigger, onward: first[at].to }, at + 1));
    }
    let spot = first.get(n_shared)?.from;
    let leads: Option<BTreeSet<WireId>> =
        tails.iter().map(|tail| tail.steps.get(n_shared)?.wire()).collect();
    let is_of_contact = first[..n_shared].iter().all(|step| step.kind.part() == Some(part));
    is_of_contact.then_some((Place::Terminal { spot, leads: leads? }, n_shared))
}

/// Not the ignition and the starter, and no lamps that must not go dark together.
fn fate(ctx: &Ctx<'_>, load_idx: usize) -> Fate {
    let load = &ctx.after.wiring.loads[load_idx];
    let role = ctx.roles.load(load_idx);
    let forbids = matches!(
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
    match load.kind {
        _ if forbids || role.is_some_and(Role::is_indicator) => Fate::Forbids,
        LoadKind::Filament | LoadKind::Led if load.watts <= STAYS => Fate::Stays,
        LoadKind::Filament
        | LoadKind::Led
        | LoadKind::Consumer(LoadFamily::Motor | LoadFamily::Heater | LoadFamily::Horn) => {
            Fate::Moves
        }
        _ => Fate::Stays,
    }
}
