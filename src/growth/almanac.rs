//! The almanac of a site: what growth and the book's calendar make of a crop there.
//!
//! | file | what is in it |
//! | --- | --- |
//! | `by_book` | windows, weeks and days as the book prints them |
//! | `given` | the dates that a grower gave, real before planned |
//! | `months` | the book's months in the year of the site |
//! | `stages` | a planting's dates, step by step |

use std::sync::{Arc, OnceLock};

use chrono::{Datelike, Duration, NaiveDate};

use self::months::SiteMonths;
use super::growing::Growing;
use super::prefix::CommonDay;
use super::ripe::UnderSky;
use super::sites;
use super::sky::{REFERENCE, Sky};
use super::spread::YearSkies;
use crate::climate::{self, Climate, Weather};
use crate::crops::{Crop, Raised};
use crate::garden::{Cover, Site};

pub(super) mod by_book;
mod given;
pub(super) mod months;
pub(super) mod stages;

/// First and last month of the growing season by the book's calendar alone, in the north (starting value).
const BOOK_SEASON_MONTHS: (u32, u32) = (3, 10);

/// Crops killed at this temperature or above it end with the first frost, °C (starting value: a light frost in a screen).
pub const TENDER_C: f64 = -1.0;

/// Works out dates at one site. Cheap to clone: clones share their tables.
#[derive(Debug, Clone)]
pub struct Almanac {
    /// Months shifted for the southern half of the world.
    pub is_southern: bool,
    /// The site's days; `None` where the book's calendar stands alone.
    pub(super) site: Option<Arc<AtSite>>,
}

/// What an almanac knows of its site.
#[derive(Debug)]
pub(super) struct AtSite {
    pub(super) climate: Arc<Climate>,
    pub(super) weather: Option<Arc<Weather>>,
    pub(super) sky: Arc<Sky>,
    pub(super) book: Arc<Sky>,
    /// Skies of single years, made when dates are first asked for with their spread.
    pub(super) years: OnceLock<YearSkies>,
}

impl AtSite {
    fn new(climate: &Arc<Climate>, weather: Option<&Arc<Weather>>) -> Option<Arc<Self>> {
        let book = REFERENCE.as_ref()?;
        Some(Arc::new(Self {
            climate: Arc::clone(climate),
            weather: weather.map(Arc::clone),
            sky: Arc::new(Sky::of_climate(climate, 0.0)),
            book: Arc::clone(book),
            years: OnceLock::new(),
        }))
    }
}

impl Almanac {
    /// The almanac of a site whose weather records, if it has any, were not read: by its named or nearest climate or its own
    /// normals.
    pub fn of_site(site: &Site) -> Self {
        let nearest = || {
            let climate = climate::nearest(site.latitude_deg, site.elevation_m)?;
            Ok::<_, climate::ClimateError>(climate.moved_to(site.latitude_deg, site.elevation_m))
        };
        match climate::of_site(site, None).or_else(|_| nearest()) {
            Ok(climate) => Self::shared(&Arc::new(climate), None),
            Err(_) => Self::by_book(site.latitude_deg < 0.0),
        }
    }

    /// The almanac of a climate; `weather` are the recorded years that give each date its spread. Its tables are its own.
    pub fn new(climate: &Arc<Climate>, weather: Option<&Arc<Weather>>) -> Self {
        Self { is_southern: climate.is_southern(), site: AtSite::new(climate, weather) }
    }

    /// The same, with tables that are shared by all who ask for this climate and these records.
    pub fn shared(climate: &Arc<Climate>, weather: Option<&Arc<Weather>>) -> Self {
        let site = sites::shared(climate, weather, || AtSite::new(climate, weather));
        Self { is_southern: climate.is_southern(), site }
    }

    /// The book's calendar alone: its days and months as they are, in the south half a year later.
    pub fn by_book(is_southern: bool) -> Self {
        Self { is_southern, site: None }
    }

    /// The climate that dates are worked out for, if there is one.
    pub fn climate(&self) -> Option<&Arc<Climate>> {
        self.site.as_ref().map(|site| &site.climate)
    }

    /// A crop of this site, raised one way under one cover. Costs nothing: tables are made when something is asked that needs them, and kept.
    pub fn growing<'a>(&'a self, crop: &'a Crop, raised: Raised, cover: Cover) -> Growing<'a> {
        let under = self.site.as_deref().map(|site| UnderSky { sky: &site.sky, book: &site.book, crop, raised, cover });
        Growing { almanac: self, under, crop, raised, cover }
    }

    /// The book's months in the year of the site under a cover.
    pub(super) fn months(&self, cover: Cover) -> SiteMonths<'_> {
        SiteMonths { turn: self.site.as_ref().and_then(|site| site.sky.turn(cover)), is_southern: self.is_southern }
    }

    /// First day of the growing season that begins in a calendar year under a cover, and the first day after it: as long as days
    /// are warm enough (a mean of 5 °C) and at least ten hours long. By the book's calendar alone from March to October, half a
    /// year later in the south. `None` where nothing ever grows.
    pub fn growing_season(&self, cover: Cover, year: i32) -> Option<(NaiveDate, NaiveDate)> {
        let Some(site) = self.site.as_deref() else {
            let (from, to) = BOOK_SEASON_MONTHS;
            return if self.is_southern {
                NaiveDate::from_ymd_opt(year, from + 6, 1).zip(NaiveDate::from_ymd_opt(year + 1, to - 5, 1))
            } else {
                NaiveDate::from_ymd_opt(year, from, 1).zip(NaiveDate::from_ymd_opt(year, to + 1, 1))
            };
        };
        let (idx, n_days) = site.sky.growing_season(cover)?;
        let opens = CommonDay::new(i64::from(year), idx);
        Some((opens.date(), opens.plus(n_days).date()))
    }

    /// The growing season that a day lies in; `None` in winter.
    pub fn growing_season_on(&self, cover: Cover, day: NaiveDate) -> Option<(NaiveDate, NaiveDate)> {
        let seasons = [day.year() - 1, day.year()].into_iter().filter_map(|year| self.growing_season(cover, year));
        seasons.into_iter().find(|(opens, closes)| (*opens..*closes).contains(&day))
    }
}

/// The day that many days later; the same day where the calendar ends.
pub(super) fn plus_days(day: NaiveDate, n_days: i64) -> NaiveDate {
    Duration::try_days(n_days).and_then(|days| day.checked_add_signed(days)).unwrap_or(day)
}

#[cfg(test)]
mod edge_tests;
#[cfg(test)]
mod showing_tests;
#[cfg(test)]
mod site_tests;
#[cfg(test)]
mod tests;
