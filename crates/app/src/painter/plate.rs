//! Plates: what of a sheet is painted, kept from one frame to the next.

use std::collections::HashMap;
use std::sync::Arc;

use egui::epaint::{ClippedShape, Primitive};
use egui::{Mesh, Rect, Shape, Vec2, vec2};
use loomwright_circuit::Box2;
use loomwright_drawing::{Item, Legible, Prim, Sheet};

use super::{Layer, Screen, item_shapes, legible};
use crate::theme::{Theme, drafting};

/// One layer of a sheet as it was painted last, in runs of items.
///
/// All of it, letters too, is kept as triangles, which a frame hands on as one mesh. A view that is moved at the same
/// scale only shifts them; of a sheet that was changed, the runs are taken over whose items are still the very same. What
/// is shown is at all times what painting the sheet afresh would show.
#[derive(Debug, Default)]
pub(crate) struct Plate {
    kept: Option<Kept>,
    /// The pass of the toolkit that showed it last.
    pass: u64,
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
    /// How its letters are shown.
    legible: Arc<Legible>,
    /// What of the sheet is painted, mm: somewhat more than is in view, so that moving the view needs nothing new.
    area: Box2,
    /// How the sheet lay when the first run was painted; all runs are painted so, and then shifted.
    screen: Screen,
    runs: Vec<Run>,
    /// The runs in view as they are handed on; nothing until they are.
    shown: Option<Shifted>,
    /// What was handed on before: its memory serves again, since asking for so much anew takes longer than filling it.
    spare: Option<Arc<Mesh>>,
}

/// What triangles follow from, beside the items and their place.
#[derive(Debug, Clone)]
struct Look {
    scale: f64,
    larger: f64,
    pixels_per_point: f32,
    theme: &'static Theme,
    /// A line of letters that is set in every frame. The toolkit sets it anew only once it has thrown away all letters;
    /// those kept here are of no use then.
    letters: Arc<egui::Galley>,
    /// The size of the texture in which letters and discs lie: triangles know their place in it as a share of it.
    texture: [usize; 2],
}

impl PartialEq for Look {
    fn eq(&self, other: &Self) -> bool {
        self.scale == other.scale
            && self.larger == other.larger
            && self.pixels_per_point == other.pixels_per_point
            && std::ptr::eq(self.theme, other.theme)
            && self.texture == other.texture
            && Arc::ptr_eq(&self.letters, &other.letters)
    }
}

/// Triangles as a frame hands them on.
#[derive(Debug)]
struct Shifted {
    /// So far from where they were painted.
    by: Vec2,
    /// What of the sheet is in view, mm.
    in_view: Box2,
    mesh: Arc<Mesh>,
}

/// Items that follow each other, painted.
#[derive(Debug)]
struct Run {
    items: Vec<Arc<[Prim]>>,
    /// The rectangle around them all, mm.
    area: Box2,
    mesh: Mesh,
}

/// Items of a run: few enough that a change paints little anew, many enough that a frame hands little on.
const RUN: usize = 24;

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
        let texture = texture_size(painter.ctx());
        let (scale, larger) = (screen.scale, screen.larger);
        let look = Look { scale, larger, pixels_per_point, theme, letters, texture };
        let in_view = screen.in_view().grown(2.0);
        let kept = self.kept.take().filter(|kept| kept.look == look && kept.is_near(&screen));
        let is_shown = |kept: &Kept| Arc::ptr_eq(&kept.sheet, sheet) && kept.area.has(in_view);
        self.n_painted = 0;
        let mut kept = match kept {
            Some(kept) if is_shown(&kept) => kept,
            before => {
                let legible = legible(&screen, sheet);
                let (runs, screen, known, spare) = match before {
                    Some(kept) => {
                        (kept.runs, kept.screen, kept.legible, kept.shown.map(|it| it.mesh))
                    }
                    None => (Vec::new(), screen, Arc::clone(&legible), None),
                };
                let around = in_view.width().max(in_view.height()) * AROUND;
                let area = in_view.grown(around);
                let items = sheet.items_in(area).filter(|item| layer.has(item));
                let mut hand = Hand::new(Under { screen, ..under }, [&known, &legible]);
                let runs = hand.runs(items, runs);
                self.n_painted = hand.n_painted;
                let sheet = Arc::clone(sheet);
                Kept { look, sheet, legible, area, screen, runs, shown: None, spare }
            }
        };
        kept.show(&apart(painter, layer), &screen, in_view);
        self.kept = Some(kept);
        self.pass = painter.ctx().cumulative_pass_nr();
    }

    /// Whether the texture of the letters has grown since the plate was shown in this pass, so that its letters would be
    /// taken from elsewhere.
    pub(crate) fn is_stale(&self, ctx: &egui::Context) -> bool {
        let is_shown = self.pass == ctx.cumulative_pass_nr();
        let texture = self.kept.as_ref().map(|kept| kept.look.texture);
        is_shown && texture.is_some_and(|texture| texture != texture_size(ctx))
    }
}

/// The same painter with a clip rectangle of the layer's own, larger by less than a pixel. The toolkit joins what follows
/// each other in one rectangle, and would copy all triangles of a large sheet again for each shape that is added to them.
fn apart(painter: &egui::Painter, layer: Layer) -> egui::Painter {
    let by = match layer {
        Layer::Below => 0.02,
        Layer::Above => 0.04,
    };
    painter.with_clip_rect(painter.clip_rect().expand(by))
}

fn texture_size(ctx: &egui::Context) -> [usize; 2] {
    ctx.fonts(|fonts| fonts.font_image_size())
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
        if !self.shown.as_ref().is_some_and(is_known) {
            let before = self.shown.take().map(|shown| shown.mesh).or_else(|| self.spare.take());
            // Somebody else may still hold it.
            let room = before.and_then(Arc::into_inner).unwrap_or_default();
            let shown = self.runs.iter().filter(|run| run.area.meets(in_view));
            self.shown = Some(Shifted { by, in_view, mesh: Arc::new(joined(shown, by, room)) });
        }
        painter.extend(self.shown.iter().map(|shown| Shape::Mesh(Arc::clone(&shown.mesh))));
    }
}

/// Runs in one mesh, brought so far from where they were painted: the toolkit takes one large mesh over sooner than many
/// small ones. It is made in the memory of another.
fn joined<'a>(runs: impl Iterator<Item = &'a Run> + Clone, by: Vec2, mut all: Mesh) -> Mesh {
    all.vertices.clear();
    all.indices.clear();
    all.vertices.reserve(runs.clone().map(|run| run.mesh.vertices.len()).sum());
    all.indices.reserve(runs.clone().map(|run| run.mesh.indices.len()).sum());
    for run in runs {
        all.append_ref(&run.mesh);
    }
    if by != Vec2::ZERO {
        all.vertices.iter_mut().for_each(|vertex| vertex.pos += by);
    }
    all
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
    /// Whether the items that come next are those of this run, with their letters as they were.
    fn stands_before(&self, items: &[&Item], [known, legible]: [&Legible; 2]) -> bool {
        let is_same = |(prims, item): (&Arc<[Prim]>, &&Item)| {
            Arc::ptr_eq(prims, &item.prims) && legible.shows_as(known, item)
        };
        items.len() >= self.items.len() && self.items.iter().zip(items).all(is_same)
    }
}

/// What paints runs.
struct Hand<'a> {
    under: Under<'a>,
    /// How letters were shown, and how they are.
    letters: [&'a Legible; 2],
    n_painted: usize,
}

impl<'a> Hand<'a> {
    fn new(under: Under<'a>, letters: [&'a Legible; 2]) -> Self {
        Self { under, letters, n_painted: 0 }
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
            let known =
                before.remove(&begins).filter(|run| run.stands_before(&items[at..], self.letters));
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

    /// Paints a run. The toolkit itself turns it into triangles, since it alone knows where letters and discs lie in its
    /// texture.
    fn run(&mut self, items: &[&Item]) -> Option<Run> {
        let Under { painter, screen, theme } = self.under;
        let mut painted = Vec::new();
        for item in items {
            item_shapes(painter, &screen, (item, self.letters[1]), theme, &mut painted);
        }
        self.n_painted += items.len();
        let clip_rect = Rect::EVERYTHING;
        let clipped =
            painted.into_iter().map(|shape| ClippedShape::new(clip_rect, shape)).collect();
        let triangles = painter.ctx().tessellate(clipped, painter.pixels_per_point());
        let mut mesh = Mesh::default();
        for clipped in triangles {
            if let Primitive::Mesh(part) = clipped.primitive {
                mesh.append(part);
            }
        }
        let area = items.iter().map(|item| item.bounds).reduce(Box2::union)?;
        let items = items.iter().map(|item| Arc::clone(&item.prims)).collect();
        Some(Run { items, area, mesh })
    }
}

#[cfg(test)]
mod tests;
