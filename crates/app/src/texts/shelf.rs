//! The shelf and the parts counter.

use super::texts;

texts! {
    CounterWords {
        parts_counter() = "Find or add";
        ask_for_a_part() = "A part, a wire, a terminal";
        nothing_answers_to(trim) = "Nothing answers to “{trim}”";
    }

    ShelfWords {
        find_a_part() = "Find a part…";
        find_a_part_name() = "Find a part";
        no_part_answers_to(trim) = "No part answers to “{trim}”";
        pen() = "What you draw is";
        as_found() = "as found";
        new_parts_and_wires_describe_the() = "New parts and wires describe the car as it is; changing one corrects the record";
        to_fit() = "to fit";
        new_parts_and_wires_are_to() = "New parts and wires are to fit; changing an as-found wire makes a pair: the old one to remove, a new one to fit";
        pen_named(word) = "What you draw is {word}";
        also_called(join) = "Also called {join}";
    }

    KitWords {
        whole_circuits_worked_out_and() = "Whole circuits, worked out and promised for: a click fits one beside what stands";
        kits() = "Kits";
        kit(title) = "Kit: {title}";
    }
}
