//! Steps of making a part type, one by one, and thrown at random.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, Edit, Library, PartType, SystemVoltage, load_parts, save_parts};
use loomwright_drawing::{LivePart, Prim, symbol_alone};

use crate::texts::PartWords;

use super::{Doc, Kind, cycled, faults, group_of, marked, rows_of, tables, tried};

/// A switch with three terminals.
fn switch() -> Doc {
    Doc::default().with(|doc| {
        doc.row.title = "Fog lamp switch".to_owned();
        doc.add_terminal();
        doc.add_element(Kind::Contacts);
    })
}

fn mark(doc: &Doc, position: usize, terminal: &str, group: Option<usize>) -> Doc {
    doc.with(|doc| marked(&mut doc.row, (0, position), terminal, group))
}

#[test]
fn name_and_label_follow_the_title_until_somebody_writes_them() {
    let doc = switch();
    assert_eq!((&*doc.row.name, &*doc.row.stem), ("fog-lamp-switch", "Fog lamp switch"));
    let named = doc.with(|doc| doc.row.name = "mine".to_owned());
    let named = named.with(|doc| doc.row.title = "Other, pull-out".to_owned());
    assert_eq!((&*named.row.name, &*named.row.stem), ("mine", "Other"));
}

#[test]
fn a_cell_goes_through_the_groups_of_its_row_and_one_more() {
    let doc = mark(&mark(&switch(), 1, "1", Some(0)), 1, "2", Some(0));
    let row = |doc: &Doc| rows_of(&doc.row, 0).remove(1);
    assert_eq!(cycled(&row(&doc), "3"), Some(0));
    let doc = mark(&doc, 1, "3", Some(0));
    assert_eq!(cycled(&row(&doc), "3"), Some(1));
    let doc = mark(&doc, 1, "3", Some(1));
    assert_eq!((group_of(&row(&doc), "3"), cycled(&row(&doc), "3")), (Some(1), None));
    let doc = mark(&doc, 1, "3", None);
    assert_eq!(row(&doc).groups, [["1", "2"]]);
}

#[test]
fn a_terminal_keeps_what_stands_at_it_under_another_name() {
    let doc = mark(&mark(&switch(), 1, "1", Some(0)), 1, "2", Some(0));
    let doc = doc.with(|doc| doc.row.behind = vec!["1 .".to_owned(), ". 2".to_owned()]);
    let doc = doc.with(|doc| doc.rename_terminal(0, "30"));
    assert_eq!(doc.row.behind, ["30 .", ". 2"]);
    assert_eq!(rows_of(&doc.row, 0)[1].groups, [["30", "2"]]);
    let doc = doc.with(|doc| doc.rename_position(0, 1, "lit"));
    assert_eq!(rows_of(&doc.row, 0)[1].groups, [["30", "2"]]);
    assert_eq!(faults(&doc, true, |_| false), []);
    let doc = doc.with(|doc| doc.drop_terminal(0));
    assert_eq!(doc.row.behind, [". .", ". 2"], "its place is a gap");
    assert_eq!(rows_of(&doc.row, 0)[1].groups, [["2"]]);
    assert!(!faults(&doc, true, |_| false).is_empty(), "a contact that joins one terminal");
}

#[test]
fn the_symbol_follows_until_somebody_draws_on_it() {
    let doc = switch();
    let more = mark(&mark(&doc, 1, "1", Some(0)), 1, "2", Some(0));
    assert_ne!(more.row.outline, doc.row.outline, "the table is drawn");
    let drawn = more.with(|doc| drop(doc.row.outline.pop()));
    let kept = drawn.with(|doc| doc.add_element(Kind::Lamp));
    assert_eq!(kept.row.outline, drawn.row.outline);
    assert_eq!(kept.row.glows.len(), 1, "its light still shows somewhere");
}

#[test]
fn the_symbol_names_a_position_by_its_new_name() {
    let letters = |doc: &Doc| -> Vec<String> {
        let text = doc.row.outline.iter().filter_map(|stroke| match &stroke.draw {
            loomwright_circuit::part_type::Shape::Text { text, .. } => Some(text.clone()),
            _ => None,
        });
        text.collect()
    };
    let doc = mark(&mark(&switch(), 1, "1", Some(0)), 1, "2", Some(0));
    assert_eq!(letters(&doc), ["off", "on"]);
    let renamed = doc.with(|doc| doc.rename_position(0, 1, "front and rear"));
    assert_eq!(letters(&renamed), ["off", "front and rear"]);
    let more = renamed.with(|doc| doc.add_position(0));
    assert_eq!(letters(&more).len(), 3, "the program goes on drawing it");
    let drawn = doc.with(|doc| drop(doc.row.outline.remove(0)));
    let renamed = drawn.with(|doc| doc.rename_position(0, 1, "lit"));
    assert_eq!(letters(&renamed), ["off", "lit"], "and so in what somebody has drawn");
}

#[test]
fn terminals_with_nothing_between_are_told() {
    let doc = Doc::default();
    assert_eq!(doc.idle_terminals(), ["1", "2"]);
    let doc = switch().with(|doc| doc.add_element(Kind::Lamp));
    assert_eq!(doc.idle_terminals(), ["3"]);
}

#[test]
fn what_goes_takes_its_figures_and_its_control_along() {
    let doc = switch().with(|doc| doc.add_element(Kind::Lamp));
    assert_eq!(doc.row.shows, "{watts} W");
    let doc = doc.with(|doc| doc.drop_element(0)).with(|doc| doc.drop_element(0));
    assert_eq!((doc.row.facts.len(), doc.row.controls.len()), (0, 0));
    assert_eq!(doc.row.shows, "");
}

#[test]
fn the_bench_reads_what_ohms_law_says() {
    let doc = Doc::default().with(|doc| {
        doc.row.title = "Ballast".to_owned();
        doc.add_terminal();
        doc.add_element(Kind::Resistor);
        doc.set_end(0, 1, "2");
        doc.add_element(Kind::Resistor);
        doc.set_end(1, 0, "2");
        doc.set_end(1, 1, "3");
    });
    let bench = tried(&doc.row, SystemVoltage::Twelve, &super::Set::new(), [0, 2]);
    // Two of 1.5 Ω in series: their sum.
    let between = bench.between.expect("a reading");
    assert!((between - 3.0).abs() < 0.01, "{between}");
    assert!(bench.joined.is_empty());
    assert_eq!(bench.reads.len(), 3);
}

/// A box with two relays that share a feed and an earth.
fn two_relays() -> Doc {
    Doc::default().with(|doc| {
        doc.row.title = "Relay box".to_owned();
        ["30", "L", "La", "R", "Ra", "31"].iter().enumerate().for_each(|(idx, name)| {
            while doc.row.terminals.len() <= idx {
                doc.add_terminal();
            }
            doc.rename_terminal(idx, name);
        });
        for (trigger, out) in [("L", "La"), ("R", "Ra")] {
            doc.add_element(Kind::Relay);
            let Some(Element::Relay { coil, at_rest, pulled_in, .. }) = doc.row.elements.last_mut()
            else {
                panic!("a relay");
            };
            *coil = [trigger.to_owned(), "31".to_owned()];
            at_rest.clear();
            *pulled_in = vec![vec!["30".to_owned(), out.to_owned()]];
        }
    })
}

/// How far down the symbol bars of closed contacts stand, with one relay of the bench pulled in.
fn bars(row: &PartType, relay: &str) -> Vec<f64> {
    let set = [(relay.to_owned(), PartWords::pulled_in().to_owned())].into();
    let bench = tried(row, SystemVoltage::Twelve, &set, [0, 2]);
    assert_eq!(bench.relays_in.len(), 1, "{relay}");
    let live = LivePart { relays_in: bench.relays_in, ..LivePart::default() };
    let prims = symbol_alone(row, Some(&live));
    let heavy = prims.iter().filter_map(|prim| match prim {
        Prim::Line { points, width, .. } if *width > 0.6 => Some(points[0].y),
        _ => None,
    });
    heavy.collect()
}

#[test]
fn each_relay_of_a_box_moves_its_own_contacts_on_the_bench() {
    let doc = two_relays();
    assert_eq!(faults(&doc, true, |_| false), []);
    let [first, second] = ["relay 1", "relay 2"].map(|relay| bars(&doc.row, relay));
    assert_eq!((first.len(), second.len()), (1, 1), "one contact is closed, not both");
    assert!(first[0] < second[0], "the first stands above the second");
}

#[test]
fn drawn_contacts_stay_with_their_relay() {
    let drawn = two_relays().with(|doc| drop(doc.row.outline.remove(0)));
    let before = bars(&drawn.row, "relay 2");
    let renamed = drawn.with(|doc| doc.rename_terminal(3, "49"));
    assert_eq!(bars(&renamed.row, "relay 2"), before, "under the terminal's new name");
    assert_eq!(faults(&renamed, true, |_| false), []);
    let alone = renamed.with(|doc| doc.drop_element(0));
    let complaints = loomwright_circuit::type_complaints(&alone.row);
    assert!(
        complaints.iter().all(|(_, error)| !error.to_string().contains("no relay")),
        "{complaints:?}"
    );
    let mut stray = alone.row;
    stray.elements.clear();
    let says = loomwright_circuit::type_complaints(&stray);
    assert!(
        says.iter()
            .any(|(_, it)| it.to_string().contains("no relay with its coil at '49' and '31'")),
        "{says:?}"
    );
}

#[test]
fn the_bench_tells_a_diode_from_its_other_way_round() {
    let doc = Doc::default().with(|doc| {
        doc.row.title = "Blocker".to_owned();
        doc.add_element(Kind::Diode);
    });
    let read = |probes| tried(&doc.row, SystemVoltage::Twelve, &super::Set::new(), probes).between;
    assert!(read([0, 1]).is_some());
    assert_eq!(read([1, 0]), None);
}

#[test]
fn every_type_of_the_shelf_can_be_begun_with_and_finds_no_fault() {
    for row in Library::standard().iter() {
        let doc = Doc::like(row);
        let found = faults(&doc, true, |_| false);
        // Two controls on one part have no names of their own there.
        assert_eq!(found, [], "{}", row.name);
    }
}

/// Steps taken by a fixed sequence of numbers, so that a failure comes again.
struct Dice(u64);

impl Dice {
    /// # Source
    /// Marsaglia, Xorshift RNGs, Journal of Statistical Software 8 (14), 2003: the triple 13, 7, 17.
    fn next(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % below.max(1) as u64).unwrap_or(0)
    }
}

const NAMES: [&str; 8] = ["30", "56a", "", "a b", "1", "L/R", "+", "ein sehr langer Name"];

fn random_step(doc: &mut Doc, dice: &mut Dice) {
    let (n_terminals, n_elements) = (doc.row.terminals.len(), doc.row.elements.len());
    let (terminal, element) = (dice.next(n_terminals + 1), dice.next(n_elements + 1));
    let name = NAMES[dice.next(NAMES.len())];
    let control = dice.next(doc.row.controls.len() + 1);
    match dice.next(14) {
        0 => doc.row.title = NAMES[dice.next(NAMES.len())].to_owned(),
        1 | 2 => doc.add_terminal(),
        3 => doc.drop_terminal(terminal),
        4 => doc.rename_terminal(terminal, name),
        5 | 6 => doc.add_element(Kind::ALL[dice.next(Kind::ALL.len())]),
        7 => doc.drop_element(element),
        8 => doc.set_end(element, dice.next(3), name),
        9 => doc.add_position(control),
        10 => doc.drop_position(control, dice.next(4)),
        11 => doc.rename_position(control, dice.next(4), name),
        12 => doc.shift_terminal(terminal, true),
        _ => {
            let at = (element, dice.next(3));
            let terminal = doc.row.terminals.get(terminal).map(|it| it.name.clone());
            let group = dice.next(4).checked_sub(1);
            marked(&mut doc.row, at, &terminal.unwrap_or_default(), group);
        }
    }
}

#[test]
fn whatever_is_made_fits_a_car_or_is_refused_with_a_sentence() {
    let (mut n_sound, mut n_refused) = (0, 0);
    for seed in 1..=300_u64 {
        let mut dice = Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15));
        let mut doc = Doc::default().with(|doc| doc.row.title = "Thing".to_owned());
        for _ in 0..dice.next(14) {
            doc = doc.with(|doc| random_step(doc, &mut dice));
        }
        let found = faults(&doc, true, |_| false);
        let row = std::sync::Arc::new(doc.finished());
        let planned = Car::default().plan(Edit::SetOwnType(std::sync::Arc::clone(&row)));
        if found.is_empty() {
            n_sound += 1;
            assert!(planned.is_ok(), "seed {seed}: {planned:?}");
            let read = load_parts(&save_parts([&*row])).expect("what is sound is read back");
            assert_eq!(read[&row.name].elements, row.elements, "seed {seed}");
            let bench = tried(&row, SystemVoltage::Twelve, &super::Set::new(), [0, 1]);
            assert!(bench.is_tried, "seed {seed}");
        } else {
            n_refused += 1;
            let is_sentence = |says: &str| says.chars().next().is_some_and(char::is_uppercase);
            for fault in found {
                let says = &fault.says;
                assert!(
                    says.lines().count() == 1 && (is_sentence(says) || says.starts_with('“')),
                    "{says}"
                );
            }
        }
        for element in tables(&doc.row) {
            assert!(matches!(
                doc.row.elements[element],
                Element::Contacts { .. } | Element::Relay { .. }
            ));
        }
    }
    assert!(n_sound > 15 && n_refused > 15, "{n_sound} sound, {n_refused} refused");
}
