//! What goes dark with a fuse.

use std::collections::BTreeSet;

use loomwright_circuit::PartId;
use loomwright_electrics::Visit;

use crate::ctx::Ctx;
use crate::roles::Role;

/// Head and stop lamps at work in a visit that nothing but this fuse feeds there.
pub(crate) fn dark(ctx: &Ctx<'_>, fuse: usize, visit: &Visit) -> Vec<PartId> {
    let side = &ctx.after;
    let mut parts = BTreeSet::new();
    for (load_idx, load) in side.wiring.loads.iter().enumerate() {
        let is_head = ctx.part_name(load.part).to_lowercase().contains("headlamp");
        let is_missed = ctx.roles.load(load_idx).is_some_and(Role::is_missed_at_once) || is_head;
        let light = load.light(&visit.settled.on);
        let Some((fed, _)) = side.fed_end(load) else { continue };
        if !load.kind.is_light() || !is_missed || light.is_none_or(|light| light < 0.1) {
            continue;
        }
        let mut feeds =
            side.live.to(fed).filter(|way| ctx.fits(&visit.settled, &way.needs)).peekable();
        if feeds.peek().is_some() && feeds.all(|way| way.fuses.binary_search(&fuse).is_ok()) {
            parts.insert(load.part);
        }
    }
    parts.into_iter().collect()
}
