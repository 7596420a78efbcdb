//! Notes on the sheet: text beside the circuit, and titled frames around groups of it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::geometry::is_default;
use crate::{Box2, Point, SheetId};

/// Text on a sheet, or a frame around a group with its title: one row of the car file. It says nothing to electricity.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Note {
    /// The sheet it stands on.
    pub sheet: SheetId,
    /// Its upper left corner.
    pub at: Point,
    /// Its lines; the title of a frame.
    pub text: String,
    /// Width and height of a frame, mm; nothing for text alone.
    #[serde(default, skip_serializing_if = "is_default")]
    pub frame: Option<Point>,
}

impl Note {
    /// The rectangle of a frame.
    pub fn frame_on_sheet(&self) -> Option<Box2> {
        self.frame.map(|size| Box2 { min: self.at, max: self.at + size })
    }
}
