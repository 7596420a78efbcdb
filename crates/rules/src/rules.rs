//! The rules, in the order of their codes.

mod alive_through_lamp;
mod all_of_one_colour;
mod alternator_not_woken;
mod ammeter_reversed;
mod battery_drained;
mod battery_missing;
mod battery_of_other_volts;
mod battery_reversed;
mod battery_shorted;
mod both_sides_on_one_fuse;
mod brown_means_two_things;
mod bullet_crowded;
mod charge_lamp_always_live;
mod charge_lead_drop;
mod charge_past_ammeter;
mod coil_beside_electronics;
mod coil_reversed;
mod colour_contradicts_job;
mod contact_overloaded;
mod cranking_volts_lost;
mod driving_lamps_on_dip;
mod dynamo_leads_crossed;
mod earth_lead_thin;
mod earth_on_wrong_metal;
mod earth_poor;
mod end_left_open;
mod engine_runs_on;
mod filaments_changed_over;
mod flasher_overloaded;
mod flashers_joined;
mod flashes_at_wrong_rate;
mod fog_lamps_with_main_beam;
mod fuse_above_wire;
mod fuse_below_load;
mod fuse_bridged;
mod fuse_of_needed_lamps;
mod fuses_in_parallel;
mod generator_above_lead;
mod glass_fuse_unread;
mod hazard_fuse_shared;
mod hazard_warning_stops;
mod household_wire;
mod ignition_cut_by_switch;
mod indicators_alive_with_key_off;
mod indicators_crossed;
mod indicators_do_not_flash;
mod indicators_untold;
mod isolator_and_engine;
mod isolator_and_hazards;
mod joint_gets_hot;
mod lamp_dimmed;
mod lamp_untold;
mod led_in_filament_reflector;
mod lies_badly;
mod live_shell;
mod live_wire_unfused;
mod live_with_key_off;
mod load_above_generator;
mod load_without_earth;
mod made_for_other_earth;
mod made_for_other_volts;
mod meter_overloaded;
mod motor_feeds_coil;
mod motor_starved;
mod never_fed;
mod old_control_box;
mod overdrive_without_inhibitor;
mod pins_live;
mod polarity_reversed;
pub(crate) mod promise_broken;
mod pump_without_engine;
mod rear_fog_by_day;
mod rear_fog_misplaced;
mod relay_buzzes;
mod relay_missing;
mod relay_never_let_go;
mod relay_stays_out;
mod second_battery_cranks;
mod shared_earth_lead;
mod side_lamps_dark;
mod sides_joined;
mod size_of_the_cover;
mod splice_lets_wet_in;
mod stop_lamps_depend;
mod stud_in_reach;
mod tab_overloaded;
mod tapped_between_batteries;
mod terminal_unfit;
mod touch_burns_wire;
mod trailer_on_car_switch;
mod two_alike_in_one_plug;
mod unit_on_heavy_earth;
mod warning_lead_live;
mod window_heated_without_key;
mod wire_overloaded;
mod wire_unmeasured;

use crate::Rule;
pub(crate) use generator_above_lead::{charging_way, generators};

/// Every rule, in the order of the codes.
pub const RULES: &[Rule] = &[
    alive_through_lamp::RULE,
    engine_runs_on::RULE,
    motor_feeds_coil::RULE,
    wire_overloaded::RULE,
    generator_above_lead::RULE,
    charge_lead_drop::RULE,
    meter_overloaded::RULE,
    joint_gets_hot::RULE,
    household_wire::RULE,
    size_of_the_cover::RULE,
    alternator_not_woken::RULE,
    charge_lamp_always_live::RULE,
    old_control_box::RULE,
    isolator_and_engine::RULE,
    isolator_and_hazards::RULE,
    load_above_generator::RULE,
    dynamo_leads_crossed::RULE,
    warning_lead_live::RULE,
    charge_past_ammeter::RULE,
    colour_contradicts_job::RULE,
    brown_means_two_things::RULE,
    two_alike_in_one_plug::RULE,
    all_of_one_colour::RULE,
    load_without_earth::RULE,
    earth_poor::RULE,
    unit_on_heavy_earth::RULE,
    earth_on_wrong_metal::RULE,
    shared_earth_lead::RULE,
    earth_lead_thin::RULE,
    lies_badly::RULE,
    splice_lets_wet_in::RULE,
    flashers_joined::RULE,
    hazard_warning_stops::RULE,
    hazard_fuse_shared::RULE,
    indicators_do_not_flash::RULE,
    sides_joined::RULE,
    indicators_untold::RULE,
    flashes_at_wrong_rate::RULE,
    flasher_overloaded::RULE,
    indicators_alive_with_key_off::RULE,
    indicators_crossed::RULE,
    driving_lamps_on_dip::RULE,
    fog_lamps_with_main_beam::RULE,
    side_lamps_dark::RULE,
    stop_lamps_depend::RULE,
    lamp_untold::RULE,
    both_sides_on_one_fuse::RULE,
    filaments_changed_over::RULE,
    led_in_filament_reflector::RULE,
    rear_fog_by_day::RULE,
    rear_fog_misplaced::RULE,
    promise_broken::RULE,
    polarity_reversed::RULE,
    battery_reversed::RULE,
    made_for_other_earth::RULE,
    ammeter_reversed::RULE,
    live_shell::RULE,
    coil_reversed::RULE,
    fuse_above_wire::RULE,
    live_wire_unfused::RULE,
    glass_fuse_unread::RULE,
    fuse_below_load::RULE,
    touch_burns_wire::RULE,
    fuse_of_needed_lamps::RULE,
    stud_in_reach::RULE,
    fuse_bridged::RULE,
    pump_without_engine::RULE,
    window_heated_without_key::RULE,
    ignition_cut_by_switch::RULE,
    overdrive_without_inhibitor::RULE,
    trailer_on_car_switch::RULE,
    second_battery_cranks::RULE,
    cranking_volts_lost::RULE,
    battery_shorted::RULE,
    live_with_key_off::RULE,
    fuses_in_parallel::RULE,
    battery_missing::RULE,
    battery_drained::RULE,
    contact_overloaded::RULE,
    relay_buzzes::RULE,
    relay_stays_out::RULE,
    relay_never_let_go::RULE,
    relay_missing::RULE,
    coil_beside_electronics::RULE,
    lamp_dimmed::RULE,
    motor_starved::RULE,
    battery_of_other_volts::RULE,
    made_for_other_volts::RULE,
    tapped_between_batteries::RULE,
    end_left_open::RULE,
    wire_unmeasured::RULE,
    never_fed::RULE,
    terminal_unfit::RULE,
    bullet_crowded::RULE,
    tab_overloaded::RULE,
    pins_live::RULE,
];
