//! One year of days at a site, under each cover, and the running sums taken from them. Each is made once and shared by all
//! plantings.

use std::sync::{Arc, LazyLock, OnceLock, PoisonError, RwLock};

use chrono::NaiveDate;
use rustc_hash::FxHashMap;

use super::day::{COMMON_YEAR, CommonDay, YEAR_DAYS, next_at};
use super::emergence;
use super::prefix::Prefix;
use super::response::{FULL_LIGHT_MJ_M2, Response, SHORT_DAY_H};
use super::turn::Turn;
use crate::climate::frost::{FrostDates, NIGHT_SPREAD_C, normal_below};
use crate::climate::{self, Climate, DayTable, SoilTable, heat};
use crate::crops::EmergenceRow;
use crate::garden::{Cover, MonthDay, SoilTexture};

/// Kinds of cover there are.
const N_COVERS: usize = 6;
/// Most days by which a cover moves a frost date (starting value).
const FROST_MOVES_MOST_DAYS: i64 = 60;
/// Nights of one cold spell, which count as one (starting value).
const NIGHTS_TO_A_SPELL: f64 = 3.0;
/// How many spreads below the mean the coldest night of half of all winters lies: 90 nights, three to a spell, are 30 trials, and
/// Φ(−2.0) = 1 − 0.5^(1/30).
const AVERAGE_WINTER_Z: f64 = 2.0;
/// The same for one winter in ten: Φ(−2.7) = 1 − 0.9^(1/30).
const HARD_WINTER_Z: f64 = 2.7;

/// Daily mean from which on most plants grow: the growing season of climate statistics lasts while the mean is 5 °C or more (WMO's
/// Expert Team on Climate Change Detection and Indices, growing season length; from memory).
const SEASON_C: f64 = 5.0;

/// How much warmer than the air a bare seed bed is, averaged over a midsummer day and night, °C; less in proportion to the
/// radiation (starting value: dark bare ground is warmer than the air above it, wet or shaded ground hardly).
const BARE_GROUND_C: f64 = 2.0;

/// How often a night that cold comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Odds {
    /// In half of all winters.
    Average,
    /// In one winter of ten.
    OneInTen,
}

impl Odds {
    /// Expected number of killing nights where at least one comes that often: if events are each rare, the chance that none comes
    /// is e to the power of minus their expected number.
    pub(super) fn expected_nights(self) -> f64 {
        match self {
            Self::Average => std::f64::consts::LN_2,
            Self::OneInTen => -(0.9_f64.ln()),
        }
    }
}

/// What a running sum adds up. Figures are stored as their bits, so that they can be keys.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Measure {
    /// Growth days.
    Growth(Response),
    /// Degree-days above a base.
    Heat { base: u64 },
    /// Share of the way from seed to seedling.
    Emergence { row: EmergenceRow, depth_mm: u32 },
    /// Days of at least that length whose maximum is at least that warm.
    LongWarm { hours: u64, warm_c: u64 },
    /// Days with a mean below.
    CoolDays { below_c: u64 },
    /// Expected nights that are that cold or colder, those of one spell counted as one.
    KillingNights { at_c: u64 },
}

/// Most tables of each kind that the sky of one recorded year keeps: more than the crops of a book ask for. When it is full it
/// starts afresh.
const N_TABLES_OF_A_YEAR: usize = 300;

/// The tables made so far, by what they are of and the number of the cover. The keys are our own numbers and every planting asks
/// several times, so the guarded hash of the standard library would only cost time.
type Made<Of, Table> = RwLock<FxHashMap<(Of, u8), Arc<Table>>>;

/// See the head of this file.
#[derive(Debug)]
pub(super) struct Sky {
    pub(super) is_southern: bool,
    /// Spread of a month's mean from year to year, °C.
    spread_c: f64,
    /// Median last frost of spring and first of autumn in the open, as places in the year.
    frosts: Option<(i64, i64)>,
    open: DayTable,
    covers: [OnceLock<DayTable>; N_COVERS],
    turns: [OnceLock<Turn>; N_COVERS],
    frosts_under: [OnceLock<Option<(i64, i64)>>; N_COVERS],
    seasons: [OnceLock<Option<(i64, i64)>>; N_COVERS],
    tables: Made<Measure, Prefix>,
    /// Daily means of seed beds by depth in mm and cover, °C.
    seed_beds: Made<u32, [f64]>,
    /// Tables of each kind that are kept.
    n_tables_max: usize,
}

/// The sky of the book's climate; `None` if the embedded climates do not hold together.
pub(super) static REFERENCE: LazyLock<Option<Arc<Sky>>> =
    LazyLock::new(|| climate::reference().ok().map(|climate| Arc::new(Sky::of_climate(&climate, 0.0))));

impl Sky {
    /// The days that a climate's normals give, all of them warmer by `warmer_c`.
    pub(super) fn of_climate(climate: &Climate, warmer_c: f64) -> Self {
        let open = climate.normals.warmed_by(warmer_c).day_table(climate.latitude_deg, COMMON_YEAR);
        Self::new(climate, open)
    }

    /// The days of one year of records at the site of a climate, 29 February left out. `None` if the table is too short.
    pub(super) fn of_year(climate: &Climate, year: &DayTable) -> Option<Self> {
        let is_leap = year.days().len() > YEAR_DAYS;
        let days = year.days().iter().enumerate().filter(|(idx, _)| !(is_leap && *idx == 59));
        let temperatures: Vec<(f64, f64)> = days.map(|(_, day)| (day.tmin_c, day.tmax_c)).collect();
        let open = DayTable::new(climate.latitude_deg, COMMON_YEAR, &temperatures)?;
        Some(Self { n_tables_max: N_TABLES_OF_A_YEAR, ..Self::new(climate, open) })
    }

    fn new(climate: &Climate, open: DayTable) -> Self {
        let by_normals = FrostDates::of_normals(climate);
        let idx = |day: MonthDay| {
            NaiveDate::from_ymd_opt(COMMON_YEAR, day.month, day.day.min(28 + u32::from(day.month != 2) * 3))
                .map(|date| CommonDay::of(date).idx() as i64)
        };
        let last = climate.last_frost.or(by_normals.last.median).and_then(idx);
        let first = climate.first_frost.or(by_normals.first.median).and_then(idx);
        Self {
            is_southern: climate.is_southern(),
            spread_c: climate.normals.spread_c,
            frosts: last.zip(first),
            open,
            covers: Default::default(),
            turns: Default::default(),
            frosts_under: Default::default(),
            seasons: Default::default(),
            tables: RwLock::default(),
            seed_beds: RwLock::default(),
            n_tables_max: usize::MAX,
        }
    }

    /// The days under a cover.
    pub(super) fn days(&self, cover: Cover) -> &DayTable {
        self.covers.get(cover as usize).map_or(&self.open, |table| table.get_or_init(|| self.open.under(cover)))
    }

    /// A running sum, made when first asked for.
    pub(super) fn table(&self, measure: Measure, cover: Cover) -> Arc<Prefix> {
        let key = (measure, cover as u8);
        // Tables are only ever put in whole, so those left by a thread that panicked while it held the lock can be used.
        if let Some(table) = self.tables.read().unwrap_or_else(PoisonError::into_inner).get(&key) {
            return Arc::clone(table);
        }
        let table = Arc::new(self.sum_up(measure, cover));
        let mut tables = self.tables.write().unwrap_or_else(PoisonError::into_inner);
        if tables.len() >= self.n_tables_max {
            tables.clear();
        }
        Arc::clone(tables.entry(key).or_insert(table))
    }

    fn sum_up(&self, measure: Measure, cover: Cover) -> Prefix {
        let days = self.days(cover);
        let number = f64::from_bits;
        let count = |is_so: bool| if is_so { 1.0 } else { 0.0 };
        match measure {
            Measure::Growth(response) => {
                let light_share = climate::lift(cover).light_share;
                Prefix::new(days.days().iter().map(|day| response.on(day, light_share)))
            }
            Measure::Heat { base } => Prefix::new(
                days.days()
                    .iter()
                    .map(|day| heat::degree_days(day.tmin_c, day.tmax_c, number(base), None, heat::Method::Sine)),
            ),
            Measure::Emergence { row, depth_mm } => {
                let soil_c = self.seed_bed_c(depth_mm, cover);
                Prefix::new(soil_c.iter().map(|soil_c| emergence::row(row).map_or(0.0, |row| row.rate(*soil_c))))
            }
            Measure::LongWarm { hours, warm_c } => Prefix::new(
                days.days().iter().map(|day| count(day.day_length_h >= number(hours) && day.tmax_c >= number(warm_c))),
            ),
            Measure::CoolDays { below_c } => {
                Prefix::new(days.days().iter().map(|day| count(day.tmean_c < number(below_c))))
            }
            Measure::KillingNights { at_c } => {
                let spread_c = self.spread_c.hypot(NIGHT_SPREAD_C);
                let chance = |day: &climate::Day| normal_below((number(at_c) - day.tmin_c) / spread_c);
                Prefix::new(days.days().iter().map(|day| chance(day) / NIGHTS_TO_A_SPELL))
            }
        }
    }

    /// Daily means of a loam's seed bed at a depth, °C: the temperature of soil under the air of the cover, with what the sun
    /// adds to bare ground.
    pub(super) fn seed_bed_c(&self, depth_mm: u32, cover: Cover) -> Arc<[f64]> {
        let key = (depth_mm, cover as u8);
        if let Some(known) = self.seed_beds.read().unwrap_or_else(PoisonError::into_inner).get(&key) {
            return Arc::clone(known);
        }
        let made = self.warm_seed_bed(depth_mm, cover);
        let mut seed_beds = self.seed_beds.write().unwrap_or_else(PoisonError::into_inner);
        if seed_beds.len() >= self.n_tables_max {
            seed_beds.clear();
        }
        Arc::clone(seed_beds.entry(key).or_insert(made))
    }

    fn warm_seed_bed(&self, depth_mm: u32, cover: Cover) -> Arc<[f64]> {
        let days = self.days(cover);
        let light_share = climate::lift(cover).light_share;
        let soil = SoilTable::new(days, f64::from(depth_mm), SoilTexture::default());
        let in_sun = |(soil_c, day): (&f64, &climate::Day)| {
            soil_c + BARE_GROUND_C * (day.ra_mj_m2 * light_share / FULL_LIGHT_MJ_M2).min(1.0)
        };
        soil.days().iter().zip(days.days()).map(in_sun).collect()
    }

    fn cold_night_c(&self, tmin_c: f64, odds: Odds) -> f64 {
        let z = match odds {
            Odds::Average => AVERAGE_WINTER_Z,
            Odds::OneInTen => HARD_WINTER_Z,
        };
        tmin_c - z * self.spread_c.hypot(NIGHT_SPREAD_C)
    }

    /// The coldest night under a cover that comes that often, °C.
    pub(super) fn coldest_night_c(&self, cover: Cover, odds: Odds) -> f64 {
        let least = self.days(cover).days().iter().map(|day| day.tmin_c).fold(f64::INFINITY, f64::min);
        self.cold_night_c(least, odds)
    }

    /// How the book's months lie at the site under a cover.
    pub(super) fn turn(&self, cover: Cover) -> Option<&Turn> {
        let make =
            || Turn::new(self.frosts_under(cover), REFERENCE.as_ref().and_then(|sky| sky.frosts), self.is_southern);
        self.turns.get(cover as usize).map(|turn| turn.get_or_init(make))
    }

    /// Median last frost of spring and first of autumn under a cover: the days on which the nights under it are as cold as those
    /// in the open are on the open's own frost days.
    pub(super) fn frosts_under(&self, cover: Cover) -> Option<(i64, i64)> {
        let make = || {
            let (last, first) = self.frosts?;
            if cover == Cover::Open {
                return Some((last, first));
            }
            let night = |table: &DayTable, idx: i64| {
                table.days().get(idx.rem_euclid(YEAR_DAYS as i64) as usize).map_or(0.0, |day| day.tmin_c)
            };
            let moved = |from: i64, step: i64| {
                let bound_c = night(&self.open, from);
                let is_as_cold = |n: &i64| night(self.days(cover), from + step * n) < bound_c;
                let n_days = (1..=FROST_MOVES_MOST_DAYS).find(is_as_cold).unwrap_or(FROST_MOVES_MOST_DAYS);
                (from + step * n_days).rem_euclid(YEAR_DAYS as i64)
            };
            Some((moved(last, -1), moved(first, 1)))
        };
        *self.frosts_under.get(cover as usize)?.get_or_init(make)
    }

    /// The median first frost of autumn under a cover on or after a day.
    pub(super) fn first_frost_after(&self, day: CommonDay, cover: Cover) -> Option<CommonDay> {
        self.frosts_under(cover).map(|(_, first)| next_at(day, first))
    }

    /// The median last frost of the spring that follows a day.
    pub(super) fn last_frost_after(&self, day: CommonDay, cover: Cover) -> Option<CommonDay> {
        self.frosts_under(cover).map(|(last, _)| next_at(day, last))
    }

    /// The middle of winter, when a year is coldest: 15 January, 15 July in the south.
    pub(super) fn midwinter_idx(&self) -> i64 {
        if self.is_southern { 195 } else { 14 }
    }

    /// The first day after the winter solstice that is at least `hours` long; the longest day if none is.
    pub(super) fn long_day_idx(&self, hours: f64) -> i64 {
        let solstice = if self.is_southern { 171 } else { 354 };
        let half_year = YEAR_DAYS as i64 / 2;
        (0..half_year)
            .find(|n| self.hours(CommonDay(solstice + n)) >= hours)
            .map_or(solstice + half_year, |n| solstice + n)
            % YEAR_DAYS as i64
    }

    /// Where in the year the growing season under a cover begins, and how many days it lasts: the longest run of days that are
    /// warm enough and at least ten hours long. The whole year where every day is; `None` where none is.
    pub(super) fn growing_season(&self, cover: Cover) -> Option<(i64, i64)> {
        *self.seasons.get(cover as usize)?.get_or_init(|| self.find_growing_season(cover))
    }

    fn find_growing_season(&self, cover: Cover) -> Option<(i64, i64)> {
        let days = self.days(cover).days();
        let year = YEAR_DAYS as i64;
        let grows = |idx: i64| {
            let day = days.get(idx.rem_euclid(year) as usize);
            day.is_some_and(|day| day.tmean_c >= SEASON_C && day.day_length_h >= SHORT_DAY_H)
        };
        // A run begins on a day with growth that follows one without.
        let begins = (0..year).filter(|idx| grows(*idx) && !grows(idx - 1));
        let lasts = |idx: i64| (1..=year).find(|n| !grows(idx + n)).unwrap_or(year);
        let longest = begins.map(|idx| (idx, lasts(idx))).max_by_key(|(idx, n_days)| (*n_days, -idx));
        longest.or_else(|| grows(0).then_some((0, year)))
    }

    /// Sunrise to sunset.
    pub(super) fn hours(&self, day: CommonDay) -> f64 {
        self.open.days().get(day.idx()).map_or(12.0, |day| day.day_length_h)
    }

    /// The first day from this one on whose day length falls below ten hours after having been longer. `None` near the equator.
    pub(super) fn light_goes(&self, from: CommonDay) -> Option<CommonDay> {
        let is_short = |n: i64| self.hours(from.plus(n)) < SHORT_DAY_H;
        let first_long = (0..YEAR_DAYS as i64).find(|n| !is_short(*n))?;
        (first_long..first_long + YEAR_DAYS as i64).find(|n| is_short(*n)).map(|n| from.plus(n))
    }
}
