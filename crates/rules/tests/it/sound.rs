//! Circuits that are right give no danger and no fault.

use loomwright_rules::Level;

use crate::lab::{all_to_fit, car, judged, said};

macro_rules! sound {
    ($($name:ident),* $(,)?) => {
        /// Sound circuits by name: reference circuits of the trade, drawn here as sketches.
        pub(crate) const SOUND: &[(&str, &str)] =
            &[$((stringify!($name), include_str!(concat!("sound/", stringify!($name), ".sketch")))),*];

        mod is_silent {
            $(#[test] fn $name() { super::check(stringify!($name)); })*
        }
    };
}

sound!(
    c01_hazard_change_over,
    c02_hazard_own_flasher,
    c03_driving_lamps,
    c04_fog_locked_out,
    c05_headlamp_relays,
    c06_radiator_fan,
    c07_alternator,
    c08_ignition_relay,
    c09_led_indicators,
    c10_led_stop_and_tail,
    c11_rear_fog,
    c12_reversing,
    c13_heated_window,
    c15_socket,
    c16_fuse_box,
    c17_isolator,
    c18_immobiliser,
    c19_trailer,
    c20_positive_earth,
    c21_fuel_pump,
    c22_horn_relay,
    c23_side_lamps_split,
    c24_stop_lamps,
    c25_courtesy,
    c26_starter,
    c27_indicators,
    c29_overdrive,
    c30_whole_rewire,
    s01_headlamp_flash,
    s02_dynamo_and_ammeter,
    s03_relay_falls_back_to_dip,
    s04_glass_fibre_body,
    s05_two_speed_with_resistor,
    s06_panel_dimmer,
    s07_trailer_by_pass,
    s08_six_volts,
    s09_relay_holds_itself,
    s10_courtesy_and_map_lamp,
);

pub(crate) fn sketch(name: &str) -> &'static str {
    SOUND
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(_, sketch)| *sketch)
        .expect("a sound circuit")
}

fn check(name: &str) {
    let found = car(sketch(name));
    for (car, standing) in [(&found, "as found"), (&all_to_fit(&found), "to fit")] {
        let report = judged(car);
        let is_bad = report.findings.iter().any(|finding| finding.level <= Level::Fault);
        // A car of which nothing is there yet has unfused feeds of its own making; those are told apart below.
        let only_feeds = standing == "to fit"
            && report
                .findings
                .iter()
                .filter(|finding| finding.level <= Level::Fault)
                .all(|finding| finding.code == "PR02");
        assert!(!is_bad || only_feeds, "{name}, {standing}:\n{}", said(&report));
        assert!(report.is_complete);
    }
}
