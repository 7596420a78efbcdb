//! The commands: what menus and buttons call them, and the sentence that says what each does.

use super::texts;

texts! {
    Called {
        new_car() = "New car";
        open() = "Open…";
        save() = "Save";
        save_as() = "Save as…";
        export_pack() = "Export pack…";
        print() = "Print pack";
        print_page() = "Print this page";
        undo() = "Undo";
        redo() = "Redo";
        cut() = "Cut";
        copy() = "Copy";
        paste() = "Paste";
        duplicate() = "Duplicate";
        delete() = "Delete";
        select_all() = "Select all";
        turn() = "Turn";
        mirror() = "Mirror";
        run_wire() = "Run a wire";
        parts_counter() = "Parts counter…";
        switch_pen() = "Switch pen";
        draw() = "Draw";
        try_out() = "Try";
        papers() = "Papers";
        rest() = "All to rest";
        zoom_in() = "Nearer";
        zoom_out() = "Farther";
        full_size() = "Actual size";
        whole_sheet() = "Whole sheet";
        add_sheet() = "New sheet";
        next_sheet() = "Next sheet";
        previous_sheet() = "Previous sheet";
        switch_scheme() = "Day or night";
        keys() = "Keys";
        course() = "Rules, as a course";
        cautions() = "Cautions";
        cancel() = "Cancel";
        quit() = "Quit";
    }

    Does {
        new_car() = "Starts an empty car file";
        open() = "Opens a car file, or arranges a sketch as a drawing";
        save() = "Saves the car file; the version before stays beside it";
        save_as() = "Saves the car file under another name";
        export_pack() = "Writes the garage pack into a folder";
        print() = "Prints all pages of the garage pack through the desktop";
        print_page() = "Prints the page that Papers shows, alone";
        undo() = "Takes the last step back";
        redo() = "Does the step again that was taken back";
        cut() = "Copies the selection and deletes it";
        copy() = "Copies the selected parts with the wires between them";
        paste() = "Pastes what was copied, from this car or another";
        duplicate() = "Sets a copy of the selection beside it";
        delete() = "Deletes the selection; with the to-fit pen, as-found rows are marked to remove";
        select_all() = "Selects all parts and wires of this sheet";
        turn() = "Turns the selected parts a quarter clockwise";
        mirror() = "Mirrors the selected parts left to right";
        run_wire() = "Runs a wire from terminal to terminal with the arrow keys";
        parts_counter() = "Finds parts on the sheets, and part types to place, by name";
        switch_pen() = "Changes between drawing what is there and what is to fit";
        draw() = "Draws the circuit";
        try_out() = "Works the switches and shows what flows";
        papers() = "Shows the pages for the garage";
        rest() = "Puts every control back to its rest position";
        zoom_in() = "Shows the drawing larger";
        zoom_out() = "Shows the drawing smaller";
        full_size() = "Shows the drawing at about its size on paper";
        whole_sheet() = "Shows all that is on the sheet";
        add_sheet() = "Adds a sheet to the drawing";
        next_sheet() = "Shows the next sheet";
        previous_sheet() = "Shows the sheet before";
        switch_scheme() = "Changes between light paper and dark";
        keys() = "Lists the keys and what they do";
        course() = "Lessons, each with the rules that follow from it and their examples";
        cautions() = "What to heed before working on a car's wiring";
        cancel() = "Gives up what is going on, or drops the selection";
        quit() = "Closes the window; asks first if something is not saved";
    }
}
