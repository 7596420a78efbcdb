//! The sheets as laid out, from the cache where nothing has changed.

use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{Car, SheetId, Version};
use loomwright_drawing::{
    Options, Sheet as Laid, Subject, Tag, lay_out, lay_out_again, lay_out_at_once,
};

use crate::draughtsman::{Draughtsman, Order, is_large};
use crate::trial::Trial;

/// What a layout follows from; it holds for all phases of the flashers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct LayoutKey {
    pub(super) revision: u64,
    pub(super) report: u64,
    pub(super) live: Option<(u64, bool)>,
    pub(super) version: Option<Version>,
}

/// A sheet that is laid out.
#[derive(Debug)]
struct Known {
    key: LayoutKey,
    car: Arc<Car>,
    laid: Arc<Laid>,
    /// The same in the dark phase of the flashers, where any are at work.
    dark: Option<Arc<Laid>>,
}

impl Known {
    fn of(key: LayoutKey, car: Arc<Car>, laid: Arc<Laid>) -> Self {
        let dark = laid.in_other_phase().map(Arc::new);
        Self { key, car, laid, dark }
    }

    /// As it is in a phase of the flashers.
    fn at(&self, is_lit: bool) -> Arc<Laid> {
        Arc::clone(self.dark.as_ref().filter(|_| !is_lit).unwrap_or(&self.laid))
    }
}

/// All sheets that were looked at.
#[derive(Debug, Default)]
pub(super) struct Layouts {
    known: BTreeMap<SheetId, Known>,
    draughtsman: Option<Draughtsman>,
    /// What the thread is to lay out once the frame is painted that shows it as it was laid out at once: work in the
    /// background must not hold up what is waited for.
    waiting: Option<Order>,
    /// How often a sheet was laid out.
    pub(super) n_laid: usize,
}

impl Layouts {
    /// Hands large sheets to a thread from now on.
    pub(super) fn hand_to(&mut self, draughtsman: Draughtsman) {
        self.draughtsman = Some(draughtsman);
    }

    /// Waits until no sheet is being laid out.
    pub(super) fn wait(&mut self) {
        self.send();
        while self.draughtsman.as_ref().is_some_and(|draughtsman| !draughtsman.rests()) {
            std::thread::sleep(std::time::Duration::from_millis(1));
        }
    }

    /// None laid out, for another document.
    pub(super) fn for_another_car(self) -> Self {
        Self { known: BTreeMap::new(), waiting: None, ..self }
    }

    /// Hands over what waits for the thread.
    pub(super) fn send(&mut self) {
        if let (Some(draughtsman), Some(order)) = (&self.draughtsman, self.waiting.take()) {
            draughtsman.order(order);
        }
    }

    /// The sheet as laid out for this very key, if it is, in a phase of the flashers.
    pub(super) fn known(
        &mut self,
        sheet: SheetId,
        key: &LayoutKey,
        is_lit: bool,
    ) -> Option<Arc<Laid>> {
        for done in self.draughtsman.iter().flat_map(Draughtsman::done) {
            // What was ordered for an older car is of no use any more.
            if let Some(known) = self.known.get_mut(&done.sheet).filter(|it| it.key == done.key) {
                *known = Known::of(done.key, Arc::clone(&known.car), done.laid);
            }
        }
        let known = self.known.get(&sheet).filter(|known| known.key == *key)?;
        Some(known.at(is_lit))
    }

    /// Lays a sheet out. A large one is laid out at once as well as that can be done, and in full in the background.
    pub(super) fn lay_out(
        &mut self,
        car: &Arc<Car>,
        sheet: SheetId,
        (key, is_lit): (LayoutKey, bool),
        options: Options,
        tried: Option<(&Trial, bool)>,
    ) -> Arc<Laid> {
        let with_flow = |options: Options| Options {
            live: tried.map(|(trial, has_outlines)| trial.live_in_both(car, has_outlines)),
            ..options
        };
        // Before the alteration nothing was marked to go.
        let drawn = match options.version {
            Some(Version::Before) => &Arc::new(car.with_nothing_removed()),
            _ => car,
        };
        let before = self.known.get(&sheet);
        let laid = match (before, &self.draughtsman) {
            (Some(before), Some(_)) if is_large(&before.laid) => {
                let shown = if Arc::ptr_eq(&before.car, car) {
                    // What flows in it, or what is said of it, comes with the full layout.
                    Arc::clone(&before.laid)
                } else {
                    Arc::new(lay_out_at_once((&before.car, car), sheet, &options, &before.laid))
                };
                self.waiting = Some(Order {
                    key: key.clone(),
                    sheet,
                    car: Arc::clone(drawn),
                    options,
                    tried: tried.map(|(trial, has_outlines)| (trial.clone(), has_outlines)),
                    previous: Arc::clone(&before.laid),
                    shown: Arc::clone(&shown),
                });
                shown
            }
            (Some(before), _) => {
                let options = with_flow(options);
                let laid = lay_out_again(drawn, sheet, &options, &before.laid);
                Arc::new(with_findings(laid, &options.tags))
            }
            (None, _) => {
                let options = with_flow(options);
                Arc::new(with_findings(lay_out(drawn, sheet, &options), &options.tags))
            }
        };
        self.n_laid += 1;
        let known = Known::of(key, Arc::clone(car), laid);
        let laid = known.at(is_lit);
        self.known.insert(sheet, known);
        laid
    }
}

/// Tags are known by their place among those of the sheet; from here on, by their finding.
pub(crate) fn with_findings(mut laid: Laid, tags: &[Tag]) -> Laid {
    for item in &mut laid.items {
        if let Subject::Tag(tag_idx) = item.subject {
            let finding = tags.get(tag_idx).map_or(tag_idx, |tag| tag.number - 1);
            Arc::make_mut(item).subject = Subject::Tag(finding);
        }
    }
    laid
}
