//! What a consumer is for is guessed in the details, said by a person, and undone.

use egui_kittest::kittest::Queryable as _;
use loomwright_circuit::Role;

use crate::window::Window;

#[test]
fn a_guess_is_shown_and_can_be_corrected_and_undone() {
    let mut window = Window::on_demo();
    window.check();
    window.click("Part Left work lamp");
    let id = window.part("Left work lamp");
    let guessed = window.app().analysis.roles(window.car(), id)[0].guess;
    window.harness.get_by_label("Is for").click_accesskit();
    window.run();
    window.harness.get_by_label("Reversing lamp").click_accesskit();
    window.run();
    let part = window.car().part(id).expect("the lamp").clone();
    assert_eq!(part.roles.values().collect::<Vec<_>>(), [&Role::Reversing]);
    let role = &window.app().analysis.roles(window.car(), id)[0];
    assert_eq!((role.said, role.guess), (Some(Role::Reversing), guessed));
    let ctx = window.harness.ctx.clone();
    let undo = loomwright_app::action::Action::Command(loomwright_app::command::Command::Undo);
    window.harness.state_mut().act(&ctx, undo);
    assert!(window.car().part(id).expect("the lamp").roles.is_empty());
}
