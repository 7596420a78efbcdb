//! What parts and controls are for: said by a person, else guessed from their types, labels, wiring and colours.

use std::collections::BTreeMap;

use loomwright_circuit::part_type::LoadFamily;
use loomwright_circuit::{Car, Colour, PartId, Version, WireColour};
use loomwright_electrics::Network;

use crate::side::Side;
use crate::wiring::{LinkKind, Load, LoadKind};

pub(crate) use loomwright_circuit::Role;

/// What a consumer of a part is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RoleOf {
    /// The terminal by which its role is kept.
    pub terminal: String,
    /// Whether it gives light.
    pub is_light: bool,
    /// What a person has said.
    pub said: Option<Role>,
    /// What it is taken for where nobody has said it; nothing where nothing tells.
    pub guess: Option<Role>,
}

/// What the consumers of every part are for, as said and as guessed from type, label, wiring and colours. `network` is
/// that of the car after the alteration.
///
/// # Complexity
/// About the number of wires times the ways to each.
pub fn roles_of_parts(car: &Car, network: &Network) -> BTreeMap<PartId, Vec<RoleOf>> {
    let side = Side::of(car, network, Version::After);
    let mut roles: BTreeMap<PartId, Vec<RoleOf>> = BTreeMap::new();
    for load in &side.wiring.loads {
        let Some((part, terminal)) = side.wiring.terminal(load.ends[0]) else { continue };
        if !car.type_of(part).is_some_and(|row| row.role_terminals().contains(&terminal)) {
            continue;
        }
        roles.entry(load.part).or_default().push(RoleOf {
            terminal: terminal.to_owned(),
            is_light: load.kind.is_light(),
            said: said_role(car, &side, load),
            guess: guessed_role(car, network, &side, load),
        });
    }
    roles
}

/// What a control is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum ControlRole {
    Ignition,
    Engine,
    Hazard,
    Indicators,
    Lighting,
    Dip,
    Brake,
}

/// The guesses for one car.
#[derive(Debug, Default)]
pub(crate) struct Roles {
    /// In the order of the wiring's loads.
    loads: Vec<Option<Role>>,
    /// In the order of the network's controls.
    controls: Vec<Option<ControlRole>>,
}

impl Roles {
    pub(crate) fn guess(car: &Car, network: &Network, side: &Side<'_>) -> Self {
        let mut controls: Vec<Option<ControlRole>> = network
            .controls()
            .iter()
            .map(|control| {
                let types = control
                    .works
                    .iter()
                    .filter_map(|(part, _)| car.part(*part).map(|part| part.type_name.as_str()));
                types
                    .into_iter()
                    .find_map(control_of_type)
                    .or_else(|| control_of_name(&control.name))
            })
            .collect();
        let guess = |load| load_role(car, network, side, load);
        let loads: Vec<Option<Role>> = side.wiring.loads.iter().map(guess).collect();
        for (control, role) in controls.iter_mut().enumerate() {
            if role.is_none() && flashes_both_sides(side, &loads, control) {
                *role = Some(ControlRole::Hazard);
            }
        }
        Self { loads, controls }
    }

    /// What a consumer of the wiring is for, by its number there.
    pub(crate) fn load(&self, load_idx: usize) -> Option<Role> {
        self.loads.get(load_idx).copied().flatten()
    }

    /// The numbers of the starter motors.
    pub(crate) fn starters(&self) -> impl Iterator<Item = usize> + '_ {
        self.loads
            .iter()
            .enumerate()
            .filter_map(|(idx, role)| (*role == Some(Role::Starter)).then_some(idx))
    }

    /// The numbers of the indicator lamps.
    pub(crate) fn indicators(&self) -> impl Iterator<Item = usize> + '_ {
        let is_indicator = |role: &Option<Role>| role.is_some_and(Role::is_indicator);
        (0..self.loads.len()).filter(move |&idx| is_indicator(&self.loads[idx]))
    }

    /// The numbers of the controls with this role.
    pub(crate) fn controls(&self, role: ControlRole) -> impl Iterator<Item = usize> + '_ {
        let wanted = move |(idx, known): (usize, &Option<ControlRole>)| {
            (*known == Some(role)).then_some(idx)
        };
        self.controls.iter().enumerate().filter_map(wanted)
    }
}

/// Whether a control, in a position other than rest, joins the lamps of both sides to a flasher unit: hazard warning,
/// whatever it is called.
fn flashes_both_sides(side: &Side<'_>, loads: &[Option<Role>], control: usize) -> bool {
    let worked = |wanted: Role| {
        let of_side =
            side.wiring.loads.iter().zip(loads).filter(|(_, role)| **role == Some(wanted));
        let ends = of_side.filter_map(|(load, _)| side.fed_end(load));
        let ways = ends.flat_map(|(fed, _)| side.live.to(fed)).filter(|way| way.flasher.is_some());
        let needs = ways.flat_map(|way| way.needs.0.iter());
        let of_control = needs.filter(|need| need.0 == control).map(|need| need.1);
        // Not the first position, which is rest.
        of_control.filter(|mask| mask & 1 == 0).fold(0, |all, mask| all | mask)
    };
    worked(Role::LeftIndicator) & worked(Role::RightIndicator) != 0
}

fn control_of_type(type_name: &str) -> Option<ControlRole> {
    Some(match type_name {
        "ignition-switch" => ControlRole::Ignition,
        "hazard-switch" => ControlRole::Hazard,
        "indicator-stalk" => ControlRole::Indicators,
        "lighting-switch" => ControlRole::Lighting,
        "dip-switch" => ControlRole::Dip,
        "brake-switch" => ControlRole::Brake,
        "dynamo" | "alternator" | "oil-pressure-switch" => ControlRole::Engine,
        _ => return None,
    })
}

fn control_of_name(name: &str) -> Option<ControlRole> {
    let name = name.to_lowercase();
    let has = |words: &[&str]| words.iter().any(|word| name.contains(word));
    Some(if has(&["hazard"]) {
        ControlRole::Hazard
    } else if has(&["ignition", "key"]) {
        ControlRole::Ignition
    } else if has(&["indicator", "stalk", "flasher"]) {
        ControlRole::Indicators
    } else if has(&["dip"]) {
        ControlRole::Dip
    } else if has(&["lighting", "lights"]) {
        ControlRole::Lighting
    } else if has(&["brake"]) {
        ControlRole::Brake
    } else if has(&["engine"]) {
        ControlRole::Engine
    } else {
        return None;
    })
}

/// What a person has said, else the guess.
fn load_role(car: &Car, network: &Network, side: &Side<'_>, load: &Load) -> Option<Role> {
    match said_role(car, side, load) {
        Some(Role::Other) => None,
        Some(role) => Some(role),
        None => guessed_role(car, network, side, load),
    }
}

fn said_role(car: &Car, side: &Side<'_>, load: &Load) -> Option<Role> {
    let (part, terminal) = side.wiring.terminal(load.ends[0])?;
    car.part(part)?.roles.get(terminal).copied()
}

fn guessed_role(car: &Car, network: &Network, side: &Side<'_>, load: &Load) -> Option<Role> {
    let part = car.part(load.part)?;
    match load.kind {
        LoadKind::Coil if matches!(part.type_name.as_str(), "starter-solenoid" | "starter") => {
            return Some(Role::StarterTrigger);
        }
        LoadKind::Coil => return Some(Role::Coil),
        LoadKind::Voltmeter => return None,
        LoadKind::Consumer(LoadFamily::IgnitionCoil) => return Some(Role::Ignition),
        LoadKind::Consumer(LoadFamily::Horn) => return Some(Role::Horn),
        _ => {}
    }
    let wiring = &side.wiring;
    let terminal = wiring.terminal(load.ends[0]).map_or("", |(_, terminal)| terminal);
    match (part.type_name.as_str(), terminal) {
        ("lamp-double", "56a") => return Some(Role::MainBeam),
        ("lamp-double", "56b") => return Some(Role::DipBeam),
        ("lamp-stop-tail", "54") => return Some(Role::Stop),
        ("lamp-stop-tail", "58") => return Some(Role::Side),
        ("hazard-switch", _) => return Some(Role::HazardTellTale),
        _ => {}
    }
    if !load.kind.is_light() {
        return motor_role(side, load, &part.label);
    }
    let sinks = wiring.generators.iter().filter_map(|generator| generator.warning);
    if load
        .ends
        .iter()
        .any(|&end| sinks.clone().any(|warning| wiring.are_hard_joined(end, warning)))
    {
        return Some(Role::ChargeLamp);
    }
    let is_small = load.watts <= 3.0 || part.type_name == "warning-lamp";
    by_words(&part.label, is_small).or_else(|| by_feed(car, network, side, load, is_small))
}

fn motor_role(side: &Side<'_>, load: &Load, label: &str) -> Option<Role> {
    if side.wiring.car.part(load.part).is_some_and(|part| part.type_name == "fuel-pump") {
        return Some(Role::FuelPump);
    }
    let label = label.to_lowercase();
    let is_motor =
        matches!(load.kind, LoadKind::Consumer(LoadFamily::Motor | LoadFamily::Solenoid));
    if is_motor && (label.contains("starter") || load.watts >= STARTER_WATTS) {
        return Some(Role::Starter);
    }
    if is_motor && label.contains("pump") && !label.contains("wash") {
        return Some(Role::FuelPump);
    }
    if is_motor && label.contains("fan") {
        return Some(Role::Fan);
    }
    let fed = side.live.to(load.ends[0]);
    let through_solenoid = fed.into_iter().any(|way| {
        side.live.links_of(way).iter().any(|&link| {
            matches!(side.wiring.links[link].kind, LinkKind::Contact { part, .. }
                if side.wiring.car.part(part).is_some_and(|part| part.type_name == "starter-solenoid"))
        })
    });
    (is_motor && through_solenoid).then_some(Role::Starter)
}

/// A motor of this power or more is a starter (practice: wiper, fan and window motors stay under 300 W).
pub const STARTER_WATTS: f64 = 500.0;

fn by_words(label: &str, is_small: bool) -> Option<Role> {
    let label = label.to_lowercase();
    let has = |words: &[&str]| words.iter().any(|word| label.contains(word));
    let tells = has(&["tell-tale", "tell tale", "telltale", "warning"]);
    Some(if has(&["charge", "ignition warning"]) {
        Role::ChargeLamp
    } else if has(&["oil"]) {
        Role::OilLamp
    } else if tells || (is_small && has(&["hazard"])) {
        if has(&["hazard"]) { Role::HazardTellTale } else { Role::TellTale }
    } else if has(&["indicator", "flasher", "turn signal"]) {
        if is_small && !has(&["front", "rear", "side"]) {
            Role::TellTale
        } else if has(&["left", "nearside", "near side"]) || label.starts_with("l ") {
            Role::LeftIndicator
        } else if has(&["right", "offside", "off side"]) || label.starts_with("r ") {
            Role::RightIndicator
        } else {
            Role::Indicator
        }
    } else if has(&["panel", "instrument"]) {
        Role::Panel
    } else if has(&["main beam", "main-beam"]) {
        if is_small { Role::TellTale } else { Role::MainBeam }
    } else if has(&["dip"]) {
        Role::DipBeam
    } else if has(&["rear fog"]) {
        Role::RearFog
    } else if has(&["fog"]) {
        Role::FrontFog
    } else if has(&["driving", "long-range", "long range", "spot lamp"]) {
        Role::DrivingLamp
    } else if has(&["stop", "brake"]) {
        Role::Stop
    } else if has(&["revers"]) {
        Role::Reversing
    } else if has(&["side lamp", "sidelamp", "tail", "plate", "parking"]) {
        Role::Side
    } else if has(&["courtesy", "interior", "roof lamp"]) {
        Role::Courtesy
    } else {
        return None;
    })
}

/// By the switch that feeds it, else by the colour of its lead.
fn by_feed(
    car: &Car,
    network: &Network,
    side: &Side<'_>,
    load: &Load,
    is_small: bool,
) -> Option<Role> {
    let (fed, _) = side.fed_end(load)?;
    let mut roles: Vec<Role> = Vec::new();
    for way in side.live.regular(fed) {
        for link in side.live.links_of(way) {
            let LinkKind::Contact { part, control, positions, .. } = side.wiring.links[link].kind
            else {
                continue;
            };
            let named = |name: &str| {
                network.controls().get(control).is_some_and(|control| {
                    control.positions.iter().enumerate().take(64).all(|(idx, position)| {
                        positions >> idx & 1 == u64::from(position.name == name)
                    })
                })
            };
            roles.extend(role_behind(car, side, part, link, &named));
        }
    }
    roles.sort_unstable();
    roles.dedup();
    match roles.as_slice() {
        [Role::LeftIndicator, Role::RightIndicator] => Some(Role::TellTale),
        [_] if is_small => Some(Role::TellTale),
        [role] => Some(*role),
        _ => by_colour(car, side, fed),
    }
}

fn role_behind(
    car: &Car,
    side: &Side<'_>,
    part: PartId,
    link: usize,
    is_at: &dyn Fn(&str) -> bool,
) -> Option<Role> {
    let type_name = car.part(part)?.type_name.as_str();
    let joins = |name: &str| {
        side.wiring.links[link]
            .ends
            .iter()
            .any(|&end| side.wiring.terminal(end).is_some_and(|(_, terminal)| terminal == name))
    };
    match type_name {
        "indicator-stalk" if is_at("left") => Some(Role::LeftIndicator),
        "indicator-stalk" if is_at("right") => Some(Role::RightIndicator),
        "brake-switch" => Some(Role::Stop),
        "lighting-switch" if joins("58") => Some(Role::Side),
        "dip-switch" if joins("56a") => Some(Role::MainBeam),
        "dip-switch" if joins("56b") => Some(Role::DipBeam),
        "door-switch" => Some(Role::Courtesy),
        _ => None,
    }
}

fn by_colour(car: &Car, side: &Side<'_>, fed: usize) -> Option<Role> {
    let colour = side.wiring.wires_at(fed).find_map(|wire| car.wire(wire)?.colour)?;
    let traced = WireColour::traced;
    [
        (traced(Colour::Green, Colour::Red), Role::LeftIndicator),
        (traced(Colour::Green, Colour::White), Role::RightIndicator),
        (traced(Colour::Green, Colour::Purple), Role::Stop),
        (traced(Colour::Blue, Colour::White), Role::MainBeam),
        (traced(Colour::Blue, Colour::Red), Role::DipBeam),
        (traced(Colour::Red, Colour::White), Role::Panel),
    ]
    .into_iter()
    .find_map(|(known, role)| (known == colour).then_some(role))
}
