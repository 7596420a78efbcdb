//! Fusible links: a short length of cable, smaller than what it guards, that melts first.

use std::f64::consts::PI;

/// Current that melts a round copper wire in open air in the end, by its area in mm²: I = 80 · d^1.5, d in mm.
///
/// # Units
/// mm² in, A out.
///
/// # Source
/// [`PREECE_SOURCE`].
pub fn melts_in_the_end(square_mm: f64) -> f64 {
    let d = libm::sqrt(4.0 * square_mm / PI);
    80.0 * d * libm::sqrt(d)
}

/// Who says so.
pub const PREECE_SOURCE: &str =
    "Preece's law, with his 80 for copper and millimetres (10,244 for inches)";

/// Time in which a current melts a copper wire that gives off no heat: t = a² / (33 · I²) · log₁₀(1 + (1083 − c) /
/// (234 + c)), a in circular mils (1 mm² has 1973.5) and c where it starts, °C.
///
/// # Units
/// mm², A and °C in, s out.
///
/// # Source
/// Onderdonk's law, as printed in handbooks of the trade.
pub fn melts_after(square_mm: f64, amps: f64, from_celsius: f64) -> f64 {
    let circular_mils = 1973.5 * square_mm;
    let heat = libm::log10(1.0 + (1083.0 - from_celsius) / (234.0 + from_celsius));
    let ratio = circular_mils / amps;
    ratio * ratio * heat / 33.0
}

/// What a link carries all day, over what melts it in the end.
///
/// # Source
/// [`CARRIES_SOURCE`].
pub const CARRIES_SHARE: f64 = 1.0 / 6.0;

/// Who says so.
pub const CARRIES_SOURCE: &str =
    "practice: so it carries what thin-wall cable of its size does, within a fifth";

/// Usual length of a link, m.
///
/// # Source
/// [`METRES_SOURCE`].
pub const METRES: f64 = 0.15;

/// Who says so.
pub const METRES_SOURCE: &str = "SAE J156 tests 150 mm";

/// What a link of this area carries all day.
///
/// # Units
/// mm² in, A out.
pub fn carries(square_mm: f64) -> f64 {
    CARRIES_SHARE * melts_in_the_end(square_mm)
}

/// The area of a link that carries so much all day.
///
/// # Units
/// A in, mm² out.
pub fn square_mm(carries: f64) -> f64 {
    let d = libm::pow(carries / CARRIES_SHARE / 80.0, 2.0 / 3.0);
    PI / 4.0 * d * d
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cable;
    use crate::fuse::gates::LINK;

    #[test]
    fn melting_currents_are_the_handbooks() {
        // Preece's fusing currents of copper wire in the handbooks, from memory: AWG 20, 18, 16, 14 and 12.
        for (square_mm, amps) in
            [(0.518, 58.4), (0.823, 82.8), (1.309, 117.0), (2.081, 166.0), (3.309, 235.0)]
        {
            let found = melts_in_the_end(square_mm);
            assert!((found / amps - 1.0).abs() < 0.02, "{square_mm} mm²: {found} A");
            assert!((square_mm / super::square_mm(carries(square_mm)) - 1.0).abs() < 1e-9);
        }
        // Onderdonk's currents that melt AWG 24 and 20 in a second, in the handbooks' tables, from memory.
        for (square_mm, amps) in [(0.205, 58.0), (0.518, 147.0)] {
            let after = melts_after(square_mm, amps, 40.0);
            assert!((after - 1.0).abs() < 0.03, "{square_mm} mm²: {after} s");
        }
    }

    #[test]
    fn a_link_carries_what_thin_wall_cable_does() {
        for (square_mm, amps, _) in cable::THIN_WALL {
            if (0.5..=3.0).contains(&square_mm) {
                let share = carries(square_mm) / amps;
                assert!((share - 1.0).abs() < 0.2, "{square_mm} mm²: {share}");
            }
        }
    }

    #[test]
    fn the_gates_hold_for_every_size_made() {
        for square_mm in [0.3, 0.5, 0.85, 1.0, 1.25, 2.0, 3.0, 6.0] {
            for gate in LINK {
                let amps = gate.multiple * carries(square_mm);
                let least = melts_after(square_mm, amps, 85.0);
                assert!(gate.opens_after.0 <= least, "{square_mm} mm² at {amps} A: {least} s");
                // With heat given off in proportion to its rise: t = −τ · ln(1 − (I₀ / I)²).
                let over = melts_in_the_end(square_mm) / amps;
                let still = melts_after(square_mm, melts_in_the_end(square_mm), 40.0);
                let greatest = -2.0 * still * libm::log1p(-over * over);
                assert!(gate.opens_within.0 >= greatest, "{square_mm} mm²: {greatest} s");
                assert!(gate.opens_within.0 <= 2.0 * greatest.max(30.0), "gates are not idle");
            }
        }
    }
}
