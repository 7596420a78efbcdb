//! Flashers: whether one works with the load that it finds, and how fast.

use crate::assumed;
use crate::network::FlasherRow;
use crate::solve::Solver;

/// What a flasher does with the load that it finds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Flashes {
    /// Nothing is switched on behind it.
    Waits,
    /// It opens and closes so many times a minute.
    At(f64),
    /// It stays open: too little load for it, or no supply.
    StaysDark,
    /// It stays closed: too much load for it.
    StaysLit,
}

/// Flashes a minute at marked load (practice: the middle of the 60 to 120 that the law asks for).
const FLASHES_A_MINUTE: f64 = 85.0;

/// Load under which a flasher finds nothing switched on, A (practice).
const LEAST_AMPS: f64 = 0.02;

/// Shares of the marked load between which a thermal flasher works (practice: one lamp of two out stops it).
const THERMAL_SHARES: (f64, f64) = (0.6, 1.3);

/// What a flasher does with this current and these volts of its feed against its earth.
///
/// # Source
/// Thermal: rate depends on lamp current, one lamp out slows or stops it (arc-components.com, trade practice).
/// Electronic: constant rate; those that sense the current double it with a lamp out (NHTSA interpretation nht91-7.6).
pub(crate) fn flashes(
    row: &FlasherRow,
    amps: f64,
    feed: Option<f64>,
    system_volts: f64,
) -> Flashes {
    if amps < LEAST_AMPS {
        return Flashes::Waits;
    }
    if feed.is_some_and(|volts| volts < assumed::FLASHER_LEAST_SHARE * system_volts) {
        return Flashes::StaysDark;
    }
    if !row.is_thermal {
        let is_lamp_out = amps * system_volts < row.lamp_out_watts;
        return Flashes::At(if is_lamp_out { 2.0 } else { 1.0 } * FLASHES_A_MINUTE);
    }
    let share = amps * system_volts / row.watts;
    let most = THERMAL_SHARES.1 * row.most_watts / row.watts;
    if share < THERMAL_SHARES.0 {
        Flashes::StaysDark
    } else if share > most {
        Flashes::StaysLit
    } else {
        Flashes::At(FLASHES_A_MINUTE * share)
    }
}

/// What a flasher does in the phase just solved, in which it is closed.
fn flashes_now(solver: &Solver<'_>, row: &FlasherRow) -> Flashes {
    let tables = solver.tables;
    let switch = &tables.switches[row.senses];
    if !solver.closed[row.senses] || !solver.closed[row.switch] {
        return Flashes::StaysDark;
    }
    let volts = |step: u32| solver.volts[step as usize];
    let amps = switch.siemens * (volts(switch.a) - volts(switch.b)).abs();
    let feed = row.earth.map(|earth| {
        let island = |step: u32| tables.islands.of[step as usize] as usize;
        let both_home = solver.is_home[island(row.feed)] && solver.is_home[island(earth)];
        if both_home { (volts(row.feed) - volts(earth)).abs() } else { 0.0 }
    });
    match flashes(row, amps, feed, tables.system_volts) {
        // A pilot contact follows the lamps' current, so that the tell-tale is dark while nothing is switched on.
        Flashes::Waits if row.senses != row.switch => Flashes::StaysDark,
        does => does,
    }
}

/// Opens the flashers that stay dark; says whether there was one.
pub(crate) fn start_flashers(solver: &Solver<'_>, flashers: &mut [bool]) -> bool {
    let mut is_changed = false;
    for (row, closed) in solver.tables.flashers.iter().zip(flashers) {
        if *closed && solver.closed[row.switch] && flashes_now(solver, row) == Flashes::StaysDark {
            *closed = false;
            is_changed = true;
        }
    }
    is_changed
}

pub(crate) fn at_work(solver: &Solver<'_>, flashers: &[bool]) -> Vec<bool> {
    let works = |(row, closed): (&FlasherRow, &bool)| {
        *closed && matches!(flashes_now(solver, row), Flashes::At(_))
    };
    solver.tables.flashers.iter().zip(flashers).map(works).collect()
}
