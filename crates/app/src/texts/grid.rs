//! The truth table of promises.

use super::texts;

texts! {
    GridWords {
        with_anything(part, says) = "{part} with {says}: anything";
        truth_table_piece() = "truth table piece";
        what_this_car_must_do() = "What this car must do";
        arrows_go_from_cell_to_cell() = "Click a cell to choose what the part must do. By keys: arrows go from cell to cell, the first letter of a word sets it, Delete clears it, Enter shows the choices; Ctrl+Z takes a step back.";
        close() = "Close";
        truth_table() = "truth table";
    }

    CellWords {
        keys_delete_anything_arrows_go_on(join) = "Keys: {join}; Delete clears it; arrows go on, Enter shows the choices";
        delete() = "Delete";
    }

    HeadWords {
        click_takes_it_out() = "Click to take the column out";
        whenever() = "When they stand so";
        it_must_be_so_that() = "each of these must be";
        truth_table_column() = "truth table column";
        column(name) = "Column {name}";
        take_this_column_out() = "Take this column out";
        add_a_column() = "add a column";
        add_a_part() = "Add a part";
        a_column_for_another_lamp_motor() = "A column for another lamp, motor or relay";
        parts_name() = "Part's name";
        find_a_part_for_a_column() = "Find a part for a column";
        every_part_has_its_column() = "Every part has its column";
        no_other_part_is_called_so() = "No other part is called so";
    }

    MarkWords {
        kept_in_every_setting() = "kept in every setting";
        not_met_or_not_in_every() = "its setting never came about, or not all were tried";
        not_met() = "not met";
        being_checked() = "being checked";
        nothing_asked() = "nothing asked";
        nothing_is_asked_yet() = "Nothing is asked yet";
        being_checked_2() = "being checked …";
        broken_first_with(setting) = "broken first with {setting}";
        its_setting_never_comes_about() = "its setting never comes about";
        kept_in_not_all_were_tried(states) = "kept in the {states} tried; more remain";
        kept_in(states) = "kept, {states} tried";
    }

    SettingWords {
        click_chooses() = "Click to choose other positions";
        also_without(join) = "also without {join}";
        fuses_out() = "fuses out";
        setting_of(text, says) = "Setting {text}, of {says}";
        may_stand_anywhere() = "May stand anywhere";
        show_me() = "Show me";
        goes_to_try_and_puts_the() = "Goes to Try and puts the controls where it breaks first";
        show_me_2(says) = "Show me: {says}";
        control() = "+ Control";
        another_control_that_must_stand_so() = "Another control that must stand so";
        add_a_control_to(says) = "Add a control to {says}";
        fuse_out() = "+ Fuse out";
        it_must_hold_with_any_one() = "It must hold with any one of these fuses out too";
        fuses_out_of(says) = "Fuses out of {says}";
        remove() = "Remove";
        remove_the_promise(says) = "Remove the promise: {says}";
        every_control_is_named() = "Every control is named";
        it_must_hold_with_any_one_2() = "It must hold with any one of these out:";
        add_a_row() = "add a row";
        add_a_setting() = "Add a setting";
        a_row_for_the_controls_as() = "A row for the controls as they stand in Try; change them in the row";
    }
}
