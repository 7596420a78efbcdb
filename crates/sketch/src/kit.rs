//! Kits: circuits that somebody has worked out already, written as sketches that fit themselves to a car.
//!
//! A kit is a sketch with a header in comment lines, and with choices in brackets:
//! `[6:3|12:1.5|24:1] mm2` by the voltage of the car, `[neg:…|pos:…]` by its earthed post, `[bs:…|din:…]` by the code of
//! its colours.
//!
//! | line | means |
//! |---|---|
//! | `# title …` | the kit's name |
//! | `# group …` | the heading under which it stands |
//! | `# says …` | what it does and why it is built so |
//! | `# end W1 live` | a loose end, and what in the car it is to be joined to |
//! | `# only 12 24` | the voltages it is made for; without the line, all |
//! | `# only negative` | the earth it is made for; without the line, both |

mod choice;
mod end;
mod fit;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use loomwright_circuit::{Car, EarthPolarity, SystemVoltage, Vehicle};

use crate::SketchErrors;

pub use end::EndFor;
pub use fit::fitted;

/// A circuit that somebody has worked out already.
#[derive(Debug, Clone, PartialEq)]
pub struct Kit {
    /// The name of its file, without the ending.
    pub name: &'static str,
    /// Its name for people.
    pub title: String,
    /// The heading under which it stands in lists.
    pub group: String,
    /// What it does and why it is built so.
    pub says: String,
    /// Its loose ends: the wire, and what in the car it is to be joined to.
    pub ends: Vec<(String, EndFor)>,
    /// The voltages that it is made for.
    voltages: Vec<SystemVoltage>,
    /// The earthed posts that it is made for.
    earths: Vec<EarthPolarity>,
    /// The text of its file.
    text: &'static str,
}

macro_rules! kits {
    ($($name:literal),* $(,)?) => {
        [$(($name, include_str!(concat!("../../../assets/circuits/", $name, ".sketch")))),*]
    };
}

/// The embedded files, in the order of lists.
const FILES: [(&str, &str); 18] = kits![
    "fuse_box",
    "dynamo",
    "alternator",
    "starting",
    "ignition",
    "cooling_fan",
    "lighting",
    "stop_lamps",
    "driving_lamps",
    "rear_fog",
    "reversing_lamps",
    "indicators",
    "hazard",
    "horn",
    "wiper",
    "heater_blower",
    "heated_window",
    "socket",
];

static KITS: LazyLock<Vec<Kit>> = LazyLock::new(|| {
    let read = |(name, text): &(&'static str, &'static str)| {
        Kit::read(name, text).unwrap_or_else(|says| panic!("embedded kit {name}: {says}"))
    };
    FILES.iter().map(read).collect()
});

impl Kit {
    /// All of them, in the order of lists.
    pub fn all() -> &'static [Self] {
        &KITS
    }

    /// The kit of this name.
    pub fn named(name: &str) -> Option<&'static Self> {
        KITS.iter().find(|kit| kit.name == name)
    }

    /// Reads the header.
    fn read(name: &'static str, text: &'static str) -> Result<Self, String> {
        let mut kit = Self {
            name,
            title: String::new(),
            group: String::new(),
            says: String::new(),
            ends: Vec::new(),
            voltages: Vec::new(),
            earths: Vec::new(),
            text,
        };
        for line in text.lines().filter_map(|line| line.strip_prefix("# ")) {
            let (key, rest) = line.split_once(' ').unwrap_or((line, ""));
            match key {
                "title" => rest.clone_into(&mut kit.title),
                "group" => rest.clone_into(&mut kit.group),
                "says" => rest.clone_into(&mut kit.says),
                "end" => {
                    let (wire, word) = rest.split_once(' ').ok_or("an end without its place")?;
                    let end =
                        EndFor::of_word(word).ok_or_else(|| format!("no end is for '{word}'"))?;
                    kit.ends.push((wire.to_owned(), end));
                }
                "only" => rest.split(' ').try_for_each(|word| kit.only(word))?,
                key => return Err(format!("no header line begins with '{key}'")),
            }
        }
        if kit.title.is_empty() || kit.group.is_empty() || kit.says.is_empty() {
            return Err("title, group or says is missing".to_owned());
        }
        Ok(kit)
    }

    fn only(&mut self, word: &str) -> Result<(), String> {
        match word {
            "6" => self.voltages.push(SystemVoltage::Six),
            "12" => self.voltages.push(SystemVoltage::Twelve),
            "24" => self.voltages.push(SystemVoltage::TwentyFour),
            "negative" => self.earths.push(EarthPolarity::Negative),
            "positive" => self.earths.push(EarthPolarity::Positive),
            word => return Err(format!("a kit is not for '{word}' only")),
        }
        Ok(())
    }

    /// Why it cannot be fitted to such a car; nothing where it can.
    pub fn refusal(&self, vehicle: &Vehicle) -> Option<String> {
        let title = &self.title;
        if !self.voltages.is_empty() && !self.voltages.contains(&vehicle.voltage) {
            let volts: Vec<String> =
                self.voltages.iter().map(|it| format!("{} V", it.volts().0)).collect();
            return Some(format!(
                "“{title}” is made for {}, and this car has {} V",
                volts.join(" and "),
                vehicle.voltage.volts().0
            ));
        }
        (!self.earths.is_empty() && !self.earths.contains(&vehicle.earth))
            .then(|| format!("“{title}” is made for the other earthed post than this car's"))
    }

    /// The kit as a plain sketch, with the choices made for a car.
    pub fn sketch(&self, vehicle: &Vehicle) -> String {
        choice::made(self.text, vehicle)
    }

    /// The kit as a car of its own, for such a vehicle. Each wire with a loose end tells in its note what to join.
    ///
    /// # Errors
    /// A kit whose sketch is not understood, which its tests rule out for those that the program brings.
    pub fn car(&self, vehicle: &Vehicle) -> Result<Car, SketchErrors> {
        let mut car = crate::parse(&self.sketch(vehicle))?;
        let ends: BTreeMap<&str, EndFor> =
            self.ends.iter().map(|(wire, end)| (wire.as_str(), *end)).collect();
        fit::note_ends(&mut car, &ends);
        Ok(car)
    }
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::{Anchor, ColourCode};

    use super::*;

    fn vehicles() -> Vec<Vehicle> {
        let voltages = [SystemVoltage::Six, SystemVoltage::Twelve, SystemVoltage::TwentyFour];
        let mut vehicles = Vec::new();
        for voltage in voltages {
            for earth in [EarthPolarity::Negative, EarthPolarity::Positive] {
                for colours in [ColourCode::BsAu7, ColourCode::BsAu7a, ColourCode::Din] {
                    vehicles.push(Vehicle { voltage, earth, colours, ..Vehicle::default() });
                }
            }
        }
        vehicles
    }

    #[test]
    fn every_kit_is_a_sketch_for_every_car_that_it_is_made_for() {
        for kit in Kit::all() {
            let fitting: Vec<Vehicle> =
                vehicles().into_iter().filter(|car| kit.refusal(car).is_none()).collect();
            assert!(!fitting.is_empty(), "{} fits no car", kit.name);
            for vehicle in fitting {
                let car = kit.car(&vehicle).unwrap_or_else(|error| panic!("{}: {error}", kit.name));
                let is_loose = |anchor: &Anchor| matches!(anchor, Anchor::Loose { .. });
                let loose: Vec<&str> = car
                    .wires()
                    .values()
                    .filter(|wire| wire.ends().iter().any(|end| is_loose(&end.at)))
                    .map(|wire| wire.label.as_str())
                    .collect();
                let named: Vec<&str> = kit.ends.iter().map(|(wire, _)| wire.as_str()).collect();
                assert_eq!(loose, named, "{}", kit.name);
                assert!(!car.promises().is_empty(), "{} promises nothing", kit.name);
                for wire in car.wires().values() {
                    assert!(wire.size.is_some() && wire.length.is_some() && wire.colour.is_some());
                }
            }
        }
    }

    #[test]
    fn a_switch_says_its_control_so_that_a_new_label_does_not_part_it_from_its_promises() {
        for kit in Kit::all() {
            let car = kit.car(&Vehicle { voltage: SystemVoltage::Twelve, ..Vehicle::default() });
            let car = car.unwrap_or_else(|error| panic!("{}: {error}", kit.name));
            for control in car.controls() {
                assert!(car.part_labelled(&control.name).is_none(), "{}", control.name);
            }
        }
    }
}
