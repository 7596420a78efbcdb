//! Resistances of joints and contacts; for estimates only, nearly all practice.

use loomwright_electrics::assumed;

use super::table::the_row;

#[test]
fn joints_and_contacts_have_the_usual_resistance_practice() {
    let figures = [
        ("crimped 6.3 mm tab joint, new", assumed::CRIMPED_END_OHMS),
        // A bullet joint has two terminals.
        ("bullet joint, new", 2.0 * assumed::JOINED_TERMINAL_OHMS),
        ("bolted ring on chassis, clean", assumed::BOLTED_END_OHMS),
        ("bolted ring on chassis, clean", assumed::EARTH_POINT_OHMS),
        ("fuse-holder contact pair", assumed::FUSE_HOLDER_OHMS),
        ("switch contact, new", assumed::SWITCH_CONTACT_OHMS),
    ];
    for (size, ohms) in figures {
        let row = the_row("connectors", "size", size);
        assert_eq!(row.basis(), "practice");
        row.agrees("contact_resistance_mohm", ohms * 1e3, 1e-9);
    }
}

#[test]
fn a_relay_contact_has_that_of_its_data_sheet() {
    // TE Connectivity Power Relay B (seen): 15 mV typical at 10 A.
    let row = the_row("connectors", "size", "relay make contact, new");
    assert_eq!(row.basis(), "seen");
    row.agrees("contact_resistance_mohm", assumed::RELAY_CONTACT_OHMS * 1e3, 1e-9);
}

#[test]
fn a_thermal_flasher_drops_no_more_than_allowed_memory() {
    let row = the_row("flashers", "item", "voltage drop across flasher");
    assert_eq!(row.basis(), "memory");
    assert!(12.0 * assumed::THERMAL_FLASHER_SHARE <= row.figure("max"), "{}", row.says());
}
