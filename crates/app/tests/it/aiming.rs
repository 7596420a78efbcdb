//! What a click means: a part by its body, a wire by its flag and by its own middle.

use egui::Modifiers;
use loomwright_app::action::Action;
use loomwright_circuit::{Car, PartId, SheetId, Standing, Wire, WireId};

use crate::window::Window;

fn turn_to(window: &mut Window, sheet: SheetId) {
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, Action::Sheet(sheet));
    window.run();
}

/// The fuses of a car, by sheet.
fn fuses(car: &Car) -> Vec<(SheetId, PartId, String)> {
    let is_fuse = |id: &PartId| car.type_of(*id).is_some_and(|kind| kind.name.contains("fuse"));
    let parts = car.parts().iter().filter(|(id, _)| is_fuse(id));
    parts.map(|(id, part)| (part.sheet, *id, part.label.clone())).collect()
}

#[test]
fn a_click_in_the_middle_of_a_fuse_means_the_fuse() {
    for car in [crate::cars::heron_van(), crate::cars::roadster()] {
        let fuses = fuses(&car);
        assert!(fuses.len() >= 2, "{}", car.vehicle().name);
        let mut window = Window::trying(car);
        for (sheet, id, label) in fuses {
            turn_to(&mut window, sheet);
            window.click(&format!("Part {label}"));
            assert_eq!(window.app().state.selection.only_part(), Some(id), "{label}");
        }
    }
}

#[test]
fn a_click_on_the_flag_of_a_wire_means_that_wire() {
    let mut window = Window::trying(crate::cars::heron_van());
    let sheets: Vec<SheetId> = window.car().sheets().keys().copied().collect();
    let mut n_wires = 0;
    for sheet in sheets {
        turn_to(&mut window, sheet);
        let car = window.car();
        let is_here = |id: WireId| {
            let ends = car.wire(id).into_iter().flat_map(|wire| wire.ends());
            ends.into_iter()
                .all(|end| car.pos_on_sheet(&end.at).is_some_and(|(known, _)| known == sheet))
        };
        let is_shown = |wire: &Wire| wire.standing != Standing::ToRemove;
        let wires = car.wires().iter().filter(|(id, wire)| is_here(**id) && is_shown(wire));
        let wires: Vec<_> = wires.map(|(id, wire)| (*id, wire.label.clone())).collect();
        for (id, label) in wires {
            window.click(&format!("Wire {label}"));
            assert_eq!(window.app().state.selection.only_wire(), Some(id), "{label}");
            n_wires += 1;
        }
    }
    assert!(n_wires > 30, "{n_wires}");
}

#[test]
fn a_click_in_the_middle_of_a_short_wire_means_the_wire_however_far_off_it_is_seen() {
    let mut window = Window::trying(crate::cars::learner());
    let wire = window.wire("W2");
    let line = window.line(wire);
    let longest =
        line.windows(2).max_by(|a, b| a[0].distance(a[1]).total_cmp(&b[0].distance(b[1])));
    let [from, to] = *longest.expect("it has a line") else { panic!("of two ends") };
    let middle = (from + to) * 0.5;
    let mut camera = window.app().state.camera();
    // So far off that its ends are in reach of its middle.
    camera.scale = 12.0 / from.distance(to);
    camera.centre = middle;
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, Action::Camera(camera));
    window.run();
    let at = window.at(middle);
    window.click_at(at, Modifiers::NONE);
    assert_eq!(window.app().state.selection.only_wire(), Some(wire));
}
