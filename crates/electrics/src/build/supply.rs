//! Batteries and generators.

use loomwright_circuit::Name;
use loomwright_circuit::part_type::Element;

use crate::assumed;
use crate::battery::Battery;
use crate::build::elements::Placing;
use crate::law::Law;
use crate::network::{BatteryRow, ByEngine, Closed, Kind, Place, RelayRow};

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
        element: &Element,
    ) -> Option<Kind> {
        let Element::Generator { warning, volts, idle_amps, amps, needs_lamp, .. } = element else {
            return None;
        };
        let is_plus_earthed = self.builder.tables.is_plus_earthed;
        let [plus, minus] =
            self.ends(if is_plus_earthed { [case, output] } else { [output, case] })?;
        let (live, earthed) = if is_plus_earthed { (minus, plus) } else { (plus, minus) };
        let in_proportion = self.builder.tables.system_volts / 12.0;
        let in_proportion = in_proportion * self.builder.losses.charging;
        let volts = Self::positive(self.figure(volts))? * in_proportion;
        let amps = Self::positive(self.figure(amps))?;
        let idle_amps = Self::positive(self.figure(idle_amps));
        let source = |amps| Law::source(volts, amps);
        let warning = warning.as_deref();
        // Nothing drawn at the charge lamp's terminal says nothing of the lamp: it is taken to be there and sound.
        let is_wired = warning.is_some_and(|name| self.builder.is_wired(self.id, name));
        let is_remembered = *needs_lamp && is_wired;
        let laws = self.engine().map(|control| {
            // At speed, what magnetism is left is enough to start it.
            let laws = |name: &str| match (name, idle_amps) {
                ("running", _) => [source(amps); 2],
                ("idling", Some(amps)) if is_remembered => [Law::OPEN, source(amps)],
                ("idling", Some(amps)) => [source(amps); 2],
                _ => [Law::OPEN; 2],
            };
            let positions = &self.builder.tables.controls[control].positions;
            let laws = positions.iter().map(|position| laws(&position.name)).collect();
            let field = is_remembered.then_some(self.builder.fields.len());
            ByEngine { control, field, laws }
        });
        self.law_by_engine(plus, minus, Law::OPEN, laws.clone());
        if let Some(warning) = warning {
            let at = self.place(warning)?;
            let system_volts = self.builder.tables.system_volts;
            // A dynamo's output is its armature, beside which the field hardly counts; an alternator's charge lamp has the
            // field to itself.
            let ohms = if *needs_lamp {
                assumed::field_ohms(system_volts)
            } else {
                assumed::armature_ohms(system_volts)
            };
            let places = [at, live, earthed];
            self.exciter(places, [warning, output, case], ohms, laws.as_ref());
        }
        Some(Kind::Generator)
    }

    /// The charge lamp's ways through a generator: to its output while it gives, through its windings while it does not.
    fn exciter(
        &mut self,
        [at, live, earthed]: [Place; 3],
        [warning, output, case]: [&str; 3],
        ohms: f64,
        by_engine: Option<&ByEngine>,
    ) {
        let Some(ByEngine { control, field, laws }) = by_engine else {
            self.fixed(at, earthed, ohms);
            return;
        };
        let gives: Vec<[bool; 2]> =
            laws.iter().map(|laws| laws.map(|law| law != Law::OPEN)).collect();
        let closed = |when: bool| {
            let positions: Vec<[bool; 2]> =
                gives.iter().map(|gives| gives.map(|gives| gives == when)).collect();
            match *field {
                Some(field) => Closed::Excited { control: *control, field, positions },
                None => Closed::At {
                    control: *control,
                    positions: positions.iter().map(|[closed, _]| *closed).collect(),
                },
            }
        };
        let joins = |other: &str| [warning.to_owned(), other.to_owned()];
        self.switch(at, live, assumed::EXCITER_OHMS, closed(true), joins(output));
        self.switch(at, earthed, ohms, closed(false), joins(case));
        if field.is_some() {
            let branch = self.fixed(at, earthed, assumed::FIELD_SENSE_OHMS);
            let system_volts = self.builder.tables.system_volts;
            let pull_in_volts = ohms * assumed::EXCITING_WATTS / system_volts;
            self.builder.fields.push(RelayRow {
                element: self.builder.tables.elements.len(),
                branch,
                second: None,
                pull_in_volts,
                drop_out_volts: 0.5 * pull_in_volts,
            });
        }
    }

    /// The control that says whether the engine runs.
    pub(super) fn engine(&self) -> Option<usize> {
        let own =
            self.part_type.controls.iter().find(|control| {
                control.key == "engine" || control.shared.as_deref() == Some("engine")
            });
        let name = own.map_or("engine", |own| self.part.control(self.part_type, &own.key));
        self.builder.tables.controls.iter().position(|control| control.name == name)
    }
}
