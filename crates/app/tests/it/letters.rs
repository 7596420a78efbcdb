//! Lettering: where its lines end, and what lies behind it.

use egui::epaint::{Shape, TextShape};
use egui::{Key, Modifiers, Rect, vec2};
use loomwright_app::action::{Action, BenchStep};
use loomwright_app::state::{Camera, Selection};
use loomwright_app::trial::{Lead, Probe};
use loomwright_drawing::{Prim, Subject};

use crate::saving::act;
use crate::window::Window;

/// All letters that are painted.
pub(crate) fn painted(window: &Window) -> Vec<TextShape> {
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

/// The handles of the meter's leads on the sheet: slim quadrangles in the colour of danger or of ink, by places along
/// their middle.
fn handles(window: &Window) -> Vec<Vec<egui::Pos2>> {
    let theme = window.app().state.theme();
    let shapes = window.harness.output().shapes.iter().filter_map(|clipped| match &clipped.shape {
        Shape::Path(path) if path.closed && path.points.len() == 4 => Some(path),
        _ => None,
    });
    let of_leads = shapes.filter(|path| [theme.danger, theme.ink].contains(&path.fill));
    // Those on the bench lie level.
    let leaning = of_leads.filter(|path| Rect::from_points(&path.points).height() > 9.0);
    let middles = leaning.map(|path| {
        let [near, far] = [(0, 1), (2, 3)].map(|(a, b)| path.points[a].lerp(path.points[b], 0.5));
        [0.0, 0.25, 0.5, 0.75, 1.0].map(|share| near.lerp(far, share)).to_vec()
    });
    middles.collect()
}

#[test]
fn the_leads_of_the_meter_hide_no_name_and_no_number() {
    let mut window = Window::on_demo();
    window.key(Modifiers::COMMAND, Key::Num2);
    window.key(Modifiers::NONE, Key::U);
    let car = window.car().clone();
    let mut seen = 0;
    for (id, part) in car.parts() {
        let Some(kind) = car.type_of(*id) else { continue };
        for terminal in &kind.terminals {
            let probe = Probe::Terminal(*id, terminal.name.clone());
            let place = BenchStep::Place(Lead::Red, probe);
            act(&mut window, Action::Bench(place));
            let handles = handles(&window);
            let app = window.harness.state_mut();
            let laid = app.analysis.laid(&app.state, app.state.sheet);
            let told = laid.items.iter().filter(|item| {
                let subject = item.subject;
                matches!(subject, Subject::Label(_) | Subject::Flag(_) | Subject::Amps(_))
            });
            let words = told.flat_map(|item| item.prims.iter().map(move |prim| (item, prim)));
            let words = words.filter(|(_, prim)| matches!(prim, Prim::Text { .. }));
            for (item, area) in words.filter_map(|(item, prim)| Some((item, prim.bounds()?))) {
                let area = Rect::from_two_pos(window.at(area.min), window.at(area.max));
                let is_hidden = handles.iter().flatten().any(|at| area.contains(*at));
                let place = (&part.label, &terminal.name);
                assert!(!is_hidden, "{place:?}: {} {area} {handles:?}", item.title);
            }
            seen += handles.len();
        }
    }
    assert!(seen > 5, "only {seen} handles");
}
