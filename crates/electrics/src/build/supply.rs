//! Batteries and generators.

use loomwright_circuit::Name;
use loomwright_circuit::part_type::{Element, Figure};

use crate::assumed;
use crate::battery::Battery;
use crate::build::elements::Placing;
use crate::law::Law;
use crate::network::{BatteryRow, Closed, Kind};

impl Placing<'_> {
    pub(super) fn battery(&mut self, posts: [&Name; 2], element: &Element) -> Option<Kind> {
        let Element::Battery { volts, amp_hours, charge, celsius, .. } = element else {
            return None;
        };
        let [plus, minus] = self.ends(posts)?;
        let volts = Self::positive(self.figure(volts))?;
        let amp_hours = Self::positive(self.figure(amp_hours))?;
        let mut battery = Battery::new(volts, amp_hours);
        if let Some(charge) = charge.as_ref().and_then(|charge| self.figure(charge)) {
            battery.charge = charge.clamp(0.0, 1.0);
        }
        if let Some(celsius) = celsius.as_ref().and_then(|celsius| self.figure(celsius)) {
            battery.celsius = celsius;
        }
        let siemens = |ohms: f64| 1.0 / ohms.max(assumed::LEAST_OHMS);
        let law = Law::Battery {
            emf: battery.emf(),
            gives: siemens(self.builder.losses.battery * battery.ohms()),
            takes: siemens(battery.charge_ohms()),
        };
        let element = self.builder.tables.elements.len();
        self.builder.tables.batteries.push(BatteryRow { element, battery });
        self.law(plus, minus, law);
        let earthed = usize::from(!self.builder.tables.is_plus_earthed);
        let place = [plus, minus][earthed];
        self.builder.posts.push((place, self.id, posts[earthed].clone()));
        Some(Kind::Battery)
    }

    /// Places a generator between its live output and its case.
    ///
    /// Its output has the sign of the car's live side: a dynamo takes the polarity that it was flashed with, and an
    /// alternator is taken to be made for the car's earth. So its plus end is the case where plus is earthed.
    pub(super) fn generator(
        &mut self,
        [output, case]: [&Name; 2],
        warning: Option<&str>,
        [volts, idle_amps, amps]: [&Figure; 3],
    ) -> Option<Kind> {
        let is_plus_earthed = self.builder.tables.is_plus_earthed;
        let [plus, minus] =
            self.ends(if is_plus_earthed { [case, output] } else { [output, case] })?;
        let (live, earthed) = if is_plus_earthed { (minus, plus) } else { (plus, minus) };
        let in_proportion = self.builder.tables.system_volts / 12.0;
        let in_proportion = in_proportion * self.builder.losses.charging;
        let volts = Self::positive(self.figure(volts))? * in_proportion;
        let amps = Self::positive(self.figure(amps))?;
        let idle_amps = Self::positive(self.figure(idle_amps));
        let running = Law::Source { volts, amps };
        let idling = idle_amps.map_or(Law::OPEN, |amps| Law::Source { volts, amps });
        let engine = self.engine();
        let laws = engine.map(|control| {
            let law = |name: &str| match name {
                "running" => running,
                "idling" => idling,
                _ => Law::OPEN,
            };
            let positions = &self.builder.tables.controls[control].positions;
            (control, positions.iter().map(|position| law(&position.name)).collect::<Vec<_>>())
        });
        let gives: Option<Vec<bool>> =
            laws.as_ref().map(|(_, laws)| laws.iter().map(|law| *law != Law::OPEN).collect());
        self.law_by_engine(plus, minus, Law::OPEN, laws);
        if let Some(warning) = warning {
            let at = self.place(warning)?;
            let joins = |other: &Name| [warning.to_owned(), other.clone()];
            match (engine, gives) {
                (Some(control), Some(gives)) => {
                    let stands = gives.iter().map(|gives| !gives).collect();
                    let stands = Closed::At { control, positions: stands };
                    let gives = Closed::At { control, positions: gives };
                    self.switch(at, live, assumed::EXCITER_OHMS, gives, joins(output));
                    self.switch(at, earthed, assumed::FIELD_OHMS, stands, joins(case));
                }
                _ => drop(self.fixed(at, earthed, assumed::FIELD_OHMS)),
            }
        }
        Some(Kind::Generator)
    }

    /// The control that says whether the engine runs.
    fn engine(&self) -> Option<usize> {
        let own =
            self.part_type.controls.iter().find(|control| {
                control.key == "engine" || control.shared.as_deref() == Some("engine")
            });
        let name = own.map_or("engine", |own| self.part.control(self.part_type, &own.key));
        self.builder.tables.controls.iter().position(|control| control.name == name)
    }
}
