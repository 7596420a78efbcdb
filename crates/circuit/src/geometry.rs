//! Places on a sheet, in millimetres, x to the right and y down the page.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A place on a sheet or in a symbol, in mm; written `[x, y]`.
#[derive(
    Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(from = "[f64; 2]", into = "[f64; 2]")]
#[schemars(with = "[f64; 2]")]
pub struct Point {
    /// To the right, mm.
    pub x: f64,
    /// Down the page, mm.
    pub y: f64,
}

impl Point {
    /// A point at `x`, `y`, in mm.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Distance to another point, in mm.
    pub fn distance(self, other: Self) -> f64 {
        (self - other).length()
    }

    /// Distance to the origin, in mm.
    pub fn length(self) -> f64 {
        self.x.hypot(self.y)
    }

    /// The nearest point of a square grid of `pitch` mm.
    #[must_use]
    pub fn snapped(self, pitch: f64) -> Self {
        Self::new((self.x / pitch).round() * pitch, (self.y / pitch).round() * pitch)
    }
}

impl From<[f64; 2]> for Point {
    fn from([x, y]: [f64; 2]) -> Self {
        Self { x, y }
    }
}

impl From<Point> for [f64; 2] {
    fn from(point: Point) -> Self {
        [point.x, point.y]
    }
}

impl std::ops::Add for Point {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y)
    }
}

impl std::ops::Sub for Point {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.y - other.y)
    }
}

impl std::ops::Mul<f64> for Point {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        Self::new(self.x * by, self.y * by)
    }
}

/// Quarter turns, clockwise on the page.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Turn {
    /// As the part type draws it.
    #[default]
    None,
    /// A quarter turn clockwise.
    Quarter,
    /// Upside down.
    Half,
    /// A quarter turn anticlockwise.
    ThreeQuarters,
}

impl Turn {
    /// One quarter further, clockwise.
    #[must_use]
    pub fn next(self) -> Self {
        match self {
            Self::None => Self::Quarter,
            Self::Quarter => Self::Half,
            Self::Half => Self::ThreeQuarters,
            Self::ThreeQuarters => Self::None,
        }
    }

    /// Number of clockwise quarters, 0 to 3.
    pub fn quarters(self) -> u8 {
        match self {
            Self::None => 0,
            Self::Quarter => 1,
            Self::Half => 2,
            Self::ThreeQuarters => 3,
        }
    }
}

/// Which way a lead leaves a terminal.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Direction {
    /// Up the page.
    Up,
    /// To the right.
    Right,
    /// Down the page.
    Down,
    /// To the left.
    Left,
}

impl Direction {
    /// A step of one mm this way.
    pub fn step(self) -> Point {
        match self {
            Self::Up => Point::new(0.0, -1.0),
            Self::Right => Point::new(1.0, 0.0),
            Self::Down => Point::new(0.0, 1.0),
            Self::Left => Point::new(-1.0, 0.0),
        }
    }

    fn from_step(step: Point) -> Self {
        if step.x.abs() > step.y.abs() {
            if step.x > 0.0 { Self::Right } else { Self::Left }
        } else if step.y > 0.0 {
            Self::Down
        } else {
            Self::Up
        }
    }
}

/// Where a part lies on its sheet: mirrored first (left to right), then turned, then moved.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Placement {
    /// Place of the symbol's origin on the sheet, mm.
    pub at: Point,
    /// Quarter turns, clockwise.
    #[serde(default, skip_serializing_if = "is_default")]
    pub turn: Turn,
    /// Mirrored left to right before turning.
    #[serde(default, skip_serializing_if = "is_default")]
    pub mirror: bool,
}

pub(crate) fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

impl Placement {
    /// Place on the sheet of a point of the symbol.
    pub fn sheet_from_symbol(&self, point: Point) -> Point {
        self.at + self.turned(point)
    }

    /// A direction of the symbol as it lies on the sheet.
    pub fn direction(&self, direction: Direction) -> Direction {
        Direction::from_step(self.turned(direction.step()))
    }

    fn turned(&self, point: Point) -> Point {
        let Point { x, y } = if self.mirror { Point::new(-point.x, point.y) } else { point };
        match self.turn {
            Turn::None => Point::new(x, y),
            Turn::Quarter => Point::new(-y, x),
            Turn::Half => Point::new(-x, -y),
            Turn::ThreeQuarters => Point::new(y, -x),
        }
    }
}

/// An upright rectangle, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Box2 {
    /// Corner with the least x and y.
    pub min: Point,
    /// Corner with the greatest x and y.
    pub max: Point,
}

impl Box2 {
    /// The smallest rectangle around all `points`; nothing for no points.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Option<Self> {
        points.into_iter().fold(None, |so_far: Option<Self>, point| {
            Some(match so_far {
                None => Self { min: point, max: point },
                Some(rect) => rect.union(Self { min: point, max: point }),
            })
        })
    }

    /// The smallest rectangle around both.
    #[must_use]
    pub fn union(self, other: Self) -> Self {
        Self {
            min: Point::new(self.min.x.min(other.min.x), self.min.y.min(other.min.y)),
            max: Point::new(self.max.x.max(other.max.x), self.max.y.max(other.max.y)),
        }
    }

    /// The same rectangle with `margin` mm added all round.
    #[must_use]
    pub fn grown(self, margin: f64) -> Self {
        let by = Point::new(margin, margin);
        Self { min: self.min - by, max: self.max + by }
    }

    /// Whether the point lies inside or on the edge.
    pub fn contains(self, point: Point) -> bool {
        (self.min.x..=self.max.x).contains(&point.x) && (self.min.y..=self.max.y).contains(&point.y)
    }

    /// Whether the two share any point.
    pub fn meets(self, other: Self) -> bool {
        self.min.x <= other.max.x
            && other.min.x <= self.max.x
            && self.min.y <= other.max.y
            && other.min.y <= self.max.y
    }

    /// Width, mm.
    pub fn width(self) -> f64 {
        self.max.x - self.min.x
    }

    /// Height, mm.
    pub fn height(self) -> f64 {
        self.max.y - self.min.y
    }

    /// The middle.
    pub fn centre(self) -> Point {
        (self.min + self.max) * 0.5
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_turns_come_home() {
        assert_eq!(Turn::None.next().next().next().next(), Turn::None);
    }

    #[test]
    fn mirror_comes_before_turn() {
        let placement = Placement { at: Point::new(10.0, 20.0), turn: Turn::Quarter, mirror: true };
        assert_eq!(placement.sheet_from_symbol(Point::new(3.0, 1.0)), Point::new(9.0, 17.0));
        assert_eq!(placement.direction(Direction::Right), Direction::Up);
    }
}
