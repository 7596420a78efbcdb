//! `survey --touches`: what becomes of each wire if it touches the metal.

use std::io::Write;

use loomwright_circuit::{Car, Version};
use loomwright_electrics::{
    Exploration, Network, Outcome, Prospect, Touch, Verdict, WireStudy, protection_study,
};
use loomwright_units::with_decimals;
use serde_json::{Map, Value, json};

use super::findings::moves_json;
use super::lines::write_wrapped;
use super::measure::tidy;
use crate::words::trouble;

/// The study of every wire.
pub(crate) fn study(network: &Network, exploration: &Exploration) -> Vec<WireStudy> {
    protection_study(network, exploration, &mut || true).map_or_else(Vec::new, |(study, _)| study)
}

pub(crate) fn json_of(car: &Car, exploration: &Exploration, study: &[WireStudy]) -> Value {
    let wires = study.iter().filter_map(|wire| {
        let touches: Vec<Value> =
            wire.touches.iter().map(|touch| touch_json(car, exploration, touch)).collect();
        let verdict = wire.verdict().map(word);
        let row = json!({ "verdict": verdict, "touches": touches });
        Some((car.wire(wire.wire)?.label.clone(), row))
    });
    Value::Object(wires.collect::<Map<_, _>>())
}

fn touch_json(car: &Car, exploration: &Exploration, touch: &Touch) -> Value {
    let prospect = |at: Prospect| {
        json!({
            "amps": tidy(at.amps.0),
            "share": at.share,
            "moves": moves_json(&exploration.moves_to(at.visit)),
        })
    };
    let worst = &touch.worst;
    let opens: Vec<String> = worst.devices.iter().map(|fuse| trouble::fuse(car, fuse)).collect();
    json!({
        "contact_ohms": touch.contact.0,
        "least": prospect(touch.least),
        "greatest": prospect(touch.greatest),
        "worst": {
            "verdict": worst.verdict.map(word),
            "at": prospect(worst.at),
            "opens": opens,
            "clears_seconds": worst.clears.map(|times| times.map(|time| tidy(time.0))),
            "celsius": worst.hottest.map(|celsius| tidy(celsius.0)),
            "burns_after_seconds": worst.burns_after.map(|time| tidy(time.0)),
            "contact_watts": tidy(worst.contact_watts.0),
        },
    })
}

fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Safe => "safe",
        Verdict::Damaged => "damaged",
        Verdict::Burns => "burns",
    }
}

pub(crate) fn write_text(
    car: &Car,
    exploration: &Exploration,
    study: &[WireStudy],
    out: &mut dyn Write,
) -> std::io::Result<()> {
    let metal = trouble::metal(car);
    writeln!(out, "\nWhat becomes of a wire that chafes through and touches {metal}")?;
    write_wrapped(
        out,
        "",
        "Contacts tried: hard, 0.15 and 0.3 ohm (a bare strand on painted or dirty metal), at every \
         point of the wire. Least and greatest current at the moment of touch; the rest is of the \
         worst touch.",
    )?;
    if !Network::of(car, Version::After).metal_is_earthed() {
        return write_wrapped(
            out,
            "",
            &format!(
                "Not computed: in this drawing nothing joins the battery's earthed post to {metal}, \
                 so no current would flow. In a car it is joined: draw that lead, or the earth \
                 point at the battery."
            ),
        );
    }
    let mut order: Vec<&WireStudy> = study.iter().filter(|wire| !wire.touches.is_empty()).collect();
    // The worst first, those of one kind in the order of the wires.
    order.sort_by_key(|wire| std::cmp::Reverse(wire.verdict()));
    for wire in order {
        write_wire(car, exploration, wire, out)?;
    }
    let never = study.iter().filter(|wire| wire.touches.is_empty());
    let never: Vec<&str> =
        never.filter_map(|wire| Some(car.wire(wire.wire)?.label.as_str())).collect();
    writeln!(out)?;
    if !never.is_empty() {
        write_wrapped(out, "Never live, so a touch does nothing: ", &never.join(", "))?;
    }
    write_wrapped(
        out,
        "",
        "Disconnect the battery before you work on any of these wires. For planning only: this is an \
         estimate, not an approval.",
    )
}

fn write_wire(
    car: &Car,
    exploration: &Exploration,
    study: &WireStudy,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    let size = car.wire(study.wire).and_then(|wire| wire.size);
    let size = size.map_or_else(|| "no size".to_owned(), |size| size.to_string());
    let verdict = trouble::verdict(study.verdict());
    writeln!(out)?;
    write_wrapped(out, "", &format!("{}, {size}: {verdict}", trouble::wire(car, study.wire)))?;
    writeln!(out, "  contact      least  greatest  gets to  at the place  what opens")?;
    for touch in &study.touches {
        let contact = trouble::contact(touch);
        let worst = &touch.worst;
        let figures = format!(
            "  {contact:8}  {:>7} A  {:>6} A  {:>7}  {:>10.0} W  ",
            with_decimals(touch.least.amps.0, 1),
            with_decimals(touch.greatest.amps.0, 1),
            trouble::warmth(worst),
            worst.contact_watts.0
        );
        write_wrapped(out, &figures, &trouble::opens(car, worst))?;
    }
    for caution in trouble::cautions(study) {
        write_wrapped(out, "  ", &caution)?;
    }
    let worst = study.touches.iter().max_by(|a, b| order(&a.worst).total_cmp(&order(&b.worst)));
    if let Some(worst) = worst {
        let moves = crate::words::moves(&exploration.moves_to(worst.worst.at.visit));
        write_wrapped(out, "  worst when: ", &moves)?;
    }
    Ok(())
}

/// How bad an outcome is, for the choice of the one that is shown.
fn order(outcome: &Outcome) -> f64 {
    outcome.hottest.map_or(f64::INFINITY, |celsius| celsius.0)
}
