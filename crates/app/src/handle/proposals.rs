//! Taking what the program proposes for wires.

use loomwright_circuit::{Edit, Version, Wire, WireId};
use loomwright_electrics::Network;
use loomwright_rules::size_of_job;

use crate::handle::edits::try_commit;
use crate::state::{Mode, Notice, State};
use crate::texts::Proposes;
use crate::tool::{Offer, name_of, offers, standing_offers};

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
