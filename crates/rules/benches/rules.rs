//! All rules on a car of about a hundred wires and on one of a thousand, with 256 reachable states each, and on a demo
//! car. What electrics works out for them is timed apart.

use divan::Bencher;
use loomwright_circuit::{Car, Version};
use loomwright_electrics::{Bound, Exploration, Extremes, Network, look_around, protection_study};
use loomwright_rules::{Deep, Evidence, check, check_drawing, telling_faults};

fn main() {
    divan::main();
}

/// Twelve wires: a pair of lamps on a relay, with its fuse and switch. Eight switches are shared by all blocks.
fn block(n: usize) -> String {
    let control = n % 8;
    format!(
        "fuse F{n} blade 10 A\nrelay K{n} 12 V\nswitch S{n} \"lamps {control}\" off: ; on: 1-2\n\
         lamp \"Left lamp {n}\" 21 W\nlamp \"Right lamp {n}\" 21 W\nearth E{n} body\n\
         wire W{n}01 J1 F{n}.1 2 mm2 0.3 m pvc brown\nwire W{n}02 F{n}.2 K{n}.30 1.5 mm2 1 m pvc purple\n\
         wire W{n}03 F{n}.2 S{n}.1 1.5 mm2 1 m pvc purple\nwire W{n}04 S{n}.2 K{n}.86 1.5 mm2 1 m pvc\n\
         wire W{n}05 K{n}.85 E{n} 1.5 mm2 0.3 m pvc black\n\
         wire W{n}06 K{n}.87 \"Left lamp {n}\".1 1.5 mm2 1 m pvc\n\
         wire W{n}07 \"Left lamp {n}\".1 J{n}1 1.5 mm2 1 m pvc\n\
         wire W{n}08 J{n}1 \"Right lamp {n}\".1 1.5 mm2 1 m pvc\n\
         wire W{n}09 \"Left lamp {n}\".2 J{n}2 1.5 mm2 0.3 m pvc black\n\
         wire W{n}10 \"Right lamp {n}\".2 J{n}2 1.5 mm2 0.3 m pvc black\n\
         wire W{n}11 J{n}2 J{n}3 1.5 mm2 0.3 m pvc black\nwire W{n}12 J{n}3 E{n} 1.5 mm2 0.3 m pvc black\n\
         joint J{n}1\njoint J{n}2\njoint J{n}3\n"
    )
}

fn car(wires: usize) -> Car {
    let head = "car 12 V negative earth\nbattery B1 12 V 60 Ah\nearth E0 body\njoint J1\n\
                wire W1 B1.- E0 25 mm2 0.4 m black\nwire W2 B1.+ J1 25 mm2 0.4 m\n";
    let blocks = (10..10 + wires / 12).map(block);
    let sketch: String = std::iter::once(head.to_owned()).chain(blocks).collect();
    loomwright_sketch::parse(&sketch).expect("a sketch")
}

fn explored(car: &Car) -> (Network, Exploration) {
    let network = Network::of(car, Version::After);
    let exploration = look_around(&network, Bound::default(), &mut |_| true);
    (network, exploration)
}

/// A fixed piece of work, to compare machines by: sums of square roots.
#[divan::bench]
fn calibration() -> f64 {
    (0..1_000_000_u32).map(|n| f64::from(divan::black_box(n)).sqrt()).sum()
}

#[divan::bench(args = [100, 1_000])]
fn drawing_rules(bencher: Bencher<'_, '_>, wires: usize) {
    let car = car(wires);
    let network = Network::of(&car, Version::After);
    bencher.bench_local(|| check_drawing(&car, &network));
}

#[divan::bench(args = [100, 1_000])]
fn all_rules(bencher: Bencher<'_, '_>, wires: usize) {
    let car = car(wires);
    let (network, exploration) = explored(&car);
    let deep = Deep::of(&car, &network, &exploration, &mut || true).expect("it may go on");
    let extremes = Extremes::of(&network, &exploration);
    let evidence = Evidence { extremes: Some(&extremes), ..deep.evidence(&exploration) };
    bencher.bench_local(|| check(&car, &network, evidence));
}

/// The roadster with its driving lamps: some ninety wires, 1,728 states.
fn roadster() -> Car {
    let bytes = include_bytes!("../../../demo-projects/curlew-roadster.loom.json");
    loomwright_circuit::load(bytes).expect("a demo car loads")
}

#[divan::bench]
fn all_rules_on_a_demo_car(bencher: Bencher<'_, '_>) {
    let car = roadster();
    let (network, exploration) = explored(&car);
    let deep = Deep::of(&car, &network, &exploration, &mut || true).expect("it may go on");
    let extremes = Extremes::of(&network, &exploration);
    let evidence = Evidence { extremes: Some(&extremes), ..deep.evidence(&exploration) };
    bencher.bench_local(|| check(&car, &network, evidence));
}

#[divan::bench(sample_count = 5)]
fn touches_on_a_demo_car(bencher: Bencher<'_, '_>) {
    let car = roadster();
    let (network, exploration) = explored(&car);
    bencher.bench_local(|| protection_study(&network, &exploration, &mut || true));
}

#[divan::bench(sample_count = 5)]
fn faults_on_a_demo_car(bencher: Bencher<'_, '_>) {
    let car = roadster();
    let (network, exploration) = explored(&car);
    bencher.bench_local(|| telling_faults(&car, &network, &exploration, &mut || true));
}
