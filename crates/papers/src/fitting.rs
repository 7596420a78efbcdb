//! The order in which the alteration is fitted: stages worked out from its plan, each with a test of its own.

mod alone;
mod amps;
mod battery;
mod cautions;
mod cold;
mod dark;
mod heavy;
mod joints;
mod lamp;
mod live;
mod names;
mod near;
mod ohms;
mod reading;
mod runs;
#[cfg(test)]
mod tests;
mod together;
mod warm;

use std::collections::BTreeSet;

use loomwright_circuit::{Car, Control, PartId, Standing, WireId};
use serde::Serialize;

use self::runs::{Run, RunKind, Ways};
use crate::held::leads_held;
use crate::rows::{self, WireRow};
use crate::solved::{Met, Solved};
use crate::warned::Warning;
use crate::words;
use loomwright_electrics::protection;
use loomwright_electrics::rig::Rig;

pub(crate) use self::amps::{clip_on, fuse_amps};
pub(crate) use self::battery::{battery_at_rest, battery_while_charging, battery_while_cranking};
pub(crate) use self::cautions::{
    SMOKE, all_of, as_read, burns_coil, caution, coil_back_on, coil_off_once, hands, hot_lamps,
    ignition_coils, slips, trailer, wipers,
};
pub(crate) use self::heavy::heavy_sides;
pub(crate) use self::joints::{Remade, remade, through, with_bulbs_back};
pub(crate) use self::lamp::power_up_again;
pub(crate) use self::live::{METER_VOLTS, consumer_checks, set_words};
pub(crate) use self::names::earth_post;
pub(crate) use self::ohms::{LEAD_OHMS, earth_check};
pub(crate) use self::reading::{clamp_to_clamp, reads_coil_at};
pub(crate) use self::runs::{Place, is_joint, place_of};
pub(crate) use self::together::post_volts;

/// A stage of the work, finished when its tests are passed.
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
pub(crate) struct Stage {
    pub(crate) title: String,
    /// What could hurt somebody or burn in it; empty where nothing beyond the cautions of the cover.
    pub(crate) caution: String,
    /// The page that is gone through before it, by its heading; empty where none.
    pub(crate) first: &'static str,
    /// Whether the battery comes next: nobody goes on while a danger is open.
    pub(crate) is_before_battery: bool,
    /// Whether the order ends here.
    pub(crate) is_stop: bool,
    /// What to do, in one or two sentences.
    pub(crate) does: String,
    /// Leads that are fitted or taken out.
    pub(crate) leads: Vec<WireRow>,
    /// Parts that are fitted or taken out.
    pub(crate) parts: Vec<Spot>,
    pub(crate) checks: Vec<Check>,
}

/// A part and where it goes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Spot {
    pub(crate) label: String,
    /// What was noted of it; empty where the place is yet to be written in.
    pub(crate) note: String,
    /// How far from other parts it may stand, by the leads between them; empty where that is free.
    pub(crate) near: String,
    /// Dangers and faults that name it, where it is fitted.
    pub(crate) warnings: Vec<Warning>,
    #[serde(skip)]
    pub(crate) id: PartId,
    /// Whether it is fitted, not taken out.
    #[serde(skip)]
    pub(crate) is_new: bool,
}

/// One reading, and what to make of it.
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
pub(crate) struct Check {
    /// How the controls stand; empty where that does not matter.
    pub(crate) set: String,
    /// What else is done for it: bulbs out, a meter put in; empty where nothing.
    pub(crate) how: String,
    /// Where the red probe goes, or what is looked at.
    pub(crate) red: String,
    /// Where the black probe goes; empty where something is looked at or felt.
    pub(crate) black: String,
    /// What is read: "ohms", "volts", "amps"; or "seen", "felt" or "done".
    pub(crate) reads: &'static str,
    /// The computed figure.
    pub(crate) expected: String,
    /// The band in which it is passed.
    pub(crate) band: String,
    /// What it means if it is not passed.
    pub(crate) otherwise: String,
    /// The computed figure, finer than any meter shows it.
    #[serde(skip)]
    pub(crate) figure: Option<f64>,
}

/// All stages; none where nothing is to fit or to remove.
pub(crate) fn stages(car: &Car, solved: &Solved) -> Vec<Stage> {
    let is_altered = car.parts().values().any(|part| part.standing != Standing::AsFound)
        || car.wires().values().any(|wire| wire.standing != Standing::AsFound);
    let Some((part, terminal)) = solved.usual.reference().filter(|_| is_altered) else {
        return Vec::new();
    };
    let shop = Shop {
        car,
        post: (part, terminal.to_owned()),
        runs: Ways::of(car).runs(),
        controls: reading::controls(car),
        held: leads_held(car),
        unfused: unfused(solved),
        consumers: live::consumers(car, solved),
    };
    let mut stages = vec![shop.battery_off()];
    stages.extend(shop.take_out());
    // The parts first: an earth lead is read at the part that it goes to.
    stages.extend(shop.new_parts(solved));
    stages.extend(shop.runs_of(RunKind::EarthSide));
    for kind in [RunKind::New, RunKind::CutIn, RunKind::Supply] {
        stages.extend(shop.runs_of(kind));
    }
    if let Some(stop) = shop.stop() {
        // Whatever has its turn before the first of them could be fitted; nothing is switched on.
        let is_reached = |row: &WireRow| !row.held.is_empty();
        let before = stages.iter().take_while(|stage| !stage.leads.iter().any(is_reached)).count();
        stages.truncate(before);
        stages.push(stop);
        return stages;
    }
    stages.extend(live::never_work(&shop));
    stages.push(shop.before_power());
    stages.extend(live::stages(&shop, solved));
    coil_off_once(car, stages.iter_mut().map(|stage| &mut stage.caution));
    stages
}

/// Leads that can be live and have nothing to blow but themselves.
pub(crate) fn unfused(solved: &Solved) -> BTreeSet<WireId> {
    let guards = protection(&solved.usual).into_iter();
    guards.filter(|(_, guard)| guard.can_be_live && guard.is_unfused).map(|(id, _)| id).collect()
}

/// The car on its stands, with what every stage asks for.
pub(crate) struct Shop<'a> {
    car: &'a Car,
    /// The battery's earthed post.
    post: (PartId, String),
    runs: Vec<Run>,
    /// Controls of the car after the alteration.
    controls: Vec<Control>,
    /// Leads that nobody is told to fit.
    held: Vec<WireRow>,
    /// Leads with nothing to blow but the wire.
    unfused: BTreeSet<WireId>,
    /// What uses current and is new, or has a new lead on it, as it is set to work; nothing where no setting does that.
    consumers: Vec<(PartId, Option<Met>)>,
}

impl Shop<'_> {
    fn post(&self) -> (PartId, &str) {
        (self.post.0, &self.post.1)
    }

    /// Where the order ends, since leads would lead nowhere; nothing where all have their places.
    fn stop(&self) -> Option<Stage> {
        (!self.held.is_empty()).then(|| Stage {
            title: "Stop: the order ends here".to_owned(),
            caution: "Do not connect the battery.".to_owned(),
            is_stop: true,
            does: "None of these leads is fitted, and nothing that would come after them. Show on the drawing where each \
                   of them goes, or take it off; then check the car, and print this order anew."
                .to_owned(),
            leads: self.held.clone(),
            ..Stage::default()
        })
    }

    /// What is said before anything is joined to parts that work in no setting; empty where all of them do.
    fn silent_words(&self, is_met: impl Fn(PartId) -> bool) -> String {
        let silent = self.silent().filter(|id| is_met(*id));
        let labels: Vec<String> = silent.map(|id| label(self.car, id).to_owned()).collect();
        let (work, them) = if labels.len() == 1 { ("works", "it") } else { ("work", "them") };
        if labels.is_empty() {
            return String::new();
        }
        format!(
            "As drawn, {} {work} in no setting of the controls. Find out why, and put the drawing right, before any lead \
             goes on {them}.",
            words::listed(&labels, usize::MAX)
        )
    }

    /// Consumers that work in no setting.
    fn silent(&self) -> impl Iterator<Item = PartId> + '_ {
        self.consumers.iter().filter(|(_, met)| met.is_none()).map(|(id, _)| *id)
    }

    fn rig(&self, without: &BTreeSet<WireId>, fuses_out: bool) -> Rig {
        let rig = Rig::of(self.car).without_batteries().without(without);
        if fuses_out { rig.without_new_fuses() } else { rig }
    }

    /// The leads that are not in the car yet when these have just been fitted, with those taken out.
    fn not_yet(&self, just_fitted: &BTreeSet<WireId>) -> BTreeSet<WireId> {
        let is_just_fitted = |run: &Run| run.leads.iter().any(|lead| just_fitted.contains(lead));
        let n_fitted = self.runs.iter().rposition(is_just_fitted).map_or(0, |last| last + 1);
        let fitted = self.runs[..n_fitted].iter().flat_map(|run| &run.leads);
        let mut left = self.wires(|standing| standing != Standing::AsFound);
        for wire in fitted {
            left.remove(wire);
        }
        left
    }

    fn wires(&self, is_it: impl Fn(Standing) -> bool) -> BTreeSet<WireId> {
        let wires = self.car.wires().iter().filter(|(_, wire)| is_it(wire.standing));
        wires.map(|(id, _)| *id).collect()
    }

    fn rows_of(&self, leads: &BTreeSet<WireId>) -> Vec<WireRow> {
        let labels: BTreeSet<&str> = leads
            .iter()
            .filter_map(|id| self.car.wire(*id))
            .map(|wire| wire.label.as_str())
            .collect();
        rows::wires(self.car)
            .into_iter()
            .filter(|row| labels.contains(row.number.as_str()))
            .collect()
    }
}

fn label(car: &Car, id: PartId) -> &str {
    car.part(id).map_or("", |part| part.label.as_str())
}
