//! The page of the symbol: let the program draw it, begin with another, add strokes, measure them.

use egui::Ui;
use loomwright_circuit::part_type::{Shape, Stroke, Weight};
use loomwright_circuit::{PartType, Point};
use loomwright_drawing::composed;
use loomwright_units::exact;

use super::PartView;
use super::fields::{Shown, cross_ui, faults_ui, field_ui, list_ui};
use super::quiet_ui;
use crate::action::{Action, PartStep};
use crate::own_type::{FaultAt, PITCH, Thing};
use crate::rich::rich;
use crate::state::{PartEditor, PartField};
use crate::texts::PartWords;
use crate::theme::{Theme, medium, plain};
use crate::view::widgets::{card_ui, outlined};

/// Paints it.
pub(super) fn symbol_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &PartView<'_>,
    actions: &mut Vec<Action>,
) {
    let editor = view.editor;
    let row = &editor.doc.row;
    let is_ours = row.outline == composed(row).0;
    quiet_ui(ui, theme, if is_ours { PartWords::symbol_ours() } else { PartWords::symbol_yours() });
    begin_ui(ui, theme, view, is_ours, actions);
    add_ui(ui, theme, actions);
    faults_ui(ui, theme, editor, FaultAt::Symbol);
    ui.spacing_mut().item_spacing.y = 0.0;
    for (idx, stroke) in row.outline.iter().enumerate() {
        let is_taken = matches!(editor.taken, Some(Thing::Stroke(taken) | Thing::Corner(taken, _)) if taken == idx);
        let name = stroke_name(row, idx);
        if is_taken {
            card_ui(ui, theme, |ui| {
                stroke_ui(ui, theme, editor, (idx, stroke, &name), actions);
            });
            continue;
        }
        ui.horizontal(|ui| {
            let text = rich(&name).font(plain(13.5)).color(theme.ink);
            if ui.add(egui::Button::new(text).frame(false)).clicked() {
                actions.push(Action::OwnType(PartStep::Choose(Some(Thing::Stroke(idx)))));
            }
            let says = stroke.when.as_ref().map(when_words).unwrap_or_default();
            ui.label(rich(says).font(plain(13.0)).color(theme.muted));
        });
    }
}

/// When a stroke is drawn, in words.
fn when_words(when: &loomwright_circuit::part_type::When) -> String {
    use loomwright_circuit::part_type::When;
    match when {
        When::At { positions, .. } => positions.join(", "),
        When::PulledIn(is_in) => relay_word(*is_in).to_owned(),
        When::Relay { coil: [first, second], pulled_in } => {
            PartWords::of_coil(first, second, relay_word(*pulled_in))
        }
    }
}

fn relay_word(is_in: bool) -> &'static str {
    if is_in { PartWords::pulled_in() } else { PartWords::at_rest() }
}

/// What a stroke is called: its kind and its number.
pub(super) fn stroke_name(row: &PartType, idx: usize) -> String {
    let n = idx + 1;
    match row.outline.get(idx).map(|stroke| &stroke.draw) {
        Some(Shape::Line(_)) => PartWords::stroke_line(n),
        Some(Shape::Polygon(_)) => PartWords::stroke_outline(n),
        Some(Shape::Circle { .. }) => PartWords::stroke_circle(n),
        Some(Shape::Arc { .. }) => PartWords::stroke_arc(n),
        _ => PartWords::stroke_letters(n),
    }
}

/// Ways to begin.
fn begin_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &PartView<'_>,
    is_ours: bool,
    actions: &mut Vec<Action>,
) {
    let editor = view.editor;
    ui.horizontal_wrapped(|ui| {
        ui.add_enabled_ui(!is_ours, |ui| {
            if outlined(ui, PartWords::symbol_again(), theme.ink).clicked() {
                actions.push(Action::OwnType(PartStep::DrawAgain));
            }
        });
        let choices: Vec<(String, String)> = view.symbols.clone();
        let name = PartWords::symbol_from();
        let none = String::new();
        let mut all = vec![(none.clone(), name.to_owned())];
        all.extend(choices);
        if let Some(picked) = list_ui(ui, (name, 170.0), &all, &none)
            && !picked.is_empty()
        {
            actions.push(Action::OwnType(PartStep::SymbolOf(picked)));
        }
    });
    ui.horizontal_wrapped(|ui| {
        if outlined(ui, PartWords::symbol_box(), theme.ink).clicked() {
            actions.push(Action::OwnType(PartStep::DrawBox));
        }
        let (width, height) = editor.box_size;
        let sizes = [
            (PartField::BoxWidth, PartWords::symbol_box_width(), width),
            (PartField::BoxHeight, PartWords::symbol_box_height(), height),
        ];
        for (n, (field, name, mm)) in sizes.into_iter().enumerate() {
            if n > 0 {
                ui.label(rich("×").font(plain(14.0)).color(theme.muted));
            }
            let value = exact(mm);
            let shown = Shown { field, name, value: &value, hint: "", width: 54.0 };
            field_ui(ui, theme, editor, &shown, actions);
        }
        ui.label(rich("mm").font(plain(13.5)).color(theme.muted));
    });
}

/// Strokes that can be added, in the middle of the symbol.
fn add_ui(ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
    let at = |x: f64, y: f64| Point::new(x * PITCH, y * PITCH);
    let centre = Point::default();
    let strokes = [
        (PartWords::add_line(), Shape::Line(vec![at(-2.0, 0.0), at(2.0, 0.0)])),
        (PartWords::add_circle(), Shape::Circle { centre, radius: 2.0 * PITCH }),
        (
            PartWords::add_arc(),
            Shape::Arc { centre, radius: 2.0 * PITCH, from: 180.0, sweep: 180.0 },
        ),
        (PartWords::add_letters(), Shape::Text { at: centre, text: "A".to_owned(), height: PITCH }),
    ];
    ui.horizontal_wrapped(|ui| {
        for (word, draw) in strokes {
            let text = rich(format!("+ {word}")).font(medium(13.5)).color(theme.ink);
            let button = egui::Button::new(text)
                .fill(theme.field)
                .stroke(egui::Stroke::new(1.0, theme.edge));
            if ui.add(button).accessible_name(PartWords::add_stroke(word)).clicked() {
                actions.push(Action::OwnType(PartStep::AddStroke(draw)));
            }
        }
    });
}

/// A stroke that is taken: its look and its measures.
fn stroke_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    (idx, stroke, name): (usize, &Stroke, &str),
    actions: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        ui.label(rich(name).font(medium(14.0)).color(theme.ink));
        let weights = [
            (Weight::Thin, PartWords::stroke_thin().to_owned()),
            (Weight::Normal, PartWords::stroke_normal().to_owned()),
            (Weight::Heavy, PartWords::stroke_heavy().to_owned()),
        ];
        let list = PartWords::stroke_weight(name);
        if let Some(weight) = list_ui(ui, (&list, 80.0), &weights, &stroke.weight) {
            actions.push(Action::OwnType(PartStep::Weight(idx, weight)));
        }
        let (mut is_dashed, mut is_filled) = (stroke.dashed, stroke.filled);
        if ui.checkbox(&mut is_dashed, PartWords::stroke_dashed()).changed() {
            actions.push(Action::OwnType(PartStep::Dashed(idx, is_dashed)));
        }
        if ui.checkbox(&mut is_filled, PartWords::stroke_filled()).changed() {
            actions.push(Action::OwnType(PartStep::Filled(idx, is_filled)));
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if cross_ui(ui, theme, &PartWords::stroke_drop(name)) {
                actions.push(Action::OwnType(PartStep::DropStroke(idx)));
            }
        });
    });
    ui.horizontal_wrapped(|ui| {
        for (measure, (word, value)) in measures(&stroke.draw).into_iter().enumerate() {
            ui.label(rich(&word).font(plain(13.0)).color(theme.muted));
            let field = PartField::Measure(idx, measure);
            let (named, value) = (PartWords::measure_named(name, &word), exact(value));
            let shown = Shown { field, name: &named, value: &value, hint: "", width: 54.0 };
            field_ui(ui, theme, editor, &shown, actions);
        }
        match &stroke.draw {
            Shape::Text { text, .. } => {
                let word = PartWords::measure_letters();
                ui.label(rich(word).font(plain(13.0)).color(theme.muted));
                let field = PartField::Letters(idx);
                let named = PartWords::measure_named(name, word);
                let shown = Shown { field, name: &named, value: text, hint: "", width: 110.0 };
                field_ui(ui, theme, editor, &shown, actions);
            }
            Shape::Line(_) | Shape::Polygon(_)
                if outlined(ui, PartWords::stroke_corner(), theme.ink).clicked() =>
            {
                actions.push(Action::OwnType(PartStep::AddCorner(idx)));
            }
            _ => {}
        }
    });
}

/// The measures of a stroke, in mm and degrees.
fn measures(shape: &Shape) -> Vec<(String, f64)> {
    let pair = |at: Point| {
        [(PartWords::measure_x().to_owned(), at.x), (PartWords::measure_y().to_owned(), at.y)]
    };
    match shape {
        Shape::Line(points) | Shape::Polygon(points) => {
            let corner = |(n, at): (usize, &Point)| {
                let corner = PartWords::corner(n + 1);
                pair(*at).map(|(word, value)| (format!("{corner} {word}"), value))
            };
            points.iter().enumerate().flat_map(corner).collect()
        }
        Shape::Circle { centre, radius } => {
            let mut all = pair(*centre).to_vec();
            all.push((PartWords::measure_radius().to_owned(), *radius));
            all
        }
        Shape::Arc { centre, radius, from, sweep } => {
            let mut all = pair(*centre).to_vec();
            all.push((PartWords::measure_radius().to_owned(), *radius));
            all.push((PartWords::measure_from().to_owned(), *from));
            all.push((PartWords::measure_sweep().to_owned(), *sweep));
            all
        }
        Shape::Text { at, height, .. } => {
            let mut all = pair(*at).to_vec();
            all.push((PartWords::measure_height().to_owned(), *height));
            all
        }
    }
}
