//! The page of a rule: Markdown as the pages of this program use it, painted.

use std::sync::Arc;

use egui::Ui;
use loomwright_circuit::Box2;
use loomwright_drawing::{Options, Sheet, arrange, lay_out};
use loomwright_rules::{help_for_reader, rule};

use super::course::{around_ui, lesson_of};
use crate::action::Action;
use crate::painter::{Layer, Screen, paint_sheet};
use crate::rich::rich;
use crate::state::Camera;
use crate::texts::RuleWords;
use crate::theme::{Theme, fixed, plain, semibold};
use crate::view::widgets::fold_ui;

/// Paints it, scrolled where the window is small.
pub(super) fn rule_ui(ui: &mut Ui, theme: &Theme, code: &str, actions: &mut Vec<Action>) {
    let title = rule(code).map_or("", |rule| rule.title);
    ui.horizontal(|ui| {
        ui.label(rich(title).font(semibold(18.0)).color(theme.ink));
        let of = format!("{code}, {}", lesson_of(code));
        ui.label(rich(of).font(plain(13.0)).color(theme.muted));
    });
    let room = (ui.ctx().content_rect().height() - 190.0).max(120.0);
    // Each page begins at its top.
    egui::ScrollArea::vertical().id_salt(code).max_height(room).min_scrolled_height(room).show(
        ui,
        |ui| {
            ui.set_width(ui.available_width());
            for piece in pieces(&help_for_reader(code).unwrap_or_default()) {
                piece_ui(ui, theme, &piece);
            }
        },
    );
    around_ui(ui, theme, code, actions);
}

/// A piece of a page.
#[derive(Debug, PartialEq, Eq)]
enum Piece {
    Heading(String),
    Paragraph(String),
    Row(String),
    Sketch(String),
}

/// A page in pieces; its own title is left out, since the box has one.
fn pieces(page: &str) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    let mut sketch: Option<String> = None;
    let mut is_fresh = true;
    for line in page.lines() {
        if line.starts_with("```") {
            match sketch.take() {
                Some(text) => pieces.push(Piece::Sketch(text)),
                None => sketch = Some(String::new()),
            }
            is_fresh = true;
        } else if let Some(text) = &mut sketch {
            text.push_str(line);
            text.push('\n');
        } else if line.starts_with("# ") || line.starts_with("<!--") {
            is_fresh = true;
        } else if let Some(heading) = line.strip_prefix("## ") {
            pieces.push(Piece::Heading(heading.to_owned()));
            is_fresh = true;
        } else if let Some(row) = line.strip_prefix("- ") {
            pieces.push(Piece::Row(plain_words(row)));
            is_fresh = true;
        } else if line.trim().is_empty() {
            is_fresh = true;
        } else {
            // One sentence stands on each line; a paragraph is what stands together.
            match pieces.last_mut() {
                Some(Piece::Paragraph(text)) if !is_fresh => {
                    text.push(' ');
                    text.push_str(&plain_words(line));
                }
                _ => pieces.push(Piece::Paragraph(plain_words(line))),
            }
            is_fresh = false;
        }
    }
    pieces
}

/// Without the signs of Markdown for words to be set otherwise.
fn plain_words(line: &str) -> String {
    line.replace(['`', '*'], "")
}

fn piece_ui(ui: &mut Ui, theme: &Theme, piece: &Piece) {
    match piece {
        Piece::Heading(text) => {
            ui.add_space(4.0);
            ui.label(rich(text).font(semibold(15.0)).color(theme.ink));
        }
        Piece::Paragraph(text) => {
            ui.label(rich(text).font(plain(14.0)).color(theme.ink));
        }
        Piece::Row(text) => {
            ui.label(rich(format!("•  {text}")).font(plain(14.0)).color(theme.ink));
        }
        Piece::Sketch(text) => {
            let frame = egui::Frame::new()
                .fill(theme.field)
                .stroke(egui::Stroke::new(1.0, theme.edge))
                .inner_margin(egui::Margin::symmetric(9, 6));
            frame.show(ui, |ui| {
                ui.set_width(ui.available_width());
                let is_drawn = schematic_ui(ui, theme, text);
                sketch_ui(ui, theme, text, is_drawn);
            });
        }
    }
}

/// The sketch as it is written, folded away below its drawing.
fn sketch_ui(ui: &mut Ui, theme: &Theme, text: &str, is_drawn: bool) {
    let key = egui::Id::unique(("sketch as it is written", text));
    let mut is_open = !is_drawn || ui.data(|data| data.get_temp(key)).unwrap_or(false);
    let (heading, tip) = (RuleWords::as_a_sketch(), RuleWords::as_a_sketch_tip());
    if is_drawn && fold_ui(ui, theme, heading, tip, is_open) {
        is_open = !is_open;
        ui.data_mut(|data| data.insert_temp(key, is_open));
    }
    if is_open {
        let text = rich(text.trim_end()).font(fixed(11.5)).color(theme.muted);
        ui.add(egui::Label::new(text).wrap());
    }
}

/// The sketch as a drawing, arranged as the window would; whether it can be drawn.
fn schematic_ui(ui: &mut Ui, theme: &Theme, text: &str) -> bool {
    let id = egui::Id::unique(("schematic", text));
    let known: Option<Arc<Sheet>> = ui.data(|data| data.get_temp(id));
    let Some(sheet) = known.or_else(|| drawn(text)) else { return false };
    ui.data_mut(|data| data.insert_temp(id, Arc::clone(&sheet)));
    let area = sheet.items.iter().map(|item| item.bounds).reduce(Box2::union);
    let Some(area) = area else { return false };
    let (width, height) = (area.max.x - area.min.x, area.max.y - area.min.y);
    let scale = (f64::from(ui.available_width()) / width.max(1.0)).min(SCALE_MOST);
    #[expect(clippy::cast_possible_truncation, reason = "a picture in a box is small")]
    let size = egui::vec2(ui.available_width(), (height * scale) as f32 + 8.0);
    let (rect, response) = ui.allocate_exact_size(size, egui::Sense::hover());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::Image, true, RuleWords::the_example_as_a_drawing())
    });
    if ui.is_rect_visible(rect) {
        let screen = Screen::new(rect, Camera { centre: area.centre(), scale });
        let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
        for layer in [Layer::Below, Layer::Above] {
            paint_sheet(&painter, &screen, (&sheet, layer), theme);
        }
    }
    true
}

/// Screen points for a millimetre of such a drawing, at most.
const SCALE_MOST: f64 = 3.4;

fn drawn(text: &str) -> Option<Arc<Sheet>> {
    let mut car = loomwright_sketch::parse(text).ok()?;
    let patch = car.plan(arrange(&car)).ok()?;
    car.apply(&patch);
    let sheet = *car.sheets().keys().next()?;
    Some(Arc::new(lay_out(&car, sheet, &Options::default())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_falls_into_its_pieces() {
        let page = "# PR01 Title\n\n## What\nOne `fuse`.\nTwo.\n\nThree.\n- row\n```sketch\ncar 12 V\n```\n";
        let expected = [
            Piece::Heading("What".to_owned()),
            Piece::Paragraph("One fuse. Two.".to_owned()),
            Piece::Paragraph("Three.".to_owned()),
            Piece::Row("row".to_owned()),
            Piece::Sketch("car 12 V\n".to_owned()),
        ];
        assert_eq!(pieces(page), expected);
    }

    #[test]
    fn every_rule_has_a_page_with_an_example() {
        for rule in loomwright_rules::RULES {
            let pieces = pieces(rule.help);
            assert!(pieces.iter().any(|it| matches!(it, Piece::Sketch(_))), "{}", rule.code);
            assert!(pieces.contains(&Piece::Heading("Why".to_owned())), "{}", rule.code);
        }
    }
}
