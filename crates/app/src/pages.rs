//! The pages as they are set and painted, for Papers.

use std::sync::Arc;

use crate::analysis::Analysis;
use crate::press::{Copy, News, Press};
use crate::state::{Mode, Notice, State};

/// What the press has delivered.
#[derive(Default)]
pub struct SetPages {
    /// Names of the pages.
    pub names: Vec<String>,
    /// Width and height of each, points of 1/72 inch.
    pub sizes: Vec<[f64; 2]>,
    /// Why there are none.
    pub failure: Option<String>,
    asked: Option<Asked>,
    set: Option<(u64, u64)>,
    painting: Option<(usize, u32)>,
    picture: Option<(usize, egui::TextureHandle)>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct Asked {
    revision: (u64, u64),
    options: crate::press::PaperOptions,
}

impl std::fmt::Debug for SetPages {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("SetPages").field("names", &self.names).finish_non_exhaustive()
    }
}

impl SetPages {
    /// The picture of a page, if it is painted; another page's is not shown for it.
    pub fn picture_of(&self, page: usize) -> Option<egui::TextureId> {
        self.picture.as_ref().filter(|(of, _)| *of == page).map(|(_, texture)| texture.id())
    }

    /// Takes news in, and asks for what the mode needs next.
    pub fn follow(
        &mut self,
        ctx: &egui::Context,
        state: &mut State,
        analysis: &Analysis,
        press: &Press,
    ) {
        for news in press.news() {
            self.take(ctx, state, news);
        }
        if state.mode != Mode::Papers {
            return;
        }
        // A changed car may have fewer pages.
        let last = self.names.len().saturating_sub(1);
        if !self.names.is_empty() {
            state.papers.page = state.papers.page.min(last);
        }
        let revision = (state.doc.revision, analysis.report_serial());
        let asked = Asked { revision, options: state.papers.options.clone() };
        if self.asked.as_ref() != Some(&asked) {
            self.asked = Some(asked);
            self.painting = None;
            press.set(copy(state, analysis));
        } else if self.set == Some(revision) && !self.names.is_empty() {
            let (page, pixels_per_pt) = (state.papers.page, state.papers.seen.pixels_per_pt);
            let wanted = (page, scale_key(pixels_per_pt));
            if self.painting != Some(wanted) && pixels_per_pt > 0.0 {
                self.painting = Some(wanted);
                press.paint(page, pixels_per_pt);
            }
        }
    }

    /// Takes one piece of news in.
    pub fn take(&mut self, ctx: &egui::Context, state: &mut State, news: News) {
        match news {
            News::Set { revision, names, sizes } => {
                self.set = Some(revision);
                (self.names, self.sizes) = (names, sizes);
                (self.failure, self.painting) = (None, None);
            }
            News::Painted { revision, page, image } if self.set == Some(revision) => {
                let pixels = egui::ColorImage::from_rgba_unmultiplied(
                    [image.width, image.height],
                    &image.rgba,
                );
                let texture = ctx.load_texture("page", pixels, egui::TextureOptions::LINEAR);
                self.picture = Some((page, texture));
            }
            News::Painted { .. } => {}
            News::Written(says) => state.notice = Some(Notice::Said(says)),
            News::NotPrinted(says) => state.notice = Some(Notice::Refused(says)),
            News::Failed(says) => {
                state.notice = Some(Notice::Refused(says.clone()));
                self.failure = Some(says);
            }
        }
    }
}

/// What the pages of the present car are set from.
pub fn copy(state: &State, analysis: &Analysis) -> Copy {
    Copy {
        revision: (state.doc.revision, analysis.report_serial()),
        car: Arc::clone(&state.doc.car),
        report: analysis.for_papers(),
        options: state.papers.options.clone(),
    }
}

/// Scales that differ by less than a hundredth look the same.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "scales lie between 0 and 20"
)]
fn scale_key(pixels_per_pt: f64) -> u32 {
    (pixels_per_pt * 100.0).round() as u32
}
