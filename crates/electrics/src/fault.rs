//! Single faults: what may happen to one wire, lamp, fuse, earth or relay.

use std::sync::Arc;

use loomwright_circuit::{Name, PartId, WireId};

use crate::network::{BranchRef, Kind, Tables};
use crate::{FuseRef, Network};

pub(crate) use stand::{LEAST_PIECE_OHMS, Stand};

mod stand;

/// One thing that is wrong with a car.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// The wire is broken.
    WireBroken(WireId),
    /// The wire has chafed through in its middle and touches the body.
    WireTouches(WireId),
    /// A filament, or a lamp of light-emitting diodes, has failed.
    LampFailed {
        /// The lamp.
        part: PartId,
        /// The two terminals of the filament.
        between: [Name; 2],
    },
    /// The fuse has blown, or is not in its holder.
    FuseBlown(FuseRef),
    /// The earth point has corroded to [`POOR_EARTH_OHMS`].
    EarthPoor(PartId),
    /// The relay stays pulled in, whatever its coil does: its contacts have welded.
    RelayStuckIn(PartId),
    /// The relay stays at rest, whatever its coil does.
    RelayStuckOut(PartId),
}

/// Resistance of a corroded earth point, ohm (practice: 0.3 to 10 ohm are met).
pub const POOR_EARTH_OHMS: f64 = 0.5;

/// Resistance with which a chafed wire touches metal, ohm.
pub(crate) const HARD_OHMS: f64 = 1e-3;

/// Who says with what resistance wires touch.
pub(crate) const TOUCH_SOURCE: &str =
    "practice: bare metal a milliohm, a bare strand on painted or dirty metal 0.15 to 0.3 ohm";

impl Network {
    /// The same network with faults, all at once.
    #[must_use]
    pub fn with_faults(&self, faults: &[Fault]) -> Self {
        let mut stand = Stand::of(&self.tables);
        for fault in faults {
            stand.put_beside(fault);
        }
        stand.ready();
        Self { tables: Arc::new(stand.into_tables()) }
    }

    /// Every single fault that this car can have: wires first, in their order, then parts.
    pub fn single_faults(&self) -> Vec<Fault> {
        let tables = &*self.tables;
        let wires = tables.wires.iter().map(|row| row.id);
        let mut faults: Vec<Fault> =
            wires.flat_map(|id| [Fault::WireBroken(id), Fault::WireTouches(id)]).collect();
        for row in &tables.elements {
            if tables.taken_out.contains(&row.part) {
                continue;
            }
            let part = row.part;
            let between = row.names.clone();
            match row.kind {
                Kind::Filament { .. } | Kind::Led { .. } => {
                    faults.push(Fault::LampFailed { part, between });
                }
                Kind::Fuse { .. } => faults.push(Fault::FuseBlown(FuseRef { part, between })),
                Kind::Earth => faults.push(Fault::EarthPoor(part)),
                Kind::Relay { .. } if has_contacts(&row.branches) => {
                    faults.extend([Fault::RelayStuckIn(part), Fault::RelayStuckOut(part)]);
                }
                _ => {}
            }
        }
        faults
    }
}

fn has_contacts(branches: &[BranchRef]) -> bool {
    branches.iter().any(|branch| matches!(branch, BranchRef::Switch(_)))
}

impl Fault {
    /// Elements of the tables that it is about.
    pub(crate) fn elements<'a>(&'a self, tables: &'a Tables) -> impl Iterator<Item = usize> + 'a {
        let is_meant = move |idx: &usize| {
            let row = &tables.elements[*idx];
            match self {
                Self::WireBroken(_) | Self::WireTouches(_) => false,
                Self::LampFailed { part, between } => {
                    row.part == *part
                        && row.names == *between
                        && matches!(row.kind, Kind::Filament { .. } | Kind::Led { .. })
                }
                Self::FuseBlown(fuse) => {
                    row.part == fuse.part
                        && row.names == fuse.between
                        && matches!(row.kind, Kind::Fuse { .. })
                }
                Self::EarthPoor(part) => row.part == *part && row.kind == Kind::Earth,
                Self::RelayStuckIn(part) | Self::RelayStuckOut(part) => {
                    row.part == *part && matches!(row.kind, Kind::Relay { .. })
                }
            }
        };
        (0..tables.elements.len()).filter(is_meant)
    }
}
