//! ST: the starter.

use super::messages;

messages! {
    ST01 {
        says_lost(starter, amps, losses) = "While {starter} turns with {amps}, {losses}";
        says_battery(starter, amps, volts, limit) =
            "While {starter} turns with {amps}, the battery holds {volts} and should hold {limit}";
        earth_side() = "between the engine and the battery";
        live_side() = "on the way to it";
        lost(lost, where_lost, most, where_at, limit) =
            "{lost} is lost {where_lost}, {most} of it {where_at}, where {limit} at most should be";
        advice_earth_side() =
            "Fit a strap from engine to body as thick as the battery lead, on bright metal: what the strap does not carry, choke and throttle cables will";
        advice_live_side() = "A thicker and shorter lead, and clean, tight ends";
        advice_battery() = "Fit a battery of more ampere-hours, or charge this one";
        source_lost() = decimal "practice: 0.3 to 0.6 V on the live side, 0.3 V on the earthed one";
        source_battery() = decimal "practice: 9.6 V while cranking, in a 12 V car";
    }
}
