//! What the program proposes for wires: as they are run, as more comes to hang on them, and as it is taken.

use std::collections::BTreeMap;

use loomwright_circuit::{
    Car, Edit, Insulation, Patch, Row, RowId, Standing, Version, Wire, WireId,
};
use loomwright_electrics::Network;
use loomwright_rules::{SizeProposal, SizeReason, colour_of_job, size_of_job, sizes_of_jobs};

use crate::handle::edits::try_commit;
use crate::state::{Mode, Notice, Proposed, State};
use crate::texts::Proposes;
use crate::tool::{Offer, fitting_of, name_of, offers, refit, standing_offers};

/// Completes a planned patch by what is proposed: for the wire that it runs, if it `runs` one, and for leads to fit
/// whose size nobody has decided on and on which something else hangs with it. Says which of these change their size.
pub(super) fn propose_for(state: &mut State, patch: &mut Patch, runs: bool) -> Option<String> {
    decided_by(&mut state.proposed, patch);
    if !runs && open_sizes(&state.proposed, state.car()).next().is_none() {
        return None;
    }
    let mut after = state.car().clone();
    after.apply(patch);
    let open: Vec<WireId> = open_sizes(&state.proposed, &after).collect();
    if !runs && (open.is_empty() || state.car().is_wired_as(&after)) {
        return None;
    }
    let network = Network::of(&after, Version::After);
    if runs && let Some((id, proposed)) = propose_by_job(&after, &network, patch) {
        state.proposed.insert(id, proposed);
        state.just_run = Some(id);
    }
    let mut followed = Vec::new();
    for (id, now) in sizes_of_jobs(&after, &network, open) {
        let Some((wire, proposed)) = after.wire(id).zip(state.proposed.get_mut(&id)) else {
            continue;
        };
        proposed.size = Some(Some(now.because));
        let wants_colour = wire.colour.is_none() && proposed.has_colour;
        let colour = wants_colour.then(|| colour_of_job(&after, &network, id)).flatten();
        if wire.size == Some(now.size) && colour.is_none() {
            continue;
        }
        let mut resized = resized(&after, wire, proposed, now);
        resized.colour = resized.colour.or(colour);
        if let Ok(next) = after.plan(Edit::SetWire(id, resized)) {
            followed.push(format!("{} {}", wire.label, now.size));
            *patch = std::mem::take(patch).then(next);
        }
    }
    (!followed.is_empty()).then(|| Proposes::sizes_follow(followed.join(", ")))
}

/// The leads to fit that have their size as a proposal. What was found has the size that it has, whatever comes to hang
/// on it.
fn open_sizes(proposed: &BTreeMap<WireId, Proposed>, car: &Car) -> impl Iterator<Item = WireId> {
    let open = proposed.iter().filter(|(_, proposed)| proposed.size.is_some());
    let open = open.map(|(id, _)| *id);
    open.filter(|id| car.wire(*id).is_some_and(|wire| wire.standing == Standing::ToFit))
}

/// A size that a patch gives is decided, and both pieces of a wire that it cuts have as proposals what the wire had.
fn decided_by(proposed: &mut BTreeMap<WireId, Proposed>, patch: &Patch) {
    let wires = || {
        patch.changes.iter().filter_map(|change| {
            match (&change.row, &change.before, &change.after) {
                (RowId::Wire(id), before, Some(Row::Wire(after))) => Some((*id, before, after)),
                _ => None,
            }
        })
    };
    for (id, before, after) in wires() {
        let Some(Row::Wire(before)) = before else { continue };
        let Some(known) = proposed.get_mut(&id) else { continue };
        if before.size != after.size {
            known.size = None;
        }
        if before.to.at == after.to.at {
            continue;
        }
        let piece = |(_, row, wire): &(WireId, &Option<Row>, &Wire)| {
            row.is_none() && wire.to == before.to && wire.size == before.size
        };
        let whole = *known;
        known.fittings[1] = true;
        if let Some((id, ..)) = wires().find(piece) {
            proposed.insert(id, Proposed { fittings: [true, whole.fittings[1]], ..whole });
        }
    }
}

/// The wire with the size that its job asks for now, and with fittings that hold that where nobody chose others.
fn resized(car: &Car, wire: &Wire, proposed: &Proposed, now: SizeProposal) -> Wire {
    let mut wire = Wire { size: Some(now.size), ..wire.clone() };
    if matches!(now.because, SizeReason::BatteryLead(_)) {
        wire.insulation = Some(Insulation::Pvc);
    }
    for (end, is_proposed) in [&mut wire.from, &mut wire.to].into_iter().zip(proposed.fittings) {
        if is_proposed {
            end.fitting = fitting_of(car, &end.at);
        }
    }
    refit(car, &mut wire);
    wire
}

/// The new wire gets the colour that the car's code gives its job, and the size that its load asks for, where those
/// are plain. What of it is a proposal is told.
fn propose_by_job(after: &Car, network: &Network, patch: &mut Patch) -> Option<(WireId, Proposed)> {
    let new = patch.changes.iter_mut().rev().find_map(|change| {
        match (&change.row, &change.before, &mut change.after) {
            (RowId::Wire(id), None, Some(Row::Wire(wire))) => Some((*id, wire)),
            _ => None,
        }
    });
    let (id, wire) = new?;
    if let Some(colour) = colour_of_job(after, network, id) {
        wire.colour = Some(colour);
    }
    let size = size_of_job(after, network, id);
    if let Some(proposal) = size {
        wire.size = Some(proposal.size);
        if matches!(proposal.because, SizeReason::BatteryLead(_)) {
            // Battery cable is sold in ordinary PVC.
            wire.insulation = Some(Insulation::Pvc);
        }
    }
    refit(after, wire);
    let proposed = Proposed {
        fittings: [wire.from.fitting.is_some(), wire.to.fitting.is_some()],
        has_colour: true,
        // What is not known yet is filled in once what hangs on the wire tells it.
        size: Some(size.map(|proposal| proposal.because)),
    };
    Some((id, proposed))
}

/// Takes one thing that is proposed for a wire. What stands already is no longer a proposal then.
pub(super) fn take(state: &mut State, id: WireId, offer: Offer) {
    let Some(known) = state.car().wire(id) else { return };
    let mut wire = known.clone();
    offer.give(&mut wire);
    let name = name_of(state.car(), &[], &[id]);
    if wire == *known {
        state.notice = Some(Notice::Said(Proposes::kept(name)));
    } else if try_commit(state, Proposes::taken(name), Edit::SetWire(id, wire)).is_err() {
        return;
    }
    if let Some(proposed) = state.proposed.get_mut(&id) {
        proposed.decide(offer);
    }
}

/// Takes all that is proposed for the selected wires, as one step.
pub(super) fn take_all(state: &mut State) {
    let wires: Vec<WireId> = state.selection.wires.iter().copied().collect();
    let car = state.car();
    let network = Network::of(car, Version::After);
    let filled = wires.iter().filter_map(|id| {
        let known = car.wire(*id)?;
        let mut wire: Wire = known.clone();
        let by_job = || size_of_job(car, &network, *id);
        let standing = standing_offers(state.proposed.get(id), known, by_job);
        for offer in standing.into_iter().chain(offers(car, &network, *id)) {
            offer.give(&mut wire);
        }
        // Filling in what was not known corrects the record; it makes no other lead.
        (wire != *known).then_some((*id, Edit::SetWire(*id, wire)))
    });
    let (taken, edits): (Vec<WireId>, Vec<Edit>) = filled.unzip();
    let kept: Vec<WireId> =
        wires.iter().copied().filter(|id| state.proposed.contains_key(id)).collect();
    if state.mode != Mode::Draw || (edits.is_empty() && kept.is_empty()) {
        state.notice = Some(Notice::Said(Proposes::nothing().to_owned()));
        return;
    }
    if edits.is_empty() {
        let says = Proposes::kept(name_of(car, &[], &kept));
        state.notice = Some(Notice::Said(says));
    } else {
        let label = Proposes::taken(name_of(car, &[], &taken));
        if try_commit(state, label, Edit::All(edits)).is_err() {
            return;
        }
    }
    for id in kept {
        state.proposed.remove(&id);
    }
}
