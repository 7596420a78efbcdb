//! CH: generators, control boxes and isolators.

use super::messages;

messages! {
    CH01 {
        says(lamp, amps, generator, watts) =
            "{lamp} passes {amps} and so does not wake {generator} at tick-over: a lamp of {watts} W passes some 180 mA";
        says_no_lamp(generator) =
            "Nothing wakes {generator} at tick-over: no charge lamp leads to its warning terminal";
        advice() =
            decimal "A charge lamp of 2.2 to 3 W from the key to its warning terminal, or a resistor of 75 to 150 ohm across an LED lamp";
        fix(ohms) = "Put {ohms} ohm across it";
        source() = decimal "practice: 2.2 to 3 W in a 12 V car";
    }

    CH02 {
        says(lamp, amps) =
            "{lamp} takes {amps} with the key off: it glows day and night, and so does the field of the generator behind it";
        advice() =
            "Feed it from the key; where a relay takes the key's load, from the output of the relay";
        source() = "practice: a charge lamp hangs on the key";
    }

    CH03 {
        says(machine, control_box) =
            "{machine} has a regulator of its own and charges through {control_box}, whose contacts are made for a dynamo and burn";
        advice() =
            "Join the heavy leads of the box solidly, insulate those of its field and earth, and leave the box as a terminal block or take it out";
        source() =
            "a cut-out and regulator for one kind of machine cannot serve the other (practice)";
    }

    CH04 {
        says_runs_on(isolator, machines, coil) =
            "With {isolator} off the engine runs on: {machines} goes on feeding {coil}, and with no battery its volts can leap";
        says_surge(isolator, machines) =
            "{isolator} takes the battery from {machines} while that turns, with nothing to take what it still makes: the surge kills its diodes";
        advice_runs_on() =
            "Fit an isolator with a small contact of its own in the feed of the coil, and one that earths the machine through a resistor; or accept that it is no emergency switch, and label it so";
        advice_surge() =
            "Fit an isolator with a contact that closes when it is turned off, and a resistor of some 3 ohm from the machine's output through it to earth";
        source_runs_on() = "the states themselves: isolator off, engine turning, ignition fed";
        source_surge() = "practice: 3 ohm, 11 W; see the sheet of the isolator";
    }

    CH05 {
        says(isolator) = "With {isolator} off there is no hazard warning at the roadside";
        advice() =
            "Feed the hazard switch from before the isolator, through a fuse of its own at the battery; or accept it";
        source() = "practice: the owner decides";
    }

    CH06 {
        says_loses(taken, machines, given, lost, hours) =
            "With all that can be on, {taken} is taken on average and {given} is given by {machines}: the battery loses {lost}, and after {hours} it no longer starts the car";
        says_queue(taken, given, added, hours) =
            "In a queue at tick-over {taken} is taken on average and {given} given; {added} of it is new: after {hours} the battery no longer starts the car";
        advice() =
            "A larger generator with a lead to match, LED lamps, or fewer things on at once";
        source() =
            "sum of the currents in that state, what flashes by its mean; hours by the battery's capacity";
    }

    CH07 {
        says(dynamo, output, field, control_box, takes, feeds) =
            "{dynamo} and {control_box} are joined crosswise: {output} of the one belongs on {takes} of the other, and {field} on {feeds}; so the contact made for the field carries the whole charge, and burns";
        advice() =
            "Change the two leads over, and polarise the dynamo anew before the engine is started";
        fix(dynamo) = "Change the two leads over at {dynamo}";
        source() = "the terminals of both";
    }

    CH08 {
        says(terminal, generator) =
            "{terminal} of {generator} is joined to the key's lead without a charge lamp between: key off, it feeds that lead backwards and the engine may run on; engine stopped, its field takes full current, and nothing tells of a broken belt";
        advice() =
            decimal "Put a charge lamp of 2.2 to 3 W into that lead, or a diode and a resistor of some 47 ohm where there is no room for a lamp";
        source() = decimal "practice: a lamp of 2.2 W passes some 180 mA";
    }

    CH09 {
        says(machines, meter) =
            "{machines} charges past {meter}, which shows what the car takes and never a charge";
        advice() =
            "Bring the charge to the meter's other side, if the meter and its leads stand the full output; or take the meter out, or put a voltmeter in its place";
        source() = "the ways of the current";
    }
}
