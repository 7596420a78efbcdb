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
    ($($of:ident { $($key:ident($($place:ident),*) = $english:literal;)+ })+) => {
        $(
            pub(crate) struct $of;

            impl $of {
                $($crate::row! { $key($($place),*) = $english })+
            }
        )+

        pub(super) const TEXTS: &[$crate::Text] = &[$($($crate::Text {
            of: stringify!($of),
            key: stringify!($key),
            english: $english,
        },)+)+];
    };
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
    ($key:ident($($place:ident),+) = $english:literal) => {
        pub(crate) fn $key($($place: impl std::fmt::Display),+) -> String {
            format!($english)
        }
    };
}
