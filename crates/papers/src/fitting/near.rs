//! How far from each other new parts may stand: no farther than the leads between them reach.

use std::collections::BTreeMap;

use loomwright_circuit::{Car, PartId, Standing};
use loomwright_units::with_decimals;

use crate::words;

/// "Along the loom no farther than 0.20 m from Battery (W78) and 0.70 m from Relay (W79)."; empty where no new lead of
/// known length goes to it.
pub(super) fn near(car: &Car, id: PartId) -> String {
    let mut reaches: Vec<(&str, f64, &str)> = reaches(car, id)
        .into_iter()
        .filter_map(|(part, (metres, lead))| Some((car.part(part)?.label.as_str(), metres, lead)))
        .collect();
    reaches.sort_by(|a, b| words::by_count(a.0, b.0));
    let each: Vec<String> = reaches
        .into_iter()
        .map(|(label, metres, lead)| {
            format!("{} m from {label} ({lead})", with_decimals(metres, 2))
        })
        .collect();
    match each.as_slice() {
        [] => String::new(),
        each => format!("Along the loom no farther than {}.", words::listed(each, usize::MAX)),
    }
}

/// The shortest new lead to each other part, and its number.
fn reaches(car: &Car, id: PartId) -> BTreeMap<PartId, (f64, &str)> {
    let mut found: BTreeMap<PartId, (f64, &str)> = BTreeMap::new();
    for wire in car.wires().values().filter(|wire| wire.standing == Standing::ToFit) {
        let ([Some(from), Some(to)], Some(length)) =
            (wire.ends().map(|end| end.at.part()), wire.length)
        else {
            continue;
        };
        let other = match (from == id, to == id) {
            (true, false) => to,
            (false, true) => from,
            _ => continue,
        };
        let known = found.entry(other).or_insert((length.0, &wire.label));
        if length.0 < known.0 {
            *known = (length.0, &wire.label);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::near;

    #[test]
    fn parts_stand_as_near_as_their_leads_reach() {
        let car = loomwright_sketch::parse(
            "car 12 V negative earth
battery B1 12 V 48 Ah
joint J2
fuse F1 blade 15 A to fit
relay K1 12 V to fit
joint J1 to fit
lamp H1 55 W to fit
earth E1 body to fit
wire W1 B1.+ F1.1 3 mm2 0.3 m to fit
wire W2 F1.2 K1.30 3 mm2 0.5 m to fit
wire W3 K1.87 J1 2 mm2 0.9 m to fit
wire W4 J1 H1.1 2 mm2 0.4 m to fit
wire W5 H1.2 E1 2 mm2 to fit
wire W6 J2 K1.86 1 mm2 0.25 m to fit
wire W7 K1.85 E1 1 mm2 0.2 m to fit
wire W8 J2 B1.+ 1 mm2 2 m
",
        )
        .unwrap_or_else(|errors| panic!("{errors}"));
        let of = |label: &str| near(&car, car.part_labelled(label).expect("a part").0);
        assert_eq!(
            of("F1"),
            "Along the loom no farther than 0.30 m from B1 (W1) and 0.50 m from K1 (W2)."
        );
        assert_eq!(
            of("K1"),
            "Along the loom no farther than 0.20 m from E1 (W7), 0.50 m from F1 (W2), 0.90 m from J1 (W3) and 0.25 m from \
             J2 (W6)."
        );
        // The joint, too, lies no farther from any than its leads reach; of a lead whose length nobody knows, nothing
        // follows.
        assert_eq!(
            of("J1"),
            "Along the loom no farther than 0.40 m from H1 (W4) and 0.90 m from K1 (W3)."
        );
        assert_eq!(of("H1"), "Along the loom no farther than 0.40 m from J1 (W4).");
    }
}
