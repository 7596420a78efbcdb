//! IN: indicators and hazard warning.

use super::messages;

messages! {
    IN01 {
        says(one, other, lamps) =
            "{one} and {other} can both drive {lamps} at once, and drift in and out of step";
        advice() =
            "Let the hazard switch take the lamps, or the flasher's feed, away from the stalk";
        source() = "practice: the indicator feed is broken while hazard warning is on";
    }

    IN02 {
        says_dark(names, does, where_at) = "With hazard warning on, {names} {does} {where_at}";
        says_overloaded(lamps, unit, most, watts) =
            "With hazard warning on, {lamps} stay lit and do not flash: {unit} is made for {most} of lamps at most, and here has {watts}";
        ignition_off() = "with the ignition off";
        ignition_on() = "even with the ignition on";
        stalk_over() = "while the stalk is over";
        does_not_flash() = "does not flash";
        do_not_flash() = "do not flash";
        goes_out() = "goes out";
        go_out() = "go out";
        advice_dark() =
            "Feed the hazard switch through its own fuse from what is live at all times, and let it part the stalk from the flasher unit while it is on";
        advice_overloaded(watts) =
            "Fit a flasher unit made for {watts}, or an electronic one, for hazard warning";
        source_law() =
            "UN R48 6.6 and SI 1989/1796 schedule 8 (memory): check what applies to your car";
    }

    IN03 {
        says(fuse, others) = "Hazard warning hangs on {fuse}, which also feeds {others}";
        advice() = "Give hazard warning a fuse of its own, straight from a permanent feed";
        no_feed_chosen() = "somebody has to choose the permanent feed that its own fuse starts from";
        source() = "practice: hazard warning works with any other fuse blown";
    }

    IN04 {
        says_one(lamp, state, unit, wanted, watts, why) =
            "{lamp} stays {state} and does not flash: {unit} wants {wanted} of lamps at a time, and {watts} is {why}";
        says_several(lamps, state, unit, wanted, watts, why) =
            "{lamps} stay {state} and do not flash: {unit} wants {wanted} of lamps at a time, and {watts} is {why}";
        too_much() = "too much for it";
        too_little() = "too little for it";
        fix() = "Fit an electronic flasher unit with an earth lead of its own";
        advice_too_much() =
            "Fit a heavy-duty or an electronic flasher unit, whose rate does not depend on the lamps";
        advice_too_little() =
            "Fit an electronic flasher unit that works with any load; bulbs of the marked power flash too";
    }

    IN05 {
        says(lamps) =
            "With hazard warning off, {lamps} all light together: left and right are joined";
        advice() =
            "Part the two sides; a hazard switch joins them by a contact of its own, only while it is on";
    }

    IN06 {
        says(what) = "Nothing tells the driver that {what}";
        hazard_warning() = "hazard warning is on";
        indicators() = "the indicators flash";
        advice() = "Join a warning lamp to each side: two lamps, one to left and one to right";
        advice_pilot() =
            "Join a warning lamp to each side, or one to the flasher unit's own terminal for it";
        source_manual() =
            "MOT inspection manual 1.4 (2012), ukmot.com: a tell-tale to be heard or seen, and a flashing one for hazard warning; check what applies to your car";
    }

    IN07 {
        says(unit, rate, than, limit, why) =
            "{unit} flashes {rate:.0} times a minute, {than} {limit:.0} of the law: {why}";
        bulb_out() = "it takes its load for one with a bulb out";
        too_little() = "its lamps take too little, or get too few volts";
        too_fast() = "more than the";
        too_slow() = "less than the";
        advice() =
            "Fit an electronic flasher unit that does not watch the load, or bulbs of the marked power";
        source() =
            "UN R48 6.5.9 and MOT inspection manual 1.5: 60 to 120 a minute; check what applies to your car";
    }

    IN08 {
        says(unit, most, watts, lamps) =
            "{unit} is made for {most} of lamps at most and has {watts} to flash: {lamps}";
        advice() =
            "Fit a unit made for that power: with hazard warning, and with a trailer, more lamps hang on it";
        fix() = "Fit a unit made for that power";
        source() = "practice: the power that is marked on the unit";
    }

    IN09 {
        says(parts, verb) = "With the key off the stalk still works: {parts} {verb}";
        advice() =
            "Feed the flasher unit from the key, unless you mean it so: a stalk left over drains the battery";
    }

    IN10 {
        says(side, wrong, flash, dark, stay) =
            "With the stalk put to the {side}, {wrong} {flash} and {dark} {stay} dark";
        flashes() = "flashes";
        flash() = "flash";
        stays() = "stays";
        stay() = "stay";
        crossed(says, wires, where_at) = "{says}: {wires} are crossed {where_at}";
        at_stalk(left, right, stalk) = "at {left} and {right} of {stalk}";
        at_lamps() = "at these lamps";
        advice() = "Change the leads of these lamps over, and look at all four corners afterwards";
        advice_stalk() =
            "Change the leads over at the stalk, or where they come to the leads of the two sides, and look at all four corners afterwards";
        fix() = "Change their leads over";
        fix_stalk() = "Change the leads over at the stalk";
        several() =
            "several lamps of a side are meant, and somebody has to say which of their leads belong together";
        not_one_lead(terminal) = "{terminal} has more than one lead, or none";
        source() = "UN Regulation No. 48: the indicators of one side flash together";
    }
}
