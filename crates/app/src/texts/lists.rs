//! The list of findings.

use super::texts;

texts! {
    Lists {
        find() = "Find in the findings";
        find_hint() = "Find in the findings…";
        by_sheet() = "by sheet";
        by_sheet_name() = "List by sheet";
        list_level(level) = "List {level}";
    }
}
