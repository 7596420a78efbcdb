//! Files and what is kept: what else happened on the disk, unsaved work, settings.

use super::texts;

texts! {
    OnDisk {
        heading() = "The file on the disk is another one now";
        changed(name, theirs) = "Since you opened or saved it, {name} was changed by somebody else or in another window. Against your drawing it has: {theirs}.";
        unreadable(name, reason) = "Since you opened or saved it, {name} was changed by somebody else, and it is no car file now: {reason}";
        exists(name) = "There is a file {name} already, and it is not the one that is open here.";
        exists_heading() = "Write over that file?";
        backup() = "Whatever is written over stays beside it, under the same name with .bak behind.";
        other_name() = "Save under another name";
        overwrite() = "Write over it";
        look() = "Look at theirs";
        cancel() = "Cancel";
        opening(name) = "Opening {name}…";
        opening_says() = "It is a large file, or it comes from a slow place. The drawing that is open stays until the other one is here.";
        opening_first() = "It is a large file, or it comes from a slow place.";
        opening_give_up() = "Give up";
        sketch() = "The sketch is arranged as a drawing; saving makes a car file of it";
        note(name) = "{name} was changed on the disk since you opened it; saving will ask what to do";
        gone(name) = "{name} is no longer where it was; saving writes it anew";
        templates(name) = "Pages are set with the templates in {name}";
        opened() = "Theirs opens in a window of its own, which says so in its title";
        copy_title(name) = "{name}, the copy on the disk";
        edited() = "edited";
        copy() = "the copy on the disk";
        copy_edited() = "the copy on the disk, edited";
        copy_note(name) = "This window shows {name} as it is on the disk; your own drawing is in the other window";
    }

    Pressing {
        writing() = "Writing the garage pack…";
        printing() = "Printing the garage pack…";
        printing_page() = "Printing this page…";
        so_far(what, done, all) = "{what} {done} of {all} files";
        give_up() = "Give up";
        giving_up() = "Giving up…";
        not_printed() = "Given up; nothing is printed";
        not_written() = "Given up; nothing is written";
        partly_written(done, all, folder) = "Given up; {done} of {all} files are written to {folder}";
        written(count, folder) = "{count} files written to {folder}";
    }

    Kept {
        heading() = "Unsaved work was found";
        last_kept(name, when) = "A run before ended without saving {name}. Its work was last kept {when}.";
        at(clock, ago) = "at {clock} UTC, {ago}";
        on(day, ago) = "on {day}, {ago}";
        unnamed() = "an unnamed car";
        holds(parts, wires) = "It holds {parts} parts and {wires} wires.";
        against(file, changes) = "Against {file} as it is saved: {changes}.";
        never_saved() = "It was never saved as a file.";
        file_gone(file) = "Its file, {file}, cannot be read now.";
        throw_away() = "Throw it away";
        take_up() = "Take it up";
        just_now() = "just now";
        seconds(count) = "{count} seconds ago";
        minutes(count) = "{count} minutes ago";
        hours(count) = "{count} hours ago";
        days(count) = "{count} days ago";
        some_time() = "some time ago";
        settings_damaged(place) = "The settings could not be read, so the usual ones are in use; the damaged file is kept as {place}";
    }

    DialogWords {
        car_files() = "Car files";
        part_types() = "Part types";
        sketches() = "Sketches";
        all_files() = "All files";
        open_a_car_file_or_sketch() = "Open a car file or sketch";
        save_the_car_file() = "Save the car file";
        folder_for_the_garage_pack() = "Folder for the garage pack";
        folder_of_page_templates() = "Folder of page templates";
    }

    KeepingWords {
        unsaved_work_is_not_kept(error) = "Unsaved work is not kept: {error}";
    }
}
