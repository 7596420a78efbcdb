//! What a cable may carry, what a fuse carries, and how long each of them bears more.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{PartId, Wire, WireId};
use loomwright_units::{Amps, Seconds};

use super::{Derivation, Input, Origin, Placed, Subject, Why, computed, constant, derive, input};
use crate::cable::{self, Read};
use crate::fuse::{BRITISH_SHARE, BRITISH_SOURCE, Gate, Rating, link};
use crate::network::Kind;

const MARKED: &str = "what it is marked with";

impl Why<'_> {
    /// What a wire may carry all day: the row of the table for its cover, read at its size. Nothing without a size.
    pub fn carries_of_wire(&self, wire: WireId) -> Option<Derivation> {
        let known = self.car.wire(wire)?;
        let size = known.copper()?;
        let of = Subject::Wire(wire);
        let area = self.area(wire)?;
        // As the rules judge it.
        let cover = Some(cable::judged_as(known.insulation));
        let amps = (cable::rating(size, cover).amps.0, "A");
        let (read, source) = cable::read_from(size, cover);
        let listed = |symbol, value, unit| constant(symbol, value, unit, source);
        Some(match read {
            Read::At(row) => derive(of, amps, "Iz = I₁", source, [listed("I₁", row.1, "A")]),
            Read::Under(row) => {
                let inputs = [area, listed("I₁", row.1, "A"), listed("a₁", row.0, "mm²")];
                derive(of, amps, "Iz = a · I₁ / a₁", source, inputs)
            }
            Read::Between(below, above) => derive(
                of,
                amps,
                "Iz = min(max(a · min(I₁ / a₁, I₂ / a₂), I₁), I₂)",
                source,
                [
                    area,
                    listed("I₁", below.1, "A"),
                    listed("a₁", below.0, "mm²"),
                    listed("I₂", above.1, "A"),
                    listed("a₂", above.0, "mm²"),
                ],
            ),
            Read::Strands(_) => derive(
                of,
                amps,
                "Iz = i · max(round(a / s), 0.5)",
                source,
                [
                    listed("i", cable::AMPS_A_STRAND, "A"),
                    area,
                    listed("s", cable::STRAND_SQUARE_MM, "mm²"),
                ],
            ),
        })
    }

    /// What a wire stands for a short time from its full warmth. Nothing without a size.
    pub fn short_time_of_wire(&self, wire: WireId, time: Seconds) -> Option<Derivation> {
        let size = self.car.wire(wire)?.copper()?;
        let source = cable::SHORT_TIME_SOURCE;
        Some(derive(
            Subject::Wire(wire),
            (cable::short_time(size, time).0, "A"),
            "Iₜ = k · a / √t",
            source,
            [
                constant("k", cable::SHORT_TIME_K, "A·√s/mm²", source),
                self.area(wire)?,
                input("t", time.0, "s", Origin::Asked),
            ],
        ))
    }

    pub(super) fn area(&self, wire: WireId) -> Option<Input> {
        let known = self.car.wire(wire)?;
        let size = known.copper()?;
        let stated = Origin::Stated(Subject::Wire(wire), area_of(known).to_owned());
        Some(input("a", size.square_mm(), "mm²", stated))
    }

    /// What a fuse carries all day; of a box, each of its fuses.
    pub fn carries_of_fuse(&self, part: PartId) -> Vec<Derivation> {
        self.elements(part).iter().filter_map(carries).collect()
    }
}

/// How long a fuse takes to open at a current, at the most and at the least. Nothing where no gate makes it open.
pub(super) fn opens(placed: &Placed<'_>, amps: Input) -> Option<[Derivation; 2]> {
    let Kind::Fuse { rating: Some(rating) } = placed.row.kind else { return None };
    let flows = Amps(amps.quantity.value);
    let met = rating.met(flows)?;
    let times = derive(
        placed.itself(),
        (flows.0.abs() / rating.carries, ""),
        "m = |I| / Iₙ",
        rating.gates_source(),
        [amps, computed("Iₙ", carries(placed)?)],
    );
    Some([gate_met(placed, rating, met, times.clone()), next_gate(placed, rating, flows, times)])
}

/// What a fuse carries, by its marking.
pub(super) fn carries(placed: &Placed<'_>) -> Option<Derivation> {
    let Element::Fuse { carries, blows, square_mm, .. } = placed.element else { return None };
    let Kind::Fuse { rating: Some(rating) } = placed.row.kind else { return None };
    let (of, amps) = (placed.itself(), (rating.carries, "A"));
    let is_known = |input: &Input| input.quantity.value > 0.0;
    if let Some(marked) = placed.figure("N", "A", carries).filter(is_known) {
        return Some(derive(of, amps, "Iₙ = N", MARKED, [marked]));
    }
    let area = square_mm.as_ref().and_then(|area| placed.figure("a", "mm²", area));
    if let Some(area) = area.filter(is_known) {
        let share = constant("s", link::CARRIES_SHARE, "", link::CARRIES_SOURCE);
        let formula = "Iₙ = s · 80 · (4 · a / π)^(3 / 4)";
        return Some(derive(of, amps, formula, link::PREECE_SOURCE, [share, area]));
    }
    let blows = placed.figure("B", "A", blows.as_ref()?)?;
    let share = constant("s", BRITISH_SHARE, "", BRITISH_SOURCE);
    Some(derive(of, amps, "Iₙ = s · B", BRITISH_SOURCE, [share, blows]))
}

fn gate_met(placed: &Placed<'_>, rating: Rating, met: &Gate, times: Derivation) -> Derivation {
    let source = rating.gates_source();
    derive(
        placed.itself(),
        (met.opens_within.0, "s"),
        "t = t₁ where m ≥ m₁",
        source,
        [
            constant("t₁", met.opens_within.0, "s", source),
            computed("m", times),
            constant("m₁", met.multiple, "", source),
        ],
    )
}

fn next_gate(placed: &Placed<'_>, rating: Rating, flows: Amps, times: Derivation) -> Derivation {
    let source = rating.gates_source();
    let least = rating.holds_for(flows).unwrap_or(Seconds(0.0)).0;
    let last = rating.gates().last().map_or(0.0, |gate| gate.multiple);
    let (formula, multiple) = match rating.next(flows) {
        Some(next) => ("t = t₂ where m ≤ m₂", next.multiple),
        None => ("t = t₂ where m ≥ m₂", last),
    };
    derive(
        placed.itself(),
        (least, "s"),
        formula,
        source,
        [
            constant("t₂", least, "s", source),
            computed("m", times),
            constant("m₂", multiple, "", source),
        ],
    )
}

/// What somebody stated of a wire that gives the area of its copper.
pub(super) fn area_of(wire: &Wire) -> &'static str {
    if wire.copper() == wire.size { "size" } else { "size over its cover, of which this is copper" }
}
