//! When a planting is sown, planted, picked and cleared, and how much ground it covers.
//!
//! Dates come from the book's calendar (days from sowing or planting, weeks of picking, months of harvest); the interface is
//! made so that weather can take its place. Ground cover follows the crop stages of FAO Irrigation and Drainage Paper 56
//! (Allen, Pereira, Raes & Smith 1998, chapter 6 and Table 11): about a tenth of the ground at the end of the initial
//! stage, effective full cover at the start of mid-season.
//!
//! Where the model stops being true: a book's days are those of its usual sowing months. A lettuce sown in August is
//! slower than one sown in May, and a crop standing over winter grows little; neither is known to a calendar. The
//! dying back of leaves in the late stage and of perennials in winter is not followed: ground once covered counts as
//! covered until it is cleared.

mod almanac;
mod cover;
#[cfg(test)]
pub(crate) mod fixture;

pub use almanac::{
    Almanac, FALLBACK_DAYS, FALLBACK_WEEKS_IN_MODULE, PERMANENT_YEARS, STRAWBERRY_YEARS, Stages, StagesError,
};
pub use cover::{
    COVER_AFTER_INITIAL, COVER_WHEN_SET, CoverCurve, cover_on, full_cover_on, mature_radius_mm, radius_on_mm,
};
