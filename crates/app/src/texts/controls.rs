//! The left and the right panel of Try: controls, promises, readings.

use super::texts;

texts! {
    Controls {
        more_below() = "More controls below";
        controls() = "Controls";
        this_car_has_no_switches_yet() = "This car has no switches yet";
        it_stays_here_until_you_choose() = "Clicked, it stays here until you choose another; held down, or worked on the drawing, it springs back";
    }

    PromiseList {
        elsewhere() = "The findings tell whether it holds in every other setting.";
        the_controls_stand_so_and_it() = "The controls stand so, and it is so.";
        the_controls_stand_so_and_it_2() = "The controls stand so, and it is not so.";
        the_controls_do_not_stand_so() = "The controls do not stand so at this moment, so nothing is asked.";
        promises() = "Promises";
        promise_more() = "Promise …";
        none_yet() = "Nothing is promised yet: “Promise …” keeps what lamps and motors must do, for every later change to be judged by";
        promise_what_is_shown() = "Promise what is shown …";
        what_lamps_and_motors_do_now() = "What lamps and motors do now must be so whenever the controls stand as now";
        offer_the_usual_promises() = "Offer the usual promises …";
        what_is_usual_for_the_lamps() = "What is usual for the lamps and motors that this car has, to tick";
        all_as_a_table() = "All as a table …";
        settings_down_parts_across_promises() = "Settings down, parts across: promises are written, changed and removed here";
        promise(says, sign) = "Promise {says}: {sign}";
    }

    Readings {
        readings() = "Readings";
        a_relay_pulls_in_and_drops() = "A relay pulls in and drops out again and again: it buzzes";
        terminal(name) = "Terminal {name}";
        floats() = "floats";
        current() = "Current";
        across_it() = "Across it";
        through(a, b) = "Current {a}–{b}";
        across(a, b) = "Across {a}–{b}";
        one_side_floats() = "one side floats";
        power() = "Power";
        wire(label) = "Wire {label}";
        near_end() = "Near end";
        far_end() = "Far end";
        click_a_part_or_a_wire() = "Click a part or a wire to read it";
        light_of(terminal) = "Light of {terminal}";
        light() = "Light";
        opens_cools_and_closes_again_within() = "Opens, cools and closes again within";
        blows_within() = "Blows within";
        contact(a, b) = "Contact {a}–{b}";
        coil(a, b) = "Coil {a}–{b}";
        pulled_in() = "pulled in";
        at_rest() = "at rest";
        so_many_in(n, of) = "{n} of {of} pulled in";
    }
}
