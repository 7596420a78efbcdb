//! A small view of all of a sheet that is larger than what can be seen of it; it is dragged to look elsewhere.

use std::sync::Arc;

use egui::epaint::Tessellator;
use egui::{
    Color32, Id, Mesh, Order, Rect, Role, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, vec2,
};
use loomwright_circuit::Box2;
use loomwright_drawing::{Sheet as Laid, Subject};

use super::Board;
use crate::action::Action;
use crate::command::{Command, key_text};
use crate::draughtsman::is_large;
use crate::painter::Screen;
use crate::state::{Camera, Selection, State};
use crate::texts::Looking;
use crate::theme::Theme;
use crate::view::canvas::aside;

/// The most room that it takes, in screen points.
const MOST: egui::Vec2 = vec2(150.0, 100.0);

/// Paints it in a corner, where the sheet is larger than the view.
pub(super) fn overview_ui(
    ui: &Ui,
    screen: &Screen,
    (state, board): (&State, &mut Board),
    (laid, meant): (&Arc<Laid>, &Selection),
    actions: &mut Vec<Action>,
) {
    if state.settings.hides_overview {
        return;
    }
    let is_wanted = |all: &Box2| share_in_view(screen.in_view(), *all) < ENOUGH;
    let Some(all) = laid.bounds.filter(is_wanted) else { return };
    let all = all.grown(4.0);
    let scale = (f64::from(MOST.x) / all.width()).min(f64::from(MOST.y) / all.height());
    #[expect(clippy::cast_possible_truncation, reason = "it is small")]
    let size = vec2((all.width() * scale) as f32, (all.height() * scale) as f32);
    let Some(corner) = corner(ui, (screen, state), laid, size) else { return };
    let rect = Rect::from_min_size(corner, size);
    let is_pointed_at =
        ui.input(|input| input.pointer.hover_pos()).is_some_and(|at| rect.contains(at));
    let fades = !is_pointed_at
        && [&state.selection, meant]
            .into_iter()
            .any(|rows| aside::lies_under(screen, laid, rows, rect));
    if rect.width() > screen.rect.width() * 0.4 || rect.height() > screen.rect.height() * 0.4 {
        return;
    }
    let small = Screen::new(rect, Camera { centre: all.centre(), scale });
    // On a layer of its own, so that what is done on it is not done on the sheet below.
    let area = egui::Area::new(Id::unique("overview")).order(Order::Middle).fixed_pos(corner);
    let (response, closes) = area
        .show(ui.ctx(), |ui| {
            if fades {
                ui.set_opacity(FADED);
            }
            let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
            paint(ui, (rect, board), (&small, laid), screen.in_view(), state.theme());
            (response, close_ui(ui, rect, state.theme()))
        })
        .inner;
    if closes {
        actions.push(Action::Command(Command::ShowOverview));
        return;
    }
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, Looking::overview()));
    if (response.dragged() || response.is_pointer_button_down_on())
        && let Some(pos) = response.interact_pointer_pos()
    {
        let centre = small.sheet_from_screen(pos);
        if centre.distance(state.camera().centre) > 0.01 {
            actions.push(Action::Camera(Camera { centre, ..state.camera() }));
        }
    }
    response.on_hover_text(Looking::overview_tip());
}

/// How strongly it is painted while something that is selected or pointed at lies under it.
const FADED: f32 = 0.25;

/// The corner that it stands in; while it is dragged it stays in the one where it was taken hold of.
fn corner(
    ui: &Ui,
    (screen, state): (&Screen, &State),
    laid: &Laid,
    size: egui::Vec2,
) -> Option<egui::Pos2> {
    let key = Id::unique("corner of the overview");
    let known: Option<egui::Pos2> = ui.data(|data| data.get_temp(key));
    let is_held = |at: &egui::Pos2| {
        let pressed = ui.input(|input| input.pointer.press_origin());
        pressed.is_some_and(|pressed| Rect::from_min_size(*at, size).contains(pressed))
    };
    let corner = match known.filter(is_held) {
        Some(at) => Some(at),
        None => aside::corner(screen, state, laid, size),
    };
    ui.data_mut(|data| {
        if let Some(at) = corner {
            data.insert_temp(key, at);
        } else {
            data.remove_temp::<egui::Pos2>(key);
        }
    });
    corner
}

/// From this share of the drawn extent in view on, nobody needs to be told where on the sheet that is.
const ENOUGH: f64 = 0.85;

/// The share of a rectangle that is in view.
fn share_in_view(view: Box2, all: Box2) -> f64 {
    let along = |from: f64, to: f64, least: f64, greatest: f64| {
        let length = to - from;
        // What has no width is in view or not.
        let seen = (to.min(greatest) - from.max(least)).max(0.0);
        if length > 0.0 { seen / length } else { f64::from(from >= least && to <= greatest) }
    };
    along(all.min.x, all.max.x, view.min.x, view.max.x)
        * along(all.min.y, all.max.y, view.min.y, view.max.y)
}

/// The cross that puts it away.
fn close_ui(ui: &Ui, rect: Rect, theme: &Theme) -> bool {
    let place = Rect::from_min_size(rect.right_top() - vec2(20.0, 0.0), vec2(20.0, 20.0));
    // It takes drags too, which else went to what lies under it.
    let response = ui.interact(place, Id::unique("close overview"), Sense::click_and_drag());
    let name = Looking::close_overview();
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    let is_meant = response.hovered() || response.has_focus();
    let (fill, colour) =
        if is_meant { (theme.hover, theme.ink) } else { (theme.field, theme.muted) };
    ui.painter().rect_filled(place.shrink(2.0), 3.0, fill);
    let cross = Rect::from_center_size(place.center(), vec2(7.0, 7.0));
    let stroke = Stroke::new(1.6, colour);
    ui.painter().line_segment([cross.left_top(), cross.right_bottom()], stroke);
    ui.painter().line_segment([cross.right_top(), cross.left_bottom()], stroke);
    let key = key_text(ui.ctx(), Command::ShowOverview);
    let closes = response.clicked();
    response.on_hover_text(Looking::close_overview_tip(key));
    closes
}

/// All of a sheet painted small, and what that follows from.
#[derive(Debug)]
pub(super) struct Small {
    laid: Arc<Laid>,
    rect: Rect,
    pixels_per_point: f32,
    theme: &'static Theme,
    pub(super) shape: Shape,
}

impl Small {
    pub(super) fn is_as(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.laid, &other.laid)
            && (self.rect, self.pixels_per_point) == (other.rect, other.pixels_per_point)
            && std::ptr::eq(self.theme, other.theme)
    }
}

fn paint(
    ui: &Ui,
    (rect, board): (Rect, &mut Board),
    (small, laid): (&Screen, &Arc<Laid>),
    view: Box2,
    theme: &'static Theme,
) {
    let painter = ui.painter().with_clip_rect(rect);
    painter.rect_filled(rect, 3.0, theme.field);
    let pixels_per_point = ui.ctx().pixels_per_point();
    let shape = Shape::Noop;
    let wanted = Small { laid: Arc::clone(laid), rect, pixels_per_point, theme, shape };
    painter.add(board.small(wanted, || Shape::mesh(all(ui, small, laid, theme))));
    let seen = small.screen_rect(view).intersect(rect.shrink(1.0));
    let fill = theme.selected.gamma_multiply(0.15);
    painter.rect(seen, 2.0, fill, Stroke::new(1.8, theme.selected), StrokeKind::Inside);
    painter.rect_stroke(rect, 3.0, Stroke::new(1.0, theme.muted), StrokeKind::Inside);
}

/// Wires and parts of a whole sheet.
fn all(ui: &Ui, small: &Screen, laid: &Laid, theme: &Theme) -> Mesh {
    let ink = theme.ink.gamma_multiply(0.75);
    let bodies = laid.items.iter().filter(|item| matches!(item.subject, Subject::Part(_)));
    let bodies = bodies.map(|item| small.screen_rect(item.bounds).expand(0.3));
    let routes = laid
        .routes
        .values()
        .map(|route| route.iter().map(|point| small.screen_from_sheet(*point)).collect::<Vec<_>>());
    if is_large(laid) {
        let mut points = Points::over(small.rect);
        for route in routes {
            for ends in route.windows(2) {
                points.cover(Rect::from_two_pos(ends[0], ends[1]), Cover::Wire);
            }
        }
        bodies.for_each(|body| points.cover(body, Cover::Part));
        return points.mesh([theme.muted, ink]);
    }
    let options = ui.ctx().options(|options| options.tessellation_options);
    let pixels_per_point = ui.ctx().pixels_per_point();
    let mut tessellator = Tessellator::new(pixels_per_point, options, [1, 1], Vec::new());
    let mut mesh = Mesh::default();
    for route in routes {
        tessellator.tessellate_shape(Shape::line(route, Stroke::new(0.8, theme.muted)), &mut mesh);
    }
    for body in bodies {
        tessellator.tessellate_shape(Shape::rect_filled(body, 1.0, ink), &mut mesh);
    }
    mesh
}

/// Every point of the screen that a small view takes, and what covers it: thousands of wires lie over each other there.
struct Points {
    rect: Rect,
    width: usize,
    covered: Vec<Cover>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Cover {
    Nothing,
    Wire,
    Part,
}

impl Points {
    fn over(rect: Rect) -> Self {
        let [width, height] = [rect.width(), rect.height()].map(whole);
        Self { rect, width, covered: vec![Cover::Nothing; width * height] }
    }

    /// Covers the points of a rectangle, and one at the least.
    fn cover(&mut self, rect: Rect, by: Cover) {
        let rect = rect.translate(-self.rect.min.to_vec2());
        let rows = whole(rect.min.y)..whole(rect.max.y).max(whole(rect.min.y) + 1);
        let columns = whole(rect.min.x)..whole(rect.max.x).max(whole(rect.min.x) + 1);
        for row in rows {
            let from = row * self.width;
            let columns = from + columns.start..from + columns.end.min(self.width);
            if let Some(points) = self.covered.get_mut(columns) {
                points.fill(by);
            }
        }
    }

    /// The points in colours, those of wires and those of parts; neighbours in a row as one rectangle.
    fn mesh(&self, [wire, part]: [Color32; 2]) -> Mesh {
        let mut mesh = Mesh::default();
        for (row, points) in self.covered.chunks(self.width.max(1)).enumerate() {
            let mut column = 0;
            for alike in points.chunk_by(|a, b| a == b) {
                let colour = match alike[0] {
                    Cover::Nothing => None,
                    Cover::Wire => Some(wire),
                    Cover::Part => Some(part),
                };
                let [x, y, width] = [column, row, alike.len()].map(|n| n as f32);
                if let Some(colour) = colour {
                    let at = self.rect.min + vec2(x, y);
                    mesh.add_colored_rect(Rect::from_min_size(at, vec2(width, 1.0)), colour);
                }
                column += alike.len();
            }
        }
        mesh
    }
}

/// A length in whole points; none below nought.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "it is small, and not below nought"
)]
fn whole(length: f32) -> usize {
    length.round().max(0.0) as usize
}

#[cfg(test)]
mod tests {
    use egui::pos2;

    use super::*;

    /// However many wires lie over each other, the small view has at most one rectangle for each of its points.
    #[test]
    fn points_are_covered_once_and_parts_lie_over_wires() {
        let rect = Rect::from_min_size(pos2(10.0, 20.0), vec2(30.0, 10.0));
        let mut points = Points::over(rect);
        for _ in 0..1_000 {
            points.cover(Rect::from_two_pos(pos2(12.0, 24.0), pos2(22.0, 24.0)), Cover::Wire);
            points.cover(Rect::from_two_pos(pos2(15.0, 21.0), pos2(15.0, 28.0)), Cover::Wire);
        }
        points.cover(Rect::from_two_pos(pos2(20.0, 23.0), pos2(60.0, 25.0)), Cover::Part);
        let [wire, part] = [Color32::RED, Color32::BLUE];
        let mesh = points.mesh([wire, part]);
        let area = |colour| {
            let of_colour = mesh.vertices.chunks(4).filter(|corners| corners[0].color == colour);
            of_colour.map(|c| (c[3].pos.x - c[0].pos.x) * (c[3].pos.y - c[0].pos.y)).sum::<f32>()
        };
        // Ten points along less two under the part, seven up less the one where they cross.
        assert_eq!([area(wire), area(part)], [8.0 + 6.0, 20.0 * 2.0]);
        assert!(mesh.vertices.iter().all(|vertex| rect.contains(vertex.pos)));
    }
}
