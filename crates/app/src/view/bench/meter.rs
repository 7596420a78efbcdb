//! The meter in words: where its dial and probes stand, what it reads and should read.

mod paint;

use loomwright_circuit::Car;
use loomwright_electrics::rig::Wrong;
use loomwright_units::with_decimals;

use crate::action::BenchStep;
use crate::handle::{METER_BEARS, in_hand};
use crate::state::State;
use crate::texts::Meters;
use crate::trial::{Dial, Lead, Metered, Probe, Reading, Should, Shows, Trial};
use crate::words::bench::{self, AmpsIn};

pub(super) use paint::{
    HEIGHT, battery_ui, meter_ui, notes_height, notes_ui, outline_ui, to_earth_ui,
};

/// What it shows.
#[derive(Debug, Clone, PartialEq)]
pub struct MeterView {
    /// Where the dial stands.
    pub dial: Dial,
    /// The probes.
    pub probes: [ProbeView; 2],
    /// The figure on its face.
    pub shows: String,
    /// What is to know of it: what it should be, how it swings, why there is none. Whether it is as it should be is
    /// told first.
    pub notes: Vec<String>,
    /// Whether it reads as it should; nothing where that is not asked.
    pub is_right: Option<bool>,
    /// Whether the battery's leads must come off before it can read.
    pub wants_battery_off: bool,
    /// Whether they are off.
    pub is_battery_off: bool,
    /// Whether all that is live is outlined.
    pub outlines: bool,
    /// Where the probe in hand can be set on the battery's earthed post: its step, and that in words.
    pub to_earth: Option<(BenchStep, String)>,
}

/// A probe.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProbeView {
    /// Which one.
    pub lead: Lead,
    /// Where it stands, in words.
    pub place: String,
    /// The same in few words.
    pub short: String,
    /// Whether it stands anywhere.
    pub is_placed: bool,
    /// Whether it is in hand.
    pub is_in_hand: bool,
    /// Whether a click on a terminal moves it.
    pub is_next: bool,
}

impl MeterView {
    /// Whether it lies on the bench.
    pub(super) fn is_off(&self) -> bool {
        self.dial == Dial::Off
    }
}

pub(super) fn meter_view(state: &State, trial: &Trial, is_lit: bool) -> MeterView {
    let meter = &trial.meter;
    let probes = [Lead::Red, Lead::Black].map(|lead| {
        let probe = meter.probe(lead);
        let place = probe.map(|probe| bench::place(state.car(), trial, probe));
        let is_in_hand = meter.hand == Some(lead);
        let nowhere = if is_in_hand { Meters::in_hand() } else { Meters::nowhere() };
        ProbeView {
            lead,
            is_placed: place.is_some(),
            short: match probe {
                Some(probe) => bench::place_short(state.car(), probe),
                None if is_in_hand => Meters::in_hand().to_owned(),
                None => Meters::nowhere_short().to_owned(),
            },
            place: place.unwrap_or_else(|| nowhere.to_owned()),
            is_in_hand,
            is_next: meter.next() == Some(lead),
        }
    });
    let mut view = MeterView {
        dial: meter.dial,
        probes,
        shows: Meters::no_figure().to_owned(),
        notes: Vec::new(),
        is_right: None,
        wants_battery_off: false,
        is_battery_off: trial.has(&Wrong::BatteryOff),
        outlines: state.bench.outlines,
        to_earth: to_earth(state.car(), trial),
    };
    if let Some(lead) = meter.hand {
        view.notes.push(in_hand(lead).to_owned());
    }
    if let Some(metered) = &trial.metered {
        let taken = taken_away(state.car(), trial);
        read(&mut view, metered, is_lit, (trial.shorts_battery(is_lit), taken.as_deref()));
        let at = view.notes.len().min(usize::from(view.is_right.is_some()));
        let whys = whys(state.car(), trial, metered, is_lit);
        view.notes.splice(at..at, whys);
    }
    view
}

/// While volts are read and the other probe stands, the one in hand most often goes on the battery's earthed post.
fn to_earth(car: &Car, trial: &Trial) -> Option<(BenchStep, String)> {
    let meter = &trial.meter;
    let lead = meter.hand.filter(|_| meter.dial == Dial::Volts)?;
    let is_second = meter.probe(lead).is_none() && meter.probe(lead.other()).is_some();
    let (part, name) = trial.network.reference().filter(|_| is_second)?;
    let post = Probe::Terminal(part, name.to_owned());
    let probe = match lead {
        Lead::Red => Meters::red(),
        Lead::Black => Meters::black(),
    };
    let says = Meters::to_earth(probe, bench::place_short(car, &post));
    Some((BenchStep::Place(lead, post), says))
}

/// Why it reads what it reads, where that is a matter of where its probes stand.
fn whys(car: &Car, trial: &Trial, metered: &Metered, is_lit: bool) -> Vec<String> {
    let shows = phase(metered, is_lit).shows;
    if let Some(alone) = metered.alone
        && let Some((id, _)) = trial.meter.red.as_ref().and_then(|probe| probe.terminal(car))
    {
        let part = crate::words::trouble::part(car, id);
        let says = match figure(alone) {
            Some(figure) => in_unit(alone, figure),
            None => Meters::open().to_owned(),
        };
        return vec![Meters::read_along(part, says)];
    }
    let is_ohms = matches!(shows, Shows::Ohms(_) | Shows::Open);
    if !is_ohms && !matches!(shows, Shows::Volts(_) | Shows::Floats) {
        return Vec::new();
    }
    let mut says = Vec::new();
    for lead in [Lead::Red, Lead::Black] {
        let Some(probe) = trial.meter.probe(lead) else { continue };
        let place = || bench::place(car, trial, probe);
        let is_bare = trial.is_bare(probe);
        if trial.is_adrift(probe, is_lit) && !is_ohms {
            says.push(if is_bare { Meters::adrift_bare(place()) } else { Meters::adrift(place()) });
        } else if is_bare && !is_ohms {
            says.push(Meters::through_part(place()));
        }
        if let Some((id, _)) = probe.terminal(car)
            && trial.has(&Wrong::BulbOut(id))
        {
            let part = crate::words::trouble::part(car, id);
            says.push(if is_ohms { Meters::no_bulb_ohms(part) } else { Meters::no_bulb(part) });
        }
    }
    says.dedup();
    says
}

/// The reading of this phase of the flashers.
fn phase(metered: &Metered, is_lit: bool) -> &Reading {
    match &metered.off {
        Some(off) if !is_lit => off,
        _ => &metered.on,
    }
}

/// Fills in what is read in this phase.
fn read(
    view: &mut MeterView,
    metered: &Metered,
    is_lit: bool,
    (is_short, taken): (bool, Option<&str>),
) {
    let reading = phase(metered, is_lit);
    if let Some(figure) = figure(reading.shows) {
        view.shows = in_unit(reading.shows, figure);
    }
    match reading.shows {
        Shows::Needs(_) if view.dial == Dial::Amps && view.notes.is_empty() => {
            view.notes.push(Meters::needs_amps().to_owned());
        }
        Shows::Floats => {
            view.shows = in_unit(Shows::Volts(0.0), 0.0);
        }
        Shows::Open => Meters::open().clone_into(&mut view.shows),
        Shows::PowerOn => {
            view.wants_battery_off = true;
            view.notes.push(Meters::power_on().to_owned());
        }
        Shows::StillLive(volts) => {
            view.notes.push(Meters::still_live(in_unit(Shows::Volts(0.0), volts)));
        }
        _ => {}
    }
    judge(view, reading, taken);
    if let Some(off) = &metered.off
        && let (Some(on), Some(off)) = (figure(metered.on.shows), figure(off.shows))
        && (on - off).abs() > 0.01
    {
        let [least, greatest] = in_one_unit(reading.shows, [on.min(off), on.max(off)]);
        view.notes.push(Meters::swings(least, greatest));
    }
    if let Shows::Amps(amps) = reading.shows {
        if amps.abs() > METER_BEARS {
            // That a sound car would do the same to the meter is no comfort.
            if view.is_right == Some(true) {
                view.notes.remove(0);
            }
            view.is_right = Some(false);
            let says =
                if is_short { Meters::short().to_owned() } else { Meters::over_range(METER_BEARS) };
            view.notes.insert(0, says);
        }
        // Where the fuse has blown by now, what a sound car would send through the meter is no figure to compare with.
        let would_be = match reading.should {
            Some(Should::Between(least, greatest)) => least.abs().max(greatest.abs()),
            _ => 0.0,
        };
        if would_be > METER_BEARS && amps.abs() <= METER_BEARS && !metered.is_in_series {
            view.is_right = Some(false);
            Meters::bridges().clone_into(&mut view.notes[0]);
        }
        let how = if metered.is_in_series { Meters::in_series() } else { Meters::across() };
        view.notes.push(how.to_owned());
    }
}

/// What was only taken out or off, where nothing else is wrong: less flows for it, and so less is lost on the way.
fn taken_away(car: &Car, trial: &Trial) -> Option<String> {
    let is_taken = |wrong: &Wrong| {
        matches!(
            wrong,
            Wrong::FuseOut(_) | Wrong::BulbOut(_) | Wrong::LeadOff { .. } | Wrong::Unplugged(_)
        )
    };
    let is_all = trial.wrongs.iter().all(|here| is_taken(&here.wrong));
    trial.wrongs.first().filter(|_| is_all).map(|here| bench::wrong(car, here))
}

/// Sets what is read beside what should be.
fn judge(view: &mut MeterView, reading: &Reading, taken: Option<&str>) {
    let Some(should) = reading.should else { return };
    let (verdict, asked) = match (should, figure(reading.shows)) {
        (Should::Nothing, None) => (None, should_be_nothing(reading.shows)),
        (Should::Nothing, Some(figure)) => {
            let is_nought = figure.abs() < TOLD_FROM && !matches!(reading.shows, Shows::Ohms(_));
            ((!is_nought).then(Meters::not_so), should_be_nothing(reading.shows))
        }
        (Should::Between(least, greatest), read) => {
            let like = match reading.shows {
                // Where no figure is read, the unit is that of the dial.
                Shows::Floats => Shows::Volts(0.0),
                Shows::Open => Shows::Ohms(0.0),
                shows => shows,
            };
            let asked = between(like, least, greatest);
            (compared(read, least, greatest), asked)
        }
    };
    if let (Shows::Volts(_), Some(taken)) = (reading.shows, taken)
        && verdict == Some(Meters::too_high())
    {
        view.notes.insert(0, Meters::less_flows(asked, taken));
        return;
    }
    view.is_right = Some(verdict.is_none());
    let verdict = verdict.unwrap_or(Meters::as_it_should());
    view.notes.insert(0, format!("{asked}: {verdict}"));
}

fn between(unit: Shows, least: f64, greatest: f64) -> String {
    let [from, to] = in_one_unit(unit, [least, greatest]);
    if from == to { Meters::should_be_about(from) } else { Meters::should_be(from, to) }
}

fn should_be_nothing(shows: Shows) -> String {
    let is_ohms = matches!(shows, Shows::Ohms(_) | Shows::Open);
    let says = if is_ohms { Meters::should_be_open() } else { Meters::should_be_nothing() };
    says.to_owned()
}

/// What a common meter tells from another figure: a hundredth, or a two-hundredth of it (practice).
const TOLD_FROM: f64 = 0.01;
const SHARE_TOLD: f64 = 0.005;

/// What is wrong with a figure; nothing where it lies in its band.
fn compared(read: Option<f64>, least: f64, greatest: f64) -> Option<&'static str> {
    let Some(read) = read else {
        let is_nought = least.abs().max(greatest.abs()) < TOLD_FROM;
        return (!is_nought).then(Meters::not_so);
    };
    let room = TOLD_FROM.max(SHARE_TOLD * greatest.abs().max(least.abs()));
    let middle = 0.5 * (least + greatest);
    if read >= least - room && read <= greatest + room {
        None
    } else if read * middle < 0.0 && middle.abs() > room && read.abs() > room {
        Some(Meters::other_way())
    } else if read.abs() < middle.abs() {
        Some(Meters::too_low())
    } else {
        Some(Meters::too_high())
    }
}

fn figure(shows: Shows) -> Option<f64> {
    match shows {
        Shows::Volts(figure) | Shows::Amps(figure) | Shows::Ohms(figure) => Some(figure),
        _ => None,
    }
}

/// A figure in the unit of what is shown.
fn in_unit(like: Shows, figure: f64) -> String {
    let [says] = in_one_unit(like, [figure]);
    says
}

/// Figures that are read side by side, in one unit.
fn in_one_unit<const N: usize>(like: Shows, figures: [f64; N]) -> [String; N] {
    match like {
        Shows::Amps(_) => {
            let unit = AmpsIn::all(figures);
            figures.map(|figure| unit.says(figure))
        }
        Shows::Ohms(_) | Shows::Open if figures.iter().any(|figure| *figure >= 999.5) => {
            figures.map(|figure| format!("{} kΩ", with_decimals(figure / 1000.0, 2)))
        }
        Shows::Ohms(_) | Shows::Open => figures.map(|figure| match figure {
            _ if figure < 99.95 => format!("{} Ω", with_decimals(figure, 2)),
            _ => format!("{} Ω", with_decimals(figure, 0)),
        }),
        _ => figures.map(|figure| format!("{} V", with_decimals(figure, 2))),
    }
}

#[cfg(test)]
mod tests;
