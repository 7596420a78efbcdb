//! Try: the meter, what is wrong, what opens, the record of moves.

use super::texts;

texts! {
    Meters {
        heading() = "Meter";
        off() = "off";
        off_tip() = "The meter lies on the bench";
        how_to() = "Choose V, A or Ω; two clicks on the sheet then set both probes";
        volts() = "V";
        amps() = "A";
        ohms() = "Ω";
        red() = "Red probe";
        black() = "Black probe";
        in_hand() = "in hand";
        nowhere() = "nowhere yet";
        nowhere_short() = "nowhere";
        click_sets_red() = "a click sets the red probe here";
        click_sets_black() = "a click sets the black probe here";
        moves_next(stands) = "{stands}, moved by the next click on a terminal";
        probe_tip(colour) = "Takes the {colour} probe in hand; a click on a terminal, an earth or a wire sets it down, and further clicks on terminals move it on. With the keyboard: R or B on what is focused";
        stands(probe, place) = "{probe}: {place}";
        reads(shows) = "Meter reads {shows}";
        at_end(wire, at) = "{wire} at {at}";
        at_loose_end(wire) = "{wire}, loose end";
        end_off(wire, at) = "{wire}, off {at}";
        set_red() = "Set the red probe down: click a terminal, an earth or a wire";
        set_black() = "Set the black probe down: click a terminal, an earth or a wire";
        to_earth(probe, place) = "{probe} on {place}";
        to_earth_tip() = "Sets it on the battery's earthed post, from which volts are counted";
        needs_amps() = "Set the probes on both ends of an open circuit, or one of them on an end of a wire";
        adrift(place) = "Nothing joins {place} to the battery: a good meter wanders about 0 V";
        adrift_bare(place) = "No wire is on {place}, so nothing joins it to the battery: a good meter wanders about 0 V";
        through_part(place) = "No wire is on {place}: what is read there comes through the part itself";
        no_bulb(part) = "{part} has no bulb: no current flows there, so one contact reads all the volts of its feed and the other those of its earth";
        no_bulb_ohms(part) = "{part} has no bulb: nothing joins its contacts";
        read_along(part, figure) = "Other ways between the probes are read along: {part} alone, its wire taken off, reads {figure}";
        power_on() = "Ohms are read with the battery off: with it on, a meter shows nonsense and may be spoilt";
        still_live(volts) = "Ohms cannot be read with {volts} between the probes: stop the engine";
        take_battery_off() = "Take the battery's leads off";
        battery_on_again() = "Put the battery's leads back on";
        over_range(amps) = "Over {amps} A: the meter's own fuse would blow. Use a clamp";
        short() = "Short circuit across the battery! Take a probe off";
        less_flows(asked, taken) = "{asked} with all in place; more, since less flows: {taken}";
        in_series() = "In a row with the wire, in place of its end";
        across() = "It joins its probes, as part of the circuit";
        swings(least, greatest) = "swings between {least} and {greatest}";
        should_be(least, greatest) = "should be {least} to {greatest}";
        should_be_about(figure) = "should be {figure}";
        should_be_nothing() = "should read nothing that counts";
        should_be_open() = "should read no end";
        open() = "no end";
        as_it_should() = "right";
        too_low() = "too low";
        too_high() = "too high";
        other_way() = "the other way round";
        not_so() = "it is not so";
        no_figure() = "– – –";
        in_place(fuse) = "Amps in place of {fuse}";
        in_place_tip() = "Pulls the fuse and sets the meter's probes where it was";
        place_red() = "Red probe here";
        place_black() = "Black probe here";
        place_red_on_wire() = "Red probe on it, then on its other end";
        place_black_on_wire() = "Black probe on it, then on its other end";
    }

    Wrongs {
        nothing() = "Nothing let go wrong";
        nothing_tip() = "All is as it is drawn; whether that is sound is being checked";
        nothing_here() = "Nothing wrong now";
        nothing_here_tip() = "All is as it is drawn, and the findings tell of no danger or fault while the controls stand as they do now";
        found_now(findings) = "{findings} now";
        found_now_at(findings, place) = "{findings} now, {place}";
        found_now_tip() = "While the controls stand as they do now. A click shows the first in its place and in the list of findings";
        found_with_battery(findings) = "{findings} once the battery is on";
        found_with_battery_at(findings, place) = "{findings} once the battery is on, {place}";
        found_with_battery_tip() = "The battery's leads are off: with them on and the controls as they stand now. A click shows the first in its place and in the list of findings";
        found_otherwise(findings) = "{findings} otherwise";
        found_otherwise_at(findings, place) = "{findings} in other settings, {place}";
        found_otherwise_tip() = "While the controls stand otherwise. A click works the switches that lead to the first, and shows it";
        on_this_sheet() = "on this sheet";
        on_sheet(number) = "on sheet {number}";
        on_sheets(numbers, last) = "on sheets {numbers} and {last}";
        try_one() = "Select what shall fail";
        try_one_tip() = "Select a wire, a fuse or a lamp: below its readings stands what can go wrong with it";
        mend_all() = "Mend all";
        mend_all_of(n) = "Mend all {n}";
        tip() = "Never saved with the car. Take the tick away to mend it";
        what_if_so() = "Let something go wrong";
        fuse_out() = "Pull the fuse";
        fuse_out_of(ends) = "Pull fuse {ends}";
        bulb_out() = "Take the bulb out";
        lead_off(at) = "Take it off {at}";
        touches(metal) = "Let it chafe through to {metal}";
        breaks() = "Let it break";
        unplug() = "Pull it apart";
        flat() = "Let it run flat";
        battery_off() = "Take its leads off";
        earth_poor(ohms) = "Let its earth corrode to {ohms} Ω";
        stuck_in() = "Let it stay pulled in";
        stuck_out() = "Let it fail to pull in";
        new_fuse() = "Fit a new fuse";
        state_out() = "out of its holder";
        state_some_out(n, all) = "{n} of {all} out";
        state_no_bulb() = "no bulb";
        state_apart() = "pulled apart";
        state_broken() = "broken";
        state_off() = "one end off";
        state_both_off() = "both ends off";
        state_touches(metal) = "touches the {metal}";
        state_overloaded() = "overloaded";
        is_out(fuse) = "{fuse} is out of its holder";
        has_no_bulb(part) = "{part}: the bulb is out";
        is_off(wire, at) = "{wire} is off {at}";
        is_apart(part) = "{part} is pulled apart";
        is_flat(part) = "{part} is flat";
        leads_off() = "The battery's leads are off";
        blew(fuse, why) = "{fuse} blew: {why}";
    }

    Opens {
        why(amps, time) = "{amps}, in {time} at most";
        why_into(amps, into, time) = "{amps}, most of it into {into}, in {time} at most";
        touching(wire, metal) = "{wire} where it touches {metal}";
        will(fuse, amps, time) = "{fuse} carries {amps} and opens within {time}";
        left(time) = "{time} left";
        burns(wires, times) = "No fuse saves {wires}, which would burn: up to {times} times the load";
        burn_with_more(wires, n, times) = "No fuse saves {wires} and {n} more, which would burn: up to {times} times the load";
        now() = "Do not wait";
        blew(fuse, why) = "{fuse} has opened: {why}";
    }

    Records {
        heading() = "Steps";
        named(n, step) = "Step {n}: {step}";
        one_step() = "1 step";
        all_steps(n) = "All {n} steps";
        all_steps_tip() = "Lists every step, to stand after any of them";
        none() = "No steps yet";
        none_tip() = "Each control that you work stands here as a step: to go back to, to play again and to save";
        at_rest() = "at rest";
        rest_tip() = "Stands at rest, before the first step";
        move_tip() = "Stands as after this step";
        back() = "Step back";
        forth() = "Step forward";
        play() = "Play";
        stop() = "Stop";
        play_tip() = "Plays the steps from where it stands; from rest where all of them are made";
        slow() = "slow";
        steady() = "normal";
        quick() = "fast";
        pace_tip() = "Speed of Play: how fast the steps follow one another";
        keep() = "Save…";
        keep_tip() = "Saves these steps under a name on this computer, to play them again on this car; the car file stays as it is";
        name() = "Name for these steps";
        keep_it() = "Save";
        kept() = "Saved";
        kept_tip() = "Steps that were saved for this car: a click gets them ready to play";
        take_up(name, n_moves) = "{name} ({n_moves})";
        forget(name) = "Throw {name} away";
        is_kept(name) = "The steps are saved as {name}";
        needs_name() = "Steps that are saved need a name";
        needs_moves() = "There are no steps to save";
        left_out(step) = "{step} cannot be made now and is left out";
        met() = "The controls stand as the promise asks";
        not_met() = "No setting of this car is the one that the promise asks for";
        step(control, position) = "{control} {position}";
        put_aside() = "A later step is put aside: the button beside the steps brings it back";
        put_aside_many(n) = "{n} later steps are put aside: the button beside the steps brings them back";
        bring_back(n) = "Bring back {n}";
        bring_back_name(n) = "Bring back {n} steps";
        bring_back_one() = "Bring back 1 step";
        bring_back_tip() = "These steps gave way to another: brings them back and stands where you went on from. They stay until you save the steps or close the car";
    }

    Tries {
        in_hand_red() = "A click on a terminal, an earth or a wire sets the red probe down · Escape lays it aside";
        in_hand_black() = "A click on a terminal, an earth or a wire sets the black probe down · Escape lays it aside";
        hint_red() = "A click on a terminal moves the red probe there, one on the middle of a switch works it";
        hint_black() = "A click on a terminal moves the black probe there, one on the middle of a switch works it";
        goes_on(key) = "The controls stand as you left them; {key} puts all to rest";
        hint() = "Click a switch to work it · right-click for more · K to the controls · Backspace puts all to rest";
        nothing_here() = "Nothing here can be worked or measured: right-click a switch, another part or a wire";
        outlined(n_wires) = "Outlined: all that is live now, {n_wires} wires of this sheet";
        carries() = "Carries";
        carries_near() = "Carries at its near end";
        carries_far() = "Carries at its far end";
        not_there() = "not there";
        backwards(amps) = "{amps}, towards its near end";
        load() = "Load";
        load_of(share, rating) = "{share} % of {rating}";
        promises_kept(kept) = "{kept} kept";
        promises_broken(broken) = "{broken} broken";
        promises_not_now(others) = "{others} for other settings";
        promise_click() = "Click to bring its setting about.";
    }
}
