//! Tables of what the program says to people: British English, ready for translation.
//!
//! A row is a template with named places. It makes a function of that name, so that the compiler checks every place, and
//! finds a row that nothing uses; and it stands in a list, which a translator reads. What stands outside the tables is
//! found by [`literals`], by which tests hold a crate to its table.
#![warn(missing_docs)]

mod literals;

pub use literals::literals;

/// A row of a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Text {
    /// Whose it is: the code of a rule, a part of the window, or the name of what several share.
    pub of: &'static str,
    /// Its name among those.
    pub key: &'static str,
    /// What it says in British English, with its places in braces.
    pub english: &'static str,
}

/// Makes a type for each name, with a function for each row, and `TEXTS`, the list of the rows.
///
/// Numbers come into a row through its places, as `loomwright_units` writes them. Fixed text that holds numbers with
/// decimals has the word `decimal` before it, and is then said with the reader's mark; names and clauses of standards
/// keep their points, so a row holds either.
///
/// ```
/// mod fuses {
///     loomwright_texts::texts! {
///         Fuses {
///             none() = "No fuse";
///             carries(fuse, amps) = "{fuse} carries {amps}";
///         }
///     }
/// }
/// assert_eq!(fuses::Fuses::none(), "No fuse");
/// assert_eq!(fuses::Fuses::carries("F1", "10 A"), "F1 carries 10 A");
/// assert_eq!(fuses::TEXTS[1].english, "{fuse} carries {amps}");
/// ```
#[macro_export]
macro_rules! texts {
    ($($of:ident { $($key:ident($($place:ident),*) = $($kind:ident)? $english:literal;)+ })+) => {
        $(
            pub(crate) struct $of;

            impl $of {
                $($crate::row! { $key($($place),*) = $($kind)? $english })+
            }
        )+

        pub(super) const TEXTS: &[$crate::Text] = &[$($($crate::Text {
            of: stringify!($of),
            key: stringify!($key),
            english: $english,
        },)+)+];
    };
}

/// The text with a comma for each point between two digits; for rows that are marked as such.
#[doc(hidden)]
pub const fn with_comma<const N: usize>(text: &str) -> [u8; N] {
    let text = text.as_bytes();
    let mut out = [0; N];
    let mut at = 0;
    while at < N {
        let is_mark = text[at] == b'.'
            && at > 0
            && at + 1 < N
            && text[at - 1].is_ascii_digit()
            && text[at + 1].is_ascii_digit();
        out[at] = if is_mark { b',' } else { text[at] };
        at += 1;
    }
    out
}

/// A row without places is fixed text, one with places is set anew each time.
#[doc(hidden)]
#[macro_export]
macro_rules! row {
    ($key:ident() = $english:literal) => {
        pub(crate) const fn $key() -> &'static str {
            $english
        }
    };
    ($key:ident() = decimal $english:literal) => {
        pub(crate) fn $key() -> &'static str {
            const COMMA: [u8; $english.len()] = $crate::with_comma($english);
            match (loomwright_units::decimal_mark(), std::str::from_utf8(&COMMA)) {
                (loomwright_units::DecimalMark::Comma, Ok(text)) => text,
                _ => $english,
            }
        }
    };
    ($key:ident($($place:ident),+) = $english:literal) => {
        pub(crate) fn $key($($place: impl std::fmt::Display),+) -> String {
            format!($english)
        }
    };
}
