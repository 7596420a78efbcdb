//! What of the lettering has no room as the sheet is seen: it is told beside the zoom, and only while it is so.

use loomwright_circuit::{Box2, Car, WireId};
use loomwright_drawing::{Rank, Sheet as Laid};

use crate::painter::{Screen, legible};
use crate::state::LeftOut;
use crate::texts::LeftOuts;
use crate::words::trouble::few;

/// What is left out of a sheet on a screen.
pub(super) fn left_out(screen: &Screen, laid: &Laid) -> LeftOut {
    let (legible, in_view) = (legible(screen, laid), screen.in_view());
    let is_in_view = |id: &WireId| {
        let around = laid.routes.get(id).and_then(|route| Box2::around(route.iter().copied()));
        around.is_some_and(|area| area.meets(in_view))
    };
    LeftOut {
        ranks: legible.ranks_left_out().to_vec(),
        has_figures: legible.leaves_figures_out(),
        untold: laid.untold.iter().copied().filter(is_in_view).collect(),
    }
}

/// That in one sentence, with how to read it all the same; nothing where all is shown.
pub(crate) fn says(car: &Car, left_out: &LeftOut) -> Option<String> {
    let LeftOut { ranks, has_figures, untold } = left_out;
    // Where not even the names are shown, a list would be as long as it is idle.
    if [Rank::Name, Rank::Wire].iter().all(|rank| ranks.contains(rank)) {
        return Some(LeftOuts::all().to_owned());
    }
    let mut what: Vec<&str> = ranks.iter().map(|rank| of_rank(*rank)).collect();
    what.extend(has_figures.then(LeftOuts::figures));
    let what = what.join(", ");
    let wires = untold.iter().filter_map(|id| Some(car.wire(*id)?.label.clone()));
    // Currents of all wires are among the others already.
    let wires = wires.filter(|_| !ranks.contains(&Rank::Amps)).collect::<Vec<_>>();
    match (what.is_empty(), wires.is_empty()) {
        (true, true) => None,
        (false, true) => Some(LeftOuts::come_nearer(what)),
        (true, false) => Some(LeftOuts::currents_of(few(&wires))),
        (false, false) => Some(LeftOuts::both(what, few(&wires))),
    }
}

fn of_rank(rank: Rank) -> &'static str {
    match rank {
        Rank::Polarity => LeftOuts::polarity(),
        Rank::Name => LeftOuts::names(),
        Rank::Wire => LeftOuts::wires(),
        Rank::Amps => LeftOuts::amps(),
        Rank::Terminal => LeftOuts::terminals(),
        Rank::Onward => LeftOuts::onward(),
    }
}
