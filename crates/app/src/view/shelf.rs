//! The shelf of parts: search, groups, small pictures; drag a part from it, or click and then click on the sheet.

mod kits;
mod marked;
mod own;

use std::sync::Arc;

use egui::{Response, Role, Sense, Stroke, Ui, WidgetInfo, vec2};
use loomwright_circuit::PartType;
use loomwright_circuit::part_type::Group;

use crate::action::Action;
use crate::command::Command;
use crate::find::is_in;
use crate::painter::{in_lines, paint_symbol};
use crate::rich::rich;
use crate::state::{Pen, State};
use crate::texts::ShelfWords;
use crate::theme::{Theme, medium, plain};
use crate::tool::{Tool, new_part};
use crate::view::counter::how_far;
use crate::view::widgets::{group_ui, is_given_up};

pub use kits::{KitsView, kits_answering};
pub use marked::MarkedView;

/// What the shelf shows.
#[derive(Debug, Clone)]
pub struct ShelfView {
    /// What new parts and wires are.
    pub pen: Pen,
    /// What is searched for.
    pub search: String,
    /// Part types marked as favourites, and those placed last.
    pub marked: MarkedView,
    /// Groups with their part types.
    pub groups: Vec<(&'static str, Vec<Arc<PartType>>)>,
    /// The part type being placed.
    pub placing: Option<String>,
    /// The kits that answer, by their headings; nothing while they are folded away.
    pub kits: KitsView,
}

/// Builds it.
pub fn shelf_view(state: &State) -> ShelfView {
    let types: Vec<&Arc<PartType>> = state.library.on_shelf(state.car()).collect();
    let asked = state.shelf_search.trim().to_lowercase();
    let groups = Group::ALL.into_iter().filter_map(|group| {
        let mut rows: Vec<Arc<PartType>> = types
            .iter()
            .filter(|part_type| part_type.group == group)
            .filter(|part_type| answers(part_type, &state.shelf_search))
            .map(|part_type| Arc::clone(part_type))
            .collect();
        rows.sort_by(|a, b| {
            (a.title.len() > 40).cmp(&(b.title.len() > 40)).then(a.title.cmp(&b.title))
        });
        if !asked.is_empty() {
            rows.sort_by_key(|row| how_far(row, &asked));
        }
        (!rows.is_empty()).then_some((group.title(), rows))
    });
    let mut groups: Vec<(&'static str, Vec<Arc<PartType>>)> = groups.collect();
    if !asked.is_empty() {
        // Who searches finds what was meant at the top, on whatever shelf it stands.
        groups.sort_by_key(|(_, rows)| rows.first().map(|row| how_far(row, &asked)));
    }
    ShelfView {
        pen: state.pen,
        search: state.shelf_search.clone(),
        marked: marked::marked_view(state),
        groups,
        placing: match &state.tool {
            Tool::Placing { part, .. } => Some(part.type_name.clone()),
            _ => None,
        },
        kits: kits::kits_view(state),
    }
}

/// Whether a part type answers to what is asked for: in its title, nicknames, name or terminals.
pub fn answers(part_type: &PartType, asked: &str) -> bool {
    let asked = asked.trim().to_lowercase();
    let names = [&part_type.title, &part_type.name].into_iter().chain(&part_type.nicknames);
    asked.is_empty()
        || names.into_iter().any(|name| is_in(&name.to_lowercase(), &asked))
        || part_type.terminals.iter().any(|terminal| {
            let din = terminal.din.as_deref().unwrap_or_default();
            [&*terminal.name, din].iter().any(|name| name.eq_ignore_ascii_case(&asked))
        })
}

/// Paints it.
pub fn shelf_ui(ui: &mut Ui, state: &State, view: &ShelfView, actions: &mut Vec<Action>) {
    let theme = state.theme();
    ui.add_space(2.0);
    pen_ui(ui, theme, view.pen, actions);
    ui.add_space(2.0);
    let mut search = view.search.clone();
    let response = ui
        .add(
            egui::TextEdit::singleline(&mut search)
                .hint_text(rich(ShelfWords::find_a_part()).color(theme.muted))
                .desired_width(ui.available_width())
                .margin(egui::Margin::symmetric(9, 5)),
        )
        .accessible_name(ShelfWords::find_a_part_name());
    if response.changed() {
        actions.push(Action::SearchShelf(search));
    } else if is_given_up(ui, &response) {
        actions.push(Action::SearchShelf(String::new()));
    }
    egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        // Who searches means a part sooner than a kit.
        let is_search = !view.search.trim().is_empty();
        if !is_search {
            own::head_ui(ui, theme, actions);
            marked::marked_ui(ui, state, view, actions);
            kits::kits_ui(ui, theme, &view.kits, actions);
        }
        for (heading, rows) in &view.groups {
            group_ui(ui, theme, heading);
            for part_type in rows {
                let is_chosen = view.placing.as_deref() == Some(&*part_type.name);
                row_ui(ui, state, (part_type, &part_type.title), is_chosen, actions);
            }
        }
        if is_search {
            kits::kits_ui(ui, theme, &view.kits, actions);
            ui.add_space(8.0);
            own::head_ui(ui, theme, actions);
        }
        if view.groups.is_empty() && view.kits.groups.is_empty() {
            ui.add_space(12.0);
            let text = ShelfWords::no_part_answers_to(view.search.trim());
            ui.label(rich(text).color(theme.muted));
        }
        ui.add_space(10.0);
    });
}

/// What is drawn now: the car as it is, or what is to fit.
fn pen_ui(ui: &mut Ui, theme: &Theme, pen: Pen, actions: &mut Vec<Action>) {
    const GAP: f32 = 4.0;
    ui.label(rich(ShelfWords::pen()).font(plain(13.0)).color(theme.muted));
    let choices = [
        (Pen::AsFound, ShelfWords::as_found(), ShelfWords::new_parts_and_wires_describe_the()),
        (Pen::ToFit, ShelfWords::to_fit(), ShelfWords::new_parts_and_wires_are_to()),
    ];
    let width = (ui.available_width() - GAP) / 2.0;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = GAP;
        for (value, word, tip) in choices {
            one_pen_ui(ui, theme, (value, word, tip), (value == pen, width), actions);
        }
    });
}

fn one_pen_ui(
    ui: &mut Ui,
    theme: &Theme,
    (value, word, tip): (Pen, &str, &str),
    (is_chosen, width): (bool, f32),
    actions: &mut Vec<Action>,
) {
    let (fill, colour) = match (is_chosen, value) {
        (true, Pen::ToFit) => (theme.to_fit, theme.to_fit_text),
        (true, Pen::AsFound) => (theme.field, theme.ink),
        (false, _) => (theme.chrome, theme.muted),
    };
    let edge = if is_chosen { colour } else { theme.edge };
    let button = egui::Button::new(rich(word).font(medium(13.0)).color(colour))
        .fill(fill)
        .min_size(egui::vec2(width, 0.0))
        .stroke(Stroke::new(1.0, edge));
    let response = ui.add(button).on_hover_text(tip);
    let name = ShelfWords::pen_named(word);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_chosen, &name));
    if response.clicked() && !is_chosen {
        actions.push(Action::Command(Command::SwitchPen));
    }
}

fn row_ui(
    ui: &mut Ui,
    state: &State,
    (part_type, name): (&Arc<PartType>, &str),
    is_chosen: bool,
    actions: &mut Vec<Action>,
) {
    let theme: &Theme = state.theme();
    let own = own::mark(state, part_type);
    let mark_width = if own.is_some() { own::MARK_WIDTH } else { 0.0 };
    let width = ui.available_width() - 37.0 - marked::STAR - mark_width;
    let galley = in_lines(ui.painter(), &part_type.title, plain(13.5), theme.ink, (width, 3));
    let size = vec2(ui.available_width(), (galley.size().y + 6.0).max(25.0));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        if is_chosen || response.hovered() || response.has_focus() {
            let fill = if is_chosen { theme.field } else { theme.hover };
            let stroke = Stroke::new(1.0, if is_chosen { theme.ink } else { theme.edge });
            let shown = rect.expand2(vec2(3.0, 0.0));
            painter.rect(shown, 4.0, fill, stroke, egui::StrokeKind::Inside);
        }
        let middle = rect.left_center() + vec2(15.0, 0.0);
        let picture = egui::Rect::from_center_size(middle, vec2(26.0, 19.0));
        paint_symbol(painter, picture, part_type, theme.ink);
        let at = egui::pos2(rect.left() + 35.0, rect.center().y - galley.size().y / 2.0);
        painter.galley(at, galley, theme.ink);
        if own.is_some() {
            own::mark_ui(painter, theme, rect);
        }
    }
    marked::star_ui(ui, state, &response, (part_type, name), actions);
    offer_ui(ui, state, part_type, response, actions);
}

/// What can be done with a part type on the shelf: dragged, clicked and then set down, asked for its menu.
fn offer_ui(
    ui: &Ui,
    state: &State,
    part_type: &Arc<PartType>,
    response: Response,
    actions: &mut Vec<Action>,
) {
    let theme: &Theme = state.theme();
    let own = own::mark(state, part_type);
    let part = || {
        let part =
            new_part(&part_type.name, state.sheet, state.camera().centre, state.pen.standing());
        Box::new(part)
    };
    let placing = |is_held| {
        let own = state.type_to_bring(&part_type.name);
        Action::Tool(Tool::Placing { part: part(), own, is_held, is_shown: false })
    };
    if response.drag_started() {
        actions.push(placing(true));
    } else if response.clicked() {
        let is_by_key = !ui.input(|input| input.pointer.any_click());
        actions.push(if is_by_key {
            Action::PlaceNow(part_type.name.clone())
        } else {
            placing(false)
        });
    }
    own::menu_ui(ui, state, part_type, &response, actions);
    response.on_hover_ui(|ui| {
        ui.set_max_width(300.0);
        ui.label(rich(&part_type.title).strong());
        ui.label(rich(&part_type.teaches));
        if let Some(own) = own {
            ui.label(rich(own).color(theme.muted));
        }
        if !part_type.nicknames.is_empty() {
            let names = ShelfWords::also_called(part_type.nicknames.join(", "));
            ui.label(rich(names).color(theme.muted));
        }
    });
}
