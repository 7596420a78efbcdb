//! What goes on the ends of leads: fittings, connectors, splices and what covers them.

use std::collections::BTreeMap;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, Fitting, Standing};
use loomwright_units::{trimmed, with_decimals};

use super::{ShopRow, row};
use crate::labels::sleeve_mm;
use crate::making::{LeadRow, NO_SLEEVE, sleeve};
use crate::moves::moves;
use crate::rows::EndRow;

/// Small fittings and sleeves are sold in bags of so many (practice).
const BAG: usize = 10;

fn spares(n: usize) -> usize {
    n.div_ceil(10).max(2)
}

fn is_heavy(fitting: Fitting) -> bool {
    matches!(fitting, Fitting::BatteryClamp | Fitting::RingM8 | Fitting::RingM10 | Fitting::Blade95)
}

/// A lead's blade fitting goes over the tab that the part has (practice).
fn sex(fitting: Fitting) -> &'static str {
    match fitting {
        Fitting::Blade28 | Fitting::Blade48 | Fitting::Blade63 | Fitting::Blade95 => ", female,",
        _ => "",
    }
}

/// By kind and size of cable.
pub(super) fn fittings(car: &Car, leads: &[LeadRow]) -> Vec<ShopRow> {
    let mut counts: BTreeMap<(Fitting, String), usize> = BTreeMap::new();
    let (mut n_unknown, mut n_connectors) = (0, 0);
    for lead in leads {
        for end in [&lead.wire.from, &lead.wire.to] {
            match end.kind {
                Some(kind) if !is_bought(kind) => {}
                Some(Fitting::Bullet47) if !is_joint(car, end) => {
                    n_connectors += 1;
                    *counts.entry((Fitting::Bullet47, lead.wire.size.clone())).or_default() += 1;
                }
                Some(kind) => *counts.entry((kind, lead.wire.size.clone())).or_default() += 1,
                None if end.part.is_empty() => {}
                None => n_unknown += 1,
            }
        }
    }
    for end in moves(car).iter().filter(|end| end.is_refitted) {
        if let Some(kind) = end.goes.kind.filter(|kind| is_bought(*kind)) {
            *counts.entry((kind, end.size.clone())).or_default() += 1;
        }
    }
    let known = counts.into_iter().map(|((kind, size), n)| {
        let buy = if is_heavy(kind) { n + 1 } else { (n + spares(n)).div_ceil(BAG) * BAG };
        let size = if size.is_empty() {
            "cable of unknown size".to_owned()
        } else {
            format!("{size} mm²")
        };
        let (n, buy) = (n.to_string(), buy.to_string());
        row(format!("{}{} for {size}", kind.words(), sex(kind)), n, buy, "pieces")
    });
    let unknown = (n_unknown > 0).then(|| {
        row(
            "ends whose fitting is not known yet".to_owned(),
            n_unknown.to_string(),
            String::new(),
            "pieces",
        )
    });
    let connectors = (n_connectors > 0).then(|| ShopRow {
        note: "one where a part's own lead ends in a bullet, too".to_owned(),
        ..row(
            format!("connector for two {} mm bullets", with_decimals(4.7, 1)),
            n_connectors.to_string(),
            (n_connectors + spares(n_connectors)).to_string(),
            "pieces",
        )
    });
    known.chain(connectors).chain(splices(car, leads)).chain(unknown).collect()
}

/// A bare or soldered end takes no fitting off a shelf; of splices, there is one for all wires of a joint.
fn is_bought(fitting: Fitting) -> bool {
    !matches!(fitting, Fitting::Bare | Fitting::Soldered | Fitting::Splice)
}

fn is_joint(car: &Car, end: &EndRow) -> bool {
    let known = car.part_labelled(&end.part).and_then(|(id, _)| car.type_of(id));
    known.is_some_and(|known| {
        known.elements.iter().all(|element| matches!(element, Element::Joined { .. }))
    })
}

/// Labels of the joints in which leads are spliced, each once; a splice in mid-air counts by its end.
fn spliced(leads: &[LeadRow]) -> Vec<&str> {
    let ends = leads.iter().flat_map(|lead| [&lead.wire.from, &lead.wire.to]);
    let mut labels: Vec<&str> = ends
        .filter(|end| end.kind == Some(Fitting::Splice) && !end.part.is_empty())
        .map(|end| end.part.as_str())
        .collect();
    labels.sort_unstable();
    labels.dedup();
    labels
}

/// One splice for each joint, for the copper of all wires that are in it afterwards.
fn splices(car: &Car, leads: &[LeadRow]) -> Vec<ShopRow> {
    let mut counts: BTreeMap<String, (usize, Vec<String>)> = BTreeMap::new();
    for label in spliced(leads) {
        let Some((id, _)) = car.part_labelled(label) else { continue };
        let present = car.wires().values().filter(|wire| wire.standing != Standing::ToRemove);
        let here = present.filter(|wire| wire.ends().iter().any(|end| end.at.part() == Some(id)));
        let sizes: Vec<Option<f64>> =
            here.map(|wire| wire.size.map(|size| size.square_mm())).collect();
        let n = sizes.len();
        let copper: Option<f64> = sizes.into_iter().sum();
        let what = copper.map_or_else(
            || format!("crimped splice for {n} wires of sizes not known"),
            |area| format!("crimped splice for {n} wires, {} mm² in all", trimmed(area, 2)),
        );
        let known = counts.entry(what).or_default();
        known.0 += 1;
        known.1.push(label.to_owned());
    }
    let rows = counts.into_iter().map(|(what, (n, labels))| {
        let buy = (n + spares(n)).to_string();
        ShopRow { note: labels.join(", "), ..row(what, n.to_string(), buy, "pieces") }
    });
    rows.collect()
}

pub(super) fn sleeves(car: &Car, leads: &[LeadRow]) -> Vec<ShopRow> {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for lead in leads {
        for kind in [&lead.wire.from, &lead.wire.to].into_iter().filter_map(|end| end.kind) {
            // One seal covers all wires of a splice.
            if kind != Fitting::Splice {
                *counts.entry(sleeve(kind)).or_default() += 1;
            }
        }
    }
    let n_joints = spliced(leads).iter().filter(|label| car.part_labelled(label).is_some()).count();
    if n_joints > 0 {
        *counts.entry(sleeve(Fitting::Splice)).or_default() += n_joints;
    }
    counts.remove(NO_SLEEVE);
    let mut over_labels: BTreeMap<u64, (f64, usize)> = BTreeMap::new();
    for sleeve in leads.iter().filter_map(|lead| sleeve_mm(lead.wire.outside_mm)) {
        over_labels.entry(sleeve.to_bits()).or_insert((sleeve, 0)).1 += 2;
    }
    let covers = counts.into_iter().map(|(what, n)| {
        let buy = (n + spares(n)).div_ceil(BAG) * BAG;
        let buy = if what == "rubber boot" { n } else { buy };
        let note = if what.contains("shrink") {
            "wide enough to pass over the fitting; shrunk, it must grip the cable".to_owned()
        } else {
            String::new()
        };
        ShopRow { note, ..row(what.to_owned(), n.to_string(), buy.to_string(), "pieces") }
    });
    let labels = over_labels.into_values().map(|(sleeve, n)| {
        row(
            format!("clear heat-shrink {} mm over labels, 40 mm long", trimmed(sleeve, 1)),
            n.to_string(),
            (n + spares(n)).to_string(),
            "pieces",
        )
    });
    covers.chain(labels).collect()
}
