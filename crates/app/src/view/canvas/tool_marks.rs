//! What the tool in hand shows over the sheet: rings at terminals, boxes, marks to take hold of.

use egui::{Pos2, Rect, Stroke, StrokeKind, vec2};
use loomwright_circuit::{Point, WireId};
use loomwright_drawing::Sheet as Laid;

use crate::painter::Screen;
use crate::state::{Mode, State};
use crate::theme::Theme;
use crate::tool::{Bend, Source, Target, Tool};

/// Paints them.
pub(super) fn paint(
    painter: &egui::Painter,
    screen: &Screen,
    state: &State,
    laid: &Laid,
    hover: Option<&Target>,
) {
    let theme = state.theme();
    let ring = |at: Point, radius: f32, stroke: Stroke| {
        painter.circle_stroke(screen.screen_from_sheet(at), radius, stroke);
    };
    let terminal_at = |target: &Target| match target {
        Target::Terminal(part, name) => laid
            .terminals
            .iter()
            .find(|(known, known_name, _)| known == part && **known_name == **name)
            .map(|(.., at)| *at),
        _ => None,
    };
    match &state.tool {
        Tool::Boxing { from, to, .. } => {
            let corners = [*from, *to].map(|corner| screen.screen_from_sheet(corner));
            box_mark(painter, Rect::from_two_pos(corners[0], corners[1]), theme);
        }
        Tool::Running { to, target, .. } => {
            // Terminals light up while a wire looks for its end.
            for (.., at) in laid.terminals_in(screen.in_view().grown(3.0)) {
                ring(*at, 5.0, Stroke::new(1.2, theme.selected.gamma_multiply(0.55)));
            }
            match (terminal_at(target), target) {
                (Some(at), _) => {
                    aimed_at(painter, screen.screen_from_sheet(at), theme);
                }
                (None, Target::Wire(_) | Target::Loose(..)) => {
                    ring(*to, 7.0, Stroke::new(2.5, theme.selected));
                }
                _ => ring(*to, 4.0, Stroke::new(1.5, theme.muted)),
            }
        }
        Tool::Aiming { from, at } => {
            for (.., at) in laid.terminals_in(screen.in_view().grown(3.0)) {
                ring(*at, 5.0, Stroke::new(1.2, theme.selected.gamma_multiply(0.55)));
            }
            let begun = from.as_ref().and_then(|from| match from {
                Source::Terminal(part, name) => terminal_at(&Target::Terminal(*part, name.clone())),
                Source::Wire(_, at) => Some(*at),
                Source::End(wire, is_to) => end_of(laid, *wire, *is_to),
            });
            if let Some(begun) = begun {
                ring(begun, 7.0, Stroke::new(2.5, theme.selected));
            }
            if let Some(at) = terminal_at(&Target::Terminal(at.0, at.1.clone())) {
                aimed_at(painter, screen.screen_from_sheet(at), theme);
            }
        }
        Tool::Bending(bend) => bend_mark(painter, screen, bend, theme),
        Tool::Rest if state.mode == Mode::Draw => {
            if let Some(at) = hover.and_then(terminal_at) {
                ring(at, 7.0, Stroke::new(2.0, theme.selected));
            }
            plug_marks(painter, screen, state, (laid, hover));
        }
        _ => {}
    }
}

/// The terminal at which a wire would end.
fn aimed_at(painter: &egui::Painter, at: Pos2, theme: &Theme) {
    painter.circle_stroke(at, 9.0, Stroke::new(2.5, theme.selected));
    painter.circle_filled(at, 7.0, theme.selected.gamma_multiply(0.4));
}

fn box_mark(painter: &egui::Painter, rect: Rect, theme: &Theme) {
    let stroke = Stroke::new(1.2, theme.selected);
    let fill = theme.selected.gamma_multiply(0.10);
    painter.rect(rect, 2.0, fill, stroke, StrokeKind::Middle);
}

/// Where an end of a wire lies.
fn end_of(laid: &Laid, wire: WireId, is_to: bool) -> Option<Point> {
    let route = laid.routes.get(&wire)?;
    if is_to { route.last() } else { route.first() }.copied()
}

/// Marks on the one selected wire by which its ends are plugged elsewhere.
fn plug_marks(
    painter: &egui::Painter,
    screen: &Screen,
    state: &State,
    (laid, hover): (&Laid, Option<&Target>),
) {
    let scene = super::scene(state, laid);
    let end = hover.and_then(|target| crate::tool::end_here(&scene, target));
    let taken = end.filter(|end| end.moves).map(|end| end.is_to);
    for (_, is_to, at) in crate::tool::plugs(&scene) {
        let is_hovered = taken == Some(is_to);
        plug_mark(painter, screen.screen_from_sheet(at), is_hovered, state.theme());
    }
}

/// A small plate on a selected wire, by which its end is plugged elsewhere.
fn plug_mark(painter: &egui::Painter, at: Pos2, is_hovered: bool, theme: &Theme) {
    let side = if is_hovered { 11.0 } else { 8.0 };
    let plate = Rect::from_center_size(at, vec2(side, side));
    let stroke = Stroke::new(1.6, theme.selected);
    painter.rect(plate, 2.0, theme.field, stroke, StrokeKind::Middle);
}

/// The stretch in hand, with its two corners.
fn bend_mark(painter: &egui::Painter, screen: &Screen, bend: &Bend, theme: &Theme) {
    let Some([a, b]) = bend.stretch_now() else { return };
    let ends = [a, b].map(|end| screen.screen_from_sheet(end));
    painter.line_segment(ends, Stroke::new(2.4, theme.selected));
    for end in ends {
        painter.circle(end, 4.0, theme.field, Stroke::new(1.6, theme.selected));
    }
}
