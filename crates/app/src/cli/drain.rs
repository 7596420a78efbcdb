//! `survey --drain`: what the battery gives, for how long, and what the generator puts back.

use std::io::Write;

use loomwright_circuit::{Car, PartId};
use loomwright_electrics::endurance::{Balance, Endurance, balance, draws, endurance};
use loomwright_electrics::{Exploration, Network, Settled};
use loomwright_units::Amps;
use serde_json::{Value, json};

use super::findings::moves_json;
use super::lines::write_wrapped;
use super::measure::tidy;
use crate::words::{moves, trouble};

/// Everything asked of the battery.
#[derive(Debug)]
pub(crate) struct Drain {
    /// With everything at rest, in the setting asked for, and in those that promises are about.
    settings: Vec<Lasting>,
    /// With the engine idling and running: with as little else as possible, and with what takes most.
    engine: Vec<Charging>,
}

/// How long the batteries last in a setting.
#[derive(Debug)]
struct Lasting {
    title: String,
    batteries: Vec<Endurance>,
    draws: Vec<(PartId, Amps)>,
}

/// What the generator gives in a setting.
#[derive(Debug)]
struct Charging {
    engine: String,
    is_most: bool,
    visit: usize,
    balance: Balance,
    batteries: Vec<Endurance>,
}

impl Drain {
    /// `asked` is the setting that the call names, with its name.
    pub(crate) fn of(
        car: &Car,
        network: &Network,
        exploration: &Exploration,
        asked: Option<(String, Settled)>,
    ) -> Self {
        let lasting = |title: String, settled: &Settled| Lasting {
            title,
            batteries: endurance(network, settled),
            draws: draws(network, settled),
        };
        let mut settings = vec![lasting("everything off".to_owned(), &network.at_rest())];
        settings.extend(asked.map(|(title, settled)| lasting(title, &settled)));
        for promise in car.promises().values() {
            let title = crate::words::when(car, promise);
            let is_asked = |settled: &Settled| network.is_asked(promise, &settled.state.setting);
            let first = exploration.visits.iter().find(|visit| is_asked(&visit.settled));
            let is_new = settings.iter().all(|known| known.title != title);
            if let Some(visit) = first.filter(|_| is_new && !promise.when.is_empty()) {
                let found = lasting(title, &visit.settled);
                // With the battery at rest or taking, there is nothing to say.
                if found.batteries.iter().any(|battery| battery.hours.is_some()) {
                    settings.push(found);
                }
            }
        }
        let engine = ["idling", "running"];
        let engine = engine.iter().flat_map(|word| charging(network, exploration, word)).collect();
        Self { settings, engine }
    }
}

/// What is given with the engine so: in the first state, and in the one in which most is taken.
fn charging(network: &Network, exploration: &Exploration, engine: &str) -> Vec<Charging> {
    let Some(control) = network.controls().iter().position(|control| control.name == "engine")
    else {
        return Vec::new();
    };
    let positions = &network.controls()[control].positions;
    let Some(at) = positions.iter().position(|position| position.name == engine) else {
        return Vec::new();
    };
    let visits = exploration.visits.iter().enumerate().filter(|(_, visit)| {
        visit.settled.state.setting.0.get(control).is_some_and(|stands| usize::from(*stands) == at)
    });
    let found: Vec<(usize, Balance)> =
        visits.map(|(idx, visit)| (idx, balance(network, &visit.settled))).collect();
    let most = found.iter().max_by(|a, b| a.1.taken.0.total_cmp(&b.1.taken.0));
    let first = found.first().map(|found| (found, false));
    let most = most.filter(|most| Some(most.0) != found.first().map(|first| first.0));
    let rows = first.into_iter().chain(most.map(|found| (found, true)));
    let row = |(found, is_most): (&(usize, Balance), bool)| Charging {
        engine: engine.to_owned(),
        is_most,
        visit: found.0,
        balance: found.1,
        batteries: endurance(network, &exploration.visits[found.0].settled),
    };
    rows.map(row).collect()
}

pub(crate) fn json_of(car: &Car, exploration: &Exploration, drain: &Drain) -> Value {
    let batteries = |batteries: &[Endurance]| -> Value {
        let row = |battery: &Endurance| {
            json!({
                "battery": trouble::part(car, battery.battery),
                "amps": tidy(battery.amps.0),
                "seconds": battery.hours.map(|hours| tidy(hours * 3600.0)),
            })
        };
        batteries.iter().map(row).collect()
    };
    let settings = drain.settings.iter().map(|setting| {
        let draws = setting
            .draws
            .iter()
            .map(|(part, amps)| json!({"part": trouble::part(car, *part), "amps": tidy(amps.0)}));
        json!({
            "when": setting.title,
            "batteries": batteries(&setting.batteries),
            "draws": draws.collect::<Vec<_>>(),
        })
    });
    let engine = drain.engine.iter().map(|row| {
        json!({
            "engine": row.engine,
            "most": row.is_most,
            "moves": moves_json(&exploration.moves_to(row.visit)),
            "given_amps": tidy(row.balance.given.0),
            "taken_amps": tidy(row.balance.taken.0),
            "into_batteries_amps": tidy(row.balance.into_batteries.0),
            "batteries": batteries(&row.batteries),
        })
    });
    json!({ "settings": settings.collect::<Vec<_>>(), "engine": engine.collect::<Vec<_>>() })
}

pub(crate) fn write_text(
    car: &Car,
    exploration: &Exploration,
    drain: &Drain,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    writeln!(out, "\nHow long the battery lasts, from full until it no longer starts the car")?;
    for setting in &drain.settings {
        write_wrapped(out, "", &format!("With {}:", setting.title))?;
        write_batteries(car, &setting.batteries, out)?;
        let draws = setting.draws.iter().take(MOST_NAMED);
        let mut draws: Vec<String> =
            draws.map(|(part, amps)| format!("{} {amps}", trouble::part(car, *part))).collect();
        if setting.draws.len() > MOST_NAMED {
            draws.push(format!("and {} more", setting.draws.len() - MOST_NAMED));
        }
        if !draws.is_empty() {
            write_wrapped(out, "  taken by: ", &draws.join(", "))?;
        }
    }
    writeln!(out, "\nWhat the generator gives")?;
    if drain.engine.is_empty() {
        writeln!(out, "Nothing: the engine never runs in this drawing.")?;
    }
    for row in &drain.engine {
        let with = if row.is_most { ", with what takes most" } else { "" };
        let moves = moves(&exploration.moves_to(row.visit));
        write_wrapped(out, "", &format!("Engine {}{with} ({moves}):", row.engine))?;
        let Balance { given, taken, into_batteries } = row.balance;
        let way = if into_batteries.0 < 0.0 { "out of the battery" } else { "into the battery" };
        // An idle generator leaks a little backwards.
        let given = if given.0 < 1e-3 { Amps::ZERO } else { given };
        let says = format!("{given} given, {taken} taken, {} {way}", into_batteries.abs());
        write_wrapped(out, "  ", &says)?;
        if into_batteries.0 < 0.0 {
            write_batteries(car, &row.batteries, out)?;
        }
    }
    Ok(())
}

/// Consumers named in text; the rest are small beside them.
const MOST_NAMED: usize = 6;

fn write_batteries(car: &Car, batteries: &[Endurance], out: &mut dyn Write) -> std::io::Result<()> {
    if batteries.is_empty() {
        return writeln!(out, "  there is no battery");
    }
    for battery in batteries {
        let label = trouble::part(car, battery.battery);
        let says = match battery.hours {
            Some(hours) => {
                let lasts = trouble::hours(hours);
                format!("{label} gives {}: it lasts {lasts}", battery.amps)
            }
            None if battery.amps.0 < -1e-3 => format!("{label} takes {}", battery.amps.abs()),
            None => format!("{label} gives nothing"),
        };
        write_wrapped(out, "  ", &says)?;
    }
    Ok(())
}
