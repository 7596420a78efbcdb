//! Small widgets that several panels share.

use egui::{Align, Color32, Layout, Response, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::action::Action;
use crate::rich::rich;
use crate::state::{Draft, Field, State};
use crate::texts::Canvas;
use crate::theme::{Theme, medium, plain, semibold};

/// A field as it is shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldView {
    /// Which one.
    pub field: Field,
    /// Its label.
    pub label: String,
    /// The text in it.
    pub text: String,
    /// What stands in it while it is empty.
    pub hint: String,
    /// The same in another measure, shown beside it.
    pub beside: Option<String>,
    /// Whether something else is being typed, of which that measure says nothing.
    pub is_draft: bool,
    /// Why the text was not understood.
    pub error: Option<String>,
}

impl FieldView {
    /// A field with its value, or with what is being typed into it.
    pub fn new(state: &State, field: Field, label: impl Into<String>, value: String) -> Self {
        let draft: Option<&Draft> = state.drafts.get(&field);
        Self {
            label: label.into(),
            hint: String::new(),
            beside: None,
            is_draft: draft.is_some(),
            error: draft.and_then(|draft| draft.error.clone()),
            text: draft.map_or(value, |draft| draft.text.clone()),
            field,
        }
    }

    /// With the same in another measure; it goes out of sight while something else is being typed.
    #[must_use]
    pub fn beside(mut self, beside: Option<String>) -> Self {
        self.beside = beside;
        self
    }

    /// With a hint for when it is empty.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }
}

/// Width of the labels beside fields.
pub const LABEL_WIDTH: f32 = 92.0;

/// A label and a field beside it; an error in one sentence below.
pub fn field_ui(ui: &mut Ui, theme: &Theme, view: &FieldView, actions: &mut Vec<Action>) {
    row_ui(ui, theme, &view.label, |ui| {
        if let Some(beside) = &view.beside {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                // It keeps its room while it is out of sight, so that the box under the caret stays as it is.
                let text = rich(beside).font(plain(13.5)).color(theme.muted);
                ui.add_visible(!view.is_draft, egui::Label::new(text));
                text_ui(ui, theme, view, 1, actions);
            });
        } else {
            text_ui(ui, theme, view, 1, actions);
        }
    });
    error_ui(ui, theme, view);
}

/// A label above a field of several lines.
pub fn note_ui(ui: &mut Ui, theme: &Theme, view: &FieldView, actions: &mut Vec<Action>) {
    lines_ui(ui, theme, view, 2, actions);
}

/// A field of so many lines below its name; one that has a single line is entered by its key.
pub fn lines_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &FieldView,
    rows: usize,
    actions: &mut Vec<Action>,
) {
    ui.label(rich(&view.label).font(plain(13.0)).color(theme.muted));
    text_ui(ui, theme, view, rows, actions);
    error_ui(ui, theme, view);
}

/// The sentence below a field that was not understood.
pub fn error_ui(ui: &mut Ui, theme: &Theme, view: &FieldView) {
    let Some(error) = &view.error else { return };
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let (rect, _) = ui.allocate_exact_size(vec2(15.0, 16.0), Sense::hover());
        warning_sign(ui.painter(), rect, theme.danger);
        let text = rich(error).font(medium(13.0)).color(theme.danger);
        ui.add(egui::Label::new(text).wrap());
    });
}

/// Gives the field that comes next in a scope a red edge: it was not understood.
pub fn red_edge(ui: &mut Ui, theme: &Theme) {
    let widgets = &mut ui.visuals_mut().widgets;
    for widget in [&mut widgets.inactive, &mut widgets.hovered, &mut widgets.active] {
        widget.bg_stroke = Stroke::new(1.5, theme.danger);
    }
    ui.visuals_mut().selection.stroke = Stroke::new(1.5, theme.danger);
}

/// A triangle with a stroke and a dot in it.
fn warning_sign(painter: &egui::Painter, rect: egui::Rect, colour: Color32) {
    let rect = rect.shrink(1.0);
    let corners = vec![rect.center_top(), rect.right_bottom(), rect.left_bottom()];
    painter.add(egui::Shape::closed_line(corners, Stroke::new(1.5, colour)));
    let x = rect.center().x;
    let y = |share: f32| rect.top() + rect.height() * share;
    painter.line_segment([pos2(x, y(0.36)), pos2(x, y(0.66))], Stroke::new(1.5, colour));
    painter.circle_filled(pos2(x, y(0.83)), 1.0, colour);
}

/// The id of a field's box.
pub fn field_id(field: &Field) -> egui::Id {
    egui::Id::unique(("field", field))
}

/// The field itself, in the width that is left.
pub fn text_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &FieldView,
    rows: usize,
    actions: &mut Vec<Action>,
) {
    let mut text = view.text.clone();
    let edit = if rows == 1 {
        egui::TextEdit::singleline(&mut text)
    } else {
        egui::TextEdit::multiline(&mut text).desired_rows(rows)
    };
    let has_error = view.error.is_some();
    let edit = edit
        // Its own id wherever it stands: with an id by place, what comes and goes around it takes the keyboard away.
        .id(field_id(&view.field))
        .hint_text(rich(view.hint.clone()).color(theme.muted))
        .desired_width(ui.available_width())
        .margin(egui::Margin::symmetric(7, 3));
    let response = ui
        .scope(|ui| {
            if has_error {
                red_edge(ui, theme);
            }
            ui.add(edit)
        })
        .inner
        .accessible_name(&view.label);
    if response.changed() {
        actions.push(Action::Typed(view.field.clone(), text));
    }
    if response.lost_focus() {
        // Lines that somebody has written are not lost by a key; undo takes them back.
        let gives_up = rows == 1 && ui.input(|input| input.key_pressed(egui::Key::Escape));
        actions.push(if gives_up {
            Action::GivenUp(view.field.clone())
        } else {
            Action::Entered(view.field.clone())
        });
    }
}

/// Gives ticks and dots an edge in menus too, where the toolkit takes the edges from all that stands there.
pub fn edged<R>(ui: &mut Ui, theme: &Theme, add: impl FnOnce(&mut Ui) -> R) -> R {
    let with_edge = |ui: &mut Ui| {
        ui.visuals_mut().widgets.inactive.bg_stroke = Stroke::new(1.0, theme.muted);
        add(ui)
    };
    ui.scope(with_edge).inner
}

/// Whether a field was left by Escape: what is searched for in it is not looked for any more.
pub fn is_given_up(ui: &Ui, response: &Response) -> bool {
    response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Escape))
}

/// A quiet label with something beside it.
pub fn row_ui(ui: &mut Ui, theme: &Theme, label: &str, content: impl FnOnce(&mut Ui)) {
    labelled_ui(ui, theme, (label, LABEL_WIDTH), content);
}

/// The same with a label of another width.
pub fn labelled_ui(
    ui: &mut Ui,
    theme: &Theme,
    (label, width): (&str, f32),
    content: impl FnOnce(&mut Ui),
) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let font = plain(13.5);
        let galley = crate::painter::in_lines(ui.painter(), label, font, theme.muted, (width, 3));
        let size = vec2(width, galley.size().y.max(24.0));
        let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
        let is_cut = galley.elided;
        let pos = rect.left_center() - vec2(0.0, galley.size().y / 2.0);
        ui.painter().galley(pos, galley, theme.muted);
        if is_cut {
            response.on_hover_text(label);
        }
        content(ui);
    });
}

/// A quiet label with a value that cannot be changed here.
pub fn fact_ui(ui: &mut Ui, theme: &Theme, label: &str, value: &str) {
    row_ui(ui, theme, label, |ui| {
        // Its name is painted beside it, and told with it.
        let told = Canvas::reading(label, value);
        let response = elided_label(ui, value, medium(14.0), theme.ink);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &told));
    });
}

/// One line of text that is cut where it is too wide, with the whole as tooltip.
pub fn elided_label(ui: &mut Ui, text: &str, font: egui::FontId, colour: Color32) -> Response {
    ui.add(egui::Label::new(rich(text).font(font).color(colour)).truncate())
}

/// A heading with a word at the right end of its line.
pub fn heading_ui(ui: &mut Ui, theme: &Theme, heading: &str, word: &str, colour: Color32) {
    ui.horizontal_top(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
            if !word.is_empty() {
                ui.label(rich(word).font(semibold(13.0)).color(colour));
            }
            ui.with_layout(Layout::left_to_right(Align::Min), |ui| {
                let text = rich(heading).font(semibold(17.0)).color(theme.ink);
                ui.add(egui::Label::new(text).wrap());
            });
        });
    });
}

/// The heading of a group of rows, with a line below it.
pub fn group_ui(ui: &mut Ui, theme: &Theme, heading: &str) {
    ui.add_space(7.0);
    ui.label(rich(heading).font(semibold(13.5)).color(theme.heading));
    let rect = ui.cursor();
    let y = rect.top() + 0.5;
    ui.painter().hline(ui.max_rect().x_range(), y, Stroke::new(1.0, theme.edge));
    ui.add_space(1.0);
}

/// The heading with a triangle that points down where the section is open; whether it was pressed.
pub fn fold_ui(ui: &mut Ui, theme: &Theme, heading: &str, tip: &str, is_open: bool) -> bool {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 22.0), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_open, heading));
    let colour = if response.hovered() || response.has_focus() { theme.ink } else { theme.muted };
    let centre = pos2(rect.left() + 6.0, rect.center().y);
    let at = |x: f32, y: f32| centre + if is_open { vec2(-y, x) } else { vec2(x, y) };
    let points = vec![at(-2.5, -4.5), at(4.0, 0.0), at(-2.5, 4.5)];
    ui.painter().add(egui::Shape::convex_polygon(points, colour, Stroke::NONE));
    ui.painter().text(
        pos2(rect.left() + 16.0, rect.center().y),
        egui::Align2::LEFT_CENTER,
        heading,
        semibold(14.5),
        colour,
    );
    if response.clicked() && !is_open {
        // What comes is longer than what is left of a small window.
        response.scroll_to_me(Some(Align::TOP));
    }
    response.on_hover_text(tip).clicked()
}

/// A framed card.
pub fn card_ui<R>(ui: &mut Ui, theme: &Theme, content: impl FnOnce(&mut Ui) -> R) -> R {
    egui::Frame::new()
        .fill(theme.field)
        .stroke(Stroke::new(1.0, theme.edge))
        .corner_radius(5)
        .inner_margin(egui::Margin::symmetric(11, 8))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            content(ui)
        })
        .inner
}

/// A button with an outline of its own colour; what is too long for one line goes on in the next.
pub fn outlined(ui: &mut Ui, text: &str, colour: Color32) -> Response {
    ui.add(outline(text, colour).wrap())
}

/// The same before it is added.
pub fn outline(text: &str, colour: Color32) -> egui::Button<'static> {
    egui::Button::new(rich(text).font(semibold(13.0)).color(colour))
        .fill(Color32::TRANSPARENT)
        .stroke(Stroke::new(1.2, colour))
}

/// A button that is only its word.
pub fn word_button(ui: &mut Ui, text: &str, colour: Color32) -> Response {
    let button = egui::Button::new(rich(text).font(semibold(13.0)).color(colour))
        .fill(Color32::TRANSPARENT)
        .stroke(Stroke::NONE);
    ui.add(button)
}

/// Buttons side by side of which one is chosen.
pub fn choice_ui<T: Copy + PartialEq>(
    ui: &mut Ui,
    theme: &Theme,
    choices: &[(T, &str, &str)],
    chosen: T,
) -> Option<T> {
    let mut picked = None;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        for (value, word, tip) in choices {
            let is_chosen = *value == chosen;
            let (fill, colour) = if is_chosen { theme.chosen() } else { (theme.field, theme.ink) };
            let button = egui::Button::new(rich(*word).font(medium(13.0)).color(colour))
                .fill(fill)
                .selected(is_chosen)
                .stroke(Stroke::new(1.0, theme.edge));
            let mut response = ui.add(button);
            if !tip.is_empty() {
                response = response.on_hover_text(*tip);
            }
            response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_chosen, word));
            if response.clicked() && !is_chosen {
                picked = Some(*value);
            }
        }
    });
    picked
}

/// The width of such buttons with these words, with this room at both sides of each.
pub fn choice_width(ui: &Ui, words: &[&str], padding: f32) -> f32 {
    let width = |word: &&str| {
        let galley = ui.painter().layout_no_wrap((*word).to_owned(), medium(13.0), Color32::BLACK);
        galley.size().x + 2.0 * padding + 3.0
    };
    words.iter().map(width).sum()
}

/// A list to choose from, in the width that is left.
pub fn list_ui<T: Copy + PartialEq>(
    ui: &mut Ui,
    name: &str,
    choices: &[(T, &str)],
    chosen: T,
) -> Option<T> {
    let shown = choices.iter().find(|(value, _)| *value == chosen).map_or("", |(_, word)| word);
    let mut picked = None;
    let response = egui::ComboBox::from_id_salt(name)
        .selected_text(rich(shown).font(plain(14.0)))
        .width(ui.available_width())
        .truncate()
        .show_ui(ui, |ui| {
            for (value, word) in choices {
                if ui.selectable_label(*value == chosen, *word).clicked() {
                    picked = Some(*value);
                }
            }
        })
        .response;
    response.accessible_name(name);
    picked
}

/// Lines of buttons that stand whole or not at all where the edge of the list that scrolls them would cut them.
///
/// Half a button looks like one out of use. What cannot be seen cannot be clicked; the keyboard brings it into sight.
pub fn whole_at_edge(
    ui: &mut Ui,
    id: impl std::hash::Hash + std::fmt::Debug,
    actions: &mut Vec<Action>,
    buttons: impl FnOnce(&mut Ui, &mut Vec<Action>),
) {
    headed_at_edge(ui, id, actions, |_ui| (), buttons);
}

/// The same below a heading, which goes out of sight with them: a name over nothing tells nothing.
pub fn headed_at_edge(
    ui: &mut Ui,
    id: impl std::hash::Hash + std::fmt::Debug,
    actions: &mut Vec<Action>,
    heading: impl FnOnce(&mut Ui),
    buttons: impl FnOnce(&mut Ui, &mut Vec<Action>),
) {
    let id = egui::Id::unique(("whole at the edge", id));
    let known: Option<(f32, f32)> = ui.data(|data| data.get_temp(id));
    let (above, height) = known.unwrap_or_else(|| (0.0, ui.spacing().interact_size.y));
    let (begins, sight) = (ui.cursor().top(), ui.clip_rect());
    // The heading stands nearer the upper edge than what must not be cut there.
    let top = begins + above;
    let is_cut = top < sight.top() + EDGE || top + height > sight.bottom() - EDGE;
    let mut taken = Vec::new();
    let shown = ui.scope(|ui| {
        if is_cut {
            ui.set_opacity(0.0);
        }
        heading(ui);
        let above = ui.cursor().top() - begins;
        buttons(ui, &mut taken);
        above
    });
    let above = shown.inner;
    let measured = (above, shown.response.rect.height() - above);
    ui.data_mut(|data| data.insert_temp(id, measured));
    if !(is_cut && ui.input(|input| input.pointer.any_click())) {
        actions.append(&mut taken);
    }
}

/// So far from the edge of a list a button is hardly paled by what goes on behind it; lists that bear buttons end with as
/// much room.
pub const EDGE: f32 = 12.0;

/// A bar that shows a share of a whole.
pub fn share_ui(ui: &mut Ui, theme: &Theme, share: f32, colour: Color32) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 6.0), Sense::hover());
    ui.painter().rect(
        rect,
        3.0,
        theme.chrome,
        Stroke::new(1.0, theme.edge),
        egui::StrokeKind::Inside,
    );
    let mut filled = rect;
    filled.set_width(rect.width() * share.clamp(0.0, 1.0));
    ui.painter().rect_filled(filled, 3.0, colour);
}
