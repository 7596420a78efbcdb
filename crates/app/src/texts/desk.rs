//! The desk around the sheet: history, lining up, what belongs together.

use super::texts;

texts! {
    Arranged {
        needs_two() = "Lining up takes two parts or more; select them first";
        needs_three() = "Spreading takes three parts or more; select them first";
        is_so() = "They stand so already";
        lined_up(what) = "line up {what}";
        spread(what) = "spread {what}";
    }

    Steps {
        heading() = "History";
        first() = "As opened";
        undone(label) = "Undone: {label}";
        done_again(label) = "Done again: {label}";
        stands_after(label) = "The car as it was after: {label}";
        stands_as_opened() = "The car as it was opened";
        row(label) = "Step {label}";
        keys() = "Up and Down go from step to step · Enter closes";
        button() = "History";
        pen(standing) = "What you draw now is {standing}";
    }

    Together {
        nothing() = "Select a wire or a part first";
        joined(what) = "One connection: {what}";
        circuit(what) = "One circuit: {what}";
        elsewhere(count) = "{count} more on other sheets";
    }
}
