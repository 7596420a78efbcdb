//! Fuses of the wiring: what they carry, and what hangs on them.

use loomwright_circuit::WireId;
use loomwright_circuit::part_type::FuseFamily;
use loomwright_electrics::fuse::Rating;
use loomwright_units::Amps;

use crate::ctx::Ctx;
use crate::feeds::Way;
use crate::wiring::LinkKind;

impl Ctx<'_> {
    /// The figures of a fuse link; nothing where they are not known.
    pub(crate) fn fuse_rating(&self, link: usize) -> Option<Rating> {
        let LinkKind::Fuse { part, element } = self.after.wiring.links[link].kind else {
            return None;
        };
        let (part, part_type) = self.part(part)?;
        Rating::of_element(part, part_type, part_type.elements.get(element)?)
    }

    /// The readings of a glass fuse whose number may be what it blows at or what it carries: the milder first.
    pub(crate) fn fuse_readings(&self, link: usize) -> Vec<Rating> {
        if let Some(known) = self.fuse_rating(link) {
            return vec![known];
        }
        let part = self.after.wiring.links[link].kind.part().and_then(|id| self.part(id));
        let marked = part.and_then(|(part, part_type)| part.fact(part_type, "marked")).map(Amps);
        let Some(marked) = marked else { return Vec::new() };
        let glass = |carries, blows| Rating::of(FuseFamily::Glass, carries, blows);
        [glass(None, Some(marked)), glass(Some(marked), None)].into_iter().flatten().collect()
    }

    /// What a fuse carries at the least, A, whichever way its number is read.
    pub(crate) fn fuse_least(&self, link: usize) -> Option<f64> {
        self.fuse_readings(link).iter().map(|rating| rating.carries).reduce(f64::min)
    }

    /// What a fuse link carries all day, A; nothing where that is not known.
    pub(crate) fn fuse_amps(&self, link: usize) -> Option<f64> {
        self.fuse_rating(link).map(|rating| rating.carries)
    }

    /// The least rating among the fuses of a way, with the link; nothing for a way without a known fuse.
    pub(crate) fn weakest_fuse(&self, way: &Way) -> Option<(usize, f64)> {
        way.fuses
            .iter()
            .filter_map(|&link| Some((link, self.fuse_amps(link)?)))
            .min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// The wires that a fuse feeds.
    pub(crate) fn wires_behind(&self, fuse: usize) -> impl Iterator<Item = WireId> + '_ {
        let side = &self.after;
        let is_behind = move |ends: &[usize; 2]| {
            ends.iter().filter(|&&end| !side.hard_earth[end]).any(|&end| {
                side.live.regular(end).any(|way| way.fuses.binary_search(&fuse).is_ok())
            })
        };
        side.wiring.wire_ends().filter(move |(_, ends)| is_behind(ends)).map(|(wire, _)| wire)
    }
}
