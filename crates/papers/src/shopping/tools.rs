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
            "in a blade fuse's holder by a blown fuse, or one with its bridge cut, a lead soldered to each leg",
        ),
        one(
            "meter for volts, ohms and 10 A".to_owned(),
            "with clips for its leads, and a spare for the fuse of its 10 A socket",
        ),
        one("crimping tool with jaws for these fittings, and a stripper".to_owned(), ""),
        one("hot-air gun, and goggles".to_owned(), "for seals, and under the car"),
        one(
            "soldering iron, solder, and insulating tape".to_owned(),
            "for clips, probes and bare ends",
        ),
        one(
            "clip-on meter for direct current".to_owned(),
            "for what the other would not bear; set to nought each time",
        ),
        one(
            "test lead, 5 m, two clips, a 1 A fuse beside one".to_owned(),
            "the clip beside the fuse goes on the battery",
        ),
    ]
}
