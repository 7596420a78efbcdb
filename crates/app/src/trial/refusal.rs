//! Why a control stays where it is, in words.

use loomwright_electrics::SettingError;

use crate::texts::RefusalWords;

/// Why a control stays where it is, in a sentence.
pub(super) fn refusal(error: &SettingError, worked: &str, asked: &str) -> String {
    match error {
        SettingError::NoControl { control, .. } => {
            RefusalWords::there_is_no_control_called(control)
        }
        SettingError::NoPosition { control, position, known } => {
            RefusalWords::has_no_position_it_has(control, position, known.join(", "))
        }
        SettingError::Holds { control } => RefusalWords::holds_it_opens_only_where_it(control),
        SettingError::Impossible { together } => {
            let others: Vec<String> = together
                .iter()
                .filter(|(control, _)| control != worked)
                .map(|(control, position)| RefusalWords::is_at(control, position))
                .collect();
            let worked = crate::tool::sentence(worked);
            match &*others {
                [] => RefusalWords::cannot_stand_at(&worked, asked),
                others => RefusalWords::cannot_go_to_while(&worked, asked, others.join(" and ")),
            }
        }
    }
}
