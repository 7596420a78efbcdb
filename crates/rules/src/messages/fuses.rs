//! PR: fuses and breakers.

use super::messages;

messages! {
    PR01 {
        says(fuse, amps, at_the_least, wire, limit, doubt, others) =
            "{fuse} carries {amps}{at_the_least} and {wire} is good for {limit}{doubt}{others}";
        says_better(fuse, amps, wires, good_for, limit) =
            "{fuse} of {amps} is better than the no fuse of before, but does not save {wires}, {good_for} {limit}";
        says_as_built(fuses, verb, amps, limit, wire) =
            "{fuses} {verb} more than the leads behind: {amps} against {limit} for {wire}, as the car was found";
        unknown_insulation() = ", its insulation not being known";
        at_the_least() = " at the least, whichever way its number is read,";
        one_more_wire() = "; 1 other wire behind it carries less than the fuse too";
        more_wires(n) = "; {n} other wires behind it carry less than the fuse too";
        good_for() = "good for";
        least_good_for() = "the least good for";
        several_fuses() =
            "a smaller fuse in each of several places would lose more volts than the wires are worth";
        built_so() = "the car was built so; which fuse holds and which wire wants more copper is seen at the car";
        advice_smaller(fit, cable) = "{fit}, or {cable}, or a second fuse where the cable gets thinner";
        advice_suits(fit, largest, cable) =
            "{fit}, which bears what it feeds, cold lamps too, and opens soonest (the cable bears one of up to {largest} A), or {cable}, or a second fuse where the cable gets thinner";
        advice_both(load, rating, fuse, cable) =
            "It feeds {load} at once: fit a {rating} A {fuse}, and run {cable}";
        advice_thicker(fuse, cable) =
            "Run {cable}, or put a second {fuse} where the cable gets thinner";
        thicker_cable() = "thicker cable";
        cable(size) = "cable of {size} all the way behind it";
        advice_better() = "Give these circuits fuses of their own, where they leave the main feed";
        advice_as_built() = "Fit the smallest fuse that holds";
        fix_fuses(names) = "Fit smaller fuses for {names}";
        fix_both(rating, fuse) = "Fit a {rating} A {fuse}, and cable to match";
        source() =
            "fuse at most what the cable carries (IEC 60364-4-43, 433.1); cable by suppliers' tables";
    }

    PR02 {
        says_added(wires) = "From the battery to {wires} there is nothing to blow but the wire";
        says_added_load(wires, load) =
            "From the battery to {wires} there is nothing to blow but the wire, with up to {load} of consumers on it";
        says_loaded_more(wires, load) =
            "{wires}, unfused as found, would feed up to {load} after the alteration";
        says_trigger(wire) =
            "The trigger lead {wire} starts from an unfused circuit, with nothing to blow but the wire";
        says_triggers(wires) =
            "The trigger leads {wires} start from an unfused circuit, with nothing to blow but the wire";
        says_as_built(so_many, wires) =
            "{so_many} live and unfused, as the car was found: {wires}";
        says_before_fuse(fuses, wires, length) =
            "Before {fuses}, {wires} is {length} with nothing to blow but the wire";
        length(metres) = "{metres} of live wire";
        unknown_length() = "a length of live wire that nobody has measured";
        one_in_earth_lead(fuse) = "; {fuse} stands in the earth lead, where it protects no wire";
        several_in_earth_leads(fuses) =
            "; {fuses} stand in the earth leads, where they protect no wire";
        advice_added() =
            "Fit a fuse where it leaves the supply, no larger than the thinnest wire behind it";
        advice_loaded_more() =
            "Give the new load its own fused feed from the battery or the solenoid stud";
        advice_trigger() =
            "Fit a small fuse where it leaves the circuit; it saves that circuit too";
        advice_as_built() = "Keep these leads well clipped, or fuse them";
        advice_before_fuse(fuses, metres) =
            "Put {fuses} where the lead leaves the supply, within {metres} m of it, or a second fuse there";
        fix(rating) = "Fit a {rating} A fuse at the source";
        fix_new_load(rating, wire) = "Fit a {rating} A fuse where {wire} starts";
        if_thick() = " (its size is not known: cable that bears this would make it advice)";
        charges() = "a generator charges through it, and what stops that does harm too";
        own_feed() = "somebody has to choose where the new load gets a fused feed of its own";
        as_built() = "each of these leads would want a fuse of its own, chosen at the car";
        with_cable(fix, wires) = "{fix}, and thicker cable for {wires}";
        source() = "practice: every added circuit is fused at its source";
    }

    PR03 {
        says(fuses, verb, carries) =
            "What {fuses} {verb} is not known: an old British 35 A blows at 35 A and carries {carries} A";
        missing(fuses) = "the wires behind {fuses}, whose rating is not known";
        advice() =
            "Read the paper strip in the glass, and enter what it carries or what it blows at";
        fix_blows(marked) = "It blows at {marked} A";
        fix_carries(marked) = "It carries {marked} A";
        fix_blows_35() = "It blows at 35 A";
        source() = "fuse chart posted to a club list on 30 April 2020: carries half of its marking";
    }

    PR04 {
        says_opens(fuse, load, while_cranking, limit, when, consequence) =
            "{fuse} carries {load}{while_cranking} and is good for {limit}: it opens {when}{consequence}";
        says_link(fuse, load, limit) =
            "{fuse} carries {load}, more than the {limit} that cable of its size should";
        says_ages(fuse, load, limit, consequence) =
            "{fuse} carries {load} and is good for {limit}: it ages fast and fails one day{consequence}";
        says_ages_by_it(fuse, load, share, limit) =
            "{fuse} carries {load}, {share:.0} % of the {limit} that it is good for, and ages by it";
        says_hot_day(fuse, load, share, limit) =
            "{fuse} carries {load}, {share:.0} % of the {limit} that it is good for, and may open on a hot day";
        says_may_hold(fuse, load, limit, sure, consequence) =
            "{fuse} carries {load} and is good for {limit}: it may hold or open, and is sure to open from {sure} on{consequence}";
        says_start(fuse, carries, motor, amps, within) =
            "{fuse} of {carries} opens when {motor} starts: {amps} flows at first, and at that it opens {within}, while the motor takes half a second to run up";
        says_charging(fuse, limit, generator, amps) =
            "{fuse} is good for {limit}, and {generator} can send {amps} through it, as after a flat battery: it opens then, and with no battery the generator's volts can leap";
        sooner_or_later() = "sooner or later";
        while_cranking() = " while the starter works";
        back_when_cool() = ", and back when it has cooled";
        goes_dark(goes, back) = " {goes} dark at once{back}";
        with_it() = " with it";
        at_once() = "at once";
        and_parts(parts, what) = ", and {parts}{what}";
        within_seconds(n) = "within {n:.0} s";
        within_minutes(n) = "within {n:.0} minutes";
        within_the_hour() = "within the hour";
        advice(fuse) =
            "The next larger {fuse} if the wires behind it carry as much, else fewer consumers on it, or a second fused feed";
        advice_charging() =
            "A fuse for a quarter more than the generator's full output, with a charging lead that carries as much";
        advice_start(fuse) =
            "The next larger {fuse} if the wires behind it carry as much, else thicker cable as well";
        source_load() = "practice: load at 75 to 80 % of the rating";
        source_opens() =
            "ISO 8820-3 operating times; old glass fuses by a fuse chart posted on 30 April 2020";
        source_start() =
            "ISO 8820-3 operating times; a motor takes half a second to run up (practice)";
    }

    PR05 {
        says(wire, spoilt_in, device, clears, others) =
            "If {wire} touches the metal it is spoilt in {spoilt_in}, and {device} may take {clears}{others}";
        more_likewise(n) = "; {n} more behind it likewise";
        tenths(seconds) = "{seconds} s";
        seconds(n) = "{n:.0} s";
        advice() =
            "A faster or smaller fuse, thicker cable, or a shorter run; keep it sleeved and clipped until then";
        source() =
            "heating of the wire held against the device's slowest operating time (IEC 60364-5-54, ISO 8820-3)";
    }

    PR06 {
        says(fuse, accessories, lamps) =
            "{fuse} feeds {accessories} and {lamps} alike: a short in the one puts out the other";
        advice() = "Give the accessory a fused feed of its own";
        source() =
            "practice: what must not go dark shares its fuse with nothing that is plugged in or added";
    }

    PR07 {
        says(part, terminals) =
            "{part} has bare live metal, at {terminals}, within reach of a cable, a stay or a pedal, with no fuse before it";
        and() = " and ";
        advice() = "Put a boot over the stud, and tie the cable away from it";
        source() = "seen at the car; nothing limits what flows there but the battery";
    }

    PR08 {
        says(what_goes, fuse, opens, wires, verb) =
            "{what_goes} round {fuse}, which never {opens}: {wires} behind it {verb} nothing to blow but the wire";
        copper_goes() = "Copper goes";
        one_goes(wire) = "{wire} goes";
        several_go(wires) = "{wires} go";
        advice() = "Take the bridge off; if the fuse blew, find out why";
        fix() = "Take the bridge off";
        source() = "the drawing itself: copper joins both ends of the fuse";
    }
}
