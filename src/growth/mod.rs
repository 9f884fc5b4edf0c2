//! When a planting is sown, planted, picked and cleared, and how much ground it covers.
//!
//! | file | what is in it |
//! | --- | --- |
//! | `response` | how much a crop grows on a day: the growth day |
//! | `prefix`, `sky` | running sums over a site's year under each cover, shared by all plantings |
//! | `sites` | sites whose tables are shared |
//! | `emergence` | days from sowing to a seedling |
//! | `ripe` | from the book's days to a day at the site; crops that the season sets |
//! | `turn` | the book's months at a site, by frost dates |
//! | `almanac` | a site; the stages of a planting from the dates that are given |
//! | `growing` | one crop at a site: what others ask growth for |
//! | `seedling` | emergence, pricking out and hardening off |
//! | `limits` | what a planting cannot do at its site |
//! | `spread` | how sure its dates are |
//! | `cover` | ground cover by stage and the radius of a plant |
//!
//! Ground cover follows the crop stages of FAO Irrigation and Drainage Paper 56
//! (Allen, Pereira, Raes & Smith 1998, chapter 6 and Table 11): about a tenth of the ground at the end of the initial
//! stage, effective full cover at the start of mid-season.
//!
//! Where the model stops being true: unless recorded years are given it works with an average year, which has no spells of
//! weather. The dying back of leaves in the late stage, and of perennials in winter, is not followed: ground once covered counts
//! as covered until it is cleared.

mod almanac;
mod cover;
mod emergence;
#[cfg(test)]
pub(crate) mod fixture;
mod growing;
mod limits;
mod prefix;
mod response;
mod ripe;
mod seedling;
mod sites;
mod sky;
mod spread;
mod turn;

pub use almanac::by_book::{FALLBACK_DAYS, FALLBACK_WEEKS_IN_MODULE};
pub use almanac::stages::{PERMANENT_YEARS, Stages, StagesError};
pub use almanac::{Almanac, TENDER_C};
pub use cover::{
    COVER_AFTER_INITIAL, COVER_WHEN_SET, CoverCurve, CoverDays, cover_on, full_cover_on, mature_radius_mm, radius_on_mm,
};
pub use emergence::{Emergence, RAISING_C, emergence, emergence_of_row};
pub use growing::Growing;
pub use limits::{BoltCause, Limit};
pub use seedling::Seedling;
pub use sky::Odds;
pub use spread::{N_YEARS_LEAST, N_YEARS_MOST, Spread, years_looked_at};
