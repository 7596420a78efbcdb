//! WP: ends, terminals and plugs.

use super::messages;

messages! {
    WP01 {
        says_loose(wire, what) = "{wire} {what}";
        says_alone(parts, verb) = "{parts} {verb} joined to nothing";
        says_idle_joint(joint) = "{joint} joins nothing";
        says_blind_joint(wire, joint) = "{wire} ends at {joint}, where nothing goes on";
        says_terminals(parts, terminals, names, verb) =
            "{parts}: {terminals} {names} {verb} no wire";
        says_left_always_live(wire, parts, come) =
            "{wire} ends loose once {parts} {come} off, and is live, key or no key";
        says_left_live(wire, parts, come, when) =
            "{wire} ends loose once {parts} {come} off, and is live with {when}";
        says_left_dead(wire, parts, come) = "{wire} ends loose once {parts} {come} off";
        says_fitted_to_gone(wire, parts, come) = "{wire} is to be fitted to {parts}, which {come} off";
        comes_off() = "comes";
        come_off() = "come";
        insulated_end() = "ends in the air, insulated";
        always_live_end() = "ends in the air and is live, key or no key";
        live_end() = "ends in the air and can be live";
        dead_end() = "ends in the air";
        missing() = "nothing is drawn yet";
        advice_alone() = "Wire it, or take it off the drawing";
        advice_loose() = "Join it, or cut it back, insulate the end and label it";
        advice_loose_noted(note) =
            "Join it (its note says: {note}), or cut it back, insulate the end and label it";
        advice_idle_joint() =
            "Bring the wires to it that it should join, or take it off the drawing";
        advice_blind_joint() = "Join the wire that should go on from there, or take the joint away";
        advice_left() = "Take the lead away too, or join its end to something else";
        advice_left_dead() =
            "Take the lead away too, or cut its end back, insulate it and label it";
        advice_fitted_to_gone() = "Join its end to something that stays, or take it off the plan";
        fix_left(wire) = "Take {wire} away too";
        advice_terminals() = "Join what belongs there";
        fix() = "Note its end as insulated";
    }

    WP02 {
        says(wires, verb, what, taken) = "{wires} {verb} {what} ({taken})";
        no_size() = "no size";
        no_length() = "no length";
        size_taken() = "taken as 1 mm²";
        length_taken() = "taken as 1 m";
        missing(wires) = "what {wires} without a size may carry";
        advice() =
            "Measure or look it up; without it, volts lost and what the wire may carry are guesses";
    }

    WP03 {
        says_apart(names, verb) = "{names} {verb} joined to neither the battery nor earth";
        says_never_fed(names, lead) = "No setting feeds {names}: {lead} from nothing live";
        its_lead() = "its lead comes";
        their_leads() = "their leads come";
        advice_apart() = "Follow the leads towards the battery, and join them where they end";
        advice_never_fed() = "Follow the lead back towards the supply, and join it where it ends";
    }

    WP04 {
        says_current(wire, amps, fitting, limit) =
            "{wire} carries {amps} through a {fitting}, which is good for {limit}";
        says_crimp(wire, size, crimp, least, most) =
            "{wire} of {size} mm² is held by a {crimp}, which takes {least} to {most} mm²: it pulls off";
        advice_current() = "Take a terminal of the next size, and the tool that belongs to it";
        advice_crimp() = "Take the crimp of the right colour for the cable";
        fix() = "Take the crimp of its size";
        source() = "\"5 Sizing Rules for Cold Press Terminals\", onesto-ep.com; DIN 46237";
    }

    WP05 {
        says(n, bullet, limit, wires) =
            "{n} wires meet at {bullet}, and a double sleeve takes {limit}: {wires}";
        advice() =
            "Set a second sleeve with a link between the two, or an earth stud with a ring for each";
        source() = decimal "UK supplier lists (memory): sleeves for 4.7 mm bullets join two or four";
    }

    WP06 {
        says(n, terminal, part, amps, limit) =
            "{n} circuits hang on the one tab {terminal} of {part}: together {amps}, and such a tab is good for {limit}";
        advice() =
            "Take some of them from a feed of their own, through a relay that this tab only triggers";
    }

    WP07 {
        says(part, wires) =
            "Pulled apart, {part} has bare live pins at the end of {wires}: whatever they touch is shorted";
        advice() = "Change the halves over, so that the half with sockets is on the battery's side";
    }
}
