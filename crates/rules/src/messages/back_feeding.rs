//! BF: current that takes a way back that nobody meant.

use super::messages;

messages! {
    BF01 {
        says_fed(victims, verb, volts, part, its) =
            "{victims} {verb} {volts} through {part} while {its} own feed is open";
        says_lamp_joins(volts, part) =
            "With the key off, what it should feed has {volts} through {part}";
        advice_fed() = "Give each its own feed and earth, or a diode in the lead between them";
        advice_lamp_joins() =
            "Take the lamp's other lead to earth, or put a diode in it, so that it joins no two feeds";
        source() = "practice: over 1 V where nothing should be";
    }

    BF02 {
        says(through) = "With the key off the engine runs on{through}";
        held_in_by(parts, lamps) =
            ", its ignition fed through {parts}, which current through {lamps} holds in";
        held(parts) = ", its ignition fed through {parts}";
        from_elsewhere() = ", its ignition fed from elsewhere than the key";
        advice() =
            "Take the charge lamp's feed from the ignition's own side (87 of its relay), or put a diode in its lead";
    }

    BF03 {
        says(motor, coil) =
            "With the key off, {motor} stays joined to {coil}: as long as it spins it feeds the coil, and the engine runs on";
        advice() =
            "Feed it through a relay's contact from the battery, so that nothing joins it to the key's leads";
        source() = "practice: a motor with magnets is a generator while it is turned";
    }
}
