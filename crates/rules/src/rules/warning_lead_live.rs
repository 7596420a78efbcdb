//! An alternator's warning terminal on the key's own lead, without a charge lamp between.

use loomwright_circuit::part_type::Element;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::CH08;
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;

pub(super) const RULE: Rule = Rule {
    code: "CH08",
    name: "warning-lead-live",
    title: "Charge lamp left out",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("warning_lead_live.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    for machine in &side.wiring.generators {
        let Some((id, terminal)) =
            machine.warning.and_then(|warning| side.wiring.terminal(warning))
        else {
            continue;
        };
        let needs_lamp = ctx.car.type_of(id).is_some_and(|known| {
            let mut elements = known.elements.iter();
            elements.any(|element| matches!(element, Element::Generator { needs_lamp: true, .. }))
        });
        let Some(warning) = machine.warning.filter(|_| needs_lamp) else { continue };
        let is_diode = |kind: LinkKind| matches!(kind, LinkKind::Diode(_));
        let straight = side.live.to(warning).find_map(|way| {
            let is_bare = !way.is_limited && !side.live.passes(&side.wiring, way, is_diode);
            is_bare.then(|| ctx.holds(&way.needs)).flatten()
        });
        let Some(shown) = straight else { continue };
        let keys = ctx.roles.controls(ControlRole::Ignition);
        let works = keys.flat_map(|key| ctx.network.controls()[key].works.iter());
        out.push(
            RULE.says(CH08::says(terminal, ctx.part_name(id)))
                .advise(CH08::advice())
                .parts([id])
                .parts(works.map(|(part, _)| *part))
                .wires(side.wiring.wires_at(warning))
                .shown(shown)
                .source(CH08::source()),
        );
    }
}
