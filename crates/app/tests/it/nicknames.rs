//! What parts answer to on the shelf and at the counter.

use loomwright_app::view::shelf::answers;

use crate::window::Window;

#[test]
fn parts_answer_to_what_owners_call_them() {
    let window = Window::empty();
    let kinds: Vec<_> = window.app().state.library.on_shelf(window.car()).collect();
    // The words of owners and of parts counters (practice).
    for (asked, kind) in [
        ("dash switch", "switch"),
        ("led indicator", "led-lamp"),
        ("driving lamp", "lamp"),
        ("driving light", "lamp"),
        ("spotlight", "lamp"),
        ("spot light", "lamp"),
        ("hooter", "horn"),
        ("regulator", "control-box"),
        ("cut-out", "control-box"),
        ("brake light switch", "brake-switch"),
        ("fog light", "lamp"),
        ("12v socket", "socket"),
        ("cigar lighter", "socket"),
        ("electric fan", "fan"),
        ("relay socket", "relay-make"),
        ("inline fuse", "fuse-glass"),
        ("fuse holder", "fuse-blade"),
        ("fusebox", "fuse-box-4"),
        ("park light", "lamp"),
        ("side light", "lamp"),
        ("blinker", "lamp"),
        ("flasher can", "flasher-thermal-2"),
        ("kill switch", "isolator"),
        ("battery cut off", "isolator"),
        ("solenoid", "starter-solenoid"),
        ("coil", "ignition-coil"),
        ("sender", "oil-pressure-switch"),
        ("heater motor", "blower"),
        ("washer pump", "washer-pump"),
        ("interior light", "lamp"),
        ("door switch", "door-switch"),
        ("map light", "lamp"),
        ("reversing light switch", "switch"),
        ("dimdip", "resistor"),
        ("dipswitch", "dip-switch"),
        ("high beam", "lamp-double"),
        ("trailer socket", "connector-8"),
        ("chassis", "body-earth"),
        ("ground", "body-earth"),
        ("oil light", "warning-lamp"),
        ("column switch", "indicator-stalk"),
        ("glow plug", "heater"),
    ] {
        let answering = kinds.iter().filter(|it| answers(it, asked));
        let names: Vec<&str> = answering.map(|it| &*it.name).collect();
        assert!(names.contains(&kind), "{asked}: {names:?}");
    }
}
