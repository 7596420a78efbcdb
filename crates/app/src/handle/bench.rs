//! The bench of Try: the meter, what is wrong, the record of moves.

use std::sync::Arc;

use loomwright_circuit::{EarthPolarity, PromiseId};
use loomwright_electrics::rig::Wrong;
use loomwright_electrics::{FuseRef, Move};

use crate::action::BenchStep;
use crate::command::Command;
use crate::handle::{Shell, keep_settings};
use crate::state::{KeptRecord, Notice, State};
use crate::texts::{Meters, Opens, Records};
use crate::trial::{Dial, Lead, Opened, Probe, Trial};

/// Carries out a command of Try.
pub(super) fn run(state: &mut State, shell: &mut Shell<'_>, command: Command) {
    let made = shell.analysis.trial.as_ref().map_or(0, |trial| trial.moves.len());
    let step = match command {
        Command::Rest => BenchStep::StandAfter(0),
        Command::LiveOutline => BenchStep::Outline(!state.bench.outlines),
        Command::MeterVolts => BenchStep::Dial(Dial::Volts),
        Command::MeterAmps => BenchStep::Dial(Dial::Amps),
        Command::MeterOhms => BenchStep::Dial(Dial::Ohms),
        Command::MeterAway => BenchStep::Dial(Dial::Off),
        Command::StepBack if made > 0 => BenchStep::StandAfter(made - 1),
        Command::StepForth => BenchStep::Forth,
        Command::PlayMoves if state.bench.plays.is_some() => BenchStep::Stop,
        Command::PlayMoves => BenchStep::Play,
        Command::ToControls => {
            if let Some(first) = crate::view::controls::first_control_id(shell.ctx) {
                shell.ctx.memory_mut(|memory| memory.request_focus(first));
            }
            return;
        }
        _ => return,
    };
    bench(state, shell, step);
}

/// Carries out a step at the bench.
pub(super) fn bench(state: &mut State, shell: &mut Shell<'_>, step: BenchStep) {
    match step {
        BenchStep::Outline(is_on) => {
            state.bench.outlines = is_on;
            return;
        }
        BenchStep::Pace(pace) => {
            state.bench.pace = pace;
            return;
        }
        BenchStep::Stop => {
            state.bench.plays = None;
            return;
        }
        BenchStep::Name(name) => {
            state.bench.naming = name;
            return;
        }
        BenchStep::Forget(kept) => {
            state.settings.records.retain(|known| *known != kept);
            keep_settings(state, shell);
            return;
        }
        _ => {}
    }
    let Some(trial) = &mut shell.analysis.trial else { return };
    // What was told of the last step is over with this one.
    state.notice = None;
    match step {
        BenchStep::Dial(_)
        | BenchStep::Take(_)
        | BenchStep::Drag(_)
        | BenchStep::Place(..)
        | BenchStep::PlaceOn(..)
        | BenchStep::SetDown(_)
        | BenchStep::PutAway(_)
        | BenchStep::InPlaceOf(_) => meter(state, trial, step),
        BenchStep::Spoil(wrong) => spoil(trial, wrong),
        BenchStep::Mend(wrong) => trial.mend(&wrong),
        BenchStep::MendAll => trial.mend_all(),
        BenchStep::OpenNow(fuse) => {
            if let Some(why) = trial.open_now(&fuse) {
                state.notice = Some(opened(state, &[(fuse, why)]));
            }
        }
        BenchStep::Hold(control, position) => {
            let car = Arc::clone(&state.doc.car);
            let n_left = trial.undone.len();
            let held = trial.hold(&car, &control, &position);
            let is_put_aside = n_left > 0 && trial.undone.is_empty();
            state.notice = super::worked(held, trial.brings_back().filter(|_| is_put_aside));
        }
        BenchStep::Meet(promise) => meet(state, trial, promise),
        BenchStep::Keep => keep(state, shell),
        other => record(state, trial, other),
    }
}

/// What has opened, and why, for the strip along the bottom.
pub(crate) fn opened(state: &State, fuses: &[(FuseRef, Opened)]) -> Notice {
    let says = fuses.iter().map(|(fuse, why)| {
        let why = crate::words::bench::why(state.car(), why);
        Opens::blew(crate::words::trouble::fuse(state.car(), fuse), why)
    });
    Notice::Refused(says.collect::<Vec<_>>().join("; "))
}

fn spoil(trial: &mut Trial, wrong: Wrong) {
    // A fuse that has blown is pulled as it is: what is then out of its holder is a sound one's place.
    if let Wrong::FuseOut(fuse) = &wrong {
        let blown = Wrong::Fault(loomwright_electrics::Fault::FuseBlown(fuse.clone()));
        trial.mend(&blown);
    }
    trial.spoil(wrong);
}

fn meter(state: &State, trial: &mut Trial, step: BenchStep) {
    let car = Arc::clone(&state.doc.car);
    match step {
        BenchStep::Dial(Dial::Off) => {
            trial.set_meter(|meter| *meter = crate::trial::Meter::default());
        }
        BenchStep::Dial(dial) => {
            trial.set_meter(|meter| {
                meter.dial = dial;
                if meter.red.is_none() && meter.black.is_none() {
                    // The one on what is live first: with the other on the earth, volts then read above nought.
                    let first = match (dial, car.vehicle().earth) {
                        (Dial::Volts, EarthPolarity::Positive) => Lead::Black,
                        _ => Lead::Red,
                    };
                    meter.take(first, false);
                }
            });
        }
        BenchStep::Take(lead) => trial.set_meter(|meter| {
            // Let go where it was taken up, it stays in hand.
            let stays = meter.is_dragged || meter.hand != Some(lead);
            meter.take(lead, false);
            if !stays {
                meter.put_down();
            }
        }),
        BenchStep::Drag(lead) => trial.set_meter(|meter| meter.take(lead, true)),
        BenchStep::PutAway(lead) => trial.set_meter(|meter| {
            meter.set(lead, None);
            meter.put_down();
        }),
        BenchStep::Place(lead, probe) => place(trial, lead, &probe),
        BenchStep::PlaceOn(lead, wire) => {
            let near = Probe::Lug { wire, is_to: false };
            let is_to = trial.meter.probe(lead) == Some(&near);
            place(trial, lead, &Probe::Lug { wire, is_to });
        }
        BenchStep::SetDown(probe) => {
            if let Some(lead) = trial.meter.hand {
                place(trial, lead, &probe);
            }
        }
        BenchStep::InPlaceOf(fuse) => {
            spoil(trial, Wrong::FuseOut(fuse.clone()));
            let [first, second] = fuse.between.map(|name| Probe::Terminal(fuse.part, name));
            trial.set_meter(|meter| {
                meter.dial = Dial::Amps;
                meter.set(Lead::Black, Some(second));
                meter.set(Lead::Red, Some(first));
                meter.put_down();
            });
        }
        _ => {}
    }
}

/// Sets a probe down; the other one comes to hand where it stands nowhere. Once both stand, it is the first that further
/// clicks move, as one leaves the probe on an earth and goes from place to place with the other.
fn place(trial: &mut Trial, lead: Lead, probe: &Probe) {
    trial.set_meter(|meter| {
        if meter.dial == Dial::Off {
            meter.dial = Dial::Volts;
        }
        let (other, is_new) = (lead.other(), meter.probe(lead).is_none());
        meter.set(lead, Some(probe.clone()));
        meter.put_down();
        let is_enough = meter.dial == Dial::Amps && matches!(probe, Probe::Lug { .. });
        if meter.probe(other).is_some() && is_new {
            meter.touch(other);
        } else if meter.probe(other).is_none() && !is_enough {
            meter.take(other, false);
        }
    });
}

/// Puts the controls as a promise asks, by moves from rest: the key first, then all else, the engine last.
fn meet(state: &mut State, trial: &mut Trial, id: PromiseId) {
    let Some(promise) = state.car().promises().get(&id) else { return };
    let network = Arc::clone(&trial.network);
    let Some(setting) = network.setting_for(promise) else {
        state.notice = Some(Notice::Refused(Records::not_met().to_owned()));
        return;
    };
    let rest = network.at_rest().state.setting;
    let controls = network.controls().iter().zip(setting.0.iter().zip(&rest.0));
    let moves = controls.filter(|(_, (at, rest))| at != rest).filter_map(|(control, (at, _))| {
        let position = control.positions.get(usize::from(*at))?;
        Some(Move { control: control.name.clone(), position: position.name.clone() })
    });
    let mut moves: Vec<Move> = moves.collect();
    moves.sort_by_key(|step| (step.control != "ignition", step.control == "engine"));
    state.notice = Some(match trial.replay(&moves) {
        Ok(()) => Notice::Said(Records::met().to_owned()),
        Err(reason) => Notice::Refused(reason),
    });
}

fn record(state: &mut State, trial: &mut Trial, step: BenchStep) {
    match step {
        BenchStep::StandAfter(n_moves) => {
            state.bench.plays = None;
            trial.stand_after(n_moves);
        }
        BenchStep::BringBack => {
            state.bench.plays = None;
            trial.bring_back();
        }
        BenchStep::Forth => forth(state, trial),
        BenchStep::Play => {
            if trial.undone.is_empty() {
                trial.stand_after(0);
            }
            state.bench.plays = (!trial.undone.is_empty()).then_some(None);
        }
        BenchStep::TakeUp(kept) => {
            state.bench.plays = None;
            trial.take_up(&kept.record());
        }
        _ => {}
    }
}

/// Makes the next move of the record; one that cannot be made is said and left out.
pub(crate) fn forth(state: &mut State, trial: &mut Trial) {
    let next = trial.undone.last().cloned();
    state.notice = match (trial.forth(), next) {
        (Some(Err(_)), Some(step)) => {
            let step = Records::step(&step.control, &step.position);
            Some(Notice::Refused(Records::left_out(crate::tool::sentence(&step))))
        }
        _ => None,
    };
}

fn keep(state: &mut State, shell: &mut Shell<'_>) {
    let name = state.bench.naming.clone().unwrap_or_default().trim().to_owned();
    let record = shell.analysis.trial.as_ref().map(Trial::record).unwrap_or_default();
    if name.is_empty() || record.is_empty() {
        let says = if record.is_empty() { Records::needs_moves() } else { Records::needs_name() };
        state.notice = Some(Notice::Refused(says.to_owned()));
        return;
    }
    let car = state.car().vehicle().name.clone();
    state.settings.records.retain(|known| known.car != car || known.name != name);
    let moves = record.into_iter().map(|step| (step.control, step.position)).collect();
    state.settings.records.push(KeptRecord { car, name: name.clone(), moves });
    state.bench.naming = None;
    state.notice = Some(Notice::Said(Records::is_kept(name)));
    if let Some(trial) = &mut shell.analysis.trial {
        trial.forget_left();
    }
    keep_settings(state, shell);
}

/// The amps that the range of a common meter bears (practice: 10 A, behind a fuse of its own).
pub(crate) const METER_BEARS: f64 = 10.0;

/// What the bench says while a probe is in hand.
pub(crate) fn in_hand(lead: Lead) -> &'static str {
    match lead {
        Lead::Red => Meters::set_red(),
        Lead::Black => Meters::set_black(),
    }
}
