//! Points and rectangles of ground in a bed.
//!
//! A bed lies with its length along x, `0..length`, and its width along y, `0..width`; all in mm.
//! Seen on paper x runs to the right and y down; the left side of the bed is y = 0.

use super::Mm;

/// A place in a bed, in mm from its corner. Not whole: staggered lines lie √3/2 of a spacing apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Along the bed, in mm.
    pub x_mm: f64,
    /// Across the bed, in mm.
    pub y_mm: f64,
}

impl Point {
    /// Distance to another point, in mm.
    pub fn distance_mm(self, other: Self) -> f64 {
        // The squares of millimetres do not run out of the range of a double: `hypot`, which guards against that, takes
        // many times as long.
        let (dx, dy) = (self.x_mm - other.x_mm, self.y_mm - other.y_mm);
        (dx * dx + dy * dy).sqrt()
    }
}

/// A rectangle of ground, half open: `x0..x1` along the bed, `y0..y1` across it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Rect {
    /// Start along the bed.
    pub x0: Mm,
    /// End along the bed.
    pub x1: Mm,
    /// Start across the bed.
    pub y0: Mm,
    /// End across the bed.
    pub y1: Mm,
}

impl Rect {
    /// The rectangle of the given size at the corner of the bed.
    pub const fn of_size(length: Mm, width: Mm) -> Self {
        Self { x0: Mm::ZERO, x1: length, y0: Mm::ZERO, y1: width }
    }

    /// Extent along the bed.
    pub fn length(self) -> Mm {
        self.x1 - self.x0
    }

    /// Extent across the bed.
    pub fn width(self) -> Mm {
        self.y1 - self.y0
    }

    /// Area in mm².
    pub fn area_mm2(self) -> i64 {
        i64::from(self.length().0.max(0)) * i64::from(self.width().0.max(0))
    }

    /// Area in m².
    pub fn area_m2(self) -> f64 {
        self.area_mm2() as f64 / 1e6
    }

    /// The ground both share, if any.
    pub fn shared_with(self, other: Self) -> Option<Self> {
        let shared = Self {
            x0: self.x0.max(other.x0),
            x1: self.x1.min(other.x1),
            y0: self.y0.max(other.y0),
            y1: self.y1.min(other.y1),
        };
        (shared.x0 < shared.x1 && shared.y0 < shared.y1).then_some(shared)
    }
}
