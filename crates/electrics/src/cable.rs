//! Cable: its resistance, and what it may carry all day.

use loomwright_circuit::Insulation;
use loomwright_units::{Amps, Celsius, Metres, Ohms, OhmsPerMetre, Seconds, WireArea};

/// Resistivity of annealed copper at 20 °C, Ω·mm²/m.
///
/// # Source
/// [`RESISTIVITY_SOURCE`].
pub const RESISTIVITY: f64 = 0.017_241;

/// Who says so.
pub const RESISTIVITY_SOURCE: &str = "IEC 60028:1925, annealed copper at 20 °C";

/// How much the resistance of copper rises for each kelvin, referred to 20 °C.
///
/// # Source
/// [`TEMPERATURE_SOURCE`].
pub const TEMPERATURE_COEFFICIENT: f64 = 0.003_93;

/// Who says so.
pub const TEMPERATURE_SOURCE: &str = "Industrial Power Engineering Handbook, table 30.1; IEC 60028";

/// Resistance of a copper conductor: R = ρ · l / a · (1 + α · (t − 20 °C)).
///
/// # Source
/// IEC 60028:1925, annealed copper: ρ and α at 20 °C.
///
/// # Example
/// ```
/// use loomwright_electrics::cable::resistance;
/// use loomwright_units::{Celsius, Metres, WireArea};
/// let cold = resistance(Metres(3.0), WireArea::new(2.0).unwrap(), Celsius(20.0));
/// assert!((cold.0 - 0.02586).abs() < 1e-5);
/// ```
pub fn resistance(l: Metres, a: WireArea, t: Celsius) -> Ohms {
    Ohms(RESISTIVITY * l.0 / a.square_mm() * temperature_factor(t))
}

/// Resistance at a temperature over that at 20 °C.
pub fn temperature_factor(t: Celsius) -> f64 {
    1.0 + TEMPERATURE_COEFFICIENT * (t - Celsius(20.0)).0
}

/// The most that a metre of vehicle cable of a listed size may have at 20 °C; of the next smaller listed size where
/// the size is not listed. Nothing below the smallest.
///
/// # Source
/// DIN ISO 6722-3 as printed at t3-pedia.de for 1, 1.5, 2.5, 4, 6, 10 mm² and above; ISO 6722-1:2011 from memory for
/// the others.
pub fn iso_6722(a: WireArea) -> Option<OhmsPerMetre> {
    next_smaller(&ISO_6722, a).map(|(_, milliohms)| OhmsPerMetre(milliohms * 1e-3))
}

/// Size (mm²) and greatest resistance (mΩ/m at 20 °C) by ISO 6722.
#[expect(clippy::approx_constant, reason = "3.14 mΩ/m is printed for 6 mm²")]
pub const ISO_6722: [(f64, f64); 28] = [
    (0.13, 136.0),
    (0.22, 84.8),
    (0.35, 54.4),
    (0.5, 37.1),
    (0.75, 24.7),
    (1.0, 18.5),
    (1.25, 14.9),
    (1.5, 12.7),
    (2.0, 9.42),
    (2.5, 7.6),
    (3.0, 6.15),
    (4.0, 4.71),
    (5.0, 3.94),
    (6.0, 3.14),
    (8.0, 2.38),
    (10.0, 1.82),
    (12.0, 1.52),
    (16.0, 1.16),
    (20.0, 0.955),
    (25.0, 0.743),
    (30.0, 0.647),
    (35.0, 0.527),
    (40.0, 0.473),
    (50.0, 0.368),
    (60.0, 0.315),
    (70.0, 0.259),
    (95.0, 0.196),
    (120.0, 0.153),
];

/// What a cable may carry all day, with the table row that says so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CableRating {
    /// The current.
    pub amps: Amps,
    /// The listed size it is read at, mm².
    pub listed_square_mm: f64,
    /// The table it is read from.
    pub source: &'static str,
    /// How far to trust it: "seen", "memory" or "practice".
    pub basis: &'static str,
}

/// A row of a rating table: size (mm²), current (A), basis.
pub(crate) type Row = (f64, f64, &'static str);

/// Thin-wall hard-grade cable.
///
/// # Source
/// UK vehicle-cable suppliers' lists; ISO 6722 class B thin wall.
pub const THIN_WALL: [Row; 13] = [
    (0.35, 7.0, "memory"),
    (0.5, 11.0, "memory"),
    (0.75, 14.0, "memory"),
    (1.0, 16.5, "memory"),
    (1.5, 21.0, "memory"),
    (2.0, 25.0, "seen"),
    (2.5, 29.0, "memory"),
    (3.0, 33.0, "memory"),
    (4.0, 39.0, "memory"),
    (4.5, 42.0, "memory"),
    (6.0, 50.0, "memory"),
    (8.5, 63.0, "memory"),
    (10.0, 70.0, "memory"),
];

/// PVC cable of ordinary wall, up to 10 mm².
///
/// # Source
/// Ryder Towing, "Guidance on Choice and Use of Cable", to 3 mm²; UK suppliers' lists above; 0.5 and 0.75 mm² from a
/// conservative list (type2.com, 14 December 1996), cut to the next listed size where it stands above it.
pub const PVC: [Row; 12] = [
    (0.5, 5.0, "seen"),
    (0.65, 5.75, "seen"),
    (0.75, 7.0, "seen"),
    (1.0, 8.75, "seen"),
    (1.5, 12.75, "seen"),
    (2.0, 17.5, "seen"),
    (2.5, 21.75, "seen"),
    (3.0, 25.5, "seen"),
    (4.5, 35.0, "memory"),
    (6.0, 42.0, "memory"),
    (8.5, 60.0, "memory"),
    (10.0, 70.0, "memory"),
];

/// Cable from 16 mm², all day at 30 °C; starting currents may be far higher for their short time.
///
/// # Source
/// DIN VDE 0298-4, PVC 70 °C, as printed at t3-pedia.de.
pub const BATTERY_CABLE: [Row; 7] = [
    (16.0, 98.0, "seen"),
    (25.0, 129.0, "seen"),
    (35.0, 158.0, "seen"),
    (50.0, 198.0, "seen"),
    (70.0, 245.0, "seen"),
    (95.0, 292.0, "seen"),
    (120.0, 344.0, "seen"),
];

/// k of copper under PVC from 70 °C to 160 °C, A·√s/mm².
///
/// # Source
/// [`SHORT_TIME_SOURCE`].
pub const SHORT_TIME_K: f64 = 115.0;

/// Who says so.
pub const SHORT_TIME_SOURCE: &str = "IEC 60364-5-54, table of k (seen on \"The Adiabatic Equation and k Factor\", \
     mycableengineering.com)";

/// What PVC cable stands for a short time from its full warmth, when no heat leaves it: I = k · S / √t.
///
/// The law is for at most five seconds; over longer times heat leaves the cable, and the answer is on the safe side.
///
/// # Source
/// [`SHORT_TIME_SOURCE`].
///
/// # Example
/// ```
/// use loomwright_electrics::cable::short_time;
/// use loomwright_units::{Seconds, WireArea};
/// let amps = short_time(WireArea::new(2.0).unwrap(), Seconds(0.331));
/// assert!((amps.0 - 400.0).abs() < 1.0);
/// ```
pub fn short_time(s: WireArea, t: Seconds) -> Amps {
    Amps(SHORT_TIME_K * s.square_mm() / t.0.sqrt())
}

/// A source, by itself and with each basis.
type Sources = [&'static str; 4];

macro_rules! sources {
    ($text:literal) => {
        [
            $text,
            concat!($text, " (seen)"),
            concat!($text, " (memory)"),
            concat!($text, " (practice)"),
        ]
    };
}

const THIN_WALL_SOURCE: Sources = sources!("UK thin-wall cable lists, ISO 6722 class B");
const PVC_SOURCE: Sources = sources!("UK standard PVC cable lists (towing supplier's guidance)");
const BATTERY_CABLE_SOURCE: Sources = sources!("DIN VDE 0298-4, PVC 70 °C at 30 °C");
const COTTON_SOURCE: Sources = sources!("makers' rule of the 1950s: 0.5 A a strand of .012 in");

/// A source with its basis.
fn with_basis(sources: Sources, basis: &str) -> &'static str {
    match basis {
        "seen" => sources[1],
        "memory" => sources[2],
        _ => sources[3],
    }
}

/// Area of a strand of .012 in, mm².
pub(crate) const STRAND_SQUARE_MM: f64 = 0.072_966;

/// What a strand of .012 in was given to carry in the 1950s.
///
/// # Source
/// "Lucas Cable Colours, Sizes and Identification", dugdalevms.com: 14/.012 carries 7 A, 28/.012 14 A, 44/.012 22 A.
pub const AMPS_A_STRAND: f64 = 0.5;

/// What a cable may carry all day; with insulation unknown, the lowest of what it could be.
///
/// # Source
/// The tables of this module. A size between two listed ones takes the lower of their currents for each mm², which is on
/// the safe side since thin wires cool better; so does one below the smallest.
///
/// # Example
/// ```
/// use loomwright_circuit::Insulation;
/// use loomwright_electrics::cable::rating;
/// use loomwright_units::WireArea;
/// let size = WireArea::new(1.0).unwrap();
/// assert_eq!(rating(size, Some(Insulation::ThinWall)).amps.0, 16.5);
/// assert_eq!(rating(size, Some(Insulation::Pvc)).amps.0, 8.75);
/// assert_eq!(rating(size, None).amps.0, 7.0);
/// ```
pub fn rating(a: WireArea, insulation: Option<Insulation>) -> CableRating {
    let (read, sources) = read(a, insulation);
    CableRating {
        amps: Amps(read.amps(a)),
        listed_square_mm: read.listed_square_mm(a),
        source: sources[0],
        basis: read.basis(),
    }
}

/// The cover that a wire is judged by: where nobody knows it, ordinary PVC, the lower of the two kinds sold.
pub fn judged_as(insulation: Option<Insulation>) -> Insulation {
    insulation.unwrap_or(Insulation::Pvc)
}

/// The rows that a rating is read from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Read {
    /// The row of the size itself, or the last one.
    At(Row),
    /// The rows on either side of a size that is not listed.
    Between(Row, Row),
    /// The first row, of a size below it.
    Under(Row),
    /// So many strands of .012 in.
    Strands(f64),
}

impl Read {
    fn amps(self, a: WireArea) -> f64 {
        let density = |row: Row| row.1 / row.0;
        match self {
            Self::At(row) => row.1,
            Self::Between(below, above) => {
                let amps = a.square_mm() * density(below).min(density(above));
                amps.clamp(below.1, above.1)
            }
            Self::Under(row) => a.square_mm() * density(row),
            Self::Strands(strands) => AMPS_A_STRAND * strands,
        }
    }

    fn listed_square_mm(self, a: WireArea) -> f64 {
        match self {
            Self::At(row) | Self::Between(row, _) => row.0,
            Self::Under(_) => a.square_mm(),
            Self::Strands(strands) => strands * STRAND_SQUARE_MM,
        }
    }

    fn basis(self) -> &'static str {
        match self {
            Self::At(row) | Self::Under(row) => row.2,
            Self::Strands(strands) if strands <= 44.0 => "seen",
            Self::Between(..) | Self::Strands(_) => "practice",
        }
    }
}

/// What a rating is read from, with the source in full.
pub(crate) fn read_from(a: WireArea, insulation: Option<Insulation>) -> (Read, &'static str) {
    let (read, sources) = read(a, insulation);
    (read, with_basis(sources, read.basis()))
}

fn read(a: WireArea, insulation: Option<Insulation>) -> (Read, Sources) {
    match insulation {
        Some(Insulation::ThinWall) => listed(a, &THIN_WALL, THIN_WALL_SOURCE),
        Some(Insulation::Pvc) => listed(a, &PVC, PVC_SOURCE),
        Some(Insulation::Cotton) | None => {
            // Metric strands of 0.30 mm stand for .012 in ones; the nearest whole number of strands counts.
            let strands = Read::Strands((a.square_mm() / STRAND_SQUARE_MM).round().max(0.5));
            let pvc = listed(a, &PVC, PVC_SOURCE);
            if pvc.0.amps(a) < strands.amps(a) { pvc } else { (strands, COTTON_SOURCE) }
        }
    }
}

fn listed(a: WireArea, rows: &[Row], sources: Sources) -> (Read, Sources) {
    let square_mm = a.square_mm();
    let is_battery_cable = BATTERY_CABLE[0].0 * NOMINAL <= square_mm;
    let (rows, sources) =
        if is_battery_cable { (&BATTERY_CABLE[..], BATTERY_CABLE_SOURCE) } else { (rows, sources) };
    let above = rows.iter().position(|row| square_mm < row.0 * NOMINAL);
    let (below, above) = match above {
        Some(0) => (None, rows.first()),
        Some(above) => (rows.get(above - 1), rows.get(above)),
        None => (rows.last(), None),
    };
    let read = match (below, above) {
        // The copper of a listed size may be a little more or less than its name.
        (Some(row), _) if square_mm <= row.0 / NOMINAL => Read::At(*row),
        (Some(below), Some(above)) => Read::Between(*below, *above),
        (Some(row), None) => Read::At(*row),
        (None, Some(row)) => Read::Under(*row),
        (None, None) => Read::Strands(0.0),
    };
    (read, sources)
}

/// A size is the listed one down to this share of it: the copper of 14/0.30 is 0.99 mm², of 44/0.30 3.11 mm².
const NOMINAL: f64 = 0.96;

fn next_smaller(rows: &[(f64, f64)], a: WireArea) -> Option<(f64, f64)> {
    rows.iter().rev().find(|row| row.0 * NOMINAL <= a.square_mm()).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(square_mm: f64) -> WireArea {
        WireArea::new(square_mm).expect("area")
    }

    #[test]
    fn hot_copper_has_a_fifth_more() {
        // Worked example: 18.5 mΩ/m at 20 °C is 22.14 mΩ/m at 70 °C.
        assert!((18.5 * temperature_factor(Celsius(70.0)) - 22.14).abs() < 0.01);
    }

    #[test]
    fn the_fifties_rule_gives_their_own_figures() {
        // Lucas, 1950s: 14/.012 7 A, 28/.012 14 A, 44/.012 22 A.
        for (strands, amps) in [(14_u32, 7.0), (28, 14.0), (44, 22.0)] {
            let size = WireArea::strands(strands, 0.3048).expect("strands");
            assert_eq!(rating(size, Some(Insulation::Cotton)).amps, Amps(amps));
            let metric = WireArea::strands(strands, 0.30).expect("strands");
            assert_eq!(rating(metric, Some(Insulation::Cotton)).amps.0.round(), amps);
        }
    }

    #[test]
    fn ratings_never_fall_with_size_and_unknown_is_lowest() {
        let kinds =
            [None, Some(Insulation::Pvc), Some(Insulation::ThinWall), Some(Insulation::Cotton)];
        let mut before = [0.0; 4];
        for step in 1..3_000 {
            let size = area(f64::from(step) * 0.05);
            let now = kinds.map(|kind| rating(size, kind).amps.0);
            for (kind, (now, before)) in now.iter().zip(&before).enumerate() {
                assert!(now >= before, "{kind} at {size}");
            }
            assert!(now[0] <= now[1] && now[0] <= now[2] && now[0] <= now[3], "{size}: {now:?}");
            before = now;
        }
    }

    #[test]
    fn between_listed_sizes_stays_under_the_continental_table() {
        // DIN VDE 0298-4, PVC 70 °C at 30 °C, as printed at t3-pedia.de: 4 mm² carries 42 A; 29.8 A at 50 °C.
        let four = rating(area(4.0), Some(Insulation::Pvc)).amps.0;
        assert!((29.8..=42.0).contains(&four), "{four} A");
        let between = rating(area(1.25), Some(Insulation::Pvc)).amps.0;
        assert!(between > 8.75 && between < 12.75, "{between} A");
    }

    #[test]
    fn iso_6722_is_read_at_the_next_smaller_size() {
        assert_eq!(iso_6722(area(1.0)), Some(OhmsPerMetre(0.0185)));
        assert_eq!(iso_6722(area(1.31)), Some(OhmsPerMetre(0.0149)));
        assert_eq!(iso_6722(area(0.05)), None);
    }
}
