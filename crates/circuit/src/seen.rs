//! What only somebody at the car can see of a wire, an end or a part: all of it optional, each a question with answers.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use loomwright_units::exact;

use crate::geometry::is_default;
use crate::{PartType, Vehicle};

mod answers;
mod applies;

pub use answers::{
    Approval, Bundle, Case, Clips, Core, Cover, Crimp, Edge, FuelPipe, Gauge, Heat, Hinge, Hole,
    Hue, Leads, MadeFor, Mark, Millimetres, Mount, Optics, Pins, Side, Sleeve, Stud, Zone,
};

/// One question about a wire, an end or a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Question {
    /// The word that files and sketches use.
    pub key: &'static str,
    /// What is asked, as screens and papers say it.
    pub title: &'static str,
    /// The answers to choose from: the word that files use and the words that people read. None where the answer is a
    /// length in mm.
    pub choices: &'static [(&'static str, &'static str)],
}

impl Question {
    /// The words for an answer as people read it.
    pub fn words(&self, answer: &str) -> String {
        let known = self.choices.iter().find(|(word, _)| *word == answer);
        let length = || {
            let mm = answer.parse().map_or_else(|_no_number| answer.to_owned(), exact);
            format!("{mm} mm")
        };
        known.map_or_else(length, |(_, words)| (*words).to_owned())
    }

    /// What is accepted as an answer.
    pub fn accepted(&self) -> String {
        if self.choices.is_empty() {
            let (least, greatest) = (Millimetres::LEAST, Millimetres::GREATEST);
            return format!("millimetres from {least} to {greatest}");
        }
        let words: Vec<&str> = self.choices.iter().map(|(word, _)| *word).collect();
        match words.split_last() {
            Some((last, before)) if !before.is_empty() => {
                format!("{} or {last}", before.join(", "))
            }
            _ => words.join(""),
        }
    }
}

/// Questions with the answers that are known.
pub trait Seen: Default + PartialEq {
    /// The questions, in the order in which they are shown.
    const QUESTIONS: &'static [Question];

    /// The answer to a question, as files write it.
    fn answer(&self, key: &str) -> Option<String>;

    /// Sets or clears an answer, and says whether there is such a question with such an answer.
    fn set(&mut self, key: &str, answer: Option<&str>) -> bool;

    /// The question of this key.
    fn question(key: &str) -> Option<&'static Question> {
        Self::QUESTIONS.iter().find(|question| question.key == key)
    }

    /// The questions that are answered, with the answers as files write them.
    fn answered(&self) -> Vec<(&'static Question, String)> {
        let answer = |question: &'static Question| Some((question, self.answer(question.key)?));
        Self::QUESTIONS.iter().filter_map(answer).collect()
    }
}

/// What an answer is made of.
trait Answer: Copy {
    const CHOICES: &'static [(&'static str, &'static str)];
    fn written(self) -> String;
    fn read(word: &str) -> Option<Self>;
}

/// Makes a struct of questions: each a field, the key that files use, its title and the type of its answer.
macro_rules! seen {
    ($(#[$doc:meta])* $name:ident {
        $($(#[$field_doc:meta])* $field:ident $key:literal $title:literal : $answer:ident,)+
    }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            $(
                $(#[$field_doc])*
                #[serde(rename = $key, default, skip_serializing_if = "is_default")]
                pub $field: Option<$answer>,
            )+
        }

        impl Seen for $name {
            const QUESTIONS: &'static [Question] = &[$(
                Question { key: $key, title: $title, choices: <$answer as Answer>::CHOICES },
            )+];

            fn answer(&self, key: &str) -> Option<String> {
                match key {
                    $($key => self.$field.map(Answer::written),)+
                    _ => None,
                }
            }

            fn set(&mut self, key: &str, answer: Option<&str>) -> bool {
                match key {
                    $($key => match answer {
                        None => self.$field = None,
                        Some(word) => match <$answer as Answer>::read(word) {
                            Some(read) => self.$field = Some(read),
                            None => return false,
                        },
                    },)+
                    _ => return false,
                }
                true
            }
        }
    };
}

seen! {
    /// How a wire lies in the car.
    WireSeen {
        /// Where it runs.
        zone "where" "Runs in": Zone,
        /// Whether it lies among loaded wires.
        bundle "bundle" "Lies in": Bundle,
        /// Whether it goes through metal.
        hole "hole" "Through metal": Hole,
        /// Whether it goes over an edge.
        edge "edge" "Over an edge": Edge,
        /// What is over it.
        sleeve "sleeve" "Cover over it": Sleeve,
        /// Whether exhaust or manifold are near.
        heat "heat" "Exhaust": Heat,
        /// Whether a fuel pipe is near.
        fuel "fuel" "Fuel pipe": FuelPipe,
        /// Whether it goes to something that moves.
        hinge "hinge" "Over a hinge": Hinge,
        /// How it is held.
        clips "clips" "Clipped": Clips,
        /// What its core is.
        core "core" "Core": Core,
        /// What its size was read from.
        gauge "gauge" "Size read from": Gauge,
        /// Whether its colour can be told.
        hue "hue" "Colour": Hue,
        /// Whether it carries its number.
        mark "mark" "Number on it": Mark,
    }
}

seen! {
    /// How an end of a wire is made.
    EndSeen {
        /// How its fitting holds.
        crimp "crimp" "Held by": Crimp,
        /// What is over it.
        cover "cover" "Over the end": Cover,
    }
}

seen! {
    /// How a part stands in the car.
    PartSeen {
        /// Where it is.
        zone "where" "Stands in": Zone,
        /// What it is bolted to.
        mount "on" "Bolted to": Mount,
        /// What is over its live studs.
        stud "stud" "Live studs": Stud,
        /// Which half of a connector shows bare pins when it is parted.
        pins "pins" "Bare pins": Pins,
        /// Whether its output is joined to its feed.
        case "case" "Its output": Case,
        /// The earth that it is made for.
        made_for "made-for" "Made for": MadeFor,
        /// The code of its own leads.
        leads "leads" "Its own leads": Leads,
        /// What a lamp's reflector was made for.
        optics "optics" "Reflector": Optics,
        /// Whether a lamp carries an approval mark.
        approval "approval" "Approval mark": Approval,
        /// Which side of the car a lamp is on.
        side "side" "On the": Side,
        /// Height of a lamp's centre over the ground.
        height "height" "Height": Millimetres,
        /// Distance from a rear fog lamp to the nearest stop lamp.
        from_stop "from-stop" "To stop lamp": Millimetres,
    }
}

impl WireSeen {
    /// Whether its core cannot be copper strands made for a vehicle.
    pub fn is_household(&self) -> bool {
        matches!(self.core, Some(Core::Solid | Core::Household))
    }
}

impl PartSeen {
    /// The questions that make sense for a part of this type in this car.
    pub fn asked_of(part_type: &PartType, vehicle: &Vehicle) -> Vec<&'static Question> {
        let asked = |question: &&Question| applies::applies(question.key, part_type, vehicle);
        Self::QUESTIONS.iter().filter(asked).collect()
    }
}
