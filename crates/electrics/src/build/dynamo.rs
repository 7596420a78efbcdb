//! Dynamos by themselves, and the control boxes that regulate them.

use loomwright_circuit::Name;
use loomwright_circuit::part_type::{Element, Figure};

use crate::assumed;
use crate::build::Builder;
use crate::build::elements::Placing;
use crate::law::Law;
use crate::network::{ByEngine, Closed, Kind, Place, RelayRow, Tables};

/// A dynamo whose regulator is not known yet.
pub(crate) struct DynamoRow {
    /// Its law, an index in [`Tables::laws`].
    law: usize,
    output: Place,
    field: Place,
    case: Place,
    idle_amps: Option<f64>,
    amps: f64,
    engine: Option<usize>,
    memory: usize,
}

/// A control box, and what it holds.
pub(crate) struct BoxRow {
    /// Its cut-out, an index in [`Tables::laws`].
    cut_out: usize,
    dynamo: Place,
    field: Place,
    earth: Place,
    volts: f64,
    loaded_volts: f64,
}

impl Placing<'_> {
    /// Places a dynamo: a source that depends on its field, and the field itself. Its polarity is that of the car, since
    /// it takes the one that it was flashed with.
    pub(super) fn dynamo(&mut self, element: &Element) -> Option<Kind> {
        let Element::Dynamo { output, field, case, idle_amps, amps } = element else {
            return None;
        };
        let is_plus_earthed = self.builder.tables.is_plus_earthed;
        let [plus, minus] =
            self.ends(if is_plus_earthed { [case, output] } else { [output, case] })?;
        let (at_output, at_case) = if is_plus_earthed { (minus, plus) } else { (plus, minus) };
        let at_field = self.place(field)?;
        let amps = Self::positive(self.figure(amps))?;
        let idle_amps = Self::positive(self.figure(idle_amps));
        let system_volts = self.builder.tables.system_volts;
        let engine = self.engine();
        let law = self.builder.tables.laws.len();
        self.law(plus, minus, Law::OPEN);
        if let Some(control) = engine {
            let positions = &self.builder.tables.controls[control].positions;
            let stands = positions.iter().map(|at| !turns(&at.name)).collect();
            let closed = Closed::At { control, positions: stands };
            let joins = [output.clone(), case.clone()];
            self.switch(at_output, at_case, assumed::armature_ohms(system_volts), closed, joins);
        }
        let branch = self.fixed(at_field, at_case, assumed::field_ohms(system_volts));
        let memory = self.builder.fields.len();
        let element = self.builder.tables.elements.len();
        let residual = assumed::RESIDUAL_VOLTS * system_volts / 12.0;
        let (pull_in_volts, drop_out_volts) = (0.5 * residual, 0.25 * residual);
        let row = RelayRow { element, branch, second: None, pull_in_volts, drop_out_volts };
        self.builder.fields.push(row);
        self.builder.dynamos.push(DynamoRow {
            law,
            output: at_output,
            field: at_field,
            case: at_case,
            idle_amps,
            amps,
            engine,
            memory,
        });
        Some(Kind::Generator)
    }

    /// Places a control box: its cut-out and the contacts of its regulator.
    pub(super) fn control_box(&mut self, element: &Element) -> Option<Kind> {
        let Element::ControlBox { dynamo, field, output, earth, volts, loaded_volts, celsius } =
            element
        else {
            return None;
        };
        let is_plus_earthed = self.builder.tables.is_plus_earthed;
        let [from, to] =
            self.ends(if is_plus_earthed { [output, dynamo] } else { [dynamo, output] })?;
        let (at_dynamo, at_field) = (self.place(dynamo)?, self.place(field)?);
        let at_earth = self.place(earth)?;
        let system_volts = self.builder.tables.system_volts;
        let is_usual =
            |figure: &Figure| matches!(figure, Figure::Fact(name) if !self.has_fact(name));
        let six =
            if system_volts == 6.0 && is_usual(volts) { assumed::SIX_VOLT_BOX_SHARE } else { 1.0 };
        let in_proportion = system_volts / 12.0 * self.builder.losses.charging;
        let open = six * Self::positive(self.figure(volts))?;
        let open = assumed::open_circuit_volts(open, self.figure(celsius)?) * in_proportion;
        let loaded_volts = Self::positive(self.figure(loaded_volts))? * in_proportion;
        let cut_out = self.builder.tables.laws.len();
        self.law(from, to, Law::cut_out());
        self.law(at_dynamo, at_field, Law::Leak(1.0 / assumed::REGULATOR_OHMS));
        self.builder.boxes.push(BoxRow {
            cut_out,
            dynamo: at_dynamo,
            field: at_field,
            earth: at_earth,
            volts: open,
            loaded_volts,
        });
        Some(Kind::Diode)
    }

    fn has_fact(&self, name: &Name) -> bool {
        self.part.facts.contains_key(name)
    }
}

fn turns(position: &str) -> bool {
    matches!(position, "idling" | "running")
}

impl Builder {
    /// Gives each dynamo the law that its control box makes: the one to whose field, output and earth terminals copper
    /// joins it. Without one, nothing holds its volts. The cut-out of a box without its earth has no current in its
    /// coil, and stays open.
    pub(super) fn regulate(&mut self) {
        let copper = self.copper();
        for row in &self.boxes {
            let mut fed_by = self.dynamos.iter().filter(|it| copper.equiv(row.dynamo, it.output));
            if fed_by.any(|dynamo| !copper.equiv(row.earth, dynamo.case)) {
                self.tables.laws[row.cut_out].law = Law::OPEN;
            }
        }
        for dynamo in std::mem::take(&mut self.dynamos) {
            let Some(control) = dynamo.engine else { continue };
            let regulates = |row: &&BoxRow| {
                copper.equiv(row.field, dynamo.field)
                    && copper.equiv(row.dynamo, dynamo.output)
                    && copper.equiv(row.earth, dynamo.case)
            };
            let held = self.boxes.iter().find(regulates);
            let held = held.map(|row| [row.volts, row.loaded_volts]);
            let laws = |position: &str| dynamo.laws(&self.tables, held, position);
            let positions = &self.tables.controls[control].positions;
            let laws = positions.iter().map(|position| laws(&position.name)).collect();
            let field = Some(dynamo.memory);
            self.tables.laws[dynamo.law].by_engine = Some(ByEngine { control, field, laws });
        }
    }
}

impl DynamoRow {
    /// What it gives in a position of the engine without its field and with it, regulated to volts without a load and
    /// with the greatest one.
    fn laws(&self, tables: &Tables, held: Option<[f64; 2]>, position: &str) -> [Law; 2] {
        if !turns(position) {
            return [Law::OPEN; 2];
        }
        let share = tables.system_volts / 12.0;
        let siemens = 1.0 / assumed::armature_ohms(tables.system_volts);
        let linear = |emf| Law::Battery { emf, gives: siemens, takes: siemens };
        let unexcited = linear(assumed::RESIDUAL_VOLTS * share);
        let [open, loaded] = held.unwrap_or_else(|| {
            [assumed::UNREGULATED_SHARE, 1.0].map(|share| share * tables.system_volts)
        });
        let source =
            |amps| Law::Source { volts: open, amps, sag: (open - loaded).max(0.2 * share) };
        let excited = match (position, self.idle_amps) {
            ("running", _) => source(self.amps),
            (_, Some(amps)) => source(amps),
            // Too slow for the cut-out to close.
            (_, None) => linear(assumed::DYNAMO_SLOW_SHARE * tables.system_volts),
        };
        [unexcited, excited]
    }
}
