//! The battery by itself: all readings are those of a sound, charged one, and here it is told whether yours is.

use loomwright_circuit::{Car, PartId};
use loomwright_electrics::Battery;
use loomwright_electrics::battery::START_CHARGE;
use loomwright_electrics::rig::Rig;
use loomwright_units::with_decimals;

use super::heavy::COLD;
use super::live::{METER_VOLTS, turned};
use super::names::{live_post, place_name};
use super::{Check, post_volts};
use crate::solved::Met;

/// A battery that has lost more than this share of its charge is charged before anything is read (practice).
const MAY_LACK: f64 = 0.25;

/// Volts from post to post with its leads off.
pub(crate) fn battery_at_rest(car: &Car, post: (PartId, &str)) -> Option<Check> {
    let live = live_post(car, post.0)?;
    let charge = car.part(post.0)?.fact(car.type_of(post.0)?, "charge").unwrap_or(1.0);
    let (full, least) = (rest_volts(car, post.0)?, rest_volts_at(car, post.0, charge - MAY_LACK)?);
    let places = [live, post.1.to_owned()].map(|terminal| place_name(car, &(post.0, terminal)));
    let [red, black] =
        if places[0].starts_with("plus") { places } else { [places[1].clone(), places[0].clone()] };
    Some(Check {
        how: "its leads off, and nothing drawn from it or charged into it for an hour".to_owned(),
        red,
        black,
        reads: "volts",
        expected: format!("{} V", with_decimals(full, 2)),
        band: format!("no less than {} V", with_decimals(least, 2)),
        otherwise: "Less: charge it first, in the open air, the charger off at the mains whenever its clips go on or come off. All readings here are those of a sound, charged battery; what yours has less at \
                    rest, all that it feeds has less, too. If it falls back within a day, it is worn out."
            .to_owned(),
        figure: Some(full),
        ..Check::default()
    })
}

/// Volts while the engine is cranked: the band of a sound, charged battery, with what a cold engine asks for more, and how
/// far an old or half-charged one falls that may still start it.
pub(crate) fn battery_while_cranking(car: &Car, met: &Met, post: (PartId, &str)) -> Option<Check> {
    let check = post_volts(car, met, post)?;
    let live = live_post(car, post.0)?;
    let volts = met.volts((post.0, &live), post)?;
    let volts = if volts.usual < 0.0 { turned(volts) } else { volts }.wider(METER_VOLTS);
    let cold = |rest: f64, volts: f64| rest - COLD * (rest - volts);
    let network = Rig::of(car).with_old_batteries().network();
    let settled = network.moved(&network.at_rest().state, &met.setting);
    let old = (settled.on.volts(post.0, &live)?.0 - settled.on.volts(post.0, post.1)?.0).abs();
    let written = |volts: f64| with_decimals(volts, 1);
    Some(Check {
        band: format!(
            "{} to {} V with a sound, charged battery; an old or half-charged one falls to some {} V and may still start it",
            written(cold(rest_volts(car, post.0)?, volts.least)),
            written(volts.greatest),
            written(cold(rest_volts_at(car, post.0, START_CHARGE)?, old)),
        ),
        otherwise: "Less: charge the battery and read again, before anything else is blamed. Still less: it is worn out, or \
                    the starter drags."
            .to_owned(),
        ..check
    })
}

/// No 12 V battery is charged with more, V, for long (practice).
const MOST_CHARGING: f64 = 14.8;

/// Volts while a generator charges it at a brisk speed.
pub(crate) fn battery_while_charging(car: &Car, met: &Met, post: (PartId, &str)) -> Option<Check> {
    let check = post_volts(car, met, post)?;
    let most = with_decimals(MOST_CHARGING * car.vehicle().voltage.volts().0 / 12.0, 1);
    Some(Check {
        // What a generator gives beyond its plate is no fault: only the regulator sets a limit.
        band: match check.band.split_once(" to ") {
            Some((least, _)) => format!("{least} to {most} V"),
            None => check.band,
        },
        otherwise: format!(
            "Less: a tired battery, the belt, the generator, the regulator or their leads. Above {most} V: the regulator; \
             stop, the battery boils."
        ),
        ..check
    })
}

/// Volts at rest with the charge that the car file states, else charged.
fn rest_volts(car: &Car, id: PartId) -> Option<f64> {
    // What a car file states is what the readings are worked out with.
    let charge = car.part(id)?.fact(car.type_of(id)?, "charge").unwrap_or(1.0);
    rest_volts_at(car, id, charge)
}

fn rest_volts_at(car: &Car, id: PartId, charge: f64) -> Option<f64> {
    let volts = car.part(id)?.fact(car.type_of(id)?, "volts");
    let volts = volts.unwrap_or_else(|| car.vehicle().voltage.volts().0);
    Some(Battery { charge, ..Battery::new(volts, 1.0) }.emf())
}
