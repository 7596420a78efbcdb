//! Whether a promise holds at this moment, and what of this moment could be promised.

use egui::Color32;
use loomwright_circuit::part_type::Element;
use loomwright_circuit::{
    Car, Claim, Expectation, Moment, Name, PartId, PartType, Promise, Standing,
};
use loomwright_electrics::{Instead, Setting};

use crate::state::{ClaimRow, Column, PromiseBox, Selection};
use crate::texts::PromisedWords;
use crate::theme::Theme;
use crate::trial::Trial;

/// What can be said of a promise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// It holds.
    Holds,
    /// It does not.
    Broken,
    /// The controls do not stand as it asks.
    NotAsked,
}

impl Verdict {
    /// It in a word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Holds => "kept",
            Self::Broken => "broken",
            Self::NotAsked => PromisedWords::not_now(),
        }
    }

    /// The colour of that word.
    pub fn colour(self, theme: &Theme) -> Color32 {
        match self {
            Self::Holds => theme.well,
            Self::Broken => theme.danger,
            Self::NotAsked => theme.muted,
        }
    }
}

/// Judges a promise in the present state.
pub fn verdict(promise: &Promise, trial: &Trial) -> Verdict {
    if !trial.network.is_asked(promise, &trial.settled.state.setting) {
        return Verdict::NotAsked;
    }
    if promise.then.iter().all(|claim| trial.settled.breach(claim).is_none()) {
        Verdict::Holds
    } else {
        Verdict::Broken
    }
}

/// What of the present state could be promised.
///
/// The controls that matter are those that do not stand at rest, or all of them where every one does: a promise about
/// no control would ask the same in every setting. The parts are those selected, else those at work.
pub fn draft(car: &Car, trial: &Trial, selection: &Selection) -> PromiseBox {
    let Setting(rest) = trial.network.at_rest().state.setting;
    let Setting(stands) = &trial.settled.state.setting;
    let is_at_rest = rest == *stands;
    let when = trial.controls().zip(rest.iter().zip(stands)).map(|((control, at), (rest, now))| {
        let moment = Moment { control: control.name.clone(), positions: vec![at.name.clone()] };
        (moment, is_at_rest || rest != now)
    });
    let mut then: Vec<ClaimRow> = car
        .parts()
        .keys()
        .filter_map(|id| Some((*id, car.type_of(*id)?)))
        .flat_map(|(id, part_type)| claims(trial, id, part_type))
        .collect();
    let is_selected = |row: &ClaimRow| selection.parts.contains(&row.claim.part);
    let has_selected = then.iter().any(is_selected);
    for row in &mut then {
        row.is_taken = if has_selected { is_selected(row) } else { is_at_work(row) };
    }
    // What is ticked comes first: the list of a whole car is long.
    then.sort_by_key(|row| !row.is_taken);
    PromiseBox { when: when.collect(), then, error: None }
}

/// A lamp with full light or a consumer that runs. A relay that is in says nothing by itself.
fn is_at_work(row: &ClaimRow) -> bool {
    use Expectation::{Flashing, Lit, Working};
    row.does.is_none() && matches!(row.claim.must, Lit | Flashing | Working)
}

const OF_LAMP: &[Expectation] = &[Expectation::Lit, Expectation::Dark, Expectation::Flashing];
const OF_CONSUMER: &[Expectation] = &[Expectation::Working, Expectation::Idle];
const OF_RELAY: &[Expectation] = &[Expectation::In, Expectation::Out];

/// Everything of which something can be asked, as columns of the table: each consumer by its terminal where a part has
/// several or a coil besides, and relays as a whole.
pub fn askable(car: &Car) -> Vec<Column> {
    let mut columns = Vec::new();
    for (id, part) in car.parts() {
        let Some(part_type) = car.type_of(*id).filter(|_| part.standing != Standing::ToRemove)
        else {
            continue;
        };
        let fed = fed(part_type);
        let has_relay = part_type.elements.iter().any(is_relay);
        match &*fed {
            [] if has_relay => columns.push((*id, None)),
            [_] if !has_relay => columns.push((*id, None)),
            several => {
                columns.extend(several.iter().map(|(name, _)| (*id, Some((*name).clone()))));
            }
        }
    }
    columns
}

/// What can be asked of a column: words that fit what is fed there.
pub fn choices(car: &Car, (part, terminal): &Column) -> &'static [Expectation] {
    let Some(part_type) = car.type_of(*part) else { return &[] };
    let fed = fed(part_type);
    let meant = |(name, _): &&(&Name, &'static [Expectation])| {
        terminal.as_ref().is_none_or(|terminal| terminal == *name)
    };
    match fed.iter().find(meant) {
        Some((_, choices)) => choices,
        None if part_type.elements.iter().any(is_relay) => OF_RELAY,
        // A claim may name the other end of its lamp.
        None => fed.first().map_or(&[], |(_, choices)| choices),
    }
}

fn is_relay(element: &Element) -> bool {
    matches!(element, Element::Relay { .. })
}

/// The terminals at which consumers of a part are fed, with what can be asked of each.
fn fed(part_type: &PartType) -> Vec<(&Name, &'static [Expectation])> {
    let mut fed: Vec<(&Name, &'static [Expectation])> = Vec::new();
    for element in &part_type.elements {
        let Some(terminal) = fed_at(element) else { continue };
        let is_lamp = matches!(element, Element::Filament { .. } | Element::Led { .. });
        if !fed.iter().any(|(known, _)| *known == terminal) {
            fed.push((terminal, if is_lamp { OF_LAMP } else { OF_CONSUMER }));
        }
    }
    fed
}

/// What can be asked of a part: of each consumer by its terminal where there are several, of a relay as a whole.
fn claims(trial: &Trial, part: PartId, part_type: &PartType) -> Vec<ClaimRow> {
    match &*fed(part_type) {
        [] if part_type.elements.iter().any(is_relay) => {
            claim(trial, part, None, OF_RELAY).into_iter().collect()
        }
        [(terminal, choices)] => {
            // With a coil in the same case, the part as a whole may be told by its coil.
            let whole = claim(trial, part, None, choices).filter(|row| row.does.is_none());
            let row = whole.or_else(|| claim(trial, part, Some(terminal), choices));
            row.into_iter().collect()
        }
        several => {
            let rows = several.iter();
            rows.filter_map(|(terminal, choices)| claim(trial, part, Some(terminal), choices))
                .collect()
        }
    }
}

/// A claim of what a part does; where that is nothing to ask for, of the first thing that can be asked.
/// Nothing where the part is not in the car that is tried.
fn claim(
    trial: &Trial,
    part: PartId,
    terminal: Option<&Name>,
    choices: &'static [Expectation],
) -> Option<ClaimRow> {
    let of = |must| Claim { part, terminal: terminal.cloned(), must };
    let first = *choices.first()?;
    let kept = choices.iter().find(|must| trial.settled.breach(&of(**must)).is_none());
    let does = match (kept, trial.settled.breach(&of(first))) {
        (Some(_), _) | (None, None) => None,
        (None, Some(Instead::Does(state))) => Some(state.word()),
        (None, Some(Instead::Missing)) => return None,
    };
    let claim = of(kept.copied().unwrap_or(first));
    Some(ClaimRow { claim, choices, does, is_taken: false })
}

/// The terminal at which an element is fed.
pub(crate) fn fed_at(element: &Element) -> Option<&String> {
    match element {
        Element::Filament { between, .. }
        | Element::Load { between, .. }
        | Element::Motor { between, .. } => Some(&between[0]),
        Element::Led { anode, .. } => Some(anode),
        _ => None,
    }
}
