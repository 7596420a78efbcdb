//! What stands on one sheet: its parts with their terminals in place, and its wires with both ends found.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::{
    Anchor, Box2, Car, Direction, Part, PartId, PartType, Placement, Point, SheetId, Standing,
    Wire, WireId,
};

use crate::{Live, LiveWire, Options, symbol, wires};

/// One sheet of a car, resolved.
#[derive(Clone)]
pub(crate) struct Scene<'a> {
    pub(crate) car: &'a Car,
    pub(crate) sheet: SheetId,
    pub(crate) options: &'a Options,
    /// What the car does, in the phase of its flashers that is painted.
    pub(crate) live: Option<&'a Live>,
    pub(crate) parts: Vec<ScenePart<'a>>,
    pub(crate) wires: Vec<SceneWire<'a>>,
}

#[derive(Clone)]
pub(crate) struct ScenePart<'a> {
    pub(crate) id: PartId,
    pub(crate) part: &'a Part,
    /// Nothing where the car names a type that nobody knows.
    pub(crate) part_type: Option<&'a PartType>,
    /// The room it takes, terminals included.
    pub(crate) body: Box2,
    /// What wires go around, and the plain lines from there to its terminals.
    pub(crate) core: Box2,
    pub(crate) leads: Vec<Box2>,
    pub(crate) pins: Vec<Pin<'a>>,
}

/// A terminal in its place.
#[derive(Debug, Clone)]
pub(crate) struct Pin<'a> {
    pub(crate) name: &'a str,
    pub(crate) at: Point,
    /// Which way leads leave; nothing where any way will do, as at a joint.
    pub(crate) leaves: Option<Direction>,
    pub(crate) n_wires: usize,
    /// Which wires of the scene those are.
    pub(crate) wires: Vec<usize>,
    /// Half the breadth of the broadest of them, mm.
    pub(crate) half_width: f64,
    /// Half of what the broadest of its wires covers, its over-ink included, mm.
    pub(crate) half_band: f64,
}

#[derive(Clone)]
pub(crate) struct SceneWire<'a> {
    pub(crate) id: WireId,
    pub(crate) wire: &'a Wire,
    pub(crate) ends: [SceneEnd; 2],
}

/// An end of a wire as this sheet sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum SceneEnd {
    /// On a terminal: indices of part and pin.
    Pin { part: usize, pin: usize },
    /// Loose, here.
    Loose(Point),
    /// On another sheet.
    Elsewhere(SheetId),
}

/// Half the side of the box that stands for a part of unknown type, mm.
const UNKNOWN_HALF: f64 = 7.5;

impl<'a> Scene<'a> {
    /// Height of capitals that are usually this high, mm.
    pub(crate) fn capitals(&self, usual: f64) -> f64 {
        usual.max(self.options.least_height.unwrap_or(0.0))
    }

    pub(crate) fn of(car: &'a Car, sheet: SheetId, options: &'a Options) -> Self {
        Self::of_rows(car, sheet, options, (car.parts().iter(), car.wires().iter()))
    }

    /// Some parts and wires of a sheet alone.
    pub(crate) fn of_some(
        car: &'a Car,
        sheet: SheetId,
        options: &'a Options,
        (parts, wires): (&BTreeSet<PartId>, &BTreeSet<WireId>),
    ) -> Self {
        let parts = parts.iter().filter_map(|id| car.parts().get_key_value(id));
        let wires = wires.iter().filter_map(|id| car.wires().get_key_value(id));
        Self::of_rows(car, sheet, options, (parts, wires))
    }

    fn of_rows(
        car: &'a Car,
        sheet: SheetId,
        options: &'a Options,
        (parts, rows): (
            impl Iterator<Item = (&'a PartId, &'a Part)>,
            impl Iterator<Item = (&'a WireId, &'a Wire)>,
        ),
    ) -> Self {
        let mut parts: Vec<_> = parts
            .filter(|(_, part)| part.sheet == sheet && is_shown(options, part.standing))
            .map(|(id, part)| ScenePart::of(car, *id, part))
            .collect();
        let index: BTreeMap<PartId, usize> =
            parts.iter().enumerate().map(|(part_idx, part)| (part.id, part_idx)).collect();
        let mut wires = Vec::new();
        for (id, wire) in rows {
            if !is_shown(options, wire.standing) {
                continue;
            }
            let find = |anchor| end(car, sheet, &parts, &index, anchor);
            let ends = [find(&wire.from.at), find(&wire.to.at)];
            let is_here = ends.iter().any(|end| !matches!(end, SceneEnd::Elsewhere(_)));
            if is_here {
                for end in ends {
                    if let SceneEnd::Pin { part, pin } = end {
                        let pin = &mut parts[part].pins[pin];
                        pin.n_wires += 1;
                        pin.wires.push(wires.len());
                        pin.half_width = pin.half_width.max(wires::full_width(wire) / 2.0);
                        pin.half_band = pin.half_band.max(half_band(wire, options));
                    }
                }
                wires.push(SceneWire { id: *id, wire, ends });
            }
        }
        Self { car, sheet, options, live: options.live.as_ref(), parts, wires }
    }

    /// The same in the dark phase of its flashers, where any are at work.
    pub(crate) fn in_the_dark(&self) -> Option<Self> {
        let dark = self.options.live.as_ref()?.dark.as_deref()?;
        Some(Self { live: Some(dark), ..self.clone() })
    }

    /// What a wire does, in the phase that is painted.
    pub(crate) fn live_wire(&self, wire_idx: usize) -> Option<LiveWire> {
        self.live?.wires.get(&self.wires[wire_idx].id).copied()
    }

    /// What it does in each phase.
    pub(crate) fn phases_of_wire(&self, wire_idx: usize) -> Vec<LiveWire> {
        let id = self.wires[wire_idx].id;
        let phases = self.options.live.iter().flat_map(Live::phases);
        phases.filter_map(|live| live.wires.get(&id).copied()).collect()
    }

    /// Place and direction of an end on this sheet.
    pub(crate) fn place(&self, end: SceneEnd) -> Option<(Point, Option<Direction>)> {
        match end {
            SceneEnd::Pin { part, pin } => {
                let pin = &self.parts[part].pins[pin];
                Some((pin.at, pin.leaves))
            }
            SceneEnd::Loose(at) => Some((at, None)),
            SceneEnd::Elsewhere(_) => None,
        }
    }
}

/// Half of what a wire covers, mm: its over-ink included, and on screens the light at its sides while it is live, so that
/// numbers of terminals need not move for it.
fn half_band(wire: &Wire, options: &Options) -> f64 {
    let over_ink = options.leaves_room_for_over_ink(wire.standing);
    let widths = [
        wires::full_width(wire),
        if over_ink { wires::over_ink_width(wire) } else { 0.0 },
        if options.is_for_screen { wires::lit_width(wire) } else { 0.0 },
    ];
    widths.into_iter().fold(0.0, f64::max) / 2.0
}

fn is_shown(options: &Options, standing: Standing) -> bool {
    options.version.is_none_or(|version| version.has(standing))
}

fn end(
    car: &Car,
    sheet: SheetId,
    parts: &[ScenePart<'_>],
    index: &BTreeMap<PartId, usize>,
    anchor: &Anchor,
) -> SceneEnd {
    match anchor {
        Anchor::Loose { sheet: other, at } if *other == sheet => SceneEnd::Loose(*at),
        Anchor::Loose { sheet: other, .. } => SceneEnd::Elsewhere(*other),
        Anchor::Terminal { part, terminal } => {
            if let Some(part_idx) = index.get(part) {
                let pins = &parts[*part_idx].pins;
                return match pins.iter().position(|pin| pin.name == terminal) {
                    Some(pin) => SceneEnd::Pin { part: *part_idx, pin },
                    None => SceneEnd::Loose(parts[*part_idx].part.place.at),
                };
            }
            match car.part(*part) {
                // The part is on this sheet, but not in the version shown: the wire hangs where it was.
                Some(hidden) if hidden.sheet == sheet => {
                    SceneEnd::Loose(terminal_place(car, hidden, terminal))
                }
                Some(other) => SceneEnd::Elsewhere(other.sheet),
                None => SceneEnd::Elsewhere(sheet),
            }
        }
    }
}

fn terminal_place(car: &Car, part: &Part, terminal: &str) -> Point {
    car.type_named(&part.type_name)
        .and_then(|part_type| part_type.terminal(terminal))
        .map_or(part.place.at, |terminal| part.place.sheet_from_symbol(terminal.at))
}

impl<'a> ScenePart<'a> {
    fn of(car: &'a Car, id: PartId, part: &'a Part) -> Self {
        let part_type = car.type_named(&part.type_name).map(|part_type| &**part_type);
        let Some(known) = part_type else {
            let at = Box2 { min: part.place.at, max: part.place.at };
            let body = at.grown(UNKNOWN_HALF);
            return Self {
                id,
                part,
                part_type,
                body,
                core: body,
                leads: Vec::new(),
                pins: Vec::new(),
            };
        };
        let body = symbol::body(known, &part.place);
        let is_free = is_dot(known, body);
        let pins = known
            .terminals
            .iter()
            .map(|terminal| Pin {
                name: &terminal.name,
                at: part.place.sheet_from_symbol(terminal.at),
                leaves: (!is_free).then(|| outward(&part.place, terminal.leaves)),
                n_wires: 0,
                wires: Vec::new(),
                half_width: 0.0,
                half_band: 0.0,
            })
            .collect();
        let (core, leads) = symbol::core(known, &part.place);
        Self { id, part, part_type, body, core, leads, pins }
    }

    /// Whether it is drawn as a dot where wires meet.
    pub(crate) fn is_joint(&self) -> bool {
        self.part_type.is_some_and(|part_type| is_dot(part_type, self.body))
    }
}

fn outward(place: &Placement, leaves: Direction) -> Direction {
    place.direction(leaves)
}

/// One terminal under a symbol no larger than a dot: leads leave it any way.
fn is_dot(part_type: &PartType, body: Box2) -> bool {
    part_type.terminals.len() == 1 && body.width() <= 4.0 && body.height() <= 4.0
}
