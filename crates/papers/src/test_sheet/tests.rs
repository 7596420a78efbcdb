//! Which wires are read from end to end, and their ohms against those of copper.

use super::*;

const SKETCH: &str = "car 12 V negative earth
battery B1 12 V 48 Ah
earth E1 body
switch S1 \"lights\" off: ; main: 1-2
lamp H1 45 W
lamp H2 55 W to fit
wire W1 B1.+ S1.1 3 mm2 1 m brown
wire W2 S1.2 H1.1 2 mm2 2 m blue/white
wire W3 H1.2 E1 2 mm2 0.3 m black
wire W4 B1.- E1 35 mm2 0.3 m black
wire W5 S1.2 H2.1 2 mm2 1.2 m blue/white to fit
wire W6 H2.2 B1.- 2 mm2 0.3 m black to fit
wire W7 H1.1 H1.2 2 mm2 0.3 m black to remove
";

#[test]
fn new_leads_and_those_that_were_touched_are_read_from_end_to_end() {
    let car = loomwright_sketch::parse(SKETCH).unwrap_or_else(|errors| panic!("{errors}"));
    let solved = Solved::of(&car, Version::After);
    let sheet = test_sheet(&car, &solved);
    let rows: Vec<&Check> =
        sheet[0].checks.iter().filter(|check| check.red.ends_with("one end")).collect();
    let read: Vec<&str> = rows.iter().filter_map(|row| row.red.split(',').next()).collect();
    // W1 alone keeps both its terminals to itself; W7 is gone.
    assert_eq!(read, ["W2", "W3", "W4", "W5", "W6"]);
    // Copper of 2 mm² at 20 °C, IEC 60028: 0.017241 Ω mm²/m; crimps add to it.
    let said = |label: &str| {
        let row = rows.iter().find(|row| row.red.starts_with(label)).unwrap();
        row.figure.unwrap()
    };
    let along = said("W2") - said("W3");
    assert!((along - 0.017_241 / 2.0 * 1.7).abs() < 0.003, "{along}");
}
