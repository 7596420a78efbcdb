//! The meter: where its probes stand, and what it reads there as a real one would.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Car, Name, PartId, Wire, WireId};
use loomwright_electrics::rig::{Ohms, Rig, Wrong};
use loomwright_electrics::{Settled, Solution};

use crate::trial::{Sound, Trial};

/// What the meter is set to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Dial {
    /// Nothing: it lies on the bench.
    #[default]
    Off,
    /// Volts between its probes.
    Volts,
    /// The current through it: it is part of the circuit.
    Amps,
    /// What lies between its probes, with the battery off.
    Ohms,
}

/// A probe of the meter, by its colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lead {
    /// The one that a reading counts from.
    Red,
    /// The other.
    Black,
}

impl Lead {
    /// The other one.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Red => Self::Black,
            Self::Black => Self::Red,
        }
    }
}

/// Where a probe stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Probe {
    /// On a terminal.
    Terminal(PartId, Name),
    /// On the end of a wire, whether that is on its terminal or off it.
    Lug {
        /// The wire.
        wire: WireId,
        /// Whether it is its `to` end.
        is_to: bool,
    },
}

/// The meter with its probes.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Meter {
    /// What it is set to.
    pub dial: Dial,
    /// Where the red probe stands.
    pub red: Option<Probe>,
    /// Where the black probe stands.
    pub black: Option<Probe>,
    /// The probe in hand.
    pub hand: Option<Lead>,
    /// Whether it is dragged.
    pub is_dragged: bool,
    /// The probe that was touched last.
    last: Option<Lead>,
    /// The meter as a part of the circuit that is tried, while it joins its probes.
    pub(super) shunt: Option<PartId>,
}

/// What the meter shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shows {
    /// Nothing: this probe stands nowhere.
    Needs(Lead),
    /// Volts of red over black.
    Volts(f64),
    /// Nothing that counts: nothing joins the two probes to the same battery.
    Floats,
    /// The current that enters it by the red probe.
    Amps(f64),
    /// A resistance.
    Ohms(f64),
    /// No end of ohms.
    Open,
    /// No resistance can be read: the battery is on.
    PowerOn,
    /// Nor with these volts between its probes, from a generator that turns.
    StillLive(f64),
}

/// What it should show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Should {
    /// A figure between these two.
    Between(f64, f64),
    /// Nothing that joins its probes.
    Nothing,
}

/// What the meter shows, and should, in one phase of the flashers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// What it shows.
    pub shows: Shows,
    /// What it would show on the same car with nothing wrong; nothing where nothing is shown.
    pub should: Option<Should>,
}

/// What the meter reads: while flashers are lit, and while they are dark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Metered {
    /// In the lit phase, or where nothing flashes.
    pub on: Reading,
    /// In the dark phase.
    pub off: Option<Reading>,
    /// Whether it stands in a row with a wire, in place of its end.
    pub is_in_series: bool,
    /// What the part on which both probes stand would show by itself, where other ways between them are read along.
    pub alone: Option<Shows>,
}

impl Probe {
    /// The terminal that it stands on, or that its wire's end belongs to.
    pub fn terminal<'c>(&'c self, car: &'c Car) -> Option<(PartId, &'c str)> {
        match self {
            Self::Terminal(part, terminal) => Some((*part, terminal)),
            Self::Lug { wire, is_to } => {
                let wire = car.wire(*wire)?;
                match if *is_to { &wire.to.at } else { &wire.from.at } {
                    Anchor::Terminal { part, terminal } => Some((*part, terminal)),
                    Anchor::Loose { .. } => None,
                }
            }
        }
    }

    fn is_in(&self, car: &Car) -> bool {
        match self {
            Self::Terminal(part, name) => {
                car.type_of(*part).is_some_and(|known| known.terminal(name).is_some())
            }
            Self::Lug { wire, .. } => car.wire(*wire).is_some(),
        }
    }

    fn volts(&self, solution: &Solution) -> Option<f64> {
        match self {
            Self::Terminal(part, terminal) => Some(solution.volts(*part, terminal)?.0),
            Self::Lug { wire, is_to } => Some(solution.wire_volts(*wire)?[usize::from(*is_to)].0),
        }
    }

    /// A terminal to join something to in a rig.
    fn in_rig(&self, rig: &mut Rig) -> Option<(PartId, String)> {
        match self {
            Self::Terminal(part, terminal) => Some((*part, terminal.clone())),
            Self::Lug { wire, is_to } => rig.end_of(*wire, *is_to),
        }
    }

    /// The rig with a meter set to amps between two probes, and that meter in it.
    pub(super) fn joined(&self, black: &Self, mut rig: Rig) -> Option<(Rig, Option<PartId>)> {
        let (red, black) = (self.in_rig(&mut rig)?, black.in_rig(&mut rig)?);
        let rig = rig.with_ammeter((red.0, &red.1), (black.0, &black.1));
        let shunt = rig.ammeter();
        Some((rig, shunt))
    }
}

impl Meter {
    /// A probe's place.
    pub fn probe(&self, lead: Lead) -> Option<&Probe> {
        match lead {
            Lead::Red => self.red.as_ref(),
            Lead::Black => self.black.as_ref(),
        }
    }

    /// Sets a probe down, or puts it away.
    pub fn set(&mut self, lead: Lead, probe: Option<Probe>) {
        self.last = Some(lead);
        match lead {
            Lead::Red => self.red = probe,
            Lead::Black => self.black = probe,
        }
    }

    /// Takes a probe in hand.
    pub fn take(&mut self, lead: Lead, is_dragged: bool) {
        (self.hand, self.last, self.is_dragged) = (Some(lead), Some(lead), is_dragged);
    }

    /// Makes it the one that was touched last.
    pub fn touch(&mut self, lead: Lead) {
        self.last = Some(lead);
    }

    /// Puts down what is in hand, wherever it stands.
    pub fn put_down(&mut self) {
        (self.hand, self.is_dragged) = (None, false);
    }

    /// The probe that a click on a terminal moves: the one in hand, else the one that was touched last, so that the
    /// other stays where it is while one place after the other is read.
    pub fn next(&self) -> Option<Lead> {
        let placed = [Lead::Red, Lead::Black].into_iter().find(|lead| self.probe(*lead).is_some());
        self.hand
            .or_else(|| placed.and_then(|first| self.last.or(Some(first))))
            .filter(|_| self.dial != Dial::Off)
    }

    /// The same on a changed car.
    pub(super) fn on(&self, car: &Car) -> Self {
        let kept = |probe: &Option<Probe>| probe.clone().filter(|probe| probe.is_in(car));
        Self { red: kept(&self.red), black: kept(&self.black), shunt: None, ..self.clone() }
    }

    /// The end of a wire in place of which the meter stands, set to amps: whether the red probe is on the wire.
    fn in_series(&self, car: &Car, trial: &Trial) -> Option<(WireId, bool, bool)> {
        if self.dial != Dial::Amps {
            return None;
        }
        let (red, black) = (self.red.as_ref(), self.black.as_ref());
        let ends = [(red, black, true), (black, red, false)];
        ends.into_iter().find_map(|(lug, other, is_red)| {
            let lug = lug?;
            let Probe::Lug { wire, is_to } = lug else { return None };
            let is_off = trial.has(&Wrong::LeadOff { wire: *wire, is_to: *is_to });
            let own = lug.terminal(car)?;
            let is_there = other.is_none_or(|other| other.terminal(car) == Some(own));
            (!is_off && is_there).then_some((*wire, *is_to, is_red))
        })
    }

    /// The places that a meter set to amps joins.
    pub(super) fn bridged(&self, car: &Car, trial: &Trial) -> Option<[Probe; 2]> {
        if self.dial != Dial::Amps || self.in_series(car, trial).is_some() {
            return None;
        }
        Some([self.red.clone()?, self.black.clone()?])
    }
}

/// Less than this between the probes, V, does not disturb a meter set to ohms.
const STILL: f64 = 0.02;

impl Trial {
    /// Changes the meter: its dial, or a probe.
    pub fn set_meter(&mut self, change: impl FnOnce(&mut Meter)) {
        let was = self.meter.bridged(&self.car, self);
        change(&mut self.meter);
        if was == self.meter.bridged(&self.car, self) {
            self.serial += 1;
        } else {
            self.rejoin();
        }
        self.metered = None;
    }

    /// Works out what the meter reads and should read, where that is not known yet.
    pub fn read_meter(&mut self) {
        if self.meter.dial == Dial::Off {
            self.metered = None;
            return;
        }
        if self.metered.is_some() && self.read_at == self.serial {
            return;
        }
        let kept = self.sound.take().filter(|sound| sound.is_of(self));
        let mut sound = kept.unwrap_or_else(|| Sound::of(self));
        sound.follow(&self.moves, &self.settled.state.setting);
        let series = self.meter.in_series(&self.car, self);
        self.metered = Some(if self.meter.dial == Dial::Ohms {
            let on = self.ohms();
            let alone = self.alone(on.shows);
            Metered { on, off: None, is_in_series: false, alone }
        } else {
            let read = |is_lit| self.reading(&sound, series, is_lit);
            let off = self.settled.off.is_some().then(|| read(false));
            Metered { on: read(true), off, is_in_series: series.is_some(), alone: None }
        });
        self.sound = Some(sound);
        self.read_at = self.serial;
    }

    /// Whether a probe stands where nothing leads to the battery.
    pub fn is_adrift(&self, probe: &Probe, is_lit: bool) -> bool {
        probe.volts(solution_of(&self.settled, is_lit)).is_none()
    }

    /// Whether a meter set to amps shorts a battery: nothing else takes as much of what that still gives.
    pub fn shorts_battery(&self, is_lit: bool) -> bool {
        let solution = solution_of(&self.settled, is_lit);
        let across = |id| solution.part(id).map(|reading| reading.volts.0.abs());
        let Some(taken) = self.meter.shunt.and_then(across) else { return false };
        let is_battery = |row: &Element| matches!(row, Element::Battery { .. });
        let batteries = self.car.parts().keys().filter(|id| {
            self.car.type_of(**id).is_some_and(|known| known.elements.iter().any(is_battery))
        });
        let given = batteries.filter_map(|id| across(*id)).reduce(f64::max);
        given.is_some_and(|given| taken > 0.5 * given)
    }

    /// Whether a probe stands on a terminal of a part that no wire is on.
    pub fn is_bare(&self, probe: &Probe) -> bool {
        let Probe::Terminal(part, terminal) = probe else { return false };
        let anchor = Anchor::Terminal { part: *part, terminal: terminal.clone() };
        let is_on = |wire: WireId, at: &Anchor, is_to: bool| {
            *at == anchor && !self.has(&Wrong::LeadOff { wire, is_to })
        };
        let mut wires = self.car.wires().iter();
        !wires.any(|(id, wire)| is_on(*id, &wire.from.at, false) || is_on(*id, &wire.to.at, true))
    }

    fn reading(
        &self,
        sound: &Sound,
        series: Option<(WireId, bool, bool)>,
        is_lit: bool,
    ) -> Reading {
        let shows = self.shows(&self.settled, self.meter.shunt, series, is_lit);
        if matches!(shows, Shows::Needs(_)) {
            return Reading { shows, should: None };
        }
        let each = sound.each().map(|(settled, shunt)| self.shows(settled, shunt, series, is_lit));
        Reading { shows, should: Some(band(each)) }
    }

    /// What a meter on a car that stands so shows.
    fn shows(
        &self,
        settled: &Settled,
        shunt: Option<PartId>,
        series: Option<(WireId, bool, bool)>,
        is_lit: bool,
    ) -> Shows {
        let solution = solution_of(settled, is_lit);
        if let Some((wire, is_to, is_red)) = series {
            let amps = solution.wire_end_amps(wire).map_or(0.0, |ends| ends[usize::from(is_to)].0);
            // Out of the wire at its `to` end, into it at the other.
            return Shows::Amps(if is_to == is_red { amps } else { -amps });
        }
        let (red, black) = match (&self.meter.red, &self.meter.black) {
            (None, _) => return Shows::Needs(Lead::Red),
            (_, None) => return Shows::Needs(Lead::Black),
            (Some(red), Some(black)) => (red, black),
        };
        if self.meter.dial == Dial::Amps {
            let reading = shunt.and_then(|shunt| solution.part(shunt));
            return Shows::Amps(reading.map_or(0.0, |reading| reading.amps.0));
        }
        match (red.volts(solution), black.volts(solution)) {
            (Some(red), Some(black)) => Shows::Volts(red - black),
            _ => Shows::Floats,
        }
    }

    fn ohms(&self) -> Reading {
        let shows = |shows| Reading { shows, should: None };
        let (red, black) = match (&self.meter.red, &self.meter.black) {
            (None, _) => return shows(Shows::Needs(Lead::Red)),
            (_, None) => return shows(Shows::Needs(Lead::Black)),
            (Some(red), Some(black)) => (red, black),
        };
        let is_battery = |row: &Element| matches!(row, Element::Battery { .. });
        let has_battery = self.car.parts().keys().any(|id| {
            self.car.type_of(*id).is_some_and(|known| known.elements.iter().any(is_battery))
        });
        if has_battery && !self.has(&Wrong::BatteryOff) {
            return shows(Shows::PowerOn);
        }
        if let (Some(red), Some(black)) =
            (red.volts(&self.settled.on), black.volts(&self.settled.on))
            && (red - black).abs() > STILL
        {
            return shows(Shows::StillLive(red - black));
        }
        let read = |rig| self.ohms_of(rig, red, black);
        let sound = |losses| read(self.rig(|wrong| *wrong == Wrong::BatteryOff).losing(losses));
        let each = Sound::LOSSES.into_iter().map(sound);
        Reading { shows: read(self.rig(|_| true)), should: Some(band(each)) }
    }

    /// What lies between two places of a rig, with the controls as they stand.
    fn ohms_of(&self, mut rig: Rig, red: &Probe, black: &Probe) -> Shows {
        let places = (red.in_rig(&mut rig), black.in_rig(&mut rig));
        let (Some(red), Some(black)) = places else { return Shows::Open };
        let setting = &self.settled.state.setting;
        match rig.ohms_in((red.0, &red.1), (black.0, &black.1), setting) {
            Ohms::Reads(ohms) => Shows::Ohms(ohms),
            Ohms::Open => Shows::Open,
        }
    }

    /// What the part on which both probes stand shows with all wires off the place of the red one, where that is not
    /// what is read with them on.
    fn alone(&self, shows: Shows) -> Option<Shows> {
        /// What is less than this share of what is read, nobody takes for another part.
        const TOLD_APART: f64 = 0.05;
        let (red, black) = (self.meter.red.as_ref()?, self.meter.black.as_ref()?);
        let (at, other) = (red.terminal(&self.car)?, black.terminal(&self.car)?);
        let Shows::Ohms(all) = shows else { return None };
        if at.0 != other.0 || at.1 == other.1 {
            return None;
        }
        let here = Anchor::terminal(at.0, at.1);
        let is_here = |wire: &Wire| wire.ends().iter().any(|end| end.at == here);
        let wires = self.car.wires().iter().filter(|(_, wire)| is_here(wire));
        let off: BTreeSet<WireId> = wires.map(|(id, _)| *id).collect();
        let place = |(part, name): (PartId, &str)| Probe::Terminal(part, name.to_owned());
        let alone = self.ohms_of(self.rig(|_| true).without(&off), &place(at), &place(other));
        match alone {
            Shows::Ohms(alone) if (alone - all).abs() < TOLD_APART * alone => None,
            alone => Some(alone),
        }
    }
}

/// What flows in this phase of the flashers.
fn solution_of(settled: &Settled, is_lit: bool) -> &Solution {
    match (&settled.off, is_lit) {
        (Some(off), false) => off,
        _ => &settled.on,
    }
}

/// Between what a meter shows with little, usual and much lost.
fn band(each: impl Iterator<Item = Shows>) -> Should {
    let figures = each.filter_map(|shows| match shows {
        Shows::Volts(figure) | Shows::Amps(figure) | Shows::Ohms(figure) => Some(figure),
        _ => None,
    });
    let ends = figures.map(|figure| (figure, figure));
    let ends = ends.reduce(|all, one| (all.0.min(one.0), all.1.max(one.1)));
    ends.map_or(Should::Nothing, |(least, greatest)| Should::Between(least, greatest))
}
