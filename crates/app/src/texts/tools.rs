//! What the tools say while they are at work.

use super::texts;

texts! {
    ToolWords {
        selects_what_lies_wholly_inside_the() = "Selects what lies wholly inside the box";
        wires_follow_escape_puts_it_back() = "Wires follow · Escape puts it back";
        end_on_a_terminal_on_a() = "End on a terminal, on a wire to tap it, or on empty paper for a loose end · a sheet's card leads to that sheet · Escape gives up";
        from_which_terminal_click_one_or() = "From which terminal? Click one, or go there by the arrows and take it with Enter · Escape gives up";
        to_which_terminal_click_one_or() = "To which terminal? Click one, or go there by the arrows and take it with Enter · Escape gives up";
        click_to_place_t_turns_m() = "Click to place · T turns, M mirrors · Shift places several · Escape gives up";
        a_part() = "a part";
        a_wire() = "a wire";
    }
}
