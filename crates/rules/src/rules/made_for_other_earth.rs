//! Parts that are usually made for negative earth, in a positive-earth car.

use loomwright_circuit::EarthPolarity;
use loomwright_circuit::part_type::{Element, FlasherFamily};
use loomwright_circuit::seen::MadeFor;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, PO03};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "PO03",
    name: "made-for-other-earth",
    title: "Made for the other earth",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("made_for_other_earth.md"),
    needs: Needs::Drawing,
    check,
};

/// Alternators and electronic flashers are made for one earth; the drawing cannot say which.
fn check(ctx: &Ctx<'_>, out: &mut Out) {
    said(ctx, out);
    if ctx.is_plus_live() {
        return;
    }
    for (&id, part) in ctx.car.parts() {
        if !ctx.after.wiring.version.has(part.standing) {
            continue;
        }
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        if part.seen.made_for.is_some() {
            continue;
        }
        let is_electronic = part_type.elements.iter().any(|element| {
            matches!(element, Element::Flasher { family: FlasherFamily::Electronic, .. })
        });
        let (level, what) = if part.type_name == "alternator" {
            (Level::Danger, PO03::alternator())
        } else if is_electronic {
            (Level::Advice, PO03::flasher())
        } else {
            continue;
        };
        out.push(
            RULE.says(PO03::says_positive(&part.label, what))
                .level(level)
                .advise(PO03::advice_positive())
                .parts([id])
                .source(Common::practice()),
        );
    }
}

/// Parts of which somebody at the car has read what they are made for.
fn said(ctx: &Ctx<'_>, out: &mut Out) {
    let (has, other) = match ctx.car.vehicle().earth {
        EarthPolarity::Negative => ("negative", MadeFor::Positive),
        EarthPolarity::Positive => ("positive", MadeFor::Negative),
    };
    for (&id, part) in ctx.car.parts() {
        if ctx.after.wiring.version.has(part.standing) && part.seen.made_for == Some(other) {
            out.push(
                RULE.says(PO03::says(&part.label, other.words(), has))
                    .advise(PO03::advice())
                    .parts([id])
                    .source(PO03::source()),
            );
        }
    }
}
