//! The list of findings.

use super::texts;

texts! {
    Lists {
        find() = "Find in the findings";
        find_hint() = "Find in the findings…";
        by_sheet() = "by sheet";
        by_sheet_name() = "List by sheet";
        hidden(counted) = "{counted} hidden";
        list_level(level) = "List {level}";
    }

    FindingWords {
        tried_of_settings(thousands, of) = "tried {thousands} of {of} settings";
        nothing_to_check_yet() = "nothing to check yet";
        checked_there_is_nothing_to_switch() = "checked; there is nothing to switch";
        trying_what_may_fail() = "trying what may fail…";
        of_after() = "The sheet shows the car as found; these are of the car after the alteration";
        every_setting_tried() = "every setting tried";
        every_circuit_tried() = "every circuit tried";
        tried_more_remain(settings) = "{settings} tried, more remain";
        of_the_switches_of_the_car(count, count2) = "{count} of the switches, {count2} of the car";
        nothing_found_the_rules_look_at() = "Nothing found. The rules look at what they know; look yourself too.";
        nothing_found_so_far_what_touches() = "Nothing found so far. What touches and what fails is being looked at.";
        the_whole_car() = "The whole car";
        adds_up_from() = "Adds up from";
        way_of_the_current() = "Way of the current";
        findings() = "Findings";
        not_listed(left_out) = "{left_out} not listed";
        none_answers(findings, asked) = "Of {findings}, none answers to “{asked}”";
    }

    AcceptedWords {
        found_no_longer(code) = "{code}, found no longer";
        was_accepted(reason) = "Was accepted: {reason}";
        accepted() = "Accepted";
        withdraw() = "Withdraw";
        it_counts_as_open_again() = "It counts as open again";
        withdraw_named(id) = "Withdraw {id}";
        show_me() = "Show me";
        show_me_finding(finding_idx) = "Show me, finding {finding_idx}";
    }

    CardWords {
        finding(finding_idx, title) = "Finding {finding_idx}: {title}";
        not_certain() = "How certain it is";
        why_it_matters() = "Why it matters";
        what_to_do() = "What to do";
        shows_where_it_is() = "Shows where it is";
        source(source) = "Source: {source}";
        read_all_of_rule(code) = "Read all of rule {code}";
        read_rule_finding(code, finding_idx) = "Read rule {code}, finding {finding_idx}";
        enter_length(wire) = "Enter the length of {wire}";
        enter_size(wire) = "Enter the size of {wire}";
        it_hangs_on_that() = "It hangs on that whether this stands";
        the_drawing_shows_what_this_would() = "The drawing shows what this would change";
        no_fix(why) = "No single click mends this: {why}.";
        show_me() = "Show me";
        goes_to_try_with_the_moves() = "Goes to Try and works the switches that show it";
        goes_to_try_with_the_fault() =
            "Goes to Try, works the switches and lets fail what has to fail for it to show";
        goes_to_the_place_on_the() = "Goes to the place on the drawing";
        accept() = "Accept …";
        leaves_it_as_it_is_with() = "Leaves it as it is, with a reason that is kept";
        accept_with_a_reason() = "Accept with a reason";
        less() = "Less";
        why() = "Why?";
        the_rule_behind_it_and_where() = "The rule behind it, and where it comes from";
    }
}
