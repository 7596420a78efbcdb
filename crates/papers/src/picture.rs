//! Each sheet's drawing as a picture of its own: SVG with its fonts inside, and PNG.

use std::collections::BTreeMap;
use std::io::Write as _;
use std::sync::Arc;

use loomwright_circuit::Car;
use loomwright_drawing::{Lettering, Page, Palette, Sheet, svg};
use loomwright_rules::Report;
use resvg::tiny_skia::{Color, Pixmap, PixmapMut, Transform};
use resvg::usvg::{Options, Tree};

use crate::plates::{Fit, fits, sheet_title};
use crate::{ExportError, PackOptions, fonts, kept};

/// Paper left around the drawing, mm.
const MARGIN: f64 = 8.0;
/// A PNG is no larger than this each way; beyond it, viewers give up.
const GREATEST_PIXELS: f64 = 16_000.0;
const MM_PER_INCH: f64 = 25.4;
/// Rows of pixels that are painted at once.
const STRIP: u32 = 1024;

/// A sheet's drawing as files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drawing {
    /// The sheet's heading.
    pub title: String,
    /// The drawing as SVG: text as text, one group a part and a wire, the fonts inside.
    pub svg: String,
    /// The drawing as PNG.
    pub png: Vec<u8>,
}

/// The drawings of a car, one for each sheet that has anything on it.
///
/// # Errors
/// A drawing that cannot be painted.
pub fn drawings(
    car: &Car,
    report: &Report,
    options: &PackOptions,
) -> Result<Vec<Drawing>, ExportError> {
    let drawn = options.drawn(car);
    drawings_of(&drawn, options, &fits(&drawn, report, options))
}

/// A drawing with all that it follows from.
#[derive(Debug)]
pub(crate) struct Painted {
    drawing: Drawing,
    sheet: Arc<Sheet>,
    look: Look,
}

/// How a drawing is painted.
#[derive(Debug, PartialEq)]
struct Look {
    title: String,
    scale: f64,
    inks: Palette,
    dots_per_inch: u32,
}

pub(crate) fn drawings_of(
    car: &Car,
    options: &PackOptions,
    fits: &[Fit],
) -> Result<Vec<Drawing>, ExportError> {
    let mut painted = BTreeMap::new();
    let mut drawings = Vec::new();
    for fit in fits {
        let look = Look {
            title: sheet_title(car, fit.id),
            scale: fit.scale,
            inks: options.inks(),
            dots_per_inch: options.png_dots_per_inch,
        };
        let before = kept::picture(fit.id);
        let before = before.filter(|known| known.look == look && known.sheet == fit.sheet);
        let picture = match before {
            Some(picture) => picture,
            None => Arc::new(painted_anew(fit, look)?),
        };
        drawings.push(picture.drawing.clone());
        painted.insert(fit.id, picture);
    }
    kept::keep_pictures(painted);
    Ok(drawings)
}

fn painted_anew(fit: &Fit, look: Look) -> Result<Painted, ExportError> {
    let mut page = Page::around(&fit.sheet, MARGIN);
    page.width *= look.scale;
    let plain = svg(&fit.sheet, look.inks, &page);
    page.lettering = Lettering::Embedded;
    let svg = svg(&fit.sheet, look.inks, &page);
    let dots_per_mm = f64::from(look.dots_per_inch) / MM_PER_INCH;
    let png = png(&plain, page.width * dots_per_mm)
        .map_err(|says| ExportError::Drawing { sheet: look.title.clone(), says })?;
    let drawing = Drawing { title: look.title.clone(), svg, png };
    Ok(Painted { drawing, sheet: Arc::clone(&fit.sheet), look })
}

/// Paints an SVG with our own fonts, so wide that it has about this many pixels across.
fn png(svg: &str, pixels_across: f64) -> Result<Vec<u8>, String> {
    let settings = Options { fontdb: fonts::painted(), ..Options::default() };
    let tree = Tree::from_str(svg, &settings).map_err(|error| error.to_string())?;
    let (width, height) = (f64::from(tree.size().width()), f64::from(tree.size().height()));
    let scale = (pixels_across / width).min(GREATEST_PIXELS / width.max(height));
    let (width, height) = (pixels(width * scale), pixels(height * scale));
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the painter counts in f32; a scale needs no more"
    )]
    let scale = scale as f32;
    in_strips(width, height, &|top, strip| {
        let transform = Transform::from_scale(scale, scale).post_translate(0.0, -top);
        resvg::render(&tree, transform, strip);
    })
}

/// A PNG painted strip by strip from above: a large sheet whole would take some hundred megabytes.
fn in_strips(
    width: u32,
    height: u32,
    paint: &dyn Fn(f32, &mut PixmapMut<'_>),
) -> Result<Vec<u8>, String> {
    let mut strip =
        Pixmap::new(width, height.min(STRIP)).ok_or("no room for so large a picture")?;
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, width, height);
    encoder.set_color(png::ColorType::Rgb);
    let says = |error: png::EncodingError| error.to_string();
    let mut header = encoder.write_header().map_err(says)?;
    let mut rows = header.stream_writer().map_err(says)?;
    let row_bytes = strip.data().len() / strip.height() as usize;
    let mut row = Vec::with_capacity(row_bytes);
    for top in (0..height).step_by(STRIP as usize) {
        strip.fill(Color::WHITE);
        paint(top as f32, &mut strip.as_mut());
        let n_rows = STRIP.min(height - top) as usize;
        for pixels in strip.data().chunks_exact(row_bytes).take(n_rows) {
            // Paper lies below everything, so there is nothing to see through.
            row.clear();
            row.extend(pixels.as_chunks::<4>().0.iter().flat_map(|[r, g, b, _]| [*r, *g, *b]));
            rows.write_all(&row).map_err(|error| error.to_string())?;
        }
    }
    rows.finish().map_err(says)?;
    header.finish().map_err(says)?;
    Ok(file)
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 1 and GREATEST_PIXELS after the clamp"
)]
fn pixels(side: f64) -> u32 {
    side.round().clamp(1.0, GREATEST_PIXELS) as u32
}
