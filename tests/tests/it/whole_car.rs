//! A car of 24 circuits as a sketch, for checks against other programs' arithmetic and for benches.

use std::fmt::Write as _;

/// Fused and switched lamp circuits.
pub(crate) const CIRCUITS: usize = 24;

/// Watts of the two lamps of a circuit, in turn.
const LAMPS: [[f64; 2]; 4] = [[21.0, 5.0], [55.0, 55.0], [21.0, 21.0], [5.0, 2.2]];

/// The car: a ring of feed joints, and earths that are joined to the next circuit's beside their own bolt.
///
/// Nothing in it has memory; every branch is a resistance, a tungsten filament or the battery.
pub(crate) fn sketch() -> String {
    let mut text = String::from(
        "car 12 V negative earth\n\
         battery Battery 12 V 50 Ah\n\
         earth Strap body\n\
         earth Block engine\n\
         earth Bell body\n\
         wire V1 Battery.- Strap 25 mm2 0.5 m\n\
         wire V2 Block Bell 16 mm2 0.4 m\n\
         wire V3 Battery.+ Feed0 10 mm2 0.8 m\n",
    );
    for idx in 0..CIRCUITS {
        circuit(&mut text, idx);
    }
    text
}

fn circuit(text: &mut String, idx: usize) {
    let next = (idx + 1) % CIRCUITS;
    let watts = LAMPS[idx % LAMPS.len()];
    let amps = if watts[0] > 50.0 { 15 } else { 8 };
    let metres = 0.5 + 0.25 * (idx % 7) as f64;
    let metal = if idx % 6 == 5 { "engine" } else { "body" };
    let lines = [
        format!("joint Feed{idx}"),
        format!("fuse Fuse{idx} blade {amps} A"),
        format!("switch Switch{idx} \"circuit {idx}\" off: ; on: 1-2"),
        format!("bullet-connector Bullet{idx}"),
        format!("joint Split{idx}"),
        format!("lamp Left{idx} {} W", watts[0]),
        format!("lamp Right{idx} {} W", watts[1]),
        format!("joint Return{idx}"),
        format!("earth Earth{idx} {metal}"),
        format!("wire A{idx} Feed{idx} Feed{next} 4 mm2 0.3 m"),
        format!("wire B{idx} Feed{idx} Fuse{idx}.1 2 mm2 0.2 m"),
        format!("wire C{idx} Fuse{idx}.2 Switch{idx}.1 2 mm2 0.9 m"),
        format!("wire D{idx} Switch{idx}.2 Bullet{idx}.1 1 mm2 {metres} m"),
        format!("wire E{idx} Bullet{idx}.2 Split{idx} 1 mm2 0.5 m"),
        format!("wire F{idx} Split{idx} Left{idx}.1 1 mm2 0.6 m"),
        format!("wire G{idx} Split{idx} Right{idx}.1 1 mm2 1.4 m"),
        format!("wire H{idx} Left{idx}.2 Return{idx} 1 mm2 0.4 m"),
        format!("wire I{idx} Right{idx}.2 Return{idx} 1 mm2 0.7 m"),
        format!("wire J{idx} Return{idx} Earth{idx} 1 mm2 0.3 m"),
        format!("wire K{idx} Return{idx} Return{next} 1 mm2 1.1 m"),
    ];
    // Most circuits have a second earth lead, to the next one's bolt.
    let second =
        (metal == "body").then(|| format!("wire L{idx} Return{idx} Earth{next} 1 mm2 1 m"));
    for line in lines.into_iter().chain(second) {
        writeln!(text, "{line}").expect("a String takes all");
    }
}
