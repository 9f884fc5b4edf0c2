//! The almanac of a site: what growth and the book's calendar make of a crop there.

use std::sync::Arc;

use chrono::{Datelike, NaiveDate};

use super::day::CommonDay;
use super::months::SiteMonths;
use super::sites::{self, AtSite};
use crate::climate::{self, Climate, Weather};
use crate::garden::{Cover, Site};

/// First and last month of the growing season by the book's calendar alone, in the north (starting value).
const BOOK_SEASON_MONTHS: (u32, u32) = (3, 10);

/// Works out dates at one site. Cheap to clone: clones share their tables.
#[derive(Debug, Clone)]
pub struct Almanac {
    /// Months shifted for the southern half of the world.
    pub is_southern: bool,
    /// The site's days; `None` where the book's calendar stands alone.
    pub(super) site: Option<Arc<AtSite>>,
}

impl Almanac {
    /// The almanac of a site whose weather records, if it has any, were not read: by its named or nearest climate or its own
    /// normals.
    pub fn of_site(site: &Site) -> Self {
        let nearest = || {
            let climate = climate::nearest(site.latitude_deg, site.longitude_deg, Some(site.elevation_m))?;
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
        let site = sites::shared(climate, weather);
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
