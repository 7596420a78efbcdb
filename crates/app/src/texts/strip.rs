//! The bars: strip, tabs, history, and the line at the bottom.

use super::texts;

texts! {
    StatusWords {
        these_pages_go_to_the_garage() = "For the garage · Ctrl and wheel go nearer, or a double click · a drag moves the page";
        nearer() = "Nearer";
        zoom() = "Zoom";
        farther() = "Farther";
        fit() = "Fit";
        whole_sheet() = "Whole sheet";
    }

    StripWords {
        no_alteration_yet() = "no alteration yet";
        changes(count) = "{count} changes";
        to_fit(fit) = "{fit} to fit";
        to_remove(remove) = "{remove} to remove";
        to_fit_to_remove(fit, remove) = "{fit} to fit, {remove} to remove";
        unnamed_car() = "Unnamed car";
        on_sheet(number, title) = "Sheet {number}, {title}";
        heading_to_fit() = "To fit";
        heading_to_remove() = "To remove";
        lists_what_the_alteration_brings() = "Lists what the alteration brings and takes away";
        car(name) = "Car {name}";
        there_are_changes_that_are_not() = "There are changes that are not saved";
        nothing_to(text, key) = "Nothing to {text} ({key})";
        menu() = "Menu";
        open_recent() = "Open recent";
        no_files_yet() = "No files yet";
        open_a_demo_car() = "Open a demo car";
        size_of_everything() = "Size of everything";
        shown_smaller(chosen, shown) = "This window has room for {shown} %: {chosen} % is shown as soon as it is larger";
        window_has_room_for(percent) = "This window has room for {percent} %";
    }

    MenuWords {
        file() = "File";
        edit() = "Edit";
        parts_and_wires() = "Parts and wires";
        arrange() = "Arrange";
        view() = "View";
        bench() = "Try";
        help() = "Help";
        select_first() = "Select something on the sheet first";
        is_done_in_draw() = "This is done in Draw";
        is_done_in_try() = "This is done in Try";
    }

    SplitWords {
        name() = "Bar between findings and details";
        tip() = "Drag it, or press Up and Down on it, to give the details or the findings more room; two clicks part them as usual";
    }

    TabWords {
        all_sheets() = "All sheets";
        all_sheets_tip() = "Lists all sheets with their whole titles";
        new_sheet() = "New sheet";
        untitled() = "Untitled";
        sheet(title) = "Sheet {title}";
        rename_this_sheet() = "Rename this sheet";
        erase_this_sheet() = "Erase this sheet";
        erase_sheet(title) = "erase sheet {title}";
        title_of_the_sheet() = "Title of the sheet";
    }

    ModeWords {
        draw() = "Draw";
        says_try() = "Try";
        papers() = "Papers";
    }

    DesktopWords {
        no_window(why) = "cannot open a window: {why}";
        loomwright() = "Loomwright";
        no_display_can_be_reached_the() = "no display can be reached; the commands that 'loomwright --help' lists need none";
        the_display_refuses_one() = "the display refuses one";
        the_display_offers_no_opengl_to() = "the display offers no OpenGL to draw with";
        unnamed_car() = "Unnamed car";
        title(name, mark) = "{name}{mark} – Loomwright";
    }
}
