//! Why a control stays where it is, in words.

use loomwright_electrics::SettingError;

/// Why a control stays where it is, in a sentence.
pub(super) fn refusal(error: &SettingError, worked: &str, asked: &str) -> String {
    match error {
        SettingError::NoControl { control, .. } => format!("There is no control called {control}"),
        SettingError::NoPosition { control, position, known } => {
            format!("{control} has no position {position}; it has {}", known.join(", "))
        }
        SettingError::Holds { control } => {
            format!("{control} holds: it opens only where it carries more than it can")
        }
        SettingError::Impossible { together } => {
            let others: Vec<String> = together
                .iter()
                .filter(|(control, _)| control != worked)
                .map(|(control, position)| format!("{control} is at {position}"))
                .collect();
            let worked = crate::tool::sentence(worked);
            match &*others {
                [] => format!("{worked} cannot stand at {asked}"),
                others => {
                    format!("{worked} cannot go to {asked} while {}", others.join(" and "))
                }
            }
        }
    }
}
