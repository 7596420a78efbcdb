//! The desk around the sheet: history, lining up, what belongs together.

use super::texts;

texts! {
    Arranged {
        needs_two() = "Lining up takes two parts or more; select them first";
        needs_three() = "Spreading takes three parts or more; select them first";
        is_so() = "They are in line already: nothing has to move";
        lined_up(what) = "line up {what}";
        spread(what) = "spread {what}";
    }

    Steps {
        heading() = "History";
        first() = "As opened";
        undone(label) = "Undone: {label}";
        done_again(label) = "Done again: {label}";
        stands_after(label) = "The car as it was after: {label}";
        stands_as_opened() = "The car as it was opened";
        row(label) = "Step {label}";
        keys() = "Up and Down go from step to step · Enter closes";
        button() = "History";
        pen(standing) = "What you draw now is {standing}";
        place(part) = "place {part}";
        run(wire) = "run wire {wire}";
        tap(tapped, wire) = "tap wire {tapped} with {wire}";
        tap_many(tapped, wire) = "tap wires {tapped} with {wire}";
        tap_only(tapped) = "tap wire {tapped}";
        paste(row) = "paste {row}";
        paste_parts(parts) = "paste {parts} parts";
        paste_parts_and_wires(parts, wires) = "paste parts ({parts}) and wires ({wires})";
        size_of_many(wires) = "size of {wires}";
        colour_of_many(wires) = "colour of {wires}";
        length_of_many(wires) = "length of {wires}";
        of_so_many(some, all) = "{some} of {all} wires";
        cable_left_out(wire) = "{wire} is a battery cable or a strap and keeps its size; change it by itself";
        cables_left_out(wires) = "{wires} are battery cables or straps and keep their size; change them by themselves";
        loom_left_out(wires) = "{wires} are no battery cables and keep their size; change them by themselves";
    }

    Deleting {
        mark(rows) = "mark {rows} to remove";
        mark_and_delete(rows, others) = "mark {rows} to remove, and delete {others}";
        rub_out() = "rub out";
        is_marked(rows, key) = "{rows} is to be removed by the alteration; {key} again rubs it out of the drawing";
        are_marked(rows, key) = "{rows} are to be removed by the alteration; {key} again rubs them out of the drawing";
        with_its_wire(part) = "{part} and its wire";
        with_its_wires(part, wires) = "{part} and its {wires} wires";
        with_wire(rows) = "{rows} with one wire that ended there";
        with_wires(rows, wires) = "{rows} with {wires} wires that ended there";
        deleted(rows, key) = "Deleted {rows}; {key} brings them back";
    }

    Found {
        wire(label) = "Wire {label}";
        terminal(name) = "Terminal {name}";
        terminal_of(name, part) = "Terminal {name} of {part}";
        on_sheet(sheet) = "on sheet {sheet}";
        colour_on_sheet(colour, sheet) = "{colour} · {sheet}";
        no_colour() = "colour not known";
        din(din) = "DIN 72552: {din}";
        terminal_tip(place, says) = "{place}: {says}";
        terminal_din(din, sheet) = "DIN {din}, on sheet {sheet}";
        at(n, of, title) = "{n} of {of}: {title} · F3 goes on, Shift and F3 back";
        only(title) = "{title}: nothing else answers";
        nothing(asked) = "Nothing on the sheets answers to “{asked}”";
        ask() = "A part, a wire's number or colour, a terminal";
        keys() = "Up and Down choose · Enter takes · Shift and Enter add one and go on · Escape closes";
        go_to() = "Go to";
        go_to_many(count) = "Go to one of {count}";
        place() = "Place";
        fit() = "Fit a kit";
        place_one() = "place one";
    }

    Measured {
        cable() = "Cable";
        carries() = "Carries at most";
        loses() = "Loses at most";
        apart() = "Apart on paper";
        amps_in(amps, label) = "{amps}, in {label}";
        volts(volts) = "{volts} V";
        some_unknown(known, count) = "{known}, and {count} not known";
        none_known() = "not known";
        no_chain() = "leads not in a row";
        no_chain_tip() = "What is lost is told of leads that follow one another, each from the end of the last";
        not_checked() = "not worked out";
        across_and_down(across, down) = "{across} mm across, {down} mm down";
        several() = "several";
    }

    Looking {
        before() = "Before";
        both() = "Both";
        after() = "After";
        before_tip() = "Shows the car as found";
        both_tip() = "Shows all, the alteration marked";
        after_tip() = "Shows the car after the alteration";
        select_one_first() = "Select one part, wire or note in Draw first";
        shown_before() = "This is the car as found; what is to fit is out of sight";
        shown_after() = "This is the car after the alteration; what is to remove is out of sight";
        shown_both() = "This is all of it, the alteration marked";
        back_to_both() = "What you drew would be out of sight, so both versions are shown again";
        show_name(version) = "Show {version}";
        choose_tip(key) = "The car before and after the alteration, or both; {key} goes from one to the next";
        overview() = "Overview of the sheet";
        close_overview() = "Put the overview away";
        close_overview_tip(key) = "Puts the overview away; the menu or {key} brings it back";
        overview_is_away(key) = "The overview is put away; {key} or the menu brings it back";
        overview_is_back() = "The overview comes back wherever much of the sheet is out of view";
        overview_tip() = "All of the sheet; press or drag here to look elsewhere";
    }

    Changed {
        part_new(count) = "{count} part new";
        parts_new(count) = "{count} parts new";
        part_changed(count) = "{count} part changed";
        parts_changed(count) = "{count} parts changed";
        part_gone(count) = "{count} part gone";
        parts_gone(count) = "{count} parts gone";
        wire_new(count) = "{count} wire new";
        wires_new(count) = "{count} wires new";
        wire_changed(count) = "{count} wire changed";
        wires_changed(count) = "{count} wires changed";
        wire_gone(count) = "{count} wire gone";
        wires_gone(count) = "{count} wires gone";
        note_new(count) = "{count} note new";
        notes_new(count) = "{count} notes new";
        note_changed(count) = "{count} note changed";
        notes_changed(count) = "{count} notes changed";
        note_gone(count) = "{count} note gone";
        notes_gone(count) = "{count} notes gone";
        frame_new(count) = "{count} frame new";
        frames_new(count) = "{count} frames new";
        frame_changed(count) = "{count} frame changed";
        frames_changed(count) = "{count} frames changed";
        frame_gone(count) = "{count} frame gone";
        frames_gone(count) = "{count} frames gone";
        others() = "other facts of the car";
        nothing() = "nothing that is drawn";
    }

    Together {
        nothing() = "Select a wire or a part first";
        joined(what) = "One connection: {what}";
        circuit(what) = "One circuit: {what}";
        elsewhere(count) = "{count} more on other sheets";
    }
}

impl Looking {
    /// What is shown now.
    pub(crate) const fn shown(version: Option<loomwright_circuit::Version>) -> &'static str {
        match version {
            None => Self::shown_both(),
            Some(loomwright_circuit::Version::Before) => Self::shown_before(),
            Some(loomwright_circuit::Version::After) => Self::shown_after(),
        }
    }
}
