//! The last stages: everything on at once, everything off again, and what is warm to the touch.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, PartId, Version};
use loomwright_electrics::{Setting, endurance};

use super::live::{amps_check, consumer_checks, set_words, turned, volts_check};
use super::names::{is_to_fit, live_post};
use super::{Check, Shop, Stage};
use crate::solved::{Met, Solved, works};
use crate::words;

/// From this on, watts in a joint or contact can be felt (practice).
const FELT_WATTS: f64 = 0.3;

/// The setting in which the car takes most with the engine stopped: what the promises speak of put together as far as it
/// adds up, then control by control whatever adds most, until nothing does.
pub(super) fn all_together(car: &Car, solved: &Solved) -> Met {
    let network = &solved.usual;
    let rest = network.at_rest();
    let taken = |setting: &Setting| {
        let is_possible = network.is_possible(setting);
        let settled = || network.moved(&rest.state, setting);
        if is_possible { endurance::balance(network, &settled()).taken.0 } else { f64::MIN }
    };
    let may_move = |control: usize, at: usize| {
        let control = &network.controls()[control];
        // What a spring takes back, such as the start position of the key, is not held for ten minutes.
        let springs = control.positions.get(at).is_some_and(|at| at.springs_to.is_some());
        control.name != "engine" && (!springs || is_held(car, control))
    };
    let mut setting = network.rest();
    let mut most = taken(&setting);
    let mut try_it = |next: Setting, setting: &mut Setting| {
        let amps = taken(&next);
        let is_more = amps > most + 0.01;
        if is_more {
            (most, *setting) = (amps, next);
        }
        is_more
    };
    for asked in car.promises().values().filter_map(|promise| solved.usual.setting_for(promise)) {
        let mut next = setting.clone();
        for (idx, at) in asked.0.iter().enumerate().filter(|(_, at)| **at != 0) {
            if may_move(idx, usize::from(*at)) {
                next.0[idx] = *at;
            }
        }
        try_it(next, &mut setting);
    }
    loop {
        let mut is_changed = false;
        for (idx, control) in network.controls().iter().enumerate() {
            for at in (0..control.positions.len()).filter(|at| may_move(idx, *at)) {
                let mut next = setting.clone();
                next.0[idx] = u8::try_from(at).unwrap_or(u8::MAX);
                is_changed |= try_it(next, &mut setting);
            }
        }
        if !is_changed {
            return solved.meet(&setting);
        }
    }
}

/// A pedal or a door switch springs back, too, and yet is held for a test; the key at start is not.
fn is_held(car: &Car, control: &loomwright_circuit::Control) -> bool {
    let starts = control.works.iter().any(|(part, _)| {
        car.part(*part).is_some_and(|part| {
            part.type_name.contains("ignition") || part.type_name.contains("push")
        })
    });
    !starts && control.name != "ignition"
}

pub(super) fn together(
    shop: &Shop<'_>,
    solved: &Solved,
    all: &Met,
    known: &[(PartId, &Met)],
) -> Stage {
    let car = shop.car;
    let set = set_words(all);
    let mut checks = Vec::new();
    let live = live_post(car, shop.post.0);
    if let Some(volts) = live.and_then(|live| all.volts((shop.post.0, &live), shop.post())) {
        let volts = if volts.usual < 0.0 { turned(volts) } else { volts };
        checks.push(Check {
            set: set.clone(),
            red: "plus post of the battery".to_owned(),
            black: "minus post of the battery".to_owned(),
            otherwise: "Less: the battery is not charged, or more is on than should be.".to_owned(),
            ..volts_check(volts)
        });
    }
    let amps = all.figure(|settled| {
        let reading = settled.on.part(shop.post.0)?;
        Some(reading.amps.0.abs())
    });
    if let Some(amps) = amps {
        checks.push(Check {
            set,
            red: "clip-on meter around the earth lead".to_owned(),
            black: String::new(),
            otherwise: "More: something runs that should not, or a motor is stiff. Less: a consumer does not work; look \
                        which."
                .to_owned(),
            ..amps_check(amps)
        });
    }
    for (id, _) in known.iter().filter(|(id, _)| works(&all.usual.on, *id)) {
        let across = consumer_checks(car, *id, all, shop.post()).into_iter().next();
        checks.extend(across.map(|check| Check {
            otherwise: "Less than that: what it shares its feed or earth with takes its volts; see What else changes."
                .to_owned(),
            ..check
        }));
    }
    checks.push(key_off(solved));
    Stage {
        title: "All together, then the key off".to_owned(),
        does: "Everything on that can be on at once, the engine still stopped: no longer than it takes to read, then \
               off. With the engine running the figures are those of the test sheet."
            .to_owned(),
        leads: Vec::new(),
        parts: Vec::new(),
        checks,
    }
}

/// What is left when all is off again.
fn key_off(solved: &Solved) -> Check {
    let rest = solved.at_rest();
    let amps = rest.figure(|settled| Some(endurance::balance(&solved.usual, settled).taken.0));
    let milliamps = amps.map_or(0.0, |amps| amps.usual * 1000.0);
    Check {
        set: "everything off, the key out".to_owned(),
        red: "meter in the earth lead, 10 A range first".to_owned(),
        black: String::new(),
        reads: "amps",
        expected: if milliamps < 1.0 { "nothing".to_owned() } else { format!("{milliamps:.0} mA") },
        band: format!("no more than {:.0} mA", milliamps * 1.2 + 20.0),
        otherwise: "More: something stays on. Pull the fuses one by one until it drops.".to_owned(),
    }
}

/// Where heat is to be felt, the most first.
pub(super) fn by_touch(car: &Car, all: &Met) -> Stage {
    let solution = &all.usual.on;
    let is_joint = |id: PartId| {
        car.type_of(id).is_some_and(|known| {
            known.elements.iter().all(|element| {
                matches!(
                    element,
                    Element::Fuse { .. }
                        | Element::Contacts { .. }
                        | Element::Joined { .. }
                        | Element::Earth { .. }
                        | Element::Relay { .. }
                        | Element::Meter { .. }
                )
            })
        })
    };
    let present = car.parts().iter().filter(|(_, part)| Version::After.has(part.standing));
    let mut warm: Vec<(f64, PartId)> = present
        .filter(|(id, _)| is_joint(**id))
        .filter_map(|(id, _)| Some((solution.part(*id)?.watts.0.abs(), *id)))
        .filter(|(watts, id)| *watts >= FELT_WATTS || is_to_fit(car, *id) && *watts > 0.01)
        .collect();
    warm.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let checks = warm.into_iter().take(8).map(|(watts, id)| Check {
        set: set_words(all),
        red: car.part(id).map_or_else(String::new, |part| part.label.clone()),
        black: String::new(),
        reads: "felt",
        expected: if watts >= FELT_WATTS { "warm".to_owned() } else { "cool".to_owned() },
        band: format!("{} W in it; never too hot to hold", words::number(watts, 2)),
        otherwise: "Too hot to hold: a loose blade, a poor crimp or a tired clip. Everything off, let it cool, make it \
                    anew."
            .to_owned(),
    });
    Stage {
        title: "By touch, after ten minutes".to_owned(),
        does: "Leave on what is on together for ten minutes, with a charger or the engine to keep the battery up. Then \
               off, the earth lead off, and feel every new joint, fuse, switch and lead with the back of a hand. Bulbs, \
               their holders and the engine burn: keep off them. Run a hand along each new lead, too."
            .to_owned(),
        leads: Vec::new(),
        parts: Vec::new(),
        checks: checks.collect(),
    }
}
