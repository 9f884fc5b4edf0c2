//! What the site's weather says of a week, of a planting's dates, and of a crop sown week by week.

use std::sync::{Arc, PoisonError};

use chrono::NaiveDate;

use super::entry::entering_on;
use super::outlook::CHART_YEAR;
use super::plan::Plan;
use crate::climate::{self, Climate, ClimateError};
use crate::crops::Raised;
use crate::garden::{Cover, PlantingId, RealDates, Site};
use crate::growth::{self, Spread};
use crate::units::Week;

/// Weeks of a year that a chart of sowings looks at.
const N_WEEKS: i64 = 52;

/// What the site's normals say of one week over a bed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeekNormals {
    /// Sunrise to sunset in the middle of the week, hours.
    pub day_length_h: f64,
    /// Mean temperature of the air, °C.
    pub mean_c: f64,
    /// Chance of at least one frost, 0 to 1.
    pub frost_chance: f64,
    /// Reference evaporation, mm a day; nothing under a cover, where the formula of the open does not hold.
    pub evaporation_mm_day: Option<f64>,
}

impl Plan {
    /// The climate a site would have here, with the records that were read for it.
    ///
    /// # Errors
    /// As [`climate::of_site`].
    pub fn climate_of(&self, site: &Site) -> Result<Climate, ClimateError> {
        climate::of_site(site, self.records().of_site(site).map(Arc::as_ref))
    }

    /// The normals of one week, with the air under a cover; `None` if the site has no climate. Day length is that
    /// of the open; what dries under a cover is not worked out.
    pub fn week_normals(&self, week: Week, cover: Cover) -> Option<WeekNormals> {
        let (days, frosts) = self.outlook().days(cover)?;
        let week_days: Vec<_> = week.monday().iter_days().take(7).map(|date| days.day(date)).collect();
        let mean = |value: &dyn Fn(&climate::Day) -> f64| week_days.iter().map(value).sum::<f64>() / 7.0;
        Some(WeekNormals {
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
}
