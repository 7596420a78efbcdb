//! Names of steps, and why an entry was refused.

use super::texts;

texts! {
    AcceptSteps {
        say_why_this_may_stay_as() = "Say why this may stay as it is";
        say_who_accepts_it_a_name() = "Say who accepts it: a name or initials";
        is_accepted(title) = "{title} is accepted";
        withdraw_what_was_accepted() = "withdraw what was accepted";
        it_counts_as_open_again() = "It counts as open again";
    }

    CommandSteps {
        select_something_first() = "Select something first";
        sheet(number) = "Sheet {number}";
        new_sheet() = "new sheet";
    }

    EditSteps {
        insulation_of_wire(label) = "insulation of wire {label}";
        insulation_of_wires(count) = "insulation of {count} wires";
        fitting_of_wire(label) = "fitting of wire {label}";
        voltage_of_the_car() = "voltage of the car";
        earth_polarity() = "earth polarity";
        body_of_the_car() = "body of the car";
        law_of_the_car() = "law of the car";
        colour_code() = "colour code";
        the_clipboard_holds_no_parts_of() = "The clipboard holds no parts of a car";
    }

    FieldSteps {
        title_of_the_sheet() = "title of the sheet";
        a_wire_needs_a_number_such() = "A wire needs a number, such as W12";
        of_wire(what, label) = "{what} of wire {label}";
        a_part_needs_a_label_such() = "A part needs a label, such as Left front indicator";
        is_not_understood_write(text, accepted) = "'{text}' is not understood; write {accepted}";
        what_is_seen_at_the_car() = "what is seen at the car";
        is_not_understood_write_a_number(text, least, greatest, unit) = "'{text}' is not understood; write a number from {least} to {greatest}{unit}";
        is_not_understood_write_a_share(text, least, greatest) = "'{text}' is not understood; write a share from {least} % to {greatest} %";
        first_use_of_the_car() = "first use of the car";
        name_of_the_car() = "name of the car";
        purpose_of_the_alteration() = "purpose of the alteration";
        notes_on_the_car() = "notes on the car";
    }

    GridSteps {
        setting_of_a_promise(when) = "setting of a promise: {when}";
        with_all_fuses_in() = "with all fuses in";
        there_is_a_row_for_already(setting) = "There is a row for {setting} already: change that, or work the controls first";
        remove_the_promise(when) = "remove the promise: {when}";
        no_longer_promised(when) = "No longer promised: {when}";
        ask_nothing_of(column) = "ask nothing of {column}";
        promise_with(named, word, setting) = "promise: {named} {word} with {setting}";
        ask_nothing_of_with(named, setting) = "ask nothing of {named} with {setting}";
    }

    KitSteps {
        could_not_be_drawn_in_this(title) = "“{title}” could not be drawn in this car";
        join_the_loose_end_of_its(title, last) = "{title}: join the loose end of {last}; its note says to what";
        join_the_loose_ends_of_and(title, join, last) = "{title}: join the loose ends of {join} and {last}; their notes say to what";
    }

    PromiseSteps {
        tick_what_must_do_something() = "Tick what must do something";
        this_is_promised_already() = "This is promised already";
        promised(says) = "Promised: {says}";
        the_car_is_still_being_checked() = "The car is still being checked; the usual promises are offered once it is";
        every_promise_that_is_usual_for() = "Every promise that is usual for what this car has is made already";
        usual_promises() = "usual promises";
    }

    PathSteps {
        no_folder(folder) = "there is no folder {folder}";
        new_car() = "New car";
        saved_as(name) = "Saved as {name}";
    }

    SeenSteps {
        what_is_seen_at_the_car() = "what is seen at the car";
    }

    ActionSteps {
        done_on_sheet(title, sheet) = "{title}: done, on sheet {sheet}";
        is_new_on_sheet_marked_to(last, sheet) = "{last} is new on sheet {sheet}, marked to fit";
        and_are_new_on_sheet_marked(join, last, sheet) = "{join} and {last} are new on sheet {sheet}, marked to fit";
    }

    PreviewWords {
        takes_away() = "takes away";
    }

    LibrarySteps {
        cannot_take_in(display) = "cannot take in {display}";
    }
}
