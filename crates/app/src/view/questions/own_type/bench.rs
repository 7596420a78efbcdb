//! The bench below the symbol: controls to work, what is joined, and a meter between two terminals.

use egui::Ui;

use super::fields::list_ui;
use super::{quiet_ui, section_ui};
use loomwright_units::with_decimals;

use crate::action::{Action, PartStep};
use crate::own_type::BENCH_MOST;
use crate::rich::rich;
use crate::state::PartEditor;
use crate::texts::PartWords;
use crate::theme::{Theme, drafting, medium, plain};

/// Paints it.
pub(super) fn bench_ui(ui: &mut Ui, theme: &Theme, editor: &PartEditor, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.y = 4.0;
    ui.add_space(2.0);
    section_ui(ui, theme, PartWords::try_heading());
    let tried = &editor.tried;
    for (control, positions, stands) in &tried.controls {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 3.0;
            ui.label(rich(control).font(plain(13.0)).color(theme.muted));
            for position in positions {
                let is_chosen = position.name == *stands;
                let (fill, colour) =
                    if is_chosen { (theme.ink, theme.paper) } else { (theme.field, theme.ink) };
                let text = rich(&position.name).font(medium(13.0)).color(colour);
                let button =
                    egui::Button::new(text).fill(fill).stroke(egui::Stroke::new(1.0, theme.edge));
                let name = PartWords::try_control(control, &position.name);
                if ui.add(button).accessible_name(name).clicked() {
                    let step = PartStep::Work(control.clone(), position.name.clone());
                    actions.push(Action::OwnType(step));
                }
            }
        });
    }
    if !tried.is_tried {
        quiet_ui(ui, theme, PartWords::try_not_yet());
        return;
    }
    if editor.doc.row.terminals.len() > BENCH_MOST {
        quiet_ui(ui, theme, &PartWords::try_too_many(BENCH_MOST));
    } else {
        readings_ui(ui, theme, editor);
    }
    probes_ui(ui, theme, editor, actions);
}

fn readings_ui(ui: &mut Ui, theme: &Theme, editor: &PartEditor) {
    let tried = &editor.tried;
    ui.horizontal_wrapped(|ui| {
        let text = rich(PartWords::try_joined()).font(plain(13.0)).color(theme.muted);
        ui.label(text);
        let joined = tried.joined.iter().map(|group| group.join("–"));
        let joined: Vec<String> = joined.collect();
        let says = if joined.is_empty() {
            PartWords::try_none_joined().to_owned()
        } else {
            joined.join(", ")
        };
        ui.label(rich(says).font(drafting(14.0)).color(theme.ink));
    });
    for (red, black, ohms) in &tried.reads {
        let says = PartWords::try_between(red, black, reads(Some(*ohms)));
        ui.label(rich(says).font(drafting(13.5)).color(theme.ink));
    }
}

/// The two probes, and what the meter shows between them.
fn probes_ui(ui: &mut Ui, theme: &Theme, editor: &PartEditor, actions: &mut Vec<Action>) {
    let terminals = editor.doc.row.terminals.iter().enumerate();
    let choices: Vec<(usize, String)> =
        terminals.map(|(idx, terminal)| (idx, terminal.name.clone())).collect();
    ui.horizontal_wrapped(|ui| {
        let probes = [
            (PartWords::try_red(), crate::theme::cable(loomwright_circuit::Colour::Red)),
            (PartWords::try_black(), crate::theme::cable(loomwright_circuit::Colour::Black)),
        ];
        for (probe, (name, colour)) in probes.into_iter().enumerate() {
            let (rect, _) = ui.allocate_exact_size(egui::vec2(9.0, 16.0), egui::Sense::hover());
            let edge = egui::Stroke::new(1.0, theme.muted);
            ui.painter().circle(rect.center(), 4.0, colour, edge);
            let chosen = editor.probes[probe];
            if let Some(picked) = list_ui(ui, (name, 52.0), &choices, &chosen) {
                actions.push(Action::OwnType(PartStep::Probe(probe, picked)));
            }
        }
        let text = rich(reads(editor.tried.between)).font(drafting(14.5));
        ui.label(text.color(theme.ink));
    });
}

/// What a meter shows, in words.
fn reads(ohms: Option<f64>) -> String {
    match ohms {
        None => PartWords::try_open().to_owned(),
        Some(ohms) if ohms < 0.1 => PartWords::ohms(with_decimals(ohms, 3)),
        Some(ohms) if ohms < 1.0 => PartWords::ohms(with_decimals(ohms, 2)),
        Some(ohms) if ohms < 20.0 => PartWords::ohms(with_decimals(ohms, 1)),
        Some(ohms) => PartWords::ohms(with_decimals(ohms, 0)),
    }
}
