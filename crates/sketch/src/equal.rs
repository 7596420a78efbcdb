//! Whether two cars are the same to electricity, however they are drawn.

use loomwright_circuit::{Accepted, Anchor, Car, End, Part, PartId, PartType, Promise, Wire};

/// Whether two cars are equal but for ids, places, routes, sheets, notes and the names and looks of part types.
pub fn electrically_equal(a: &Car, b: &Car) -> bool {
    difference(a, b).is_none()
}

/// The first way in which two cars differ to electricity; nothing if they do not.
pub fn difference(a: &Car, b: &Car) -> Option<String> {
    let (this, that) = (a.vehicle(), b.vehicle());
    if (this.voltage, this.earth, this.body, this.colours, this.region, this.first_used)
        != (that.voltage, that.earth, that.body, that.colours, that.region, that.first_used)
    {
        return Some(format!("the vehicle: {this:?} against {that:?}"));
    }
    let counts = |car: &Car| {
        (car.parts().len(), car.wires().len(), car.promises().len(), car.accepted().len())
    };
    if counts(a) != counts(b) {
        return Some("the number of parts, wires, promises or accepted findings".to_owned());
    }
    let parts = a.parts().values().find_map(|this| match b.part_labelled(&this.label) {
        None => Some(format!("part {} is in one only", this.label)),
        Some((_, that)) => part_difference(a, this, b, that),
    });
    parts.or_else(|| wires_difference(a, b)).or_else(|| {
        let rows = a.promises().values().zip(b.promises().values());
        rows.map(|(this, that)| (promise(a, this), promise(b, that)))
            .find(|(this, that)| this != that)
            .map(|(this, that)| format!("a promise: {this} against {that}"))
            .or_else(|| {
                let rows = a.accepted().values().zip(b.accepted().values());
                rows.map(|(this, that)| (accepted(a, this), accepted(b, that)))
                    .find(|(this, that)| this != that)
                    .map(|(this, that)| format!("what was accepted: {this} against {that}"))
            })
    })
}

fn part_difference(a: &Car, this: &Part, b: &Car, that: &Part) -> Option<String> {
    let (Some(a_type), Some(b_type)) =
        (a.type_named(&this.type_name), b.type_named(&that.type_name))
    else {
        return Some(format!("the type of {} is unknown", this.label));
    };
    if !types_equal(a_type, b_type) {
        return Some(format!(
            "the type of {}: {} and {}",
            this.label, this.type_name, that.type_name
        ));
    }
    if this.seen != that.seen {
        return Some(format!("what is seen of {}", this.label));
    }
    if this.standing != that.standing {
        return Some(format!("the standing of {}", this.label));
    }
    if this.roles != that.roles {
        return Some(format!("what {} is for", this.label));
    }
    let fact = a_type.facts.iter().map(|fact| fact.name.as_str());
    if let Some(name) =
        fact.into_iter().find(|name| this.fact(a_type, name) != that.fact(b_type, name))
    {
        return Some(format!("{name} of {}", this.label));
    }
    let key = a_type.controls.iter().map(|control| control.key.as_str());
    key.into_iter()
        .find(|key| this.control(a_type, key) != that.control(b_type, key))
        .map(|key| format!("the control {key} of {}", this.label))
}

/// Whether two part types do the same: all but their names, looks and words.
fn types_equal(a: &PartType, b: &PartType) -> bool {
    let terminals = |row: &PartType| {
        row.terminals.iter().map(|it| (it.name.clone(), it.may_stay_empty)).collect::<Vec<_>>()
    };
    let facts = |row: &PartType| {
        row.facts.iter().map(|fact| (fact.name.clone(), fact.usual)).collect::<Vec<_>>()
    };
    a.elements == b.elements
        && a.controls == b.controls
        && a.impossible == b.impossible
        && terminals(a) == terminals(b)
        && facts(a) == facts(b)
}

fn wires_difference(a: &Car, b: &Car) -> Option<String> {
    a.wires().values().find_map(|this| {
        match b.wires().values().find(|that| that.label == this.label) {
            None => Some(format!("wire {} is in one only", this.label)),
            Some(that) if wire(a, this) == wire(b, that) => None,
            Some(that) => {
                Some(format!("wire {}: {} against {}", this.label, wire(a, this), wire(b, that)))
            }
        }
    })
}

/// All that is electrical about a wire, with parts by their labels.
fn wire(car: &Car, wire: &Wire) -> String {
    let end = |end: &End| match &end.at {
        Anchor::Loose { .. } => format!("loose {:?} {:?}", end.fitting, end.seen),
        Anchor::Terminal { part, terminal } => {
            format!("{:?} {terminal:?} {:?} {:?}", label(car, *part), end.fitting, end.seen)
        }
    };
    format!(
        "{} {} {:?} {:?} {:?} {:?} {:?} {:?}",
        end(&wire.from),
        end(&wire.to),
        wire.standing,
        wire.colour,
        wire.size,
        wire.length,
        wire.insulation,
        wire.seen
    )
}

fn promise(car: &Car, promise: &Promise) -> String {
    let claim = |claim: &loomwright_circuit::Claim| {
        format!("{:?} {:?} {:?}", label(car, claim.part), claim.terminal, claim.must)
    };
    let claims: Vec<String> = promise.then.iter().map(claim).collect();
    let ways = promise.without.iter().map(|way| (label(car, way.part), way.terminal.as_ref()));
    let without: Vec<_> = ways.collect();
    format!("{:?} {without:?} {claims:?}", promise.when)
}

/// What was accepted, with rows by their labels.
fn accepted(car: &Car, row: &Accepted) -> String {
    let parts: Vec<_> = row.parts.iter().map(|id| label(car, *id)).collect();
    let wire = |id| car.wire(id).map(|wire| wire.label.as_str());
    let wires: Vec<_> = row.wires.iter().map(|id| wire(*id)).collect();
    let bare = Accepted { parts: Vec::new(), wires: Vec::new(), ..row.clone() };
    format!("{parts:?} {wires:?} {bare:?}")
}

fn label(car: &Car, id: PartId) -> Option<&str> {
    car.part(id).map(|part| part.label.as_str())
}
