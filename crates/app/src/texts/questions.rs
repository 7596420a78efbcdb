//! Questions that wait for an answer.

use super::texts;

texts! {
    Asked {
        loomwright_is_for_planning_it() = "Loomwright is for planning. It cannot see your car, and it never says that an alteration is legal or approved.";
        disconnect_the_battery_before_you() = "Disconnect the battery before you work: the earthed post first, and join it up last.";
        a_lead_acid_battery_gives_hundreds() = "A lead-acid battery gives hundreds of amps into a spanner. Take off rings and watch straps; cover the live post.";
        batteries_give_off_gas_and_tanks() = "Batteries give off gas and tanks give off vapour: no sparks, no flame, good air, and a fire extinguisher at hand.";
        never_rely_on_a_jack_use() = "Never rely on a jack: use stands. Let hot parts cool before you reach past them.";
        lamps_indicators_and_horns_fall() = "Lamps, indicators and horns fall under the road law and inspection rules of your country: look them up.";
        where_you_are_unsure_have_a() = "Where you are unsure, have a competent auto-electrician look before the battery goes back on.";
        save_the_changes() = "Save the changes?";
        this_car() = "This car";
        has_changes_that_are_not_saved(name) = "{name} has changes that are not saved.";
        do_not_save() = "Do not save";
        cancel() = "Cancel";
        save() = "Save";
        before_you_touch_the_car() = "Before you touch the car";
        i_have_read_this() = "I have read this";
        open_which_file() = "Open which file?";
        open() = "Open";
        save_as_which_file() = "Save as which file?";
        write_the_pack_into_which_folder() = "Write the pack into which folder?";
        write() = "Write";
        take_page_templates_from_which() = "Take page templates from which folder?";
        take() = "Take";
        path() = "Path";
        this_desktop_offers_no_file_dialog() = "This desktop offers no file dialog, so type the path here.";
        that_did_not_work() = "That did not work";
        close() = "Close";
    }

    AcceptWords {
        accept_this_finding() = "Accept this finding?";
        why_it_may_stay_as_it() = "Why it may stay as it is";
        reason() = "Reason";
        accepted_by() = "Accepted by";
        it_is_kept_in_the_car(percent) = "It is kept in the car file with its figures and today's date, printed in the papers, and counts as open no longer. It comes back once a figure differs by more than {percent} %, or its level changes.";
        cancel() = "Cancel";
        accept() = "Accept";
    }

    CourseWords {
        the_rules_as_a_course() = "The rules, as a course";
        each_lesson_builds_on_those_before() = "Each lesson builds on those before it; a rule opens with a click.";
        close() = "Close";
        rule(code, title) = "Rule {code}: {title}";
        lessons() = "Lessons";
        rule_before() = "Rule before";
        next_rule() = "Next rule";
    }

    PromiseWords {
        promise_what_is_shown() = "Promise what is shown?";
        whenever() = "Whenever";
        it_must_be_so_that() = "It must be so that";
        this_car_has_no_lamp_motor() = "This car has no lamp, motor or relay yet";
        cancel() = "Cancel";
        promise() = "Promise";
    }

    UsualWords {
        the_usual_promises_for_what_this() = "The usual promises for what this car has";
        tick_what_shall_hold_in_every() = "Tick what shall hold in every setting. A broken one becomes a finding.";
        make_1_promise() = "Make 1 promise";
        make_promises(n) = "Make {n} promises";
        cancel() = "Cancel";
        would_be_kept() = "would be kept";
        would_be_broken() = "would be broken";
        not_known() = "not known";
    }

    RuleWords {
        as_a_sketch() = "The same as a sketch";
        as_a_sketch_tip() = "Circuits as text, for the command line and for whoever writes rules; a line that is marked is one that the rule finds";
        the_example_as_a_drawing() = "The example as a drawing";
    }
}
