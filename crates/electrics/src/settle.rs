//! Letting relays come to rest, and flashers start.

use std::collections::BTreeSet;
use std::sync::Arc;

use loomwright_circuit::PartId;

use crate::network::{FlasherRow, Kind, Note, NoteKind, RelayRow, Tables};
use crate::reading::Flow;
use crate::solve::{Ended, Phase, Solver, find, join};
use crate::{Network, Setting, Settled, Solution, State, assumed};

/// A place found at rest, or found not to come to rest.
#[derive(Debug)]
pub(crate) struct Rest {
    pub relays: Vec<bool>,
    pub on: Arc<Flow>,
    pub off: Option<Arc<Flow>>,
    /// Relays that were not asked for rest.
    pub is_settled: bool,
    /// The relay memories gone through on the way, the first included.
    pub path: Vec<Vec<bool>>,
}

/// Either a rest, or the memory known before that the way led to.
#[derive(Debug)]
pub(crate) enum Settling {
    Found(Box<Rest>),
    Known(usize, Vec<Vec<bool>>),
}

/// More rounds than this cannot be needed by relays that come to rest.
const MOST_ROUNDS: usize = 200;

impl Network {
    /// Solves the car at rest, all relays out.
    pub fn at_rest(&self) -> Settled {
        let state =
            State { setting: self.rest(), pulled_in: vec![false; self.tables.relays.len()] };
        let setting = state.setting.clone();
        self.moved(&state, &setting)
    }

    /// Moves the controls from one state to a setting, and lets the relays settle.
    ///
    /// All relays move at once; if they then go round in a circle, one after the other, in the network's order; if
    /// they go round in a circle even so, they buzz.
    pub fn moved(&self, from: &State, setting: &Setting) -> Settled {
        let mut solver = Solver::new(&self.tables);
        let mut relays = from.pulled_in.clone();
        relays.resize(self.tables.relays.len(), false);
        let setting = self.fitted(setting);
        match settle(&mut solver, &setting.0, &relays, true, &mut |_| None) {
            Settling::Found(rest) => self.settled(setting, &rest),
            // Nothing is known before, so the way cannot lead there.
            Settling::Known(..) => {
                debug_assert!(false, "nothing was known");
                Settled {
                    state: State { setting, pulled_in: relays },
                    is_settled: false,
                    on: Solution::default(),
                    off: None,
                }
            }
        }
    }

    /// A setting with as many controls as the car has, each in a position that it has.
    fn fitted(&self, setting: &Setting) -> Setting {
        let fit = |(idx, control): (usize, &loomwright_circuit::Control)| {
            let at = setting.0.get(idx).copied().unwrap_or(0);
            if usize::from(at) < control.positions.len() { at } else { 0 }
        };
        Setting(self.controls().iter().enumerate().map(fit).collect())
    }

    pub(crate) fn settled(&self, setting: Setting, rest: &Rest) -> Settled {
        let solution =
            |flow: &Arc<Flow>, other: Option<&Arc<Flow>>| Solution::of(&self.tables, flow, other);
        Settled {
            state: State { setting, pulled_in: rest.relays.clone() },
            is_settled: rest.is_settled,
            on: solution(&rest.on, rest.off.as_ref()),
            off: rest.off.as_ref().map(|off| solution(off, Some(&rest.on))),
        }
    }
}

/// Lets relays settle from a memory. `known` may name a memory from which the end is known.
pub(crate) fn settle(
    solver: &mut Solver<'_>,
    setting: &[u8],
    relays: &[bool],
    is_cold: bool,
    known: &mut dyn FnMut(&[bool]) -> Option<usize>,
) -> Settling {
    let tables = solver.tables;
    let mut seen: BTreeSet<(Vec<bool>, Vec<bool>)> = BTreeSet::new();
    let mut relays = relays.to_vec();
    let mut flashers = vec![true; tables.flashers.len()];
    let mut path = vec![relays.clone()];
    let mut one_by_one = false;
    let mut is_cold = is_cold;
    let mut buzzing = vec![false; relays.len()];
    let mut round = 0;
    let ended = loop {
        let phase = Phase { setting, relays: &relays, flashers: &flashers };
        let is_enough = |volts: &[f64]| is_decided(tables, volts, &relays);
        let ended = solver.solve(phase, is_cold, &is_enough);
        is_cold = false;
        round += 1;
        let wanted = wanted_relays(solver, &relays);
        if wanted != relays {
            if !seen.insert((relays.clone(), flashers.clone())) || round > MOST_ROUNDS {
                if one_by_one {
                    for (buzzes, (was, is)) in buzzing.iter_mut().zip(relays.iter().zip(&wanted)) {
                        *buzzes |= was != is;
                    }
                    break ended;
                }
                one_by_one = true;
                seen.clear();
            }
            step_relays(&mut relays, &wanted, one_by_one, &mut buzzing);
            flashers.fill(true);
            if !one_by_one {
                if let Some(visit) = known(&relays) {
                    return Settling::Known(visit, path);
                }
                path.push(relays.clone());
            }
        } else if !start_flashers(solver, &mut flashers) {
            buzzing.fill(false);
            break ended;
        }
    };
    let is_settled = !buzzing.contains(&true);
    let at_work = at_work(solver, &flashers);
    let on = Arc::new(flow(solver, setting, &relays, &flashers, ended, &buzzing, &at_work));
    let off = dark_phase(solver, setting, &relays, &flashers, &at_work).map(
        |(flashers, ended, relays)| {
            Arc::new(flow(solver, setting, &relays, &flashers, ended, &buzzing, &at_work))
        },
    );
    Settling::Found(Box::new(Rest { relays, on, off, is_settled, path }))
}

/// Moves all relays that want to, or only the first of them.
fn step_relays(relays: &mut [bool], wanted: &[bool], one_by_one: bool, buzzing: &mut [bool]) {
    for (idx, (relay, wanted)) in relays.iter_mut().zip(wanted).enumerate() {
        if *relay != *wanted {
            *relay = *wanted;
            if one_by_one {
                buzzing[idx] = true;
                return;
            }
        }
    }
}

/// The dark phase of flashers at work, with relays that they feed following.
fn dark_phase(
    solver: &mut Solver<'_>,
    setting: &[u8],
    relays: &[bool],
    flashers: &[bool],
    at_work: &[bool],
) -> Option<(Vec<bool>, Ended, Vec<bool>)> {
    if !at_work.contains(&true) {
        return None;
    }
    let flashers: Vec<bool> =
        flashers.iter().zip(at_work).map(|(closed, works)| *closed && !works).collect();
    let mut relays = relays.to_vec();
    for _ in 0..=relays.len() {
        let phase = Phase { setting, relays: &relays, flashers: &flashers };
        let ended = solver.solve(phase, false, &|_| false);
        let wanted = wanted_relays(solver, &relays);
        if wanted == relays {
            return Some((flashers, ended, relays));
        }
        relays = wanted;
    }
    let phase = Phase { setting, relays: &relays, flashers: &flashers };
    let ended = solver.solve(phase, false, &|_| false);
    Some((flashers, ended, relays))
}

/// Volts by which a coil must be away from its threshold for a rough answer to decide.
const CLEAR_VOLTS: f64 = 0.5;

/// Whether it is clear that some relay moves, and which.
fn is_decided(tables: &Tables, volts: &[f64], relays: &[bool]) -> bool {
    let mut moves = false;
    for (row, is_in) in tables.relays.iter().zip(relays) {
        let coil = &tables.fixed[row.branch];
        let across = (volts[coil.a as usize] - volts[coil.b as usize]).abs();
        let threshold = if *is_in { row.drop_out_volts } else { row.pull_in_volts };
        if (across - threshold).abs() < CLEAR_VOLTS {
            return false;
        }
        moves |= *is_in != (across >= threshold);
    }
    moves
}

/// Where each relay wants to be, given the volts on its coil.
fn wanted_relays(solver: &Solver<'_>, relays: &[bool]) -> Vec<bool> {
    let wanted = |(row, is_in): (&RelayRow, &bool)| {
        let coil = &solver.tables.fixed[row.branch];
        let volts = (solver.volts[coil.a as usize] - solver.volts[coil.b as usize]).abs();
        let threshold = if *is_in { row.drop_out_volts } else { row.pull_in_volts };
        coil.siemens > 0.0 && volts >= threshold
    };
    solver.tables.relays.iter().zip(relays).map(wanted).collect()
}

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
/// Electronic: constant rate (NHTSA interpretation nht91-7.6).
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
        return Flashes::At(FLASHES_A_MINUTE);
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
fn start_flashers(solver: &Solver<'_>, flashers: &mut [bool]) -> bool {
    let mut is_changed = false;
    for (row, closed) in solver.tables.flashers.iter().zip(flashers) {
        if *closed && solver.closed[row.switch] && flashes_now(solver, row) == Flashes::StaysDark {
            *closed = false;
            is_changed = true;
        }
    }
    is_changed
}

fn at_work(solver: &Solver<'_>, flashers: &[bool]) -> Vec<bool> {
    let works = |(row, closed): (&FlasherRow, &bool)| {
        *closed && matches!(flashes_now(solver, row), Flashes::At(_))
    };
    solver.tables.flashers.iter().zip(flashers).map(works).collect()
}

/// Keeps what a reading needs of the phase just solved.
fn flow(
    solver: &Solver<'_>,
    setting: &[u8],
    relays: &[bool],
    flashers: &[bool],
    ended: Ended,
    buzzing: &[bool],
    at_work: &[bool],
) -> Flow {
    let tables = solver.tables;
    let mut flow = Flow {
        setting: setting.into(),
        relays: relays.into(),
        flashers: flashers.into(),
        at_work: at_work.into(),
        buzzing: if buzzing.contains(&true) { buzzing.into() } else { Box::default() },
        volts: solver.volts.as_slice().into(),
        is_home: solver.is_home.as_slice().into(),
        iterations: ended.iterations,
        residual: ended.residual,
        notes: Vec::new(),
    };
    if !ended.is_converged {
        flow.notes.push(Note {
            kind: NoteKind::NotConverged,
            parts: Vec::new(),
            wires: Vec::new(),
        });
    }
    let buzzes: BTreeSet<PartId> = tables
        .relays
        .iter()
        .zip(buzzing)
        .filter(|(_, buzzes)| **buzzes)
        .map(|(row, _)| tables.elements[row.element].part)
        .collect();
    if !buzzes.is_empty() {
        let parts = buzzes.into_iter().collect();
        flow.notes.push(Note { kind: NoteKind::Buzzes, parts, wires: Vec::new() });
    }
    note_shorts(solver, &mut flow);
    flow
}

/// Notes supplies whose posts copper joins: wires, joints, closed contacts, fuses.
fn note_shorts(solver: &Solver<'_>, flow: &mut Flow) {
    let tables = solver.tables;
    let is_supply = |kind: Kind| matches!(kind, Kind::Battery | Kind::Generator);
    let mut parent: Vec<u32> = Vec::new();
    for row in tables.elements.iter().filter(|row| is_supply(row.kind)) {
        if tables.taken_out.contains(&row.part) {
            continue;
        }
        if parent.is_empty() {
            parent = copper_islands(solver);
        }
        let top = |parent: &mut [u32], step: u32| find(parent, tables.copper.of[step as usize]);
        if top(&mut parent, row.ends[0]) == top(&mut parent, row.ends[1]) {
            let note = short_of(tables, flow, row);
            flow.notes.push(note);
        }
    }
}

fn copper_islands(solver: &Solver<'_>) -> Vec<u32> {
    let copper = &solver.tables.copper;
    let mut parent: Vec<u32> = (0..copper.count as u32).collect();
    for (switch, closed) in solver.tables.switches.iter().zip(&solver.closed) {
        if *closed {
            join(&mut parent, copper.of[switch.a as usize], copper.of[switch.b as usize]);
        }
    }
    parent
}

/// The supply, then the switches, relays and fuses, and the wires, that carry a third or more of its current.
fn short_of(tables: &Tables, flow: &Flow, supply: &crate::network::ElementRow) -> Note {
    let least = flow.element_amps(tables, supply).abs() / 3.0;
    let mut parts = vec![supply.part];
    for row in &tables.elements {
        let can_open =
            matches!(row.kind, Kind::Contacts { .. } | Kind::Relay { .. } | Kind::Fuse { .. });
        let carries = || {
            let branches = row.branches.iter();
            branches.map(|branch| flow.branch_amps(tables, *branch).abs()).fold(0.0, f64::max)
        };
        if can_open && least > 0.0 && carries() >= least && !parts.contains(&row.part) {
            parts.push(row.part);
        }
    }
    let carries = |row: &&crate::network::WireRow| {
        least > 0.0 && flow.fixed_amps(tables, row.branch).abs() >= least
    };
    let wires = tables.wires.iter().filter(carries).map(|row| row.id).collect();
    Note { kind: NoteKind::Shorted, parts, wires }
}
