//! What is said of what the pointer rests on: what the drawing has no room for, or shows too small to be read.

use loomwright_circuit::{Box2, Point};
use loomwright_drawing::{Item, Legible, Prim, Subject};

use super::CanvasView;
use crate::painter::{Screen, legible};
use crate::state::State;
use crate::texts::{Canvas, Found, Meters};
use crate::tool::Target;
use crate::trial::{Lead, Trial};
use crate::view::details::terminal_says;
use crate::view::readings::carried;

/// What to say; nothing where the drawing says it all.
pub(super) fn says(
    screen: &Screen,
    (state, view): (&State, &CanvasView),
    trial: Option<&Trial>,
    target: &Target,
) -> Option<String> {
    let at = state.pointer?;
    let mut says = match target {
        Target::Terminal(id, name) => {
            let place = crate::words::terminal(state.car(), *id, name);
            let is_unread =
                words(screen, (state, view), at, target).iter().any(|word| word == name.as_str());
            match terminal_says(state.car().type_of(*id)?.terminal(name)?) {
                known if !known.is_empty() => vec![Found::terminal_tip(place, known)],
                _ if is_unread => vec![place],
                _ => Vec::new(),
            }
        }
        target => words(screen, (state, view), at, target),
    };
    match view.probes.clicked(Some(target)) {
        Some((Lead::Red, _)) => says.push(Meters::click_sets_red().to_owned()),
        Some((Lead::Black, _)) => says.push(Meters::click_sets_black().to_owned()),
        None => {}
    }
    if let (Target::Wire(id), Some(trial)) = (target, trial.filter(|_| view.is_trying)) {
        let solution = trial.solution(view.is_lit);
        let wire = state.car().wire(*id)?;
        let carried = carried(solution, *id, wire);
        says.extend(carried.into_iter().map(|(name, says)| Canvas::reading(name, says)));
    }
    (!says.is_empty()).then(|| says.join(" · "))
}

/// The words about what is pointed at that are left out, or of a name that is cut.
fn words(
    screen: &Screen,
    (state, view): (&State, &CanvasView),
    at: Point,
    target: &Target,
) -> Vec<String> {
    let is_of = |subject: Subject| match (target, subject) {
        (Target::Part(id) | Target::Terminal(id, _), Subject::Label(of)) => *id == of,
        (Target::Wire(id), Subject::Flag(of)) => *id == of,
        (Target::Onward(id, sheet), Subject::Continuation(of, on)) => (*id, *sheet) == (of, on),
        _ => false,
    };
    let near = match target {
        // The number of a wire may stand far from where that is pointed at.
        Target::Wire(id) => {
            view.laid.routes.get(id).and_then(|route| Box2::around(route.iter().copied()))
        }
        _ => None,
    };
    let near = near.unwrap_or(Box2 { min: at, max: at }).grown(NEAR);
    let items = view.laid.items_in(near).filter(|item| is_of(item.subject));
    let (items, legible) = (items.collect::<Vec<_>>(), legible(screen, &view.laid));
    match target {
        Target::Terminal(..) => {
            items.iter().flat_map(|item| legible.left_out(item).map(str::to_owned)).collect()
        }
        Target::Part(id) => {
            let name = state.car().part(*id).map(|part| part.label.clone());
            let is_whole = |name: &String| items.iter().any(|item| shows(&legible, item, name));
            name.filter(|name| !is_whole(name)).into_iter().collect()
        }
        // Its lines are one phrase.
        _ => {
            let words: Vec<&str> = items.iter().flat_map(|item| legible.left_out(item)).collect();
            if words.is_empty() { Vec::new() } else { vec![words.join(" ")] }
        }
    }
}

/// Whether the words of a name are all shown, in as many lines as there may be.
fn shows(legible: &Legible, item: &Item, name: &str) -> bool {
    let shown = legible.shown(item);
    let lines = shown.iter().filter_map(|prim| match prim {
        Prim::Text { text, .. } => Some(text.as_str()),
        _ => None,
    });
    let letters = |text: &str| text.chars().filter(|it| !it.is_whitespace()).collect::<String>();
    let all: String = lines.map(letters).collect();
    all.contains(&letters(name))
}

/// How far from what is pointed at its lettering is looked for, mm.
const NEAR: f64 = 30.0;
