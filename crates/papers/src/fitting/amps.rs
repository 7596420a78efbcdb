//! Currents that are read: by a clip-on meter where one in the lead would not live, else with the meter in place of a fuse.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, Name, PartId, Version, WireId};
use loomwright_electrics::filament;
use loomwright_units::with_decimals;

use super::cautions::is_fed_bare;
use super::names::place_name;
use super::runs::{Place, place_of};
use super::{Check, label};
use crate::solved::{Figure, Met, works};
use crate::words;

/// What the amps range of a common meter is fused for, A (practice).
const METER_BEARS: f64 = 10.0;
/// What a clip-on meter adds to a reading: as a share, and at the least, A (practice).
const SHARE: f64 = 0.1;
const CLIP_ON_AMPS: f64 = 0.2;
/// And one in the lead, A (practice).
const IN_LEAD_AMPS: f64 = 0.03;

/// A current by a clip-on meter around a lead.
pub(crate) fn clip_on(amps: Figure, around: String) -> Check {
    let wider = |value: f64| (value * SHARE).max(CLIP_ON_AMPS);
    Check {
        red: around,
        reads: "amps",
        expected: format!("{} A", with_decimals(amps.usual, 1)),
        band: match (amps.least - wider(amps.least), amps.greatest + wider(amps.greatest)) {
            (..=0.0, greatest) => format!("no more than {} A", with_decimals(greatest, 1)),
            (least, greatest) => {
                format!("{} to {} A", with_decimals(least, 1), with_decimals(greatest, 1))
            }
        },
        figure: Some(amps.usual),
        ..Check::default()
    }
}

/// A current through a fuse. Cold filaments take ten times what they settle at, so a meter takes the place of the fuse
/// only where it bears that, too.
pub(crate) fn fuse_amps(
    car: &Car,
    id: PartId,
    [a, b]: [&Name; 2],
    amps: Figure,
    met: &Met,
    unfused: &BTreeSet<WireId>,
) -> Check {
    // With nothing before it to blow, a clip that slips burns a lead.
    let is_bare = [a, b].into_iter().any(|end| is_fed_bare(car, unfused, &(id, end.clone())));
    let [lead_off, again] = if is_bare {
        [", the earth lead off its post until the clips hold", ", the earth lead off its post,"]
    } else {
        [""; 2]
    };
    let falls = met.volts((id, a), (id, b)).is_none_or(|volts| volts.usual >= 0.0);
    let ends = if falls { [a, b] } else { [b, a] };
    let [red, black] = ends.map(|terminal| place_name(car, &(id, terminal.clone())));
    let stiff = if turns_motor(car, met) { ", or a motor that is stiff" } else { "" };
    let otherwise = |nothing: &str| {
        format!(
            "More: something other than drawn is on it{stiff}. Less: something on it does not work. Nothing: \
             {nothing}."
        )
    };
    if amps.greatest * filament::HOT_OVER_COLD > METER_BEARS {
        return Check {
            otherwise: otherwise("its fuse is open"),
            ..clip_on(amps, around(car, id, [a, b]))
        };
    }
    let wider = |value: f64| (value * SHARE).max(IN_LEAD_AMPS);
    Check {
        how: format!(
            "everything off{lead_off}, {} out, the meter in its place by clips, taped: on the clips of its holder, or on a blown fuse with a \
             lead soldered to each end; never by probes pushed in. Red lead in the socket for 10 A, DC amps, its fuse whole (a \
             socket marked unfused never: then this row is left out); then the controls as said. Everything off again{again} \
             before the clips come off and the fuse goes back, and the red lead back in the socket for volts",
            label(car, id)
        ),
        red,
        black,
        reads: "amps",
        expected: format!("{} A", with_decimals(amps.usual, 2)),
        band: format!(
            "{} to {} A",
            with_decimals(amps.least - wider(amps.least), 2),
            with_decimals(amps.greatest + wider(amps.greatest), 2)
        ),
        otherwise: otherwise("the meter's own fuse, or an open lead, contact or earth"),
        figure: Some(amps.usual),
        ..Check::default()
    }
}

/// Whether a motor works in a setting.
fn turns_motor(car: &Car, met: &Met) -> bool {
    let is_motor = |id: &PartId| {
        car.type_of(*id).is_some_and(|known| known.elements.iter().any(Element::is_motor))
    };
    car.parts().keys().any(|id| is_motor(id) && works(&met.usual.on, *id))
}

/// "clip-on meter around W79, at Driving-lamp fuse": all leads of the side that has fewer.
fn around(car: &Car, id: PartId, ends: [&Name; 2]) -> String {
    let leads = |terminal: &Name| {
        let here: Place = (id, terminal.clone());
        let present = car.wires().values().filter(|wire| Version::After.has(wire.standing));
        let mut at: Vec<String> = present
            .filter(|wire| wire.ends().iter().any(|end| place_of(&end.at).as_ref() == Some(&here)))
            .map(|wire| wire.label.clone())
            .collect();
        at.sort_by(|a, b| words::by_count(a, b));
        at
    };
    let sides = ends.map(leads);
    let side = sides.into_iter().filter(|side| !side.is_empty()).min_by_key(Vec::len);
    let label = car.part(id).map_or("", |part| part.label.as_str());
    match side {
        None => format!("clip-on meter around the leads of {label}"),
        Some(side) => {
            let together = if side.len() > 1 { " together" } else { "" };
            format!("clip-on meter around {}{together}, at {label}", words::listed(&side, 9))
        }
    }
}
