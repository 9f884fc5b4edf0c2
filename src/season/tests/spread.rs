//! The range of a day on which ground frees up, against the days worked out year by year.

use super::*;
use crate::climate::{self, Climate, Normals, Weather, WeatherDay};
use crate::garden::ClimateChoice;
use crate::growth::Almanac;

/// Mean temperature of each recorded year, °C, the same on all its days.
const YEARS_C: [(i32, f64); 11] = [
    (2012, 12.5),
    (2013, 10.0),
    (2014, 14.0),
    (2015, 11.0),
    (2016, 13.5),
    (2017, 9.5),
    (2018, 12.0),
    (2019, 14.5),
    (2020, 10.5),
    (2021, 13.0),
    (2022, 11.5),
];

fn lettuces() -> Garden {
    let mut garden = garden(&["A1"]);
    garden.site.climate = ClimateChoice::Book("maritime-upland".to_owned());
    let mut lettuce = planting(1, "A1", "lettuce-head", grid(28), day(2027, 5, 10), day(2030, 1, 1));
    lettuce.planned.clear = None;
    garden.plantings = vec![lettuce];
    garden
}

/// The day on which the lettuces are out if every year is like one whose days are all as warm as that.
fn out_in(garden: &Garden, mean_c: f64) -> NaiveDate {
    let at_home = climate::of_site(&garden.site, None).unwrap();
    let normals = Normals { tmin_c: [mean_c - 4.0; 12], tmax_c: [mean_c + 4.0; 12], ..at_home.normals.clone() };
    let almanac = Almanac::new(&Arc::new(Climate { normals, ..at_home }), None);
    let lettuce = &garden.plantings[0];
    let crop = book();
    let crop = crop.crop("lettuce-head").unwrap();
    almanac.growing(crop, lettuce.raised, Cover::Open).stages(&lettuce.planned, &RealDates::default()).unwrap().clear
}

fn recorded() -> Arc<Weather> {
    let mut days = Vec::new();
    for (year, mean_c) in YEARS_C {
        let n_days = (day(year + 1, 1, 1) - day(year, 1, 1)).num_days();
        let one = WeatherDay { tmin_c: mean_c - 4.0, tmax_c: mean_c + 4.0, rain_mm: None };
        days.extend(std::iter::repeat_n(one, n_days as usize));
    }
    Arc::new(Weather::from_days(day(YEARS_C[0].0, 1, 1), days).unwrap())
}

#[test]
fn the_range_is_that_of_the_days_of_each_recorded_year() {
    let garden = lettuces();
    let mut by_year: Vec<NaiveDate> = YEARS_C.iter().map(|(_, mean_c)| out_in(&garden, *mean_c)).collect();
    by_year.sort_unstable();
    assert!(by_year[0] < by_year[10], "{by_year:?}");
    // Of eleven years a tenth lies at the second and nine tenths at the last but one: (11 - 1) × 0.1 = 1 and × 0.9 = 9.
    let (early, late) = (by_year[1], by_year[9]);
    let plan = Plan::with_weather(garden, &book(), Some(recorded()));
    let free = plan.free_up(0, day(2027, 5, 20));
    assert!(plan.spread(PlantingId(1)).unwrap().is_from_weather);
    assert_eq!(
        (plan.spread(PlantingId(1)).unwrap().early.clear, plan.spread(PlantingId(1)).unwrap().late.clear),
        (early, late)
    );
    // The day itself is that of the site's normals and stays inside its own range.
    assert_eq!((free.free_from_early, free.free_from_late), (early.min(free.free_from), late.max(free.free_from)));
}

#[test]
fn without_records_the_range_is_by_the_spread_of_the_normals_and_says_so() {
    let garden = lettuces();
    let at_home = climate::of_site(&garden.site, None).unwrap();
    // One season in ten is warmer by 1.2816 spreads of a season, six tenths of a month's.
    let season_c = 1.2816 * 0.6 * at_home.normals.spread_c;
    let lettuce = garden.plantings[0].clone();
    let out = |warmer_c: f64| {
        let normals = at_home.normals.warmed_by(warmer_c);
        let almanac = Almanac::new(&Arc::new(Climate { normals, ..at_home.clone() }), None);
        let book = book();
        almanac
            .growing(book.crop("lettuce-head").unwrap(), lettuce.raised, Cover::Open)
            .stages(&lettuce.planned, &RealDates::default())
            .unwrap()
            .clear
    };
    let plan = plan(garden);
    let spread = plan.spread(PlantingId(1)).unwrap();
    assert!(!spread.is_from_weather);
    let free = plan.free_up(0, day(2027, 5, 20));
    assert_eq!((free.free_from_early, free.free_from_late), (out(season_c), out(-season_c)));
}
