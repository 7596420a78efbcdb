//! Papers: the pages down the side by name, and the page itself on a plain table-top.

use egui::{
    CornerRadius, CursorIcon, Panel, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2,
};
use loomwright_circuit::Point;

use crate::action::Action;
use crate::command::{Command, key_text};
use crate::pages::SetPages;
use crate::painter::in_lines;
use crate::press::PaperOptions;
use crate::rich::{rich, unparted};
use crate::state::{PageLook, PageSeen, State};
use crate::texts::PaperWords;
use crate::theme::{FADE, Theme, medium, plain, semibold};

mod options;

/// What the mode shows.
#[derive(Debug, Clone)]
pub struct PapersView {
    /// Names of the pages.
    pub names: Vec<String>,
    /// The page shown.
    pub page: usize,
    /// Its width and height, points of 1/72 inch.
    pub size: [f64; 2],
    /// Its picture.
    pub picture: Option<egui::TextureId>,
    /// What to say while there is none.
    pub says: String,
    /// Paper, inks, and what the drawings show.
    pub options: PaperOptions,
    /// How the page was last shown.
    pub seen: PageSeen,
    /// Where it is looked at; nothing while all of it is shown.
    pub look: Option<PageLook>,
}

/// Builds it.
pub fn papers_view(state: &State, pages: &SetPages) -> PapersView {
    let page = state.papers.page.min(pages.names.len().saturating_sub(1));
    PapersView {
        names: pages.names.clone(),
        page,
        size: pages.sizes.get(page).copied().unwrap_or([595.0, 842.0]),
        picture: pages.picture_of(page),
        says: pages.failure.clone().unwrap_or_else(|| PaperWords::preparing_the_pages().to_owned()),
        options: state.papers.options.clone(),
        seen: state.papers.seen,
        look: state.papers.look,
    }
}

/// Paints it.
pub fn papers_ui(ui: &mut Ui, theme: &Theme, view: &PapersView, actions: &mut Vec<Action>) {
    let frame = egui::Frame::new().fill(theme.chrome).inner_margin(egui::Margin::symmetric(12, 8));
    Panel::left("pages").exact_size(238.0).frame(frame).show(ui, |ui| {
        list_ui(ui, theme, view, actions);
    });
    let table = egui::Frame::new().fill(theme.table);
    egui::CentralPanel::default().frame(table).show(ui, |ui| page_ui(ui, theme, view, actions));
}

fn list_ui(ui: &mut Ui, theme: &Theme, view: &PapersView, actions: &mut Vec<Action>) {
    ui.label(rich(PaperWords::garage_pack()).font(semibold(17.0)).color(theme.ink));
    ui.add_space(2.0);
    if let Some(options) = options::options_ui(ui, theme, &view.options, actions) {
        actions.push(Action::PaperOptions(options));
    }
    ui.add_space(6.0);
    // Side by side, so that the list below has room in a small window.
    ui.horizontal(|ui| {
        let half = (ui.available_width() - ui.spacing().item_spacing.x) / 2.0;
        for command in [Command::Print, Command::PrintPage] {
            command_ui(ui, theme, (command, half), actions);
        }
    });
    command_ui(ui, theme, (Command::ExportPack, ui.available_width()), actions);
    ui.add_space(6.0);
    ui.painter().hline(ui.max_rect().x_range(), ui.cursor().top(), Stroke::new(1.0, theme.edge));
    ui.add_space(4.0);
    turn_ui(ui, theme, view, actions);
    ui.add_space(4.0);
    egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        // The list follows whoever turns pages elsewhere, and stays where it is scrolled to by hand.
        let key = ui.scope_id().with("page in the list");
        let before: Option<usize> = ui.data(|data| data.get_temp(key));
        ui.data_mut(|data| data.insert_temp(key, view.page));
        for (page, name) in view.names.iter().enumerate() {
            let is_shown = page == view.page;
            let row = row_ui(ui, theme, (page, name), is_shown, actions);
            if is_shown && before != Some(page) {
                // Clear of the fade at the list's edges.
                ui.scroll_to_rect(row.expand2(vec2(0.0, FADE)), None);
            }
        }
    });
}

/// A button of this width for a command.
fn command_ui(
    ui: &mut Ui,
    theme: &Theme,
    (command, width): (Command, f32),
    actions: &mut Vec<Action>,
) {
    let padding = std::mem::replace(&mut ui.spacing_mut().button_padding.x, 3.0);
    let button = egui::Button::new(rich(command.text()).font(semibold(13.0)).color(theme.ink))
        .fill(theme.field)
        .stroke(Stroke::new(1.0, theme.edge));
    let response = ui.add_sized(vec2(width, 24.0), button);
    ui.spacing_mut().button_padding.x = padding;
    if response.clicked() {
        actions.push(Action::Command(command));
    }
    let key = key_text(ui.ctx(), command);
    response.on_hover_text(format!("{} ({key})", command.tip()));
}

/// Which page of how many, with buttons to the one before and the next.
fn turn_ui(ui: &mut Ui, theme: &Theme, view: &PapersView, actions: &mut Vec<Action>) {
    let n_pages = view.names.len();
    if n_pages == 0 {
        return;
    }
    ui.horizontal(|ui| {
        let steps = [
            ("\u{2039}", PaperWords::previous_page(), view.page.checked_sub(1)),
            (
                "\u{203a}",
                PaperWords::next_page(),
                Some(view.page + 1).filter(|page| *page < n_pages),
            ),
        ];
        for (idx, (word, name, to)) in steps.into_iter().enumerate() {
            if idx == 1 {
                let says = PaperWords::page_of(view.page + 1, n_pages);
                let label = egui::Label::new(rich(says).font(medium(13.5)).color(theme.ink));
                ui.add_sized(vec2(ui.available_width() - 36.0, 22.0), label);
            }
            let button = egui::Button::new(rich(word).font(semibold(16.0)).color(theme.ink))
                .fill(theme.field)
                .stroke(Stroke::new(1.0, theme.edge))
                .min_size(vec2(28.0, 22.0));
            let response = ui.add_enabled(to.is_some(), button);
            response.widget_info(|| WidgetInfo::labeled(Role::Button, to.is_some(), name));
            if response.clicked()
                && let Some(page) = to
            {
                actions.push(Action::Page(page));
            }
            response.on_hover_text(name);
        }
    });
}

fn row_ui(
    ui: &mut Ui,
    theme: &Theme,
    (page, name): (usize, &str),
    is_shown: bool,
    actions: &mut Vec<Action>,
) -> Rect {
    let width = ui.available_width();
    // A long title goes on in a second line.
    let room = (width - 46.0, 2);
    let galley = in_lines(ui.painter(), name, medium(14.0), theme.ink, room);
    let height = (galley.size().y + 9.0).max(28.0);
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::click());
    let label = PaperWords::page(page + 1, name);
    response.widget_info(|| WidgetInfo::selected(Role::ListItem, true, is_shown, &label));
    let painter = ui.painter();
    if is_shown || response.hovered() || response.has_focus() {
        let fill = if is_shown { theme.field } else { theme.hover };
        painter.rect(rect, 4.0, fill, Stroke::new(1.0, theme.edge), egui::StrokeKind::Inside);
    }
    let number = painter.layout_no_wrap((page + 1).to_string(), plain(13.0), theme.muted);
    let y = |galley: &egui::Galley| rect.center().y - galley.size().y / 2.0;
    let at = pos2(rect.left() + 26.0 - number.size().x, y(&number));
    painter.galley(at, number, theme.muted);
    let is_cut = galley.elided;
    let at = pos2(rect.left() + 38.0, y(&galley));
    painter.galley(at, galley, theme.ink);
    if response.clicked() {
        actions.push(Action::Page(page));
    }
    if is_cut {
        response.on_hover_text(name);
    }
    rect
}

/// The page as it lies on the table.
struct Lying {
    rect: Rect,
    scale: f64,
    whole_scale: f64,
}

impl Lying {
    #[expect(clippy::cast_possible_truncation, reason = "pages are a few hundred points wide")]
    fn of(view: &PapersView, table: Rect) -> Self {
        let [width, height] = view.size;
        let room = table.shrink(22.0);
        let whole_scale =
            (f64::from(room.width()) / width).min(f64::from(room.height()) / height).max(0.05);
        let scale = view.look.map_or(whole_scale, |look| look.scale);
        let size = vec2((width * scale) as f32, (height * scale) as f32);
        let centre = view.look.map_or_else(
            || table.center(),
            |look| {
                let from_middle = look.centre - Point::new(width / 2.0, height / 2.0);
                let by = from_middle * scale;
                table.center() - vec2(by.x as f32, by.y as f32)
            },
        );
        Self { rect: Rect::from_center_size(centre, size), scale, whole_scale }
    }

    /// The place on the page under a place on the screen.
    fn page_from_screen(&self, pos: egui::Pos2) -> Point {
        let from_corner = pos - self.rect.min;
        Point::new(f64::from(from_corner.x), f64::from(from_corner.y)) * (1.0 / self.scale)
    }
}

/// How finely a page is painted at most: along its longer side, pixels.
const MOST_PIXELS: f64 = 6000.0;

fn page_ui(ui: &mut Ui, theme: &Theme, view: &PapersView, actions: &mut Vec<Action>) {
    let table = ui.max_rect();
    let lying = Lying::of(view, table);
    let longest = view.size[0].max(view.size[1]);
    let seen = PageSeen {
        pixels_per_pt: (lying.scale * f64::from(ui.ctx().pixels_per_point()))
            .min(MOST_PIXELS / longest),
        whole_scale: lying.whole_scale,
        middle: Point::new(view.size[0] / 2.0, view.size[1] / 2.0),
    };
    let differs = (seen.pixels_per_pt - view.seen.pixels_per_pt).abs() > 0.005
        || (seen.whole_scale - view.seen.whole_scale).abs() > 1e-6
        || seen.middle != view.seen.middle;
    if differs {
        actions.push(Action::PageSeen(seen));
    }
    let page = lying.rect;
    let painter = ui.painter().with_clip_rect(table);
    let shadow = page.translate(vec2(3.0, 4.0));
    painter.rect_filled(shadow, CornerRadius::same(2), theme.shade);
    painter.rect_filled(page, CornerRadius::ZERO, theme.white);
    if let Some(texture) = view.picture {
        let uv = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        // By night a white page would dazzle.
        painter.image(texture, page, uv, theme.white);
    } else {
        let galley = painter.layout(
            unparted(view.says.clone()),
            plain(15.0),
            theme.on_white,
            page.width() - 40.0,
        );
        painter.galley(page.center() - galley.size() / 2.0, galley, theme.on_white);
    }
    let name = view.names.get(view.page).cloned().unwrap_or_default();
    let response = ui.interact(table, ui.scope_id().with("page"), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, PaperWords::the_page(&name)));
    look_around(ui, &response, view, &lying, actions);
    turn_pages(ui, view, actions);
}

/// Ctrl and the wheel go nearer and farther, a double click does either; from near, the page is dragged or scrolled.
fn look_around(
    ui: &Ui,
    response: &egui::Response,
    view: &PapersView,
    lying: &Lying,
    actions: &mut Vec<Action>,
) {
    let present =
        PageLook { centre: lying.page_from_screen(ui.max_rect().center()), scale: lying.scale };
    let by = |delta: egui::Vec2| {
        Point::new(f64::from(delta.x), f64::from(delta.y)) * (1.0 / lying.scale)
    };
    let (scrolled, zoomed, pos) = ui.input(|input| {
        (input.smooth_scroll_delta(), input.zoom_delta(), input.pointer.hover_pos())
    });
    let under = pos.map_or(present.centre, |pos| lying.page_from_screen(pos));
    let mut look = view.look;
    if response.double_clicked() {
        let full = PageLook::FULL_SIZE.max(lying.whole_scale * 1.6) / lying.scale;
        look = if look.is_some() { None } else { present.zoomed(full, under, lying.whole_scale) };
    } else if response.contains_pointer() && zoomed != 1.0 {
        look = present.zoomed(f64::from(zoomed), under, lying.whole_scale);
    } else if let Some(look) = &mut look {
        if response.dragged() {
            look.centre = look.centre - by(response.drag_delta());
        } else if response.contains_pointer() {
            look.centre = look.centre - by(scrolled);
        }
        // The middle of the view stays on the page.
        let [width, height] = view.size;
        look.centre = Point::new(look.centre.x.clamp(0.0, width), look.centre.y.clamp(0.0, height));
    }
    if look != view.look {
        actions.push(Action::LookAtPage(look));
    }
    if response.contains_pointer() && view.look.is_some() {
        let is_held = response.dragged();
        ui.ctx().set_cursor_icon(if is_held { CursorIcon::Grabbing } else { CursorIcon::Grab });
    }
}

fn turn_pages(ui: &Ui, view: &PapersView, actions: &mut Vec<Action>) {
    // The arrows belong to a menu that is open.
    if egui::Popup::is_any_open(ui.ctx()) {
        return;
    }
    let (down, up) = ui.input(|input| {
        (input.key_pressed(egui::Key::ArrowDown), input.key_pressed(egui::Key::ArrowUp))
    });
    if down && view.page + 1 < view.names.len() {
        actions.push(Action::Page(view.page + 1));
    } else if up && view.page > 0 {
        actions.push(Action::Page(view.page - 1));
    }
}
