//! Numbers with a comma. The mark is one for the process, so all that sets it is one test.

use loomwright_units::{
    Amps, Celsius, DecimalMark, Metres, OhmsPerMetre, Volts, WireArea, as_in_files, decimal_mark,
    exact, read_length, read_number, scientific, set_decimal_mark, significant, thousands, trimmed,
    with_decimals,
};

#[test]
fn with_a_comma_people_read_commas_and_files_hold_points() {
    set_decimal_mark(DecimalMark::Comma);
    quantities_have_it();
    numbers_have_it();
    files_have_none();
    what_is_shown_is_read_back();
    set_decimal_mark(DecimalMark::Point);
    assert_eq!(Volts(12.6).to_string(), "12.6 V");
}

fn quantities_have_it() {
    assert_eq!(Volts(12.6).to_string(), "12,6 V");
    assert_eq!(Amps(-0.0945).to_string(), "-0,0945 A");
    assert_eq!(OhmsPerMetre(0.0125).to_string(), "0,0125 Ω/m");
    assert_eq!(Celsius(36.5).to_string(), "36,5 °C");
    assert_eq!(WireArea::new(1.5).expect("a size").to_string(), "1,5 mm²");
}

fn numbers_have_it() {
    assert_eq!([with_decimals(2.5, 2), trimmed(2.5, 2), exact(0.125)], ["2,50", "2,5", "0,125"]);
    assert_eq!([significant(0.0945, 3, 6), scientific(1.5e-6, 4)], ["0,0945", "1,5e-6"]);
    // A comma is never both.
    assert_eq!(thousands(1_536_000), "1\u{a0}536\u{a0}000");
}

fn files_have_none() {
    assert_eq!(as_in_files(|| (Volts(12.6).to_string(), thousands(1536))), {
        ("12.6 V".to_owned(), "1,536".to_owned())
    });
    let failed = std::panic::catch_unwind(|| as_in_files(|| panic!("a file that fails")));
    assert!(failed.is_err());
    assert_eq!(decimal_mark(), DecimalMark::Comma, "it comes back where writing failed");
}

fn what_is_shown_is_read_back() {
    for value in [1.25, 0.125, 1.125, 12.5, 1250.0, -3.75] {
        assert_eq!(read_number(&exact(value)), Ok(value), "{}", exact(value));
    }
    assert_eq!(read_number("12.5"), Ok(12.5), "a point is still read");
    // Now a point before three figures is the one that could part thousands.
    let error = read_number("1.250").expect_err("two meanings");
    assert!(error.is_ambiguous());
    assert!(error.to_string().contains("without a point, such as 1,25 or 1250"), "{error}");
    assert_eq!(as_in_files(|| read_number("1.250")), Ok(1.25), "files are read as they were");
    assert_eq!(read_length("2,5 ft"), Ok(Metres(0.762)));
    let error = read_length("long").expect_err("no length");
    assert!(error.to_string().contains("1,2 m"), "{error}");
    let error = WireArea::read("long").expect_err("no size");
    assert!(error.to_string().contains("1,5 mm2, 16 AWG, 28/0,30 or 14/,012"), "{error}");
    for text in ["1,5 mm2", "28/0,30", "14/,012"] {
        assert!(WireArea::read(text).is_ok(), "{text}");
    }
}
