//! Where the window looks: at a sheet, and at a page.

use loomwright_circuit::{Box2, Point};

/// Where the window looks at the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// The place in the middle of the canvas, mm.
    pub centre: Point,
    /// Screen points for each mm.
    pub scale: f64,
}

impl Camera {
    /// Screen points for each mm at 100 %: 96 to the inch.
    pub const FULL_SIZE: f64 = 96.0 / 25.4;
    /// How much larger than that a whole sheet is shown at most.
    pub const MOST_WHOLE: f64 = 1.25;
    /// The least and greatest scale.
    pub const LIMITS: (f64, f64) = (0.15, 24.0);

    /// Looks at all of `area` on a canvas of this many screen points.
    pub fn fitting(area: Box2, canvas: (f64, f64)) -> Self {
        let area = area.grown(6.0);
        let scale = (canvas.0 / area.width().max(1.0)).min(canvas.1 / area.height().max(1.0));
        // A large screen is looked at from farther off.
        let most = Self::FULL_SIZE * 1.5 * (canvas.0 / 1100.0).max(1.0);
        let scale = scale.clamp(Self::LIMITS.0, most.min(Self::LIMITS.1));
        Self { centre: area.centre(), scale }
    }

    /// The same no larger than a whole sheet is pleasant to read: there is nothing more to see of it from nearer by.
    pub fn fitting_whole(area: Box2, canvas: (f64, f64)) -> Self {
        let camera = Self::fitting(area, canvas);
        Self { scale: camera.scale.min(Self::FULL_SIZE * Self::MOST_WHOLE), ..camera }
    }

    /// Looks at an empty sheet with this heading at full size, since what is placed on it needs room around; from farther
    /// off where a canvas of this many screen points would cut the heading.
    pub fn on_empty(heading: Box2, canvas: (f64, f64)) -> Self {
        let whole = Self::fitting(heading, canvas).scale;
        Self { centre: heading.centre(), scale: Self::FULL_SIZE.min(whole) }
    }

    /// What of the sheet is in view on a canvas of this many screen points.
    pub fn in_view(&self, canvas: (f64, f64)) -> Box2 {
        let half = Point::new(canvas.0, canvas.1) * (0.5 / self.scale);
        Box2 { min: self.centre - half, max: self.centre + half }
    }

    /// Zooms by a factor while `fixed` (mm) stays where it is on the screen.
    pub fn zoom(&mut self, factor: f64, fixed: Point) {
        let scale = (self.scale * factor).clamp(Self::LIMITS.0, Self::LIMITS.1);
        let kept = self.scale / scale;
        self.centre = fixed + (self.centre - fixed) * kept;
        self.scale = scale;
    }
}

impl Default for Camera {
    fn default() -> Self {
        Self { centre: Point::new(105.0, 74.0), scale: Self::FULL_SIZE }
    }
}

/// How a page was shown; its lengths count in points of 1/72 inch.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PageSeen {
    /// How finely it is to be painted, pixels for each point.
    pub pixels_per_pt: f64,
    /// The scale at which all of it is in view, screen points for each point.
    pub whole_scale: f64,
    /// Its middle, from its corner.
    pub middle: Point,
}

/// Where a page is looked at from near.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PageLook {
    /// The place in the middle of the view, points of 1/72 inch from the page's corner.
    pub centre: Point,
    /// Screen points for each of them.
    pub scale: f64,
}

impl PageLook {
    /// Screen points for each point of 1/72 inch at 100 %: 96 to the inch.
    pub const FULL_SIZE: f64 = 96.0 / 72.0;
    /// The greatest scale.
    pub const MOST: f64 = 6.0;

    /// Zooms by a factor while `fixed` stays where it is on the screen; nothing once all of the page is in view.
    #[must_use]
    pub fn zoomed(self, factor: f64, fixed: Point, whole_scale: f64) -> Option<Self> {
        let scale = (self.scale * factor).min(Self::MOST);
        let centre = fixed + (self.centre - fixed) * (self.scale / scale);
        (scale > whole_scale * 1.001).then_some(Self { centre, scale })
    }
}
