//! All that the window shows of the demo cars.

use std::collections::BTreeSet;

use egui::epaint::Shape;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loomwright_app::action::{AcceptStep, Action, PromiseStep};
use loomwright_app::command::Command;
use loomwright_app::decimal::MarkChoice;
use loomwright_app::state::{Field, Mode, Pen, Question, Selection};
use loomwright_circuit::{Car, Edit};
use loomwright_units::{DecimalMark, Metres, decimal_mark, with_decimals};

use crate::points::{points, without_terminals};
use crate::window::Window;
use crate::{cars, with_mark};

/// A window on a demo car, checked with a point, in which the comma is then chosen.
fn window(car: Car) -> Window {
    let mut window = Window::on(car);
    window.rest();
    assert_eq!(decimal_mark(), DecimalMark::Point);
    act(&mut window, Action::DecimalMark(MarkChoice::Comma));
    window.rest();
    assert_eq!(decimal_mark(), DecimalMark::Comma);
    window
}

fn act(window: &mut Window, action: Action) {
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, action);
    window.run();
}

/// Every text that is painted, and every one that a screen reader is told.
fn texts(window: &Window) -> BTreeSet<String> {
    fn letters(shape: &Shape, found: &mut BTreeSet<String>) {
        match shape {
            Shape::Text(text) => drop(found.insert(text.galley.text().to_owned())),
            Shape::Vec(shapes) => shapes.iter().for_each(|shape| letters(shape, found)),
            _ => {}
        }
    }
    let mut found = BTreeSet::new();
    for clipped in &window.harness.output().shapes {
        letters(&clipped.shape, &mut found);
    }
    for node in window.harness.query_all_by(|_| true) {
        let node = node.accesskit_node();
        found.extend(
            [node.label(), node.value(), node.description(), node.placeholder().map(str::to_owned)]
                .into_iter()
                .flatten(),
        );
    }
    found
}

/// What was seen, with the decimal points in it, and how many commas.
#[derive(Default)]
struct Seen {
    points: BTreeSet<String>,
    texts: BTreeSet<String>,
}

impl Seen {
    fn look(&mut self, window: &Window, at: &str) {
        for text in texts(window) {
            let told = without_terminals(window.car(), &text);
            self.points.extend(points(&told).into_iter().map(|point| format!("{at}: {point}")));
            self.texts.insert(text);
        }
    }

    /// Fails where a point was seen, or fewer numbers with a comma than there are to see.
    fn tell(self, commas_least: usize) {
        let is_digit = |letter: Option<&u8>| letter.is_some_and(u8::is_ascii_digit);
        let has_comma = |text: &&String| {
            let bytes = text.as_bytes();
            (1..bytes.len()).any(|at| {
                bytes[at] == b',' && is_digit(bytes.get(at - 1)) && is_digit(bytes.get(at + 1))
            })
        };
        let commas = self.texts.iter().filter(has_comma).count();
        let list: Vec<&str> = self.points.iter().map(String::as_str).collect();
        assert!(list.is_empty(), "with a point:\n{}", list.join("\n"));
        assert!(commas >= commas_least, "only {commas} texts with a comma were seen");
    }
}

#[test]
fn no_number_of_the_drawing_and_its_details_has_a_point() {
    let _mark = with_mark(DecimalMark::Point);
    let mut window = window(cars::roadster());
    let mut seen = Seen::default();
    seen.look(&window, "Draw");
    let parts: Vec<_> = window.car().parts().keys().copied().collect();
    let wires: Vec<_> = window.car().wires().keys().copied().collect();
    for part in parts {
        act(&mut window, Action::Select(Selection::part(part)));
        seen.look(&window, "part");
    }
    for wire in wires {
        act(&mut window, Action::Select(Selection::wire(wire)));
        seen.look(&window, "wire");
    }
    seen.tell(60);
}

#[test]
fn no_finding_has_a_point_once_the_comma_is_chosen() {
    let _mark = with_mark(DecimalMark::Point);
    let mut window = window(cars::heron_van());
    let mut seen = Seen::default();
    let report = window.app().analysis.report.clone();
    assert!(report.findings.len() > 5, "{} findings", report.findings.len());
    for finding_idx in 0..report.findings.len() {
        act(&mut window, Action::LookAt(finding_idx));
        seen.look(&window, "finding");
        act(&mut window, Action::Why(finding_idx));
        seen.look(&window, "why");
        act(&mut window, Action::ShowMe(finding_idx));
        seen.look(&window, "shown");
        act(&mut window, Action::Command(Command::Draw));
    }
    // Whatever the list has no room for on this screen.
    for finding in &report.findings {
        for text in [&finding.says, &finding.advice] {
            assert!(points(text).is_empty(), "{text}");
        }
        assert!(points(finding.source).is_empty(), "{}", finding.source);
        for fix in &finding.fixes {
            assert!(points(&fix.title).is_empty(), "{}", fix.title);
        }
    }
    seen.tell(5);
}

#[test]
fn no_reading_of_a_car_that_is_tried_has_a_point() {
    let _mark = with_mark(DecimalMark::Point);
    let mut window = window(cars::roadster());
    window.key(Modifiers::COMMAND, Key::Num2);
    assert_eq!(window.app().state.mode, Mode::Try);
    let controls: Vec<(String, String)> = vec![
        ("ignition".to_owned(), "on".to_owned()),
        ("Lighting switch".to_owned(), "head".to_owned()),
    ];
    for (control, position) in controls {
        act(&mut window, Action::Work(control, position));
    }
    window.key(Modifiers::NONE, Key::U);
    let mut seen = Seen::default();
    seen.look(&window, "Try");
    let parts: Vec<_> = window.car().parts().keys().copied().collect();
    let wires: Vec<_> = window.car().wires().keys().copied().collect();
    for part in parts {
        act(&mut window, Action::Select(Selection::part(part)));
        seen.look(&window, "reading of a part");
    }
    for wire in wires {
        act(&mut window, Action::Select(Selection::wire(wire)));
        seen.look(&window, "reading of a wire");
    }
    seen.tell(60);
}

#[test]
fn the_list_of_pages_and_the_menu_have_none_either() {
    let _mark = with_mark(DecimalMark::Point);
    let mut window = window(cars::roadster());
    let mut seen = Seen::default();
    for submenu in ["File", "View", "Size of everything", "Decimal mark"] {
        window.open_submenu(submenu);
        seen.look(&window, "menu");
        window.key(Modifiers::NONE, Key::Escape);
    }
    window.key(Modifiers::COMMAND, Key::Num3);
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().wait_for_pages(&ctx);
    window.run();
    seen.look(&window, "Papers");
    seen.tell(0);
}

#[test]
fn a_reading_is_the_figure_solved_with_a_comma_in_it() {
    let _mark = with_mark(DecimalMark::Point);
    let mut window = Window::on_demo();
    act(&mut window, Action::DecimalMark(MarkChoice::Comma));
    window.key(Modifiers::COMMAND, Key::Num2);
    window.click("Part Work-lamp switch");
    window.click("Part Left work lamp");
    let trial = window.app().analysis.trial.as_ref().expect("the car is being tried");
    let reading = trial.settled.on.part(window.part("Left work lamp")).expect("a reading");
    let amps = with_decimals(reading.amps.0, 2);
    assert!(amps.contains(','), "{amps}");
    assert!(window.says(&format!("{amps} A")));
    // What was tried goes on, and the same is read with a point.
    act(&mut window, Action::DecimalMark(MarkChoice::Point));
    assert!(window.says(&format!("{} A", amps.replace(',', "."))));
}

#[test]
fn a_field_offers_what_it_reads() {
    let _mark = with_mark(DecimalMark::Point);
    let mut window = Window::on_demo();
    act(&mut window, Action::DecimalMark(MarkChoice::Comma));
    // With the pen for what is found, the wire is corrected in its own row.
    if window.app().state.pen == Pen::ToFit {
        act(&mut window, Action::Command(Command::SwitchPen));
    }
    let wire = *window.car().wires().keys().next().expect("a wire");
    act(&mut window, Action::Select(Selection::wire(wire)));
    let enter = |window: &mut Window, field: Field, text: &str| {
        act(window, Action::Typed(field.clone(), text.to_owned()));
        act(window, Action::Entered(field));
    };
    enter(&mut window, Field::WireLength(wire), "1,25 m");
    enter(&mut window, Field::WireSize(wire), "2,5");
    let row = window.car().wire(wire).expect("it is there").clone();
    assert_eq!(row.length, Some(Metres(1.25)));
    assert_eq!(row.size.map(|size| size.square_mm()), Some(2.5));
    let shown = texts(&window);
    for offered in ["1,25 m", "2,5 mm²"] {
        assert!(shown.contains(offered), "{offered}");
    }
    // What is offered, entered as it stands, changes nothing.
    enter(&mut window, Field::WireLength(wire), "1,25 m");
    enter(&mut window, Field::WireSize(wire), "2,5 mm²");
    assert_eq!(window.car().wire(wire), Some(&row));
    // With a comma, a point before three figures may part thousands.
    enter(&mut window, Field::WireLength(wire), "1.250 m");
    assert_eq!(window.car().wire(wire), Some(&row));
    assert!(
        texts(&window).iter().any(|text| text.contains("without a point")),
        "it is asked about"
    );
}

#[test]
fn the_choice_is_kept_for_the_next_start() {
    let _mark = with_mark(DecimalMark::Point);
    let folder = std::env::temp_dir().join(format!("loomwright-mark-{}", std::process::id()));
    let store = loomwright_app::store::Store::at(folder.clone());
    let mut window = Window::kept(cars::learner(), store.clone());
    act(&mut window, Action::DecimalMark(MarkChoice::Comma));
    assert_eq!(store.settings().decimal_mark, MarkChoice::Comma);
    drop(window);
    loomwright_units::set_decimal_mark(DecimalMark::Point);
    let ctx = egui::Context::default();
    let app = loomwright_app::app::App::start(&ctx, store, None);
    assert_eq!(app.state.settings.decimal_mark, MarkChoice::Comma);
    assert_eq!(decimal_mark(), DecimalMark::Comma);
    std::fs::remove_dir_all(&folder).expect("removed");
}

#[test]
fn an_accepted_finding_is_kept_with_points_and_told_with_the_mark() {
    let _mark = with_mark(DecimalMark::Point);
    let mut point = Window::on(cars::heron_van());
    point.rest();
    let with_figure = |window: &Window| {
        let findings = &window.app().analysis.report.findings;
        findings.iter().position(|finding| {
            let other = if decimal_mark() == DecimalMark::Comma { ',' } else { '.' };
            let is_digit = |at: Option<char>| at.is_some_and(|at| at.is_ascii_digit());
            finding.says.match_indices(other).any(|(at, _)| {
                let (before, after) = (&finding.says[..at], &finding.says[at + 1..]);
                is_digit(before.chars().last()) && is_digit(after.chars().next())
            })
        })
    };
    let accept = |window: &mut Window, finding_idx: usize| {
        act(window, Action::Accept(AcceptStep::Ask(finding_idx)));
        act(window, Action::Accept(AcceptStep::Reason("As the maker built it".to_owned())));
        act(window, Action::Accept(AcceptStep::By("B. Owner".to_owned())));
        act(window, Action::Accept(AcceptStep::Take));
        window.car().accepted().values().next().expect("it is accepted").clone()
    };
    let finding_idx = with_figure(&point).expect("a finding with decimals");
    let kept = accept(&mut point, finding_idx);
    let mut comma = window(cars::heron_van());
    let told = comma.app().analysis.report.findings[finding_idx].says.clone();
    assert_eq!(with_figure(&comma), Some(finding_idx), "{told}");
    let row = accept(&mut comma, finding_idx);
    assert_eq!(row, kept, "the car file is the same");
    assert!(told != row.says);
    assert_eq!(loomwright_rules::for_reader(comma.car(), &row.says), told);
    comma.rest();
    let report = &comma.app().analysis.report;
    let found = report.findings.iter().find(|finding| finding.says == told);
    assert!(found.is_some_and(loomwright_rules::Finding::is_accepted), "it is known again");
}

#[test]
fn the_open_box_of_a_finding_changes_its_mark_and_the_car_file_keeps_points() {
    let _mark = with_mark(DecimalMark::Point);
    let mut window = Window::on(cars::heron_van());
    window.rest();
    let car = window.car().clone();
    let has_point = |says: &str| !points(&without_terminals(&car, says)).is_empty();
    let found = window.app().analysis.findings(&car).find_map(|(number, finding)| {
        let is_meant = !finding.is_accepted() && has_point(&finding.says);
        is_meant.then(|| (number, finding.says.clone()))
    });
    let (number, says) = found.expect("a figure");
    act(&mut window, Action::Accept(AcceptStep::Ask(number)));
    let told = |window: &Window| match &window.app().state.question {
        Some(Question::Accept(asked)) => asked.finding.says.clone(),
        other => panic!("{other:?}"),
    };
    act(&mut window, Action::DecimalMark(MarkChoice::Comma));
    assert!(!has_point(&told(&window)) && told(&window) != says, "{}", told(&window));
    act(&mut window, Action::DecimalMark(MarkChoice::Point));
    assert_eq!(told(&window), says);
    act(&mut window, Action::DecimalMark(MarkChoice::Comma));
    act(&mut window, Action::Accept(AcceptStep::Reason("Known".to_owned())));
    act(&mut window, Action::Accept(AcceptStep::By("B. Owner".to_owned())));
    act(&mut window, Action::Accept(AcceptStep::Take));
    let row = window.car().accepted().values().next().expect("accepted");
    assert_eq!(row.says, says);
}

#[test]
fn promises_that_are_offered_change_their_mark_while_the_box_is_open() {
    let _mark = with_mark(DecimalMark::Point);
    let mut car = cars::roadster();
    for id in car.promises().keys().copied().collect::<Vec<_>>() {
        let patch = car.plan(Edit::ErasePromise(id)).expect("it may be");
        car.apply(&patch);
    }
    let mut window = Window::on(car);
    window.rest();
    act(&mut window, Action::Command(Command::Try));
    act(&mut window, Action::Promise(PromiseStep::Usual));
    // Thousands of states are parted by what does not mark decimals.
    let counts = |window: &Window| -> Vec<String> {
        let is_count = |text: &String| text.starts_with("in ") && text.contains("states");
        texts(window).into_iter().filter(is_count).collect()
    };
    let before = counts(&window);
    assert!(before.iter().any(|text| text.contains(',')), "{before:?}");
    act(&mut window, Action::DecimalMark(MarkChoice::Comma));
    window.rest();
    assert!(matches!(window.app().state.question, Some(Question::Usual(_))));
    let after = counts(&window);
    assert!(!after.is_empty() && after.iter().all(|text| !text.contains(',')), "{after:?}");
}
