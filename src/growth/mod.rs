//! When a planting is sown, planted, picked and cleared, and how much ground it covers.
//!
//! From the ground up: a file looks only at those above it in this list.
//!
//! | file | what is in it |
//! | --- | --- |
//! | `day` | days of the calendar and of a year that repeats itself |
//! | `prefix` | running sums over such a year |
//! | `response` | how much a crop grows on a day: the growth day |
//! | `emergence` | days from sowing to a seedling |
//! | `by_book` | windows, weeks and days as the book prints them |
//! | `turn`, `months` | the book's months at a site, by frost dates |
//! | `sky` | the days of a year under each cover, with their running sums, shared by all plantings |
//! | `years`, `sites` | the skies of single years; what is known of a site, shared by all who ask for it |
//! | `stages` | the dates of one planting, as values |
//! | `under_sky` | one crop under one sky: its growth, when it comes up |
//! | `ripe` | from the book's days to a day at the site; crops that the season sets |
//! | `cover` | ground cover by stage and the radius of a plant |
//! | `almanac` | a site, or the book's calendar alone |
//! | `growing` | one crop at a site: what others ask growth for; the dates of a planting, from those that are given |
//! | `seedling` | emergence, pricking out and hardening off |
//! | `limits` | what a planting cannot do at its site |
//! | `spread` | how sure its dates are |
//!
//! Ground cover follows the crop stages of FAO Irrigation and Drainage Paper 56
//! (Allen, Pereira, Raes & Smith 1998, chapter 6 and Table 11): about a tenth of the ground at the end of the initial
//! stage, effective full cover at the start of mid-season.
//!
//! Where the model stops being true: unless recorded years are given it works with an average year, which has no spells of
//! weather. Senescence in the late stage, and the dying back of perennials in winter, are left out: ground once covered counts
//! as covered until it is cleared.

mod almanac;
mod by_book;
mod cover;
mod day;
mod emergence;
#[cfg(test)]
pub(crate) mod fixture;
mod growing;
mod limits;
mod months;
mod prefix;
mod response;
mod ripe;
mod seedling;
mod sites;
mod sky;
mod spread;
mod stages;
#[cfg(test)]
mod tests;
mod turn;
mod under_sky;
mod years;

pub use almanac::Almanac;
pub use by_book::{FALLBACK_DAYS, FALLBACK_WEEKS_IN_MODULE};
pub use cover::{
    COVER_AFTER_INITIAL, COVER_WHEN_SET, CoverCurve, cover_on, full_cover_on, mature_radius_mm, radius_on_mm,
};
pub use emergence::{Emergence, RAISING_C, emergence, emergence_of_row};
pub use growing::{Growing, PERMANENT_YEARS};
pub use limits::{BoltCause, Limit};
pub use response::TENDER_C;
pub use seedling::Seedling;
pub use sky::Odds;
pub use spread::Spread;
pub use stages::{CoverDays, Stages, StagesError};
pub use years::{N_YEARS_LEAST, N_YEARS_MOST, years_looked_at};
