//! What is kept of a site: its almanac, the days of its year, weather records that were read, and answers
//! worth keeping. The questions stand in `site`.

use std::collections::{BTreeMap, HashMap};
use std::sync::{Arc, Mutex, OnceLock};

use crate::climate::frost::WeekChances;
use crate::climate::{self, DayTable, Weather};
use crate::garden::{ClimateChoice, Cover, PlantingId, Site};
use crate::growth::{Almanac, Spread};
use crate::units::Week;

/// Covers a bed may have.
const N_COVERS: usize = 6;

/// Year of a chart of sowings in a garden without plantings. Any year does: the site's year is that of its normals.
pub(super) const CHART_YEAR: i32 = 2027;

/// What is known of a site and, in charts, of the book's crops at it: kept until one of the two changes.
#[derive(Debug)]
pub(super) struct Outlook {
    pub almanac: Almanac,
    /// The days of a year and their frosts, by cover, made when first asked for.
    days: [OnceLock<Option<(DayTable, WeekChances)>>; N_COVERS],
    /// Charts asked for, by crop and cover.
    pub(super) charts: Mutex<HashMap<(String, u8), Chart>>,
}

/// Weather records that were read.
#[derive(Debug, Clone, Default)]
pub(super) struct Records {
    /// Those a site asks for, by the name of their file. They stay when the site asks for something else, so that undo finds them.
    by_file: BTreeMap<String, Arc<Weather>>,
    /// Those that give a site which asks for none the spread of its dates.
    beside: Option<Arc<Weather>>,
}

impl Records {
    /// What was read for a site.
    pub fn of(site: &Site, weather: Option<Arc<Weather>>) -> Self {
        let mut records = Self::default();
        match (&site.climate, weather) {
            (ClimateChoice::Weather { file }, Some(weather)) => records.know(file, weather),
            (_, weather) => records.beside = weather,
        }
        records
    }

    /// Keeps records under the name of their file.
    pub fn know(&mut self, file: &str, weather: Arc<Weather>) {
        self.by_file.insert(file.to_owned(), weather);
    }

    pub(super) fn of_site(&self, site: &Site) -> Option<&Arc<Weather>> {
        match &site.climate {
            ClimateChoice::Weather { file } => self.by_file.get(file),
            _ => self.beside.as_ref(),
        }
    }
}

/// How sure the dates of plantings are, as far as it was asked.
pub(super) type Spreads = Mutex<HashMap<PlantingId, Option<Spread>>>;

/// Weeks sown, and the week of first pick of each.
type Chart = Arc<Vec<(Week, Week)>>;

impl Outlook {
    pub fn new(site: &Site, records: &Records) -> Self {
        let almanac = match records.of_site(site) {
            None => Almanac::of_site(site),
            Some(recorded) => match climate::of_site(site, Some(recorded)) {
                Ok(climate) => Almanac::shared(&Arc::new(climate), Some(recorded)),
                Err(_) => Almanac::of_site(site),
            },
        };
        Self { almanac, days: Default::default(), charts: Mutex::default() }
    }

    pub(super) fn days(&self, cover: Cover) -> Option<&(DayTable, WeekChances)> {
        let make = || {
            let climate = self.almanac.climate()?;
            Some((climate.day_table(CHART_YEAR).under(cover), WeekChances::under(climate, cover)))
        };
        self.days.get(cover as usize)?.get_or_init(make).as_ref()
    }
}
