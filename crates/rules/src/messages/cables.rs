//! CA: cables, meters and joints, and what they carry.

use super::messages;

messages! {
    CA01 {
        says(wire, carries, limit, place, was, rest) =
            "{wire} carries {carries} and is good for {limit}{place}{was}{rest}";
        says_just(wire, limit, place, was, rest) =
            "{wire} carries {limit}, just what it is good for{place}{was}{rest}";
        more_of_the_run(n) = "; {n} more of the same run are over their limit too";
        as_before() = ", as it was before the alteration";
        advice() = "Thicker cable, a load less, or a relay close to the load with its own feed";
        source_place() = "practice: four fifths in an engine bay, seven tenths in a tight bundle";
        source_short_time() = "IEC 60364-5-54: I = k S / √t for half a minute";
    }

    CA02 {
        says(generator, gives, wire, limit) =
            "{generator} gives up to {gives} and its lead {wire} is good for {limit}";
        advice() =
            "Run an output lead as thick as the machine wants, straight to the battery or the solenoid stud; an ammeter on the way must be made for the machine too";
    }

    CA03 {
        says(amps, generator, lost, limit, most, where_at) =
            "At the {amps} that {generator} can give, {lost} is lost between it and the battery, {limit} at most should be; {most} of it {where_at}";
        advice_lead() = "A thicker or shorter lead, with clean, tight ends";
        fix(size) = "Run {size} cable";
        source() = decimal "practice: 0.5 V from the generator to the battery at full output";
    }

    CA04 {
        says(load, scale_says, scale) =
            "{load}, {scale_says} {scale}; both its leads are live behind the dash";
        load_of_generator(amps, generator, meter) =
            "all {amps} that {generator} can give goes through {meter}";
        load(amps, meter) = "{amps} goes through {meter}";
        scale_known() = "whose scale ends at";
        scale_usual() = "and such meters usually end at";
        advice() =
            "Fit a voltmeter instead, or a meter and leads made for it; or take the charging lead straight to the battery";
        source_entered() = "the scale entered for the meter";
        source_usual() = "practice: 30-0-30 A";
    }

    CA05 {
        says(joint, volts, amps, watts, limit) =
            "{joint} loses {volts} at {amps}: {watts} of heat in it, {limit} at most should be";
        advice() = "Make it anew, larger, or leave it out: fewer joints in a heavy feed";
        source() = "heat: volts lost times current; practice: a watt in a joint";
    }

    CA06 {
        says(wires, verb) =
            "{wires} {verb} not of stranded vehicle cable: it hardens and breaks with the shaking, and its cover does not stand oil";
        advice() = "Run stranded vehicle cable of the same or a larger size";
        fix() = "Run stranded cable";
        source() = "practice; ISO 6722 is for stranded cable of road vehicles";
    }

    CA07 {
        says(wire, across, copper, carries, not_amps) =
            "{wire} measures {across} mm over its cover, which is some {copper} of copper: good for {carries} and not for {not_amps}";
        advice() = "Enter the area of its copper; the other rules then look at the wire anew";
        fix(copper) = "Enter {copper}";
        source() = "practice: cable sold by its diameter";
    }
}
