//! Laying a sheet out: what goes where, and what is painted over what.

use std::sync::Arc;

use loomwright_circuit::{Box2, Car, Point, SheetId, Standing, WireColour};

use crate::abreast::Abreast;
use crate::block::Placed;
use crate::clutter::{Clutter, Kind};
use crate::ends::Continuation;
use crate::flags::Flag;
use crate::hops::{Hop, RADIUS, hops, painting_order, with_hops};
use crate::index::Index;
use crate::legible::{self, Known, Rank};
use crate::live::{Head, Told};
use crate::notes::{self, PlacedNote};
use crate::scene::{Scene, SceneEnd, ScenePart, SceneWire};
use crate::settle::{Words, settle};
use crate::tags::PlacedTag;
use crate::ways::{Before, Ways, ways};
use crate::{Item, Options, Prim, Sheet, Subject, ends, flags, heading, live, parts, tags, wires};

/// Lays out one sheet of the car.
///
/// The same car and options give the same sheet, to the last digit. The ways of the wires follow from the car's rows
/// alone: whatever the options, each wire runs the same way.
pub fn lay_out(car: &Car, sheet: SheetId, options: &Options) -> Sheet {
    lay_out_from(car, sheet, options, Before::Nothing)
}

/// Lays a sheet out as [`lay_out`] does, with the same result; quicker where the wires run as they did before.
pub fn lay_out_again(car: &Car, sheet: SheetId, options: &Options, previous: &Sheet) -> Sheet {
    lay_out_from(car, sheet, options, Before::Same(previous))
}

/// Lays a sheet out while something is held in the hand: wires whose ends have not moved stay as they lay, even where
/// they would now be in the way. Once it is put down, [`lay_out`] settles them.
pub fn lay_out_in_hand(car: &Car, sheet: SheetId, options: &Options, previous: &Sheet) -> Sheet {
    lay_out_from(car, sheet, options, Before::Still(previous))
}

/// Everything in its place, not yet painted.
struct Plan<'s, 'a> {
    scene: &'s Scene<'a>,
    marks: Vec<Continuation>,
    /// The lines as painted; those of the sheet run from terminal to terminal.
    abreast: Abreast,
    hops: Vec<Vec<Hop>>,
    names: Vec<Option<Placed>>,
    designations: Vec<Vec<Placed>>,
    flags: Vec<Flag>,
    loose: Vec<(usize, Vec<Prim>)>,
    tags: Vec<PlacedTag>,
    notes: Vec<PlacedNote>,
    arrows: Vec<(usize, Vec<Head>)>,
    amps: Vec<Told>,
    untold: Vec<usize>,
}

fn lay_out_from(car: &Car, sheet: SheetId, options: &Options, before: Before<'_>) -> Sheet {
    of_scene(&Scene::of(car, sheet, options), ways(car, sheet, before))
}

/// Lays out what stands in a scene, its wires running so.
pub(crate) fn of_scene(scene: &Scene<'_>, ways: Ways) -> Sheet {
    let heading =
        if scene.options.has_heading { heading::prims(scene, ways.around) } else { Vec::new() };
    let mut plan = plan(scene, &ways, &heading);
    let untold = plan.untold.iter().map(|idx| scene.wires[*idx].id).collect();
    let heading = item(Subject::Heading, "Heading".to_owned(), heading).map(Arc::new);
    let painted = |plan: &Plan<'_, '_>| -> Vec<Arc<Item>> {
        heading.iter().cloned().chain(paint(plan).into_iter().map(Arc::new)).collect()
    };
    let items = painted(&plan);
    let dark = scene.in_the_dark();
    let elsewhen = dark.iter().flat_map(|dark| {
        plan.scene = dark;
        painted(&plan)
    });
    let elsewhen: Vec<_> = elsewhen.collect();
    let bounds = items.iter().chain(&elsewhen).map(|item| item.bounds).reduce(Box2::union);
    let terminals = scene
        .parts
        .iter()
        .flat_map(|part| part.pins.iter().map(|pin| (part.id, pin.name.into(), pin.at)))
        .collect();
    let line = |wire: &SceneWire<'_>| ways.lines.get(&wire.id).cloned().unwrap_or_default();
    let routes = scene.wires.iter().map(|wire| (wire.id, line(wire))).collect();
    let sheet = Sheet {
        items,
        bounds,
        terminals,
        routes,
        untold,
        elsewhen: Vec::new(),
        ways: ways.lines,
        from: ways.from,
        index: Index::default(),
        known: Known::default(),
    };
    let elsewhen = Sheet { items: elsewhen, ..Sheet::default() }.sharing(&sheet).items;
    Sheet { elsewhen, ..sheet }
}

fn plan<'s, 'a>(scene: &'s Scene<'a>, ways: &Ways, heading: &[Prim]) -> Plan<'s, 'a> {
    let lines = scene.wires.iter().map(|wire| line_of(ways, wire)).collect();
    let abreast = Abreast::of(scene, lines);
    let lines = &abreast.lines;
    let hops = hops(lines);
    let mut clutter = routed_clutter(scene, ways, &abreast, &hops);
    let notes = notes::of(scene.car, scene.sheet, scene.options.least_height);
    for note in &notes {
        clutter.add(note.rect, Kind::Lettering);
    }
    for rect in heading.iter().filter_map(Prim::bounds) {
        clutter.add(rect.grown(1.0), Kind::Lettering);
    }
    let mut settled = settle(scene, ways, &mut clutter);
    let loose = loose_ends(scene, &mut clutter);
    let flags = flags::place(scene, lines, &mut clutter);
    settled.look_again(scene, ways, &mut clutter);
    settled.leave_out(scene, &mut clutter);
    settled.give_grounds(scene, &clutter);
    let Words { names, designations, marks } = settled.words(scene, ways);
    let Currents { arrows, amps, untold } = currents(scene, lines, &flags, &mut clutter);
    let tags = tags::place(scene, lines, &mut clutter);
    Plan {
        scene,
        marks,
        abreast,
        hops,
        names,
        designations,
        flags,
        loose,
        tags,
        notes,
        arrows,
        amps,
        untold,
    }
}

fn line_of(ways: &Ways, wire: &SceneWire<'_>) -> Vec<Point> {
    ways.lines.get(&wire.id).map_or_else(Vec::new, |line| line.to_vec())
}

/// All that lettering must not cover, once the wires are there.
fn routed_clutter(scene: &Scene<'_>, ways: &Ways, abreast: &Abreast, hops: &[Vec<Hop>]) -> Clutter {
    let lines = &abreast.lines;
    let mut clutter = Clutter::default();
    for (part_idx, part) in scene.parts.iter().enumerate() {
        clutter.add(part.body, Kind::Body(part_idx));
        for rect in parts::words_outside(scene, part) {
            clutter.add(rect, Kind::Lettering);
        }
        for pin in &part.pins {
            clutter.add(Box2 { min: pin.at, max: pin.at }.grown(1.0), Kind::Spot);
        }
    }
    for (wire_idx, wire) in scene.wires.iter().enumerate() {
        if let Some(mark) = ways.marks.get(&wire.id) {
            clutter.add(Box2 { min: mark.tip, max: mark.tip }.grown(2.8), Kind::Tip(wire_idx));
        }
    }
    for (wire_idx, line) in lines.iter().enumerate() {
        let wire = scene.wires[wire_idx].wire;
        clutter.add_wire(wire_idx, line, wires::full_width(wire));
        let has_over_ink = scene.options.leaves_room_for_over_ink(wire.standing);
        if has_over_ink {
            clutter.add_over_ink(wire_idx, line, wires::over_ink_width(wire));
        }
        for slant in abreast.slants(wire_idx) {
            clutter.add_wire(wire_idx, &slant, wires::full_width(wire));
            if has_over_ink {
                clutter.add_over_ink(wire_idx, &slant, wires::over_ink_width(wire));
            }
        }
        for hop in &hops[wire_idx] {
            let (a, b) = (line[hop.stretch], line[hop.stretch + 1]);
            let at = a + (b - a) * (hop.along / a.distance(b));
            let at = Box2 { min: at, max: at }.grown(RADIUS);
            clutter.add(at, Kind::Spot);
            clutter.add(at.grown(wires::full_width(wire) / 2.0), Kind::Wire(wire_idx));
            if has_over_ink {
                clutter.add(at.grown(wires::over_ink_width(wire) / 2.0), Kind::OverInk(wire_idx));
            }
        }
    }
    clutter
}

fn loose_ends(scene: &Scene<'_>, clutter: &mut Clutter) -> Vec<(usize, Vec<Prim>)> {
    let mut loose = Vec::new();
    for (wire_idx, wire) in scene.wires.iter().enumerate() {
        for end in wire.ends {
            if let SceneEnd::Loose(at) = end {
                loose.push((wire_idx, ends::loose_end(scene, at, clutter)));
            }
        }
    }
    loose
}

/// Arrowheads along wires, and plates with what flows in them.
#[derive(Default)]
struct Currents {
    arrows: Vec<(usize, Vec<Head>)>,
    amps: Vec<Told>,
    /// Wires of which not all could be told.
    untold: Vec<usize>,
}

fn currents(
    scene: &Scene<'_>,
    lines: &[Vec<Point>],
    flags: &[Flag],
    clutter: &mut Clutter,
) -> Currents {
    let mut currents = Currents::default();
    let flowing: Vec<_> = (0..lines.len()).map(|idx| (idx, scene.phases_of_wire(idx))).collect();
    let mut hidden = vec![Vec::new(); lines.len()];
    for flag in flags {
        hidden[flag.wire_idx].push(flag.rect());
    }
    for (wire_idx, phases) in &flowing {
        let line = (*wire_idx, lines[*wire_idx].as_slice());
        let plates = live::amps(line, phases, &hidden[*wire_idx], clutter);
        if plates.len() < live::n_figures(phases) {
            currents.untold.push(*wire_idx);
        }
        currents.amps.extend(plates);
    }
    for (wire_idx, phases) in flowing {
        let heads = live::arrows((wire_idx, &lines[wire_idx]), &phases, clutter);
        currents.arrows.push((wire_idx, heads));
    }
    currents
}

pub(crate) fn item(subject: Subject, title: String, prims: Vec<Prim>) -> Option<Item> {
    let bounds = prims.iter().filter_map(Prim::bounds).reduce(Box2::union)?;
    Some(Item {
        subject,
        title: title.into(),
        bounds,
        prims: prims.into(),
        letters: Arc::default(),
    })
}

fn paint(plan: &Plan<'_, '_>) -> Vec<Item> {
    let mut items = Vec::new();
    let hopped = plan.abreast.lines.iter().zip(&plan.hops).enumerate();
    let hopped: Vec<_> = hopped
        .map(|(idx, (line, hops))| plan.abreast.slanted(idx, with_hops(line, hops)))
        .collect();
    // Frames lie below all else, so that they hide nothing.
    items.extend(plan.notes.iter().filter(|note| note.is_frame()).filter_map(PlacedNote::item));
    paint_below(plan, &hopped, &mut items);
    paint_wires(plan, &hopped, &mut items);
    for part in &plan.scene.parts {
        let prims = parts::prims(plan.scene, part);
        items.extend(item(Subject::Part(part.id), part_title(part), prims));
    }
    paint_lettering(plan, &mut items);
    items.extend(plan.notes.iter().filter(|note| !note.is_frame()).filter_map(PlacedNote::item));
    for tag in &plan.tags {
        let row = &plan.scene.options.tags[tag.tag_idx];
        items.extend(item(
            Subject::Tag(tag.tag_idx),
            format!("Tag {}", row.number),
            tag.prims(row),
        ));
    }
    items
}

/// Light, over-ink of what is to fit, wash of what is live.
fn paint_below(plan: &Plan<'_, '_>, hopped: &[Vec<Point>], items: &mut Vec<Item>) {
    let scene = plan.scene;
    let is_trying = scene.live.is_some();
    let has_outlines = scene.live.is_some_and(|live| live.has_outlines);
    let mut add =
        |subject, title: &str, prims| items.extend(item(subject, title.to_owned(), prims));
    // The edges of all over-ink before any of it, so that none runs across another's.
    if !is_trying && scene.options.is_for_screen {
        for part in scene.parts.iter().filter(|part| part.part.standing == Standing::ToFit) {
            add(Subject::UnderPart(part.id), "To fit", wires::edged(parts::to_fit(part)));
        }
        for (wire, line) in scene.wires.iter().zip(hopped) {
            if wire.wire.standing == Standing::ToFit && !line.is_empty() {
                let over = vec![wires::to_fit(wire.wire, line)];
                add(Subject::UnderWire(wire.id), "To fit", wires::edged(over));
            }
        }
    }
    for part in &scene.parts {
        if let (Some(live), Some(part_type)) = (parts::live(scene, part), part.part_type) {
            let under = Subject::UnderPart(part.id);
            add(under, "Live", parts::live_terminals(scene, part));
            add(under, "Light", live::glow(&part_type.glows, &live.light, &part.part.place));
        }
        if !is_trying && part.part.standing == Standing::ToFit {
            add(Subject::UnderPart(part.id), "To fit", parts::to_fit(part));
        }
    }
    for (wire_idx, wire) in
        scene.wires.iter().enumerate().filter(|(idx, _)| !hopped[*idx].is_empty())
    {
        if !is_trying && wire.wire.standing == Standing::ToFit {
            add(
                Subject::UnderWire(wire.id),
                "To fit",
                vec![wires::to_fit(wire.wire, &hopped[wire_idx])],
            );
        }
        if let Some(live) = scene.live_wire(wire_idx) {
            let under = Subject::UnderWire(wire.id);
            add(under, "Live", wires::live(wire.wire, &hopped[wire_idx], live, has_outlines));
        }
    }
    // Over the light of all wires: where two meet, neither light runs through the other's gap.
    for (wire_idx, wire) in scene.wires.iter().enumerate() {
        let line = &plan.abreast.lines[wire_idx];
        if let Some(live) = scene.live_wire(wire_idx).filter(|_| !hopped[wire_idx].is_empty()) {
            let under = Subject::UnderWire(wire.id);
            add(under, "Gap", wires::gap(wire.wire, &hopped[wire_idx], live));
            add(under, "Overload", wires::overload(wire.wire, line, live));
        }
    }
}

fn paint_wires(plan: &Plan<'_, '_>, hopped: &[Vec<Point>], items: &mut Vec<Item>) {
    let scene = plan.scene;
    let is_to_remove = |wire: &SceneWire<'_>| wire.wire.standing == Standing::ToRemove;
    let lettering = if scene.wires.iter().any(is_to_remove) { lettering(plan) } else { Vec::new() };
    for wire_idx in painting_order(&plan.hops) {
        let wire = &scene.wires[wire_idx];
        if hopped[wire_idx].len() < 2 {
            continue;
        }
        let mut prims = wires::cable(wire.wire, &hopped[wire_idx]);
        if is_to_remove(wire) {
            prims.extend(wires::strikes(&plan.abreast.lines[wire_idx], &lettering));
        }
        items.extend(item(Subject::Wire(wire.id), wire_title(scene, wire_idx), prims));
    }
}

/// Where flags, names and designations stand.
fn lettering(plan: &Plan<'_, '_>) -> Vec<Box2> {
    let blocks = plan.designations.iter().flatten().chain(plan.names.iter().flatten());
    plan.flags.iter().map(Flag::rect).chain(blocks.map(Placed::rect)).collect()
}

fn paint_lettering(plan: &Plan<'_, '_>, items: &mut Vec<Item>) {
    let scene = plan.scene;
    for (part_idx, part) in scene.parts.iter().enumerate() {
        let numbers = plan.designations[part_idx].iter().map(|it| {
            (it.prims(), if it.block.is_sign() { Rank::Polarity } else { Rank::Terminal })
        });
        let rank = if part.is_joint() { Rank::Onward } else { Rank::Name };
        let names = plan.names[part_idx].iter().map(|words| (words.prims(), rank));
        let blocks = numbers.chain(names).collect();
        items.extend(legible::lettered(Subject::Label(part.id), part_title(part), blocks));
    }
    for mark in &plan.marks {
        let subject = Subject::Continuation(scene.wires[mark.wire_idx].id, mark.to);
        items.extend(legible::onward(subject, wire_title(scene, mark.wire_idx), mark.prims()));
    }
    for (wire_idx, prims) in &plan.loose {
        let subject = Subject::Wire(scene.wires[*wire_idx].id);
        items.extend(item(subject, wire_title(scene, *wire_idx), prims.clone()));
    }
    for (wire_idx, heads) in &plan.arrows {
        let subject = Subject::Flow(scene.wires[*wire_idx].id);
        let live = scene.live_wire(*wire_idx);
        let prims = heads.iter().filter_map(|head| head.prim(live?)).collect();
        items.extend(item(subject, wire_title(scene, *wire_idx), prims));
    }
    for flag in &plan.flags {
        let wire = &scene.wires[flag.wire_idx];
        let words = flags::words(scene, wire.wire);
        let prims = flag.prims(wire.wire, &words, scene.options);
        let title = wire_title(scene, flag.wire_idx);
        items.extend(legible::plate(Subject::Flag(wire.id), title, (prims, Rank::Wire)));
    }
    for (wire_idx, wire) in scene.wires.iter().enumerate() {
        if let Some(live) =
            scene.live_wire(wire_idx).filter(|_| plan.abreast.lines[wire_idx].len() > 1)
        {
            let prims = live::wrong_with(&plan.abreast.lines[wire_idx], wire.ends, live);
            items.extend(item(Subject::Wire(wire.id), wire_title(scene, wire_idx), prims));
        }
    }
    for told in &plan.amps {
        let wire_idx = told.wire_idx();
        let subject = Subject::Amps(scene.wires[wire_idx].id);
        let title = wire_title(scene, wire_idx);
        let prims = told.prims(scene.live_wire(wire_idx).unwrap_or_default());
        items.extend(legible::plate(subject, title, (prims, Rank::Amps)));
    }
}

fn part_title(part: &ScenePart<'_>) -> String {
    let what = part.part_type.map_or(part.part.type_name.as_str(), |part_type| &part_type.title);
    with_standing(format!("{}, {what}", part.part.label), part.part.standing)
}

fn wire_title(scene: &Scene<'_>, wire_idx: usize) -> String {
    let wire = scene.wires[wire_idx].wire;
    let colour = wire.colour.map_or_else(|| "colour not known".to_owned(), WireColour::words);
    with_standing(format!("Wire {}, {colour}", wire.label), wire.standing)
}

fn with_standing(words: String, standing: Standing) -> String {
    match standing {
        Standing::AsFound => words,
        other => format!("{words}, {}", other.words()),
    }
}
