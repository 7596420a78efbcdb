//! PM: promises.

use super::messages;

messages! {
    PM01 {
        says(setting, names, must, verb, found) =
            "With {setting}, {names} should be {must} but {verb} {found}";
        says_without(setting, fuse, names, must, verb, found) =
            "With {setting} and {fuse} out, {names} should be {must} but {verb} {found}";
        promise(setting, without, musts) = "With {setting}{without}: {musts}";
        no_battery() = "there is no battery";
        no_control(control) = "no switch is called '{control}'";
        breaks(claim, found) = "{claim} is {found}";
        breaks_without(names, fuse) = "not so for {names} with {fuse} out";
        never_set() = "its setting never comes about";
        in_all(states) = "in all {states}";
        in_those_that_stand_for_all(states) = "in {states}, which stand for all";
        in_some(states) = "in {states}, but not all were visited";
        also_without(fuses) = ", also without {fuses}";
        moment(control, positions) = "{control} at {positions}";
        anything_set() = "anything set";
        or() = " or ";
        not_there() = "not there";
        claim(part, terminal) = "{part} {terminal}";
        claim_with_word(part, word, terminal) = "{part} {word} ({terminal})";
        missing_battery() = "promises, as there is no battery";
        missing_control(control) = "a promise about '{control}', which no switch is called";
        missing_states(states, doubt) = "a promise in more than the {states} tried, as {doubt}";
        missing_setting(setting) = "a promise whose setting ({setting}) never comes about";
        advice() = "Follow the current in this setting, or change the promise";
        advice_without() =
            "Give what is promised a feed that does not pass that fuse, or change the promise";
        source() = "the promise entered for this car";
    }
}
