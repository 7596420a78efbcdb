//! The promises that are usual for what a car has: what a careful fitter would want kept of its lamps and motors.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, Claim, Expectation, FuseWay, Moment, Promise, Version};
use loomwright_electrics::Network;

use crate::messages::Promised;
use crate::roles::{ControlRole, Role, Roles};
use crate::side::Side;
use crate::wiring::LinkKind;

/// A promise that is usual for a car.
#[derive(Debug, Clone, PartialEq)]
pub struct Usual {
    /// What it is about, in a word or two.
    pub about: &'static str,
    /// The promise.
    pub promise: Promise,
}

/// The usual promises for what is found in a car, by what its parts and controls are for. Those that it makes already
/// are left out. `network` is that of the car after the alteration.
///
/// # Complexity
/// About the number of wires times the ways to each.
pub fn usual_promises(car: &Car, network: &Network) -> Vec<Usual> {
    let side = Side::of(car, network, Version::After);
    let roles = Roles::guess(car, network, &side);
    let mut made = Maker { car, network, side: &side, roles: &roles, usual: Vec::new() };
    made.signals();
    made.lights();
    made.lamps_with_others();
    made.engine();
    made.comfort();
    let known = |usual: &Usual| car.promises().values().any(|promise| *promise == usual.promise);
    made.usual.retain(|usual| !known(usual));
    made.usual
}

struct Maker<'a> {
    car: &'a Car,
    network: &'a Network,
    side: &'a Side<'a>,
    roles: &'a Roles,
    usual: Vec<Usual>,
}

use Expectation::{Dark, Flashing, Idle, In, Lit, Out as OutOf, Working};

impl Maker<'_> {
    fn signals(&mut self) {
        let (left, right) = (Role::LeftIndicator, Role::RightIndicator);
        let hazard_off = self.at_rest(ControlRole::Hazard);
        for (position, on, off) in [("left", left, right), ("right", right, left)] {
            let Some(lever) = self.at(ControlRole::Indicators, &[position]) else { continue };
            let when = self.keyed(&["on"]).into_iter().chain(hazard_off.clone());
            let when = when.chain([lever]).collect();
            let then = [self.all(on, Flashing), self.all(off, Dark)].concat();
            self.add(Promised::indicators(), when, Vec::new(), then);
        }
        let [dark, flashing] =
            [Dark, Flashing].map(|must| [self.all(left, must), self.all(right, must)].concat());
        if let Some(lever) = self.at_rest(ControlRole::Indicators) {
            let when = hazard_off.clone().into_iter().chain([lever]).collect();
            self.add(Promised::indicators(), when, Vec::new(), dark);
        }
        // Whatever key and lever do, and whichever fuse is out but its own.
        if let Some(on) = self.off_rest(ControlRole::Hazard) {
            let then = [flashing, self.all(Role::HazardTellTale, Flashing)].concat();
            let without = self.fuses_not_of_hazard();
            self.add(Promised::hazard_warning(), vec![on], without, then);
        }
        if let Some(off) = hazard_off {
            self.add(
                Promised::hazard_warning(),
                vec![off],
                Vec::new(),
                self.all(Role::HazardTellTale, Dark),
            );
        }
    }

    fn lights(&mut self) {
        let [lit, dark] = [Lit, Dark].map(|must| self.all(Role::Stop, must));
        if let Some(pressed) = self.off_rest(ControlRole::Brake) {
            let when = self.keyed(&["on"]).into_iter().chain([pressed]).collect();
            self.add(Promised::stop_lamps(), when, Vec::new(), lit);
        }
        if let Some(released) = self.at_rest(ControlRole::Brake) {
            self.add(Promised::stop_lamps(), vec![released], Vec::new(), dark);
        }
        if let Some(lit) = self.at(ControlRole::Lighting, &["side", "head"]) {
            self.add(Promised::side_lamps(), vec![lit], Vec::new(), self.all(Role::Side, Lit));
        }
        let (main, dip) = (Role::MainBeam, Role::DipBeam);
        for (position, on, off) in [("dip", dip, main), ("main", main, dip)] {
            let head = self.at(ControlRole::Lighting, &["head"]);
            let Some((head, beam)) = head.zip(self.at(ControlRole::Dip, &[position])) else {
                continue;
            };
            let then = [self.all(on, Lit), self.all(off, Dark)].concat();
            self.add(Promised::headlamps(), vec![head, beam], Vec::new(), then);
        }
        if let Some(off) = self.at_rest(ControlRole::Lighting) {
            let then = [self.all(Role::Side, Dark), self.all(dip, Dark)].concat();
            self.add(Promised::headlamps(), vec![off], Vec::new(), then);
        }
    }

    fn lamps_with_others(&mut self) {
        let driving = || self.all(Role::DrivingLamp, Dark);
        let dipped = self.at(ControlRole::Dip, &["dip"]);
        let lights_off = self.at_rest(ControlRole::Lighting);
        let main = self.at(ControlRole::Dip, &["main"]);
        let head = self.at(ControlRole::Lighting, &["head"]);
        let key_off = self.keyed_off();
        let mut sets = vec![
            (Promised::driving_lamps(), dipped.into_iter().collect::<Vec<_>>(), driving()),
            (Promised::driving_lamps(), lights_off.clone().into_iter().collect(), driving()),
            (
                Promised::rear_fog_lamps(),
                lights_off.into_iter().collect(),
                self.all(Role::RearFog, Dark),
            ),
            (
                Promised::reversing_lamps(),
                key_off.into_iter().collect(),
                self.all(Role::Reversing, Dark),
            ),
        ];
        if let Some((head, main)) = head.zip(main) {
            sets.push((
                Promised::front_fog_lamps(),
                vec![head, main],
                self.all(Role::FrontFog, Dark),
            ));
        }
        for (about, when, then) in sets {
            if !when.is_empty() {
                self.add(about, when, Vec::new(), then);
            }
        }
    }

    fn engine(&mut self) {
        let Some(off) = self.keyed_off() else { return };
        if let Some(start) = self.keyed(&["start"]) {
            self.add(
                Promised::starter(),
                vec![start],
                Vec::new(),
                self.all(Role::Starter, Working),
            );
        }
        let still = [off.positions.clone(), vec!["on".to_owned()]].concat();
        let still = Moment { positions: still, ..off.clone() };
        self.add(Promised::starter(), vec![still], Vec::new(), self.all(Role::Starter, Idle));
        let stopped = self.at_rest(ControlRole::Engine);
        let running = self.at(ControlRole::Engine, &["running"]);
        if let Some(on) = self.keyed(&["on"]) {
            for (engine, must) in [(stopped.clone(), Lit), (running, Dark)] {
                let Some(engine) = engine else { continue };
                let then = [self.all(Role::ChargeLamp, must), self.all(Role::OilLamp, must)];
                self.add(
                    Promised::warning_lamps(),
                    vec![on.clone(), engine],
                    Vec::new(),
                    then.concat(),
                );
            }
            let feed = [self.all(Role::Ignition, Working)].concat();
            self.add(Promised::ignition(), vec![on], Vec::new(), feed);
        }
        let when: Vec<Moment> = [off].into_iter().chain(stopped).collect();
        let then = [
            self.all(Role::Ignition, Idle),
            self.all(Role::FuelPump, Idle),
            self.all(Role::ChargeLamp, Dark),
        ];
        self.add(Promised::ignition(), when, Vec::new(), then.concat());
        let tripped = self.works("inertia-switch").and_then(|name| self.named(&name, &["tripped"]));
        if let Some(tripped) = tripped {
            self.add(
                Promised::fuel_pump(),
                vec![tripped],
                Vec::new(),
                self.all(Role::FuelPump, Idle),
            );
        }
    }

    /// What has a control of its own by its usual word.
    fn comfort(&mut self) {
        let controls = self.network.controls();
        let horn = controls.iter().find(|control| control.name.to_lowercase().contains("horn"));
        let positions = horn.filter(|control| control.positions.len() == 2);
        for (at, must) in [(0, Idle), (1, Working)] {
            let Some(control) = positions else { continue };
            let moment = Moment {
                control: control.name.clone(),
                positions: vec![control.positions[at].name.clone()],
            };
            self.add(Promised::horn(), vec![moment], Vec::new(), self.all(Role::Horn, must));
        }
        let open = self.works("door-switch").and_then(|name| self.named(&name, &["open"]));
        if let Some(open) = open {
            self.add(
                Promised::courtesy_lamp(),
                vec![open],
                Vec::new(),
                self.all(Role::Courtesy, Lit),
            );
        }
    }

    fn add(
        &mut self,
        about: &'static str,
        when: Vec<Moment>,
        without: Vec<FuseWay>,
        then: Vec<Claim>,
    ) {
        if !then.is_empty() {
            self.usual.push(Usual { about, promise: Promise { when, without, then } });
        }
    }

    /// A claim of everything with a role.
    fn all(&self, role: Role, must: Expectation) -> Vec<Claim> {
        let loads = self.side.wiring.loads.iter().enumerate();
        let meant = loads.filter(|(idx, _)| self.roles.load(*idx) == Some(role));
        meant
            .filter_map(|(_, load)| {
                let part_type = self.car.type_of(load.part)?;
                let (part, terminal) = self.side.wiring.terminal(load.ends[0])?;
                let is_one_of_several = part_type.role_terminals().len() > 1;
                let terminal = is_one_of_several.then(|| terminal.to_owned());
                // A part with a coil in it is told by its coil.
                let has_coil =
                    part_type.elements.iter().any(|it| matches!(it, Element::Relay { .. }));
                let must = match must {
                    Working if has_coil && terminal.is_none() => In,
                    Idle if has_coil && terminal.is_none() => OutOf,
                    must => must,
                };
                (part == load.part).then_some(Claim { part, terminal, must })
            })
            .collect()
    }

    /// A control of a role, in those of the positions that it has.
    fn at(&self, role: ControlRole, positions: &[&str]) -> Option<Moment> {
        let control = &self.network.controls()[self.roles.controls(role).next()?];
        self.named(&control.name, positions)
    }

    fn named(&self, control: &str, positions: &[&str]) -> Option<Moment> {
        let control = self.network.controls().iter().find(|it| it.name == control)?;
        let has = |name: &&str| control.positions.iter().any(|known| known.name == **name);
        let positions: Vec<String> =
            positions.iter().filter(|name| has(name)).map(|name| (*name).to_owned()).collect();
        (!positions.is_empty()).then(|| Moment { control: control.name.clone(), positions })
    }

    fn at_rest(&self, role: ControlRole) -> Option<Moment> {
        let control = &self.network.controls()[self.roles.controls(role).next()?];
        let rest = control.positions.first()?.name.clone();
        Some(Moment { control: control.name.clone(), positions: vec![rest] })
    }

    /// A control with two positions, in the second.
    fn off_rest(&self, role: ControlRole) -> Option<Moment> {
        let control = &self.network.controls()[self.roles.controls(role).next()?];
        let [_, on] = control.positions.as_slice() else { return None };
        Some(Moment { control: control.name.clone(), positions: vec![on.name.clone()] })
    }

    fn keyed(&self, positions: &[&str]) -> Option<Moment> {
        self.at(ControlRole::Ignition, positions)
    }

    fn keyed_off(&self) -> Option<Moment> {
        self.at_rest(ControlRole::Ignition)
    }

    /// The control of the first part of a type.
    fn works(&self, type_name: &str) -> Option<String> {
        let is_of = |part| self.car.part(part).is_some_and(|part| part.type_name == type_name);
        let mut controls = self.network.controls().iter();
        let found = controls.find(|control| control.works.iter().any(|(part, _)| is_of(*part)));
        found.map(|control| control.name.clone())
    }

    /// Every fuse but those that the hazard warning is fed through while all else is at rest.
    fn fuses_not_of_hazard(&self) -> Vec<FuseWay> {
        let Some(hazard) = self.roles.controls(ControlRole::Hazard).next() else {
            return Vec::new();
        };
        let wiring = &self.side.wiring;
        let is_by_hazard_alone =
            |needs: &[(usize, u64)]| {
                needs.iter().any(|need| need.0 == hazard)
                    && needs.iter().all(|&(control, mask)| {
                        if control == hazard { mask & 1 == 0 } else { mask & 1 == 1 }
                    })
            };
        let lamps = self.roles.indicators().filter_map(|idx| self.side.fed_end(&wiring.loads[idx]));
        let ways = lamps.flat_map(|(fed, _)| self.side.live.to(fed));
        let own: BTreeSet<usize> = ways
            .filter(|way| is_by_hazard_alone(&way.needs.0))
            .flat_map(|way| way.fuses.iter().copied())
            .collect();
        let fuses = wiring.links.iter().enumerate().filter_map(|(idx, link)| match link.kind {
            LinkKind::Fuse { part, .. } if !own.contains(&idx) => {
                let several = wiring.links.iter().filter(|other| match other.kind {
                    LinkKind::Fuse { part: of, .. } => of == part,
                    _ => false,
                });
                let (_, terminal) = wiring.terminal(link.ends[0])?;
                let terminal = (several.count() > 1).then(|| terminal.to_owned());
                Some(FuseWay { part, terminal })
            }
            _ => None,
        });
        fuses.collect()
    }
}
