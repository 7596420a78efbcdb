//! All that the papers list, as rows: worked out once, then set on pages and written as tables.

use std::collections::BTreeSet;

use loomwright_circuit::{Car, Standing, Version, WireId};
use loomwright_rules::Report;
use serde::Serialize;

use crate::changes::{self, Ammeter, ChangeRow, WayBack};
use crate::fitting::{self, Stage, unfused};
use crate::fuse_card::{FuseRow, fuse_card};
use crate::held::{self, HeldRow};
use crate::labels::{LabelGroup, labels};
use crate::making::{self, LeadRow};
use crate::plugs::{PlugRow, plugs};
use crate::power::{self, CircuitRow, PowerRow};
use crate::rows::{self, FindingRow, PartRow, WireRow};
use crate::shopping::{Counter, shopping};
use crate::solved::Solved;
use crate::test_sheet::{TestGroup, test_sheet};
use crate::warned;
use crate::words;

/// The rows of every table.
#[derive(Debug, Serialize)]
pub(crate) struct Contents {
    pub(crate) wires: Vec<WireRow>,
    pub(crate) plugs: Vec<PlugRow>,
    pub(crate) leads: Vec<LeadRow>,
    pub(crate) shopping: Vec<Counter>,
    pub(crate) fitting: Vec<Stage>,
    /// Leads of the alteration at which that order stops.
    pub(crate) held: Vec<HeldRow>,
    pub(crate) tests: Vec<TestGroup>,
    pub(crate) changes: Vec<ChangeRow>,
    /// What an ammeter does not show of it; empty where there is none, or it does.
    pub(crate) ammeter: Option<Ammeter>,
    pub(crate) way_back: Option<WayBack>,
    pub(crate) circuits: Vec<CircuitRow>,
    pub(crate) power: Vec<PowerRow>,
    pub(crate) fuses: Vec<FuseRow>,
    /// Labels to cut out, two for each lead, by the thickness of the cable.
    pub(crate) labels: Vec<LabelGroup>,
    /// New leads that no fuse guards, as the next owner is told of them; empty where there is none.
    pub(crate) bare_leads: String,
    /// Leads with nothing to blow but the wire.
    #[serde(skip)]
    pub(crate) unfused: BTreeSet<WireId>,
    #[serde(skip)]
    pub(crate) parts: Vec<PartRow>,
    #[serde(skip)]
    pub(crate) findings: Vec<FindingRow>,
}

impl Contents {
    pub(crate) fn of(car: &Car, report: &Report) -> Self {
        let leads = making::leads(car, report);
        let fuses = fuse_card(car, report);
        let solved = Solved::of(car, Version::After);
        let has_battery = solved.usual.reference().is_some();
        let changes = if has_battery { changes::changes(car, &solved) } else { Vec::new() };
        let unfused = unfused(&solved);
        let fitting = warned::at_stages(report, fitting::stages(car, &solved));
        Self {
            ammeter: changes::ammeter(car, &changes),
            wires: warned::at_wires(report, rows::wires(car)),
            plugs: plugs(car),
            shopping: shopping(car, report, &leads, has_battery),
            leads,
            held: held::held(car),
            tests: warned::tests_until_safe(&fitting, test_sheet(car, &solved)),
            fitting,
            changes,
            way_back: changes::way_back(car, &unfused, solved.usual.reference()),
            bare_leads: bare_leads(car, &unfused),
            unfused,
            circuits: power::circuits(car, report, &solved, &fuses),
            power: if has_battery { power::power(car, &solved) } else { Vec::new() },
            fuses,
            labels: labels(car),
            parts: rows::parts(car),
            findings: rows::findings(car, report),
        }
    }
}

fn bare_leads(car: &Car, unfused: &BTreeSet<WireId>) -> String {
    let new = unfused.iter().filter_map(|id| car.wire(*id));
    let new = new.filter(|wire| wire.standing == Standing::ToFit);
    let mut numbers: Vec<String> = new.map(|wire| wire.label.clone()).collect();
    if numbers.is_empty() {
        return String::new();
    }
    numbers.sort_by(|a, b| words::by_count(a, b));
    let (has, it) = if numbers.len() == 1 { ("has", "it is") } else { ("have", "they are") };
    format!(
        "{} of the alteration {has} no fuse: {it} kept short, sleeved and clipped, with nothing near to chafe on.",
        words::listed(&numbers, usize::MAX)
    )
}
