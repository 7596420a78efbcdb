//! What a careful owner would declare of a sound car: when each load works, and when it does not.

use loomwright_circuit::Car;
use loomwright_circuit::part_type::Element;

use super::harm::Conduct;
use super::plan::{Kind, Load, Plan};
use super::solved::{settings, solve};

/// Promises, as lines of a sketch.
pub(crate) fn vows(car: &Car, plan: &Plan, conduct: &Conduct) -> Vec<String> {
    plan.loads.iter().flat_map(|load| of_load(car, plan, conduct, load)).collect()
}

fn of_load(car: &Car, plan: &Plan, conduct: &Conduct, load: &Load) -> Vec<String> {
    let Some((name, is_lamp)) = claimed(car, load) else { return Vec::new() };
    let works = conduct.works(load.id);
    let settings = settings(plan);
    let (on, off) = match (is_lamp, flashes(plan, load, &settings, &works)) {
        (true, true) => ("flashing", "dark"),
        (true, false) => ("lit", "dark"),
        (false, _) => ("working", "idle"),
    };
    let mut vows = Vec::new();
    for (wanted, word) in [(true, on), (false, off)] {
        for within in boxes(plan, &settings, &works, wanted) {
            let said = within.iter().enumerate();
            let said = said.filter(|(control, at)| at.len() < plan.controls[*control].1.len());
            let moments: Vec<String> =
                said.map(|(control, at)| moment(plan, control, at)).collect();
            vows.push(format!("promise {} : {name} {word}", moments.join(" ")));
        }
    }
    // What never works, or always does, is not worth a promise.
    if works.contains(&Some(true)) && works.contains(&Some(false)) { vows } else { Vec::new() }
}

/// Positions of each control within which it always works, or never does, as wide as they go.
fn boxes(
    plan: &Plan,
    settings: &[Vec<usize>],
    works: &[Option<bool>],
    wanted: bool,
) -> Vec<Vec<Vec<usize>>> {
    let is_in = |within: &[Vec<usize>], row: &[usize]| {
        row.iter().zip(within).all(|(position, at)| at.contains(position))
    };
    let holds = |within: &[Vec<usize>]| {
        let mut there = settings.iter().zip(works).filter(|(row, _)| is_in(within, row));
        there.all(|(_, works)| *works == Some(wanted))
    };
    let mut found: Vec<Vec<Vec<usize>>> = Vec::new();
    for (row, _) in settings.iter().zip(works).filter(|(_, works)| **works == Some(wanted)) {
        if found.iter().any(|within| is_in(within, row)) {
            continue;
        }
        let mut within: Vec<Vec<usize>> = row.iter().map(|position| vec![*position]).collect();
        for (control, (_, positions)) in plan.controls.iter().enumerate() {
            for position in (0..positions.len()).filter(|position| *position != row[control]) {
                let mut wider = within.clone();
                wider[control].push(position);
                wider[control].sort_unstable();
                if holds(&wider) {
                    within = wider;
                }
            }
        }
        found.push(within);
    }
    found
}

fn moment(plan: &Plan, control: usize, at: &[usize]) -> String {
    let (name, positions) = &plan.controls[control];
    let names: Vec<&str> = at.iter().map(|at| positions[*at].as_str()).collect();
    format!("\"{name}\"={}", names.join("|"))
}

/// How a promise names a load, and whether it gives light; nothing for what is part of a switch.
fn claimed(car: &Car, load: &Load) -> Option<(String, bool)> {
    let part = car.part(load.id.0)?;
    let elements = &car.type_of(load.id.0)?.elements;
    if elements.iter().any(|row| matches!(row, Element::Contacts { .. })) {
        return None;
    }
    let is_load = |row: &&Element| {
        matches!(row, Element::Filament { .. } | Element::Led { .. } | Element::Load { .. })
    };
    let one = elements.iter().filter(is_load).count() == 1;
    let (terminal, is_lamp) = match &elements[load.id.1] {
        Element::Filament { between, .. } => (&between[0], true),
        Element::Led { anode, .. } => (anode, true),
        Element::Load { between, .. } => (&between[0], false),
        _ => return None,
    };
    let label = format!("\"{}\"", part.label);
    Some((if one { label } else { format!("{label}.{terminal}") }, is_lamp))
}

/// Whether it is a flasher that makes it work.
fn flashes(plan: &Plan, load: &Load, settings: &[Vec<usize>], works: &[Option<bool>]) -> bool {
    let has_flasher = plan.branches.iter().any(|row| matches!(row.kind, Kind::Flasher { .. }));
    let lit = settings.iter().zip(works).find(|(_, works)| **works == Some(true));
    let Some((setting, _)) = lit.filter(|_| has_flasher) else { return false };
    let dark = solve(plan, setting, false);
    dark.is_some_and(|dark| dark.over(plan, load.branch).abs() < 0.2 * load.volts)
}
