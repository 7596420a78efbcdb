//! The first power-up through a lamp: in the earth lead with all off, then in place of each new fuse.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, Name, PartId, Standing};
use loomwright_electrics::{Network, PartState, Settled, Solution};

use super::cautions::{
    SMOKE, all_of, big_lamps, caution, hot_coils, hot_lamps, ignition_coils, is_fed_bare,
};
use super::live::set_words;
use super::names::earth_post;
use super::reading::bulbs_back;
use super::{Check, Shop, Stage, label};
use crate::solved::{Met, works};
use crate::words;
use loomwright_electrics::rig::{LAMP_WATTS, Rig};
use loomwright_units::with_decimals;

/// The bulb takes nothing.
const DARK: &str = "dark";

/// It has all the volts.
const BRIGHT: &str = "bright";

/// Said where the battery is joined for the first time.
const GAS: &str = "A battery gives off gas that a spark sets off: air the place, no open fuel near. The last join sparks: make \
                   it at the clamp, and break it there first, away from the battery. The clamp stays tied back, wrapped but for \
                   a corner turned away from the post, to which the clip goes: if clamp and post touch, the bulb guards \
                   nothing. The bulb grows hot: as far from the battery as its leads let it, never above it, clear of cloth, \
                   trim, tape and fuel.";

/// As much of its light is called a glow at the most (practice).
const GLOW: f64 = 0.15;

/// A fuse that carries less than this, A, feeds nothing of what works in a setting.
const FED_AMPS: f64 = 0.02;

/// The lamp in the earth lead: all off, and every setting in which it does not hide what it is there to show. Ignition coils
/// are off for it: they would light the lamp as a short does.
pub(super) fn in_earth_lead(shop: &Shop<'_>, known: &[(PartId, &Met)]) -> Stage {
    let coil = known.iter().find_map(|(_, met)| hot_coils(shop.car, &met.usual).into_iter().next());
    let coils = coils_off(shop.car, known);
    let (rig, lamp) = Rig::of(shop.car).with_lamp_in_earth_lead(shop.post());
    let network = rig.network().without(&coils);
    let rest = network.at_rest();
    let mut checks = vec![Check {
        otherwise: "Bright, or a glow: everything off, and one fuse out at a time, the new ones first, each back in before the \
                    next, the bulb's clip off the clamp whenever a fuse is moved. Dark with one out: the fault is behind that \
                    one. Still lit with each out: a lead before the fuses touches metal, or an old fault; battery off, and \
                    look."
            .to_owned(),
        ..lamp_check("everything off".to_owned(), &rest, lamp)
    }];
    let mut settings: Vec<&Met> = Vec::new();
    let mut hidden: Vec<&Met> = Vec::new();
    for (id, met) in known {
        if settings.iter().chain(&hidden).any(|other| other.setting == met.setting) {
            continue;
        }
        let settled = network.moved(&rest.state, &met.setting);
        // With much switched on, the lamp takes the volts: nothing new would be tried, and a short would look the same.
        if is_bright(&settled, lamp) {
            hidden.push(met);
        } else if works(&settled.on, *id) {
            checks.push(lamp_check(set_words(met), &settled, lamp));
            settings.push(met);
        }
    }
    if checks.iter().all(|check| check.expected == DARK) {
        checks.extend(proof(shop, &network, lamp));
    }
    checks
        .extend(hidden.into_iter().flat_map(|met| big_lamps_out(shop, met, (&rig, lamp), &coils)));
    let off = coil.map_or_else(String::new, |(_, coil)| {
        format!(
            "Before this stage, the ignition off: the lead off {coil}, its end taped, for it is live with the ignition on. The coil \
             would light the bulb as a short does."
        )
    });
    Stage {
        title: "First power-up, through a lamp".to_owned(),
        caution: all_of(&[GAS, &off]),
        does: how_through_lamp(shop.car),
        checks,
        ..Stage::default()
    }
}

/// Ignition coils from which the lead comes off before the first power-up: those of a car in which one would be on.
fn coils_off(car: &Car, known: &[(PartId, &Met)]) -> Vec<PartId> {
    if known.iter().all(|(_, met)| hot_coils(car, &met.usual).is_empty()) {
        return Vec::new();
    }
    ignition_coils(car).map(|(id, ..)| id).collect()
}

/// A setting in which big lamps would hide a short, tried with their bulbs out: what leads to them may be guarded by no fuse.
/// Nothing where others hide it even so.
fn big_lamps_out(
    shop: &Shop<'_>,
    met: &Met,
    (rig, lamp): (&Rig, PartId),
    coils: &[PartId],
) -> Vec<Check> {
    let big = big_lamps(shop.car, met);
    let network = rig.clone().without_bulbs(&big).network().without(coils);
    let settled = network.moved(&network.at_rest().state, &met.setting);
    if big.is_empty() || is_bright(&settled, lamp) {
        return Vec::new();
    }
    let set = set_words(met);
    let check = lamp_check(set, &settled, lamp);
    let full = if check.expected == DARK { "" } else { FULL };
    let read = Check {
        how: format!(
            "everything off: bulbs out by their base, or their plugs off: {}; then switch on",
            shop.listed(&big)
        ),
        otherwise: format!("{full}{}", if full.is_empty() { &check.otherwise } else { NO_SHORT }),
        ..check
    };
    let set = "everything off".to_owned();
    let back = bulbs_back(shop, &big).map(|check| Check { set, ..check });
    std::iter::once(read).chain(back).collect()
}

/// What the bulb tells with big lamps out.
const NO_SHORT: &str = "As said, it tells only that there is no short: what is open is found later. On so few volts a relay need not pull in, and \
     what lies behind its contact is then not tried here.";

/// How the lamp comes into the earth lead.
fn how_through_lamp(car: &Car) -> String {
    let volts = car.vehicle().voltage.volts().0;
    format!(
        "The live lead goes on its post first. Then a {LAMP_WATTS:.0} W bulb of {volts:.0} V in a holder with two leads: one on \
         the {post} post, the other, last of all, on the clamp of the earth lead. It lets no more than about {amps} A through, \
         whatever is wrong. Watch it, not the car.",
        post = earth_post(car),
        amps = with_decimals(LAMP_WATTS / volts, 1),
    )
}

/// The same in a few sentences by themselves, for a car that is put back: what could hurt, what to do, and what is ticked
/// afterwards.
pub(crate) fn power_up_again(car: &Car) -> (String, Vec<String>) {
    let has_coil = ignition_coils(car).next().is_some();
    let (off, on) = if has_coil {
        (
            "All bulbs and plugs back in that were out; then, the ignition off, the lead off the ignition coil, its end taped, and the bulbs of \
             big lamps out, or their plugs off.",
            "The bulbs back in and, the ignition off, the lead back on the ignition coil; then the earth lead on its post last of \
             all.",
        )
    } else {
        (
            "All bulbs and plugs back in that were out; then the bulbs of big lamps out, or their plugs off.",
            "The bulbs back in; then the earth lead on its post last of all.",
        )
    };
    let rows = [
        off.to_owned(),
        format!(
            "{} Everything off, it must be dark; a glow, or bright: the clip off the clamp, and look among what was joined again.",
            how_through_lamp(car)
        ),
        "The bulb proved: the side lamps, or another small light, on by themselves; it must light, or glow. Dark: it is blown, or a \
         clip does not bite, and the row before told nothing: put that right, and begin anew. Off again."
            .to_owned(),
        "Switch on, one after the other, what was joined again: the battery's whole volts on a meter across the bulb's two leads \
         are a short."
            .to_owned(),
        "Everything off, the bulb's clip off the clamp, then its other off the post; the place aired.".to_owned(),
        on.to_owned(),
        "Clamps and whatever was loosened tight again, holes that stay closed by grommets.".to_owned(),
        "Before it is driven: every lamp and whatever else hangs on what was joined again, looked at in each position of its \
         control."
            .to_owned(),
    ];
    (GAS.to_owned(), rows.to_vec())
}

/// A setting in which it must light, so that "dark" is not a blown bulb or a clip that does not bite; nothing where no
/// control by itself makes it, or only what burns an ignition coil.
fn proof(shop: &Shop<'_>, network: &Network, lamp: PartId) -> Option<Check> {
    let rest = network.at_rest();
    let controls = network.controls().iter().enumerate();
    let moves =
        controls.filter(|(_, control)| control.name != "engine").flat_map(|(idx, control)| {
            let positions = control.positions.iter().enumerate().skip(1);
            positions.map(move |(at, position)| (idx, at, control, position))
        });
    let mut moves = moves.filter(|(.., position)| position.springs_to.is_none());
    moves.find_map(|(idx, at, control, position)| {
        let mut setting = network.rest();
        setting.0[idx] = u8::try_from(at).ok()?;
        let settled = network.is_possible(&setting).then(|| network.moved(&rest.state, &setting))?;
        let is_lit = matches!(state(&settled, lamp), Some(PartState::Lit | PartState::Dim));
        (is_lit && hot_coils(shop.car, &settled).is_empty()).then(|| Check {
            how: "the bulb proved, which was dark before".to_owned(),
            ..lamp_check(
                format!("{}; all else off", words::stands(&control.name, &position.name)),
                &settled,
                lamp,
            )
        })
    })
    .map(|check| {
        // A short there lights it fully: told, where what is switched on leaves it less.
        let full = if check.expected == BRIGHT { "" } else { FULL };
        let dark = "Dark: the bulb is blown, or a clip does not bite, and the test before told nothing. Put that right, and begin \
                    this stage anew.";
        Check { otherwise: format!("{full}{dark}"), ..check }
    })
}

/// Where it lights more than it should.
const FULL: &str = "Full brightness, the battery's whole volts on a meter across the bulb's two leads: a short behind what has just \
                    been switched on, which no fuse may guard. Off again, the clip off the clamp, and do not go on before it \
                    is found. ";

/// The lamp in place of each new fuse; nothing where there is none.
pub(super) fn for_fuses(shop: &Shop<'_>, known: &[(PartId, &Met)]) -> Option<Stage> {
    let checks: Vec<Check> = new_fuses(shop.car)
        .into_iter()
        .flat_map(|(id, between)| for_fuse(shop, known, id, &between))
        .collect();
    let met: Vec<&Met> =
        new_fuses(shop.car).into_iter().flat_map(|(id, _)| fed_through(known, id)).collect();
    let hot = met
        .iter()
        .map(|met| hot_lamps(shop.car, met))
        .find(|says| !says.is_empty())
        .unwrap_or_default();
    let cautions = met.iter().map(|met| caution(shop.car, met, &[]));
    (!checks.is_empty()).then(|| Stage {
        title: "The lamp in place of each new fuse".to_owned(),
        caution: all_of(&[
            &nothing_before(shop),
            &cautions.into_iter().find(|says| !says.is_empty()).unwrap_or_default(),
            hot,
            SMOKE,
        ]),
        does: "Everything off; then the bulb's clip off the clamp, away from the battery, before its other clip comes off the \
               post. The earth lead stays off its post. Now one new fuse out, and \
               the two leads of the bulb in its holder: where it takes blade fuses, clipped to a blown one, or a spare with its bridge cut (no reading \
               in ohms from leg to leg; a whole one would bridge the bulb) with a short lead soldered to each leg on the \
               bench, since loose tabs spread the holder's clips. Clips and bare ends taped, \
               apart from each other and clear of metal. Only then the earth lead on its post, and switch on as said. \
               Everything off again, the earth lead off, the bulb out, the fuse back in; and the next."
            .to_owned(),
        checks,
        ..Stage::default()
    })
}

/// Which new fuses have no other before them: a clip that slips there burns a lead.
fn nothing_before(shop: &Shop<'_>) -> String {
    let is_first = |(id, between): &(PartId, [Name; 2])| {
        between
            .iter()
            .any(|terminal| is_fed_bare(shop.car, &shop.unfused, &(*id, terminal.clone())))
    };
    let first = new_fuses(shop.car).into_iter().filter(is_first);
    let mut labels: Vec<String> = first.map(|(id, _)| label(shop.car, id).to_owned()).collect();
    labels.dedup();
    if labels.is_empty() {
        return String::new();
    }
    format!(
        "No fuse stands before {}: what slips there burns. The earth lead is off its post whenever a clip goes on or comes off, and the place is aired whenever it goes on: it may spark. The bulb grows hot: as far from the battery as its leads let it, clear of cloth, trim, tape and fuel.",
        words::listed(&labels, usize::MAX)
    )
}

/// The settings in which something is fed through a fuse, each once.
fn fed_through<'m>(known: &[(PartId, &'m Met)], fuse: PartId) -> Vec<&'m Met> {
    let mut fed: Vec<&Met> = Vec::new();
    for (_, met) in known {
        let amps = met.usual.on.part(fuse).map_or(0.0, |reading| reading.amps.0.abs());
        if amps >= FED_AMPS && fed.iter().all(|other| other.setting != met.setting) {
            fed.push(met);
        }
    }
    fed
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
    // The lead has been off the ignition coil since the stage before.
    let coils = coils_off(shop.car, known);
    let network = rig.network().without(&coils);
    let rest = network.at_rest();
    let label = shop.car.part(id).map_or("", |part| part.label.as_str());
    let red = format!("bulb in place of {label}");
    let mut checks = vec![Check {
        red: red.clone(),
        ..check_with(LEAD_OFF, "everything off".to_owned(), &rest, lamp)
    }];
    for met in fed_through(known, id) {
        let settled = network.moved(&rest.state, &met.setting);
        let check =
            Check { red: red.clone(), ..check_with(LEAD_OFF, set_words(met), &settled, lamp) };
        checks.push(with_what_works(shop.car, known, &settled, check));
    }
    checks
}

/// What works although it is fed through the bulb: a relay's coil takes so little that it pulls in, and switches on what
/// has a feed of its own, for the first time.
fn with_what_works(car: &Car, known: &[(PartId, &Met)], settled: &Settled, check: Check) -> Check {
    // What of it lights hardly glows is not seen to.
    let is_at_work = |id: &PartId| {
        let light = settled.on.part(*id).and_then(|reading| {
            reading.elements.iter().filter_map(|element| element.light).reduce(f64::max)
        });
        works(&settled.on, *id) && light.is_none_or(|light| light >= GLOW)
    };
    let mut at_work: Vec<&str> = known
        .iter()
        .filter(|(id, _)| is_at_work(id))
        .filter_map(|(id, _)| Some(car.part(*id)?.label.as_str()))
        .collect();
    if at_work.is_empty() {
        return check;
    }
    at_work.sort_by(|a, b| words::by_count(a, b));
    at_work.dedup();
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

/// Whether it gives as much of its light as nobody calls a glow.
fn is_well_lit(settled: &Settled, lamp: PartId) -> bool {
    let light = |phase: &Solution| {
        let reading = phase.part(lamp)?;
        reading.elements.iter().filter_map(|element| element.light).reduce(f64::max)
    };
    settled.phases().filter_map(light).any(|light| light > GLOW)
}

fn lamp_check(set: String, settled: &Settled, lamp: PartId) -> Check {
    check_with(CLIP_OFF, set, settled, lamp)
}

/// How the bulb is parted from the battery in the earth lead, and in the place of a fuse.
const CLIP_OFF: &str = "the bulb's clip off the clamp first";
const LEAD_OFF: &str = "the earth lead off its post, then the bulb out";

fn check_with(off: &str, set: String, settled: &Settled, lamp: PartId) -> Check {
    let back = format!("off again, {off}, and back to the stage that fitted");
    let open = "Dark: a lead, fuse, contact or earth is open.";
    let (expected, otherwise) = match state(settled, lamp) {
        Some(PartState::Lit | PartState::Flashing) => (
            BRIGHT,
            "Dark or dim: a lead, fuse, contact or earth is open. Bright tells only that nothing is: a short beyond it \
             would be as bright, and was looked for with the meter."
                .to_owned(),
        ),
        Some(PartState::Dim) if is_well_lit(settled, lamp) => (
            "lit, but well short of full",
            format!(
                "Full brightness, the battery's whole volts on a meter across the bulb's two leads: a short behind what has just \
                 been switched on: {back} it. {open}"
            ),
        ),
        Some(PartState::Dim) => (
            "a glow",
            format!("Bright: a short behind what has just been switched on: {back} it. {open}"),
        ),
        _ => (
            DARK,
            format!(
                "A glow, or bright: current flows that should not, or a short: {back} the leads behind it."
            ),
        ),
    };
    Check {
        set,
        red: "look at the bulb".to_owned(),
        reads: "seen",
        expected: expected.to_owned(),
        otherwise,
        figure: settled.on.part(lamp).map(|reading| reading.volts.0.abs()),
        ..Check::default()
    }
}
