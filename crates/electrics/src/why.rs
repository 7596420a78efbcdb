//! Why a figure is what it is: the formula, what was put into it, and where each of that comes from.
//!
//! A formula is written in the symbols of its inputs, and is meant to be worked out again: the tests read it as it
//! stands and get the figure. `Σ X` adds up all inputs of a symbol, each of which says what it belongs to.

use std::sync::Arc;

use loomwright_circuit::part_type::{Element, Figure};
use loomwright_circuit::{Car, Name, Part, PartId, PartType, WireId};

use crate::network::{ElementRow, Tables};
use crate::reading::Flow;
use crate::{Network, Solution};

mod flasher;
mod generators;
mod hold;
mod law;
mod loads;
mod motor;
mod ohms;
mod relay;
mod rest;
mod supply;
mod touch;
mod volts;
mod warm;

/// A value with its unit, in SI or in what the trade counts in (mm², Ah, h, °C, flashes a minute).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    /// The number.
    pub value: f64,
    /// Its unit; empty for a share.
    pub unit: &'static str,
}

/// One figure and how it comes about.
#[derive(Debug, Clone, PartialEq)]
pub struct Derivation {
    /// The figure.
    pub figure: Quantity,
    /// What it is a figure of.
    pub of: Subject,
    /// Symbol, an equals sign, and the expression in the symbols of the inputs.
    pub formula: &'static str,
    /// What stands in the formula, in its order.
    pub inputs: Vec<Input>,
    /// Who says that the formula holds.
    pub source: &'static str,
}

/// What was put into a formula.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// As it stands in the formula.
    pub symbol: &'static str,
    /// Its value.
    pub quantity: Quantity,
    /// Where it comes from.
    pub from: Origin,
}

/// Where an input comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Origin {
    /// The car states it, of a wire or part, under this name.
    Stated(Subject, Name),
    /// The part does not state it; it is the usual figure of its type, under this name if it has one.
    Usual(Subject, Option<Name>),
    /// It is a figure of the car as a whole: its volts, what it remembers.
    OfCar,
    /// A constant or a row of a table, with its source.
    Constant(&'static str),
    /// Nobody states it; what was assumed, with its source.
    Assumed(&'static str),
    /// It is what was asked about.
    Asked,
    /// It was solved for, with everything else that flows.
    Solved(Subject),
    /// It was worked out in its turn.
    Computed(Box<Derivation>),
}

/// What a figure belongs to.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// A wire.
    Wire(WireId),
    /// A part.
    Part(PartId),
    /// A terminal of a part.
    Terminal(PartId, Name),
    /// What lies in a part between two of its terminals; the second is nothing where it is the copper within.
    Between(PartId, Name, Option<Name>),
    /// The end of a wire: `from` if it says so, else `to`.
    End(WireId, bool),
    /// A wire where it touches the metal.
    Touch(WireId),
    /// The metal of the car: body, engine, the battery's earthed post.
    Metal,
}

/// Derivations of what a network is made of.
#[derive(Debug, Clone, Copy)]
pub struct Why<'a> {
    car: &'a Car,
    tables: &'a Tables,
}

/// Derivations of what flows in a solution.
#[derive(Debug, Clone, Copy)]
pub struct WhyFlow<'a> {
    why: Why<'a>,
    flow: &'a Flow,
    /// All that flows in turn, this among it.
    turns: &'a [Arc<Flow>],
    /// A wire that ways do not lead through.
    left_out: Option<WireId>,
}

impl Network {
    /// Why its figures are what they are; `car` is the one that it was resolved from.
    pub fn why<'a>(&'a self, car: &'a Car) -> Why<'a> {
        Why { car, tables: &self.tables }
    }
}

impl Solution {
    /// Why its figures are what they are; `car` is the one whose network was solved. Nothing for an empty solution.
    pub fn why<'a>(&'a self, car: &'a Car) -> Option<WhyFlow<'a>> {
        let (tables, flow) = self.tables_and_flow()?;
        Some(WhyFlow { why: Why { car, tables }, flow, turns: self.turns(), left_out: None })
    }
}

impl Derivation {
    /// The symbol of the figure: what stands before the equals sign.
    pub fn symbol(&self) -> &'static str {
        self.formula.split('=').next().unwrap_or_default().trim()
    }
}

/// A derivation in the making; inputs are added in the order of the formula.
fn derive(
    of: Subject,
    (value, unit): (f64, &'static str),
    formula: &'static str,
    source: &'static str,
    inputs: impl Into<Vec<Input>>,
) -> Derivation {
    Derivation { figure: Quantity { value, unit }, of, formula, inputs: inputs.into(), source }
}

fn input(symbol: &'static str, value: f64, unit: &'static str, from: Origin) -> Input {
    Input { symbol, quantity: Quantity { value, unit }, from }
}

fn constant(symbol: &'static str, value: f64, unit: &'static str, source: &'static str) -> Input {
    input(symbol, value, unit, Origin::Constant(source))
}

fn assumed(symbol: &'static str, value: f64, unit: &'static str, source: &'static str) -> Input {
    input(symbol, value, unit, Origin::Assumed(source))
}

fn solved(symbol: &'static str, value: f64, unit: &'static str, of: Subject) -> Input {
    input(symbol, value, unit, Origin::Solved(of))
}

fn computed(symbol: &'static str, derivation: Derivation) -> Input {
    Input { symbol, quantity: derivation.figure, from: Origin::Computed(Box::new(derivation)) }
}

/// One element of a part, with all that its figures come from.
#[derive(Debug, Clone, Copy)]
struct Placed<'a> {
    id: PartId,
    part: &'a Part,
    part_type: &'a PartType,
    element: &'a Element,
    row: &'a ElementRow,
    system_volts: f64,
}

impl<'a> Why<'a> {
    /// The elements of a part; none of one that is not there, or was taken out.
    fn elements(&self, part: PartId) -> Vec<Placed<'a>> {
        let (car, tables) = (self.car, self.tables);
        let known = car.part(part).zip(car.type_of(part)).zip(tables.parts.get(&part));
        let Some(((row, part_type), range)) = known.filter(|_| !tables.taken_out.contains(&part))
        else {
            return Vec::new();
        };
        let rows = part_type.elements.iter().zip(&tables.elements[range.clone()]);
        let placed = |(element, element_row)| Placed {
            id: part,
            part: row,
            part_type,
            element,
            row: element_row,
            system_volts: tables.system_volts,
        };
        rows.map(placed).collect()
    }

    fn car_volts(&self, symbol: &'static str) -> Input {
        input(symbol, self.tables.system_volts, "V", Origin::OfCar)
    }
}

impl Placed<'_> {
    fn part(&self) -> Subject {
        Subject::Part(self.id)
    }

    fn between(&self, names: &[Name; 2]) -> Subject {
        Subject::Between(self.id, names[0].clone(), Some(names[1].clone()))
    }

    /// The element between its own two terminals.
    fn itself(&self) -> Subject {
        self.between(&self.row.names)
    }

    /// Whether a figure is a fact that the part states itself.
    fn is_stated(&self, figure: &Figure) -> bool {
        matches!(figure, Figure::Fact(name) if self.part.facts.contains_key(name))
    }

    /// A figure of the element with where it comes from. Marked volts are the car's where none are given.
    fn figure(&self, symbol: &'static str, unit: &'static str, figure: &Figure) -> Option<Input> {
        let (value, from) = match figure {
            Figure::Number(value) => (*value, Origin::Usual(self.part(), None)),
            Figure::Fact(name) => match self.part.fact(self.part_type, name) {
                Some(value) if self.is_stated(figure) => {
                    (value, Origin::Stated(self.part(), name.clone()))
                }
                Some(value) => (value, Origin::Usual(self.part(), Some(name.clone()))),
                None if name == "volts" => (self.system_volts, Origin::OfCar),
                None => return None,
            },
        };
        value.is_finite().then(|| input(symbol, value, unit, from))
    }

    /// The same of a figure that may be left out, with what is taken then.
    fn figure_or(
        &self,
        symbol: &'static str,
        unit: &'static str,
        figure: Option<&Figure>,
        otherwise: (f64, &'static str),
    ) -> Input {
        figure
            .and_then(|figure| self.figure(symbol, unit, figure))
            .unwrap_or_else(|| assumed(symbol, otherwise.0, unit, otherwise.1))
    }
}
