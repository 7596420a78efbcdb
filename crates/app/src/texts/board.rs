//! What is done with pointer and keys on the sheet.

use super::texts;

texts! {
    Board {
        at_rest() = "Drag from a terminal for a wire · a part to move it · a wire to bend it · empty paper to select";
        moves_end(wire) = "A drag moves this end of {wire}; click empty paper first to run a new wire from here";
        runs_another(wire) = "A drag runs another wire from here; the plate on {wire} moves its end";
        key_not_taken(key, command) = "{key} is the key of “{command}”: click the sheet first, so that nothing meant for a field changes what is selected";
        bending() = "Let go where the wire shall run · in line with its neighbours its corners go · Escape puts it back";
        bending_by_keys() = "Arrows move the stretch, or go to the next one · Insert cuts it · Delete takes it out · Enter puts it down · Escape puts it back";
        run_wire() = "run a wire";
        tap_wire() = "tap a wire";
        join_up_wire(wire) = "join up wire {wire}";
        plug_wire(wire) = "plug wire {wire} elsewhere";
        drop_on_a_terminal(part) = "A wire ends on a terminal: drop it on one of those of {part}";
        loose_ends_need_a_joint() = "Two loose ends need a joint between them; place one from the shelf";
        wire_needs_two_ends() = "A wire needs two different ends; drop it on another terminal";
        cannot_tap() = "That wire cannot be tapped here";
        run_from(terminal) = "Run a wire from {terminal}";
        run_from_here() = "Run a wire from here";
        plug_elsewhere() = "Plug an end elsewhere";
        plug_end(terminal) = "The end at {terminal}";
        its_line() = "Its line";
        mark(standing) = "Mark {standing}";
        join_loose_end() = "Join the loose end up";
        add_corner() = "Add a corner here";
        remove_corner() = "Take this corner out";
        end_of_wire(wire, terminal) = "End of wire {wire} at {terminal}";
        no_terminal() = "This sheet has no terminal to run a wire from";
        select_a_wire_to_tap() = "Select one wire first; then it can be tapped";
        route_anew(wires) = "route {wires} anew";
        routed_already() = "The program routes what is selected already";
        move_rows(rows) = "move {rows}";
        one_note() = "a note";
        many_notes(n) = "{n} notes";
        and(rows, others) = "{rows} and {others}";
        copied(rows) = "Copied {rows}";
        copied_without(rows, wires) = "Copied {rows}; {wires} to other parts not among them";
        nothing_to_copy() = "Copying takes parts and the wires between them, and notes; select a part or a note first";
        add_note() = "add a note";
        write_note() = "text of a note";
        new_note() = "Note";
        frame_group() = "frame a group";
        new_frame() = "Group";
        frame_what() = "Select the parts first that the frame shall go around";
        note() = "Note";
        note_text() = "Text of the note";
        frame() = "Frame";
        frame_title() = "Title of the frame";
        note_named(text) = "Note {text}";
        frame_named(text) = "Frame {text}";
        note_says() = "Stands on the sheet and on paper; nothing is judged by it";
        frame_says() = "Drag it by its title, and what stands inside comes along";
        notes_are_comments() = "A sketch has no places: notes and frames on sheets are kept as comments only";
        place_part() = "place a part";
        sets_down(n_parts) = "Setting {n_parts} parts down …";
        cut_in(kind, wire) = "cut {kind} into wire {wire}";
        cannot_stand_in_a_wire(kind) = "{kind} has no two terminals that pass current on, so it cannot stand in a wire";
        cut_in_here() = "Cut in here";
        another_kind() = "Another kind…";
        counter_cuts_in(wire) = "Cut into wire {wire}";
        select_a_wire_to_cut() = "Select one wire first; then a part can be cut into it";
        bend_wire(wire) = "bend wire {wire}";
        take_corner_out(wire) = "take a corner out of wire {wire}";
        corner_is_needed() = "The ends of the wire need this corner; move a part, or drag the stretch";
        wire_gone() = "That wire is gone";
        wire_goes_on(wire) = "Wire {wire} goes on, on another sheet: its short piece here is drawn by the program";
        wire_has_no_line(wire) = "Wire {wire} has no line on this sheet";
        select_one_wire() = "Select one wire first; then its stretches can be moved";
    }

    Proposes {
        heading() = "Proposed";
        filled_in() = "Filled in for you";
        take() = "Fill in";
        take_this(what) = "Fill in the proposed {what}";
        keep() = "Keep";
        keep_this(what) = "Keep the {what} that was filled in";
        keep_all(key) = "Keep all  {key}";
        one_of_many() = "Something is proposed for one of these wires";
        many(wires) = "Something is proposed for {wires} of these wires";
        take_all(key) = "Fill in all  {key}";
        colour() = "Colour";
        size() = "Size";
        near_fitting() = "Near end";
        far_fitting() = "Far end";
        fitting_at(end) = "{end} fitting";
        by_job() = "of its job";
        by_terminal(part) = "for {part}";
        as_battery_cable() = "as battery cable is";
        for_load(amps) = "for its load of {amps}";
        for_fuse(amps) = "for the {amps} fuse";
        as_neighbour() = "as the wires that it meets, or the least that is usual";
        look_first() = "This is what the job asks for, not what was seen: look at the car first";
        taken(wires) = "fill in what is proposed for {wires}";
        kept(wires) = "What is proposed for {wires} stays";
        sizes_follow(wires) = "Proposed sizes follow what hangs on them: {wires}";
        nothing() = "Nothing is proposed for what is selected; select a wire of which something is not known";
    }
}
