//! CO: colours of wires.

use super::messages;

messages! {
    CO01 {
        says_black(names) = "{names} can be live; black stands for an earth lead";
        says_other_job(wires, verb, job, colour, colour_job) =
            "{wires} {verb} {job}; {colour} stands for {colour_job}";
        says_before_switch(wires, verb, job, colour, colour_job) =
            "{wires} {verb} {job}; {colour} stands for {colour_job}, from their switch on";
        advice_black() = "Use the colour of the feed it comes from, or sleeve and label both ends";
        advice_other_job(colour) = "Use {colour}, or sleeve and label both ends";
        advice_no_supply() =
            "Use the colour of what it works, with a tracer, or sleeve and label both ends";
        fix(colour) = "Take {colour} instead";
        stays() = "a lead that is there keeps its colour; sleeve and label it";
        in_plug() = "in a plug, leads are told apart by colours that somebody chose together";
        source() = "BS AU 7a:1983";
    }

    CO02 {
        says_both(earths, lives) =
            "Brown is earth in {earths} and live in {lives}: joined by their colour they short the battery";
        says_part(part) =
            "The leads on {part} follow another code than the car: its brown is not the car's brown";
        advice_both() =
            "Take the colour of the car's own code for one of them, or sleeve and letter both ends of each";
        advice_part() =
            "Letter each of its leads by the terminal it belongs to, before it is joined";
        fix_both() = "Number both ends of each";
        fix_part() = "Letter each of its leads";
        source() = "BS AU 7: brown is live; DIN 72551: brown is earth";
    }

    CO03 {
        says(names, part, colour) =
            "{names} in {part} are all {colour}: one day they are changed over";
        advice() =
            "Take another tracer for one of them, or put a numbered sleeve on both ends of each";
        fix() = "Number both ends";
    }

    CO04 {
        says(n, colour, wires) = "{n} new circuits are all {colour}: {wires}";
        advice() = "Use the trade's colours for their jobs, or letter both ends of every lead";
    }
}
