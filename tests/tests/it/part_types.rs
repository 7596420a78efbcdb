//! The embedded part types hang together: every name that is used exists, every place is on the grid.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::{Element, Figure, Shape, Stroke, When};
use loomwright_circuit::{Box2, Library, PartType, Point};

/// The part types that sketches, demo cars and the shelf count on.
const NAMES: &[&str] = &[
    "alternator",
    "ammeter",
    "battery",
    "battery-earth",
    "blower",
    "body-earth",
    "brake-switch",
    "breaker",
    "breaker-manual",
    "bullet-connector",
    "connector-2",
    "connector-4",
    "connector-6",
    "connector-8",
    "control-box",
    "diode",
    "dip-switch",
    "door-switch",
    "dynamo",
    "dynamo-plain",
    "engine-earth",
    "fan",
    "flasher-electronic-2",
    "flasher-electronic-3",
    "flasher-thermal-2",
    "flasher-thermal-3",
    "fuel-pump",
    "fuse-blade",
    "fuse-box-2",
    "fuse-box-4",
    "fuse-box-6",
    "fuse-glass",
    "fuse-torpedo",
    "fusible-link",
    "hazard-switch",
    "heater",
    "horn",
    "ignition-coil",
    "ignition-switch",
    "indicator-stalk",
    "inertia-switch",
    "isolator",
    "isolator-6",
    "joint",
    "lamp",
    "lamp-double",
    "lamp-stop-tail",
    "led-lamp",
    "led-lamp-regulated",
    "lighting-switch",
    "motor",
    "oil-pressure-switch",
    "push",
    "relay-changeover",
    "relay-changeover-diode",
    "relay-make",
    "relay-make-diode",
    "resistor",
    "socket",
    "starter",
    "starter-solenoid",
    "switch",
    "switch-changeover",
    "switch-double-pole",
    "thermostat-switch",
    "thermostat-switch-earthing",
    "voltmeter",
    "warning-lamp",
    "washer-pump",
    "wiper-motor",
    "wiper-motor-2",
    "wiper-switch",
    "wiper-switch-2",
];

fn each(check: impl Fn(&PartType)) {
    Library::standard().iter().for_each(|part_type| check(part_type));
}

/// The terminals, figures and control that an element names.
fn mentions(element: &Element) -> (Vec<&str>, Vec<&Figure>, Option<&str>) {
    let value: (Vec<&String>, Vec<&Figure>) = match element {
        Element::Battery { plus, minus, volts, amp_hours, charge, celsius } => (
            vec![plus, minus],
            [volts, amp_hours].into_iter().chain(charge).chain(celsius).collect(),
        ),
        Element::Generator { plus, minus, warning, volts, idle_amps, amps, .. } => {
            ([plus, minus].into_iter().chain(warning).collect(), vec![volts, idle_amps, amps])
        }
        Element::Dynamo { output, field, case, idle_amps, amps } => {
            (vec![output, field, case], vec![idle_amps, amps])
        }
        Element::ControlBox { dynamo, field, output, earth, volts, loaded_volts, celsius } => {
            (vec![dynamo, field, output, earth], vec![volts, loaded_volts, celsius])
        }
        Element::Joined { terminals, ohms } => (terminals.iter().collect(), vec![ohms]),
        Element::Earth { terminal, ohms, .. } => (vec![terminal], vec![ohms]),
        Element::Resistor { between, ohms } | Element::Meter { between, ohms, .. } => {
            (between.iter().collect(), vec![ohms])
        }
        Element::Filament { between, watts, volts } => {
            (between.iter().collect(), vec![watts, volts])
        }
        Element::Load { between, watts, volts, stall, .. } => {
            (between.iter().collect(), [watts, volts].into_iter().chain(stall).collect())
        }
        Element::Led { anode, cathode, watts, volts, .. } => {
            (vec![anode, cathode], vec![watts, volts])
        }
        Element::Diode { anode, cathode, amps } => (vec![anode, cathode], amps.iter().collect()),
        Element::Fuse { between, carries, blows, square_mm, .. } => (
            between.iter().collect(),
            std::iter::once(carries).chain(blows).chain(square_mm).collect(),
        ),
        Element::Contacts { joins, amps, .. } => {
            (joins.values().flatten().flatten().collect(), vec![amps])
        }
        Element::Relay { .. } => of_relay(element),
        Element::Motor { between, volts, amps, stall_amps } => {
            (between.iter().collect(), vec![volts, amps, stall_amps])
        }
        Element::Flasher {
            feed, lamps, earth, pilot, watts, most_watts, lamp_out_watts, ..
        } => (
            [feed, lamps].into_iter().chain(earth).chain(pilot).collect(),
            [watts, most_watts].into_iter().chain(lamp_out_watts).collect(),
        ),
    };
    let control = match element {
        Element::Contacts { control, .. } => Some(control.as_str()),
        _ => None,
    };
    (value.0.into_iter().map(String::as_str).collect(), value.1, control)
}

fn of_relay(element: &Element) -> (Vec<&String>, Vec<&Figure>) {
    let Element::Relay {
        coil,
        ohms,
        volts,
        pull_winding,
        pull_in,
        drop_out,
        at_rest,
        pulled_in,
        amps,
    } = element
    else {
        return (Vec::new(), Vec::new());
    };
    let terminals = coil.iter().chain(pull_winding.iter().flat_map(|winding| &winding.between));
    let contacts = at_rest.iter().chain(pulled_in).flatten();
    let figures = [ohms, pull_in, drop_out, amps].into_iter().chain(volts);
    let second = pull_winding.iter().map(|winding| &winding.ohms);
    (terminals.chain(contacts).collect(), figures.chain(second).collect())
}

/// The box around what a stroke draws; letters count as their middle.
fn bounds(stroke: &Stroke) -> Option<Box2> {
    match &stroke.draw {
        Shape::Line(points) | Shape::Polygon(points) => Box2::around(points.iter().copied()),
        Shape::Circle { centre, radius } | Shape::Arc { centre, radius, .. } => {
            Box2::around([*centre]).map(|rect| rect.grown(*radius))
        }
        Shape::Text { at, .. } => Box2::around([*at]),
    }
}

fn symbol_bounds(part_type: &PartType) -> Box2 {
    part_type.outline.iter().filter_map(bounds).reduce(Box2::union).expect("a symbol has strokes")
}

#[test]
fn the_set_is_complete_and_names_are_its_own() {
    let found: Vec<&str> = Library::standard().iter().map(|row| row.name.as_str()).collect();
    for name in NAMES {
        assert!(found.contains(name), "{name} is missing");
    }
    let titles: BTreeSet<&str> = Library::standard().iter().map(|row| row.title.as_str()).collect();
    assert_eq!(titles.len(), found.len(), "two part types share a title");
}

#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "the files themselves are looked at, not what is embedded"
)]
fn no_two_rows_of_the_files_share_a_name() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../assets/part-types");
    let mut seen = BTreeSet::new();
    for group in loomwright_circuit::part_type::Group::ALL {
        let key = serde_json::to_value(group).expect("a word");
        let file = folder.join(format!("{}.json", key.as_str().expect("a word")));
        let text = std::fs::read_to_string(&file).expect("one file for each shelf");
        let rows: Vec<PartType> = serde_json::from_str(&text).expect("part types");
        for row in rows {
            assert_eq!(row.group, group, "{} stands in the wrong file", row.name);
            assert!(Library::standard().get(&row.name).is_some(), "{} is not embedded", row.name);
            assert!(seen.insert(row.name.clone()), "{} twice", row.name);
        }
    }
    assert_eq!(seen.len(), Library::standard().iter().count());
}

#[test]
fn every_name_that_an_element_uses_exists() {
    each(|part_type| {
        for element in &part_type.elements {
            let (terminals, figures, control) = mentions(element);
            for terminal in terminals {
                let known = part_type.terminals.iter().any(|row| row.name == terminal);
                assert!(known, "{}: no terminal {terminal}", part_type.name);
            }
            for figure in figures {
                if let Figure::Fact(name) = figure {
                    assert!(part_type.fact(name).is_some(), "{}: no fact {name}", part_type.name);
                }
            }
            if let Some(control) = control {
                assert!(part_type.control(control).is_some(), "{}: {control}", part_type.name);
            }
        }
    });
}

#[test]
fn every_position_that_is_used_exists() {
    each(|part_type| {
        let has = |key: &str, position: &str| {
            part_type
                .control(key)
                .is_some_and(|control| control.positions.iter().any(|row| row.name == position))
        };
        for element in &part_type.elements {
            if let Element::Contacts { control, joins, .. } = element {
                for position in joins.keys() {
                    assert!(has(control, position), "{}: {control} {position}", part_type.name);
                }
            }
        }
        for stroke in &part_type.outline {
            if let Some(When::At { control, positions }) = &stroke.when {
                assert!(!positions.is_empty(), "{}", part_type.name);
                for position in positions {
                    assert!(has(control, position), "{}: {control} {position}", part_type.name);
                }
            }
        }
        for control in &part_type.controls {
            assert!(control.positions.len() >= 2, "{}", part_type.name);
            for position in control.positions.iter().filter_map(|row| row.springs_to.as_ref()) {
                assert!(has(&control.key, position), "{}: springs to {position}", part_type.name);
            }
        }
    });
}

#[test]
fn every_terminal_does_something_and_every_fact_counts() {
    each(|part_type| {
        let used: BTreeSet<&str> =
            part_type.elements.iter().flat_map(|element| mentions(element).0).collect();
        for terminal in &part_type.terminals {
            assert!(used.contains(terminal.name.as_str()), "{} {}", part_type.name, terminal.name);
            assert!(!terminal.name.contains(['.', ' ']), "{}", part_type.name);
            assert!(!terminal.says.is_empty(), "{} {}", part_type.name, terminal.name);
        }
        // The number on a glass fuse of which nobody knows the meaning decides nothing, nor where a meter's scale ends;
        // rules ask about them.
        let is_asked_by_rules =
            |name: &str| name == "marked" || (part_type.name == "ammeter" && name == "amps");
        for fact in part_type.facts.iter().filter(|fact| !is_asked_by_rules(&fact.name)) {
            let counts = part_type
                .elements
                .iter()
                .flat_map(|element| mentions(element).1)
                .any(|figure| matches!(figure, Figure::Fact(name) if *name == fact.name));
            assert!(counts, "{}: fact {} has no effect", part_type.name, fact.name);
        }
    });
}

#[test]
fn usual_figures_lie_in_their_range() {
    each(|part_type| {
        for fact in &part_type.facts {
            assert!(fact.least < fact.greatest, "{} {}", part_type.name, fact.name);
            if let Some(usual) = fact.usual {
                let range = fact.least..=fact.greatest;
                assert!(range.contains(&usual), "{} {}", part_type.name, fact.name);
            }
        }
    });
}

#[test]
fn what_the_symbol_shows_are_facts() {
    each(|part_type| {
        for piece in part_type.shows.split('{').skip(1) {
            let (name, _) = piece.split_once('}').expect("braces close");
            assert!(part_type.fact(name).is_some(), "{} shows {name}", part_type.name);
        }
    });
}

#[test]
fn terminals_lie_on_the_grid_at_the_edge_of_the_symbol_and_apart() {
    const GRID: f64 = 2.5;
    each(|part_type| {
        let bounds = symbol_bounds(part_type).grown(1e-6);
        for terminal in &part_type.terminals {
            let at = terminal.at;
            assert_eq!(at, at.snapped(GRID), "{} {}", part_type.name, terminal.name);
            assert!(bounds.contains(at), "{} {}", part_type.name, terminal.name);
            for other in &part_type.terminals {
                let apart = other.name == terminal.name || other.at.distance(at) >= 5.0;
                assert!(apart, "{} {} {}", part_type.name, terminal.name, other.name);
            }
        }
        assert!(bounds.width() <= 60.0 && bounds.height() <= 60.0, "{}", part_type.name);
    });
}

#[test]
fn every_lighting_element_has_its_glow() {
    each(|part_type| {
        let lighting = part_type
            .elements
            .iter()
            .filter(|element| matches!(element, Element::Filament { .. } | Element::Led { .. }))
            .count();
        assert_eq!(part_type.glows.len(), lighting, "{}", part_type.name);
        let bounds = symbol_bounds(part_type);
        assert!(part_type.glows.iter().all(|glow| bounds.contains(glow.at)), "{}", part_type.name);
    });
}

#[test]
fn a_moving_blade_moves() {
    each(|part_type| {
        for element in &part_type.elements {
            let (key, moves) = match element {
                Element::Contacts { control, .. } => (control.as_str(), true),
                Element::Relay { .. } => ("relay", false),
                _ => continue,
            };
            let moving = part_type.outline.iter().filter(|stroke| match &stroke.when {
                Some(When::At { control, .. }) => moves && control == key,
                Some(When::PulledIn(_) | When::Relay { .. }) => !moves,
                None => false,
            });
            assert!(moving.count() >= 2, "{} does not show how {key} stands", part_type.name);
        }
    });
}

#[test]
fn every_type_teaches_and_is_found() {
    each(|part_type| {
        assert!(part_type.teaches.ends_with('.'), "{}", part_type.name);
        assert!(part_type.teaches.len() >= 60, "{} teaches too little", part_type.name);
        assert!(part_type.sketch.contains(' '), "{}", part_type.name);
        assert!(!part_type.stem.is_empty() && !part_type.title.is_empty(), "{}", part_type.name);
    });
}

#[test]
fn strokes_are_finite_and_have_points_enough() {
    each(|part_type| {
        for stroke in &part_type.outline {
            let enough = match &stroke.draw {
                Shape::Line(points) => points.len() >= 2,
                Shape::Polygon(points) => points.len() >= 3,
                Shape::Circle { radius, .. } | Shape::Arc { radius, .. } => *radius > 0.0,
                Shape::Text { text, height, .. } => !text.is_empty() && *height >= 1.5,
            };
            assert!(enough, "{}", part_type.name);
            let finite = bounds(stroke).is_some_and(|rect| {
                [rect.min, rect.max].iter().all(|point: &Point| point.length().is_finite())
            });
            assert!(finite, "{}", part_type.name);
        }
    });
}
