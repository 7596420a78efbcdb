//! The sheets of the present car as they are laid out, and as they would be if what is in hand were put down.

use std::sync::Arc;

use loomwright_circuit::{Car, Draft, SheetId, Version};
use loomwright_drawing::{Options, Sheet as Laid, Tag, TagShape, lay_out_at_once, lay_out_in_hand};
use loomwright_rules::Level;

use super::layouts::with_findings;
use super::{Analysis, LayoutKey};
use crate::draughtsman::{Draughtsman, is_large};
use crate::state::{Mode, State};
use crate::tool::{Scene, planned};

impl Analysis {
    /// The sheet as laid out, from the cache where nothing has changed.
    pub fn laid(&mut self, state: &State, sheet: SheetId) -> Arc<Laid> {
        let trial = self.trial.as_ref().filter(|_| state.mode == Mode::Try);
        let key = LayoutKey {
            revision: state.doc.revision,
            // In Try no findings hang on it.
            report: if trial.is_some() { 0 } else { self.report_serial },
            live: trial.map(|trial| (trial.serial, state.bench.outlines)),
            version: trial.map(|_| Version::After).or(state.desk.version),
        };
        if let Some(laid) = self.layouts.known(sheet, &key, self.is_lit) {
            return laid;
        }
        let options = Options {
            version: key.version,
            has_heading: true,
            is_for_screen: true,
            tags: if trial.is_some() {
                Vec::new()
            } else {
                self.tags(state.car(), sheet, key.version)
            },
            ..Options::default()
        };
        let tried = trial.map(|trial| (trial, state.bench.outlines));
        self.layouts.lay_out(&state.doc.car, sheet, (key, self.is_lit), options, tried)
    }

    /// How often a sheet was laid out.
    pub fn n_laid(&self) -> usize {
        self.layouts.n_laid
    }

    /// Lays large sheets out in the background from now on; `wake` is called whenever one is done.
    pub fn lay_out_in_background(&mut self, wake: impl Fn() + Send + 'static) {
        self.layouts.hand_to(Draughtsman::start(wake));
    }

    /// Tags on what a version of the car shows.
    pub(super) fn tags(&self, car: &Car, sheet: SheetId, version: Option<Version>) -> Vec<Tag> {
        let has = |standing| version.is_none_or(|version| version.has(standing));
        let on_sheet =
            |part| car.part(part).is_some_and(|part| part.sheet == sheet && has(part.standing));
        self.findings(car)
            .filter(|(_, finding)| !finding.is_accepted())
            .filter_map(|(n, finding)| {
                let part = finding.parts.first().copied().filter(|id| on_sheet(*id));
                let wire = finding.wires.first().copied().filter(|id| {
                    car.wire(*id).filter(|wire| has(wire.standing)).is_some_and(|wire| {
                        wire.ends().iter().any(|end| match &end.at {
                            loomwright_circuit::Anchor::Terminal { part, .. } => on_sheet(*part),
                            loomwright_circuit::Anchor::Loose { sheet: on, .. } => *on == sheet,
                        })
                    })
                });
                (part.is_some() || wire.is_some()).then(|| Tag {
                    number: n + 1,
                    shape: match finding.level {
                        Level::Danger => TagShape::Pointed,
                        Level::Fault => TagShape::Square,
                        Level::Advice => TagShape::Round,
                    },
                    part,
                    wire: if part.is_some() { None } else { wire },
                })
            })
            .collect()
    }

    /// The sheet as it would be if the tool ended here; nothing where it would change nothing.
    pub fn preview(&mut self, state: &State, scene: &Scene<'_>) -> Option<Arc<Laid>> {
        let revision = state.doc.revision;
        if let Some((tool, of, sheet, laid)) = &self.preview
            && *tool == state.tool
            && *of == revision
            && *sheet == state.sheet
        {
            return Some(Arc::clone(laid));
        }
        self.preview = None;
        let Some((_, edit)) = planned(&state.tool, scene) else {
            self.in_hand = None;
            return None;
        };
        // While one thing is in hand, the same draft serves frame after frame.
        let base = &state.doc.car;
        let (_, draft) = match &mut self.in_hand {
            Some(known) if Arc::ptr_eq(&known.0, base) => known,
            none => none.insert((Arc::clone(base), Draft::of(base))),
        };
        draft.take_back();
        draft.edit(edit).ok()?;
        let car = draft.car();
        // Tags stay while something is dragged.
        let version = state.desk.version;
        let options =
            Options { version, has_heading: true, is_for_screen: true, ..Options::default() };
        let laid = if is_large(scene.laid) {
            lay_out_at_once((base, car), state.sheet, &options, scene.laid)
        } else {
            let tags = self.tags(self.drafted(base), state.sheet, version);
            let options = Options { tags, ..options };
            let laid = lay_out_in_hand(self.drafted(base), state.sheet, &options, scene.laid);
            with_findings(laid, &options.tags)
        };
        let laid = Arc::new(laid);
        self.preview = Some((state.tool.clone(), revision, state.sheet, Arc::clone(&laid)));
        Some(laid)
    }

    /// The car with what is in hand put down.
    fn drafted<'a>(&'a self, base: &'a Car) -> &'a Car {
        self.in_hand.as_ref().map_or(base, |(_, draft)| draft.car())
    }
}
