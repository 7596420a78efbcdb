//! RE: pumps, windows, immobilisers and whatever else is fitted later.

use super::messages;

messages! {
    RE01 {
        says(label) =
            "Nothing stops {label} when the engine does: after a crash it goes on pumping as long as the key is on";
        says_key_off(label) =
            "Nothing stops {label} when the engine does: after a crash it goes on pumping, with the key off too";
        says_at_rest(label) =
            "{label} pumps with the key off and the engine stopped: fuse and inertia switch stop it only once something has happened";
        advice_at_rest() =
            "Feed it from the key, behind a relay that oil pressure or the ignition's pulses hold in";
        advice() =
            "Put an inertia switch in its feed, or a relay that oil pressure or the ignition's pulses hold in";
        fix() = "Put an inertia switch before it";
        several_leads() = "several leads come to it, and somebody has to say which of them it is fed by";
        no_stop_chosen() =
            "somebody has to choose what stops it: oil pressure, the ignition's pulses or the charging";
    }

    RE02 {
        says(label) =
            "{label} stays on with the key off: it flattens the battery in two or three hours";
        advice() = "Take the coil of its relay from a feed that the key makes live";
    }

    RE03 {
        says(immobiliser, what) =
            "{immobiliser} stands in the feed of {what}: if it fails or is touched on the road, the engine stops";
        advice() =
            "Break the starter's trigger lead instead: a car that does not crank is not driven off either";
    }

    RE04 {
        says(label) =
            "Nothing keeps {label} out in reverse: engaged there, it wrecks the overdrive";
        advice() = "Put the inhibitor switch of the gearbox in row with its lever switch";
    }

    RE05 {
        says(lamps, switch) =
            "{lamps} hang on {switch} itself: towing doubles what it and its fuse carry";
        advice() =
            "Let the car's lamps trigger relays, and feed the trailer through them from a fuse of its own";
    }

    RE06 {
        says(amps, wire, limit) =
            "The second battery stays joined while the starter takes {amps}: with a weak first battery most of that comes through {wire}, which is good for {limit}";
        advice() =
            "Let the split-charge relay drop out while cranking, and fuse the lead at both ends";
        source_five_seconds() = "IEC 60364-5-54: what the cable bears for five seconds";
        source_table() = "the cable's own table; practice for the interlock";
    }
}
