//! What each edit does, and what it refuses.

use loomwright_circuit::{
    Anchor, Box2, Car, Claim, Edit, EditError, End, Expectation, Moment, Point, Promise, Sheet,
    SheetId, Standing, Turn, Wire, WireColour, load, save,
};
use loomwright_units::{Metres, WireArea};

use crate::support::{edit, empty_car, part, place, refused, small_car};

fn promise(control: &str, part: loomwright_circuit::PartId) -> Promise {
    Promise {
        without: Vec::new(),
        when: vec![Moment { control: control.into(), positions: vec!["on".into()] }],
        then: vec![Claim { part, terminal: None, must: Expectation::Lit }],
    }
}

#[test]
fn empty_labels_are_numbered() {
    let mut car = empty_car();
    for expected in ["Lamp 1", "Lamp 2"] {
        let id = place(&mut car, part("test-lamp", "  ", 0.0, 0.0));
        assert_eq!(car.part(id).expect("lamp").label, expected);
    }
}

#[test]
fn labels_differ_and_hold_no_control_characters() {
    let (car, switch, lamp, _) = small_car();
    let taken = refused(&car, Edit::Place(part("test-lamp", " Lamp 1 ", 0.0, 0.0)));
    assert_eq!(taken, EditError::LabelTaken { what: "part", label: "Lamp 1".into() });
    let renamed = car.part(switch).expect("switch").clone();
    let renamed = loomwright_circuit::Part { label: "Lamp 1".into(), ..renamed };
    assert!(matches!(refused(&car, Edit::SetPart(switch, renamed)), EditError::LabelTaken { .. }));
    let broken = part("test-lamp", "La\nmp", 0.0, 0.0);
    assert!(refused(&car, Edit::Place(broken)).to_string().contains("one line"));
    // Its own label is no clash.
    let same = car.part(lamp).expect("lamp").clone();
    assert!(car.plan(Edit::SetPart(lamp, same)).expect("fine").is_empty());
}

#[test]
fn figures_outside_their_range_are_refused() {
    let (car, _, lamp, _) = small_car();
    for watts in [0.0, 151.0, -1.0, f64::NAN, f64::INFINITY] {
        let mut row = car.part(lamp).expect("lamp").clone();
        row.facts.insert("watts".into(), watts);
        let error = refused(&car, Edit::SetPart(lamp, row));
        assert_eq!(error.to_string(), "Power must be from 0.5 to 150 W");
    }
    let mut row = car.part(lamp).expect("lamp").clone();
    row.facts.insert("weight".into(), 1.0);
    assert!(refused(&car, Edit::SetPart(lamp, row)).to_string().contains("'weight'"));
}

#[test]
fn wires_need_two_terminals_that_exist_and_differ() {
    let (car, switch, lamp, _) = small_car();
    let wire = |from: &str, to: &str| {
        Edit::Run(Wire::new("", End::terminal(switch, from), End::terminal(lamp, to)))
    };
    assert!(car.plan(wire("1", "2")).is_ok());
    assert_eq!(refused(&car, wire("9", "2")).to_string(), "Reading light has no terminal '9'");
    let same = Wire::new("", End::terminal(lamp, "1"), End::terminal(lamp, "1"));
    assert_eq!(refused(&car, Edit::Run(same)), EditError::SameEnds("terminal 1 of Lamp 1".into()));
    assert_eq!(
        refused(&car, Edit::Place(part("carburettor", "", 0.0, 0.0))),
        EditError::UnknownType("carburettor".into())
    );
}

#[test]
fn several_parts_turn_about_their_middle_and_come_home() {
    let mut car = empty_car();
    let a = place(&mut car, part("test-lamp", "A", 0.0, 0.0));
    let b = place(&mut car, part("test-lamp", "B", 27.5, 10.0));
    let home = car.clone();
    edit(&mut car, Edit::Turn(vec![a, b]));
    let [a_at, b_at] = [a, b].map(|id| car.part(id).expect("lamp").place.at);
    assert_eq!(b_at - a_at, Point::new(-10.0, 27.5));
    for at in [a_at, b_at] {
        assert_eq!(at, at.snapped(2.5));
    }
    for _ in 0..3 {
        edit(&mut car, Edit::Turn(vec![a, b]));
    }
    assert_eq!(car, home);
    edit(&mut car, Edit::Mirror(vec![a, b]));
    assert_eq!(car.part(a).expect("lamp").place.at, Point::new(27.5, 0.0));
    edit(&mut car, Edit::Mirror(vec![a, b]));
    assert_eq!(car, home);
}

#[test]
fn a_mirrored_part_is_its_mirror_image_on_the_sheet() {
    let mut car = empty_car();
    let id = place(&mut car, part("test-lamp", "A", 10.0, 10.0));
    for _ in 0..3 {
        edit(&mut car, Edit::Turn(vec![id]));
        let before = car.pos_on_sheet(&Anchor::terminal(id, "1")).expect("terminal").1;
        let mut mirrored = car.clone();
        edit(&mut mirrored, Edit::Mirror(vec![id]));
        let after = mirrored.pos_on_sheet(&Anchor::terminal(id, "1")).expect("terminal").1;
        assert_eq!(after, Point::new(20.0 - before.x, before.y));
    }
    assert_eq!(car.part(id).expect("part").place.turn, Turn::ThreeQuarters);
}

#[test]
fn corners_move_with_both_ends_and_follow_one_that_moves() {
    let (mut car, switch, lamp, wire) = small_car();
    let corners = vec![Point::new(20.0, 35.0), Point::new(30.0, 35.0), Point::new(30.0, 45.0)];
    let drawn = Wire { route: corners.clone(), ..car.wire(wire).expect("wire").clone() };
    edit(&mut car, Edit::SetWire(wire, drawn));
    let by = Point::new(5.0, 2.5);
    edit(&mut car, Edit::Move { parts: vec![switch, lamp], by });
    let moved: Vec<Point> = corners.iter().map(|corner| *corner + by).collect();
    assert_eq!(car.wire(wire).expect("wire").route, moved);
    // Along its first leg the end may slide.
    edit(&mut car, Edit::Move { parts: vec![switch], by: Point::new(0.0, -5.0) });
    assert_eq!(car.wire(wire).expect("wire").route, moved);
    // Across it, its first stretch comes along, and all behind it stays.
    edit(&mut car, Edit::Move { parts: vec![switch], by: Point::new(2.5, 0.0) });
    let mut led = moved;
    led[0].x += 2.5;
    assert_eq!(car.wire(wire).expect("wire").route, led);
    edit(&mut car, Edit::Move { parts: vec![lamp], by: Point::new(-2.5, 10.0) });
    led[2].y += 10.0;
    assert_eq!(car.wire(wire).expect("wire").route, led);
    // Another part that moves changes nothing.
    let other = place(&mut car, part("test-lamp", "", 80.0, 20.0));
    edit(&mut car, Edit::Move { parts: vec![other], by: Point::new(-40.0, 20.0) });
    assert_eq!(car.wire(wire).expect("wire").route, led);
}

#[test]
fn corners_turn_out_of_a_terminal_that_was_moved_past_them() {
    let (mut car, switch, _, wire) = small_car();
    let corners = vec![Point::new(20.0, 35.0), Point::new(30.0, 35.0), Point::new(30.0, 45.0)];
    let drawn = Wire { route: corners, ..car.wire(wire).expect("wire").clone() };
    edit(&mut car, Edit::SetWire(wire, drawn));
    // The switch's lower terminal comes to lie at 32.5 and 40, below the stretch at 35.
    edit(&mut car, Edit::Move { parts: vec![switch], by: Point::new(12.5, 15.0) });
    let route = &car.wire(wire).expect("wire").route;
    let out = [Point::new(32.5, 45.0), Point::new(30.0, 45.0), Point::new(30.0, 45.0)];
    assert_eq!(*route, out);
    // Turned round, it faces up, and so the wire leaves it.
    edit(&mut car, Edit::Turn(vec![switch]));
    edit(&mut car, Edit::Turn(vec![switch]));
    let route = &car.wire(wire).expect("wire").route;
    assert_eq!(route[..2], [Point::new(32.5, 25.0), Point::new(30.0, 25.0)]);
    // With one corner there is no way out: the program routes the wire.
    let one = vec![Point::new(32.5, 45.0)];
    let drawn = Wire { route: one, ..car.wire(wire).expect("wire").clone() };
    edit(&mut car, Edit::SetWire(wire, drawn));
    edit(&mut car, Edit::Move { parts: vec![switch], by: Point::new(2.5, 0.0) });
    assert!(car.wire(wire).expect("wire").route.is_empty());
}

#[test]
fn a_loose_end_that_is_moved_leads_its_corners() {
    let (mut car, switch, ..) = small_car();
    let at = Point::new(60.0, 60.0);
    let loose = |at| End::at(Anchor::Loose { sheet: SheetId(1), at });
    let corners = vec![Point::new(20.0, 40.0), Point::new(60.0, 40.0)];
    let row = Wire { route: corners, ..Wire::new("", End::terminal(switch, "2"), loose(at)) };
    edit(&mut car, Edit::Run(row));
    let id = loomwright_circuit::WireId(car.last_id());
    let mut row = car.wire(id).expect("wire").clone();
    row.to = loose(at + Point::new(5.0, -10.0));
    edit(&mut car, Edit::SetWire(id, row));
    let led = vec![Point::new(20.0, 40.0), Point::new(65.0, 40.0)];
    assert_eq!(car.wire(id).expect("wire").route, led);
}

#[test]
fn erasing_a_part_takes_its_wires_and_claims() {
    let (mut car, switch, lamp, wire) = small_car();
    edit(&mut car, Edit::AddPromise(promise("Reading light", lamp)));
    let full = car.clone();
    let patch = car.plan(Edit::Erase { parts: vec![lamp], wires: vec![] }).expect("erasable");
    car.apply(&patch);
    assert!(car.wire(wire).is_none() && car.part(lamp).is_none() && car.promises().is_empty());
    assert!(car.part(switch).is_some());
    car.apply(&patch.inverse());
    assert_eq!(car, full);
}

#[test]
fn taking_away_marks_what_was_found_and_erases_what_was_to_fit() {
    let (mut car, switch, lamp, wire) = small_car();
    edit(&mut car, Edit::Mark { parts: vec![lamp], wires: vec![], standing: Standing::ToFit });
    edit(&mut car, Edit::TakeAway { parts: vec![lamp, switch], wires: vec![] });
    assert_eq!(car.part(switch).expect("stays").standing, Standing::ToRemove);
    assert!(car.part(lamp).is_none() && car.wire(wire).is_none());
}

#[test]
fn altering_a_wire_as_found_makes_a_pair() {
    let (mut car, _, _, id) = small_car();
    let found = car.wire(id).expect("wire").clone();
    let thicker = Wire { size: Some(WireArea::new(2.5).expect("size")), ..found.clone() };
    edit(&mut car, Edit::AlterWire(id, thicker.clone()));
    assert_eq!(car.wire(id), Some(&Wire { standing: Standing::ToRemove, ..found }));
    let new = car.wires().values().last().expect("the new wire");
    let expected = Wire { standing: Standing::ToFit, label: "W2".into(), ..thicker };
    assert_eq!(*new, expected);
    // Altered again, the new one is simply rewritten, and the old one cannot be.
    let new_id = *car.wires().keys().last().expect("the new wire");
    let longer = Wire { length: Some(Metres(2.0)), ..expected };
    edit(&mut car, Edit::AlterWire(new_id, longer.clone()));
    assert_eq!(car.wires().len(), 2);
    assert!(refused(&car, Edit::AlterWire(id, longer)).to_string().contains("to be removed"));
}

#[test]
fn a_lead_that_stays_has_its_end_moved_and_is_not_cut_anew() {
    let (mut car, _, lamp, id) = small_car();
    let found = car.wire(id).expect("wire").clone();
    let mut moved = Wire { keeps: Some(id), ..found.clone() };
    moved.to = End::terminal(lamp, "2");
    assert_ne!(moved.to.at, found.to.at);
    edit(&mut car, Edit::AlterWire(id, moved));
    let (new_id, new) = car.goes_on_as(id).expect("the same lead");
    let new = new.clone();
    assert_eq!(car.kept_of(&new).map(|(old, _)| old), Some(id));
    // With its end moved once more it is still that lead; of another size it is another.
    let again = Wire { to: found.to, keeps: Some(new_id), ..new.clone() };
    edit(&mut car, Edit::AlterWire(new_id, again));
    assert!(car.goes_on_as(id).is_some());
    let text = String::from_utf8(save(&car)).expect("text");
    assert!(text.contains("\"version\": 4"), "{text}");
    assert_eq!(load(text.as_bytes()).as_ref(), Ok(&car));
    let thicker = Wire { size: Some(WireArea::new(2.5).expect("size")), ..new };
    edit(&mut car, Edit::AlterWire(new_id, thicker));
    assert_eq!(car.goes_on_as(id), None);
}

fn tapped(standing: Standing, tap: Standing) -> loomwright_circuit::Car {
    let (mut car, _, _, id) = small_car();
    let wire = Wire {
        colour: Some(WireColour::read("green/red").expect("colour")),
        length: Some(Metres(1.5)),
        ..car.wire(id).expect("wire").clone()
    };
    edit(&mut car, Edit::SetWire(id, wire));
    edit(&mut car, Edit::Mark { parts: vec![], wires: vec![id], standing });
    edit(
        &mut car,
        Edit::Tap { wire: id, sheet: SheetId(1), at: Point::new(20.0, 35.0), standing: tap },
    );
    car
}

#[test]
fn tapping_a_wire_sets_a_joint_and_inherits_what_is_known() {
    let car = tapped(Standing::AsFound, Standing::AsFound);
    let (joint, row) = car.part_labelled("Joint 1").expect("joint");
    assert_eq!((row.standing, row.place.at), (Standing::AsFound, Point::new(20.0, 35.0)));
    let halves: Vec<&Wire> = car.wires().values().collect();
    assert_eq!(halves.len(), 2);
    assert_eq!(halves[0].to, End::terminal(joint, "1"));
    assert_eq!(halves[1].from, End::terminal(joint, "1"));
    for half in halves {
        assert_eq!(half.colour, WireColour::read("GR").ok());
        assert_eq!((half.length, half.standing), (None, Standing::AsFound));
    }
}

#[test]
fn tapping_for_the_alteration_keeps_the_old_wire_to_remove() {
    let car = tapped(Standing::AsFound, Standing::ToFit);
    let standings: Vec<Standing> = car.wires().values().map(|wire| wire.standing).collect();
    assert_eq!(standings, [Standing::ToRemove, Standing::ToFit, Standing::ToFit]);
    assert_eq!(car.wires().values().next().expect("old").length, Some(Metres(1.5)));
    assert_eq!(car.part_labelled("Joint 1").expect("joint").1.standing, Standing::ToFit);
    let car = tapped(Standing::ToFit, Standing::ToFit);
    assert!(car.wires().values().all(|wire| wire.standing == Standing::ToFit));
    assert_eq!(car.wires().len(), 2);
}

#[test]
fn pasting_gives_new_ids_and_free_labels() {
    let (mut car, switch, lamp, wire) = small_car();
    let clip = car.copy(&[lamp, switch]);
    assert_eq!((clip.parts.len(), clip.wires.len(), clip.own_types.len()), (2, 1, 2));
    let by = Point::new(30.0, 0.0);
    let sheet = SheetId(1);
    let paste = Edit::Paste { clip, sheet, by, standing: Standing::ToFit };
    edit(&mut car, paste.clone());
    let labels: Vec<&str> = car.parts().values().map(|part| part.label.as_str()).collect();
    assert_eq!(labels, ["Reading light", "Lamp 1", "Reading light 2", "Lamp 2"]);
    let new = car.wires().values().last().expect("pasted wire");
    assert_eq!((new.label.as_str(), new.standing), ("W2", Standing::ToFit));
    assert!(new.ends().iter().all(|end| end.at.part().is_some_and(|id| id > lamp)));
    assert!(car.wire(wire).is_some());
    // In a car that lacks the types they come along.
    let mut other = loomwright_circuit::Car::default();
    edit(&mut other, paste);
    assert_eq!(other.own_types().len(), 2);
}

#[test]
fn a_control_renamed_is_renamed_in_promises() {
    let (mut car, switch, lamp, _) = small_car();
    edit(&mut car, Edit::AddPromise(promise("Reading light", lamp)));
    let renamed = loomwright_circuit::Part {
        label: "Map light".into(),
        ..car.part(switch).expect("switch").clone()
    };
    edit(&mut car, Edit::SetPart(switch, renamed));
    let names: Vec<String> = car.controls().into_iter().map(|control| control.name).collect();
    assert_eq!(names, ["Map light"]);
    assert_eq!(car.promises().values().next().expect("promise").when[0].control, "Map light");
}

#[test]
fn the_last_sheet_stays_and_another_goes_with_all_on_it() {
    let (mut car, _, lamp, wire) = small_car();
    assert!(refused(&car, Edit::EraseSheet(SheetId(1))).to_string().contains("last sheet"));
    edit(&mut car, Edit::AddSheet(Sheet { title: "Front".into() }));
    let second = SheetId(car.last_id());
    let mut row = car.part(lamp).expect("lamp").clone();
    row.sheet = second;
    edit(&mut car, Edit::SetPart(lamp, row));
    edit(&mut car, Edit::EraseSheet(second));
    assert!(car.part(lamp).is_none() && car.wire(wire).is_none());
    assert_eq!(car.sheets().len(), 1);
}

#[test]
fn one_edit_can_place_a_part_and_wire_it() {
    let (mut car, switch, ..) = small_car();
    let next = loomwright_circuit::PartId(car.last_id() + 1);
    let wire = Wire::new("", End::terminal(switch, "2"), End::terminal(next, "1"));
    let label = "Second light";
    let both = Edit::All(vec![Edit::Place(part("test-lamp", label, 40.0, 50.0)), Edit::Run(wire)]);
    edit(&mut car, both);
    assert_eq!(car.part_labelled(label).map(|(id, _)| id), Some(next));
    assert_eq!(car.wires().len(), 2);
}

#[test]
fn an_own_type_in_use_cannot_lose_what_is_used() {
    let (car, ..) = small_car();
    let mut row = crate::support::part_type(crate::support::TEST_LAMP);
    row.terminals[0].name = "58".into();
    row.elements.clear();
    let refused = refused(&car, Edit::SetOwnType(std::sync::Arc::new(row)));
    assert_eq!(refused.to_string(), "Lamp 1 has no terminal '1'");
}

#[test]
fn what_is_seen_from_behind_are_terminals_each_in_one_place() {
    let (car, ..) = small_car();
    let seen = |rows: &[&str]| {
        let mut row = crate::support::part_type(crate::support::TEST_LAMP);
        row.behind = rows.iter().map(|row| (*row).to_owned()).collect();
        std::sync::Arc::new(row)
    };
    let mut taken = car.clone();
    edit(&mut taken, Edit::SetOwnType(seen(&[". 1", "2 ."])));
    assert_eq!(taken.own_types()["test-lamp"].behind, [". 1", "2 ."]);
    let unknown = refused(&car, Edit::SetOwnType(seen(&["1 9"])));
    assert_eq!(unknown.to_string(), "the part type has no terminal '9' to be seen from behind");
    let twice = refused(&car, Edit::SetOwnType(seen(&["1", "1"])));
    assert_eq!(twice.to_string(), "the terminal '1' is seen twice from behind");
}

#[test]
fn a_box_around_nothing_is_nothing() {
    assert_eq!(Box2::around([]), None);
    let (mut car, ..) = small_car();
    let same = car.clone();
    edit(&mut car, Edit::Turn(vec![]));
    assert_eq!(car, same);
}

/// The car as it is once an edit was made.
fn after(car: &Car, change: Edit) -> Car {
    let mut car = car.clone();
    edit(&mut car, change);
    car
}

#[test]
fn moving_and_noting_changes_no_wiring_but_a_label_or_a_standing_does() {
    let (car, switch, lamp, wire) = small_car();
    let after = |change: Edit| after(&car, change);
    let moved = after(Edit::Move { parts: vec![switch, lamp], by: Point::new(25.0, 5.0) });
    assert_ne!(moved, car);
    assert!(moved.is_wired_as(&car));
    let row = car.part(lamp).expect("lamp").clone();
    let noted = loomwright_circuit::Part { note: "cracked glass".into(), ..row.clone() };
    assert!(after(Edit::SetPart(lamp, noted)).is_wired_as(&car));
    let renamed = loomwright_circuit::Part { label: "Map lamp".into(), ..row };
    assert!(!after(Edit::SetPart(lamp, renamed)).is_wired_as(&car));
    assert!(!after(Edit::Erase { parts: vec![], wires: vec![wire] }).is_wired_as(&car));
}

#[test]
fn what_a_thing_is_called_coloured_or_brought_by_changes_nothing_that_flows() {
    let (car, switch, lamp, wire) = small_car();
    let after = |change: Edit| after(&car, change);
    let row = car.part(lamp).expect("lamp").clone();
    let renamed = loomwright_circuit::Part { label: "Map lamp".into(), ..row };
    assert!(after(Edit::SetPart(lamp, renamed)).flows_as(&car));
    let lead = car.wire(wire).expect("a wire").clone();
    let white = Some(WireColour::read("white").expect("a colour"));
    let coloured = Wire { colour: white, label: "77".into(), ..lead.clone() };
    assert!(after(Edit::SetWire(wire, coloured)).flows_as(&car));
    let marked = |standing| Edit::Mark { parts: Vec::new(), wires: vec![wire], standing };
    assert!(after(marked(Standing::ToFit)).flows_as(&car));

    // A switch's name is that of its control, by which moves and promises know it.
    let known = car.part(switch).expect("switch").clone();
    let renamed = loomwright_circuit::Part { label: "Map switch".into(), ..known };
    assert!(!after(Edit::SetPart(switch, renamed)).flows_as(&car));
    assert!(!after(marked(Standing::ToRemove)).flows_as(&car));
    let longer = Wire { length: Some(Metres(9.0)), ..lead };
    assert!(!after(Edit::SetWire(wire, longer)).flows_as(&car));
}

#[test]
fn a_part_cut_into_a_wire_stands_between_its_two_pieces() {
    let (mut car, switch, lamp, wire) = small_car();
    let before = car.clone();
    let cut_in = |standing, terminal: &str| {
        let row = loomwright_circuit::Part { standing, ..part("test-switch", "Cut", 20.0, 35.0) };
        Edit::CutIn { wire, part: Box::new(row), ends: ["1".to_owned(), terminal.to_owned()] }
    };
    // A part to fit in an as-found wire: that one is to remove, and its two pieces are to fit.
    edit(&mut car, cut_in(Standing::ToFit, "2"));
    let new = car.part_labelled("Cut").expect("the part").0;
    assert_eq!(car.wire(wire).expect("the old wire").standing, Standing::ToRemove);
    let pieces: Vec<&Wire> =
        car.wires().values().filter(|row| row.standing == Standing::ToFit).collect();
    assert_eq!(pieces.len(), 2);
    assert_eq!(pieces[0].from.at, Anchor::terminal(switch, "2"));
    assert_eq!(pieces[0].to.at, Anchor::terminal(new, "1"));
    assert_eq!(pieces[1].from.at, Anchor::terminal(new, "2"));
    assert_eq!(pieces[1].to.at, Anchor::terminal(lamp, "1"));
    assert!(pieces.iter().all(|row| row.length.is_none()));
    // A correction of the record keeps the wire as its first piece.
    let mut car = before.clone();
    edit(&mut car, cut_in(Standing::AsFound, "2"));
    assert_eq!(car.wires().len(), 2);
    assert_eq!(car.wire(wire).expect("the wire").standing, Standing::AsFound);
    // A terminal that the part has not is refused, and nothing is left behind.
    assert!(matches!(
        refused(&before, cut_in(Standing::ToFit, "9")),
        EditError::Refused(_) | EditError::UnknownTerminal { .. }
    ));
}
