//! EA: earths.

use super::messages;

messages! {
    EA01 {
        says_body_apart(names) =
            "Nothing joins the body to the battery, so current from {names} cannot get home";
        says_engine_apart(names) =
            "Nothing joins the engine to the battery, so current from {names} cannot get home";
        says_over_engine_apart(through, names) =
            "Nothing joins the engine to the battery, so by way of {through} no current from {names} gets home";
        says_through_another(names) = "{names} can reach earth only through another lamp or motor";
        says_no_lead(terminal) =
            "Nothing leads from {terminal} to earth: current gets in and cannot get home";
        says_lead_ends(terminal, where_it_ends) =
            "The lead from {terminal} never reaches earth{where_it_ends}";
        likewise(says, others) = "{says}; {others} likewise";
        ends_on_dead_body(part) = ": {part} is on a body that carries no current";
        ends_in_air() = ": it ends in the air";
        ends_at(part) = ": it ends at {part}";
        advice_strap() =
            "Fit a strap from the engine to the body, as thick as the battery lead: without it the starter's current looks for choke and throttle cables";
        advice_lead() = "Run a lead to bare metal, or back to the battery's earthed post";
        advice_sized_lead(size, amps) =
            "Run a lead of {size} or more, for the {amps} of all that goes home by it, to bare metal by a ring on a bolt of its own, or back to the battery's earthed post";
        fix_strap_body() = "Strap the body to the battery";
        fix_strap_engine() = "Strap the engine to the battery";
        fix_known_point(point) = "Lead it to {point}";
        leads_on(terminal) =
            "a lead goes from {terminal} already, and somebody has to say where it should end";
        no_metal() = "the body of this car carries no current, so somebody has to choose the way home";
        nothing_home() = "nothing leads from the metal of the car to the battery yet: strap it first";
        no_point() = "there is no earth point on this metal yet that a strap could come to";
        fix_earth_point() = "Add an earth point and a lead to it";
    }

    EA02 {
        says(earth, volts, amps, limit, heat, neighbours) =
            "{earth} loses {volts} to the metal with {amps} through it, {limit} at most should be{heat}{neighbours}";
        heat(watts) = ", {watts} of heat in the bolt";
        one_has_less(parts) = "; {parts} has so much less";
        several_have_less(parts) = "; {parts} leave by it, and each has less while the others work";
        advice() =
            "Clean it to bare metal, bolt it tight with a toothed washer and grease it; or give what shares it leads of their own";
        fix() = "Note it as cleaned to bare metal";
        source() = decimal "practice: 0.1 V is good, 0.2 V the limit of a joint to the body";
    }

    EA03 {
        says(unit, shift, where_at, users, limit) =
            "The earth of {unit} is lifted by {shift} {where_at} when {users} work, {limit} at most should be";
        advice() = "Give it an earth lead of its own to bare metal";
        source() = decimal "practice: 0.1 V";
    }

    EA04 {
        says(part, mount, why) = "{part} is bolted to {mount}: {why}";
        no_earth() = "there is no earth there";
        moving_joint() = "current goes through a joint that moves, is greased and wears";
        thread_only() = "the bolt's thread is all that touches";
        light_metal() =
            "copper or steel on it grows a white powder in the wet, and the joint its resistance";
        advice_no_earth() =
            "Run a lead of its own to bare metal of the body, or to the battery's earthed post";
        advice_moving_joint() = "Run a flexible lead across the joint";
        advice_thread_only() =
            "Scrape it bright under a toothed washer, bolt it tight and grease it";
        advice_light_metal() = "A tinned ring and grease, looked at each year; or a lead to steel";
    }

    EA05 {
        says(wire, parts, light, pronoun, others) =
            "Should {wire} break, or rust at its end, {parts} {light} when {pronoun} should be dark{others}: what shares it goes home backwards";
        others_fail(others) = ", and {others} no longer work as they should";
        advice() = "Give each of what shares it an earth lead of its own, or this lead a second way to the body";
        source() = "worked out: the lead broken, in every state";
    }

    EA06 {
        says(wire, volts, amps, limit, users) =
            "{wire} loses {volts} with {amps} through it, {limit} at most should be: {users} share it, and each has less while the others work";
        advice() =
            "A thicker lead, or leads of their own to the body or the battery's earthed post";
        fix(size) = "Make it {size}";
        source() =
            decimal "practice: an earth return loses no more than 0.2 V from lamp to battery in a 12 V car";
    }
}
