//! What the fitting order and the test sheet are read with.

use loomwright_circuit::Car;

use super::{ShopRow, row};
use crate::making::LeadRow;
use loomwright_electrics::rig::LAMP_WATTS;
use loomwright_units::{trimmed, with_decimals};

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
            &format!(
                "for the first power-up; with two loose {} mm tabs, to clip it to in the holder of a blade fuse",
                with_decimals(6.3, 1)
            ),
        ),
        one(
            "meter for volts, ohms and 10 A".to_owned(),
            "a spare fuse for its 10 A socket with it; no reading shows on it as 1 or OL",
        ),
        one(
            "clip-on meter for direct current".to_owned(),
            "for currents that the other would not bear",
        ),
        one(
            "test lead, 5 m, with two clips".to_owned(),
            "from the battery to the far end of the car",
        ),
    ]
}
