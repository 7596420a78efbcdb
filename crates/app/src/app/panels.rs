//! The panels at both sides of the sheet.

use egui::{Frame, Panel, Ui};

use super::App;
use crate::action::Action;
use crate::state::{Ground, Mode};
use crate::theme::Theme;
use crate::view::{self, split};

/// The share of the panel at the right that readings have in Try.
const READINGS_SHARE: f32 = 0.4;

/// What lies around the contents of a panel, of its own ground.
const MARGIN: egui::Vec2 = egui::vec2(12.0, 6.0);

impl App {
    pub(super) fn left(&self, ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
        if self.state.mode == Mode::Try {
            let controls = view::controls::controls_view(&self.state, &self.analysis);
            view::controls::controls_ui(ui, theme, &controls, actions);
        } else {
            let shelf = view::shelf::shelf_view(&self.state);
            view::shelf::shelf_ui(ui, &self.state, &shelf, actions);
        }
    }

    pub(super) fn right(&mut self, ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
        let pressed = |input: &egui::InputState| {
            input.pointer.any_pressed().then(|| input.pointer.interact_pos()).flatten()
        };
        if let Some(at) = ui.input(pressed) {
            let is_here = ui.max_rect().expand2(MARGIN).contains(at);
            self.state.pressed_on = if is_here { Ground::Panel } else { Ground::Sheet };
        }
        let is_trying = self.state.mode == Mode::Try;
        if is_trying {
            // The readings have room of their own, so that the findings stay where they are while switches are worked.
            let height = (ui.available_height() * READINGS_SHARE).round();
            let readings = view::readings::readings_view(&self.state, &self.analysis);
            Panel::top("readings").exact_size(height).frame(Frame::NONE).show(ui, |ui| {
                // Each thing that is read begins at its top.
                let scroll = egui::ScrollArea::vertical().id_salt(&readings.heading);
                scroll.auto_shrink(false).show(ui, |ui| {
                    ui.add_space(4.0);
                    view::readings::readings_ui(ui, theme, &readings);
                    self.wrongs(ui, theme, actions);
                });
            });
        }
        if !is_trying {
            self.details(ui, theme, actions);
        }
        self.findings(ui, theme, actions);
    }

    /// The details, at a height of their own, so that the findings below keep their place whatever is selected.
    fn details(&mut self, ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
        let (top, all) = (ui.cursor().top(), ui.available_height());
        let share = split::sound(self.state.settings.details_share);
        let height = (all * share).round();
        Panel::top("details")
            .exact_size(height)
            .frame(Frame::NONE)
            .show_separator_line(false)
            .show(ui, |ui| {
                // Details and findings are scrolled apart, so that the one stays while the other is read.
                let mut scroll = egui::ScrollArea::vertical().id_salt("details");
                if self.begins_details() {
                    scroll = scroll.vertical_scroll_offset(0.0);
                }
                scroll.auto_shrink(false).show(ui, |ui| {
                    ui.add_space(4.0);
                    let details = view::details::details_view(&self.state, &self.analysis);
                    view::details::details_ui(ui, theme, &details, actions);
                    if let Some(what_if) = view::details::what_if_view(&self.state, &self.analysis)
                    {
                        view::details::what_if_ui(ui, theme, &what_if, actions);
                    }
                    ui.add_space(4.0);
                });
            });
        split::split_ui(ui, theme, (top, all, share), actions);
    }

    /// Whether the details are of something else than in the last frame, and so are read from their top. A wire that an
    /// edit puts in the place of another goes on where that was.
    fn begins_details(&mut self) -> bool {
        let (selection, revision) = (&self.state.selection, self.state.doc.revision);
        let is_same = self.detailed.as_ref().is_some_and(|(known, of)| {
            let is_pair = *of != revision && known.only_wire().is_some();
            known == selection || is_pair && selection.only_wire().is_some()
        });
        if self.detailed.as_ref().is_none_or(|(known, of)| known != selection || *of != revision) {
            self.detailed = Some((selection.clone(), revision));
        }
        !is_same
    }

    fn findings(&mut self, ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
        let findings = self.listed.view(&self.state, &self.analysis);
        let list = ui.available_rect_before_wrap();
        let reads = ui.rect_contains_pointer(list);
        if findings.brings.is_some() && view::findings::is_scrolled_by_hand(ui, list) {
            actions.push(Action::FindingCame);
        }
        if reads != self.state.reads_findings {
            actions.push(Action::ReadFindings(reads));
        }
        view::findings::findings_head_ui(ui, theme, &findings, actions);
        let mut scroll = egui::ScrollArea::vertical().id_salt("findings").auto_shrink(false);
        if let Some(offset) = view::findings::scroll_to(ui.ctx()) {
            scroll = scroll.vertical_scroll_offset(offset);
        }
        scroll.show(ui, |ui| {
            view::findings::findings_ui(ui, theme, &findings, actions);
            ui.add_space(8.0);
        });
    }
}
