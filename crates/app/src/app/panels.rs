//! The panels at both sides of the sheet.

use egui::{Frame, Panel, Ui};

use super::App;
use crate::action::Action;
use crate::state::{Ground, Mode};
use crate::theme::{ABOVE_LINE, FADE, Theme};
use crate::view::findings::ListEnd;
use crate::view::{self, split};

/// The height of what stands below the findings while nothing is selected: a line.
const CLOSED: f32 = 27.0;

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
        view::tour::tour_ui(ui, &self.state, actions);
        // What is selected stands below the findings, so that these keep their place when it comes and goes.
        let all = ui.available_rect_before_wrap().y_range();
        let is_read = self.is_finding_read();
        let share = self.state.settings.shares.of(is_read);
        let open = (all.span() * share).round();
        let is_open = self.has_details();
        let height = if is_open { open } else { CLOSED };
        Panel::bottom("details")
            .exact_size(height)
            .frame(Frame::NONE)
            .show_separator_line(!is_open)
            .show(ui, |ui| {
                if is_open {
                    split::split_ui(ui, theme, (all, share, is_read), actions);
                }
                match self.state.mode {
                    Mode::Try => self.readings(ui, theme, is_open, actions),
                    _ => self.details(ui, theme, is_open, actions),
                }
            });
        self.findings(ui, theme, open - height, actions);
    }

    /// Whether the card of a finding is open.
    fn is_finding_read(&self) -> bool {
        self.state.why.is_some_and(|number| self.analysis.finding(number).is_some())
    }

    /// Whether there is anything to tell below the findings.
    fn has_details(&self) -> bool {
        let selection = &self.state.selection;
        if self.state.mode == Mode::Try {
            let is_read = selection.only_part().is_some() || selection.only_wire().is_some();
            let is_settled =
                self.analysis.trial.as_ref().is_none_or(|trial| trial.settled.is_settled);
            return is_read || !is_settled;
        }
        !selection.is_empty() || self.state.shows_car()
    }

    /// What is read of what is selected, in Try.
    fn readings(&self, ui: &mut Ui, theme: &Theme, is_open: bool, actions: &mut Vec<Action>) {
        let readings = view::readings::readings_view(&self.state, &self.analysis);
        if !is_open {
            view::readings::nothing_read_ui(ui, theme);
            return;
        }
        // Each thing that is read begins at its top.
        let scroll = egui::ScrollArea::vertical().id_salt(&readings.heading);
        scroll.auto_shrink(false).show(ui, |ui| {
            view::readings::readings_ui(ui, theme, &readings);
            self.wrongs(ui, theme, actions);
        });
    }

    /// The details of what is selected, or of the car.
    fn details(&mut self, ui: &mut Ui, theme: &Theme, is_open: bool, actions: &mut Vec<Action>) {
        let begins = self.begins_details();
        let details = view::details::details_view(&self.state, &self.analysis);
        if !is_open {
            // A scrolled list is never so low.
            view::details::details_ui(ui, theme, &details, actions);
            return;
        }
        // Details and findings are scrolled apart, so that the one stays while the other is read.
        let mut scroll = egui::ScrollArea::vertical().id_salt("details");
        if begins {
            scroll = scroll.vertical_scroll_offset(0.0);
        }
        scroll.auto_shrink(false).show(ui, |ui| {
            view::details::details_ui(ui, theme, &details, actions);
            if let Some(what_if) = view::details::what_if_view(&self.state, &self.analysis) {
                view::details::what_if_ui(ui, theme, &what_if, actions);
            }
            ui.add_space(4.0);
        });
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

    /// The findings, of which `covered` points would be out of sight if something were selected.
    fn findings(&mut self, ui: &mut Ui, theme: &Theme, covered: f32, actions: &mut Vec<Action>) {
        let findings = self.listed.view(&self.state, &self.analysis);
        let list = ui.available_rect_before_wrap();
        let reads = ui.rect_contains_pointer(list);
        if findings.brings.is_some() && view::findings::is_scrolled_by_hand(ui, list) {
            actions.push(Action::FindingCame);
        }
        if reads != self.state.reads_findings {
            actions.push(Action::ReadFindings(reads));
        }
        let version = self.state.desk.version.filter(|_| self.state.mode == Mode::Draw);
        view::findings::findings_head_ui(ui, theme, (&findings, version), actions);
        // However little is left above the bar, the list stays above it.
        let mut scroll = egui::ScrollArea::vertical()
            .id_salt("findings")
            .min_scrolled_height(0.0)
            .auto_shrink(false);
        if let Some(offset) = view::findings::scroll_to(ui.ctx()) {
            scroll = scroll.vertical_scroll_offset(offset);
        }
        let height = ui.available_height() - ABOVE_LINE;
        scroll = scroll.max_height(height);
        let held = self.list_end.room(height, covered);
        // As wide with its bar as without, or the cards would be set in other lines when it comes.
        let width = ui.available_width() - ui.spacing().scroll.allocated_width();
        let shown = scroll.show(ui, |ui| {
            ui.set_max_width(width);
            view::findings::findings_ui(ui, theme, &findings, actions);
            ui.add_space(FADE + held);
        });
        self.list_end = ListEnd::of(&shown, held);
    }
}
