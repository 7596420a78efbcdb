//! The tour, the schemes of colours, and the shelf's own rows.

use super::texts;
use crate::decimal::MarkChoice;
use crate::theme::Scheme;

texts! {
    Tour {
        draw_heading() = "1 · Draw the car";
        draw() = "Say first what you draw: as found is what the car has, to fit is what you add to it. Drag a part from the shelf at the left onto the sheet, then drag from one terminal to another to run a wire.";
        try_heading() = "2 · Work its switches";
        try_out() = "In Try you turn the key and work the stalks before you cut a wire. The findings above say what would go wrong, show it, and mend it by a button where the program knows how.";
        papers_heading() = "3 · Take the papers to the garage";
        papers() = "In Papers stand the pages for the garage: the drawing, what to cut and to buy, and what the meter should read.";
        next() = "Next";
        back() = "Back";
        done() = "Begin";
        end() = "Do not show again";
        end_tip(key) = "Puts this away for good; Help in the menu, or {key}, shows it once more";
        ended(key) = "The three steps are put away for good; Help in the menu, or {key}, shows them once more";
        progress(step, of) = "{step} of {of}";
    }

    Demos {
        roadster() = "Roadster with driving lamps";
        roadster_says() = "A whole car with an alteration; it is shown at the first start";
        van() = "Van with mistakes in it";
        van_says() = "Finds what the rules find";
        learner() = "Learner's sheet";
        learner_says() = "One small sheet to begin with";
    }

    Schemes {
        heading() = "Colours";
        day() = "Day";
        night() = "Night";
        contrast() = "High contrast";
        day_tip() = "Warm paper";
        night_tip() = "Dark, for the garage";
        contrast_tip() = "Black on white, with strong edges";
    }

    Marked {
        heading() = "Decimal mark";
        system() = "From the system";
        point() = "Point";
        comma() = "Comma";
        system_tip() = "As the language and region of the computer have it";
        point_tip() = "Numbers on the screen and on papers are written with a point";
        comma_tip() = "Numbers on the screen and on papers are written with a comma; files keep their points";
    }

    Shelved {
        favourites() = "Favourites";
        lately() = "Placed lately";
        lately_none() = "What you place goes here";
        mark_tip(key) = "Keeps it at the top of the shelf ({key} does the same)";
        unmark_tip(key) = "Takes it from the top of the shelf ({key} does the same)";
        favourite(title) = "Favourite: {title}";
        row_favourite(title) = "{title}, favourite";
        row_lately(title) = "{title}, placed lately";
        key() = "F";
    }
}

/// A scheme with its word and tip.
type SchemeRow = (Scheme, fn() -> &'static str, fn() -> &'static str);

impl Marked {
    /// Word and tip of a choice.
    pub(crate) fn of(choice: MarkChoice) -> (&'static str, &'static str) {
        match choice {
            MarkChoice::System => (Self::system(), Self::system_tip()),
            MarkChoice::Point => (Self::point(), Self::point_tip()),
            MarkChoice::Comma => (Self::comma(), Self::comma_tip()),
        }
    }
}

impl Schemes {
    /// All of them, with word and tip.
    pub(crate) const ALL: [SchemeRow; 3] = [
        (Scheme::Day, Self::day, Self::day_tip),
        (Scheme::Night, Self::night, Self::night_tip),
        (Scheme::Contrast, Self::contrast, Self::contrast_tip),
    ];
}
