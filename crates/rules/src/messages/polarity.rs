//! PO: what minds its polarity.

use super::messages;

messages! {
    PO01 {
        says_load(name, earth) =
            "{name} has its plus side to minus on this {earth}-earth car: it stays dark or is destroyed";
        says_diode_inside(name) =
            "The diode inside {name} is the wrong way round: a dead short whenever the coil is fed";
        says_diode_shorts(name, consequence) =
            "{name} lets current straight from plus to minus{consequence}";
        says_diode_blocks(name) = "{name} keeps the current from what it feeds";
        says_diodes_block(names) = "{names} keep the current from what they feed";
        fix_diodes() = "Change the leads of each of them over";
        always() = "as soon as the battery is joined";
        each_time(controls) = "each time {controls} is switched on";
        nothing_blows(when) = ", with nothing to blow but the wires, {when}";
        opens(what_opens, when) = ": {what_opens} {when}";
        advice(first, second) = "Change the leads at {first} and {second} over";
    }

    PO02 {
        says(post, battery, earth) =
            "The {post} post of {battery} is on earth, but this is a {earth}-earth car";
        advice() = "Turn the battery, or say that the car has the other earth";
        fix_leads() = "Change the battery's leads over";
        fix_car() = "The car has the other earth";
    }

    PO03 {
        says_positive(part, what) = "{part}: {what}";
        says(part, made_for, car) =
            "{part} is made for {made_for}, and the car has {car} earth: it would be destroyed";
        alternator() =
            "an alternator is made for negative earth: its diodes would short the battery";
        flasher() = "make sure that this flasher unit is made for positive earth";
        advice_positive() =
            "Connect it only if its maker says that it suits positive earth; else fit one that does";
        advice() = "Have it converted, or fit one made for the car's earth";
        source() = "practice: the mark on the part";
    }

    PO04 {
        says(meter, amps) =
            "{meter} shows a charge of {amps} A while the battery gives them: its leads are changed over";
        advice() =
            "Change its two leads over; after a change of the car's earth they have to follow";
        source() = "practice: the needle goes to charge when current flows into the battery";
    }

    PO05 {
        says_shell(part) =
            "The shell of {part} is live: the metal of whatever is plugged in is live to the body";
        says_output(part) =
            "The output of {part} shares a lead with its feed: what it feeds has minus on its metal, which is live here";
        says_positive_earth(part) =
            "{part} has plus on its shell, as the car has on its body; what is made for other cars wants minus there";
        advice_shell() =
            "Put the shell to earth; for things that want minus on it, fit a converter whose output is isolated";
        advice_output() =
            "Fit a converter whose output is isolated, and a small fuse in its live lead";
        advice_positive_earth() =
            "Plug in nothing with a metal shell but through a converter whose output is isolated";
    }

    PO06 {
        says(coil) =
            "{coil} is fed at 1 and earthed at 15: it runs, but the spark is of the wrong sign and weaker";
        advice() =
            "Change its two low-tension leads over: the key's lead to 15, the one to the points to 1";
        source() = "practice; DIN 72552: 15 from the key, 1 to the points";
    }
}
