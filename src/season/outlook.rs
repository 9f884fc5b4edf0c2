//! What the site's weather says of a week, of a planting's dates, and of a crop sown week by week.

use std::collections::{BTreeMap, HashMap};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use chrono::NaiveDate;

use super::plan::Plan;
use super::propose::entering_on;
use super::{FreeUp, Standing};
use crate::climate::frost::WeekChances;
use crate::climate::{self, Climate, ClimateError, DayTable, Weather};
use crate::crops::Raised;
use crate::garden::{ClimateChoice, Cover, PlantingId, RealDates, Site};
use crate::growth::{self, Almanac, Spread};
use crate::units::Week;

/// Covers a bed may have.
const N_COVERS: usize = 6;

/// Weeks of a year that a chart of sowings looks at.
const N_WEEKS: i64 = 52;

/// Year of a chart of sowings in a garden without plantings. Any year does: the site's year is that of its normals.
const CHART_YEAR: i32 = 2027;

/// The sky over a bed in one week, from the site's normals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sky {
    /// Sunrise to sunset in the middle of the week, hours.
    pub day_length_h: f64,
    /// Mean temperature of the air, °C.
    pub mean_c: f64,
    /// Chance of at least one frost, 0 to 1.
    pub frost_chance: f64,
    /// Reference evaporation, mm a day; nothing under a cover, where the formula of the open does not hold.
    pub evaporation_mm_day: Option<f64>,
}

/// What is known of a site and, in charts, of the book's crops at it: kept until one of the two changes.
#[derive(Debug)]
pub(super) struct Outlook {
    pub almanac: Almanac,
    /// The days of a year and their frosts, by cover, made when first asked for.
    days: [OnceLock<Option<(DayTable, WeekChances)>>; N_COVERS],
    /// Charts asked for, by crop and cover.
    charts: Mutex<HashMap<(String, u8), Chart>>,
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

    fn of_site(&self, site: &Site) -> Option<&Arc<Weather>> {
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

    fn days(&self, cover: Cover) -> Option<&(DayTable, WeekChances)> {
        let make = || {
            let climate = self.almanac.climate()?;
            Some((climate.day_table(CHART_YEAR).under(cover), WeekChances::under(climate, cover)))
        };
        self.days.get(cover as usize)?.get_or_init(make).as_ref()
    }
}

impl Plan {
    /// The climate a site would have here, with the records that were read for it.
    ///
    /// # Errors
    /// As [`climate::of_site`].
    pub fn climate_of(&self, site: &Site) -> Result<Climate, ClimateError> {
        climate::of_site(site, self.records().of_site(site).map(Arc::as_ref))
    }

    /// The sky of one week from the site's normals, with the air under a cover; `None` if the site has no climate. Day length is that
    /// of the open; what dries under a cover is not worked out.
    pub fn week_sky(&self, week: Week, cover: Cover) -> Option<Sky> {
        let (days, frosts) = self.outlook().days(cover)?;
        let week_days: Vec<_> = week.monday().iter_days().take(7).map(|date| days.day(date)).collect();
        let mean = |value: &dyn Fn(&climate::Day) -> f64| week_days.iter().map(value).sum::<f64>() / 7.0;
        Some(Sky {
            day_length_h: week_days.get(3).map_or(12.0, |day| day.day_length_h),
            mean_c: mean(&|day| day.tmean_c),
            frost_chance: frosts.on(week),
            evaporation_mm_day: (cover == Cover::Open).then(|| mean(&climate::Day::evaporation_mm)),
        })
    }

    /// How sure the dates of a planting are; `None` if it has none.
    pub fn spread(&self, id: PlantingId) -> Option<Spread> {
        let mut known = self.spreads().lock().unwrap_or_else(PoisonError::into_inner);
        *known.entry(id).or_insert_with(|| {
            let planting = self.garden().planting(id)?;
            let cover = self.garden().beds.get(self.bed_idx(&planting.bed)?)?.cover;
            let crop = self.book().crop(&planting.crop)?;
            self.almanac().growing(crop, planting.raised, cover).spread(&planting.planned, &self.real(id)).ok()
        })
    }

    /// Recorded years, the last ones, from which the ranges of dates come; `None` where they come from the spread of the normals.
    pub fn n_weather_years(&self) -> Option<usize> {
        let n_years = growth::years_looked_at(self.records().of_site(&self.garden().site)?).len();
        (n_years > 0).then_some(n_years)
    }

    /// Under a cover, each week of a year in which books sow the crop there (or plant it, if it is not sown), and the
    /// week of its first pick. Weeks whose sowing is never picked are left out.
    pub fn sow_chart(&self, crop_id: &str, cover: Cover) -> Arc<Vec<(Week, Week)>> {
        let mut known = self.outlook().charts.lock().unwrap_or_else(PoisonError::into_inner);
        let key = (crop_id.to_owned(), cover as u8);
        Arc::clone(known.entry(key).or_insert_with(|| Arc::new(self.chart_of(crop_id, cover))))
    }

    fn chart_of(&self, crop_id: &str, cover: Cover) -> Vec<(Week, Week)> {
        let Some(crop) = self.book().crop(crop_id) else { return Vec::new() };
        let raised = crop.seed.raised.first().copied().unwrap_or(Raised::InPlace);
        let Some(first) = NaiveDate::from_isoywd_opt(CHART_YEAR, 1, chrono::Weekday::Mon) else { return Vec::new() };
        let picked = |n: i64| {
            let week = Week::of(first).plus(n);
            let mut planned = entering_on(raised, week.monday());
            if raised == Raised::Module {
                (planned.sow, planned.plant) = (Some(week.monday()), None);
            }
            let growing = self.almanac().growing(crop, raised, cover);
            let stages = growing.stages(&planned, &RealDates::default()).ok()?;
            let is_sown = growing.is_in_season(stages.enters);
            (is_sown && stages.first_pick < stages.clear).then(|| (week, Week::of(stages.first_pick)))
        };
        (0..N_WEEKS).filter_map(picked).collect()
    }

    /// Fills in the range of the day on which ground is first free: that of the planting which clears it last.
    pub(super) fn with_range(&self, standing: &[Standing], day: NaiveDate, mut free: FreeUp) -> FreeUp {
        let clears = |standing: &&Standing| standing.stages.clear == free.free_from && standing.stages.clear > day;
        let spreads = standing.iter().filter(clears).filter_map(|standing| self.spread(standing.id));
        if let Some(spread) = spreads.max_by_key(|spread| (spread.late.clear, spread.early.clear)) {
            free.free_from_early = spread.early.clear.max(day).min(free.free_from);
            free.free_from_late = spread.late.clear.max(free.free_from);
        }
        free
    }
}
