//! The parts counter: asks for a part by name, on the sheets or on the shelf.

use std::sync::Arc;

use egui::{
    Align2, Galley, Key, Modifiers, Pos2, Rect, Response, Role, Sense, Ui, Vec2, WidgetInfo, pos2,
    vec2,
};
use loomwright_circuit::{Name, PartType};

use crate::action::{Action, DeskStep};
use crate::find::{Picture, matches, plainly};
use crate::painter::{elided, paint_cable, paint_symbol};
use crate::rich::rich;
use crate::state::State;
use crate::texts::{Board, CounterWords, Found};
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
    /// What stands beside it as a picture.
    pub picture: Picture,
    /// What taking it does.
    pub takes: Takes,
}

/// What taking an answer does.
#[derive(Debug, Clone)]
pub enum Takes {
    /// Goes to the one of this number among those that answer on the sheets.
    GoTo(usize),
    /// Places one.
    Place(Name),
    /// Fits a kit.
    Fit(&'static str),
}

const MOST_KINDS: usize = 12;

/// Builds it; nothing while the counter is closed.
pub fn counter_view(state: &State) -> Option<CounterView> {
    let counter = state.counter.as_ref()?;
    let asked = counter.text.trim().to_lowercase();
    let car = state.car();
    let cuts = counter.cuts.and_then(|(wire, _)| car.wire(wire));
    let known: Vec<RowView> = matches(car, &asked)
        .into_iter()
        .enumerate()
        .map(|(at, found)| RowView {
            title: found.title,
            says: found.says,
            picture: found.picture,
            takes: Takes::GoTo(at),
        })
        .collect();
    let kinds = state.library.on_shelf(car);
    let can_be_cut_in = |kind: &PartType| cuts.is_none() || kind.through().is_some();
    let mut kinds: Vec<_> =
        kinds.filter(|kind| answers(kind, &asked) && can_be_cut_in(kind)).collect();
    kinds.sort_by_key(|kind| how_far(kind, &asked));
    kinds.truncate(MOST_KINDS);
    let kinds: Vec<_> = kinds
        .into_iter()
        .map(|kind| RowView {
            title: kind.title.clone(),
            says: cuts.map_or_else(
                || Found::place_one().to_owned(),
                |wire| Board::counter_cuts_in(&wire.label),
            ),
            picture: Picture::Part(Arc::clone(kind)),
            takes: Takes::Place(kind.name.clone()),
        })
        .collect();
    let kits = kits_answering(&asked).map(|kit| RowView {
        title: kit.title.clone(),
        says: kit.group.clone(),
        picture: Picture::Blank,
        takes: Takes::Fit(kit.name),
    });
    let kits: Vec<RowView> = if asked.is_empty() { Vec::new() } else { kits.collect() };
    if cuts.is_some() {
        let chosen = counter.chosen.min(kinds.len().saturating_sub(1));
        return Some(CounterView { text: counter.text.clone(), rows: kinds, chosen });
    }
    // What is in the car comes first: who looks for it must not place another one unawares.
    let mut rows = known;
    rows.extend(kinds);
    rows.extend(kits);
    let chosen = counter.chosen.min(rows.len().saturating_sub(1));
    Some(CounterView { text: counter.text.clone(), rows, chosen })
}

/// Kinds that most cars have many of, the plainest first (practice): of those that answer alike, they come first.
const USUAL: [&str; 16] = [
    "lamp",
    "fuse-blade",
    "switch",
    "relay-make",
    "body-earth",
    "bullet-connector",
    "battery",
    "warning-lamp",
    "lamp-double",
    "fuse-glass",
    "engine-earth",
    "isolator",
    "horn",
    "ignition-switch",
    "push",
    "relay-changeover",
];

/// The order of what answers: what is called just so, what people call just so or has it as a word of its title, what has
/// it somewhere in there, what is known by that name too; among those the usual first, and a short title before a long one.
pub(super) fn how_far(kind: &PartType, asked: &str) -> (u8, usize, usize) {
    let title = kind.title.to_lowercase();
    let is_word = |word: &str| title.split(|c: char| !c.is_alphanumeric()).any(|it| it == word);
    let is_called =
        || kind.nicknames.iter().any(|name| plainly(&name.to_lowercase()) == plainly(asked));
    let closed = |text: &str| plainly(text).replace(' ', "");
    let (closed_title, closed) = (closed(&title), closed(asked));
    let far = if title == asked || kind.name == asked {
        0
    } else if asked.split_whitespace().all(is_word)
        || is_called()
        // "Head lamp" means the headlamp.
        || closed.len() > 4 && closed_title.starts_with(&closed)
    {
        1
    } else if closed_title.contains(&closed) {
        2
    } else {
        3
    };
    let usual = USUAL.iter().position(|name| kind.name == *name).unwrap_or(USUAL.len());
    (far, usual, title.chars().count())
}

/// Its size where there is room for it, and what of the canvas is left free around it, in screen points.
const SIZE: Vec2 = vec2(430.0, 400.0);
const AROUND: f32 = 10.0;
/// Narrower than this, no answer could be read.
const LEAST_WIDTH: f32 = 240.0;

/// Paints it within the canvas, so that nothing beside the sheet is hidden by it.
pub fn counter_ui(
    ctx: &egui::Context,
    (theme, canvas): (&Theme, Rect),
    view: &CounterView,
    actions: &mut Vec<Action>,
) {
    let [down, up, several, enter, escape] = ctx.input_mut(|input| {
        [
            input.consume_key(Modifiers::NONE, Key::ArrowDown),
            input.consume_key(Modifiers::NONE, Key::ArrowUp),
            // The toolkit takes a key with Shift for the key alone too, so that comes second.
            input.consume_key(Modifiers::SHIFT, Key::Enter),
            input.consume_key(Modifiers::NONE, Key::Enter),
            input.consume_key(Modifiers::NONE, Key::Escape),
        ]
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
    let chosen = view.rows.get(view.chosen);
    // With Shift something is added, whatever of that name the car has.
    let is_new = |row: &&RowView| matches!(row.takes, Takes::Place(_));
    let added = || chosen.filter(is_new).or_else(|| view.rows.iter().find(is_new));
    let row = if several { added().or(chosen) } else { chosen };
    if let Some(row) = row.filter(|_| enter || several) {
        take(row, &view.text, true, actions);
        if !(several && matches!(row.takes, Takes::Place(_))) {
            actions.push(Action::CloseCounter);
        }
    }
    let frame = egui::Frame::window(&ctx.global_style());
    let room = canvas.size() - frame.total_margin().sum() - 2.0 * vec2(AROUND, AROUND);
    let area = egui::Window::new(CounterWords::parts_counter())
        .title_bar(false)
        .resizable(false)
        .pivot(Align2::CENTER_TOP)
        .fixed_pos(canvas.center_top() + vec2(0.0, AROUND))
        .fixed_size(SIZE.min(room).max(vec2(LEAST_WIDTH, 0.0)));
    let shown = area.show(ctx, |ui| content_ui(ui, theme, view, actions));
    let is_outside = shown.is_some_and(|shown| shown.response.clicked_elsewhere());
    if is_outside {
        actions.push(Action::CloseCounter);
    }
}

fn take(row: &RowView, asked: &str, is_by_key: bool, actions: &mut Vec<Action>) {
    actions.push(match &row.takes {
        Takes::GoTo(at) => Action::Desk(DeskStep::Find { asked: asked.to_owned(), at: *at }),
        Takes::Place(name) if is_by_key => Action::PlaceNow(name.clone()),
        Takes::Place(name) => Action::Place(name.clone()),
        Takes::Fit(name) => Action::FitKit(name),
    });
}

fn content_ui(ui: &mut Ui, theme: &Theme, view: &CounterView, actions: &mut Vec<Action>) {
    ui.label(rich(CounterWords::parts_counter()).font(semibold(16.0)).color(theme.ink));
    let mut text = view.text.clone();
    let response = ui
        .add(
            egui::TextEdit::singleline(&mut text)
                .hint_text(rich(Found::ask()).color(theme.muted))
                .font(plain(16.0))
                .desired_width(ui.available_width())
                .margin(egui::Margin::symmetric(9, 6)),
        )
        .accessible_name(CounterWords::ask_for_a_part());
    if response.changed() {
        actions.push(Action::AskCounter(text));
    }
    response.request_focus();
    let room = ui.available_height() - 24.0;
    egui::ScrollArea::vertical().max_height(room).show(ui, |ui| rows_ui(ui, theme, view, actions));
    if view.rows.is_empty() {
        let says = CounterWords::nothing_answers_to(view.text.trim());
        ui.label(rich(says).color(theme.muted));
    }
    ui.add_space(2.0);
    ui.label(rich(Found::keys()).font(plain(12.5)).color(theme.muted));
}

fn rows_ui(ui: &mut Ui, theme: &Theme, view: &CounterView, actions: &mut Vec<Action>) {
    let n_known = view.rows.iter().filter(|row| matches!(row.takes, Takes::GoTo(_))).count();
    let heading = |row: &RowView| match row.takes {
        Takes::GoTo(_) if n_known > 1 => Found::go_to_many(n_known),
        Takes::GoTo(_) => Found::go_to().to_owned(),
        Takes::Place(_) => Found::place().to_owned(),
        Takes::Fit(_) => Found::fit().to_owned(),
    };
    let mut last = String::new();
    for (row_idx, row) in view.rows.iter().enumerate() {
        let heading = heading(row);
        if heading != last {
            ui.add_space(3.0);
            ui.label(rich(&heading).font(semibold(13.0)).color(theme.heading));
            last = heading;
        }
        let response = row_ui(ui, theme, row, row_idx == view.chosen);
        if row_idx == view.chosen {
            follow(ui, &response, (row_idx, &view.text));
        }
        if response.clicked() {
            take(row, &view.text, false, actions);
            actions.push(Action::CloseCounter);
        }
    }
}

/// Scrolls to the chosen row whenever that is another one.
fn follow(ui: &Ui, response: &Response, chosen: (usize, &str)) {
    let key = ui.scope_id().with("row seen last");
    let chosen = (chosen.0, chosen.1.to_owned());
    let seen: Option<(usize, String)> = ui.data(|data| data.get_temp(key));
    if seen.as_ref() != Some(&chosen) {
        ui.data_mut(|data| data.insert_temp(key, chosen));
        response.scroll_to_me(None);
    }
}

/// What stands in a row, as far as there is room for it.
struct Lettered {
    title: Arc<Galley>,
    says: Arc<Galley>,
    /// Whether the second stands below the first: beside it there is no room for both.
    is_stacked: bool,
}

/// Left of the title a picture, and right of what stands beside it some room.
const BEFORE: f32 = 42.0;
const AFTER: f32 = 8.0;
/// Between what stands side by side.
const APART: f32 = 10.0;

impl Lettered {
    fn of(ui: &Ui, theme: &Theme, row: &RowView) -> Self {
        let width = ui.available_width() - BEFORE - AFTER;
        let set = |text: &str, font: egui::FontId, colour| {
            elided(ui.painter(), text, font, colour, width)
        };
        let title = set(&row.title, medium(14.0), theme.ink);
        let says = set(&row.says, plain(13.0), theme.muted);
        let is_stacked = title.size().x + APART + says.size().x > width;
        Self { title, says, is_stacked }
    }

    fn height(&self) -> f32 {
        if self.is_stacked { 42.0 } else { 27.0 }
    }

    /// Where both begin in the rectangle of their row.
    fn places(&self, rect: Rect) -> [Pos2; 2] {
        let (left, right) = (rect.left() + BEFORE, rect.right() - AFTER);
        let middle = |galley: &Galley, y: f32| y - galley.size().y / 2.0;
        let y = rect.center().y;
        if self.is_stacked {
            let [upper, lower] = [y - 9.0, y + 9.0];
            [pos2(left, middle(&self.title, upper)), pos2(left, middle(&self.says, lower))]
        } else {
            let says = right - self.says.size().x;
            [pos2(left, middle(&self.title, y)), pos2(says, middle(&self.says, y))]
        }
    }
}

fn row_ui(ui: &mut Ui, theme: &Theme, row: &RowView, is_chosen: bool) -> Response {
    let lettered = Lettered::of(ui, theme, row);
    let size = vec2(ui.available_width(), lettered.height());
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let name = format!("{}, {}", row.title, row.says);
    response.widget_info(|| WidgetInfo::selected(Role::ListItem, true, is_chosen, &name));
    let painter = ui.painter();
    if is_chosen || response.hovered() {
        let fill = if is_chosen { theme.field } else { theme.hover };
        let stroke = egui::Stroke::new(1.0, if is_chosen { theme.selected } else { theme.edge });
        painter.rect(rect, 4.0, fill, stroke, egui::StrokeKind::Inside);
    }
    let picture = Rect::from_center_size(rect.left_center() + vec2(19.0, 0.0), vec2(26.0, 19.0));
    match &row.picture {
        Picture::Part(part_type) => paint_symbol(painter, picture, part_type, theme.ink),
        Picture::Wire(colour) => {
            let ends = [picture.left_center(), picture.right_center()];
            paint_cable(painter, ends, 6.0, *colour, theme);
        }
        Picture::Blank => {}
    }
    let [title, says] = lettered.places(rect);
    let is_cut = lettered.title.elided || lettered.says.elided;
    painter.galley(title, lettered.title, theme.ink);
    painter.galley(says, lettered.says, theme.muted);
    if is_cut { response.on_hover_text(name) } else { response }
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::Library;

    use super::*;

    fn first(asked: &str, n: usize) -> Vec<String> {
        let mut kinds: Vec<_> =
            Library::standard().iter().filter(|kind| answers(kind, asked)).collect();
        kinds.sort_by_key(|kind| how_far(kind, asked));
        kinds.iter().take(n).map(|kind| kind.name.clone()).collect()
    }

    #[test]
    fn plain_and_usual_things_come_first() {
        assert_eq!(first("lamp", 2), ["lamp", "warning-lamp"]);
        assert_eq!(first("earth", 2), ["body-earth", "engine-earth"]);
        assert_eq!(first("fuse", 2), ["fuse-blade", "fuse-glass"]);
        assert_eq!(first("relay", 2), ["relay-make", "relay-changeover"]);
        assert_eq!(first("master earth", 1), ["isolator"]);
        assert_eq!(first("master switch", 1), ["isolator"]);
        assert_eq!(first("head lamp", 1), ["lamp-double"]);
        assert!(USUAL.iter().all(|name| Library::standard().get(name).is_some()));
    }
}
