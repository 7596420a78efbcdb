//! The details of what is selected.

use super::texts;

texts! {
    ManyDetails {
        for_all_of_them() = "for all of them";
        size() = "Size";
        colour() = "Colour";
        length() = "Length";
        for_each_of_them() = "for each of them";
        insulation() = "Insulation";
        as_found() = "as found";
        it_is_there_and_stays() = "It is there and stays";
        to_fit() = "to fit";
        the_alteration_brings_it() = "The alteration brings it";
        to_remove() = "to remove";
        the_alteration_takes_it_away() = "The alteration takes it away";
        standing() = "Standing";
    }

    ColourDetails {
        lists_the_colours() = "Lists the colours";
        list_of_colours() = "List of colours";
        cover() = "Cover";
        cover_named(word) = "Cover {word}";
        tracer() = "Tracer";
        choose_the_cover_first() = "Choose the cover first";
        tracer_named(word) = "Tracer {word}";
    }

    PartDetails {
        not_known(unit) = "not known, {unit}";
        control() = "Control";
        control_named(key) = "Control {key}";
        nothing_joined() = "nothing joined";
        label() = "Label";
        note() = "Note";
    }

    RoleDetails {
        is_for() = "Is for";
        terminal_is_for(terminal) = "{terminal} is for";
        guess(name) = "Guess: {name}";
        not_known() = "Not known";
        what_is_for(label) = "what {label} is for";
    }

    SeenDetails {
        from() = "From: ";
        to() = "To: ";
        not_known_mm() = "not known, mm";
        seen_at_the_car() = "Seen at the car";
        seen_at_the_car_of(n_known, n_asked) = "Seen at the car: {n_known} of {n_asked}";
        what_a_drawing_cannot_know_what() = "What a drawing cannot know; what nobody has said is printed as something to check by eye";
        not_known() = "not known";
    }

    WhatIfDetails {
        nothing_can_be_said_of_it() = "Nothing can be said of it";
        the_check_of_this_car_failed() = "The check of this car failed";
        being_worked_out() = "Being worked out …";
        comes_after_the_check_of_all() = "Comes after the check of all settings";
        what_a_fault_of_this_would() = "What a fault of this would do, in every setting of the switches";
        what_if() = "What if …";
        show_me() = "Show me";
        goes_to_try_in_the_setting(setting) = "Goes to Try in the setting in which it shows: {setting}";
        in_this_setting(question, says) = "In this setting. {question}: {says}";
        show_me_named(question) = "Show me, {question}";
    }

    WireDetails {
        wire(label) = "Wire {label}";
        number() = "Number";
        colour() = "Colour";
        blue_yellow_or_uy() = "blue/yellow or UY";
        size() = "Size";
        size_hint() = decimal "1.5 mm2 or 16 AWG";
        length() = "Length";
        length_hint() = decimal "1.2 m or 2 ft 6";
        cable() = "Cable";
        cable_changed() = "cable of a wire";
        new_cable() = "new";
        cable_of(label) = "that of {label}, an end moved";
        from() = "From";
        to() = "To";
        note() = "Note";
        ft_in(feet, rest) = "{feet} ft {rest} in";
        size_not_known(amps) = "{amps}, size not known";
        carries_at_most() = "Carries at most";
        loses() = "Loses";
        guarded_by() = "Guarded by";
        never_live() = "never live";
        no_fuse() = "no fuse";
        loose_end() = "loose end";
        not_known() = "not known";
        insulation() = "Insulation";
        colour_not_known() = "colour not known";
        shows_that_part() = "Shows that part";
        end_fitting() = "End fitting";
        fitting_at_the_far_end() = "Fitting at the far end";
        fitting_at_the_near_end() = "Fitting at the near end";
    }

    VehicleDetails {
        name() = "Name";
        what_you_call_it() = "what you call it";
        first_used() = "First used";
        what_the_alteration_is_for() = "What the alteration is for";
        this_sheet() = "This sheet";
        parts_wires(parts, wires) = "{parts} parts, {wires} wires";
        notes() = "Notes";
        the_car() = "The car";
        in_short(volts, earth) = "{volts} · {earth} earth";
        folds() = "Its volts, earth, body and colour code, by whose rules it is judged, and what is noted of it";
        voltage() = "Voltage";
        earth() = "Earth";
        body() = "Body";
        glass_fibre_or_wood() = "glass-fibre or wood";
        colour_code() = "Colour code";
        bs_au_7() = "BS AU 7";
        bs_au_7a_1983() = "BS AU 7a:1983";
        its_own_or_none() = "its own, or none";
        lamp_rules() = "Lamp rules";
        not_said() = "not said";
        holds() = "Holds";
    }
}
