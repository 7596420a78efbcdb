//! Flashers: whether one works with the load that it finds, how fast, and how soon.

use loomwright_units::Seconds;

use crate::assumed;
use crate::network::FlasherRow;
use crate::solve::Solver;

/// How a flasher at work goes on and off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flashing {
    /// Flashes a minute.
    pub per_minute: f64,
    /// Share of each period in which its contact is closed.
    pub on_share: f64,
    /// From switching on to the first flash.
    pub first_after: Seconds,
    /// Whether it carries more than it is made for.
    pub is_overloaded: bool,
}

/// What a flasher does with the load that it finds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Flashes {
    /// Nothing is switched on behind it.
    Waits,
    /// It opens and closes.
    At(Flashing),
    /// It stays open: too little load for it, or no supply.
    StaysDark,
    /// It stays closed: too much load for it.
    StaysLit,
}

/// What a flasher finds while its contact is closed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Found {
    /// Current through its contact.
    pub amps: f64,
    /// Volts of its feed against the battery's earthed post.
    pub feed_volts: f64,
    /// Volts of its feed against its own earth, where it has one.
    pub own_volts: Option<f64>,
}

/// Load under which a flasher finds nothing switched on, A (practice).
const LEAST_AMPS: f64 = 0.02;

/// A thermal flasher may have so many times its greatest load before its wire never lets go (practice).
const MOST_SHARE: f64 = 1.3;

/// Flashes a minute of an electronic flasher (practice: the middle of the 60 to 120 that the law asks for).
pub(crate) const ELECTRONIC_A_MINUTE: f64 = 85.0;

/// Who says how electronic flashers go.
pub(crate) const ELECTRONIC_SOURCE: &str = "practice: the middle of the 60 to 120 flashes a minute that the law asks \
     for; those that sense the current double it with a lamp out (NHTSA interpretation nht91-7.6)";

/// Share of the period that an electronic flasher is lit.
///
/// # Source
/// Practice: 45 to 55 % is the usual design aim.
const ELECTRONIC_ON_SHARE: f64 = 0.5;

/// An electronic flasher begins with a flash, as soon as it finds a load, s (practice).
const ELECTRONIC_FIRST: f64 = 0.05;

/// The wire of a thermal flasher: heat at which its contact closes and at which it opens, over what the wire comes to
/// in the end with marked load and volts; and the time in which heat falls to 1/e, s.
///
/// # Source
/// Practice, chosen so that with marked load and volts it flashes 85 times a minute, is lit half the time, and shows
/// the first flash within the second that SAE J590b allows (memory); and so that three fifths of its load are too
/// little, as one lamp of two is.
pub(crate) const WIRE: Wire = Wire { closes: 0.6, opens: 0.4, seconds: 0.87 };

/// Who says how a thermal flasher goes.
pub(crate) const THERMAL_SOURCE: &str = "\"Flasher Operation\", healey.org: the wire heats, the contact closes and \
     bridges it, the wire cools; figures: practice, 85 a minute at marked load";

pub(crate) struct Wire {
    pub closes: f64,
    pub opens: f64,
    pub seconds: f64,
}

impl Wire {
    /// How it flashes with so many times the heat of marked load and volts: t = τ · ln((p − h₁) / (p − h₂)) from heat
    /// h₁ to h₂. It is heated while the contact is open, through the lamps, and cools while the contact bridges it.
    /// Nothing where it never gets hot enough.
    fn flashing(&self, heat: f64) -> Option<(f64, f64, f64)> {
        if heat <= self.closes * (1.0 + 1e-9) {
            return None;
        }
        let warms = |from: f64| self.seconds * libm::log((heat - from) / (heat - self.closes));
        let lit = self.seconds * libm::log(self.closes / self.opens);
        Some((warms(0.0), warms(self.opens), lit))
    }
}

/// What a flasher does with what it finds.
///
/// # Source
/// Thermal: the wire heats, the contact closes and bridges it, the wire cools (page "Flasher Operation",
/// healey.org); rate depends on lamp current, one lamp out slows or stops it (arc-components.com, trade practice).
/// Electronic: constant rate; those that sense the current double it with a lamp out (NHTSA interpretation nht91-7.6).
pub(crate) fn flashes(row: &FlasherRow, found: Found, system_volts: f64) -> Flashes {
    if found.amps < LEAST_AMPS {
        return Flashes::Waits;
    }
    let has_too_few = |volts: f64| volts < assumed::FLASHER_LEAST_SHARE * system_volts;
    if found.own_volts.is_some_and(has_too_few) {
        return Flashes::StaysDark;
    }
    let watts = found.amps * system_volts;
    let is_overloaded = watts > row.most_watts * ROOM;
    if !row.is_thermal {
        let times = if watts < row.lamp_out_watts { 2.0 } else { 1.0 };
        return Flashes::At(Flashing {
            per_minute: times * ELECTRONIC_A_MINUTE,
            on_share: ELECTRONIC_ON_SHARE,
            first_after: Seconds(ELECTRONIC_FIRST),
            is_overloaded,
        });
    }
    let heat = watts / row.watts * found.feed_volts / system_volts;
    let Some((first, dark, lit)) = WIRE.flashing(heat) else { return Flashes::StaysDark };
    if watts > MOST_SHARE * row.most_watts {
        return Flashes::StaysLit;
    }
    Flashes::At(Flashing {
        per_minute: 60.0 / (dark + lit),
        on_share: lit / (dark + lit),
        first_after: Seconds(first),
        is_overloaded,
    })
}

/// Lamps take more than their marked power with the engine running, at 14.2 V for 12 V: a flasher is made for that.
const ROOM: f64 = 1.2;

/// What a flasher does in the phase just solved, in which it is closed.
pub(crate) fn flashes_now(solver: &Solver<'_>, row: &FlasherRow) -> Flashes {
    if !solver.closed[row.switch] {
        return Flashes::StaysDark;
    }
    match works_by(solver, row) {
        // A pilot contact follows the lamps' current, so that the tell-tale is dark while nothing is switched on.
        Flashes::Waits if row.is_pilot() => Flashes::StaysDark,
        does => does,
    }
}

/// What the contact that a flasher works by makes it do in the phase just solved.
fn works_by(solver: &Solver<'_>, row: &FlasherRow) -> Flashes {
    let tables = solver.tables;
    let switch = &tables.switches[row.senses];
    if !solver.closed[row.senses] {
        return Flashes::StaysDark;
    }
    let volts = |step: u32| solver.volts[step as usize];
    let is_home = |step: u32| solver.is_home[tables.islands.of[step as usize] as usize];
    let found = Found {
        amps: switch.siemens * (volts(switch.a) - volts(switch.b)).abs(),
        feed_volts: if is_home(row.feed) { volts(row.feed).abs() } else { 0.0 },
        own_volts: row.earth.map(|earth| {
            let both_home = is_home(row.feed) && is_home(earth);
            if both_home { (volts(row.feed) - volts(earth)).abs() } else { 0.0 }
        }),
    };
    flashes(row, found, tables.system_volts)
}

/// Opens flashers that stay dark, and closes contacts for tell-tales whose flashers work and that were not closed so far;
/// says whether there was one. Of several with lamps behind them, one at a time, the one
/// with the least current first: two on one load rob each other of it, and one of them may do without the other.
pub(crate) fn start_flashers(
    solver: &Solver<'_>,
    flashers: &mut [bool],
    was_closed: &mut [bool],
) -> bool {
    let tables = solver.tables;
    let stays_dark = |idx: usize, row: &FlasherRow, flashers: &[bool]| {
        flashers[idx] && solver.closed[row.switch] && flashes_now(solver, row) == Flashes::StaysDark
    };
    let amps = |row: &FlasherRow| {
        let switch = &tables.switches[row.switch];
        switch.siemens * (solver.volts[switch.a as usize] - solver.volts[switch.b as usize]).abs()
    };
    let mut least: Option<(f64, usize)> = None;
    let mut is_changed = false;
    for (idx, row) in tables.flashers.iter().enumerate() {
        if row.is_pilot() && !was_closed[idx] {
            let works = matches!(works_by(solver, row), Flashes::At(_) | Flashes::StaysLit);
            is_changed |= works;
            (flashers[idx], was_closed[idx]) = (works, works);
            continue;
        }
        if !stays_dark(idx, row, flashers) {
            continue;
        }
        if row.is_pilot() {
            flashers[idx] = false;
            is_changed = true;
        } else if least.is_none_or(|(known, _)| amps(row) <= known * (1.0 + 1e-6)) {
            least = Some((amps(row), idx));
        }
    }
    if let Some((_, idx)) = least {
        flashers[idx] = false;
    }
    is_changed || least.is_some()
}

pub(crate) fn at_work(solver: &Solver<'_>, flashers: &[bool]) -> Vec<bool> {
    let works = |(row, closed): (&FlasherRow, &bool)| {
        *closed && matches!(flashes_now(solver, row), Flashes::At(_))
    };
    solver.tables.flashers.iter().zip(flashers).map(works).collect()
}
