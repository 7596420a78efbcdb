//! What a fix would change, before it is made.

use std::sync::Arc;

use loomwright_circuit::{Car, Change, Row, RowId, SheetId};
use loomwright_drawing::{Options, Sheet as Laid, lay_out_again};

use super::{Analysis, with_findings};
use crate::state::{FixAt, Selection, State};
use crate::texts::PreviewWords;

/// The shown sheet as a fix would leave it.
#[derive(Debug, Clone)]
pub struct FixPreview {
    key: (FixAt, u64, u64, SheetId),
    /// The sheet as laid out then.
    pub laid: Arc<Laid>,
    /// The sheet to turn to: none of it lies on the shown one.
    pub sheet: Option<SheetId>,
    /// Rows that come or change.
    pub rows: Selection,
    /// What it would do, in words.
    pub says: String,
}

impl Analysis {
    /// What the fix that is looked at would change on the shown sheet; nothing where none is, or it cannot be made.
    pub fn fix_preview(&mut self, state: &State) -> Option<FixPreview> {
        let at = state.previewed?;
        let key = (at, state.doc.revision, self.report_serial, state.sheet);
        if let Some(known) = self.fix_preview.as_ref().filter(|known| known.key == key) {
            return Some(known.clone());
        }
        let fix = self.finding(at.finding)?.fixes.get(at.fix)?.clone();
        let edit = self.clear_of_drawing(state, fix.edit);
        let patch = state.car().plan(edit).ok()?;
        let mut car = state.car().clone();
        car.apply(&patch);
        let before = self.laid(state, state.sheet);
        let tags = self.tags(&car, state.sheet, None);
        let options =
            Options { has_heading: true, is_for_screen: true, tags, ..Options::default() };
        let laid = lay_out_again(&car, state.sheet, &options, &before);
        let mut rows = Selection::default();
        for change in patch.changes.iter().filter(|change| change.after.is_some()) {
            match change.row {
                RowId::Part(id) => drop(rows.parts.insert(id)),
                RowId::Wire(id) => drop(rows.wires.insert(id)),
                _ => {}
            }
        }
        let preview = FixPreview {
            key,
            laid: Arc::new(with_findings(laid, &options.tags)),
            sheet: elsewhere(&car, state.sheet, &patch.changes),
            says: told(&car, &fix.title, &patch.changes),
            rows,
        };
        self.fix_preview = Some(preview.clone());
        Some(preview)
    }
}

/// "Fit a 10 A fuse: changes Fuse 1".
fn told(car: &Car, title: &str, changes: &[Change]) -> String {
    let named = |is_meant: &dyn Fn(&Change) -> bool| -> Vec<String> {
        changes.iter().filter(|change| is_meant(change)).filter_map(|it| name(car, it)).collect()
    };
    let pieces: [(&str, Vec<String>); 3] = [
        ("adds", named(&|change| change.before.is_none())),
        ("changes", named(&|change| change.before.is_some() && change.after.is_some())),
        (PreviewWords::takes_away(), named(&|change| change.after.is_none())),
    ];
    let pieces = pieces.iter().filter(|(_, names)| !names.is_empty());
    let does: Vec<String> =
        pieces.map(|(word, names)| format!("{word} {}", names.join(", "))).collect();
    format!("{title}: {}", does.join("; "))
}

/// The sheet on which changes lie; nothing where the shown one has some.
fn elsewhere(car: &Car, shown: SheetId, changes: &[Change]) -> Option<SheetId> {
    let sheets = changes.iter().filter_map(|change| match &change.after {
        Some(Row::Part(part)) => Some(part.sheet),
        Some(Row::Wire(wire)) => {
            wire.ends().iter().find_map(|end| Some(car.pos_on_sheet(&end.at)?.0))
        }
        _ => None,
    });
    let sheets: Vec<SheetId> = sheets.collect();
    sheets.first().copied().filter(|_| !sheets.contains(&shown))
}

/// The row's name, with what is new about its size, colour or figures.
fn name(car: &Car, change: &Change) -> Option<String> {
    match (change.before.as_ref(), change.after.as_ref()) {
        (Some(Row::Wire(old)), Some(Row::Wire(new))) => {
            let size = new.size.filter(|_| old.size != new.size).map(|size| size.to_string());
            let colour = new.colour.filter(|_| old.colour != new.colour).map(|it| it.words());
            let what = [size, colour].into_iter().flatten().collect::<Vec<_>>().join(" ");
            Some(if what.is_empty() {
                new.label.clone()
            } else {
                format!("{} to {what}", new.label)
            })
        }
        (Some(Row::Part(old)), Some(Row::Part(new))) if old.facts != new.facts => {
            let part_type = car.type_named(&new.type_name)?;
            let figures = new.figures(part_type, car.vehicle().voltage);
            Some(format!("{} to {figures}", new.label))
        }
        (before, after) => match after.or(before)? {
            Row::Part(part) => Some(part.label.clone()),
            Row::Wire(wire) => Some(wire.label.clone()),
            _ => None,
        },
    }
}
