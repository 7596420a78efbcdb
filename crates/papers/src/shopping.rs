//! What to buy: cable, fittings, sleeves, fuses, parts and sundries, rounded up to what is sold, with spares.

use loomwright_units::trimmed;

mod ends;
#[cfg(test)]
mod tests;
mod tools;

use std::collections::BTreeMap;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, EarthPolarity, Part, PartId, PartSeen, PartType, Standing};
use loomwright_rules::Report;
use serde::Serialize;

use self::ends::{fittings, sleeves};
use self::tools::tools;
use crate::making::LeadRow;
use crate::warned::{self, Warning};
use crate::words;

/// The list, counter by counter.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Counter {
    pub(crate) title: &'static str,
    /// How spares are counted, and what to look out for.
    pub(crate) says: &'static str,
    pub(crate) rows: Vec<ShopRow>,
}

/// One thing to buy.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct ShopRow {
    pub(crate) what: String,
    /// Colour in letters, and the words of the cable's cover; empty for all but cable.
    pub(crate) letters: String,
    pub(crate) cover: Vec<&'static str>,
    /// What the alteration takes, and of what: metres of lead for what is bought by the roll.
    pub(crate) needed: String,
    pub(crate) needed_unit: &'static str,
    /// What to buy; empty where nobody can tell from the drawing.
    pub(crate) buy: String,
    pub(crate) unit: &'static str,
    /// What is left over, or how it is counted.
    pub(crate) note: String,
    /// Dangers that stand against what it is for.
    pub(crate) warnings: Vec<Warning>,
}

/// Heavier cable than this, mm², is sold by the half metre, lighter by the metre (practice).
const HEAVY: f64 = 9.0;
/// Spare fuses of each rating.
const SPARE_FUSES: usize = 2;
/// A clip or tie for each so many metres of lead (practice: every 200 mm).
const CLIP_EVERY: f64 = 0.2;
/// A roll of loom tape covers so many metres (practice).
const TAPE_COVERS: f64 = 8.0;

/// Everything to buy; none where nothing is to fit.
pub(crate) fn shopping(
    car: &Car,
    report: &Report,
    leads: &[LeadRow],
    has_battery: bool,
) -> Vec<Counter> {
    let counter = |title, says, rows| Counter { title, says, rows };
    let all = vec![
        counter(
            "Cable",
            "By the metre, each lead with what its ends need to spare; heavy cable by the half metre. mm² is copper, not \
             what a rule laid across the cover shows. Thin-wall and PVC of one size do not carry the same.",
            cable(leads),
        ),
        counter(
            "Fittings",
            "One in ten to spare, two at the least, those sold in tens by the ten; heavy ones singly. Of the size of the cable. Blades for \
             leads are the female ones, unless a part turns out to have sockets.",
            fittings(car, leads),
        ),
        counter(
            "Sleeves and covers",
            "As many as there are ends, and as many to spare as of the fittings.",
            sleeves(car, leads),
        ),
        counter(
            "Fuses",
            "Two to spare of each. A number on an old glass fuse is where it blows; on a blade fuse and on modern glass \
             it is what it carries. They are not equal.",
            fuses(car, report),
        ),
        counter(
            "Parts",
            "Look at the terminal marks before you pay: relays of one shape come with other ways inside.",
            parts(car, report),
        ),
        counter(
            "Sundries",
            "What the drawing cannot count has an empty box.",
            sundries(car, leads),
        ),
        counter(
            "To test with",
            "What the fitting order and the test sheet ask for: borrowed will do.",
            if has_battery { tools(car, leads) } else { Vec::new() },
        ),
    ];
    all.into_iter().filter(|counter| !counter.rows.is_empty()).collect()
}

fn row(what: String, needed: String, buy: String, unit: &'static str) -> ShopRow {
    let needed_unit = unit;
    let unit = match (buy.as_str(), unit) {
        ("1", "pieces") => "piece",
        ("1", "rolls") => "roll",
        ("1", "sets") => "set",
        (_, unit) => unit,
    };
    ShopRow {
        what,
        letters: String::new(),
        cover: Vec::new(),
        needed,
        needed_unit,
        buy,
        unit,
        note: String::new(),
        warnings: Vec::new(),
    }
}

/// By colour, cover and size.
fn cable(leads: &[LeadRow]) -> Vec<ShopRow> {
    let mut cables: BTreeMap<(&str, &str, String), Vec<&LeadRow>> = BTreeMap::new();
    for lead in leads {
        let key = (lead.wire.colour.as_str(), lead.wire.insulation, lead.wire.size.clone());
        cables.entry(key).or_default().push(lead);
    }
    let rows = cables.into_values().map(|leads| {
        let first = &leads[0].wire;
        let needed: f64 = leads.iter().filter_map(|lead| lead.cut_metres).sum();
        let n_unknown = leads.iter().filter(|lead| lead.cut_metres.is_none()).count();
        let step = if first.square_mm.is_some_and(|size| size > HEAVY) { 0.5 } else { 1.0 };
        // A hundredth of a millimetre of rounding must not cost a metre.
        let buy = ((needed - 1e-5) / step).ceil() * step;
        let unknown = if n_unknown > 0 {
            format!("and {n_unknown} of unknown length; ")
        } else {
            String::new()
        };
        let n = leads.len();
        let leads_of = &leads;
        let says = if n == 1 { "1 lead".to_owned() } else { format!("{n} leads") };
        let is_known = n_unknown < n;
        let what =
            [first.colour.as_str(), if first.colour.is_empty() { "colour not known" } else { "" }];
        let size = if first.size.is_empty() {
            "size not known".to_owned()
        } else {
            format!("{} mm²", first.size)
        };
        ShopRow {
            what: format!("{} {size} {}", what.concat(), first.insulation).trim().to_owned(),
            letters: first.letters.clone(),
            cover: first.cover.clone(),
            needed: if is_known { trimmed(needed, 2) } else { String::new() },
            needed_unit: "m",
            warnings: warned::dangers(leads_of.iter().flat_map(|lead| lead.wire.warnings.clone())),
            buy: if n_unknown == 0 { trimmed(buy, 1) } else { String::new() },
            unit: "m",
            note: if n_unknown == 0 {
                format!("{says}; {} m left over", trimmed(buy - needed, 2))
            } else {
                format!("{says}; {unknown}measure before you buy")
            },
        }
    });
    rows.collect()
}

fn to_fit(car: &Car) -> impl Iterator<Item = (PartId, &Part, &PartType)> {
    let parts = car.parts().iter().filter(|(_, part)| part.standing == Standing::ToFit);
    parts.filter_map(|(id, part)| Some((*id, part, car.type_named(&part.type_name)?.as_ref())))
}

fn is_only(known: &PartType, is_it: impl Fn(&Element) -> bool) -> bool {
    !known.elements.is_empty() && known.elements.iter().all(is_it)
}

fn is_fuse(known: &PartType) -> bool {
    is_only(known, |element| matches!(element, Element::Fuse { .. })) && known.elements.len() == 1
}

/// "Blade fuse, 15 A": what a part is asked for by.
pub(crate) fn kind_words(car: &Car, part: &Part, known: &PartType) -> String {
    let system = car.vehicle().voltage.volts().0;
    // What is made for certain volts is asked for by them.
    let volts = known
        .facts
        .iter()
        .any(|fact| fact.name == "volts")
        .then(|| format!("{} V", trimmed(part.fact(known, "volts").unwrap_or(system), 0)));
    let figures = part.figures(known, car.vehicle().voltage);
    let says =
        [Some(known.title.clone()), volts.filter(|volts| !figures.contains(volts)), Some(figures)];
    let rating = known.facts.iter().find(|fact| fact.title == "Contact rating");
    let rating = rating.and_then(|fact| part.fact(known, &fact.name));
    let rating = rating.map(|amps| format!("contacts of {} A", trimmed(amps, 1)));
    let rating = rating.filter(|_| !says[2].as_ref().is_some_and(|says| says.contains(" A")));
    let says: Vec<String> =
        says.into_iter().chain([rating]).flatten().filter(|says| !says.is_empty()).collect();
    says.join(", ")
}

fn fuses(car: &Car, report: &Report) -> Vec<ShopRow> {
    let mut kinds: BTreeMap<String, Vec<PartId>> = BTreeMap::new();
    for (id, part, known) in to_fit(car).filter(|(.., known)| is_fuse(known)) {
        kinds.entry(kind_words(car, part, known)).or_default().push(id);
    }
    let n_holders: usize = kinds.values().map(Vec::len).sum();
    let fuses = kinds.into_iter().map(|(what, ids)| ShopRow {
        warnings: against(report, &ids),
        ..row(what, ids.len().to_string(), (ids.len() + SPARE_FUSES).to_string(), "pieces")
    });
    let holders = (n_holders > 0).then(|| {
        row(
            "holder for one fuse of its kind, with cap and tabs for the ends listed above, not with leads of its own".to_owned(),
            n_holders.to_string(),
            n_holders.to_string(),
            "pieces",
        )
    });
    fuses.chain(holders).collect()
}

/// Devices, with the labels of those that they become.
fn parts(car: &Car, report: &Report) -> Vec<ShopRow> {
    let mut kinds: BTreeMap<(String, bool), Vec<(PartId, String)>> = BTreeMap::new();
    for (id, part, known) in to_fit(car) {
        let is_hardware = is_only(known, |element| {
            matches!(element, Element::Earth { .. } | Element::Joined { .. })
        });
        if !is_hardware && !is_fuse(known) {
            let key = (kind_words(car, part, known), must_suit_plus(car, part, known));
            kinds.entry(key).or_default().push((id, part.label.clone()));
        }
    }
    let rows = kinds.into_iter().map(|((what, must_suit_plus), mut which)| {
        which.sort_by(|a, b| words::by_count(&a.1, &b.1));
        let n = which.len().to_string();
        let (ids, labels): (Vec<PartId>, Vec<String>) = which.into_iter().unzip();
        let earth = if must_suit_plus { "; must suit positive earth" } else { "" };
        ShopRow {
            note: labels.join(", ") + earth,
            warnings: against(report, &ids),
            ..row(what, n.clone(), n, "pieces")
        }
    });
    rows.collect()
}

fn against(report: &Report, ids: &[PartId]) -> Vec<Warning> {
    warned::dangers(ids.iter().flat_map(|id| warned::of_part(report, *id)))
}

/// Whether it may hold what works one way round only, in a car whose body is plus, and nobody has read on it that it suits.
fn must_suit_plus(car: &Car, part: &Part, known: &PartType) -> bool {
    let mut asked = PartSeen::asked_of(known, car.vehicle()).into_iter();
    car.vehicle().earth == EarthPolarity::Positive
        && asked.any(|question| question.key == "made-for")
        && part.seen.made_for.is_none()
}

fn sundries(car: &Car, leads: &[LeadRow]) -> Vec<ShopRow> {
    if leads.is_empty() {
        return Vec::new();
    }
    let metres: f64 = leads.iter().filter_map(|lead| lead.wire.metres).sum();
    let counted = |n: f64| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a count, never negative"
        )]
        let n = n.ceil() as usize;
        n.to_string()
    };
    let mut rows = vec![
        row(
            "cable clips or ties".to_owned(),
            counted(metres / CLIP_EVERY),
            counted(metres / CLIP_EVERY * 1.1),
            "pieces",
        ),
        ShopRow {
            needed_unit: "m",
            note: format!("a roll wraps some {} m of lead", trimmed(TAPE_COVERS, 0)),
            ..row(
                "loom tape, 19 mm".to_owned(),
                trimmed(metres, 1),
                counted(metres / TAPE_COVERS),
                "rolls",
            )
        },
        ShopRow {
            note: "one for each hole that a lead goes through: count them".to_owned(),
            ..row("grommets".to_owned(), String::new(), String::new(), "pieces")
        },
        ShopRow {
            note: "over edges, and where leads lie together in the engine bay: measure".to_owned(),
            ..row("sleeving".to_owned(), String::new(), String::new(), "m")
        },
        row("terminal grease".to_owned(), "1".to_owned(), "1".to_owned(), "tube"),
    ];
    rows.extend(earth_bolts(car, leads));
    rows
}

/// A bolt for each new earth, of the size of the rings on it.
fn earth_bolts(car: &Car, leads: &[LeadRow]) -> Vec<ShopRow> {
    let earths = to_fit(car)
        .filter(|(.., known)| is_only(known, |element| matches!(element, Element::Earth { .. })));
    let mut by_size: BTreeMap<String, usize> = BTreeMap::new();
    for (_, part, _) in earths {
        let ends = leads.iter().flat_map(|lead| [&lead.wire.from, &lead.wire.to]);
        let rings = ends.filter(|end| end.part == part.label).filter_map(|end| end.kind);
        let sizes = rings.filter_map(|kind| kind.words().strip_suffix(" ring"));
        let size = sizes.max_by(|a, b| words::by_count(a, b)).unwrap_or_default();
        *by_size
            .entry(format!("{size} bolt, nut and two toothed washers for an earth"))
            .or_default() += 1;
    }
    let sets = by_size.into_iter();
    sets.map(|(what, n)| row(what.trim().to_owned(), n.to_string(), n.to_string(), "sets"))
        .collect()
}
