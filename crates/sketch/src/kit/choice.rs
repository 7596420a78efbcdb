//! Choices in brackets: what a kit says differently for different cars.

use loomwright_circuit::{ColourCode, EarthPolarity, SystemVoltage, Vehicle};

/// A kit's text with every choice made; its header is left out.
pub(super) fn made(text: &str, vehicle: &Vehicle) -> String {
    let lines = text.lines().filter(|line| !line.starts_with('#'));
    let mut out = format!("{}\n", car_line(vehicle));
    for line in lines {
        let mut rest = line;
        while let Some((before, tail)) = rest.split_once('[') {
            let Some((choices, after)) = tail.split_once(']') else { break };
            out.push_str(before);
            out.push_str(chosen(choices, vehicle));
            rest = after;
        }
        out.push_str(rest);
        out.push('\n');
    }
    out
}

fn car_line(vehicle: &Vehicle) -> String {
    let earth = match vehicle.earth {
        EarthPolarity::Negative => "negative",
        EarthPolarity::Positive => "positive",
    };
    format!("car {} V {earth} earth", vehicle.voltage.volts().0)
}

/// The choice whose key this car answers to; nothing where none does.
fn chosen<'a>(choices: &'a str, vehicle: &Vehicle) -> &'a str {
    let mut pairs = choices.split('|').filter_map(|choice| choice.split_once(':'));
    pairs.find(|(key, _)| is_of(key, vehicle)).map_or("", |(_, text)| text)
}

fn is_of(key: &str, vehicle: &Vehicle) -> bool {
    match key {
        "6" => vehicle.voltage == SystemVoltage::Six,
        "12" => vehicle.voltage == SystemVoltage::Twelve,
        "24" => vehicle.voltage == SystemVoltage::TwentyFour,
        "neg" => vehicle.earth == EarthPolarity::Negative,
        "pos" => vehicle.earth == EarthPolarity::Positive,
        // A car without a code of its own is given the British letters, so that each lead can be told from the next.
        "bs" => vehicle.colours != ColourCode::Din,
        "din" => vehicle.colours == ColourCode::Din,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_choice_is_made_by_voltage_earth_and_code() {
        let text = "# title Lamp\nlamp H1 [6:3|12:5] W made-for=[neg:negative|pos:positive]\nwire W1 H1.1 loose [bs:red|din:grey]";
        let vehicle = Vehicle {
            voltage: SystemVoltage::Six,
            earth: EarthPolarity::Positive,
            colours: ColourCode::Din,
            ..Vehicle::default()
        };
        let said =
            "car 6 V positive earth\nlamp H1 3 W made-for=positive\nwire W1 H1.1 loose grey\n";
        assert_eq!(made(text, &vehicle), said);
        let said =
            "car 12 V negative earth\nlamp H1 5 W made-for=negative\nwire W1 H1.1 loose red\n";
        assert_eq!(made(text, &Vehicle::default()), said);
    }
}
