//! Plates: what of a sheet is painted, kept from one frame to the next.

use std::collections::HashMap;
use std::sync::Arc;

use egui::epaint::Tessellator;
use egui::{Mesh, Shape, Vec2, vec2};
use loomwright_circuit::Box2;
use loomwright_drawing::{Item, Prim, Sheet};

use super::{Layer, Screen, item_shapes};
use crate::theme::{Theme, drafting};

/// One layer of a sheet as it was painted last, in runs of items.
///
/// While nothing changes, a frame hands its shapes on as they are; a view that is moved at the same scale only shifts
/// them; of a sheet that was changed, the runs are taken over whose items are still the very same. What is shown is at
/// all times what painting the sheet afresh would show.
#[derive(Debug, Default)]
pub(crate) struct Plate {
    kept: Option<Kept>,
    /// Items that the last frame painted anew.
    n_painted: usize,
}

/// What a plate is painted on and in.
#[derive(Clone, Copy)]
pub(crate) struct Under<'a> {
    /// The canvas, and the fonts.
    pub(crate) painter: &'a egui::Painter,
    /// How the sheet lies on it.
    pub(crate) screen: Screen,
    /// The colours.
    pub(crate) theme: &'static Theme,
}

#[derive(Debug)]
struct Kept {
    look: Look,
    sheet: Arc<Sheet>,
    /// What of the sheet is painted, mm: somewhat more than is in view, so that moving the view needs nothing new.
    area: Box2,
    /// How the sheet lay when the first run was painted; all runs are painted so, and then shifted.
    screen: Screen,
    runs: Vec<Run>,
    /// The shapes of the runs in view as they are handed on; nothing until they are.
    shifted: Option<Shifted>,
}

/// What shapes follow from, beside the items and their place.
#[derive(Debug, Clone)]
struct Look {
    scale: f64,
    pixels_per_point: f32,
    theme: &'static Theme,
    /// A line of letters that is set in every frame. The toolkit sets it anew only once it has thrown away all letters;
    /// those kept here are of no use then.
    letters: Arc<egui::Galley>,
}

impl PartialEq for Look {
    fn eq(&self, other: &Self) -> bool {
        self.scale == other.scale
            && self.pixels_per_point == other.pixels_per_point
            && std::ptr::eq(self.theme, other.theme)
            && Arc::ptr_eq(&self.letters, &other.letters)
    }
}

/// Shapes as a frame hands them on.
#[derive(Debug)]
struct Shifted {
    /// So far from where they were painted.
    by: Vec2,
    /// What of the sheet is in view, mm.
    in_view: Box2,
    shapes: Vec<Shape>,
}

/// Items that follow each other, painted.
#[derive(Debug)]
struct Run {
    items: Vec<Arc<[Prim]>>,
    /// The rectangle around them all, mm.
    area: Box2,
    /// Letters, and meshes of all else.
    shapes: Vec<Shape>,
}

/// Items of a run: few enough that a change paints little anew, many enough that a frame hands little on.
const RUN: usize = 48;

/// How far runs may be shifted before places lose their last digits, screen points.
const FARTHEST: f32 = 4096.0;

/// What is painted around the view, as a share of it.
const AROUND: f64 = 0.25;

impl Plate {
    /// Paints what of a layer of a sheet is in view.
    pub(crate) fn paint(&mut self, under: Under<'_>, sheet: &Arc<Sheet>, layer: Layer) {
        let Under { painter, screen, theme } = under;
        let letters = painter.layout_no_wrap("W".to_owned(), drafting(12.0), theme.ink);
        let pixels_per_point = painter.pixels_per_point();
        let look = Look { scale: screen.scale, pixels_per_point, theme, letters };
        let in_view = screen.in_view().grown(2.0);
        let kept = self.kept.take().filter(|kept| kept.look == look && kept.is_near(&screen));
        let is_shown = |kept: &Kept| Arc::ptr_eq(&kept.sheet, sheet) && kept.area.has(in_view);
        self.n_painted = 0;
        let mut kept = match kept {
            Some(kept) if is_shown(&kept) => kept,
            before => {
                let (runs, screen) =
                    before.map_or((Vec::new(), screen), |kept| (kept.runs, kept.screen));
                let around = in_view.width().max(in_view.height()) * AROUND;
                let area = in_view.grown(around);
                let items = sheet.items_in(area).filter(|item| layer.has(item));
                let mut hand = Hand::new(Under { screen, ..under });
                let runs = hand.runs(items, runs);
                self.n_painted = hand.n_painted;
                Kept { look, sheet: Arc::clone(sheet), area, screen, runs, shifted: None }
            }
        };
        kept.show(painter, &screen, in_view);
        self.kept = Some(kept);
    }
}

impl Kept {
    fn shift(&self, screen: &Screen) -> Vec2 {
        let by = screen.origin - self.screen.origin;
        #[expect(clippy::cast_possible_truncation, reason = "screen lengths are small")]
        vec2(by.x as f32, by.y as f32)
    }

    fn is_near(&self, screen: &Screen) -> bool {
        let by = self.shift(screen);
        by.x.abs() < FARTHEST && by.y.abs() < FARTHEST
    }

    /// Hands on the runs that are in view: what lies around it only waits for the view to be moved.
    fn show(&mut self, painter: &egui::Painter, screen: &Screen, in_view: Box2) {
        let by = self.shift(screen);
        let is_known = |known: &Shifted| known.by == by && known.in_view == in_view;
        if !self.shifted.as_ref().is_some_and(is_known) {
            let shown = self.runs.iter().filter(|run| run.area.meets(in_view));
            self.shifted = Some(Shifted { by, in_view, shapes: joined(shown, by) });
        }
        let shapes = self.shifted.iter().flat_map(|shifted| &shifted.shapes);
        painter.extend(shapes.cloned());
    }
}

/// The shapes of runs brought so far from where they were painted. Meshes are joined as far as no letters lie between
/// them: the toolkit takes few large ones over sooner than many small ones.
fn joined<'a>(runs: impl Iterator<Item = &'a Run>, by: Vec2) -> Vec<Shape> {
    let (mut shapes, mut all) = (Vec::new(), Mesh::default());
    for shape in runs.flat_map(|run| &run.shapes) {
        if let Shape::Mesh(mesh) = shape {
            let first = all.vertices.len();
            all.append_ref(mesh);
            if by != Vec2::ZERO {
                all.vertices[first..].iter_mut().for_each(|vertex| vertex.pos += by);
            }
        } else {
            finish(&mut all, &mut shapes);
            let mut shape = shape.clone();
            shape.translate(by);
            shapes.push(shape);
        }
    }
    finish(&mut all, &mut shapes);
    shapes
}

trait Holds {
    fn has(self, other: Self) -> bool;
}

impl Holds for Box2 {
    fn has(self, other: Self) -> bool {
        self.contains(other.min) && self.contains(other.max)
    }
}

impl Run {
    /// Whether the items that come next are those of this run.
    fn stands_before(&self, items: &[&Item]) -> bool {
        items.len() >= self.items.len()
            && self.items.iter().zip(items).all(|(prims, item)| Arc::ptr_eq(prims, &item.prims))
    }
}

/// What paints runs.
struct Hand<'a> {
    under: Under<'a>,
    tessellator: Tessellator,
    n_painted: usize,
}

impl<'a> Hand<'a> {
    fn new(under: Under<'a>) -> Self {
        let painter = under.painter;
        let options = painter.ctx().options(|options| options.tessellation_options);
        // Letters are not turned into triangles here, as only the toolkit knows where they will lie in its texture.
        let tessellator = Tessellator::new(painter.pixels_per_point(), options, [1, 1], Vec::new());
        Self { under, tessellator, n_painted: 0 }
    }

    /// The items in runs; those painted before are taken over.
    fn runs<'i>(&mut self, items: impl Iterator<Item = &'i Item>, before: Vec<Run>) -> Vec<Run> {
        let items: Vec<&Item> = items.collect();
        let first = |run: &Run| run.items.first().map(|prims| Arc::as_ptr(prims).cast::<Prim>());
        let mut before: HashMap<*const Prim, Run> =
            before.into_iter().filter_map(|run| Some((first(&run)?, run))).collect();
        let mut runs = Vec::new();
        let (mut at, mut fresh) = (0, 0);
        while at < items.len() {
            let begins = Arc::as_ptr(&items[at].prims).cast::<Prim>();
            let known = before.remove(&begins).filter(|run| run.stands_before(&items[at..]));
            if known.is_some() || at - fresh == RUN {
                runs.extend(self.run(&items[fresh..at]));
                fresh = at;
            }
            match known {
                Some(run) => {
                    at += run.items.len();
                    fresh = at;
                    runs.push(run);
                }
                None => at += 1,
            }
        }
        runs.extend(self.run(&items[fresh..]));
        runs
    }

    /// Paints a run: all but letters as few meshes, which are quick to hand on.
    fn run(&mut self, items: &[&Item]) -> Option<Run> {
        let Under { painter, screen, theme } = self.under;
        let mut painted = Vec::new();
        for item in items {
            item_shapes(painter, &screen, item, theme, &mut painted);
        }
        self.n_painted += items.len();
        let (mut shapes, mut mesh) = (Vec::new(), Mesh::default());
        for shape in painted {
            if matches!(shape, Shape::Text(_)) {
                finish(&mut mesh, &mut shapes);
                shapes.push(shape);
            } else {
                self.tessellator.tessellate_shape(shape, &mut mesh);
            }
        }
        finish(&mut mesh, &mut shapes);
        let area = items.iter().map(|item| item.bounds).reduce(Box2::union)?;
        let items = items.iter().map(|item| Arc::clone(&item.prims)).collect();
        Some(Run { items, area, shapes })
    }
}

fn finish(mesh: &mut Mesh, shapes: &mut Vec<Shape>) {
    if !mesh.is_empty() {
        shapes.push(Shape::mesh(std::mem::take(mesh)));
    }
}

#[cfg(test)]
mod tests;
