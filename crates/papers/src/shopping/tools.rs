//! What the fitting order and the test sheet are read with.

use loomwright_circuit::Car;

use super::{ShopRow, row};
use crate::making::LeadRow;
use loomwright_electrics::rig::LAMP_WATTS;
use loomwright_units::trimmed;

pub(super) fn tools(car: &Car, leads: &[LeadRow]) -> Vec<ShopRow> {
    if leads.is_empty() {
        return Vec::new();
    }
    let volts = trimmed(car.vehicle().voltage.volts().0, 0);
    let one = |what: String, note: &str| ShopRow {
        note: note.to_owned(),
        ..row(what, "1".to_owned(), "1".to_owned(), "pieces")
    };
    vec![
        one(
            format!("bulb, {volts} V {LAMP_WATTS:.0} W, in a holder with two leads and clips"),
            "for the first power-up; in a blade fuse's holder, by a blown one, or a spare with its bridge cut, a lead soldered to each leg",
        ),
        one(
            "meter for volts, ohms and 10 A".to_owned(),
            "its 10 A socket fused, with a spare for that; no reading shows on it as 1 or OL",
        ),
        one("crimping tool with jaws for these fittings, and a stripper".to_owned(), ""),
        one("hot-air gun, and goggles".to_owned(), "for seals, and under the car"),
        one("insulating tape, PVC".to_owned(), "for probes, clips, and ends of leads that are off"),
        one(
            "soldering iron, and solder".to_owned(),
            "for the leads of the blown fuse, on the bench",
        ),
        one(
            "clip-on meter for direct current".to_owned(),
            "for currents that the other would not bear",
        ),
        one(
            "test lead, 5 m, two clips, a 1 A fuse beside one".to_owned(),
            "to the far end of the car; the clip beside the fuse goes on the battery",
        ),
    ]
}
