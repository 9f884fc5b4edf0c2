//! A planting: one crop in one part of one bed from the day it goes in to the day it is cleared.

use std::fmt;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::crops::Raised;
use crate::units::{Mm, Rect};

/// A planting's number, never given twice in one garden.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct PlantingId(pub u32);

impl fmt::Display for PlantingId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("p{}", self.0))
    }
}

/// Which part of the bed's width a planting takes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Side {
    /// The whole width.
    #[default]
    Whole,
    /// The half at y = 0.
    Left,
    /// The other half.
    Right,
}

/// Which way rows run.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Run {
    /// Along the bed.
    #[default]
    Along,
    /// Across the bed.
    Across,
}

/// How stations are set out. Described here, computed in [`crate::layout`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Layout {
    /// Square grid.
    Grid {
        /// Between stations.
        spacing_mm: Mm,
    },
    /// Staggered lines, every neighbour equally far.
    Offset {
        /// Between stations.
        spacing_mm: Mm,
    },
    /// Rows.
    Rows {
        /// Between rows.
        row_mm: Mm,
        /// In the row.
        in_row_mm: Mm,
        /// Which way the rows run.
        #[serde(default)]
        run: Run,
    },
    /// Continuous lines of seed.
    Drill {
        /// Between lines.
        row_mm: Mm,
        /// Plants in a metre of line.
        plants_per_m: f64,
        /// Which way the lines run.
        #[serde(default)]
        run: Run,
    },
    /// One line along each chosen long edge ([`Side::Whole`]: both edges).
    Edge {
        /// Between stations in the line.
        spacing_mm: Mm,
        /// Which edge; `Whole` is both.
        along: Side,
    },
    /// At the centres of another planting's stations.
    Between {
        /// The planting whose cell centres are used.
        host: PlantingId,
    },
    /// Scattered.
    Broadcast {
        /// Plants per square metre.
        plants_per_m2: f64,
    },
}

/// Dates as the grower sets them; `None` is "work it out".
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct PlannedDates {
    /// Sown, in place or in modules.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sow: Option<NaiveDate>,
    /// Set into the bed (crops not sown in place).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plant: Option<NaiveDate>,
    /// First picked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first_pick: Option<NaiveDate>,
    /// Last picked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub last_pick: Option<NaiveDate>,
    /// First day on which its ground is free again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clear: Option<NaiveDate>,
}

/// One planting.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Planting {
    /// Its number.
    pub id: PlantingId,
    /// The bed's id.
    pub bed: String,
    /// The crop's id.
    pub crop: String,
    /// Variety, in the grower's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub variety: String,
    /// Start of its strip along the bed.
    pub from_mm: Mm,
    /// End of its strip along the bed.
    pub to_mm: Mm,
    /// Which part of the width.
    #[serde(default, skip_serializing_if = "is_default")]
    pub side: Side,
    /// How stations are set out.
    pub layout: Layout,
    /// Distance kept from the strip's edges; `None` is half the spacing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub setback_mm: Option<Mm>,
    /// Plants at each station.
    pub clump: u32,
    /// How it is raised.
    pub raised: Raised,
    /// Planned dates.
    #[serde(default, skip_serializing_if = "is_default")]
    pub planned: PlannedDates,
    /// Notes.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
}

/// Whether a value is its type's default, so that it need not be written.
pub(crate) fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

impl Planting {
    /// The rectangle of its strip and side in a bed of the given width.
    pub fn strip(&self, bed_width: Mm) -> Rect {
        let (y0, y1) = self.side.across(bed_width);
        Rect { x0: self.from_mm, x1: self.to_mm, y0, y1 }
    }

    /// The planting between whose stations it stands.
    pub fn host(&self) -> Option<PlantingId> {
        if let Layout::Between { host } = self.layout { Some(host) } else { None }
    }
}

impl Side {
    /// The part of a bed's width it takes.
    pub fn across(self, bed_width: Mm) -> (Mm, Mm) {
        match self {
            Self::Whole => (Mm::ZERO, bed_width),
            Self::Left => (Mm::ZERO, bed_width.half()),
            Self::Right => (bed_width.half(), bed_width),
        }
    }
}
