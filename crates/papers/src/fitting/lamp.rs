//! The first power-up through a lamp: in the earth lead with all off, then in place of each new fuse.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, Name, PartId, Standing};
use loomwright_electrics::{PartState, Settled};

use super::cautions::caution;
use super::live::set_words;
use super::names::earth_post;
use super::{Check, Shop, Stage};
use crate::solved::{Met, works};
use crate::words;
use loomwright_electrics::rig::{LAMP_WATTS, Rig};
use loomwright_units::with_decimals;

/// A fuse that carries less than this, A, feeds nothing of what works in a setting.
const FED_AMPS: f64 = 0.02;

/// The lamp in the earth lead: all off, and every setting in which it does not hide what it is there to show.
pub(super) fn in_earth_lead(shop: &Shop<'_>, known: &[(PartId, &Met)]) -> Stage {
    let (rig, lamp) = Rig::of(shop.car).with_lamp_in_earth_lead(shop.post());
    let network = rig.network();
    let parted = rig.with_breakers_open().network();
    let rest = network.at_rest();
    let mut checks = vec![Check {
        otherwise: "Bright, or a glow: leave the lamp where it is, everything off, and pull one fuse at a time, the new \
                    ones first, each back in before the next. Dark with one out: the fault is behind that one. Still lit \
                    with each out: a lead before the fuses touches metal, or an old fault; battery off, and look."
            .to_owned(),
        ..lamp_check("everything off".to_owned(), &rest, lamp)
    }];
    let mut settings: Vec<&Met> = Vec::new();
    for (id, met) in known {
        let settled = network.moved(&rest.state, &met.setting);
        // With much switched on, the lamp takes the volts: nothing new would be tried, and a short would look the same.
        let is_told = works(&settled.on, *id) && !is_bright(&settled, lamp);
        if is_told && settings.iter().all(|other| other.setting != met.setting) {
            let check = lamp_check(set_words(met), &settled, lamp);
            let apart = parted.moved(&parted.at_rest().state, &met.setting);
            let apart = lamp_check(String::new(), &apart, lamp).expected;
            // Where the engine happened to stop decides what the ignition coil takes.
            let band = if apart == check.expected {
                String::new()
            } else {
                format!("{apart} if the engine stands with its contact breaker open")
            };
            checks.push(Check { band, ..check });
            settings.push(met);
        }
    }
    let volts = shop.car.vehicle().voltage.volts().0;
    Stage {
        title: "First power-up, through a lamp".to_owned(),
        caution: "A battery gives off gas that a spark sets off: air the place, no open fuel near. The last join sparks: \
                  make it at the clamp, away from the battery."
            .to_owned(),
        does: format!(
            "The live lead goes on its post first. Then a {LAMP_WATTS:.0} W bulb of {volts:.0} V in a holder with two \
             leads: one on the {post} post, the other, last of all, on the clamp of the earth lead. It lets no more than \
             about {amps} A through, whatever is wrong. Watch it, not the car.",
            post = earth_post(shop.car),
            amps = with_decimals(LAMP_WATTS / volts, 1),
        ),
        checks,
        ..Stage::default()
    }
}

/// The lamp in place of each new fuse; nothing where there is none.
pub(super) fn for_fuses(shop: &Shop<'_>, known: &[(PartId, &Met)]) -> Option<Stage> {
    let checks: Vec<Check> = new_fuses(shop.car)
        .into_iter()
        .flat_map(|(id, between)| for_fuse(shop, known, id, &between))
        .collect();
    let met = new_fuses(shop.car).into_iter().filter_map(|(id, _)| fed_through(known, id));
    let cautions = met.map(|met| caution(shop.car, met));
    (!checks.is_empty()).then(|| Stage {
        title: "The lamp in place of each new fuse".to_owned(),
        caution: cautions.into_iter().find(|says| !says.is_empty()).unwrap_or_default(),
        does: "The bulb out of the earth lead, and the earth lead on its post, last of all. Now everything off, one new \
               fuse out, and the two leads of the bulb in its holder, clipped to two loose tabs where it takes blades; \
               then switch on as said. Fuse back in, everything off, and the next."
            .to_owned(),
        checks,
        ..Stage::default()
    })
}

/// The first setting in which something is fed through a fuse.
fn fed_through<'m>(known: &[(PartId, &'m Met)], fuse: PartId) -> Option<&'m Met> {
    let is_fed = |met: &Met| {
        let amps = met.usual.on.part(fuse).map_or(0.0, |reading| reading.amps.0.abs());
        amps >= FED_AMPS
    };
    known.iter().map(|(_, met)| *met).find(|met| is_fed(met))
}

fn new_fuses(car: &Car) -> Vec<(PartId, [Name; 2])> {
    let new = car.parts().iter().filter(|(_, part)| part.standing == Standing::ToFit);
    let mut fuses: Vec<(&str, PartId, [Name; 2])> = Vec::new();
    for (id, part) in new {
        let elements = car.type_of(*id).map_or(&[][..], |known| &known.elements);
        fuses.extend(elements.iter().filter_map(|element| match element {
            Element::Fuse { between, .. } => Some((part.label.as_str(), *id, between.clone())),
            _ => None,
        }));
    }
    fuses.sort_by(|a, b| words::by_count(a.0, b.0));
    fuses.into_iter().map(|(_, id, between)| (id, between)).collect()
}

fn for_fuse(
    shop: &Shop<'_>,
    known: &[(PartId, &Met)],
    id: PartId,
    between: &[Name; 2],
) -> Vec<Check> {
    let [a, b] = between;
    let (rig, lamp) = Rig::of(shop.car).with_lamp_for_fuse(id, [a, b]);
    let network = rig.network();
    let rest = network.at_rest();
    let label = shop.car.part(id).map_or("", |part| part.label.as_str());
    let red = format!("bulb in place of {label}");
    let mut checks =
        vec![Check { red: red.clone(), ..lamp_check("everything off".to_owned(), &rest, lamp) }];
    if let Some(met) = fed_through(known, id) {
        let settled = network.moved(&rest.state, &met.setting);
        let check = Check { red, ..lamp_check(set_words(met), &settled, lamp) };
        checks.push(with_what_works(shop.car, known, &settled, check));
    }
    checks
}

/// What works although it is fed through the bulb: a relay's coil takes so little that it pulls in, and switches on what
/// has a feed of its own, for the first time.
fn with_what_works(car: &Car, known: &[(PartId, &Met)], settled: &Settled, check: Check) -> Check {
    let is_at_work = |id: &PartId| works(&settled.on, *id);
    let mut at_work: Vec<&str> = known
        .iter()
        .filter(|(id, _)| is_at_work(id))
        .filter_map(|(id, _)| Some(car.part(*id)?.label.as_str()))
        .collect();
    if at_work.is_empty() {
        return check;
    }
    at_work.sort_by(|a, b| words::by_count(a, b));
    let names: Vec<String> = at_work.into_iter().map(str::to_owned).collect();
    let names = words::listed(&names, usize::MAX);
    Check {
        expected: format!("{}; at work: {names}", check.expected),
        otherwise: format!(
            "{} {names} at rest: a lead, fuse, contact or earth of what switches it is open.",
            check.otherwise
        ),
        ..check
    }
}

fn state(settled: &Settled, lamp: PartId) -> Option<PartState> {
    settled.phases().filter_map(|phase| phase.state(lamp)).max_by_key(|state| match state {
        PartState::Lit | PartState::Flashing => 2,
        PartState::Dim => 1,
        _ => 0,
    })
}

fn is_bright(settled: &Settled, lamp: PartId) -> bool {
    matches!(state(settled, lamp), Some(PartState::Lit | PartState::Flashing))
}

fn lamp_check(set: String, settled: &Settled, lamp: PartId) -> Check {
    let (expected, otherwise) = match state(settled, lamp) {
        Some(PartState::Lit | PartState::Flashing) => (
            "bright",
            "Dark or dim: a lead, fuse, contact or earth is open. Bright tells only that nothing is: a short beyond it \
             would be as bright, and was looked for with the meter.",
        ),
        Some(PartState::Dim) => (
            "a glow",
            "Bright: a short behind what has just been switched on: off again, battery off, and back to the stage that \
             fitted it. Dark: a lead, fuse, contact or earth is open.",
        ),
        _ => (
            "dark",
            "A glow, or bright: current flows that should not, or a short: off again, battery off, and back to the stage \
             that fitted the leads behind it.",
        ),
    };
    Check {
        set,
        red: "look at the bulb".to_owned(),
        reads: "seen",
        expected: expected.to_owned(),
        otherwise: otherwise.to_owned(),
        figure: settled.on.part(lamp).map(|reading| reading.volts.0.abs()),
        ..Check::default()
    }
}
