//! What is shared by several rules, or said beside their findings.

use super::messages;

messages! {
    Acceptances {
        and() = ", and ";
        by(by) = " by {by}";
        on(day) = " on {day}";
        accepted(by, on, reason) = "accepted{by}{on}: {reason}";
        back(why, accepted) = "It is back, because {why}. It was {accepted}";
        was_then(then, now) = "it was {then} then and is {now} now";
        concerns_more(names) = "it concerns {names} as well now";
    }

    Checking {
        says_failed(rule) = "The rule '{rule}' failed on this car and says nothing about it";
        not_checked(missing) = "not checked: {missing}";
        too_many_settings(rule) =
            "not checked: {rule}, for positions of switches and relays together that were not met: there are too many settings to visit all";
        failed(rule) = "not checked: {rule}, the rule failed";
        advice_failed() =
            "Please report the car file with this message; the other rules are not affected";
    }

    Doubts {
        unfinished() = "not all states were visited: a figure may be exceeded in another one";
        memory() =
            "relays remember how the key came to stand where it does: a figure may be exceeded";
        several_places() =
            "a circuit has more than one feed or earth: figures near it may be exceeded a little";
        strays() =
            "something without a feed lies between two earths: small stray currents are not followed";
        trunk_loop() =
            "there is more than one way from the supply: its wires may carry a little more";
        law_falls() =
            "something takes more the fewer volts it has: a figure may be exceeded a little";
        rest_not_lightest() =
            "a circuit takes less in some setting than at rest: a figure may be exceeded a little";
        many_surroundings() =
            "many settings take nearly as much as the greatest: not all were tried together";
        entangled() = "relays of one circuit follow what another takes: a figure may be exceeded";
        moments() = "contacts close for a moment in passing: with all else on, more may flow then";
        meshed() =
            "the current has several ways through a circuit: a wire of it may carry a little more";
        no_states() = "no states were visited";
    }

    FuseFixes {
        fix_glass(rating) = "Fit a {rating} A glass fuse";
        fix_fuse(rating, fuse) = "Fit a {rating} A {fuse}";
        size_unknown(wire) =
            "the size of {wire} is not known yet: take the proposed size first";
        no_cable(rating) = "no cable of the usual sizes bears what a {rating} A fuse lets through";
        several_leave() = "several leads start there, and each wants a fuse of its own";
        fed_twice() =
            "what it feeds has another feed with a fuse, and would stay live when one of the two blows";
        nowhere_to_fit() = "the drawing does not say at which terminal it starts";
        load_too_large(amps) =
            "what hangs on it takes {amps}, more than a fuse lets through that saves the wire";
        unread() = "what the fuse in it carries is not known";
        wires_unknown() = "the size of a wire behind the fuse is not known";
        wire_too_thin(wire, amps) =
            "{wire} behind it is good for {amps}, which a fuse for this load would not guard";
        none_so_large(amps) = "no fuse of this kind is made for {amps}";
    }

    Jobs {
        way_home() = "on the way to earth";
        behind_switch() = "behind a switch";
        earth() = "an earth lead";
        live() = "live at all times and unfused";
        live_fused() = "live at all times and fused";
        key_live() = "live with the key and unfused";
        key_live_fused() = "live with the key and fused";
        ignition() = "the feed of the ignition coil";
        starter_trigger() = "the feed of the starter solenoid";
        flasher_out() = "the lead from flasher unit to stalk";
        left_indicators() = "the feed of the left indicators";
        right_indicators() = "the feed of the right indicators";
        stop_lamps() = "the feed of the stop lamps";
        headlamps() = "the feed of the headlamps";
        main_beam() = "the feed of the main beams";
        dip_beam() = "the feed of the dipped beams";
        driving_lamps() = "the feed of the driving lamps";
        side_lamps() = "the feed of side and tail lamps";
        panel_lamps() = "the feed of the instrument lamps";
        fog_lamps() = "the feed of fog lamps";
        reversing_lamps() = "the feed of the reversing lamps";
    }

    Joined {
        carries() = " carries ";
        says_fuse(says, fuse, what) = "{says}; yet {fuse} has to carry {what}";
        title_fuse() = "Fuse too large and too small";
        breaks_one() = "; this breaks a promise";
        breaks_several(says, n) = "{says}; this breaks {n} promises";
        should_be(must) = " should be {must} but ";
        advice_fuse() =
            "Split the circuits: give some of them a fuse of their own, so that each fuse bears its consumers and carries no more than its wires";
    }

    Limits {
        in_both() = " in a tight bundle in the engine bay";
        in_engine_bay() = " in the engine bay";
        in_bundle() = " in a tight bundle";
        source_fittings() =
            "DIN 46245 and IEC 61210 as suppliers list them (memory); maker's sheet first";
    }

    Losses {
        in_unsized(name) = "in {name}, its size taken as 1 mm²";
        no_wire() = "no lead is to blame: what loses most is cleaned or tightened at the car";
        not_by_one(wire) = "thicker cable for {wire} alone does not cure it";
        in_contacts(part) = "in the contacts of {part}";
        at_metal(part) = "between {part} and the metal";
        at_joint(joint) = "at {joint}";
        in_one(name) = "in {name}";
        advice_cable_first() =
            "Thicker cable first, or a relay close by with its own feed; then clean the joints, contacts and earths";
        advice_earth() = "Clean the earth point down to bare metal, bolt it tight and grease it";
        advice_joint() = "Clean the joint and make it tight, or make it anew";
        advice_contacts() = "Clean the contacts, or let a relay close to it do their work";
        advice_part() =
            "Clean its clips or terminals; what it takes by its nature, a relay close by saves";
        advice_cable() = "Thicker cable, or a relay close by with its own feed";
        advice_all() =
            "Clean the joints, contacts and earths first; then thicker cable, or a relay close by";
        fix_cable(size) = "Run {size} cable";
    }

    NewLeads {
        assumed(metres) = "Taken as {metres} m long: measure its way at the car before you cut it";
    }

    Names {
        and_more(names, n) = "{names} and {n} more";
        and_last(names, last) = "{names} and {last}";
        terminal(terminal, part) = "terminal {terminal} of {part}";
        between(name, one, other) = "{name} ({one} to {other})";
    }

    Origins {
        alteration() = "Your alteration brings this";
        as_found() = "The car as found is drawn so too: your alteration does not bring it";
        worse(was) = "The car had this before; your alteration makes it worse: {was}";
        was(then) = "it was {then} as found";
        new_in_it(wires, verb) = "{wires} in it {verb} new";
    }

    OverBand {
        not_certain(end) = "Not certain: {end}, it would not be so";
        danger(end) = "It is a danger {end}";
        least() = "with joints like new, a strong battery and a high charging voltage";
        most() =
            decimal "with crimped ends and earth bolts that lose 0.05 V each at 10 A, as in an old car, warm cable, a weak battery and a low charging voltage";
        depends() = "Not certain: it depends on the state of joints, earths and battery";
        but_not(says, end, found) = "{says}; but {end}, {found}";
        but_not_from(says, crimp, bolt, found) =
            "{says}; but once each crimped end on the way loses {crimp} and each earth bolt {bolt} at 10 A, and the cable is warm, {found}";
    }

    Promised {
        indicators() = "Indicators";
        hazard_warning() = "Hazard warning";
        stop_lamps() = "Stop lamps";
        side_lamps() = "Side lamps";
        headlamps() = "Headlamps";
        driving_lamps() = "Driving lamps";
        rear_fog_lamps() = "Rear fog lamps";
        reversing_lamps() = "Reversing lamps";
        front_fog_lamps() = "Front fog lamps";
        starter() = "Starter";
        warning_lamps() = "Warning lamps";
        ignition() = "Ignition";
        fuel_pump() = "Fuel pump";
        horn() = "Horn";
        courtesy_lamp() = "Courtesy lamp";
    }

    RelayFixes {
        in_earth_lead(part) =
            "{part} breaks an earth lead, or nothing that it feeds is drawn, so no relay can take its place";
        must_not_hang(parts) = "{parts} must not go dark with one relay or one fuse: give each side a relay of its own";
        wants_its_own_feed(parts) =
            "{parts} shares a lead with what is too much for the contact and wants a feed of its own";
        parts_inside(part) =
            "what {part} feeds parts inside a part and not at a lead or a terminal, so that somebody has to choose where the relay goes";
        too_much(amps) = "no common relay or blade fuse bears {amps} all day";
        one_tab(amps, limit) =
            "its leads take {amps} together, and the one tab 87 that they would share is good for {limit}: give each a relay of its own";
        nowhere_to_feed_from() =
            "the drawing has no stud behind the isolator that a heavy new feed could start from";
        sizes_unknown() =
            "the size of a wire behind it is not known, or no cable bears what its fuse would let through";
    }

    Sources {
        quoted() = "as commonly quoted, not checked against the published text";
        published() = "as published";
        practice() = "common practice";
    }

    Stands {
        at(control, positions) = "{control} at {positions}";
        or() = " or ";
        at_rest(relay) = "{relay} at rest";
        pulled_in(relay) = "{relay} pulled in";
    }

    Traces {
        while_lit() = ", while they are lit";
    }
}
