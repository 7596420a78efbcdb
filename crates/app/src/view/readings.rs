//! Try: what the selected part or wire does at this moment.

mod relays;

use egui::Ui;
use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Car, Name, PartId, PartType, Wire, WireId};
use loomwright_electrics::rig::Wrong;
use loomwright_electrics::{Fault, PartReading, PartState, Solution};
use loomwright_units::{Amps, Volts, with_decimals};

use crate::analysis::Analysis;
use crate::promises::fed_at;
use crate::rich::rich;
use crate::state::State;
use crate::texts::{Readings, Tries, Wrongs};
use crate::theme::{Theme, plain};
use crate::trial::{Trial, about, load};
use crate::view::widgets::{fact_ui, heading_ui};
use crate::what_if::Suspect;
use crate::words::bench::AmpsIn;
use crate::words::trouble;

/// What the panel shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadingsView {
    /// What is read.
    pub heading: String,
    /// Its state in a word.
    pub word: String,
    /// Whether that is wrong: not as promised, blown, or something was taken out.
    pub is_wrong: bool,
    /// Name and reading.
    pub rows: Vec<(String, String)>,
    /// What to know about them.
    pub notes: Vec<String>,
}

/// Builds it.
pub fn readings_view(state: &State, analysis: &Analysis) -> ReadingsView {
    let mut view = ReadingsView {
        heading: Readings::readings().to_owned(),
        word: String::new(),
        is_wrong: false,
        rows: Vec::new(),
        notes: Vec::new(),
    };
    let Some(trial) = &analysis.trial else { return view };
    let solution = trial.solution(analysis.is_lit);
    let car = state.car();
    if !trial.settled.is_settled {
        view.notes.push(Readings::a_relay_pulls_in_and_drops().to_owned());
    }
    if let Some(id) = state.selection.only_part()
        && let (Some(part), Some(part_type)) = (car.part(id), car.type_of(id))
    {
        view.heading.clone_from(&part.label);
        for terminal in &part_type.terminals {
            let volts = solution.volts(id, &terminal.name).map_or_else(floats, volts);
            view.rows.push((Readings::terminal(&terminal.name), volts));
        }
        if let Some(reading) = solution.part(id) {
            if reading.state != PartState::Passive {
                let word = || reading.state.word().to_owned();
                view.word = relays::word(part_type, &reading).unwrap_or_else(word);
            }
            view.is_wrong = is_wrong(state, trial, (id, reading.state));
            if let Some(word) = taken_out(trial, id, part_type) {
                (view.word, view.is_wrong) = (word, true);
            }
            let unit = unit(&reading);
            view.rows.extend(flows(solution, id, part_type, (&reading, unit)));
            if says_power(&reading) {
                let watts = format!("{} W", with_decimals(reading.watts.0, 1));
                view.rows.push((Readings::power().to_owned(), watts));
            }
            elements(part_type, (&reading, unit), &mut view.rows);
        }
    } else if let Some(id) = state.selection.only_wire()
        && let Some(wire) = car.wire(id)
    {
        view.heading = Readings::wire(&wire.label);
        if let Some(word) = wire_trouble(car, trial, solution, id) {
            (view.word, view.is_wrong) = (word, true);
        }
        let carried = carried(solution, id, wire).into_iter();
        view.rows.extend(carried.map(|(name, says)| (name.to_owned(), says)));
        view.rows.extend(at_ends(trial, solution, (id, wire)));
    } else {
        view.notes.push(Readings::click_a_part_or_a_wire().to_owned());
    }
    view
}

/// The volts at both ends of a wire.
fn at_ends(
    trial: &Trial,
    solution: &Solution,
    (id, wire): (WireId, &Wire),
) -> Vec<(String, String)> {
    let ends = [Readings::near_end(), Readings::far_end()].into_iter().zip(wire.ends());
    let rows = ends.enumerate().filter_map(|(at, (name, end))| {
        let Anchor::Terminal { part, terminal } = &end.at else { return None };
        // An end that is off its terminal stands at what the rest of the wire brings it.
        let is_off = trial.has(&Wrong::LeadOff { wire: id, is_to: at == 1 });
        let read = if is_off {
            solution.wire_volts(id).map(|ends| ends[at])
        } else {
            solution.volts(*part, terminal)
        };
        Some((name.to_owned(), read.map_or_else(floats, volts)))
    });
    rows.collect()
}

/// What flows through a part, and the volts across it; of a box of fuses, of each of them, since what one reads says nothing
/// of the others.
fn flows(
    solution: &Solution,
    id: PartId,
    part_type: &PartType,
    (reading, unit): (&PartReading, AmpsIn),
) -> Vec<(String, String)> {
    let fuses = part_type.elements.iter().zip(&reading.elements);
    let fuses: Vec<_> = fuses
        .filter_map(|(row, of_it)| match row {
            Element::Fuse { between, .. } => Some((between, of_it)),
            _ => None,
        })
        .collect();
    let across = |[a, b]: &[Name; 2]| {
        // A meter has nothing to read against what hangs on nothing.
        let ends = [a, b].map(|end| solution.volts(id, end));
        match ends {
            [Some(a), Some(b)] => volts(a - b),
            [None, None] => volts(Volts::ZERO),
            _ => Readings::one_side_floats().to_owned(),
        }
    };
    match fuses[..] {
        [] => {
            // An open contact has no volts of its own; a meter reads what stands at its terminals.
            let is_switch =
                part_type.elements.iter().all(|row| matches!(row, Element::Contacts { .. }));
            let over = match &part_type.terminals[..] {
                [a, b] if is_switch => across(&[a.name.clone(), b.name.clone()]),
                _ => volts(reading.volts),
            };
            vec![
                (Readings::current().to_owned(), unit.says(reading.amps.0)),
                (Readings::across_it().to_owned(), over),
            ]
        }
        [(between, of_it)] => vec![
            (Readings::current().to_owned(), unit.says(of_it.amps.0)),
            (Readings::across_it().to_owned(), across(between)),
        ],
        _ => fuses
            .iter()
            .flat_map(|(between, of_it)| {
                let [a, b] = *between;
                [
                    (Readings::through(a, b), unit.says(of_it.amps.0)),
                    (Readings::across(a, b), across(between)),
                ]
            })
            .collect(),
    }
}

/// Whether the power of a part is told: of what only passes current on, or fuses it, not beside volts or watts that read
/// as nought.
fn says_power(reading: &PartReading) -> bool {
    let is_way = matches!(reading.state, PartState::Passive | PartState::Holds);
    !is_way || reading.volts.0.abs() >= 0.005 && reading.watts.0.abs() >= 0.05
}

/// Whether what a part does is wrong: by itself, or by a promise that is asked now. That a lamp is dark is not, else.
fn is_wrong(state: &State, trial: &Trial, (id, does): (PartId, PartState)) -> bool {
    let is_trouble = matches!(
        does,
        PartState::Weak
            | PartState::Stalled
            | PartState::Buzzing
            | PartState::MayOpen
            | PartState::Opens
            | PartState::Cycles
            | PartState::Open
            | PartState::Blocks
    );
    let setting = &trial.settled.state.setting;
    let asked = state.car().promises().values().filter(|row| trial.network.is_asked(row, setting));
    let mut claims = asked.flat_map(|row| &row.then).filter(|claim| claim.part == id);
    is_trouble || claims.any(|claim| trial.settled.breach(claim).is_some())
}

/// What a wire carries, and how much of its rating that is.
pub(super) fn carried(solution: &Solution, id: WireId, wire: &Wire) -> Vec<(&'static str, String)> {
    let ends = solution.wire_end_amps(id);
    let mut rows = match ends {
        None => vec![(Tries::carries(), Tries::not_there().to_owned())],
        // One that touches metal carries something else behind that.
        Some([near, far]) if (near.0 - far.0).abs() > 0.005 => {
            let unit = AmpsIn::all([near.0, far.0]);
            let [near, far] = [near, far].map(|current| along(unit, current));
            vec![(Tries::carries_near(), near), (Tries::carries_far(), far)]
        }
        Some([near, _]) => vec![(Tries::carries(), along(AmpsIn::all([near.0]), near))],
    };
    if let Some((share, rating)) = load(wire, ends) {
        let share = format!("{:.0}", share * 100.0);
        rows.push((Tries::load(), Tries::load_of(share, rating)));
    }
    rows
}

/// What is wrong with a wire, in a word: what somebody did to it, or that it carries more than it bears.
fn wire_trouble(car: &Car, trial: &Trial, solution: &Solution, id: WireId) -> Option<String> {
    let is_off = |is_to| trial.has(&Wrong::LeadOff { wire: id, is_to });
    let has = |fault| trial.has(&Wrong::Fault(fault));
    if has(Fault::WireTouches(id)) {
        return Some(Wrongs::state_touches(trouble::metal(car)));
    }
    if has(Fault::WireBroken(id)) {
        return Some(Wrongs::state_broken().to_owned());
    }
    match (is_off(false), is_off(true)) {
        (true, true) => return Some(Wrongs::state_both_off().to_owned()),
        (false, false) => {}
        _ => return Some(Wrongs::state_off().to_owned()),
    }
    let (share, _) = load(car.wire(id)?, solution.wire_end_amps(id))?;
    (share > 1.0).then(|| Wrongs::state_overloaded().to_owned())
}

/// The state of a part of which something was taken out: what is not there holds nothing.
fn taken_out(trial: &Trial, id: PartId, part_type: &PartType) -> Option<String> {
    let wrongs = trial.wrongs.iter().map(|here| &here.wrong);
    let of_part = wrongs.filter(|wrong| about(wrong) == Some(Suspect::Part(id)));
    let n_out = of_part.clone().filter(|wrong| matches!(wrong, Wrong::FuseOut(_))).count();
    let is_fuse = |row: &&Element| matches!(row, Element::Fuse { .. });
    let n_fuses = part_type.elements.iter().filter(is_fuse).count();
    match n_out {
        0 => of_part.clone().find_map(|wrong| match wrong {
            Wrong::BulbOut(_) => Some(Wrongs::state_no_bulb().to_owned()),
            Wrong::Unplugged(_) => Some(Wrongs::state_apart().to_owned()),
            _ => None,
        }),
        n if n < n_fuses => Some(Wrongs::state_some_out(n, n_fuses)),
        _ => Some(Wrongs::state_out().to_owned()),
    }
}

/// Light, blowing and contacts of what is in a part.
fn elements(
    part_type: &PartType,
    (reading, unit): (&PartReading, AmpsIn),
    rows: &mut Vec<(String, String)>,
) {
    rows.extend(relays::rows(part_type, reading));
    let n_lights = reading.elements.iter().filter(|one| one.light.is_some()).count();
    for (element_idx, element) in reading.elements.iter().enumerate() {
        if let Some(light) = element.light {
            let fed_at = part_type.elements.get(element_idx).and_then(fed_at);
            let name = match fed_at {
                Some(terminal) if n_lights > 1 => Readings::light_of(terminal),
                _ => Readings::light().to_owned(),
            };
            rows.push((name, format!("{:.0} %", light * 100.0)));
        }
        if let Some(seconds) = element.opens_within {
            let again = element.state == PartState::Cycles;
            let name = if again {
                Readings::opens_cools_and_closes_again_within()
            } else {
                Readings::blows_within()
            };
            rows.push((name.to_owned(), seconds.to_string()));
        }
        for contact in &element.contacts {
            let [a, b] = &contact.joins;
            rows.push((Readings::contact(a, b), unit.says(contact.amps.0)));
        }
    }
}

/// What nothing joins to the battery.
fn floats() -> String {
    Readings::floats().to_owned()
}

fn volts(volts: Volts) -> String {
    // Below a millivolt there is nothing that a meter would show.
    let shown = if volts.0.abs() < 0.0005 { 0.0 } else { volts.0 };
    format!("{} V", with_decimals(shown, 2))
}

/// The unit of all currents that are read of a part.
fn unit(reading: &PartReading) -> AmpsIn {
    let contacts = reading.elements.iter().flat_map(|element| &element.contacts);
    let contacts = contacts.map(|contact| contact.amps.0);
    let through = reading.elements.iter().map(|element| element.amps.0);
    AmpsIn::all(contacts.chain(through).chain([reading.amps.0]))
}

/// What a wire carries, and which way that flows where it is against its own direction.
fn along(unit: AmpsIn, Amps(current): Amps) -> String {
    let says = unit.says(current.abs());
    if current <= -0.0005 { Tries::backwards(says) } else { says }
}

/// Paints the line that stands for them while nothing is read.
pub(crate) fn nothing_read_ui(ui: &mut Ui, theme: &Theme) {
    ui.add_space(4.0);
    let text = rich(Readings::click_a_part_or_a_wire()).font(plain(13.0)).color(theme.muted);
    ui.add(egui::Label::new(text).truncate());
}

/// Paints it.
pub fn readings_ui(ui: &mut Ui, theme: &Theme, view: &ReadingsView) {
    let colour = if view.is_wrong { theme.danger } else { theme.ink };
    heading_ui(ui, theme, &view.heading, &view.word, colour);
    for (name, reading) in &view.rows {
        fact_ui(ui, theme, name, reading);
    }
    for note in &view.notes {
        ui.label(rich(note).font(plain(13.0)).color(theme.muted));
    }
    ui.add_space(6.0);
}
