//! The sheet on the screen.

use super::texts;

texts! {
    Canvas {
        reading(name, says) = "{name} {says}";
        nothing_of_this_sheet_is_left() = "Nothing of this sheet is left after the alteration";
        nothing_of_this_version_is_here() = "Nothing of this sheet belongs to what is shown: choose Both to see all of it";
        an_empty_sheet() = "An empty sheet";
        drag_a_part_here_from_the() = "Drag a part here from the shelf, or press Ctrl+F and ask for it by name";
        then_drag_from_one_terminal_to() = "Then drag from one terminal to another to run a wire";
    }

    LeftOuts {
        come_nearer(what) = "Left out here: {what} · come nearer, or point at it";
        currents_of(wires) = "No room for the current of {wires}: point at it";
        both(what, wires) = "Left out here: {what}, the current of {wires} · come nearer, or point at it";
        all() = "Words are too small to be read here: come nearer";
        polarity() = "plus and minus";
        names() = "names of parts";
        figures() = "figures of parts";
        wires() = "numbers of wires";
        amps() = "currents";
        terminals() = "numbers of terminals";
        onward() = "where wires go on";
    }

    Marks {
        terminal(name, label) = "Terminal {name} of {label}";
        part(label) = "Part {label}";
        tag(n, title) = "Tag {n}: {title}";
        tag_alone(n) = "Tag {n}";
        wire_goes_on_on_another_sheet(label) = "Wire {label} goes on, on another sheet";
        wire(label) = "Wire {label}";
        loose_end_of_wire(label) = "Loose end of wire {label}";
    }
}
