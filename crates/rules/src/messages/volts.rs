//! VD and VO: volts that are lost, and parts for other volts.

use super::messages;

messages! {
    VD01 {
        says(lamp, lost, light_lost, most, others) =
            "{lamp} loses {lost}, about {light_lost:.0} % of its light{most}{others}";
        other_lamp() = "other lamp";
        other_lamps() = "other lamps";
        adds_up(volts, place) = "; it adds up along the way, the most, {volts}, {place}";
        source() = "Bosch Automotive Handbook, permissible voltage drops (memory)";
    }

    VD02 {
        says(motor, volts, supply, lost, limit, most, likewise) =
            "{motor} gets {volts} of the {supply} there are: {lost} is lost on the way, {limit} at most should be{most}{likewise}";
        source() =
            decimal "practice: 0.7 V in the wiring of a motor, and what a switch and its bullets take";
    }

    VO01 {
        says_one(battery, given, system) = "{battery} gives {given}, and this is a {system} car";
        says_row(batteries, given, system) =
            "{batteries} in a row give {given}, and this is a {system} car";
        advice() = "Fit a battery of the car's voltage, or say that the car has the other voltage";
        fix_battery(system) = "Fit a {system} battery";
        fix_car(volts) = "The car is a {volts} one";
    }

    VO02 {
        says_one(part, marked, gets, from, fate) =
            "{part} is made for {marked} and gets {gets} at most{from}: {fate}";
        says_several(parts, marked, get, from, fate) =
            "{parts} are made for {marked} and get {get} at most{from}: {fate}";
        burns_one() = "it will burn out";
        burns_several() = "they will burn out";
        gives_light_one(percent) = "it gives {percent:.0} % of the light";
        gives_light_several(percent) = "they give {percent:.0} % of the light";
        hardly_works_one() = "it hardly works";
        hardly_works_several() = "they hardly work";
        from_alone(battery) = " from {battery} alone, a part of the supply";
        missing(name, doubt) = "whether {name} ever has its volts, as {doubt}";
        advice_row() =
            "Feed it from the live post of the whole row, by a fuse: half a row also runs down before the other half";
        advice() = "Fit one made for the car's voltage, or put it where it gets its own";
        fix(volts) = "Fit {volts} ones";
    }

    VO03 {
        says_one(part, battery) =
            "{part} hangs on {battery} alone, one of a row: that one is drained, and the other overcharged";
        says_several(parts, battery) =
            "{parts} hang on {battery} alone, one of a row: that one is drained, and the other overcharged";
        advice() =
            "Feed it from the live post of the whole row, through a converter or made for the car's voltage";
    }
}
