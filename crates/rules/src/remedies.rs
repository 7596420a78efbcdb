//! What to do about volts that are lost.

use crate::ctx::Ctx;
use crate::limits::size_above;
use crate::losses::{Loss, Lossy};
use crate::messages::{FuseFixes, Losses};
use crate::{Finding, Trust};

/// What to do about a loss: for the one thing that causes it; where it adds up along the way, for what loses most of it
/// first.
pub(crate) fn remedy_of(loss: &Loss) -> &'static str {
    match (loss.cause(), loss.most) {
        (None, Some((Lossy::Wire(_), _))) => Losses::advice_cable_first(),
        (cause, _) => remedy(cause),
    }
}

/// What to do where one thing loses most of it; nothing where it adds up along the way.
pub(crate) fn remedy(cause: Option<Lossy>) -> &'static str {
    match cause {
        Some(Lossy::Earth(_)) => Losses::advice_earth(),
        Some(Lossy::Joint(_)) => Losses::advice_joint(),
        Some(Lossy::Contacts(_)) => Losses::advice_contacts(),
        Some(Lossy::Part(_)) => Losses::advice_part(),
        Some(Lossy::Wire(_)) => Losses::advice_cable(),
        None => Losses::advice_all(),
    }
}

/// Offers a thicker wire where that alone cures it.
pub(crate) fn thicker(ctx: &Ctx<'_>, worst: &Loss, finding: Finding) -> Finding {
    let Some((Lossy::Wire(wire), volts)) = worst.most else {
        return finding.unfixed(Losses::no_wire());
    };
    let over = worst.supply - worst.at_lamp - worst.limit;
    // What the wire may still lose, with a tenth kept back for the lamp drawing more once it has more volts.
    let may_lose = volts - over * 1.1;
    let size = ctx.wire(wire).and_then(|wire| wire.size);
    if may_lose < volts * 0.4 || worst.cause().is_none() {
        return finding.unfixed(Losses::not_by_one(ctx.wire_name(wire)));
    }
    let Some(size) = size else {
        return finding.unfixed(FuseFixes::size_unknown(ctx.wire_name(wire)));
    };
    let Some(size) = size_above(size.square_mm() * volts / may_lose) else {
        return finding.unfixed(Losses::not_by_one(ctx.wire_name(wire)));
    };
    let edit = ctx.resize(&[(wire, size)]);
    finding.fix(Losses::fix_cable(size), Trust::Ask, edit)
}
