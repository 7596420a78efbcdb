//! The `car` statement.

use loomwright_circuit::{
    Body, ColourCode, EarthPolarity, Edit, FirstUse, Region, SystemVoltage, Vehicle,
};

use super::Reader;
use crate::token::Cursor;

const EXPECTED: &str = "6 V, 12 V or 24 V, negative earth or positive earth, glass-fibre body, colours, law, first-used or name";

impl Reader {
    /// `car 12 V negative earth [glass-fibre body] [colours din] [law uk] [first-used 1968] [name "…"] [purpose "…"]`
    pub(super) fn vehicle(&mut self, cursor: &mut Cursor<'_>) -> Result<(), String> {
        if self.has_vehicle {
            return Err(
                "the car is described twice; one line that begins with car is enough".into()
            );
        }
        self.has_vehicle = true;
        let mut vehicle = Vehicle::default();
        while cursor.peek().is_some() {
            let Some(word) = cursor.peek_word() else { return Err(cursor.unexpected(EXPECTED)) };
            let at = cursor.clone();
            cursor.next();
            match word {
                "6" | "12" | "24" => {
                    expect(cursor, &["V"], "V")?;
                    vehicle.voltage = voltage(word);
                }
                "6V" | "12V" | "24V" => vehicle.voltage = voltage(word.trim_end_matches('V')),
                "negative" | "positive" => {
                    expect(cursor, &["earth"], "the word earth")?;
                    let is_negative = word == "negative";
                    vehicle.earth =
                        if is_negative { EarthPolarity::Negative } else { EarthPolarity::Positive };
                }
                "glass-fibre" | "wooden" | "steel" => {
                    expect(cursor, &["body"], "the word body")?;
                    vehicle.body =
                        if word == "steel" { Body::Steel } else { Body::CarriesNoCurrent };
                }
                "colours" => {
                    const CODES: [&str; 4] = ["bs-au7", "bs-au7a", "din", "none"];
                    vehicle.colours = match expect(cursor, &CODES, "bs-au7, bs-au7a, din or none")?
                    {
                        "bs-au7a" => ColourCode::BsAu7a,
                        "din" => ColourCode::Din,
                        "none" => ColourCode::None,
                        _ => ColourCode::BsAu7,
                    };
                }
                "law" => {
                    let word = expect(cursor, &["uk", "unece"], "uk or unece")?;
                    vehicle.region = Some(if word == "uk" { Region::Uk } else { Region::Unece });
                }
                "first-used" => {
                    let date = cursor.name("a date such as 1968 or 1968-04-30")?;
                    let read = FirstUse::read(date).map_err(|error| error.to_string())?;
                    vehicle.first_used = Some(read);
                }
                "name" => cursor.name("the car's name")?.clone_into(&mut vehicle.name),
                "purpose" => cursor.name("a sentence in quotes")?.clone_into(&mut vehicle.purpose),
                _ => return Err(at.unexpected(EXPECTED)),
            }
        }
        self.edit(Edit::SetVehicle(vehicle))
    }
}

fn voltage(word: &str) -> SystemVoltage {
    match word {
        "6" => SystemVoltage::Six,
        "24" => SystemVoltage::TwentyFour,
        _ => SystemVoltage::Twelve,
    }
}

fn expect<'a>(cursor: &mut Cursor<'a>, words: &[&str], expected: &str) -> Result<&'a str, String> {
    cursor.take_word(words).ok_or_else(|| cursor.unexpected(expected))
}
