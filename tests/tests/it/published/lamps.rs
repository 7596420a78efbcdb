//! Power of listed lamps at their test voltage, by the program's law.

use loomwright_electrics::filament::current;

use super::table::{Row, table};

/// Marked power of a filament, and the greatest that a sheet allows at test voltage.
fn filaments(row: &Row) -> Vec<[f64; 2]> {
    [("rated_W_major", "max_W_major_at_test"), ("rated_W_minor", "max_W_minor_at_test")]
        .into_iter()
        .filter_map(|(marked, most)| Some([row.number(marked)?, row.number(most)?]))
        .collect()
}

#[test]
fn no_lamp_draws_more_than_its_sheet_allows_memory() {
    // UN R37 category sheets, nearly all from memory. The law takes the marked power at the marked volts. Sheets of
    // single filaments up to 10 W mark the power at test voltage instead (5 W ± 10 % at 13.5 V), so there the law is up
    // to an eighth high, as for headlamps of 24 V: on the safe side for cable and fuse. Small filaments of 24 V may draw
    // far more than marked.
    let mut n_filaments = 0;
    for row in table("lamps") {
        let Some(test_volts) = row.number("test_V") else { continue };
        let marked_volts = row.figure("rated_V");
        let is_small = row.text("rated_W_minor").is_empty() && row.figure("rated_W_major") <= 10.0;
        for [marked_watts, most_watts] in filaments(&row) {
            let amps = current(test_volts, marked_volts, marked_watts / marked_volts).0;
            let share = test_volts * amps / most_watts;
            let most = if is_small || marked_volts == 24.0 { 1.125 } else { 1.0 + 1e-9 };
            assert!(share <= most, "{share} of the greatest power: {}", row.says());
            let is_small_at_24 = marked_volts == 24.0 && marked_watts <= 10.0;
            let least = if is_small_at_24 { 0.55 } else { 0.75 };
            assert!(share > least, "{share} of the greatest power: {}", row.says());
            n_filaments += 1;
        }
    }
    assert!(n_filaments > 40, "{n_filaments}");
}

#[test]
fn usual_lamps_are_listed_ones_memory() {
    let library = loomwright_circuit::Library::standard();
    let usual = |part_type: &str, fact: &str| {
        library.get(part_type).and_then(|row| row.fact(fact)).and_then(|fact| fact.usual)
    };
    let lamps = table("lamps");
    let is_listed = |major: Option<f64>, minor: Option<f64>| {
        let is_it = |row: &Row| {
            row.figure("rated_V") == 12.0
                && row.number("rated_W_major") == major
                && row.number("rated_W_minor") == minor
        };
        assert!(lamps.iter().any(is_it), "{major:?}/{minor:?} W is in no list");
    };
    is_listed(usual("lamp", "watts"), None);
    is_listed(usual("lamp-double", "main_watts"), usual("lamp-double", "dip_watts"));
    is_listed(usual("lamp-stop-tail", "stop_watts"), usual("lamp-stop-tail", "tail_watts"));
    is_listed(usual("warning-lamp", "watts"), None);
    is_listed(usual("hazard-switch", "lamp_watts"), None);
}
