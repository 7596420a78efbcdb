//! Part types of one's own: the shelf's menu, the editor, what is wrong, the library and its files.

use super::texts;

texts! {
    PartWords {
        new_type() = "New part type…";
        from_file() = "From a file…";
        from_file_tip() = "Takes in part types that somebody has shared as a file; such a file can also be dropped on the window";
        new_type_tip() = "Makes a part type of your own: its terminals, what it does, how it is drawn";
        make_like() = "Make one like this…";
        change_it() = "Change…";
        share() = "Share as a file…";
        keep_mine() = "Keep in my library";
        forget_mine() = "Take out of my library";
        own() = "own";
        own_tip_car() = "Your own part type, carried in this car's file";
        own_tip_library() = "Your own part type, kept in your library";
        own_tip_both() = "Your own part type, kept in your library and carried in this car's file";
        heading_new() = "New part type";
        heading_change(title) = "Change “{title}”";
        page_names() = "Names";
        page_terminals() = "Terminals";
        page_does() = "What it does";
        page_contacts() = "Contact table";
        page_symbol() = "Symbol";
        take() = "Done";
        cancel() = "Cancel";
        undo() = "Undo";
        redo() = "Redo";
        keeps() = "Keep in my library, for every car";
        leave_asks() = "Leave without keeping it? What you made here would be lost.";
        leave_no() = "Go on making it";
        leave_yes() = "Throw it away";
        lose_heading() = "Some of this car would come loose:";
        lose_no() = "Go back";
        lose_yes() = "Change it";
        differs(title) = "Your library has another “{title}” than the one that was changed here. Which one shall the library keep?";
        differs_back() = "Go back";
        differs_both() = "This one, for every car";
        differs_here() = "Its own; this one in this car alone";
        wire_lost(wire, terminal, part) = "{wire} ends at terminal {terminal} of {part}, which is gone: its end would hang loose there";
        promise_lost(when) = "The promise with {when} asks only of terminals that are gone: it would be erased";
        all_well() = "Nothing is wrong with it";
        does_nothing() = "It does nothing yet: nothing inside joins its terminals, so no current can flow";
        idle_one(name) = "Nothing is wrong with it, but nothing inside it leads to terminal {name}";
        idle_many(names) = "Nothing is wrong with it, but nothing inside it leads to terminals {names}";
        wrong_one(says) = "To be put right: {says}";
        wrong_many(count, says) = "{count} things to be put right; the first: {says}";
        field_title() = "Name on the shelf";
        field_title_hint() = "Fog lamp switch";
        field_group() = "Shelf";
        field_nicknames() = "Also called";
        field_nicknames_hint() = "other names, with commas between";
        field_teaches() = "What it is for";
        field_teaches_hint() = "One or two sentences, for somebody who does not know it";
        field_behind() = "As seen from behind";
        field_behind_hint() = "Write the terminals as you see them where the leads go in: one line for each row, a dot for a gap";
        field_stem() = "Called on the sheet";
        field_shows() = "Text beside it";
        field_shows_hint() = "such as {watts} W, with the figure for the braces";
        field_name() = "Short name in files";
        like(title) = "{title}, own";
        terminal_name(n) = "Name of terminal {n}";
        terminal_use(name) = "What {name} is for";
        terminal_use_hint() = "what it is for";
        terminal_din(name) = "Standard number of {name}, by DIN 72552";
        terminal_din_hint() = "none";
        terminal_across(name) = "Place of {name} across, mm";
        terminal_down(name) = "Place of {name} down, mm";
        terminal_side(name) = "Side at which the lead of {name} leaves";
        terminal_fitting(name) = "Usual end fitting at {name}";
        terminal_empty(name) = "{name} may stay empty";
        terminal_drop(name) = "Take terminal {name} out";
        terminal_up(name) = "Terminal {name} one up";
        may_stay_empty() = "The part works with no wire on this terminal";
        add_terminal() = "Add a terminal";
        column_name() = "Name";
        column_use() = "What it is for";
        column_din() = "DIN no.";
        column_side() = "Wire side";
        column_place() = "Across, down";
        column_fitting() = "End fitting";
        column_spare() = "Optional";
        any_fitting() = "any";
        left() = "left";
        right() = "right";
        up() = "up";
        down() = "down";
        add_element() = "Add…";
        add_what(word) = "Add: {word}";
        nothing_yet() = "It does nothing yet. Add what is inside it, between its terminals. If nobody knows what is inside a box, leave it so.";
        element_end(word, end) = "{word}: {end}";
        element_drop(word) = "Take out: {word}";
        element_named(word, n) = "{word} {n}";
        no_terminal() = "—";
        end() = "terminal";
        fed() = "fed at";
        back() = "back at";
        towards_plus() = "towards plus";
        towards_minus() = "towards minus";
        coil_from() = "coil from";
        coil_to() = "to";
        earthed() = "bolted to the body at";
        joined() = "joined";
        another_end() = "One more terminal";
        see_table() = "Its contacts are marked on the page “Contact table”";
        car_volts() = "the car's";
        asked_each() = "for each part";
        figure_named(word, title) = "{word}: {title}";
        fixed_figure() = "always";
        no_tables() = "It has no contacts. Add switch contacts or a relay on the page “What it does”.";
        table_add() = "Add switch contacts";
        shared() = "Works together with";
        shared_hint() = "alone; or a name, such as ignition";
        shared_tip() = "All switches of a car whose control has the same name are worked as one";
        column_position() = "Position";
        column_springs() = "Springs back to";
        stays() = "stays";
        at_rest() = "at rest";
        pulled_in() = "pulled in";
        relay_control() = "relay";
        numbered_relay_control(n) = "relay {n}";
        of_coil(first, second, stands) = "coil {first}–{second} {stands}";
        off() = "off";
        on() = "on";
        position_name(n) = "Name of position {n}";
        position_springs(name) = "Where {name} springs back to";
        position_drop(name) = "Take position {name} out";
        add_position() = "Add a position";
        make_before_break() = "the next contact closes before the last one opens";
        cell(position, terminal) = "{position}, {terminal}: joined to nothing";
        cell_marked(position, terminal, letter) = "{position}, {terminal}: joined, group {letter}";
        table_keys() = "Press a cell to mark it: terminals with the same letter are joined. Letters a, b, c mark at once, Space goes on to the next, Delete clears, arrows go from cell to cell.";
        rest_first() = "rest";
        symbol_ours() = "The program draws this symbol from what the part does. Change a line of it, and from then on it stays as you draw it.";
        symbol_yours() = "You have drawn this symbol.";
        symbol_again() = "Let the program draw it";
        symbol_box() = "Draw a box";
        symbol_box_width() = "Width of the box, mm";
        symbol_box_height() = "Height of the box, mm";
        symbol_from() = "Take the symbol of…";
        add_line() = "Line";
        add_circle() = "Circle";
        add_arc() = "Arc";
        add_letters() = "Letters";
        add_stroke(what) = "Add to the symbol: {what}";
        stroke_line(n) = "Line {n}";
        stroke_outline(n) = "Outline {n}";
        stroke_circle(n) = "Circle {n}";
        stroke_arc(n) = "Arc {n}";
        stroke_letters(n) = "Letters {n}";
        stroke_drop(stroke) = "Take out: {stroke}";
        stroke_heavy() = "thick";
        stroke_thin() = "thin";
        stroke_normal() = "normal";
        stroke_weight(stroke) = "Weight of {stroke}";
        stroke_dashed() = "dashed";
        stroke_filled() = "filled";
        stroke_corner() = "one corner more";
        measure_x() = "across";
        measure_y() = "down";
        measure_radius() = "radius";
        measure_from() = "begins at, degrees";
        measure_sweep() = "goes on for, degrees";
        measure_height() = "height";
        measure_letters() = "letters";
        measure_named(stroke, measure) = "{stroke}: {measure}";
        corner(n) = "corner {n}";
        thing_terminal(name) = "Terminal {name} on the symbol";
        thing_stroke(stroke) = "{stroke} on the symbol";
        thing_corner(stroke, n) = "{stroke}, corner {n}";
        thing_glow(n) = "Light of lamp {n}";
        try_heading() = "Try it";
        try_not_yet() = "It can be tried once what is wrong is mended.";
        try_control(control, position) = "{control}: {position}";
        try_joined() = "Joined inside now:";
        try_none_joined() = "nothing";
        try_too_many(most) = "With more than {most} terminals, only the two probes are read.";
        try_red() = "Red probe";
        try_black() = "Black probe";
        try_open() = "no reading";
        try_between(red, black, reads) = "{red} to {black}: {reads}";
        ohms(value) = "{value} Ω";
        range(least, greatest, unit) = "It must be from {least} to {greatest} {unit}";
        taken(title, group) = "“{title}” stands on the shelf under {group}";
        changed(title) = "“{title}” is changed";
        forgotten(title) = "“{title}” is no longer in your library; cars that have it keep it";
        shared_as(title, file) = "“{title}” is written to {file}";
        took_in(count) = "Taken into your library: {count}";
        had_it(title) = "Your library has “{title}” just so already";
        step_change(title) = "change the part type {title}";
        step_add(title) = "add the part type {title}";
        damaged(reason, file) = "Your own part types could not be read: {reason}. The file stays as it is at {file}";
        set_aside(file) = "The damaged file was set aside as {file}";
        share_title() = "Share the part type as";
        take_in_title() = "Take in part types";
        clash_heading() = "Two part types of one name";
        clash_mine(title) = "You have a part type “{title}”, and the one that comes is called so too, yet it is another.";
        clash_program(title) = "The program brings a part type of that name; the one that comes, “{title}”, is another.";
        clash_keep() = "Keep mine";
        clash_skip() = "Leave it out";
        clash_take() = "Take theirs";
        clash_both() = "Both, theirs under a new name";
    }

    PartKinds {
        contacts() = "Switch contacts";
        lamp() = "Lamp, filament";
        led() = "Lamp, LED";
        motor() = "Motor";
        heater() = "Heater";
        resistor() = "Resistor";
        horn() = "Horn";
        relay() = "Relay: coil and contacts";
        diode() = "Diode";
        fuse() = "Fuse";
        link() = "Link: joined inside";
        earth() = "Earth through its body";
        electronics() = "Electronics";
        battery() = "Battery";
        flasher() = "Flasher";
        meter() = "Meter";
        consumer() = "Consumer";
        generator() = "Generator or its control";
    }

    PartFigures {
        watts() = "Power";
        volts() = "Marked voltage";
        ohms() = "Resistance";
        coil_ohms() = "Coil resistance";
        pull_in() = "Pull-in, share of marked volts";
        drop_out() = "Drop-out, share of marked volts";
        contact_amps() = "Contact rating";
        forward_amps() = "Greatest forward current";
        rating() = "Rating";
    }

    PartFaults {
        no_title() = "It needs a name for the shelf";
        name_of_program(name) = "The program brings a part type “{name}” of its own: give yours another name";
        name_taken(name) = "You have a part type “{name}” already: give this one another name";
        same_place(first, second) = "Terminals {first} and {second} stand at the same place";
        end_missing(word) = "{word}: choose both of its terminals";
        end_twice(word, terminal) = "{word}: both ends are at {terminal}";
        one_position() = "A control has at least two positions";
        control_unnamed() = "With more than one control, each needs a name of its own";
        springs_to_itself(position) = "“{position}” cannot spring back to itself";
        joined_to_nothing(position, terminal, letter) = "In “{position}”, {terminal} is the only one marked {letter}: mark what it is joined to";
        nothing_joined(word) = "{word}: no position joins anything yet";
        terminal_empty() = "A terminal needs a name";
        terminal_twice(name) = "There is a terminal “{name}” already";
        position_empty() = "A position needs a name";
        position_twice(name) = "There is a position “{name}” already";
        no_number(text) = "“{text}” is no number";
        no_place(text, such) = "“{text}” is no place: write mm, such as {such}";
    }
}

impl PartFigures {
    /// All of them.
    pub(crate) const ALL: [&'static str; 9] = [
        Self::watts(),
        Self::volts(),
        Self::coil_ohms(),
        Self::ohms(),
        Self::pull_in(),
        Self::drop_out(),
        Self::contact_amps(),
        Self::forward_amps(),
        Self::rating(),
    ];
}
