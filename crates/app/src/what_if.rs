//! What would go wrong with one wire or part, as the details tell it.

use std::sync::Arc;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, PartId, Standing, WireId};
use loomwright_electrics::endurance::standing_drain;
use loomwright_electrics::{
    BrokenPromise, Consequences, Exploration, Fault, Move, Network, Verdict, WhatIf, WireStudy,
    wire_study,
};

use crate::texts::WhatIfWords;
use crate::words::trouble::{self, Seriousness};

/// What is asked about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Suspect {
    /// A wire.
    Wire(WireId),
    /// A part.
    Part(PartId),
}

/// How bad something is: a shape, a colour and a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// A fire.
    Danger,
    /// Something that one wants to know.
    Fault,
    /// Nothing to worry about.
    Well,
}

/// One question with its answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// "If it breaks".
    pub question: String,
    /// How bad, in shape and word.
    pub sign: (Sign, &'static str),
    /// What happens, in one sentence.
    pub says: String,
    /// What else there is to know.
    pub more: Vec<String>,
    /// The moves that lead to the setting in which it shows; nothing where it shows nowhere.
    pub moves: Option<Vec<Move>>,
}

/// What was found of a car, for questions that come later.
#[derive(Debug)]
pub struct Found {
    /// Revision of the car.
    pub revision: u64,
    /// The car resolved.
    pub network: Arc<Network>,
    /// Its states.
    pub exploration: Arc<Exploration>,
}

/// Whether there is anything to ask about.
pub fn is_asked(car: &Car, suspect: Suspect) -> bool {
    match suspect {
        Suspect::Wire(id) => car.wire(id).is_some_and(|wire| wire.standing != Standing::ToRemove),
        Suspect::Part(id) => {
            let may_fail = |element: &Element| {
                matches!(
                    element,
                    Element::Battery { .. }
                        | Element::Fuse { .. }
                        | Element::Filament { .. }
                        | Element::Led { .. }
                        | Element::Earth { .. }
                        | Element::Relay { .. }
                )
            };
            car.part(id).is_some_and(|part| part.standing != Standing::ToRemove)
                && car.type_of(id).is_some_and(|known| known.elements.iter().any(may_fail))
        }
    }
}

/// Answers what is asked about a suspect; nothing if `goes_on`, asked between questions, says no.
pub fn answer(
    car: &Car,
    found: &Found,
    suspect: Suspect,
    goes_on: &mut dyn FnMut() -> bool,
) -> Option<Vec<Row>> {
    let (network, exploration) = (&found.network, &found.exploration);
    let mut rows = Vec::new();
    if let Suspect::Wire(id) = suspect {
        let study = wire_study(network, exploration, id, goes_on);
        rows.extend(study.map(|study| touch_row(car, exploration, &study)));
    }
    if let Suspect::Part(id) = suspect {
        rows.extend(drain_row(car, network, id));
    }
    let faults = network.single_faults();
    let mut faults = faults.iter().filter(|fault| is_about(fault, suspect)).peekable();
    if faults.peek().is_none() || !goes_on() {
        return goes_on().then_some(rows);
    }
    let mut what_if = WhatIf::new(network, exploration);
    let promised = what_if.promised(car.promises());
    for fault in faults {
        let found = what_if.of_while(fault, goes_on)?;
        let mut broken = what_if.breaks_while(&promised, fault, goes_on)?;
        // That a lamp is dark which has failed is what was asked.
        broken.retain(|broken| !broken.is_own);
        rows.push(fault_row(car, exploration, &found, &broken));
    }
    goes_on().then_some(rows)
}

/// Whether a fault is one of this wire or part. What a touch does is told of the wire's whole length instead.
fn is_about(fault: &Fault, suspect: Suspect) -> bool {
    match (fault, suspect) {
        (Fault::WireBroken(wire), Suspect::Wire(id)) => *wire == id,
        (
            Fault::LampFailed { part, .. }
            | Fault::EarthPoor(part)
            | Fault::RelayStuckIn(part)
            | Fault::RelayStuckOut(part),
            Suspect::Part(id),
        ) => *part == id,
        (Fault::FuseBlown(fuse), Suspect::Part(id)) => fuse.part == id,
        _ => false,
    }
}

fn touch_row(car: &Car, exploration: &Exploration, study: &WireStudy) -> Row {
    let question = WhatIfWords::if_it_touches(trouble::metal(car));
    let worst = study.touches.iter().max_by(|a, b| {
        let rank = |verdict: Option<Verdict>| (verdict.is_none(), verdict);
        rank(a.worst.verdict).cmp(&rank(b.worst.verdict))
    });
    let Some(worst) = worst else {
        let says = WhatIfWords::it_is_never_live_in_any().to_owned();
        let sign = (Sign::Well, "nothing");
        return Row { question, sign, says, more: Vec::new(), moves: None };
    };
    let least = study.touches.iter().map(|touch| touch.least.amps.0);
    let most = study.touches.iter().map(|touch| touch.greatest.amps.0);
    let (least, most) = (least.fold(f64::INFINITY, f64::min), most.fold(0.0, f64::max));
    let sign = match study.verdict() {
        // The wire lives, but the place of touch may set fire to what is near.
        Some(Verdict::Safe) if study.touches.iter().any(|touch| touch.worst.sets_fire()) => {
            (Sign::Fault, WhatIfWords::wire_survives())
        }
        Some(Verdict::Safe) => (Sign::Well, WhatIfWords::wire_survives()),
        Some(Verdict::Damaged) => (Sign::Fault, WhatIfWords::cover_damaged()),
        Some(Verdict::Burns) => (Sign::Danger, "burns"),
        None => (Sign::Fault, WhatIfWords::size_not_known()),
    };
    let opens = trouble::opens(car, &worst.worst);
    Row {
        question,
        sign,
        says: WhatIfWords::a_to_a(format_args!("{least:.0}"), format_args!("{most:.0}"), &opens),
        more: trouble::cautions(study),
        moves: Some(exploration.moves_to(worst.worst.at.visit)),
    }
}

/// What the battery gives with everything off.
fn drain_row(car: &Car, network: &Network, id: PartId) -> Option<Row> {
    let drain = standing_drain(network);
    let battery = drain.batteries.iter().find(|battery| battery.battery == id)?;
    let draws: Vec<String> = drain
        .draws
        .iter()
        .map(|(part, amps)| format!("{} {amps}", trouble::part(car, *part)))
        .collect();
    let (sign, says) = match battery.hours {
        Some(hours) => {
            let lasts = trouble::hours(hours);
            let says = WhatIfWords::it_gives_and_starts_the_car(battery.amps, &lasts);
            // A car may stand for three weeks (practice).
            let is_long = hours > 24.0 * 21.0;
            ((if is_long { Sign::Well } else { Sign::Fault }, "drains"), says)
        }
        None => ((Sign::Well, "rests"), WhatIfWords::nothing_is_taken_from_it().to_owned()),
    };
    let more = if draws.is_empty() {
        Vec::new()
    } else {
        vec![WhatIfWords::taken_by(trouble::few(&draws))]
    };
    let question = WhatIfWords::with_everything_off().to_owned();
    Some(Row { question, sign, says, more, moves: battery.hours.map(|_| Vec::new()) })
}

fn fault_row(
    car: &Car,
    exploration: &Exploration,
    found: &Consequences,
    broken: &[BrokenPromise],
) -> Row {
    let seriousness = Seriousness::of(found, broken);
    let sign = match seriousness {
        Seriousness::Hot => Sign::Danger,
        Seriousness::Unnoticed => Sign::Well,
        _ => Sign::Fault,
    };
    let promises = broken.iter().filter_map(|broken| car.promises().get(&broken.promise));
    let more: Vec<String> = promises
        .map(|promise| WhatIfWords::breaks_the_promise_with(crate::words::when(car, promise)))
        .collect();
    Row {
        question: question(car, &found.fault),
        sign: (sign, seriousness.word()),
        says: says(car, found),
        more,
        moves: first(found, broken).map(|visit| exploration.moves_to(visit)),
    }
}

/// The visit that shows a fault: with what gets hot before all else.
fn first(found: &Consequences, broken: &[BrokenPromise]) -> Option<usize> {
    let hot = found.hot.first().map(|hot| hot.visit);
    let broken = || Some(broken.first()?.claims.first()?.visit);
    hot.or_else(|| found.visits.first().copied()).or_else(broken)
}

fn question(car: &Car, fault: &Fault) -> String {
    let several = |part: PartId, terminal: &str, does: &str| {
        let fed = |element: &Element| {
            matches!(element, Element::Filament { .. } | Element::Led { .. } | Element::Fuse { .. })
        };
        let known = car.type_of(part);
        let n = known.map_or(1, |known| known.elements.iter().filter(|row| fed(row)).count());
        if n < 2 { WhatIfWords::if_it(does) } else { WhatIfWords::says_if(terminal, does) }
    };
    match fault {
        Fault::WireBroken(_) => WhatIfWords::if_it_breaks().to_owned(),
        Fault::WireTouches(_) => WhatIfWords::if_it_touches(trouble::metal(car)),
        Fault::LampFailed { part, between } => several(*part, &between[0], "fails"),
        Fault::FuseBlown(fuse) => several(fuse.part, &fuse.between.join("–"), "blows"),
        Fault::EarthPoor(_) => {
            WhatIfWords::if_its_earth_corrodes_to_ohm(loomwright_electrics::POOR_EARTH_OHMS)
        }
        Fault::RelayStuckIn(_) => WhatIfWords::if_it_stays_pulled_in().to_owned(),
        Fault::RelayStuckOut(_) => WhatIfWords::if_it_does_not_pull_in().to_owned(),
    }
}

/// What happens, in one sentence.
fn says(car: &Car, found: &Consequences) -> String {
    let mut clauses: Vec<String> = found.hot.iter().map(|hot| trouble::hot(car, hot)).collect();
    clauses = if clauses.is_empty() { clauses } else { vec![trouble::few(&clauses)] };
    clauses
        .extend(found.opens.iter().map(|row| format!("{} opens", trouble::fuse(car, &row.fuse))));
    if !found.stops_engine.is_empty() {
        clauses.push(WhatIfWords::the_engine_stops().to_owned());
    }
    let effects = [&found.wrong, &found.stops].map(|effects| trouble::effects(car, effects));
    clauses.extend(effects.into_iter().filter(|says| !says.is_empty()));
    if clauses.is_empty() {
        return WhatIfWords::nothing_else_changes_in_any_setting().to_owned();
    }
    crate::tool::sentence(&format!("{}.", clauses.join("; ")))
}
