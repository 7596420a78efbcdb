//! The car in words: its rows, its troubles, its promises.

use super::texts;

texts! {
    WhatIfWords {
        if_it_touches(metal) = "If it touches {metal}";
        it_is_never_live_in_any() = "It is never live in any setting.";
        wire_survives() = "wire survives";
        cover_damaged() = "cover damaged";
        size_not_known() = "size not known";
        a_to_a(least, most, opens) = "{least} A to {most} A; {opens}.";
        it_gives_and_starts_the_car(amps, lasts) = "It gives {amps}, and starts the car for {lasts}.";
        nothing_is_taken_from_it() = "Nothing is taken from it.";
        taken_by(few) = "Taken by {few}.";
        with_everything_off() = "With everything off";
        breaks_the_promise_with(when) = "Breaks the promise with {when}.";
        if_it(does) = "If it {does}";
        says_if(terminal, does) = "If {terminal} {does}";
        if_it_breaks() = "If it breaks";
        if_its_earth_corrodes_to_ohm(ohms) = "If its earth corrodes to {ohms} ohm";
        if_it_stays_pulled_in() = "If it stays pulled in";
        if_it_does_not_pull_in() = "If it does not pull in";
        the_engine_stops() = "the engine stops";
        nothing_else_changes_in_any_setting() = "Nothing else changes in any setting.";
    }

    CarWords {
        terminal_of_short(terminal, part) = "{terminal} of {part}";
        terminal_of(terminal, part) = "terminal {terminal} of {part}";
        loose_end() = "a loose end";
        there_is_no_control_this_car(control) = "there is no control '{control}'; this car has none";
        there_is_no_control_but(control, join) = "there is no control '{control}'; this car has {join}";
        has_no_position_it_has(control, position, join) = "{control} has no position '{position}'; it has {join}";
        holds_here_a_breaker_opens_only(control) = "{control} holds here: a breaker opens only where it carries more than it can";
        the_engine_cannot_with(does, join) = "the engine cannot {does} with {join}";
        cannot_go_together_in_this_car(join) = "{join} cannot go together in this car";
        which_stand_for_all() = ", which stand for all";
        which_is_not_all() = ", which is not all";
        of_visited(states, settings, rest) = "{states} of {settings} visited{rest}";
        at_rest() = "at rest";
        stands_at(control, join) = "{control} stands at {join}";
        at_all_times() = "At all times";
        whenever(join) = "Whenever {join}";
        must_be() = " must be ";
        the_starter_turns_the_engine() = "the starter turns the engine";
        the_engine_stops_its_ignition_is() = "the engine stops: its ignition is not fed";
        goes_to_by_itself(control, position) = "{control} goes to {position} by itself";
        no_size_is_given_for_taken(rows) = "no size is given for {rows}: taken as 1 mm²";
        no_length_is_given_for_taken(rows) = "no length is given for {rows}: taken as 1 m";
        no_path_to_the_battery_so(rows) = "no path to the battery, so no volts are known: {rows}";
        a_supply_is_shorted_only_its(rows) = "a supply is shorted; only its own resistance limits the current: {rows}";
        a_figure_is_missing_so_it(rows) = "a figure is missing, so it was left out: {rows}";
        never_comes_to_rest(rows) = "never comes to rest: {rows}";
        two_flashers_on_the_same_lamps(rows) = "two flashers on the same lamps, which drift, so that these flash irregularly: {rows}";
        turns_but_does_not_give_as(rows) = "turns but does not give, as no current through its charge lamp has excited it: {rows}";
        there_is_no_battery() = "there is no battery";
        these_share_a_control_but_not(rows) = "these share a control but not its positions: {rows}";
        the_figures_did_not_come_to() = "the figures did not come to rest; they are the last ones found";
    }

    TroubleWords {
        gets_hot() = "gets hot";
        engine_stops() = "engine stops";
        breaks_a_promise() = "breaks a promise";
        works_wrongly() = "works wrongly";
        changes_nothing_else() = "changes nothing else";
        the_body() = "the body";
        the_engine() = "the engine";
        is_broken(wire) = "{wire} is broken";
        has_failed(element) = "{element} has failed";
        has_blown(fuse) = "{fuse} has blown";
        the_earth_of() = "the earth of ";
        has_corroded_to_ohm(of, part, ohms) = "{of}{part} has corroded to {ohms} ohm";
        stays_pulled_in(part) = "{part} stays pulled in";
        does_not_pull_in(part) = "{part} does not pull in";
        no_longer_charged() = "no longer charged";
        and_more(join, len) = "{join} and {len} more";
        at_within(fuse, amps, time) = "{fuse} at {amps}, within {time}";
        not_there() = "not there";
        the_wire_survives() = "the wire survives";
        its_cover_is_damaged() = "its cover is damaged";
        it_burns() = "it burns";
        its_size_is_not_given() = "its size is not given";
        nothing_opens() = "nothing opens";
        opens_but_current_flows_on(devices) = "{devices} opens, but current flows on";
        opens_within(devices, time) = "{devices} opens within {time}";
        opens_after_to(devices, time, time2) = "{devices} opens after {time} to {time2}";
        hard_touch() = "hard touch";
        touch_of(ohms) = "touch of {ohms}";
        nothing_opens_before_it() = "; nothing opens before it";
        a_burns_the_wire_after(kind, time, nothing) = "A {kind} burns the wire after {time}{nothing}.";
        a_makes_w_at_the_place(kind, contact_watts) = "A {kind} makes {contact_watts} W at the place: it can set fire to what is near.";
        more_than_a_year() = "more than a year";
    }

    RefusalWords {
        there_is_no_control_called(control) = "There is no control called {control}";
        has_no_position_it_has(control, position, join) = "{control} has no position {position}; it has {join}";
        holds_it_opens_only_where_it(control) = "{control} holds: it opens only where it carries more than it can";
        is_at(control, position) = "{control} is at {position}";
        cannot_stand_at(worked, asked) = "{worked} cannot stand at {asked}";
        cannot_go_to_while(worked, asked, join) = "{worked} cannot go to {asked} while {join}";
    }

    KeptWords {
        not_there() = "not there";
        with_is_and_should_be(setting, named, does, word) = "with {setting}, {named} is {does} and should be {word}";
        everything_at_rest() = "everything at rest";
    }

    PromisedWords {
        not_now() = "not now";
    }

    TrialWords {
        this_part() = "This part";
        has_nothing_to_work(label) = "{label} has nothing to work";
        follows_the_engine(label) = "{label} follows the engine: choose what that does under Engine, in the list of controls";
        has_only_one_position(name) = "{name} has only one position";
    }

    WorkerWords {
        the_check_failed_on_this_car() = "The check failed on this car; the drawing itself is safe";
    }
}
