//! What lamps, motors and controls do in a visit.

use std::collections::BTreeSet;

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::Element;
use loomwright_electrics::{ElementFlow, Solution, Visit};

use crate::ctx::{Ctx, is_shorted};
use crate::feeds::Positions;
use crate::roles::{ControlRole, Role};
use crate::wiring::Load;

/// A lamp with less than this share of its light is not lit to anybody who looks (practice).
const LIT: f64 = 0.1;

/// A motor or heater with less than this share of its power does no work worth the name (practice).
const AT_WORK: f64 = 0.3;

impl Load {
    /// What it does in a solution; nothing where it is not there.
    pub(crate) fn in_solution<'s>(&self, solution: &'s Solution) -> Option<ElementFlow<'s>> {
        solution.element(self.part, self.element)
    }

    /// Its light in a solution, as a share of that at marked volts; nothing for what gives none.
    pub(crate) fn light(&self, solution: &Solution) -> Option<f64> {
        self.in_solution(solution)?.light()
    }
}

impl<'a> Ctx<'a> {
    /// The consumers with a role, by their number in the wiring.
    pub(crate) fn with_role(&self, wanted: Role) -> Vec<usize> {
        let loads = 0..self.after.wiring.loads.len();
        loads.filter(|&load| self.roles.load(load) == Some(wanted)).collect()
    }

    /// Whether a pump is for the engine's petrol, and not for washers or a bilge.
    pub(crate) fn is_petrol_pump(&self, load: usize) -> bool {
        let part = self.after.wiring.loads[load].part;
        let words = self.part_name(part).to_lowercase();
        self.car.part(part).is_some_and(|part| part.type_name == "fuel-pump")
            || ["fuel", "petrol"].iter().any(|word| words.contains(word))
    }

    /// Whether a part stands on a trailer or caravan, by its name.
    pub(crate) fn is_of_trailer(&self, part: PartId) -> bool {
        let name = self.part_name(part).to_lowercase();
        ["trailer", "caravan"].iter().any(|word| name.contains(word))
    }

    /// The parts of some consumers, each once.
    pub(crate) fn parts_of(&self, loads: impl IntoIterator<Item = usize>) -> BTreeSet<PartId> {
        loads.into_iter().map(|load| self.after.wiring.loads[load].part).collect()
    }

    /// Whether a lamp is lit, in the phase in which flasher units are closed.
    pub(crate) fn is_lit(&self, visit: &Visit, load: usize) -> bool {
        let load = &self.after.wiring.loads[load];
        load.light(&visit.settled.on).is_some_and(|light| light >= LIT)
    }

    /// Whether a lamp is lit in the one phase and dark in the other.
    pub(crate) fn is_flashing(&self, visit: &Visit, load: usize) -> bool {
        let load_row = &self.after.wiring.loads[load];
        let light = visit.settled.off.as_ref().and_then(|off| load_row.light(off));
        light.is_some_and(|light| light < LIT) && self.is_lit(visit, load)
    }

    /// Whether a motor or heater does its work.
    pub(crate) fn is_at_work(&self, visit: &Visit, load: usize) -> bool {
        let load = &self.after.wiring.loads[load];
        let does = load.in_solution(&visit.settled.on);
        does.is_some_and(|does| does.watts().0.abs() > AT_WORK * load.watts)
    }

    /// The name of the position of a control.
    pub(crate) fn position(&self, visit: &Visit, control: usize) -> Option<&'a str> {
        let at = usize::from(*visit.settled.state.setting.0.get(control)?);
        let control = self.network.controls().get(control)?;
        control.positions.get(at).map(|position| position.name.as_str())
    }

    /// Whether all controls of a role stand in their first position.
    pub(crate) fn is_at_rest(&self, visit: &Visit, role: ControlRole) -> bool {
        self.roles.controls(role).all(|control| self.stands(&visit.settled, control, 1))
    }

    /// Whether a control that works a part with a wire has this role.
    pub(crate) fn has_control(&self, role: ControlRole) -> bool {
        self.roles.controls(role).any(|control| self.is_wired_control(control))
    }

    /// Whether some control is held against its spring.
    pub(crate) fn is_held(&self, visit: &Visit) -> bool {
        self.held(visit).next().is_some()
    }

    /// The controls that are held against their springs.
    pub(crate) fn held(&self, visit: &'a Visit) -> impl Iterator<Item = usize> + use<'a> {
        let setting = &visit.settled.state.setting.0;
        let controls = self.network.controls().iter().zip(setting).enumerate();
        controls.filter_map(|(control, (known, at))| {
            known.positions.get(usize::from(*at))?.springs_to.as_ref().map(|_| control)
        })
    }

    /// Whether a tell-tale shows in a visit.
    pub(crate) fn is_told(&self, visit: &Visit) -> bool {
        let lamps = [Role::TellTale, Role::HazardTellTale].into_iter();
        lamps.flat_map(|role| self.with_role(role)).any(|load| self.is_lit(visit, load))
    }
}

impl Ctx<'_> {
    /// Whether a part is a flasher unit.
    pub(crate) fn is_flasher(&self, part: PartId) -> bool {
        let is_it = |element: &Element| matches!(element, Element::Flasher { .. });
        self.car.type_of(part).is_some_and(|part_type| part_type.elements.iter().any(is_it))
    }

    /// The lamps that flash in a visit and that this flasher unit alone can feed there.
    pub(crate) fn flashing_behind(&self, visit: &Visit, unit: PartId) -> Vec<usize> {
        let side = &self.after;
        let is_behind = |load: usize| {
            let Some((fed, _)) = side.fed_end(&side.wiring.loads[load]) else { return false };
            let mut ways =
                side.live.to(fed).filter(|way| self.fits(&visit.settled, &way.needs)).peekable();
            ways.peek().is_some() && ways.all(|way| way.flasher == Some(unit))
        };
        let loads = 0..side.wiring.loads.len();
        loads.filter(|&load| self.is_flashing(visit, load) && is_behind(load)).collect()
    }

    /// Visits that last but for controls of this role, which may be held.
    pub(crate) fn lasting_but(&self, role: ControlRole) -> impl Iterator<Item = (usize, &Visit)> {
        self.visits().filter(move |(_, visit)| {
            let is_of_role = |held| self.roles.controls(role).any(|control| control == held);
            !is_shorted(visit) && self.held(visit).all(is_of_role)
        })
    }
}

impl Ctx<'_> {
    /// Positions without those of controls that a motor moves, as a wiper its blades; nothing where there are none.
    pub(crate) fn without_driven(&self, needs: &Positions) -> Option<Positions> {
        let is_driven = |control: usize| {
            self.network.controls().get(control).is_some_and(|control| {
                control.works.iter().any(|(part, key)| {
                    let kind = self.car.type_of(*part).and_then(|part_type| part_type.control(key));
                    kind.is_some_and(|kind| kind.driven)
                })
            })
        };
        let rest: Vec<_> =
            needs.0.iter().copied().filter(|&(control, _)| !is_driven(control)).collect();
        (rest.len() < needs.0.len()).then_some(Positions(rest))
    }
}
