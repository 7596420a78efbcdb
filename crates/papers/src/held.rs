//! Leads of the alteration that lead nowhere: an end of theirs is on a part that comes out, or on none. Nobody is told to
//! fit them.

use loomwright_circuit::seen::Cover;
use loomwright_circuit::{Car, End, Standing, Wire};
use serde::Serialize;

use crate::rows::{self, WireRow};
use crate::words;

/// A lead that is not fitted as it is drawn.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct HeldRow {
    pub(crate) number: String,
    /// "it ends on 30 of Old relay, which comes out".
    pub(crate) because: String,
}

/// Every lead that is not fitted as it is drawn, as people count.
pub(crate) fn held(car: &Car) -> Vec<HeldRow> {
    let held = leads_held(car).into_iter();
    held.map(|row| HeldRow { number: row.number, because: row.held }).collect()
}

/// The same with all that is known of them.
pub(crate) fn leads_held(car: &Car) -> Vec<WireRow> {
    rows::wires(car).into_iter().filter(|row| !row.held.is_empty()).collect()
}

/// Why a lead is not fitted as it is drawn; nothing where each of its ends has a part that stays, or is insulated.
pub(crate) fn why_held(car: &Car, wire: &Wire) -> Option<String> {
    let is_new = wire.standing == Standing::ToFit;
    let amiss: Vec<String> =
        wire.ends().into_iter().filter(|_| is_new).filter_map(|end| amiss(car, end)).collect();
    (!amiss.is_empty()).then(|| format!("it ends {}", words::listed(&amiss, amiss.len())))
}

/// What is done with the ends of leads that stay while the part there comes out, a sentence each.
pub(crate) fn left_bare(car: &Car) -> Vec<String> {
    let stay = car.wires().values().filter(|wire| wire.standing == Standing::AsFound);
    let mut rows: Vec<(&str, String)> = Vec::new();
    for wire in stay {
        let gone = wire.ends().into_iter().filter(|end| comes_out(car, end));
        rows.extend(gone.map(|end| {
            let place = rows::end_row(car, end).words();
            let says = format!(
                "{} stays in the car, and its end comes off {place}: insulate that end at once, label it, and tie it \
                 where it touches nothing.",
                wire.label
            );
            (wire.label.as_str(), says)
        }));
    }
    rows.sort_by(|a, b| words::by_count(a.0, b.0));
    rows.into_iter().map(|(_, says)| says).collect()
}

fn comes_out(car: &Car, end: &End) -> bool {
    let part = end.at.part().and_then(|id| car.part(id));
    part.is_some_and(|part| part.standing == Standing::ToRemove)
}

fn amiss(car: &Car, end: &End) -> Option<String> {
    let Some(id) = end.at.part() else {
        let is_covered = matches!(end.seen.cover, Some(Cover::Insulated | Cover::Sealed));
        return (!is_covered).then(|| "in the air, its end bare".to_owned());
    };
    if car.part(id).is_none() {
        return Some("on a part that is not there".to_owned());
    }
    comes_out(car, end).then(|| format!("on {}, which comes out", rows::end_row(car, end).words()))
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::{Anchor, Edit, Point};
    use loomwright_rules::Report;

    use super::*;
    use crate::contents::Contents;
    use crate::fitting::Stage;

    /// The lamp's relay comes out; a new lead goes to it all the same, and an old one stays that was on it.
    const SKETCH: &str = "car 12 V negative earth
battery B1 12 V 48 Ah
earth E1 body
earth E2 body to fit
fuse F1 blade 15 A to fit
relay K1 12 V to remove
lamp H1 55 W to fit
wire W1 B1.- E1 35 mm2 0.3 m black
wire W2 B1.+ F1.1 3 mm2 0.3 m brown to fit
wire W3 F1.2 K1.30 3 mm2 0.5 m purple to fit
wire W4 B1.+ K1.87 2 mm2 1 m brown
wire W5 F1.2 H1.1 2 mm2 1 m purple to fit
wire W6 H1.2 E2 2 mm2 0.3 m black to fit
";

    fn car(sketch: &str) -> Car {
        loomwright_sketch::parse(sketch).unwrap_or_else(|errors| panic!("{errors}"))
    }

    fn stages(car: &Car) -> Vec<Stage> {
        Contents::of(car, &Report::default()).fitting
    }

    #[test]
    fn the_order_stops_at_a_lead_to_what_comes_out_and_nothing_is_switched_on() {
        let contents = Contents::of(&car(SKETCH), &Report::default());
        let stages = &contents.fitting;
        let titles: Vec<&str> = stages.iter().map(|stage| stage.title.as_str()).collect();
        let stop = "Stop: the order ends here";
        assert_eq!(titles, ["Battery off", "Take out what goes", "New parts", "Earths", stop]);
        let is_named = |stage: &Stage| stage.leads.iter().any(|row| row.number == "W3");
        assert!(stages[..4].iter().all(|stage| !is_named(stage)));
        assert_eq!(stages[4].leads[0].held, "it ends on 30 of K1, which comes out");
        assert_eq!(contents.held.len(), 1);
        // Nor is it cut or labelled.
        assert!(contents.leads.iter().all(|row| row.wire.number != "W3"));
        let labels = || contents.labels.iter().flat_map(|group| &group.labels);
        assert!(labels().count() > 0 && labels().all(|row| row.number != "W3"));
        let read = || contents.tests.iter().flat_map(|group| &group.checks);
        assert!(
            read().all(|row| !row.red.starts_with("W3"))
                && read().any(|row| row.red.starts_with("W5"))
        );
        // What stays and was on it is made safe where it comes off.
        let says = "W4 stays in the car, and its end comes off 87 of K1: insulate that end at once";
        assert!(stages[1].does.contains(says), "{}", stages[1].does);
    }

    #[test]
    fn where_the_part_stays_the_order_goes_on() {
        let stays = stages(&car(&SKETCH.replace("K1 12 V to remove", "K1 12 V")));
        assert!(stays.iter().any(|stage| stage.title.starts_with("First power-up")));
        assert!(stays.iter().flat_map(|stage| &stage.leads).all(|row| row.held.is_empty()));
    }

    #[test]
    fn a_lead_into_the_air_stops_the_order_unless_its_end_is_insulated() {
        let mut car = car(&SKETCH.replace("K1 12 V to remove", "K1 12 V"));
        let (id, wire) = car.wires().iter().find(|(_, wire)| wire.label == "W3").unwrap();
        let (id, mut wire) = (*id, wire.clone());
        let sheet = *car.sheets().keys().next().unwrap();
        wire.to.at = Anchor::Loose { sheet, at: Point::default() };
        let mut last = |wire: &Wire| {
            let patch = car.plan(Edit::SetWire(id, wire.clone())).unwrap();
            car.apply(&patch);
            stages(&car).last().unwrap().title.clone()
        };
        assert_eq!(last(&wire), "Stop: the order ends here");
        wire.to.seen.cover = Some(Cover::Insulated);
        assert_eq!(last(&wire), "By touch, after ten minutes");
    }
}
