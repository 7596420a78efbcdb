//! What stands between the terminals of a part: batteries, fuses, contacts, coils, lamps.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::Name;
use crate::geometry::is_default;
use crate::part_type::ContactTable;

/// A figure of an element: a number, or the name of a fact of the part.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Figure {
    /// The same for every part of the type.
    Number(f64),
    /// The part's fact of this name.
    Fact(Name),
}

/// What stands between terminals. Terminals are given by name.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "is", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Element {
    /// A lead-acid battery.
    Battery {
        /// The plus post.
        plus: Name,
        /// The minus post.
        minus: Name,
        /// Marked voltage, V.
        volts: Figure,
        /// Capacity, Ah; internal resistance follows from it.
        amp_hours: Figure,
        /// Share of its charge that is left; without it, charged.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        charge: Option<Figure>,
        /// Its temperature, °C; without it, 20 °C.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        celsius: Option<Figure>,
    },
    /// A dynamo or alternator: a regulated voltage with a current limit that depends on the engine.
    Generator {
        /// Its live output: minus in a car with plus earthed, since a dynamo takes the polarity that it is flashed
        /// with, and an alternator is taken to be made for the car.
        plus: Name,
        /// Its case or return.
        minus: Name,
        /// Terminal that the charge warning lamp returns to.
        #[serde(default)]
        warning: Option<Name>,
        /// Regulated voltage in a 12 V car, V; in proportion elsewhere.
        volts: Figure,
        /// Output at tick-over, A.
        idle_amps: Figure,
        /// Greatest output, A.
        amps: Figure,
        /// Whether it gives at tick-over only once its field has been excited through the charge lamp, as an
        /// alternator does.
        #[serde(default, skip_serializing_if = "is_default")]
        needs_lamp: bool,
    },
    /// A dynamo by itself: it gives once its field is joined to its output, at the volts that a control box holds.
    Dynamo {
        /// Its live output.
        output: Name,
        /// The live end of its field winding.
        field: Name,
        /// Its case.
        case: Name,
        /// Output at tick-over, A.
        idle_amps: Figure,
        /// Greatest output, A.
        amps: Figure,
    },
    /// A control box: a cut-out that passes current from the dynamo only, and a regulator that joins field and output.
    ControlBox {
        /// From the dynamo's output.
        dynamo: Name,
        /// To the dynamo's field.
        field: Name,
        /// To battery and loads.
        output: Name,
        /// The return of its coils.
        earth: Name,
        /// Regulated voltage with nothing to feed, in a 12 V car at 20 °C, V; in proportion elsewhere.
        volts: Figure,
        /// The same at the dynamo's greatest output, V.
        loaded_volts: Figure,
        /// Temperature of the box, °C.
        celsius: Figure,
    },
    /// Copper: terminals that are one (a bus bar, a connector's ways), with the resistance of a contact.
    Joined {
        /// The terminals.
        terminals: Vec<Name>,
        /// Resistance from each terminal to the copper, ohm.
        ohms: Figure,
    },
    /// A place where wires are bolted to metal.
    Earth {
        /// The terminal.
        terminal: Name,
        /// What it is bolted to.
        place: EarthPlace,
        /// Resistance of the joint, ohm.
        ohms: Figure,
    },
    /// A fixed resistance.
    Resistor {
        /// Its two ends.
        between: [Name; 2],
        /// Resistance, ohm.
        ohms: Figure,
    },
    /// A tungsten filament.
    Filament {
        /// The fed end, then the return.
        between: [Name; 2],
        /// Marked power, W.
        watts: Figure,
        /// Marked voltage, V.
        volts: Figure,
    },
    /// A light-emitting diode with its resistor or driver.
    Led {
        /// The end towards plus.
        anode: Name,
        /// The end towards minus.
        cathode: Name,
        /// Marked power, W.
        watts: Figure,
        /// Marked voltage, V.
        volts: Figure,
        /// Lights either way round.
        #[serde(default)]
        either_way: bool,
        /// What holds its current.
        #[serde(default, skip_serializing_if = "is_default")]
        driver: LedDriver,
    },
    /// A silicon diode.
    Diode {
        /// The end towards plus.
        anode: Name,
        /// The end towards minus.
        cathode: Name,
        /// Greatest forward current, A.
        #[serde(default)]
        amps: Option<Figure>,
    },
    /// A fuse, a fusible link or a breaker.
    Fuse {
        /// Its two ends.
        between: [Name; 2],
        /// How its number is meant.
        family: FuseFamily,
        /// The current it carries all day, A. Nothing where only another marking is known.
        carries: Figure,
        /// The current it blows at, A: the marking of old British glass fuses.
        #[serde(default)]
        blows: Option<Figure>,
        /// Area of a fusible link's copper, mm²; what it carries follows from it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        square_mm: Option<Figure>,
    },
    /// Contacts moved by a control.
    Contacts {
        /// The control's key in this type.
        control: Name,
        /// What is joined in each position.
        joins: ContactTable,
        /// Greatest current of a contact, A.
        amps: Figure,
    },
    /// A coil and the contacts that it moves.
    Relay {
        /// The two ends of the coil.
        coil: [Name; 2],
        /// Resistance of the coil, ohm.
        ohms: Figure,
        /// Marked voltage, V. Where it stands, a usual resistance is that of a 12 V coil, and a coil for other volts
        /// has another.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        volts: Option<Figure>,
        /// A second winding of as many turns on the same core, that helps to pull in; nothing for most relays.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        pull_winding: Option<Winding>,
        /// Share of the marked voltage, on all its windings, at which it pulls in.
        pull_in: Figure,
        /// Share of the marked voltage, on its coil alone, at which it drops out.
        drop_out: Figure,
        /// Groups joined at rest.
        #[serde(default)]
        at_rest: Vec<Vec<Name>>,
        /// Groups joined when pulled in.
        #[serde(default)]
        pulled_in: Vec<Vec<Name>>,
        /// Greatest current of a contact, A.
        amps: Figure,
    },
    /// An indicator flasher.
    Flasher {
        /// The fed terminal.
        feed: Name,
        /// The terminal towards the lamps.
        lamps: Name,
        /// Its own earth, where it has one.
        #[serde(default)]
        earth: Option<Name>,
        /// The terminal for the tell-tale, where it has one.
        #[serde(default)]
        pilot: Option<Name>,
        /// How it works.
        family: FlasherFamily,
        /// Power of the lamps it is made for, W.
        watts: Figure,
        /// Greatest power of lamps, W.
        most_watts: Figure,
        /// An electronic one that watches for a dead lamp: the load under which it doubles its rate, W.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lamp_out_watts: Option<Figure>,
    },
    /// A consumer that is neither lamp nor coil.
    Load {
        /// The fed end, then the return. Order matters where it is polarised.
        between: [Name; 2],
        /// What it is.
        family: LoadFamily,
        /// Marked power, W.
        watts: Figure,
        /// Marked voltage, V.
        volts: Figure,
        /// Of a motor: the current it takes when it cannot turn, over that with which it runs. A usual one without it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        stall: Option<Figure>,
        /// Of a motor: what it turns.
        #[serde(default, skip_serializing_if = "is_default")]
        drives: Drives,
    },
    /// A starter's motor, by the currents that a workshop manual gives.
    Motor {
        /// The fed end, then the return.
        between: [Name; 2],
        /// Marked voltage, V.
        volts: Figure,
        /// Current with which it turns the engine, A. A usual one is that of a 12 V motor; one of other volts takes
        /// more or less in proportion.
        amps: Figure,
        /// Current when it cannot turn, A, at what such a current leaves of a battery's volts; usual ones as above.
        stall_amps: Figure,
    },
    /// A meter: a resistance that is read.
    Meter {
        /// Its two ends; reads up when current enters at the first.
        between: [Name; 2],
        /// What it reads.
        family: MeterFamily,
        /// Its resistance, ohm.
        ohms: Figure,
    },
}

/// A winding beside the coil of a relay.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Winding {
    /// Its two ends; current from the first to the second pulls as current through the coil does.
    pub between: [Name; 2],
    /// Resistance, ohm; a usual one as that of the coil.
    pub ohms: Figure,
}

/// What an earth point is bolted to.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum EarthPlace {
    /// The body or chassis.
    Body,
    /// The engine and gearbox.
    Engine,
    /// The battery's earthed post itself.
    Battery,
}

/// How a fuse's number is meant.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum FuseFamily {
    /// Flat plug-in: the number is carried all day.
    Blade,
    /// Glass tube: old British ones are marked with the current they blow at, others with what they carry.
    Glass,
    /// Ceramic body with pointed ends (DIN 72581-1): the number is carried all day.
    Torpedo,
    /// A short length of cable, smaller than what it guards; sold by its area.
    Link,
    /// A bimetal that opens, cools and closes again by itself (SAE J553 type I).
    Breaker,
    /// A bimetal that stays open until it is pushed in by hand (SAE J553 type III).
    ManualBreaker,
}

/// How a flasher works.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum FlasherFamily {
    /// A hot wire or bimetal: the load decides whether and how fast.
    Thermal,
    /// Timed electronically: fixed rate.
    Electronic,
}

/// What a consumer is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum LoadFamily {
    /// A heating element.
    Heater,
    /// A motor.
    Motor,
    /// A horn.
    Horn,
    /// A solenoid or a starter's coil.
    Solenoid,
    /// The primary of an ignition coil with its contact breaker closed.
    IgnitionCoil,
    /// Electronics that take constant power and die when reversed.
    Electronics,
    /// A socket with something plugged in.
    Socket,
}

/// What holds the current of light-emitting diodes.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Default,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum LedDriver {
    /// A resistor: current and light go with the volts.
    #[default]
    Resistor,
    /// A regulator: the same current from a few volts above the threshold on.
    ConstantCurrent,
}

/// What a motor turns, which decides how its current goes with the volts.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Default,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Drives {
    /// About the same torque at every speed: a wiper, a pump that pushes against a pressure, a starter.
    #[default]
    Steady,
    /// A torque that grows with the square of the speed: a fan, a blower, a pump that whirls.
    Fan,
}

/// What a meter reads.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum MeterFamily {
    /// Current.
    Ammeter,
    /// Tension.
    Voltmeter,
}
