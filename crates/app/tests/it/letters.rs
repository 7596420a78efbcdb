//! Lettering: where its lines end, and what lies behind it.

use egui::epaint::{Shape, TextShape};
use egui::{Key, Modifiers, Rect, vec2};
use loomwright_app::action::Action;
use loomwright_app::state::{Camera, Selection};
use loomwright_drawing::Prim;

use crate::saving::act;
use crate::window::Window;

/// All letters that are painted.
fn painted(window: &Window) -> Vec<TextShape> {
    fn letters(shape: &Shape, found: &mut Vec<TextShape>) {
        match shape {
            Shape::Text(text) => found.push(text.clone()),
            Shape::Vec(shapes) => shapes.iter().for_each(|shape| letters(shape, found)),
            _ => {}
        }
    }
    let mut found = Vec::new();
    for clipped in &window.harness.output().shapes {
        letters(&clipped.shape, &mut found);
    }
    found
}

/// Each line end between a figure and a unit, and how many figures with units were seen.
fn look(window: &Window, parted: &mut Vec<String>) -> usize {
    const UNITS: [&str; 8] = ["A", "V", "W", "Ω", "mm²", "m", "%", "mA"];
    let is_unit = |word: &str| UNITS.contains(&word.trim_end_matches(['.', ',', ';', ':', ')']));
    let mut seen = 0;
    for text in painted(window) {
        let rows: Vec<String> = text.galley.rows.iter().map(|row| row.text()).collect();
        let words: Vec<&str> = rows.iter().flat_map(|row| row.split(['\u{a0}', ' '])).collect();
        let is_figure = |word: &str| word.ends_with(|last: char| last.is_ascii_digit());
        seen += words.windows(2).filter(|pair| is_figure(pair[0]) && is_unit(pair[1])).count();
        for pair in rows.windows(2) {
            let next = pair[1].split([' ', '\u{a0}']).next().unwrap_or_default();
            if is_figure(pair[0].trim_end()) && is_unit(next) {
                parted.push(format!("{} / {}", pair[0], pair[1]));
            }
        }
    }
    seen
}

#[test]
fn no_line_ends_between_a_figure_and_its_unit() {
    let (mut parted, mut seen) = (Vec::new(), 0);
    for width in [900.0, 1000.0, 1180.0] {
        let mut window = Window::on(crate::cars::heron_van());
        window.harness.set_size(vec2(width, 1400.0));
        window.rest();
        let found: Vec<usize> = {
            let app = window.app();
            app.analysis.findings(app.state.car()).map(|(number, _)| number).collect()
        };
        for number in found {
            act(&mut window, Action::Why(number));
            seen += look(&window, &mut parted);
        }
        let wires: Vec<_> = window.car().wires().keys().copied().collect();
        for wire in wires {
            act(&mut window, Action::Select(Selection::wire(wire)));
            seen += look(&window, &mut parted);
        }
    }
    parted.sort();
    parted.dedup();
    assert!(seen > 100, "only {seen} figures with units were seen");
    assert!(parted.is_empty(), "{}", parted.join("\n"));
}

/// The dots of the grid: the mesh of small squares in the colour of the grid.
fn dots(window: &Window) -> Vec<egui::Pos2> {
    let colour = window.app().state.theme().grid;
    let meshes = window.harness.output().shapes.iter().filter_map(|clipped| match &clipped.shape {
        Shape::Mesh(mesh) => Some(mesh),
        _ => None,
    });
    let of_grid = meshes.flat_map(|mesh| mesh.vertices.chunks(4));
    let of_grid = of_grid.filter(|corners| corners.len() == 4 && corners[0].color == colour);
    of_grid
        .map(|corners| {
            Rect::from_points(&corners.iter().map(|c| c.pos).collect::<Vec<_>>()).center()
        })
        .collect()
}

/// Where letters of the sheet stand on the screen that are shown in their own size.
fn on_sheet(window: &mut Window) -> Vec<Rect> {
    let app = window.harness.state_mut();
    let laid = app.analysis.laid(&app.state, app.state.sheet);
    let scale = app.state.camera().scale;
    let prims = laid.items.iter().flat_map(|item| item.prims.iter());
    let own_size = prims.filter(|prim| match prim {
        Prim::Text { height, .. } => height * scale >= 6.0,
        _ => false,
    });
    let areas = own_size.filter_map(Prim::bounds);
    areas.map(|area| Rect::from_two_pos(window.at(area.min), window.at(area.max))).collect()
}

#[test]
fn no_dot_of_the_grid_lies_behind_letters_of_a_sheet_seen_from_near() {
    let mut window = Window::on_demo();
    let camera = window.app().state.camera();
    for times in [1.0, 2.0, 4.0] {
        for across in [-60.0, 0.0, 40.0] {
            let centre = camera.centre + loomwright_circuit::Point::new(across, 0.0);
            let scale = Camera::FULL_SIZE * times;
            act(&mut window, Action::Camera(Camera { centre, scale }));
            let letters = on_sheet(&mut window);
            let dots = dots(&window);
            assert!(dots.len() > 20 && letters.len() > 3, "{} {}", dots.len(), letters.len());
            for letters in &letters {
                let behind = dots.iter().filter(|dot| letters.contains(**dot)).count();
                assert_eq!(behind, 0, "{times} {across} {letters}");
            }
        }
    }
    window.key(Modifiers::NONE, Key::Home);
}
