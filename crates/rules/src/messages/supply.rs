//! SU: the supply.

use super::messages;

messages! {
    SU01 {
        says(through, ends) = "The battery is shorted through {through}, {ends}";
        post_to_post() = "a lead from post to post";
        nothing_blows() = "with nothing to blow";
        what_opens(opens) = "and {opens}";
        advice() = "Take the straight path to earth away; a lamp, motor or coil belongs in it";
        fix(wire) = "Take {wire} away";
        seen_at_the_car() = "which of these leads is the wrong one is seen at the car";
        source() = "IEC 60364-4-43, 434: a short circuit is to be broken or not to occur";
    }

    SU02 {
        says(what, through, engine) = "With the key off, {what} is still live {through}{engine}";
        through_wire(wire) = "through {wire}";
        through_parts(parts) = "through {parts}";
        engine_runs() = ": the engine will not stop";
        advice() = "Use a change-over contact, so that the permanent feed never meets the key's";
    }

    SU03 {
        says_fuses(one, other, at, amps) =
            "{one} and {other}{at} side by side in one feed: with one pulled it stays live, and together they carry {amps}";
        says_part(part, one, other, amps) =
            "{part} joins the feeds of {one} and {other}: with one pulled the circuit stays live, and together they carry {amps}";
        meet(part) = " meet at {part},";
        advice_fuses() =
            "Take one of them out, and fit one fuse for what the wires behind it carry";
        advice_part() = "Use a change-over contact, or feed both from one fuse";
        fix(fuse) = "Take {fuse} out";
        source_shares() =
            "IEC 60364-4-43, 433.4: devices side by side share as their resistances will";
    }

    SU04 {
        says() = "There is no battery, so nothing can be live and little can be checked";
        advice() = "Put a battery on the drawing, and join both its posts";
    }

    SU05 {
        says(but, battery, amps, takers, hours) =
            "With everything off{but}, {battery} gives {amps}, to {takers}: it no longer starts the car after {hours}";
        but_plugged_in() = " but what is plugged in";
        no_single_part() = "no single part";
        days(n) = "{n:.0} days";
        advice() = "Feed it by the key, or by a switch that is off when the car is left";
        source() =
            "hours: half of the capacity over the current, less at large ones; practice: up to 50 mA does no harm";
    }
}
