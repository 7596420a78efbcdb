//! The study of one wire.

use loomwright_circuit::WireId;

use crate::fault::Stand;
use crate::study::{Bench, CONTACTS, WireStudy, ways};
use crate::{Exploration, Guard, Network, Work, protection};

/// As [`protection_study`](crate::protection_study), of one wire; nothing for one that is not in this version of the
/// car, or if `goes_on`, asked before each contact, says no.
///
/// # Complexity
/// O(visits + ways of feeding · contacts), times a few iterations.
pub fn wire_study(
    network: &Network,
    exploration: &Exploration,
    wire: WireId,
    goes_on: &mut dyn FnMut() -> bool,
) -> Option<WireStudy> {
    let tables = &*network.tables;
    let row = *tables.wire_of.get(&wire)?;
    if !goes_on() {
        return None;
    }
    let ways = ways(network, exploration).of_wire(row);
    let (guards, unknown) = (protection(network), Guard::default());
    let guard = guards.get(&wire).unwrap_or(&unknown);
    let mut bench = Bench { exploration, stand: Stand::of(tables), work: Work::default() };
    let mut touches = Vec::new();
    for contact in CONTACTS {
        if !goes_on() {
            return None;
        }
        touches.extend(bench.touch(row, contact, guard, &ways));
    }
    Some(WireStudy { wire, touches })
}
