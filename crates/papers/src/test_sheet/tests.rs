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

/// A starter on its solenoid, an engine strap, and a dynamo that charges.
fn roadster() -> Car {
    let bytes = include_bytes!("../../../../demo-projects/curlew-roadster.loom.json");
    loomwright_circuit::load(bytes).unwrap()
}

#[test]
fn heavy_earths_are_read_by_volts_while_cranking_and_charging_while_running() {
    let car = roadster();
    let solved = Solved::of(&car, Version::After);
    let sheet = test_sheet(&car, &solved);
    let group = |words: &str| sheet.iter().find(|group| group.title.contains(words)).expect(words);
    // Ohms as few as those of a strap pass on no meter whether it is good or bad.
    let ohms = &sheet[0].checks;
    assert!(ohms.iter().any(|check| check.red == "Relay earth"));
    assert!(ohms.iter().all(|check| check.red != "Starter earth" && check.red != "Battery earth"));
    let cranking = group("engine cranking");
    assert!(cranking.caution.contains("No meter in series"), "{}", cranking.caution);
    let network = &solved.usual;
    let positions = [("engine", "cranking"), ("ignition", "start")];
    let positions = positions.map(|(a, b)| (a.to_owned(), b.to_owned())).into();
    let settled = network.moved(&network.at_rest().state, &network.setting(&positions).unwrap());
    let part = |label: &str| car.part_labelled(label).unwrap().0;
    let volts = |label: &str, terminal: &str| settled.on.volts(part(label), terminal).unwrap().0;
    let lost = volts("Starter motor", "2") - volts("Battery", "-");
    let row =
        cranking.checks.iter().find(|check| check.red == "Starter motor, terminal 2").unwrap();
    assert!((row.figure.unwrap() - lost).abs() < 1e-6, "{row:?} {lost}");
    // Half a volt a side, practice: that joints of some age lose more is what the reading is there to find.
    let (_, most) = row.band.split_once("no more than ").expect(&row.band);
    let most: f64 = most.split(' ').next().unwrap().parse().unwrap();
    assert!((most - 0.5).abs() < 1e-9, "{row:?}");
    let clean: f64 = row.expected.trim_end_matches(" V").parse().unwrap();
    assert!(clean < lost && clean < most, "{row:?}");
    assert!(lost <= most || row.band.contains("clean them first"), "{row:?}");
    let running = group("engine running");
    assert!(running.caution.contains("exhaust"), "{}", running.caution);
    // A dynamo's regulator holds 13.5 to 15.5 V (practice); its cables lose some.
    let charged = running.checks[0].figure.unwrap();
    assert!((13.0..15.5).contains(&charged), "{charged}");
}

#[test]
fn readings_are_of_a_sound_battery_and_say_what_an_old_one_reads() {
    let car = roadster();
    let sheet = test_sheet(&car, &Solved::of(&car, Version::After));
    let rest = &sheet[0].checks[0];
    assert_eq!(
        (rest.red.as_str(), rest.black.as_str()),
        ("plus post of Battery", "minus post of Battery")
    );
    // Rested and charged 12.66 V, three quarters full 12.45 V (published, as `electrics::battery` cites them).
    assert_eq!((rest.expected.as_str(), rest.band.as_str()), ("12.66 V", "no less than 12.45 V"));
    let cranking = sheet.iter().find(|group| group.title.contains("engine cranking")).unwrap();
    let row = &cranking.checks[0];
    let (sound, old) = row.band.split_once(" with a sound, charged battery; ").expect(&row.band);
    let number =
        |text: &str| -> f64 { text.split(' ').find_map(|word| word.parse().ok()).expect(text) };
    // Half charged it has 0.36 V less before anything flows, and three times the resistance: it falls by more than that.
    assert!(number(old) < row.figure.unwrap() - 0.5, "{row:?}");
    assert!(number(old) < number(sound), "{row:?}");
}
