//! A glass fuse whose number may mean what it carries or what it blows at.

use loomwright_units::{exact, with_decimals};

use crate::ctx::Ctx;
use crate::messages::PR03;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;
use crate::words::list;
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "PR03",
    name: "glass-fuse-unread",
    title: "Fuse rating not known",
    level: Level::Advice,
    since: "0.1.0",
    help: include_str!("glass_fuse_unread.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    let fuses: Vec<usize> = (0..wiring.links.len())
        .filter(|&link| matches!(wiring.links[link].kind, LinkKind::Fuse { .. }))
        .filter(|&link| ctx.fuse_amps(link).is_none())
        .filter(|&link| {
            wiring.links[link].ends.iter().all(|&end| wiring.wires_at(end).next().is_some())
        })
        .collect();
    if fuses.is_empty() {
        return;
    }
    let names: Vec<String> = fuses.iter().map(|&fuse| ctx.fuse_name(fuse)).collect();
    out.push(finding(ctx, &fuses, &names));
    let what = PR03::missing(list(&names));
    out.not_checked(&RULE, &what);
}

fn finding(ctx: &Ctx<'_>, fuses: &[usize], names: &[String]) -> Finding {
    let is_one = fuses.len() == 1;
    let verb = if is_one { "carries" } else { "carry" };
    let says = PR03::says(list(names), verb, with_decimals(17.5, 1));
    let parts = fuses.iter().filter_map(|&fuse| ctx.after.wiring.links[fuse].kind.part());
    let finding = RULE.says(says).advise(PR03::advice()).parts(parts).source(PR03::source());
    let [fuse] = fuses else { return finding };
    let Some(part) = ctx.after.wiring.links[*fuse].kind.part() else { return finding };
    let marked = ctx.part(part).and_then(|(row, part_type)| row.fact(part_type, "marked"));
    if let (Some(marked), (Some(carries), Some(blows))) = (marked, ctx.fuse_facts(*fuse)) {
        let read_as = |name: &str| ctx.set_fact(part, name, marked);
        return finding.fix(PR03::fix_blows(exact(marked)), Trust::Ask, read_as(&blows)).fix(
            PR03::fix_carries(exact(marked)),
            Trust::Ask,
            read_as(&carries),
        );
    }
    match ctx.fuse_facts(*fuse) {
        (_, Some(blows)) => {
            let edit = ctx.set_fact(part, &blows, 35.0);
            finding.fix(PR03::fix_blows_35(), Trust::Ask, edit)
        }
        _ => finding,
    }
}
