//! The stages with the battery on: first power-up through a lamp, one consumer at a time, all together, and by touch.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, PartId, Standing};
use loomwright_electrics::{PartState, Settled};

use super::names::{earth_post, is_to_fit, place_name};
use super::together::{all_together, by_touch, together};
use super::{Check, Shop, Stage};
use crate::solved::{Figure, Met, Solved, works};
use crate::words;
use loomwright_electrics::rig::{LAMP_WATTS, Rig};

/// What a meter adds to a reading of volts on either side.
const METER_VOLTS: f64 = 0.1;
/// And to one of amps, as a share, and at the least.
const METER_SHARE: f64 = 0.1;
const METER_AMPS: f64 = 0.1;
/// Volts that an earth side may lose (practice: 0.1 good, 0.2 the limit).
const EARTH_VOLTS: f64 = 0.2;

pub(super) fn stages(shop: &Shop<'_>, solved: &Solved) -> Vec<Stage> {
    let consumers = consumers(shop.car);
    let met: Vec<(PartId, Option<Met>)> =
        consumers.iter().map(|id| (*id, solved.working(shop.car, *id))).collect();
    let known: Vec<(PartId, &Met)> =
        met.iter().filter_map(|(id, met)| Some((*id, met.as_ref()?))).collect();
    let mut stages = vec![first_power(shop, &known)];
    stages.extend(met.iter().map(|(id, met)| one_consumer(shop, *id, met.as_ref())));
    let all = all_together(shop.car, solved);
    stages.push(together(shop, solved, &all, &known));
    stages.push(by_touch(shop.car, &all));
    stages
}

/// What uses current and is new, or has a new lead on it: lamps and motors, then relays.
fn consumers(car: &Car) -> Vec<PartId> {
    let uses = |element: &Element| {
        matches!(
            element,
            Element::Filament { .. }
                | Element::Led { .. }
                | Element::Load { .. }
                | Element::Motor { .. }
                | Element::Relay { .. }
        )
    };
    let has_new_lead = |id: PartId| {
        car.wires().values().any(|wire| {
            wire.standing == Standing::ToFit
                && wire.ends().iter().any(|end| end.at.part() == Some(id))
        })
    };
    let present = car.parts().iter().filter(|(_, part)| part.standing != Standing::ToRemove);
    let mut found: Vec<PartId> = present
        .filter(|(id, _)| car.type_of(**id).is_some_and(|known| known.elements.iter().any(uses)))
        .filter(|(id, _)| is_to_fit(car, **id) || has_new_lead(**id))
        .map(|(id, _)| *id)
        .collect();
    let label = |id: &PartId| car.part(*id).map_or("", |part| part.label.as_str());
    // A relay is heard before what it feeds can work.
    found.sort_by(|a, b| {
        (!is_relay(car, *a))
            .cmp(&!is_relay(car, *b))
            .then_with(|| words::by_count(label(a), label(b)))
    });
    found
}

fn is_relay(car: &Car, id: PartId) -> bool {
    car.type_of(id).is_some_and(|known| {
        known.elements.iter().any(|element| matches!(element, Element::Relay { .. }))
    })
}

/// The controls that are not at rest: "ignition at on, dip switch at main".
pub(crate) fn set_words(met: &Met) -> String {
    if met.moves.is_empty() {
        return "everything off".to_owned();
    }
    let each = met.moves.iter().map(|(control, position)| format!("{control} at {position}"));
    format!("{}; all else off", each.collect::<Vec<_>>().join(", "))
}

fn first_power(shop: &Shop<'_>, known: &[(PartId, &Met)]) -> Stage {
    let (rig, lamp) = Rig::of(shop.car).with_lamp_in_earth_lead(shop.post());
    let network = rig.network();
    let rest = network.at_rest();
    let mut checks = vec![lamp_check("everything off".to_owned(), &rest, lamp)];
    let mut settings: Vec<&Met> = Vec::new();
    for (_, met) in known {
        if settings.iter().all(|other| other.setting != met.setting) {
            settings.push(met);
        }
    }
    for met in settings {
        let settled = network.moved(&rest.state, &met.setting);
        checks.push(lamp_check(set_words(met), &settled, lamp));
    }
    let volts = shop.car.vehicle().voltage.volts().0;
    Stage {
        title: "First power-up, through a lamp".to_owned(),
        does: format!(
            "Put a {LAMP_WATTS:.0} W bulb of {volts:.0} V, with two leads soldered on, between the {post} post and the \
             clamp of the earth lead; the live lead goes on its post first. The bulb lets no more than about {amps:.1} A \
             through, whatever is wrong. Watch it, not the car.",
            post = earth_post(shop.car),
            amps = LAMP_WATTS / volts,
        ),
        leads: Vec::new(),
        parts: Vec::new(),
        checks,
    }
}

fn lamp_check(set: String, settled: &Settled, lamp: PartId) -> Check {
    let state =
        settled.phases().filter_map(|phase| phase.state(lamp)).max_by_key(|state| match state {
            PartState::Lit | PartState::Flashing => 2,
            PartState::Dim => 1,
            _ => 0,
        });
    let volts = settled.on.part(lamp).map_or(0.0, |reading| reading.volts.0.abs());
    let (expected, otherwise) = match state {
        Some(PartState::Lit | PartState::Flashing) => (
            "bright",
            "It is bright as it should be, since so much is switched on that it would be bright with a short, too: this \
             row tells only that nothing is open. Dark or dim: a lead, fuse or earth is open.",
        ),
        Some(PartState::Dim) => (
            "a glow",
            "Bright: a short behind what has just been switched on; take the lamp off and go back to the stage that \
             fitted it. Dark: a lead, fuse or earth is open.",
        ),
        _ => (
            "dark",
            "A glow: something takes current that should be off. Bright: a short to earth; take the lamp off, and pull \
             the new fuses one by one until it goes dark.",
        ),
    };
    Check {
        set,
        red: "look at the bulb".to_owned(),
        black: String::new(),
        reads: "seen",
        expected: expected.to_owned(),
        band: format!("{} V across it", words::number(volts, 1)),
        otherwise: otherwise.to_owned(),
    }
}

fn one_consumer(shop: &Shop<'_>, id: PartId, met: Option<&Met>) -> Stage {
    let label = shop.car.part(id).map_or("", |part| part.label.as_str());
    let checks = met.map_or_else(Vec::new, |met| consumer_checks(shop.car, id, met, shop.post()));
    let does = if met.is_some() {
        "The bulb out, the earth lead on its post. Only this one is switched on; then everything off again before the \
         next."
            .to_owned()
    } else {
        format!(
            "No setting of the controls was found in which {label} works, so no reading could be worked out. Find out why \
             before you connect it."
        )
    };
    Stage {
        title: format!("One at a time: {label}"),
        does,
        leads: Vec::new(),
        parts: Vec::new(),
        checks,
    }
}

/// Volts across it, and what its earth side loses.
pub(crate) fn consumer_checks(
    car: &Car,
    id: PartId,
    met: &Met,
    post: (PartId, &str),
) -> Vec<Check> {
    let set = set_words(met);
    let Some([feed, home]) = ends(car, id, met) else { return Vec::new() };
    let across = met.volts((id, &feed), (id, &home));
    let mut checks = Vec::new();
    if let Some(volts) = across {
        let (red, black, volts) =
            if volts.usual < 0.0 { (&home, &feed, turned(volts)) } else { (&feed, &home, volts) };
        checks.push(Check {
            set: set.clone(),
            red: place_name(car, &(id, red.clone())),
            black: place_name(car, &(id, black.clone())),
            otherwise: "Nothing: go back along its feed, terminal by terminal, until the volts are there; the open place \
                        is the one before. Half or less: a bad joint on the way, or fed through another consumer."
                .to_owned(),
            ..volts_check(volts)
        });
    }
    if let Some(lost) = met.volts((id, &home), post) {
        let lost = if lost.usual < 0.0 { turned(lost) } else { lost };
        let is_earth_side = lost.usual < 1.0;
        if is_earth_side && works(&met.usual.on, id) {
            let limit = EARTH_VOLTS.max(lost.greatest + 0.05);
            checks.push(Check {
                set,
                red: place_name(car, &(id, home)),
                black: format!("{} post of the battery", earth_post(car)),
                reads: "volts",
                expected: format!("{} V", words::number(lost.usual, 2)),
                band: format!("no more than {} V", words::number(limit, 2)),
                otherwise: "More: a bad earth. Battery volts: the earth is open. Clean the ring and the metal under it."
                    .to_owned(),
            });
        }
    }
    checks
}

/// The two terminals of what works in a part, the one nearer the feed first.
fn ends(car: &Car, id: PartId, met: &Met) -> Option<[String; 2]> {
    let known = car.type_of(id)?;
    let amps = |terminal: &str| {
        let amps = met.usual.on.terminal_amps(id, terminal)?;
        Some(amps.0.abs())
    };
    let pairs = known.elements.iter().filter_map(|element| match element {
        Element::Filament { between: [a, b], .. }
        | Element::Load { between: [a, b], .. }
        | Element::Motor { between: [a, b], .. }
        | Element::Relay { coil: [a, b], .. } => Some([a.clone(), b.clone()]),
        Element::Led { anode, cathode, .. } => Some([anode.clone(), cathode.clone()]),

        _ => None,
    });
    let carried = |pair: &[String; 2]| {
        pair.iter().filter_map(|terminal| amps(terminal)).fold(f64::MAX, f64::min)
    };
    pairs.max_by(|a, b| carried(a).total_cmp(&carried(b)))
}

pub(super) fn turned(figure: Figure) -> Figure {
    Figure { usual: -figure.usual, least: -figure.greatest, greatest: -figure.least }
}

pub(crate) fn volts_check(volts: Figure) -> Check {
    let band = volts.wider(METER_VOLTS);
    Check {
        reads: "volts",
        expected: format!("{:.1} V", volts.usual),
        band: if band.least <= 0.0 {
            format!("no more than {:.1} V", band.greatest)
        } else {
            format!("{:.1} to {:.1} V", band.least, band.greatest)
        },
        ..Check::default()
    }
}

pub(crate) fn amps_check(amps: Figure) -> Check {
    let wider = |value: f64| (value * METER_SHARE).max(METER_AMPS);
    Check {
        reads: "amps",
        expected: format!("{:.1} A", amps.usual),
        band: format!(
            "{:.1} to {:.1} A",
            (amps.least - wider(amps.least)).max(0.0),
            amps.greatest + wider(amps.greatest)
        ),
        ..Check::default()
    }
}
