//! Each sheet's drawing as a picture of its own: SVG with its fonts inside, and PNG.

use loomwright_circuit::Car;
use loomwright_drawing::{Lettering, Page, svg};
use loomwright_rules::Report;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};

use crate::plates::{Fit, fits, sheet_title};
use crate::{ExportError, PackOptions, fonts};

/// Paper left around the drawing, mm.
const MARGIN: f64 = 8.0;
/// A PNG is no larger than this each way; beyond it, viewers give up.
const GREATEST_PIXELS: f64 = 16_000.0;
const MM_PER_INCH: f64 = 25.4;

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

pub(crate) fn drawings_of(
    car: &Car,
    options: &PackOptions,
    fits: &[Fit],
) -> Result<Vec<Drawing>, ExportError> {
    let mut drawings = Vec::new();
    for fit in fits {
        let title = sheet_title(car, fit.id);
        let mut page = Page::around(&fit.sheet, MARGIN);
        page.width *= fit.scale;
        let plain = svg(&fit.sheet, options.inks(), &page);
        page.lettering = Lettering::Embedded;
        let svg = svg(&fit.sheet, options.inks(), &page);
        let dots_per_mm = f64::from(options.png_dots_per_inch) / MM_PER_INCH;
        let png = png(&plain, page.width * dots_per_mm)
            .map_err(|says| ExportError::Drawing { sheet: title.clone(), says })?;
        drawings.push(Drawing { title, svg, png });
    }
    Ok(drawings)
}

/// Paints an SVG with our own fonts, so wide that it has about this many pixels across.
fn png(svg: &str, pixels_across: f64) -> Result<Vec<u8>, String> {
    let settings = Options { fontdb: fonts::painted(), ..Options::default() };
    let tree = Tree::from_str(svg, &settings).map_err(|error| error.to_string())?;
    let (width, height) = (f64::from(tree.size().width()), f64::from(tree.size().height()));
    let scale = (pixels_across / width).min(GREATEST_PIXELS / width.max(height));
    let (width, height) = (pixels(width * scale), pixels(height * scale));
    let mut pixmap = Pixmap::new(width, height).ok_or("no room for so large a picture")?;
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the painter counts in f32; a scale needs no more"
    )]
    let transform = Transform::from_scale(scale as f32, scale as f32);
    resvg::render(&tree, transform, &mut pixmap.as_mut());
    pixmap.encode_png().map_err(|error| error.to_string())
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 1 and GREATEST_PIXELS after the clamp"
)]
fn pixels(side: f64) -> u32 {
    side.round().clamp(1.0, GREATEST_PIXELS) as u32
}
