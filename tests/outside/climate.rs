//! Sun, evaporation, heat sums, soil warmth and weather records against FAO-56, two astronomy libraries and open data.
//!
//! Rows lie in `data/`, each with its source, its tolerance and the tolerance's reason: rounding of what was printed, or for the sun the
//! 3 minutes (day length) and 0.3° (height) that admit the usual low-precision formulas, two reference libraries
//! being up to 1.1 minutes apart themselves. Tolerances are absolute and those of the rows.

use std::collections::HashMap;

use bedfellow::climate::heat::{Method, degree_days};
use bedfellow::climate::{Day, Weather, evaporation, frost, soil, sun};
use chrono::{DateTime, Datelike, Days, NaiveDate, Timelike};
use serde::Deserialize;

fn rows<T: for<'a> Deserialize<'a>>(text: &str) -> Vec<T> {
    csv::Reader::from_reader(text.as_bytes()).deserialize().map(Result::unwrap).collect()
}

/// A row whose inputs are `key=value;key=value`.
#[derive(Debug, Deserialize)]
struct Keyed {
    id: String,
    quantity: String,
    inputs: String,
    expected: String,
    tolerance: f64,
}

impl Keyed {
    fn inputs(&self) -> HashMap<&str, &str> {
        self.inputs.split(';').filter_map(|pair| pair.split_once('=')).collect()
    }

    fn number(&self, key: &str) -> f64 {
        self.optional(key).unwrap_or_else(|| panic!("{}: no {key}", self.id))
    }

    fn optional(&self, key: &str) -> Option<f64> {
        self.inputs().get(key).map(|value| value.parse().unwrap())
    }

    fn expects(&self, found: f64) {
        let expected: f64 = self.expected.parse().unwrap();
        assert!((found - expected).abs() <= self.tolerance, "{}: {found} for {expected} ± {}", self.id, self.tolerance);
    }
}

/// A day by its number in a common year (FAO-56 counts so).
fn day_of_year(number: f64) -> NaiveDate {
    NaiveDate::from_yo_opt(2023, number as u32).unwrap()
}

/// FAO-56 examples 8, 10, 15 to 18 and 20 and eq. 52. Rows of Penman-Monteith, vapour pressure, wind and measured sunshine are of
/// quantities this program does not compute.
#[test]
fn radiation_and_hargreaves_evaporation_are_those_of_fao_56() {
    let rows: Vec<Keyed> = rows(include_str!("data/fao56_radiation_et0.csv"));
    let mut n_checked = 0;
    for row in &rows {
        let place = || (row.number("lat_deg"), day_of_year(row.number("doy")));
        let found = match row.quantity.as_str() {
            "inverse_relative_distance" => sun::inverse_relative_distance(day_of_year(row.number("doy"))),
            "sunset_hour_angle" => {
                let (latitude, date) = place();
                sun::fao_sunset_hour_angle_rad(latitude, date)
            }
            "equivalent_evaporation" => evaporation::MM_PER_MJ_M2 * row.number("ra_mj"),
            "daylight_hours" => {
                let (latitude, date) = place();
                sun::geometric_hours(latitude, date)
            }
            "extraterrestrial_radiation" => {
                let (latitude, date) = place();
                sun::extraterrestrial_mj_m2_day(latitude, date)
            }
            "et0_hargreaves" => {
                let (latitude, date) = place();
                evaporation::hargreaves_mm_day(latitude, date, row.number("tmin"), row.number("tmax"))
            }
            _ => continue,
        };
        row.expects(found);
        n_checked += 1;
    }
    assert_eq!(n_checked, 27);
}

#[derive(Debug, Deserialize)]
struct MonthRow {
    id: String,
    lat_deg: f64,
    jan: f64,
    feb: f64,
    mar: f64,
    apr: f64,
    may: f64,
    jun: f64,
    jul: f64,
    aug: f64,
    sep: f64,
    oct: f64,
    nov: f64,
    dec: f64,
    tolerance: f64,
}

/// Cells of a table of FAO-56 Annex 2, each for the 15th of a month.
fn check_months(text: &str, value: impl Fn(f64, NaiveDate) -> f64) -> usize {
    let rows: Vec<MonthRow> = rows(text);
    for row in &rows {
        let months = [
            row.jan, row.feb, row.mar, row.apr, row.may, row.jun, row.jul, row.aug, row.sep, row.oct, row.nov, row.dec,
        ];
        for (expected, month) in months.iter().zip(1..) {
            let found = value(row.lat_deg, NaiveDate::from_ymd_opt(2023, month, 15).unwrap());
            // Half a unit of the last digit is in the tolerance; binary fractions get a hair more.
            assert!(
                (found - expected).abs() <= row.tolerance + 1e-9,
                "{} month {month}: {found} for {expected}",
                row.id
            );
        }
    }
    rows.len()
}

#[test]
fn radiation_above_the_air_is_that_of_fao_56_table_2_6() {
    assert_eq!(check_months(include_str!("data/fao56_table_2_6_ra.csv"), sun::extraterrestrial_mj_m2_day), 19);
}

#[test]
fn geometric_hours_are_those_of_fao_56_table_2_7() {
    assert_eq!(check_months(include_str!("data/fao56_table_2_7_daylight.csv"), sun::geometric_hours), 19);
}

#[derive(Debug, Deserialize)]
struct DayLengthRow {
    id: String,
    quantity: String,
    definition: String,
    lat_deg: f64,
    date: NaiveDate,
    expected: f64,
    tolerance: f64,
}

/// pvlib (NREL algorithm), astral (NOAA equations), eq. 34, and sunrise times of an almanac.
#[test]
fn day_length_is_that_of_two_astronomy_libraries_and_an_almanac() {
    let rows: Vec<DayLengthRow> = rows(include_str!("data/daylength.csv"));
    assert_eq!(rows.len(), 213);
    for row in &rows {
        let hours = sun::day_length_h(row.lat_deg, row.date);
        let found = match (row.quantity.as_str(), row.definition.as_str()) {
            // Local mean time: half the day before true noon, which clocks reach 12 less the equation of time.
            ("sunrise_local_mean_time", _) => 12.0 - sun::equation_of_time_min(row.date) / 60.0 - hours / 2.0,
            (_, definition) if definition.starts_with("geometric") => sun::geometric_hours(row.lat_deg, row.date),
            (_, definition) if definition.starts_with("civil") => sun::hours_above_h(row.lat_deg, row.date, -6.0),
            (_, definition) if definition.starts_with("sunrise to sunset") => hours,
            (_, other) => panic!("{}: what is {other}?", row.id),
        };
        assert!((found - row.expected).abs() <= row.tolerance, "{}: {found} for {}", row.id, row.expected);
    }
}

#[derive(Debug, Deserialize)]
struct PositionRow {
    id: String,
    quantity: String,
    definition: String,
    lat_deg: Option<f64>,
    lon_deg: Option<f64>,
    utc_time: String,
    expected: f64,
    tolerance: f64,
}

#[test]
fn the_sun_stands_where_two_astronomy_libraries_have_it() {
    let rows: Vec<PositionRow> = rows(include_str!("data/solar_position.csv"));
    assert_eq!(rows.len(), 117);
    for row in &rows {
        let date: NaiveDate = row.utc_time[..10].parse().unwrap();
        let hour = || {
            let time = DateTime::parse_from_rfc3339(&row.utc_time).unwrap();
            f64::from(time.num_seconds_from_midnight()) / 3600.0
        };
        let solar_hour = || sun::solar_hour(date, hour(), row.lon_deg.unwrap());
        let found = match row.quantity.as_str() {
            "noon_solar_elevation" => sun::noon_altitude_deg(row.lat_deg.unwrap(), date),
            "solar_elevation" => sun::solar_altitude_deg(row.lat_deg.unwrap(), date, solar_hour()),
            "solar_azimuth" => sun::solar_azimuth_deg(row.lat_deg.unwrap(), date, solar_hour()),
            "solar_declination" if row.definition.starts_with("FAO-56") => sun::fao_declination_rad(date).to_degrees(),
            "solar_declination" => sun::declination_deg(date),
            other => panic!("{}: what is {other}?", row.id),
        };
        assert!((found - row.expected).abs() <= row.tolerance, "{}: {found} for {}", row.id, row.expected);
    }
}

#[derive(Debug, Deserialize)]
struct TenHourRow {
    id: String,
    quantity: String,
    definition: String,
    lat_deg: f64,
    season: String,
    expected: String,
    tolerance: i64,
}

/// First days under and again over ten hours; a day's play for the sunrise definition, where libraries differ by as much.
#[test]
fn the_days_of_less_than_ten_hours_begin_and_end_when_they_should() {
    let rows: Vec<TenHourRow> = rows(include_str!("data/ten_hour_dates.csv"));
    assert_eq!(rows.len(), 80);
    for row in &rows {
        let is_short = |date: &NaiveDate| {
            let hours = match row.definition.as_str() {
                definition if definition.starts_with("geometric") => sun::geometric_hours(row.lat_deg, *date),
                _ => sun::day_length_h(row.lat_deg, *date),
            };
            hours < 10.0
        };
        // From the autumn equinox on, in the south of the same year; northern seasons are named for both years.
        let year: i32 = row.season[..4].parse().unwrap();
        let month = if row.lat_deg > 0.0 { 9 } else { 3 };
        let equinox = NaiveDate::from_ymd_opt(year, month, 23).unwrap();
        let below = equinox.iter_days().find(is_short).unwrap();
        let above = below.iter_days().find(|date| !is_short(date)).unwrap();
        let off = match row.quantity.as_str() {
            "first_day_shorter_than_10_h" => (below - row.expected.parse::<NaiveDate>().unwrap()).num_days(),
            "first_day_not_shorter_than_10_h" => (above - row.expected.parse::<NaiveDate>().unwrap()).num_days(),
            "days_shorter_than_10_h" => (above - below).num_days() - row.expected.parse::<i64>().unwrap(),
            other => panic!("{}: what is {other}?", row.id),
        };
        assert!(off.abs() <= row.tolerance, "{}: {off} days off", row.id);
    }
}

/// Published examples of extension services and numerical integration of the sine (Baskerville & Emin 1969).
#[test]
fn degree_days_are_those_of_extension_pages_and_of_integration() {
    let rows: Vec<Keyed> = rows(include_str!("data/gdd.csv"));
    assert_eq!(rows.len(), 46);
    let mut n_checked = 0;
    for row in &rows {
        let method = match row.quantity.as_str() {
            "gdd_average" => Method::Mean,
            "gdd_modified_average" => Method::ClampedMean,
            "gdd_single_sine" => Method::Sine,
            // A conversion of units, which this program does not offer.
            "gdd_f_to_c" => continue,
            other => panic!("{}: what is {other}?", row.id),
        };
        let mean = row.optional("tmean");
        let (tmin, tmax) = mean.map_or_else(|| (row.number("tmin"), row.number("tmax")), |mean| (mean, mean));
        row.expects(degree_days(tmin, tmax, row.number("base"), row.optional("upper"), method));
        n_checked += 1;
    }
    assert_eq!(n_checked, 45);
}

/// Hillel 1982; Campbell & Norman 1998; Ochsner, Rain or Shine.
#[test]
fn heat_goes_down_into_the_soil_as_the_textbooks_have_it() {
    let rows: Vec<Keyed> = rows(include_str!("data/soil_temperature.csv"));
    assert_eq!(rows.len(), 27);
    for row in &rows {
        let damping = || soil::damping_depth_m(row.number("diffusivity_m2_s"), row.number("period_s"));
        let found = match row.quantity.as_str() {
            "damping_depth" => damping(),
            "annual_to_daily_damping_ratio" => {
                let depth = |key| soil::damping_depth_m(0.5e-6, row.number(key) * soil::DAY_S);
                depth("period_1_d") / depth("period_2_d")
            }
            "amplitude_ratio_at_damping_depth" => soil::amplitude_ratio(row.number("depth_over_damping_depth"), 1.0),
            "amplitude_ratio" => soil::amplitude_ratio(row.number("depth_m"), damping()),
            "phase_lag" => {
                let seconds = soil::lag_s(row.number("depth_m"), damping(), row.number("period_s"));
                // Lags of a year's wave are printed in days, those of a day's in hours.
                if row.id.contains("-Y-") { seconds / soil::DAY_S } else { seconds / 3600.0 }
            }
            "soil_temperature_annual" => soil::annual_sine_c(
                row.number("mean_c"),
                row.number("amplitude_c"),
                row.number("doy_of_minimum"),
                row.number("depth_m"),
                row.number("diffusivity_m2_s"),
                row.number("doy"),
            ),
            "soil_temperature_diurnal" => {
                let (high, low) = (row.number("tmax_surface"), row.number("tmin_surface"));
                let (depth, damping) = (row.number("depth_cm"), row.number("damping_depth_cm"));
                let lag_h = soil::lag_s(depth, damping, soil::DAY_S) / 3600.0;
                let hours = row.number("hour") - row.number("zero_crossing_hour") - lag_h;
                let swing = (high - low) / 2.0 * soil::amplitude_ratio(depth, damping);
                f64::midpoint(high, low) + swing * (hours * std::f64::consts::TAU / 24.0).sin()
            }
            other => panic!("{}: what is {other}?", row.id),
        };
        row.expects(found);
    }
}

fn recorded(location: &str) -> Weather {
    let text = match location {
        "Seattle" => include_str!("data/weather_seattle.csv"),
        "New York" => include_str!("data/weather_new_york.csv"),
        other => panic!("no records of {other}"),
    };
    let read = Weather::parse(text).unwrap();
    assert!(read.repairs.is_empty(), "{:?}", read.repairs);
    read.weather
}

/// Four years of NOAA's daily records (public domain), quantities computed from them with pandas. Everything goes through the
/// program's own reading of the files.
#[test]
fn recorded_years_give_the_frosts_heat_sums_rain_and_evaporation_that_pandas_found() {
    let rows: Vec<Keyed> = rows(include_str!("data/weather_checks.csv"));
    assert_eq!(rows.len(), 69);
    let records = HashMap::from(["Seattle", "New York"].map(|location| (location, recorded(location))));
    for row in &rows {
        let inputs = row.inputs();
        let weather = &records[inputs["location"]];
        let year: i32 = inputs["year"].parse().unwrap();
        let days = weather.of_year(year).unwrap();
        let sum = |method| -> f64 {
            days.iter().map(|day| degree_days(day.tmin_c, day.tmax_c, row.number("base_c"), None, method)).sum()
        };
        let frosts = || frost::of_years(weather, false).into_iter().find(|frosts| frosts.year == year).unwrap();
        let expects_date = |found: Option<NaiveDate>| {
            assert_eq!(found.map(|date| date.to_string()).as_deref(), Some(row.expected.as_str()), "{}", row.id);
        };
        match row.quantity.as_str() {
            "last_spring_frost" => expects_date(frosts().last),
            "first_autumn_frost" => expects_date(frosts().first),
            "frost_free_days" => row.expects(frosts().n_frost_free_days().unwrap() as f64),
            "gdd_average_year" => row.expects(sum(Method::Mean)),
            "gdd_single_sine_year" => row.expects(sum(Method::Sine)),
            "precip_year" => row.expects(days.iter().map(|day| day.rain_mm.unwrap()).sum()),
            "first_day_running_mean_10d_reaches" => {
                let window = inputs["window_d"].parse().unwrap();
                let threshold = row.number("threshold_c");
                let means: Vec<f64> = days.iter().map(|day| f64::midpoint(day.tmin_c, day.tmax_c)).collect();
                let idx = means
                    .windows(window)
                    .position(|ten| ten.iter().sum::<f64>() / window as f64 >= threshold - 1e-9)
                    .unwrap();
                let first = NaiveDate::from_ymd_opt(year, 1, 1).unwrap();
                expects_date(Some(first + Days::new((idx + window - 1) as u64)));
            }
            "et0_hargreaves_month" => {
                let table = weather.day_table(row.number("lat_deg"), year).unwrap();
                let month = row.number("month") as u32;
                let first = NaiveDate::from_ymd_opt(year, month, 1).unwrap();
                let dates = first.iter_days().take_while(|date| date.month() == month);
                row.expects(dates.map(|date| table.day(date).evaporation_mm()).sum());
            }
            other => panic!("{}: what is {other}?", row.id),
        }
    }
}

#[derive(Debug, Deserialize)]
struct NormalRow {
    id: String,
    location: String,
    month: usize,
    mean_tmax_c: f64,
    mean_tmin_c: f64,
    mean_monthly_precip_mm: f64,
    tolerance: f64,
}

/// Monthly means of the same records by pandas: first as normals, then back out of the curve that is drawn through them
/// (within 0.05 °C, of which 0.01 is the rounding of the row).
#[test]
fn normals_of_recorded_years_come_back_out_of_the_daily_curve() {
    let rows: Vec<NormalRow> = rows(include_str!("data/weather_normals.csv"));
    assert_eq!(rows.len(), 24);
    for location in ["Seattle", "New York"] {
        let normals = recorded(location).normals().unwrap();
        assert!((0.5..4.0).contains(&normals.spread_c), "{}", normals.spread_c);
        let tables = [2023, 2024].map(|year| normals.day_table(45.0, year));
        for row in rows.iter().filter(|row| row.location == location) {
            let (at, id) = (row.month - 1, &row.id);
            assert!((normals.tmax_c[at] - row.mean_tmax_c).abs() <= row.tolerance, "{id}");
            assert!((normals.tmin_c[at] - row.mean_tmin_c).abs() <= row.tolerance, "{id}");
            // Rain is printed to a tenth of a millimetre.
            assert!((normals.rain_mm.unwrap()[at] - row.mean_monthly_precip_mm).abs() <= 0.051, "{id}");
            for table in &tables {
                let month = |value: fn(&Day) -> f64| table.month_means(value)[at];
                assert!((month(|day| day.tmax_c) - row.mean_tmax_c).abs() <= 0.05, "{id}");
                assert!((month(|day| day.tmin_c) - row.mean_tmin_c).abs() <= 0.05, "{id}");
            }
        }
    }
}
