//! Reading a figure of an element, with a sentence for what is none.

use serde::de::{Error, Visitor};
use serde::{Deserialize, Deserializer};

use crate::part_type::Figure;

impl<'de> Deserialize<'de> for Figure {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(FigureVisitor)
    }
}

struct FigureVisitor;

impl Visitor<'_> for FigureVisitor {
    type Value = Figure;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a number or the name of a figure of the part")
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Figure, E> {
        Ok(Figure::Number(value))
    }

    fn visit_u64<E: Error>(self, value: u64) -> Result<Figure, E> {
        Ok(Figure::Number(value as f64))
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<Figure, E> {
        Ok(Figure::Number(value as f64))
    }

    fn visit_str<E: Error>(self, value: &str) -> Result<Figure, E> {
        Ok(Figure::Fact(value.to_owned()))
    }
}
