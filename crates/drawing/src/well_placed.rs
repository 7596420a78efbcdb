//! Where the new parts of an edit stand best: clear of all that is drawn, with short and straight leads to what they are
//! for, and in nobody's way.

use std::collections::BTreeSet;

use loomwright_circuit::{
    Box2, Car, Direction, Edit, End, Part, PartId, Patch, Placement, Point, Row, RowId, SheetId,
    Turn, WireId,
};

use crate::{Options, Sheet, Subject, lay_out, symbol_body};

/// Places are tried at this pitch, mm, and so far from where the edit has them.
const PITCH: f64 = 5.0;
const REACH: i32 = 20;
/// Room that a symbol keeps around itself, mm.
const ROOM: f64 = 3.5;
/// What a corner of a lead costs, mm of lead, and a crossing with another.
const CORNER: f64 = 10.0;
const CROSSING: f64 = 15.0;
/// What each mm away from where the edit has it costs.
const AWAY: f64 = 0.05;
/// So many of the places that look best are tried with the wires laid.
const TRIED: usize = 6;
/// On larger sheets none is: laying one out would be felt.
const MOST_WIRES: usize = 300;

/// The edit with its new parts on this sheet moved to where they stand best.
///
/// They keep standing to each other as the edit has them, and a single one in a wire is turned as its wires come. `laid`
/// is the sheet before the edit. Where no place near is free, the edit stays as it is.
pub fn well_placed(car: &Car, sheet: SheetId, edit: Edit, laid: &Sheet) -> Edit {
    let Some(site) = Site::of(car, sheet, &edit, laid) else { return edit };
    let ways = site.best_ways();
    let is_small = laid.routes.len() <= MOST_WIRES;
    let cost = |way: &Way| if is_small { site.cost_laid(&edit, way) } else { way.cost };
    let costs = ways.into_iter().map(|way| (cost(&way), way));
    match costs.min_by(|a, b| a.0.total_cmp(&b.0)) {
        Some((_, way)) => moved(edit, sheet, &way),
        None => edit,
    }
}

/// A way to place the new parts.
#[derive(Debug, Clone, Copy)]
struct Way {
    by: Point,
    /// How a single part is turned; as the edit has it where nothing is given.
    turned: Option<(Turn, bool)>,
    /// What it seems to cost.
    cost: f64,
}

impl Way {
    fn place(&self, place: Placement) -> Placement {
        let (turn, mirror) = self.turned.unwrap_or((place.turn, place.mirror));
        Placement { at: place.at + self.by, turn, mirror }
    }
}

/// A lead between a new part and what is there.
struct Lead {
    part: PartId,
    /// The new part's terminal in its symbol.
    at: Point,
    leaves: Direction,
    /// Where the other end is, and which way the lead leaves there.
    far: (Point, Option<Direction>),
}

/// An edit on its sheet.
struct Site<'a> {
    car: &'a Car,
    after: Car,
    sheet: SheetId,
    laid: &'a Sheet,
    new: Vec<(PartId, Part)>,
    leads: Vec<Lead>,
    /// Wires that the edit leads another way, so that they are in nobody's way where they lie.
    moved: BTreeSet<WireId>,
}

impl<'a> Site<'a> {
    /// Nothing where the edit cannot be made or brings no part.
    fn of(car: &'a Car, sheet: SheetId, edit: &Edit, laid: &'a Sheet) -> Option<Self> {
        let patch = car.plan(edit.clone()).ok()?;
        let mut after = car.clone();
        after.apply(&patch);
        let new = patch.changes.iter().filter_map(|change| match (&change.row, &change.after) {
            (RowId::Part(id), Some(Row::Part(part))) if change.before.is_none() => {
                (part.sheet == sheet).then(|| (*id, part.clone()))
            }
            _ => None,
        });
        let new: Vec<_> = new.collect();
        if new.is_empty() {
            return None;
        }
        let moved = moved_wires(&patch);
        let mut site = Self { car, after, sheet, laid, new, leads: Vec::new(), moved };
        site.leads = site.leads();
        Some(site)
    }

    fn is_new(&self, end: &End) -> Option<&(PartId, Part)> {
        let part = end.at.part()?;
        self.new.iter().find(|(id, _)| *id == part)
    }

    fn leads(&self) -> Vec<Lead> {
        let mut leads = Vec::new();
        for wire in self.after.wires().values() {
            for (near, far) in [(&wire.from, &wire.to), (&wire.to, &wire.from)] {
                let (Some((id, part)), None) = (self.is_new(near), self.is_new(far)) else {
                    continue;
                };
                let kind = self.after.type_named(&part.type_name);
                let name = near.at.terminal_name();
                let terminal = kind.and_then(|kind| kind.terminal(name?));
                let place = self.after.pos_on_sheet(&far.at).filter(|(on, _)| *on == self.sheet);
                let (Some(terminal), Some((_, at))) = (terminal, place) else { continue };
                let far = (at, self.leaving(far));
                leads.push(Lead { part: *id, at: terminal.at, leaves: terminal.leaves, far });
            }
        }
        leads
    }

    /// Which way a lead leaves an end that is there; nothing where any way will do.
    fn leaving(&self, end: &End) -> Option<Direction> {
        let part = self.after.part(end.at.part()?)?;
        let kind = self.after.type_named(&part.type_name)?;
        let terminal = kind.terminal(end.at.terminal_name()?)?;
        let is_dot = kind.terminals.len() == 1 && symbol_body(kind, &part.place).height() <= 4.0;
        (!is_dot).then(|| part.place.direction(terminal.leaves))
    }

    /// The ways that seem best, of those that are clear.
    fn best_ways(&self) -> Vec<Way> {
        let mut ways = Vec::new();
        for turned in self.turns() {
            for (x, y) in (-REACH..=REACH).flat_map(|x| (-REACH..=REACH).map(move |y| (x, y))) {
                let by = Point::new(f64::from(x), f64::from(y)) * PITCH;
                let way = Way { by, turned, cost: 0.0 };
                let cost = self.leads.iter().map(|lead| self.seems(lead, &way)).sum::<f64>()
                    + by.length() * AWAY;
                ways.push(Way { cost, ..way });
            }
        }
        ways.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        ways.into_iter().filter(|way| self.is_clear(way)).take(TRIED).collect()
    }

    /// Which ways the new parts may be turned: a single one in a wire any, all others stand as they are; so an earth
    /// point always has its lead from above.
    fn turns(&self) -> Vec<Option<(Turn, bool)>> {
        let [(_, part)] = self.new.as_slice() else { return vec![None] };
        let kind = self.after.type_named(&part.type_name);
        if kind.is_none_or(|kind| kind.terminals.len() != 2 || kind.through().is_none()) {
            return vec![None];
        }
        let turns = [(Turn::None, false), (Turn::None, true), (Turn::Quarter, false)];
        turns.into_iter().chain([(Turn::ThreeQuarters, false)]).map(Some).collect()
    }

    /// What a lead seems to cost: its least length, and the corners that its ends ask for.
    fn seems(&self, lead: &Lead, way: &Way) -> f64 {
        let Some((_, part)) = self.new.iter().find(|(id, _)| *id == lead.part) else { return 0.0 };
        let place = way.place(part.place);
        let (at, leaves) = (place.sheet_from_symbol(lead.at), place.direction(lead.leaves));
        let (far, far_leaves) = lead.far;
        let between = far - at;
        let along = |step: Point, way: Point| step.x * way.x + step.y * way.y;
        let length = between.x.abs() + between.y.abs();
        // A lead that leaves away from where it goes turns back, and one that leaves across turns once.
        let corners = |leaves: Direction, way: Point| {
            let step = leaves.step();
            let ahead = along(step, way);
            let aside = way.x.abs() + way.y.abs() - ahead.abs();
            match (ahead < 2.5, aside < 0.1) {
                (false, true) => 0.0,
                (false, false) => 0.5,
                (true, _) => 2.0,
            }
        };
        let back = far_leaves.map_or(0.0, |leaves| corners(leaves, between * -1.0));
        length + CORNER * (corners(leaves, between) + back)
    }

    fn is_clear(&self, way: &Way) -> bool {
        self.new.iter().all(|(_, part)| {
            let Some(kind) = self.after.type_named(&part.type_name) else { return false };
            let body = symbol_body(kind, &way.place(part.place)).grown(ROOM);
            self.is_free(body)
        })
    }

    /// Whether nothing that stays is drawn in an area.
    fn is_free(&self, area: Box2) -> bool {
        let is_drawn = self.laid.items_in(area).any(|item| match item.subject {
            Subject::Wire(_) | Subject::UnderWire(_) | Subject::Tag(_) => false,
            Subject::Flag(id) => !self.moved.contains(&id),
            // The box around all its letters is mostly empty paper.
            Subject::Label(_) => {
                item.prims.iter().filter_map(crate::Prim::bounds).any(|it| it.meets(area))
            }
            _ => true,
        });
        let mut stay = self.laid.routes.iter().filter(|(id, _)| !self.moved.contains(id));
        let is_met = |pair: &[Point]| {
            Box2::around(pair.iter().copied()).is_some_and(|stretch| stretch.meets(area))
        };
        !is_drawn && !stay.any(|(_, line)| line.windows(2).any(is_met))
    }

    /// What all wires of the sheet cost with the new parts so.
    fn cost_laid(&self, edit: &Edit, way: &Way) -> f64 {
        let edit = moved(edit.clone(), self.sheet, way);
        let Ok(patch) = self.car.plan(edit) else { return f64::INFINITY };
        let mut after = self.car.clone();
        after.apply(&patch);
        let sheet = lay_out(&after, self.sheet, &Options::default());
        let lines: Vec<&[Point]> = sheet.routes.values().map(AsRef::as_ref).collect();
        let length = |line: &&[Point]| -> f64 {
            let corners = line.len().saturating_sub(2) as f64;
            line.windows(2).map(|pair| pair[0].distance(pair[1])).sum::<f64>() + corners * CORNER
        };
        let crossings: usize = (0..lines.len())
            .map(|n| lines[n + 1..].iter().filter(|other| do_cross(lines[n], other)).count())
            .sum();
        lines.iter().map(length).sum::<f64>() + crossings as f64 * CROSSING + way.by.length() * AWAY
    }
}

/// Wires that have an end elsewhere after it.
fn moved_wires(patch: &Patch) -> BTreeSet<WireId> {
    let moved = patch.changes.iter().filter_map(|change| match (&change.row, &change.before) {
        (RowId::Wire(id), Some(Row::Wire(before))) => match &change.after {
            Some(Row::Wire(after)) => (before.ends() != after.ends()).then_some(*id),
            _ => Some(*id),
        },
        _ => None,
    });
    moved.collect()
}

/// Whether two right-angled lines cross.
fn do_cross(a: &[Point], b: &[Point]) -> bool {
    let crosses = |p: &[Point], q: &[Point]| {
        let (level, upright) = if p[0].y == p[1].y { (p, q) } else { (q, p) };
        let is_right = level[0].y == level[1].y && upright[0].x == upright[1].x;
        let within = |at: f64, x: f64, y: f64| x.min(y) + 0.1 < at && at < x.max(y) - 0.1;
        is_right
            && within(upright[0].x, level[0].x, level[1].x)
            && within(level[0].y, upright[0].y, upright[1].y)
    };
    a.windows(2).any(|p| b.windows(2).any(|q| crosses(p, q)))
}

fn moved(edit: Edit, sheet: SheetId, way: &Way) -> Edit {
    match edit {
        Edit::Place(mut part) if part.sheet == sheet => {
            part.place = way.place(part.place);
            Edit::Place(part)
        }
        Edit::CutIn { wire, mut part, ends } if part.sheet == sheet => {
            part.place = way.place(part.place);
            Edit::CutIn { wire, part, ends }
        }
        Edit::All(edits) => {
            Edit::All(edits.into_iter().map(|edit| moved(edit, sheet, way)).collect())
        }
        other => other,
    }
}
