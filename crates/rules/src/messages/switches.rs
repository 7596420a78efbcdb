//! SW: switches and relays.

use super::messages;

messages! {
    SW01 {
        says(part, amps, from, to, made_for, limit) =
            "{part} carries {amps} from {from} to {to}{made_for} {limit}";
        four_fifths() = " for as long as its load is on, more than four fifths of";
        made_for() = " and is made for";
        usually_made_for() = "; such parts are usually made for";
        advice() =
            "Let a relay close to the load carry it, with a fused feed of its own from the battery side, and keep this contact as its trigger";
        source_relay() = "practice: a relay at 70 to 80 % of its rating at most";
        source_entered() = "the rating entered for the part";
    }

    SW02 {
        says_one(relay) =
            "{relay} buzzes: pulling in takes its own coil's feed away, and dropping out gives it back";
        says_several(relays) = "{relays} throw each other in and out without end";
        advice() = "Feed the coil from where its own contact cannot break it";
    }

    SW03 {
        says(relay, coil, gets, needs) =
            "{relay} never pulls in: its {coil} gets {gets} at most{needs}";
        needs(needed) = " and needs {needed}";
        coil(volts) = "{volts} coil";
        own_coil() = "coil";
        missing(relay, doubt) = "whether {relay} ever pulls in, as {doubt}";
        advice_coil(volts) = "Fit a relay with a coil for {volts}";
        advice_feed() =
            "Take what stands before or behind the coil away: it wants its feed and its earth to itself";
        source() = "practice: pull-in at about two thirds of the marked volts";
    }

    SW04 {
        says(relay) =
            "{relay} holds itself in through its own contact, and no switch can let it go";
        advice() = "Put a switch that opens into the lead that holds it, or take its feed from one";
    }

    SW05 {
        says(switch, loads, amps, heavy) =
            "{switch} works {loads} by itself, {amps} with no relay between; from {heavy} on a relay near the load should";
        advice() =
            "Fit a relay near the load with a fused feed of its own, and keep the switch as its trigger; or enter what the switch is made for";
        source() = "practice: radiator fans and heated windows on a relay";
    }

    SW06 {
        says(relay, units) =
            "Each time {relay} lets go its coil kicks into {units}, joined to it behind the same contact";
        advice(plus) =
            "A relay with a diode or resistor across its coil, or a diode across this one, its ring to the plus side, which is {plus}: the other way round it is a short";
        plus_live() = "the live end";
        plus_earthed() = "the earthed end on this car";
        fix() = "Put a diode across its coil";
        source() = "practice: a bare coil makes a hundred volts or more when it is switched off";
    }
}
