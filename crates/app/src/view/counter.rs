//! The parts counter: asks for a part by name, on the sheets or on the shelf.

use egui::{Align2, Key, Modifiers, RichText, Role, Sense, Ui, WidgetInfo, vec2};
use loomwright_circuit::{Library, Name, PartType};

use crate::action::Action;
use crate::painter::{elided, paint_symbol};
use crate::state::{Selection, State};
use crate::theme::{Theme, medium, plain, semibold};
use crate::view::shelf::{answers, kits_answering};

/// What the counter shows.
#[derive(Debug, Clone)]
pub struct CounterView {
    /// What is asked for.
    pub text: String,
    /// The answers.
    pub rows: Vec<RowView>,
    /// The row that Enter takes.
    pub chosen: usize,
}

/// One answer.
#[derive(Debug, Clone)]
pub struct RowView {
    /// Its name.
    pub title: String,
    /// What it is: a kind of part to place, or where a part or wire is.
    pub says: String,
    /// Whose picture stands beside it.
    pub picture: Option<std::sync::Arc<PartType>>,
    /// What taking it does.
    pub takes: Takes,
}

/// What taking an answer does.
#[derive(Debug, Clone)]
pub enum Takes {
    /// Goes there.
    GoTo(Selection),
    /// Places one.
    Place(Name),
    /// Fits a kit.
    Fit(&'static str),
}

const MOST_ROWS: usize = 12;

/// Builds it; nothing while the counter is closed.
pub fn counter_view(state: &State) -> Option<CounterView> {
    let counter = state.counter.as_ref()?;
    let asked = counter.text.trim().to_lowercase();
    let car = state.car();
    let mut rows = Vec::new();
    if !asked.is_empty() {
        let sheet_of = |id| car.sheets().get(&id).map_or("", |sheet| &*sheet.title);
        for (id, part) in car.parts() {
            if part.label.to_lowercase().contains(&asked) {
                rows.push(RowView {
                    title: part.label.clone(),
                    says: format!("on sheet {}", sheet_of(part.sheet)),
                    picture: car.type_of(*id).cloned(),
                    takes: Takes::GoTo(Selection::part(*id)),
                });
            }
        }
        for (id, wire) in car.wires() {
            let colour = wire.colour.map(|colour| colour.words()).unwrap_or_default();
            if wire.label.to_lowercase() == asked || (!colour.is_empty() && colour == asked) {
                rows.push(RowView {
                    title: format!("Wire {}", wire.label),
                    says: colour,
                    picture: None,
                    takes: Takes::GoTo(Selection::wire(*id)),
                });
            }
        }
    }
    let mut known = rows;
    known.truncate(MOST_ROWS / 2);
    let kinds = Library::standard().iter().chain(car.own_types().values());
    let mut kinds: Vec<_> = kinds.filter(|kind| answers(kind, &asked)).collect();
    kinds.sort_by_key(|kind| how_far(kind, &asked));
    kinds.truncate(MOST_ROWS - known.len());
    // Who writes the very name of a kind means one more of it, even where the car has some.
    let is_kind = kinds.first().is_some_and(|kind| how_far(kind, &asked) == 0);
    let kinds: Vec<_> = kinds
        .into_iter()
        .map(|kind| RowView {
            title: kind.title.clone(),
            says: "place one".to_owned(),
            picture: Some(std::sync::Arc::clone(kind)),
            takes: Takes::Place(kind.name.clone()),
        })
        .collect();
    let kits = kits_answering(&asked).map(|kit| RowView {
        title: kit.title.clone(),
        says: kit.group.clone(),
        picture: None,
        takes: Takes::Fit(kit.name),
    });
    let kits: Vec<RowView> = if asked.is_empty() { Vec::new() } else { kits.collect() };
    let (mut rows, others) = if is_kind { (kinds, known) } else { (known, kinds) };
    rows.extend(others);
    rows.truncate(MOST_ROWS.saturating_sub(kits.len()));
    rows.extend(kits);
    let chosen = counter.chosen.min(rows.len().saturating_sub(1));
    Some(CounterView { text: counter.text.clone(), rows, chosen })
}

/// What is called so comes before what only has it in its name, and that before what is known by that name too.
fn how_far(kind: &PartType, asked: &str) -> u8 {
    let title = kind.title.to_lowercase();
    if title == asked || kind.name == asked {
        0
    } else if title.starts_with(asked) {
        1
    } else if title.contains(asked) {
        2
    } else {
        3
    }
}

/// Paints it over the canvas.
pub fn counter_ui(
    ctx: &egui::Context,
    theme: &Theme,
    view: &CounterView,
    actions: &mut Vec<Action>,
) {
    let (down, up, enter, escape) = ctx.input_mut(|input| {
        (
            input.consume_key(Modifiers::NONE, Key::ArrowDown),
            input.consume_key(Modifiers::NONE, Key::ArrowUp),
            input.consume_key(Modifiers::NONE, Key::Enter),
            input.consume_key(Modifiers::NONE, Key::Escape),
        )
    });
    if down {
        actions.push(Action::ChooseAtCounter(
            (view.chosen + 1).min(view.rows.len().saturating_sub(1)),
        ));
    }
    if up {
        actions.push(Action::ChooseAtCounter(view.chosen.saturating_sub(1)));
    }
    if escape {
        actions.push(Action::CloseCounter);
    }
    if enter && let Some(row) = view.rows.get(view.chosen) {
        take(row, true, actions);
    }
    let area = egui::Window::new("Parts counter")
        .title_bar(false)
        .resizable(false)
        .anchor(Align2::CENTER_TOP, vec2(0.0, 92.0))
        .fixed_size(vec2(430.0, 400.0));
    let shown = area.show(ctx, |ui| content_ui(ui, theme, view, actions));
    let is_outside = shown.is_some_and(|shown| shown.response.clicked_elsewhere());
    if is_outside {
        actions.push(Action::CloseCounter);
    }
}

fn take(row: &RowView, is_by_key: bool, actions: &mut Vec<Action>) {
    actions.push(match &row.takes {
        Takes::GoTo(selection) => Action::GoTo(selection.clone()),
        Takes::Place(name) if is_by_key => Action::PlaceNow(name.clone()),
        Takes::Place(name) => Action::Place(name.clone()),
        Takes::Fit(name) => Action::FitKit(name),
    });
    actions.push(Action::CloseCounter);
}

fn content_ui(ui: &mut Ui, theme: &Theme, view: &CounterView, actions: &mut Vec<Action>) {
    ui.label(RichText::new("Parts counter").font(semibold(16.0)).color(theme.ink));
    let mut text = view.text.clone();
    let response = ui
        .add(
            egui::TextEdit::singleline(&mut text)
                .hint_text(RichText::new("A part, its nickname, or a wire").color(theme.muted))
                .font(plain(16.0))
                .desired_width(ui.available_width())
                .margin(egui::Margin::symmetric(9, 6)),
        )
        .accessible_name("Ask for a part");
    if response.changed() {
        actions.push(Action::AskCounter(text));
    }
    response.request_focus();
    let heading = |row: &RowView| match row.takes {
        Takes::GoTo(_) => "Go to",
        Takes::Place(_) => "Place",
        Takes::Fit(_) => "Fit a kit",
    };
    let mut last = "";
    for (row_idx, row) in view.rows.iter().enumerate() {
        if heading(row) != last {
            last = heading(row);
            ui.add_space(3.0);
            ui.label(RichText::new(last).font(semibold(13.0)).color(theme.danger));
        }
        row_ui(ui, theme, row, row_idx == view.chosen, actions);
    }
    if view.rows.is_empty() {
        let says = format!("Nothing answers to “{}”", view.text.trim());
        ui.label(RichText::new(says).color(theme.muted));
    }
    ui.add_space(2.0);
    let keys = "Up and Down choose · Enter takes · Escape closes";
    ui.label(RichText::new(keys).font(plain(12.5)).color(theme.muted));
}

fn row_ui(ui: &mut Ui, theme: &Theme, row: &RowView, is_chosen: bool, actions: &mut Vec<Action>) {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 27.0), Sense::click());
    let name = format!("{}, {}", row.title, row.says);
    response.widget_info(|| WidgetInfo::selected(Role::ListItem, true, is_chosen, &name));
    let painter = ui.painter();
    if is_chosen || response.hovered() {
        let fill = if is_chosen { theme.field } else { theme.hover };
        let stroke = egui::Stroke::new(1.0, if is_chosen { theme.selected } else { theme.edge });
        painter.rect(rect, 4.0, fill, stroke, egui::StrokeKind::Inside);
    }
    if let Some(part_type) = &row.picture {
        let picture = egui::Rect::from_min_size(rect.min + vec2(6.0, 4.0), vec2(26.0, 19.0));
        paint_symbol(painter, picture, part_type, theme.ink);
    }
    let says = elided(painter, &row.says, plain(13.0), theme.muted, rect.width() * 0.4);
    let room = rect.width() - 60.0 - says.size().x;
    let title = elided(painter, &row.title, medium(14.0), theme.ink, room);
    let y = |galley: &egui::Galley| rect.center().y - galley.size().y / 2.0;
    let at = egui::pos2(rect.left() + 42.0, y(&title));
    painter.galley(at, title, theme.ink);
    let at = egui::pos2(rect.right() - 8.0 - says.size().x, y(&says));
    painter.galley(at, says, theme.muted);
    if response.clicked() {
        take(row, false, actions);
    }
}
