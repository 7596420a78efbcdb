//! Finding what stands on the sheets: parts, wires by number and colour, terminals by name.

use std::sync::Arc;

use loomwright_circuit::{Car, PartId, PartType, SheetId, Wire, WireColour};

use crate::state::Selection;
use crate::texts::Found;

/// Something on a sheet that answers to what is asked for.
#[derive(Debug, Clone)]
pub struct Match {
    /// Its name.
    pub title: String,
    /// What it is, and the sheet that it is on.
    pub says: String,
    /// What stands beside it as a picture.
    pub picture: Picture,
    /// What is selected when it is gone to.
    pub selection: Selection,
}

/// What a name is a name of, as it is drawn.
#[derive(Debug, Clone)]
pub enum Picture {
    /// The symbol of a part.
    Part(Arc<PartType>),
    /// A length of wire in its colours, as far as they are known.
    Wire(Option<WireColour>),
    /// Nothing that could be drawn so small.
    Blank,
}

/// All that answers, on all sheets: what is called just so comes first, then parts, wires and terminals.
pub fn matches(car: &Car, asked: &str) -> Vec<Match> {
    let asked = asked.trim().to_lowercase();
    if asked.is_empty() {
        return Vec::new();
    }
    let mut found: Vec<(u8, Match)> = parts(car, &asked);
    found.extend(wires(car, &asked));
    found.extend(terminals(car, &asked));
    found.sort_by_key(|(far, _)| *far);
    found.into_iter().map(|(_, found)| found).collect()
}

/// A name as it is compared: with a lamp for every light, but not for lighting, and no hyphens.
pub fn plainly(name: &str) -> String {
    name.split("lighting")
        .map(|piece| piece.replace("light", "lamp").replace('-', " "))
        .collect::<Vec<_>>()
        .join("lighting")
}

/// Whether every word that is asked for is in a name, both as they are compared, or the name has them without their
/// spaces: "head lamp" is in "headlamp".
pub fn is_in(name: &str, asked: &str) -> bool {
    let (name, asked) = (plainly(name), plainly(asked));
    let closed = asked.replace(' ', "");
    asked.split_whitespace().all(|word| name.contains(word))
        || closed.len() > 4 && name.replace(' ', "").contains(&closed)
}

/// How far a part's name is from what is asked for; nothing where it is another one.
fn how_far(name: &str, asked: &str) -> Option<u8> {
    let plain = (plainly(name), plainly(asked));
    match plain.0.find(&plain.1) {
        _ if plain.0 == plain.1 => Some(0),
        Some(0) => Some(1),
        Some(_) => Some(2),
        None => is_in(name, asked).then_some(2),
    }
}

fn sheet_of(car: &Car, id: SheetId) -> &str {
    car.sheets().get(&id).map_or("", |sheet| &sheet.title)
}

fn parts(car: &Car, asked: &str) -> Vec<(u8, Match)> {
    let row = |(id, part): (&PartId, &loomwright_circuit::Part)| {
        let far = how_far(&part.label.to_lowercase(), asked)?;
        let found = Match {
            title: part.label.clone(),
            says: Found::on_sheet(sheet_of(car, part.sheet)),
            picture: car.type_of(*id).cloned().map_or(Picture::Blank, Picture::Part),
            selection: Selection::part(*id),
        };
        Some((far, found))
    };
    car.parts().iter().filter_map(row).collect()
}

/// Wires by their number, by their colours in words, or by two letters of a colour code and more.
fn wires(car: &Car, asked: &str) -> Vec<(u8, Match)> {
    let number = asked.strip_prefix("wire ").unwrap_or(asked);
    // One letter alone would answer with half the loom while somebody is still typing.
    let traced = asked.replace([' ', '-'], "/");
    let colour = WireColour::read(asked).or_else(|_| WireColour::read(&traced)).ok();
    let colour = colour.filter(|_| asked.chars().count() > 1);
    let far = |wire: &Wire| {
        if wire.label.to_lowercase() == number {
            return Some(0);
        }
        let words = wire.colour?.words();
        if wire.colour == colour || words == asked {
            Some(3)
        } else {
            (asked.chars().count() > 2 && words.contains(asked)).then_some(4)
        }
    };
    let row = |(id, wire): (&loomwright_circuit::WireId, &Wire)| {
        let sheet = wire.ends().iter().find_map(|end| Some(car.pos_on_sheet(&end.at)?.0));
        let colour = wire.colour.map_or_else(|| Found::no_colour().to_owned(), WireColour::words);
        let sheet = sheet.map_or("", |id| sheet_of(car, id));
        let found = Match {
            title: Found::wire(&wire.label),
            says: Found::colour_on_sheet(colour, sheet),
            picture: Picture::Wire(wire.colour),
            selection: Selection::wire(*id),
        };
        Some((far(wire)?, found))
    };
    car.wires().iter().filter_map(row).collect()
}

/// Terminals by the name printed on the part, by their DIN 72552 number, as "2 of Fuse 1", or as sketches have it, "F1.2".
fn terminals(car: &Car, asked: &str) -> Vec<(u8, Match)> {
    let asked = asked.strip_prefix("terminal ").unwrap_or(asked);
    let mut found = Vec::new();
    for (id, part) in car.parts() {
        let Some(part_type) = car.type_of(*id) else { continue };
        for terminal in &part_type.terminals {
            let (label, name) = (&part.label, &terminal.name);
            let known = [name.clone(), format!("{name} of {label}"), format!("{label}.{name}")];
            let mut known = known.iter().map(String::as_str).chain(terminal.din.as_deref());
            if !known.any(|known| known.eq_ignore_ascii_case(asked)) {
                continue;
            }
            let din = terminal.din.as_deref().filter(|din| *din != terminal.name);
            let says = match din {
                Some(din) => Found::terminal_din(din, sheet_of(car, part.sheet)),
                None => Found::on_sheet(sheet_of(car, part.sheet)),
            };
            let row = Match {
                title: Found::terminal_of(&terminal.name, &part.label),
                says,
                picture: Picture::Part(Arc::clone(part_type)),
                selection: Selection::part(*id),
            };
            found.push((5, row));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    const SKETCH: &str = "car 12 V negative earth
battery B1 12 V 40 Ah
relay K1 12 V
lamp H1 60/55 W
wire W1 B1.+ K1.30 2 mm2 1 m brown
wire W2 K1.87 H1.56a 2 mm2 1 m blue/white
wire W3 H1.31 B1.- 2 mm2 1 m black
";

    fn titles(asked: &str) -> Vec<String> {
        let car = loomwright_sketch::parse(SKETCH).expect("a sketch");
        matches(&car, asked).into_iter().map(|found| found.title).collect()
    }

    #[test]
    fn parts_wires_and_terminals_answer_to_their_names() {
        assert_eq!(titles("k1"), ["K1"]);
        assert_eq!(titles("w2"), ["Wire W2"]);
        assert_eq!(titles("wire w2"), ["Wire W2"]);
        assert_eq!(titles("56a"), ["Terminal 56a of H1"]);
        assert_eq!(titles("k1.87"), ["Terminal 87 of K1"]);
        assert_eq!(titles("terminal 87 of k1"), ["Terminal 87 of K1"]);
        assert!(titles("").is_empty());
    }

    #[test]
    fn a_part_answers_to_words_of_its_name_without_its_hyphens() {
        let named = SKETCH.replace("H1", "\"Near-side headlamp\"");
        let car = loomwright_sketch::parse(&named).expect("a sketch");
        let titles = |asked: &str| -> Vec<String> {
            matches(&car, asked).into_iter().map(|found| found.title).collect()
        };
        for asked in ["near side", "near-side", "head lamp", "headlight", "side head", "nearside"] {
            assert_eq!(titles(asked), ["Near-side headlamp"], "{asked}");
        }
        assert!(titles("off side").is_empty());
    }

    #[test]
    fn a_lamp_is_a_light_and_lighting_is_none() {
        let named = SKETCH.replace("K1", "\"Lighting relay\"").replace("H1", "\"Reversing light\"");
        let car = loomwright_sketch::parse(&named).expect("a sketch");
        let titles: Vec<String> = matches(&car, "lamp").into_iter().map(|it| it.title).collect();
        assert_eq!(titles, ["Reversing light"]);
    }

    #[test]
    fn wires_answer_to_colours_in_words_and_letters() {
        for asked in ["blue/white", "blue white", "blue-white"] {
            assert_eq!(titles(asked), ["Wire W2"], "{asked}");
        }
        // BS AU 7: U is blue, W is white.
        assert_eq!(titles("uw"), ["Wire W2"]);
        assert_eq!(titles("brown"), ["Wire W1"]);
        assert_eq!(titles("white"), ["Wire W2"]);
    }

    /// DIN 72552: 30 comes straight from the battery's plus, 31 is earth.
    #[test]
    fn terminals_answer_to_their_din_numbers() {
        assert!(titles("30").contains(&"Terminal 30 of K1".to_owned()));
        assert!(titles("31").contains(&"Terminal 31 of H1".to_owned()));
    }
}
