//! The set pages: compiled once, then shown, counted and written as PDF.

use std::num::NonZeroUsize;

use loomwright_circuit::Car;
use loomwright_rules::Report;
use typst::diag::SourceDiagnostic;
use typst::foundations::{Datetime, NativeElement as _, Selector, Smart, StyleChain};
use typst::layout::PageRanges;
use typst::model::HeadingElem;
use typst::utils::Scalar;
use typst::{World as _, WorldExt as _};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, Timestamp};
use typst_render::RenderOptions;

use crate::bound::bound;
use crate::contents::Contents;
use crate::pack::both;
use crate::plates::{Plate, fits, plates};
use crate::world::PackWorld;
use crate::{ExportError, PackOptions, data, stamp};

/// Of a pack with no more pages, what the typesetter worked out is kept for the next one: that takes some 60 MB and makes
/// it a quarter quicker. What it remembers of a large pack takes a hundred megabytes and saves nothing that is felt.
const MOST_REMEMBERED: usize = 64;

/// The pages of a pack, set once; show them or write them as often as wanted.
#[derive(Debug, Clone)]
pub struct Pages {
    document: PagedDocument,
    names: Vec<String>,
    ident: String,
    date: Option<Datetime>,
}

/// A page as pixels: red, green, blue and alpha of each, row by row, opaque.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PageImage {
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// Four bytes a pixel.
    pub rgba: Vec<u8>,
}

impl Pages {
    /// Sets the pages of a pack.
    ///
    /// # Errors
    /// A template that the typesetter refuses.
    pub fn set(car: &Car, report: &Report, options: &PackOptions) -> Result<Self, ExportError> {
        let drawn = options.drawn(car);
        let lay_out = || plates(&drawn, report, options, &fits(&drawn, report, options));
        let (contents, plates) = both(|| Contents::of(car, report), lay_out);
        Self::set_from(car, report, options, contents, plates)
    }

    /// The same from rows that are worked out already.
    pub(crate) fn set_from(
        car: &Car,
        report: &Report,
        options: &PackOptions,
        contents: Contents,
        plates: Vec<Plate>,
    ) -> Result<Self, ExportError> {
        let data = data::pack_data(car, report, options, contents, plates);
        let json = serde_json::to_string(&data).map_err(|error| ExportError::Typesetting {
            says: error.to_string(),
            place: "the pack's data".to_owned(),
        })?;
        let world = PackWorld::new(bound(&json).into_bytes(), &options.templates);
        let document = typst::compile::<PagedDocument>(&world)
            .output
            .map_err(|problems| typesetting_error(&world, &problems))?;
        // What this pack did not use is forgotten, so that a window left open does not grow: at once, so that there is room
        // for what follows.
        typst::comemo::evict(usize::from(document.pages().len() <= MOST_REMEMBERED));
        let pictures: Vec<_> = data.plates.iter().flat_map(Plate::pictures).collect();
        let document = stamp::stamped(document, &pictures);
        let names = names(&document);
        let ident = format!("loomwright {} {}", car.vehicle().name, options.revision);
        Ok(Self { document, names, ident, date: read_date(&options.date) })
    }

    /// How many there are; never none.
    pub fn n_pages(&self) -> usize {
        self.document.pages().len()
    }

    /// The name of each page, for the list beside them.
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// Width and height of a page, counted from 1; nothing where there is no such page.
    ///
    /// # Units
    /// Points of 1/72 inch.
    pub fn size(&self, page: usize) -> Option<[f64; 2]> {
        let size = self.document.pages().get(page.checked_sub(1)?)?.frame.size();
        Some([size.x.to_pt(), size.y.to_pt()])
    }

    /// Paints a page, counted from 1.
    ///
    /// # Units
    /// Pixels for each point of 1/72 inch; taken as between 0.05 and 20.
    ///
    /// # Errors
    /// No such page.
    pub fn render(&self, page: usize, pixels_per_pt: f64) -> Result<PageImage, ExportError> {
        let n_pages = self.n_pages();
        let found = page.checked_sub(1).and_then(|idx| self.document.pages().get(idx));
        let found = found.ok_or(ExportError::NoPage { page, n_pages })?;
        let pixels_per_pt = if pixels_per_pt.is_finite() { pixels_per_pt } else { 1.0 };
        let options = RenderOptions {
            pixel_per_pt: Scalar::new(pixels_per_pt.clamp(0.05, 20.0)),
            render_bleed: false,
        };
        let pixmap = typst_render::render(found, &options);
        // The page is filled before anything is painted, so premultiplied and plain colour are the same.
        let (width, height) = (pixmap.width() as usize, pixmap.height() as usize);
        Ok(PageImage { width, height, rgba: pixmap.take() })
    }

    /// Writes the pages as a tagged PDF with its fonts inside.
    ///
    /// # Errors
    /// Pages that the writer refuses.
    pub fn pdf(&self) -> Result<Vec<u8>, ExportError> {
        self.written(None)
    }

    /// Writes one page, counted from 1, as a PDF by itself. It carries no tags: those tell of the whole.
    ///
    /// # Errors
    /// No such page, or one that the writer refuses.
    pub fn pdf_of(&self, page: usize) -> Result<Vec<u8>, ExportError> {
        let n_pages = self.n_pages();
        let number = NonZeroUsize::new(page).filter(|page| page.get() <= n_pages);
        let number = number.ok_or(ExportError::NoPage { page, n_pages })?;
        self.written(Some(PageRanges::new(vec![Some(number)..=Some(number)])))
    }

    fn written(&self, page_ranges: Option<PageRanges>) -> Result<Vec<u8>, ExportError> {
        let options = PdfOptions {
            tagged: page_ranges.is_none(),
            page_ranges,
            ident: Smart::Custom(self.ident.clone()),
            creator: Smart::Custom(Some("Loomwright".to_owned())),
            timestamp: self.date.map(Timestamp::new_utc),
            ..PdfOptions::default()
        };
        typst_pdf::pdf(&self.document, &options).map_err(|problems| {
            let says = problems.iter().map(|problem| problem.message.to_string());
            ExportError::Pdf(says.collect::<Vec<_>>().join("; "))
        })
    }
}

/// The date of `2026-03-31`; nothing for any other text.
fn read_date(text: &str) -> Option<Datetime> {
    let mut fields = text.trim().splitn(3, '-');
    let year = fields.next()?.parse().ok()?;
    let month = fields.next()?.parse().ok()?;
    let day = fields.next()?.parse().ok()?;
    Datetime::from_ymd_hms(year, month, day, 0, 0, 0)
}

/// Each page by the headings that stand on it or by the one that it continues.
fn names(document: &PagedDocument) -> Vec<String> {
    let introspector = document.introspector();
    let mut names: Vec<String> = vec![String::new(); document.pages().len()];
    // What goes on over the page's end, where it is not what the page begins with.
    let mut last: Vec<Option<String>> = vec![None; names.len()];
    for heading in typst::introspection::Introspector::query(
        introspector.as_ref(),
        &Selector::Elem(HeadingElem::ELEM, None),
    ) {
        let Some(heading_elem) = heading.to_packed::<HeadingElem>() else { continue };
        if heading_elem.resolve_level(StyleChain::default()).get() > 1 {
            continue;
        }
        let Some(location) = heading.location() else { continue };
        let Some(position) = introspector.position(location) else { continue };
        // In a list no line breaks in them.
        let text = heading_elem.body.plain_text().as_str().replace('\u{a0}', " ");
        let page = position.page.get() - 1;
        if let Some(name) = names.get_mut(page) {
            if name.is_empty() {
                name.push_str(&text);
            } else {
                name.push_str(" · ");
                name.push_str(&text);
                last[page] = Some(text);
            }
        }
    }
    // The cover's own heading is the car's name, which says nothing in a list of its pages.
    if let Some(cover) = names.first_mut() {
        "Cover".clone_into(cover);
    }
    let (mut base, mut n_pages) = (String::new(), 0);
    for (name, last) in names.iter_mut().zip(last) {
        if name.is_empty() {
            n_pages += 1;
            *name = format!("{base} ({n_pages})");
        } else {
            (base, n_pages) = (name.clone(), 1);
        }
        base = last.unwrap_or(base);
    }
    names
}

fn typesetting_error(world: &PackWorld, problems: &[SourceDiagnostic]) -> ExportError {
    let says = problems.iter().map(|problem| problem.message.to_string());
    let place = problems.first().and_then(|problem| {
        let id = problem.span.id()?;
        let name = id.vpath().get_without_slash().to_owned();
        let source = world.source(id).ok()?;
        let line = source.lines().byte_to_line(world.range(problem.span)?.start)? + 1;
        Some(format!("{name}, line {line}"))
    });
    ExportError::Typesetting {
        says: says.collect::<Vec<_>>().join("; "),
        place: place.unwrap_or_else(|| "an unknown place".to_owned()),
    }
}

#[cfg(test)]
mod again;
#[cfg(test)]
mod clear;

#[cfg(test)]
mod tests {
    use typst_pdf::{PdfStandard, PdfStandards};

    use super::*;

    const CAR: &str = "car 12 V negative earth name \"Curlew\"
battery B1 12 V 40 Ah
earth E1 body
earth E2 body
fuse F1 blade 10 A to fit
lamp H1 21 W to fit
wire W1 B1.+ F1.1 2 mm2 1 m red to fit
wire W2 F1.2 H1.1 2 mm2 1 m green to fit
wire W3 H1.2 E1 2 mm2 1 m black to fit
wire W4 B1.- E2 16 mm2 1 m black
promise : H1 lit
";

    #[test]
    fn the_pdf_can_be_read_aloud() {
        // The writer checks what ISO 14289-1 (PDF/UA-1) asks: tags for everything, words for each picture, a title, a
        // language, headings in order.
        let car = loomwright_sketch::parse(CAR).unwrap_or_else(|errors| panic!("{errors}"));
        let pages = Pages::set(&car, &Report::default(), &PackOptions::default()).unwrap();
        let options = PdfOptions {
            standards: PdfStandards::new(&[PdfStandard::Ua_1]).unwrap(),
            ..PdfOptions::default()
        };
        let problems = typst_pdf::pdf(&pages.document, &options).err();
        let says: Vec<_> = problems.iter().flatten().map(|problem| &problem.message).collect();
        assert!(says.is_empty(), "{says:?}");
    }
}
