//! Everything on at once, and everything off again.

use loomwright_circuit::{Car, Control, EarthPolarity, PartId};
use loomwright_electrics::rig::LAMP_WATTS;
use loomwright_electrics::{Setting, Settled, endurance};

use super::cautions::{all_of, as_read, hands, hot_lamps, slips, wipers};
use super::live::{consumer_checks, set_words, turned, volts_check};
use super::names::{clamp, live_post, place_name};
use super::{Check, Shop, Stage, caution, clip_on};
use crate::solved::{Met, Solved, works};
use loomwright_units::with_decimals;

/// How far a bulb may be from its marking, as a share (practice).
const BULB_SHARE: f64 = 0.2;

/// The setting in which the car takes most with the engine stopped, of those that do no harm: what the promises speak of
/// put together as far as it adds up, then control by control, or two at once, whatever adds most, until nothing does.
/// What a spring takes back counts only where somebody may hold it.
pub(super) fn most_taken(
    car: &Car,
    solved: &Solved,
    may_hold: bool,
    is_harmless: &dyn Fn(&Settled) -> bool,
) -> Met {
    let network = &solved.usual;
    let rest = network.at_rest();
    let taken = |setting: &Setting| {
        let settled = network.is_possible(setting).then(|| network.moved(&rest.state, setting));
        let settled = settled.filter(|settled| is_harmless(settled));
        settled.map_or(f64::MIN, |settled| endurance::balance(network, &settled).taken.0)
    };
    let may_move = |control: usize, at: usize| {
        let control = &network.controls()[control];
        let springs = control.positions.get(at).is_some_and(|at| at.springs_to.is_some());
        control.name != "engine" && (!springs || may_hold && is_held(car, control))
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
        // Where no control takes more by itself, two may together, as a key and the switch behind it.
        if !is_changed && !moves_two(network.controls(), &may_move, &mut setting, &mut try_it) {
            return solved.meet(&setting);
        }
    }
}

/// Moves the first two controls that take more together; whether there are any.
fn moves_two(
    controls: &[Control],
    may_move: &impl Fn(usize, usize) -> bool,
    setting: &mut Setting,
    try_it: &mut impl FnMut(Setting, &mut Setting) -> bool,
) -> bool {
    let moves = controls.iter().enumerate().flat_map(|(idx, control)| {
        (0..control.positions.len()).filter(move |at| may_move(idx, *at)).map(move |at| (idx, at))
    });
    let moves: Vec<(usize, usize)> = moves.collect();
    let mut pairs = moves.iter().enumerate().flat_map(|(n, one)| {
        let others = moves[n + 1..].iter().filter(|other| other.0 != one.0);
        others.map(move |other| [*one, *other])
    });
    pairs.any(|pair| {
        let mut next = setting.clone();
        for (idx, at) in pair {
            next.0[idx] = u8::try_from(at).unwrap_or(u8::MAX);
        }
        try_it(next, setting)
    })
}

/// A pedal or a door switch springs back, too, and yet is held for a test; the key at start is not.
fn is_held(car: &Car, control: &Control) -> bool {
    let starts = control.works.iter().any(|(part, _)| {
        car.part(*part).is_some_and(|part| {
            part.type_name.contains("ignition") || part.type_name.contains("push")
        })
    });
    !starts && control.name != "ignition"
}

/// Volts of the battery from post to post.
pub(crate) fn post_volts(car: &Car, met: &Met, post: (PartId, &str)) -> Option<Check> {
    let live = live_post(car, post.0)?;
    let volts = met.volts((post.0, &live), post)?;
    let places = [live, post.1.to_owned()].map(|terminal| place_name(car, &(post.0, terminal)));
    let [live, earthed] = places;
    let (red, black, volts) =
        if volts.usual < 0.0 { (earthed, live, turned(volts)) } else { (live, earthed, volts) };
    Some(Check { red, black, ..volts_check(volts) })
}

pub(super) fn together(
    shop: &Shop<'_>,
    solved: &Solved,
    (known, drawn): (&[(PartId, &Met)], &Met),
) -> Stage {
    let car = shop.car;
    let all = &as_read(car, solved, drawn, &[]);
    let set = set_words(all);
    let mut checks: Vec<Check> = Vec::new();
    checks.extend(post_volts(car, all, shop.post()).map(|check| Check {
        set: set.clone(),
        otherwise: "Less: the battery is not charged, or more is on than should be.".to_owned(),
        ..check
    }));
    checks.extend(taken_in_all(shop, all).map(|check| Check { set, ..check }));
    let mut at_work: Vec<PartId> = Vec::new();
    for (id, _) in known.iter().filter(|(id, _)| works(&all.usual.on, *id)) {
        if !at_work.contains(id) {
            at_work.push(*id);
        }
    }
    for id in &at_work {
        let across = consumer_checks(car, *id, all, shop.post()).into_iter().next();
        checks.extend(across.map(|check| Check {
            otherwise: "Less: read its feed and its earth side apart, each against its post of the battery; the side that \
                        loses more has the bad joint. The long test lead goes on its post by the clip beside its fuse, \
                        everything off, the earth lead off its post meanwhile."
                .to_owned(),
            ..check
        }));
    }
    checks.extend(key_off(shop, solved));
    Stage {
        title: "All together, then the key off".to_owned(),
        caution: all_of(&[&caution(car, drawn, &[]), hot_lamps(car, all), wipers(car, all), slips(car, &shop.unfused, &at_work, all)]),
        does: format!(
            "Everything on that can be on at once, the engine still stopped: no longer than it takes to read, then off. {}",
            hands(all)
        )
        .trim_end()
        .to_owned(),
        checks,
        ..Stage::default()
    }
}

/// What the battery gives, around its earth lead.
fn taken_in_all(shop: &Shop<'_>, all: &Met) -> Option<Check> {
    let amps = all.figure(|settled| Some(settled.on.part(shop.post.0)?.amps.0.abs()))?;
    Some(Check {
        otherwise: "More: something runs that should not, or a motor is stiff. Less: something does not work; look which."
            .to_owned(),
        ..clip_on(amps, "clip-on meter around the earth lead".to_owned())
    })
}

/// What is left when all is off again: first the meter's own fuse, read on the battery alone, then the car.
fn key_off(shop: &Shop<'_>, solved: &Solved) -> [Check; 2] {
    let rest = solved.at_rest();
    let amps = rest.figure(|settled| Some(endurance::balance(&solved.usual, settled).taken.0));
    let milliamps = amps.map_or(0.0, |amps| amps.usual * 1000.0);
    let most = milliamps * 1.2 + 20.0;
    // What flows goes from the body into a minus post, and out of a plus post into the body.
    let post = place_name(shop.car, &shop.post);
    let (red, black) = match shop.car.vehicle().earth {
        EarthPolarity::Negative => (clamp(shop.car), post),
        EarthPolarity::Positive => (post, clamp(shop.car)),
    };
    let set = "everything off, the key out".to_owned();
    let through = LAMP_WATTS / shop.car.vehicle().voltage.volts().0;
    [
        Check {
            set: set.clone(),
            how: format!(
                "the earth lead off its post, the place aired. Red lead in the socket for 10 A, DC amps; never one that is marked \
                 unfused. Is its fuse whole? A lead of the bulb of {LAMP_WATTS:.0} W on the plus post, the black probe on the \
                 minus post; the red probe to the bulb's other lead last of all, and off it first; never straight across the \
                 posts. The bulb grows hot. It comes away before the next row"
            ),
            red: "the bulb's other lead".to_owned(),
            black: "minus post".to_owned(),
            reads: "amps",
            expected: format!("{} A", with_decimals(through, 1)),
            band: format!(
                "{} to {} A",
                with_decimals(through * (1.0 - BULB_SHARE), 1),
                with_decimals(through * (1.0 + BULB_SHARE), 1)
            ),
            otherwise: "Nothing: the meter's fuse is blown, or its red lead is in another socket. The next row tells nothing \
                        before that is put right."
                .to_owned(),
            ..Check::default()
        },
        Check {
            set,
            how: "the earth lead still off, the meter between it and its post. Switch nothing on, open no door and never crank \
                  with it there; the red lead back in the socket for volts afterwards"
                .to_owned(),
            red,
            black,
            reads: "amps",
            expected: if milliamps < 1.0 { "nothing".to_owned() } else { format!("{milliamps:.0} mA") },
            band: format!("no more than {} A on the 10 A range", with_decimals(most / 1000.0, 2)),
            otherwise: "More: something stays on. Pull the fuses one by one until it drops. None drops it: a lead without a fuse, or \
                        the generator; battery off meanwhile."
                .to_owned(),
            figure: Some(milliamps / 1000.0),
        },
    ]
}
