//! What several rules say alike.

use super::messages;

messages! {
    Common {
        practice() = "practice";
        fix_relay() = "Let a relay carry it, on a feed of its own";
        change_leads_over() = "Change its leads over";
        hours(n) = "{n:.0} hours";
        run_thicker_cable() = "Run thicker cable";
        run_thicker_cables() = "Run thicker cables";
        practice_thermal_flasher() =
            "practice: a thermal flasher unit works with the lamps it is made for";
        most_at(volts, place) = "; {volts} of it {place}";
        practice_as_seen() = "practice, on what somebody has seen at the car";
        minutes(n) = "{n:.0} minutes";
        likewise(parts) = "; {parts} likewise";
    }
}
