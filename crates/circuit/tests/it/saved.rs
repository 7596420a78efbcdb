//! The saved form: what it looks like, that it comes back, and what it refuses.

use loomwright_circuit::{
    Accepted, Car, Edit, End, Level, Library, LoadError, Role, Seen as _, SheetId, Wire,
    WireColour, load, save, schema,
};
use loomwright_units::{Metres, WireArea};
use proptest::prelude::*;

use crate::edit_property::wishes;
use crate::support::{edit, part, place, refused, small_car};

/// A car of library parts alone.
fn plain_car() -> Car {
    let mut car = Car::default();
    let battery = place(&mut car, part("battery", "Battery", 20.0, 20.0));
    let mut lamp = part("lamp", "Map lamp", 60.0, 12.5);
    lamp.facts.insert("watts".into(), 5.0);
    let lamp = place(&mut car, lamp);
    let wire = Wire {
        colour: WireColour::read("purple/white").ok(),
        size: WireArea::new(1.0).ok(),
        length: Some(Metres(0.75)),
        ..Wire::new("", End::terminal(battery, "+"), End::terminal(lamp, "1"))
    };
    edit(&mut car, Edit::Run(wire));
    car
}

fn text(car: &Car) -> String {
    String::from_utf8(save(car)).expect("text")
}

#[test]
fn a_file_reads_like_a_list() {
    let expected = r#"{
  "format": "loomwright-car",
  "version": 1,
  "vehicle": {
    "name": "",
    "voltage": "12 V",
    "earth": "negative"
  },
  "sheets": {
    "S1": {"title": "Sheet 1"}
  },
  "parts": {
    "P2": {"type": "battery", "label": "Battery", "sheet": "S1", "place": {"at": [20, 20]}},
    "P3": {"type": "lamp", "label": "Map lamp", "sheet": "S1", "place": {"at": [60, 12.5]}, "facts": {"watts": 5}}
  },
  "wires": {
    "W4": {"label": "W1", "from": {"at": {"part": "P2", "terminal": "+"}}, "to": {"at": {"part": "P3", "terminal": "1"}}, "colour": "purple/white", "size": 1, "length": 0.75}
  },
  "promises": {},
  "own_types": {},
  "last_id": 4
}
"#;
    assert_eq!(text(&plain_car()), expected);
}

/// A car with a finding accepted.
fn accepting_car() -> Car {
    let mut car = plain_car();
    let row = Accepted {
        code: "PR02".to_owned(),
        level: Level::Danger,
        says: "W1 has no fuse".to_owned(),
        parts: car.parts().keys().copied().take(1).collect(),
        wires: car.wires().keys().copied().collect(),
        figures: [("metres".to_owned(), 0.1 + 0.2)].into(),
        reason: " As the maker built it ".to_owned(),
        by: "B. Owner".to_owned(),
        on: "2026-11-25".to_owned(),
    };
    edit(&mut car, Edit::Accept(row));
    car
}

#[test]
fn what_was_accepted_is_a_row_of_the_file() {
    let car = accepting_car();
    let line = r#"    "A5": {"code": "PR02", "level": "danger", "says": "W1 has no fuse", "parts": ["P2"], "wires": ["W4"], "figures": {"metres": 0.3}, "reason": "As the maker built it", "by": "B. Owner", "on": "2026-11-25"}"#;
    assert!(text(&car).contains(&format!("  \"accepted\": {{\n{line}\n  }},\n")), "{}", text(&car));
    assert_eq!(load(&save(&car)), Ok(car));
}

#[test]
fn what_was_accepted_of_a_wire_goes_with_it() {
    let mut car = accepting_car();
    let wires = car.wires().keys().copied().collect();
    let patch = car.plan(Edit::Erase { parts: Vec::new(), wires }).expect("an edit");
    car.apply(&patch);
    assert!(car.accepted().is_empty());
    car.apply(&patch.inverse());
    assert_eq!(car.accepted().len(), 1);
}

#[test]
fn nothing_is_accepted_without_a_reason_or_of_rows_that_are_not_there() {
    let good = text(&accepting_car());
    let complaint = |old: &str, new: &str| {
        let bad = good.replacen(old, new, 1);
        assert_ne!(good, bad);
        load(bad.as_bytes()).expect_err("a refusal").to_string()
    };
    let says = complaint("As the maker built it", " ");
    assert!(says.contains("with a reason, at accepted.A5"), "{says}");
    let says = complaint("\"wires\": [\"W4\"]", "\"wires\": [\"W9\"]");
    assert!(says.contains("no wire W9 in this car, at accepted.A5"), "{says}");
    let says = complaint("\"danger\"", "\"awful\"");
    assert!(says.contains("at accepted.A5.level"), "{says}");
}

#[test]
fn roles_are_kept_by_terminals_that_feed_something() {
    let mut car = plain_car();
    let lamp = *car.parts().keys().nth(1).expect("the lamp");
    let mut row = car.part(lamp).expect("the lamp").clone();
    row.roles.insert("1".into(), Role::Courtesy);
    edit(&mut car, Edit::SetPart(lamp, row.clone()));
    assert!(text(&car).contains(r#""roles": {"1": "courtesy"}"#));
    assert_eq!(load(&save(&car)), Ok(car.clone()));
    row.roles.insert("2".into(), Role::Stop);
    let says = refused(&car, Edit::SetPart(lamp, row)).to_string();
    assert!(says.contains("no consumer at terminal '2'"), "{says}");
}

#[test]
fn what_is_seen_stands_in_the_row_under_the_words_of_its_question() {
    let mut car = plain_car();
    let (id, lamp) = car.part_labelled("Map lamp").expect("a lamp");
    let mut lamp = lamp.clone();
    assert!(lamp.seen.set("on", Some("hinged")) && lamp.seen.set("height", Some("650")));
    assert!(!lamp.seen.set("on", Some("cheese")) && !lamp.seen.set("height", Some("6e9")));
    edit(&mut car, Edit::SetPart(id, lamp));
    let written = text(&car);
    assert!(written.contains(r#""seen": {"on": "hinged", "height": 650}}"#), "{written}");
    assert_eq!(load(written.as_bytes()).expect("the same"), car);
}

#[test]
fn one_moved_part_is_one_changed_line() {
    let mut car = small_car().0;
    let before = text(&car);
    let id = *car.parts().keys().next().expect("a part");
    let by = loomwright_circuit::Point::new(2.5, 0.0);
    edit(&mut car, Edit::Move { parts: vec![id], by });
    let after = text(&car);
    let n_changed = before.lines().zip(after.lines()).filter(|(old, new)| old != new).count();
    assert_eq!((n_changed, before.lines().count()), (1, after.lines().count()));
    assert!(before.lines().all(|line| line.len() < 300), "own types break into lines");
}

/// A file with one piece replaced, and what must be said about it.
fn check(old: &str, new: &str, expected: &str) {
    let good = text(&plain_car());
    let bad = good.replacen(old, new, 1);
    assert_ne!(good, bad, "nothing to replace: {old}");
    let error = load(bad.as_bytes()).expect_err("a refusal").to_string();
    assert!(error.contains(expected), "{error}");
    assert!(!error.contains('\n') && !error.ends_with('.'), "{error}");
}

#[test]
fn a_bad_file_gets_one_sentence_with_the_place() {
    check(
        "\"version\": 1",
        "\"version\": 5",
        "is of version 5; this program reads versions up to 4",
    );
    check("\"version\": 1", "\"version\": 0", "the version must be a whole number from 1 on");
    check("loomwright-car", "other", "found \"other\"");
    check("\"label\": \"Map", "\"labl\": \"Map", "unknown field 'labl', expected one of 'type'");
    check("\"label\": \"Map", "\"labl\": \"Map", "at parts.P3.labl in line 14");
    check("\"lamp\"", "\"candle\"", "no part type is called 'candle', at parts.P3");
    check("\"part\": \"P3\"", "\"part\": \"P9\"", "there is no part P9 in this car, at wires.W4");
    check(
        "\"terminal\": \"1\"",
        "\"terminal\": \"7\"",
        "Map lamp has no terminal '7', at wires.W4",
    );
    check(
        "Map lamp",
        "Battery",
        "another part is called 'Battery'; labels must differ, at parts.P3",
    );
    check("\"P3\": {\"type", "\"P2\": {\"type", "'P2' stands here twice");
    check("\"P3\": {\"type", "\"P03\": {\"type", "'P03' is no id of this kind");
    check("\"watts\": 5", "\"watts\": 5000", "Power must be from 0.5 to 250 W, at parts.P3");
    check(
        "\"watts\": 5",
        "\"watts\": 1e999",
        "found a number that is too large, in line 14, column",
    );
    check("\"watts\": 5", "\"watts\": \"5\"", "at parts.P3.facts.watts in line 14");
    check(
        "\"last_id\": 4",
        "\"last_id\": 3",
        "ids must be from 1 to \"last_id\", which is 3, at wires.W4",
    );
    check("\"size\": 1", "\"size\": -1", "'-1' is no wire size");
    check("purple/white", "tartan", "'tartan' is no wire colour");
    check("\"part\": \"P2\", ", "", "either 'part' and 'terminal', or 'sheet' and 'at'");
    check("Map lamp", "Map\\u0007lamp", "one line without control characters");
    check("Map lamp", " Map lamp", "must not begin or end with a blank");
    check("[60, 12.5]", "[60, 1e30]", "within 20000 mm");
    check("    \"S1\": {\"title\": \"Sheet 1\"}\n", "", "a car has at least one sheet");
    check(
        "\"last_id\": 4\n}",
        "\"last_id\": 4\n} {}",
        "found more, expected the end of the file, in line 22",
    );
    check(
        "\"last_id\": 4\n}",
        "\"last_id\": 4\n",
        "the file breaks off: expected more, down to the last '}', in line",
    );
    let facts = "\"facts\": {\"watts\": 5}";
    check(facts, "\"seen\": {\"height\": -1}", "a length must be from 0 to 5000 mm");
    check(facts, "\"seen\": {\"on\": \"cheese\"}", "found 'cheese', expected one of 'steel'");
    check("\"name\": \"\"", "\"name\": \"\", \"first_used\": \"old\"", "'old' is no year");
    check("\"promises\": {}", "\"promises\": {\"R4\": 7}", "at promises.R4 in line 19");
}

#[test]
fn what_is_no_car_file_is_called_so() {
    for text in ["", "  \n", "hello", "[]", "7", "{\"format\": \"cake\"}", "\u{0}", "<svg/>"] {
        let error = load(text.as_bytes()).expect_err("no car");
        assert!(matches!(error, LoadError::NotACar { .. }), "{text}: {error}");
    }
    let error = load(&vec![b' '; 20_000_000]).expect_err("too large");
    assert!(matches!(error, LoadError::TooLarge { bytes: 20_000_000 }));
}

#[test]
fn a_byte_order_mark_in_front_is_no_mistake() {
    let car = plain_car();
    let marked = [b"\xef\xbb\xbf".as_slice(), &save(&car)].concat();
    assert_eq!(load(&marked), Ok(car));
}

#[test]
fn deep_nesting_is_refused() {
    for open in ["[", "{\"a\":"] {
        for before in ["", "{\"format\": \"loomwright-car\", \"version\": 1, \"vehicle\": "] {
            let text = format!("{before}{}", open.repeat(1_000_000));
            assert!(load(text.as_bytes()).is_err());
        }
    }
}

#[test]
fn every_library_type_can_be_saved_and_comes_back() {
    let mut car = Car::default();
    for (n, part_type) in Library::standard().iter().enumerate() {
        place(&mut car, part(&part_type.name, "", n as f64 * 10.0, 0.0));
        let mut own = (**part_type).clone();
        own.name = format!("own-{}", own.name);
        edit(&mut car, Edit::SetOwnType(std::sync::Arc::new(own)));
    }
    assert!(car.parts().len() > 40);
    assert_eq!(load(&save(&car)), Ok(car));
}

#[test]
fn the_schema_names_every_part_of_the_file() {
    let schema: serde_json::Value = serde_json::from_str(&schema()).expect("JSON");
    let mut car = small_car().0;
    edit(&mut car, Edit::AddSheet(loomwright_circuit::Sheet { title: "Back".into() }));
    for car in [car, plain_car()] {
        let value: serde_json::Value = serde_json::from_slice(&save(&car)).expect("JSON");
        conforms(&schema, &schema, &value, "$").unwrap_or_else(|why| panic!("{why}"));
    }
    let mut bad: serde_json::Value = serde_json::from_slice(&save(&plain_car())).expect("JSON");
    bad["parts"]["P3"]["weight"] = 3.into();
    assert!(conforms(&schema, &schema, &bad, "$").is_err());
    bad = serde_json::from_slice(&save(&plain_car())).expect("JSON");
    bad["parts"]["X3"] = bad["parts"]["P3"].clone();
    assert!(conforms(&schema, &schema, &bad, "$").is_err());
}

/// A reading of the JSON Schema keywords that the file's schema uses (JSON Schema 2020-12, validation vocabulary).
fn conforms(
    root: &serde_json::Value,
    schema: &serde_json::Value,
    value: &serde_json::Value,
    path: &str,
) -> Result<(), String> {
    if let Some(target) = schema["$ref"].as_str() {
        let target =
            root.pointer(target.trim_start_matches('#')).expect("a reference that leads somewhere");
        return conforms(root, target, value, path);
    }
    for key in ["oneOf", "anyOf"] {
        if let Some(choices) = schema[key].as_array() {
            let n_fits =
                choices.iter().filter(|it| conforms(root, it, value, path).is_ok()).count();
            if n_fits == 0 || (key == "oneOf" && n_fits > 1) {
                return Err(format!("{path}: {n_fits} choices fit"));
            }
        }
    }
    if let Some(expected) = schema.get("const").filter(|expected| *expected != value) {
        return Err(format!("{path}: not {expected}"));
    }
    if schema["enum"].as_array().is_some_and(|choices| !choices.contains(value)) {
        return Err(format!("{path}: {value} is not among {}", schema["enum"]));
    }
    let kinds: Vec<&str> = match &schema["type"] {
        serde_json::Value::String(kind) => vec![kind],
        serde_json::Value::Array(kinds) => kinds.iter().filter_map(|kind| kind.as_str()).collect(),
        _ => Vec::new(),
    };
    let is = |kind: &str| match kind {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "number" => value.is_number(),
        "integer" => value.is_u64() || value.is_i64(),
        "boolean" => value.is_boolean(),
        "null" => value.is_null(),
        _ => false,
    };
    if !kinds.is_empty() && !kinds.iter().any(|kind| is(kind)) {
        return Err(format!("{path}: {value} is no {kinds:?}"));
    }
    for row in value.as_array().into_iter().flatten() {
        if schema["items"].is_object() {
            conforms(root, &schema["items"], row, path)?;
        }
    }
    members(root, schema, value, path)
}

fn members(
    root: &serde_json::Value,
    schema: &serde_json::Value,
    value: &serde_json::Value,
    path: &str,
) -> Result<(), String> {
    let Some(fields) = value.as_object() else { return Ok(()) };
    for name in schema["required"].as_array().into_iter().flatten() {
        if !fields.contains_key(name.as_str().unwrap_or_default()) {
            return Err(format!("{path}: {name} is missing"));
        }
    }
    for (name, field) in fields {
        let path = format!("{path}.{name}");
        let by_pattern = schema["patternProperties"].as_object().and_then(|patterns| {
            // The only patterns are those of ids: a letter and a number.
            let letter = |pattern: &str| pattern.chars().nth(1);
            patterns.iter().find(|(pattern, _)| name.chars().next() == letter(pattern))
        });
        if let Some(known) =
            schema["properties"].get(name).or_else(|| by_pattern.map(|(_, known)| known))
        {
            conforms(root, known, field, &path)?;
        } else if schema["additionalProperties"] == false {
            return Err(format!("{path}: unknown"));
        } else if schema["additionalProperties"].is_object() {
            conforms(root, &schema["additionalProperties"], field, &path)?;
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

    #[test]
    fn whatever_was_edited_comes_back(wishes in wishes()) {
        let (mut car, ..) = small_car();
        for wish in wishes {
            if let Ok(patch) = car.plan(wish.edit(&car)) {
                car.apply(&patch);
            }
        }
        let bytes = save(&car);
        prop_assert_eq!(bytes.last(), Some(&b'\n'));
        let back = load(&bytes);
        prop_assert_eq!(back.as_ref(), Ok(&car));
        prop_assert_eq!(save(&back.expect("read back")), bytes);
    }

    #[test]
    fn no_bytes_make_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        prop_assert!(load(&bytes).is_err());
    }

    #[test]
    fn no_mutation_makes_it_panic_or_say_two_things(
        cuts in prop::collection::vec((any::<usize>(), 0usize..20, "[ -~\u{0}-\u{ff}]{0,6}"), 1..4),
    ) {
        let mut bytes = save(&small_car().0);
        for (at, n_gone, new) in cuts {
            let at = at % bytes.len();
            let end = (at + n_gone).min(bytes.len());
            bytes.splice(at..end, new.bytes());
        }
        match load(&bytes) {
            Ok(car) => prop_assert_eq!(load(&save(&car)), Ok(car)),
            Err(error) => prop_assert!(!error.to_string().contains('\n'), "{}", error),
        }
    }
}

#[test]
fn an_empty_car_has_a_sheet() {
    let car = Car::default();
    assert!(car.sheets().contains_key(&SheetId(1)));
    assert_eq!(load(&save(&car)), Ok(car));
}
