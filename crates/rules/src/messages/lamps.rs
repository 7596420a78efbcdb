//! LI and LW: lamps, and where and how many they are.

use super::messages;

messages! {
    LI01 {
        says_dipped(names, stays, dazzles) =
            "With the headlamps dipped, {names} {stays} lit and {dazzles} who comes";
        says_side_lamps(names, verb) =
            "{names} {verb} lit with the side lamps and without the main beam: dipping does not put out what dazzles who comes";
        advice() =
            "Take the trigger of their relay from the main beam's lead, so that dipping puts them out";
        fix() = "Take the trigger from the main beam";
        source() =
            "SI 1989/1796 schedule 6 and common trade practice: long-range lamps only with main beam";
    }

    LI02 {
        says(names) = "{names} can be lit together with the main beam, which lights the fog itself";
        advice() =
            "Feed them over 87a of a relay that the main beam pulls in, so that it puts them out";
    }

    LI03 {
        says(names, verb) = "With the headlamps lit, {names} {verb} dark";
        advice() = "Keep the side contact of the lighting switch made in its headlamp position";
        source_law() =
            "UN R48 5.11: position and plate lamps are lit whenever headlamps are; check what applies to your car";
    }

    LI04 {
        says_brake_up(parts, verb) =
            "{parts} {verb} lit with the brake pedal up: who follows cannot tell when you brake";
        says_brake_down(parts, verb, control, off, on) =
            "With the brake pedal down, {parts} {verb} dark while {control} is at {off}, and not at {on}";
        advice_brake_up() =
            "Part the stop lamps from what lights them, so that the brake switch alone feeds them";
        advice_brake_down() =
            "Give the brake switch a fused feed of its own, from the key or the battery";
        source_brake_up() = "practice: a stop lamp is lit while the pedal is down, and only then";
        source_brake_down() = "practice: nothing but brake and key decides over stop lamps";
    }

    LI05 {
        says(names, verb) = "Nothing tells the driver that {names} {verb} lit";
        advice_one() = "Join a warning lamp to its lead, where the driver sees it";
        advice_several() = "Join a warning lamp to their lead, where the driver sees it";
        advice_reversing() =
            "Let a switch on the gearbox work them, or join a warning lamp to their lead";
        source_law() =
            "SI 1989/1796 schedules 11 and 14 (memory), \"Fit a fog lamp to your classic\", pressreader.com: a tell-tale is asked for; check what applies to your car";
    }

    LI06 {
        says(fuse, parts, verb, outcome) = "{fuse} alone feeds {parts}: when it {verb}, {outcome}";
        side_lamps() = "the car is dark in front and behind";
        dipped_beams() = "both headlamps go dark at once on dip";
        advice() = "Give left and right a fuse each, behind the switch";
        source() = "practice: what must not go dark on both sides at once is fused by sides";
    }

    LI07 {
        says_bulb(part) =
            "{part} has its strong filament in the tail lamp and its weak one under the brake: the bulb is in upside down";
        says_leads(part) =
            "{part} has its leads changed over: the brake lights the weak filament, and the strong one is the tail lamp";
        advice_bulb() =
            "Turn the bulb in its holder; its pins are set off so that it goes in one way only";
        bulb_is_turned() = "no lead is wrong: the bulb is turned at the car";
        advice_leads() = "Change the leads at 54 and 58 over, or turn the bulb in its holder";
        fix() = "Change the leads at 54 and 58 over";
        says_headlamp(part) =
            "{part} has its leads changed over: it gives main beam when the others dip, and dazzles who comes";
        advice_headlamp() = "Change the leads at 56a and 56b over";
        source_headlamp() = "DIN 72552: 56a main beam, 56b dipped beam";
        source_bulb() = "IEC 60061 (memory): BAY15d has pins at two heights; UN R37, P21/5W";
        source_leads() = "practice; DIN 72552: 54 stop lamps, 58 tail lamps";
    }

    LI08 {
        says(part, reflector, law) = "{part} is an LED lamp in a headlamp, and {reflector}: {law}";
        filament_reflector() = "its reflector was made for a filament";
        unknown_reflector() = "nobody has said whether its reflector was made for it";
        law_old_car() =
            "the British inspection may pass it on a car as old as this; ask the insurer too";
        law_newer_car() =
            "the British inspection does not pass it on a car first used since 1 April 1986";
        law_elsewhere() = "many inspections do not pass it; check what applies to your car";
        advice() = "Check the beam on a beam setter, and keep the answer on record";
        source() = "MOT inspection manual 4.1 (memory): check what applies to your car";
    }

    LI09 {
        says(names) = "{names} can be lit by day, with no other lamp lit: who follows takes it for a stop lamp, and it is forgotten";
        advice() =
            "Take its feed from the side, dipped-beam or front fog lamps, behind the lighting switch";
        source_british() =
            "SI 1989/1796 schedule 11 (memory): check what applies to your car";
        source_un() =
            "UN R48 6.11.7 (memory): only with main beam, dipped beam or front fog lamps; check what applies to your car";
    }

    LW01 {
        says_number(n, most) = "{n} rear fog lamps are drawn, and at most {most} are allowed";
        says_side(label) =
            "{label} alone is on the nearside; one rear fog lamp belongs on the centre line or the offside";
        says_from_stop_lamp(label, mm, least) =
            "{label} is {mm} mm from the stop lamp, and at least {least} mm are asked for";
        says_height(label, mm, least, most) =
            "{label} is {mm} mm high, and {least} to {most} mm are asked for";
        says_power(label, watts, most) =
            "{label} takes {watts} W, and without an approval mark {most} W are the most";
        check(says) = "Check: {says}";
        advice() =
            "Check it against the text that applies to your car, and move or change the lamp";
        source_british() = "SI 1989/1796 schedule 11 (second-hand): check what applies to your car";
        source_un() = "UN R48 6.11 (second-hand): check what applies to your car";
    }
}
