//! The key list: headings, how a key is changed, and what came of it.

use super::texts;

texts! {
    Grouped {
        files() = "Files";
        steps() = "Steps and copies";
        drawing() = "Drawing";
        car() = "The car";
        trying() = "Try";
        looking() = "Looking";
        help() = "Help";
    }

    Keyed {
        heading() = "Keys";
        how() = "Press a row, then the key that you want for it. Escape leaves it as it is.";
        waiting() = "Press the key…";
        none() = "none";
        taken(command, key) = "“{command}” has {key} now";
        clashes(key, owner) = "{key} is the key of “{owner}”.";
        reserved(key) = "{key} belongs to the desktop or to moving about; choose another";
        is_fixed(command) = "“{command}” keeps its key: the desktop's own programs have the same";
        take_it() = "Take it from there";
        leave_it() = "Leave it";
        restored(command) = "“{command}” has its usual key again";
        usual_clashes(command, key, owner) = "The usual key of “{command}”, {key}, belongs to “{owner}” now; change that first";
        all_restored() = "All keys are as they came";
        restore() = "Usual";
        restore_name(command) = "Usual key for {command}";
        restore_tip(key) = "Goes back to {key}";
        restore_all() = "All as they came";
        row(command, key) = "{command}, key {key}";
        others() = "Elsewhere";
        close() = "Close";
        move_selection() = decimal "Move the selection by 2.5 mm, with Shift by 10 mm";
        wire_on() = "Wire: go on, take it";
        from_thing_to_thing() = "Go from thing to thing, take it";
        move_paper() = "Move the paper";
        zoom() = "Nearer and farther";
        add() = "Add to the selection";
        arrows() = "Arrows";
        arrows_enter() = "Arrows, Enter";
        tab_enter() = "Tab, Enter";
        space_drag() = "Space and drag";
        ctrl_wheel() = "Ctrl and wheel";
        shift_click() = "Shift and click";
    }
}
