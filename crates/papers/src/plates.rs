//! Each sheet's drawing put on paper: whole where its letters stay large enough, else in parts that overlap.

mod edges;
mod fit;
mod key;
mod new_work;
#[cfg(test)]
mod on_demos;
#[cfg(test)]
mod on_hasty;
mod room;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use loomwright_circuit::{Box2, Car, Point, SheetId, Standing, Version, Wire};
use loomwright_drawing::{Ink, Item, Palette, Subject, Tag, TagShape, flag_words};
use loomwright_rules::{Level, Report};
use serde::Serialize;

use self::key::KeyPicture;
use crate::paint::{self, Mark, View};
use crate::{PackOptions, kept, words};

pub(crate) use self::fit::{Fit, Laid, lay_out_for_paper};

/// A sheet's drawing on its pages.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Plate {
    title: String,
    /// Which of the car's sheets, and in which version.
    below: String,
    /// The page as turned, mm.
    paper: [f64; 2],
    /// The frame that the drawing stands in, mm.
    frame: [f64; 2],
    pages: Vec<PlatePage>,
    /// Letters of the colours on this sheet with their words.
    letters: Vec<[String; 2]>,
    /// What the figures on a wire mean, by an example of this sheet; empty where none has all of them.
    flag_example: String,
    has_to_fit: bool,
    has_to_remove: bool,
    /// The over-ink of what is to fit.
    to_fit_ink: String,
    /// Signs on this sheet with their words.
    key: KeyPicture,
    /// Levels of the findings that tags on this sheet stand for.
    tags: Vec<&'static str>,
}

/// One page of a plate.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct PlatePage {
    name: String,
    /// What the picture shows, for those who do not see it.
    alt: String,
    /// Under which name the template leaves room for the marks.
    picture: String,
    #[serde(skip)]
    marks: Vec<Mark>,
    /// Where the page stands among the parts of its sheet.
    part: Option<PartKey>,
}

/// Where a page stands among the parts of its sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct PartKey {
    columns: usize,
    rows: usize,
    column: usize,
    row: usize,
    /// What neighbours share, across and down the page, mm.
    overlap: [f64; 2],
}

/// Every sheet that has anything on it, laid out for its paper; `car` is the one to be drawn.
pub(crate) fn fits(car: &Car, report: &Report, options: &PackOptions) -> Vec<Fit> {
    let laid = car.sheets().keys().map(|id| (*id, lay_out_for_paper(car, report, options, *id)));
    let laid: BTreeMap<SheetId, Laid> = laid.collect();
    let fits = laid.values().map(|laid| laid.fit().clone());
    let fits = fits.filter(|fit| fit.sheet.bounds.is_some()).collect();
    kept::keep_sheets(laid);
    fits
}

/// The pages of those sheets.
pub(crate) fn plates(
    car: &Car,
    report: &Report,
    options: &PackOptions,
    fits: &[Fit],
) -> Vec<Plate> {
    let numbered = fits.iter().enumerate();
    numbered.filter_map(|(idx, fit)| plate(car, report, options, fit, idx + 1)).collect()
}

impl Plate {
    /// All that is painted on its pages, each under the name by which the template leaves room for it.
    pub(crate) fn pictures(&self) -> impl Iterator<Item = (&str, &[Mark])> {
        let pages = self.pages.iter().map(|page| (page.picture.as_str(), page.marks.as_slice()));
        pages.chain([(self.key.picture.as_str(), self.key.marks.as_slice())])
    }
}

fn plate(
    car: &Car,
    report: &Report,
    options: &PackOptions,
    fit: &Fit,
    number: usize,
) -> Option<Plate> {
    let id = fit.id;
    let bounds = fit.sheet.bounds?;
    let title = sheet_title(car, id);
    let mut pages = if fit.is_whole() {
        vec![whole(car, fit, bounds, &title, options.inks())]
    } else {
        let mut pages = vec![overview(car, fit, bounds, &title, options.inks())];
        pages.extend(parts(car, fit, bounds, &title, options.inks()));
        pages
    };
    for (idx, page) in pages.iter_mut().enumerate() {
        page.picture = format!("picture {number}.{}", idx + 1);
    }
    let shown: Vec<_> = fit.sheet.routes.keys().filter_map(|wire| car.wire(*wire)).collect();
    let code = car.vehicle().colours;
    let colours: BTreeSet<_> = shown
        .iter()
        .filter_map(|wire| wire.colour)
        .flat_map(|colour| std::iter::once(colour.main).chain(colour.tracer))
        .collect();
    let known = colours.into_iter().map(|colour| {
        let plain = loomwright_circuit::WireColour::plain(colour);
        [plain.letters(code), plain.words()]
    });
    let has_unknown = shown.iter().any(|wire| wire.colour.is_none());
    let unknown = has_unknown.then(|| ["?".to_owned(), "colour not known".to_owned()]);
    let letters = known.chain(unknown);
    let on_sheet = || car.parts().values().filter(|part| part.sheet == id);
    let has = |standing| {
        options.version.is_none()
            && (on_sheet().any(|part| part.standing == standing)
                || shown.iter().any(|wire| wire.standing == standing))
    };
    Some(Plate {
        below: below(car, options, id),
        paper: fit.paper,
        frame: fit.frame,
        letters: letters.collect(),
        flag_example: flag_example(car, &shown),
        has_to_fit: has(Standing::ToFit),
        has_to_remove: has(Standing::ToRemove),
        to_fit_ink: paint::colour(options.inks(), Ink::ToFit),
        key: fit.key.picture(
            &fit.sheet,
            fit.paper[0] - fit::BESIDE,
            options.inks(),
            format!("key {number}"),
        ),
        tags: levels_tagged(fit, report),
        title,
        pages,
    })
}

/// Levels of the findings whose tags hang on a sheet, the worst first.
fn levels_tagged(fit: &Fit, report: &Report) -> Vec<&'static str> {
    let all = tags(report);
    let hung = fit.sheet.items.iter().filter_map(|item| match item.subject {
        Subject::Tag(idx) => all.get(idx).map(|tag| tag.shape),
        _ => None,
    });
    let shapes: BTreeSet<TagShape> = hung.collect();
    let word = |shape| match shape {
        TagShape::Pointed => "danger",
        TagShape::Square => "fault",
        TagShape::Round => "advice",
    };
    shapes.into_iter().map(word).collect()
}

pub(crate) fn sheet_title(car: &Car, id: SheetId) -> String {
    let title = car.sheets().get(&id).map_or("", |sheet| sheet.title.trim());
    if title.is_empty() { format!("Sheet {}", id.0) } else { words::shortened(title, 80) }
}

fn below(car: &Car, options: &PackOptions, id: SheetId) -> String {
    let place = car.sheets().keys().position(|known| *known == id).map_or(0, |idx| idx + 1);
    let is_altered = car.parts().values().any(|part| part.standing != Standing::AsFound)
        || car.wires().values().any(|wire| wire.standing != Standing::AsFound);
    let version = match options.version {
        None if !is_altered => "as found",
        None if options.alteration_only => "the alteration alone, and what it is joined to",
        None => "the car with its alteration marked",
        Some(Version::Before) => "as found",
        Some(Version::After) => "after the alteration",
    };
    format!("Sheet {place} of {} · {version}", car.sheets().len())
}

/// The flag of a wire whose number, colour and size are known, as the drawing writes it.
fn flag_example(car: &Car, shown: &[&Wire]) -> String {
    let is_told =
        |wire: &&&Wire| wire.colour.is_some() && wire.size.is_some() && !wire.label.is_empty();
    let told = shown.iter().filter(is_told);
    let flags = told.map(|wire| flag_words(wire, car.vehicle().colours, true));
    flags.min_by_key(String::len).unwrap_or_default()
}

/// A tag for each finding, with the number under which the findings' page lists it.
pub(crate) fn tags(report: &Report) -> Vec<Tag> {
    let open = report.findings.iter().enumerate().filter(|(_, finding)| !finding.is_accepted());
    let tags = open.map(|(idx, finding)| Tag {
        number: report.number(idx),
        shape: match finding.level {
            Level::Danger => TagShape::Pointed,
            Level::Fault => TagShape::Square,
            Level::Advice => TagShape::Round,
        },
        part: finding.parts.first().copied(),
        wire: if finding.parts.is_empty() { finding.wires.first().copied() } else { None },
    });
    tags.collect()
}

fn alt(car: &Car, fit: &Fit, title: &str) -> String {
    let n_parts = car.parts().values().filter(|part| part.sheet == fit.id).count();
    format!(
        "Wiring drawing of {title}: {n_parts} parts and {} wires. The connection table lists every wire with its ends.",
        fit.sheet.routes.len()
    )
}

/// What stands in a window of the sheet.
fn marks(fit: &Fit, view: View, palette: Palette) -> Vec<Mark> {
    let seen = fit.sheet.items.iter().filter(|item| item.bounds.meets(view.window));
    seen.flat_map(|item| item.prims.iter()).map(|prim| paint::mark(prim, view, palette)).collect()
}

/// The window that shows the middle of the drawing in the middle of the frame.
fn centred(fit: &Fit, bounds: Box2, scale: f64) -> View {
    let half = Point::new(fit.frame[0], fit.frame[1]) * (0.5 / scale);
    let middle = bounds.centre();
    View { window: Box2 { min: middle - half, max: middle + half }, scale }
}

fn whole(car: &Car, fit: &Fit, bounds: Box2, title: &str, palette: Palette) -> PlatePage {
    let view = centred(fit, bounds, fit.scale);
    PlatePage {
        name: title.to_owned(),
        alt: alt(car, fit, title),
        picture: String::new(),
        marks: marks(fit, view, palette),
        part: None,
    }
}

/// The whole sheet on one page, its letters small, with the parts outlined and numbered: the key to the parts.
fn overview(car: &Car, fit: &Fit, bounds: Box2, title: &str, palette: Palette) -> PlatePage {
    let total = fit.window_of_all(bounds);
    let scale = (fit.frame[0] / total.width()).min(fit.frame[1] / total.height());
    let view = centred(fit, total, scale);
    let mut marks = marks(fit, view, palette);
    for (idx, place) in used(fit, bounds).into_iter().enumerate() {
        marks.extend(edges::outline(fit.window(bounds, place), view, idx + 1, palette));
    }
    PlatePage {
        name: format!("{title}: key"),
        alt: alt(car, fit, title),
        picture: String::new(),
        marks,
        part: None,
    }
}

/// The parts that show anything, row by row; an empty corner of the sheet needs no paper.
fn used(fit: &Fit, bounds: Box2) -> Vec<usize> {
    let is_used = |place: &usize| {
        let window = fit.window(bounds, *place);
        fit.sheet.items.iter().any(|item| item.bounds.meets(window))
    };
    (0..fit.columns * fit.rows).filter(is_used).collect()
}

/// What is painted of a part of the sheet: all that shows in its window, and a flag on each wire that its edges cut.
fn part_items(car: &Car, fit: &Fit, bounds: Box2, place: usize) -> Vec<Arc<Item>> {
    let view = View { window: fit.window(bounds, place), scale: fit.scale };
    let flags = edges::flags(car, fit, view, place);
    // A flag of the same wire so near the edge would only be half covered by the one at the edge.
    let seen = fit.sheet.items.iter().filter(|item| {
        item.bounds.meets(view.window) && !flags.iter().any(|flag| flag.replaces(item))
    });
    seen.cloned().chain(flags.iter().map(|flag| Arc::new(flag.item()))).collect()
}

/// The sheet in parts, row by row.
fn parts(car: &Car, fit: &Fit, bounds: Box2, title: &str, palette: Palette) -> Vec<PlatePage> {
    let used = used(fit, bounds);
    let pages = used.iter().enumerate().map(|(idx, place)| {
        let view = View { window: fit.window(bounds, *place), scale: fit.scale };
        let items = part_items(car, fit, bounds, *place);
        let prims = items.iter().flat_map(|item| item.prims.iter());
        let name = format!("{title}: part {} of {}", idx + 1, used.len());
        PlatePage {
            alt: alt(car, fit, &name),
            name,
            picture: String::new(),
            marks: prims.map(|prim| paint::mark(prim, view, palette)).collect(),
            part: Some(PartKey {
                columns: fit.columns,
                rows: fit.rows,
                column: place % fit.columns,
                row: place / fit.columns,
                overlap: fit.overlap(bounds),
            }),
        }
    });
    pages.collect()
}
