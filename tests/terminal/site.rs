//! The place of the garden: its form, weather records beside the file, and numbers typed over.

use std::fmt::Write as _;

use crate::sitting::{CTRL_R, ENTER, ESC, Sitting, Start, THREE_BEDS};

const UP: &str = "\x1b[A";

/// Three years of days, 9 °C on the mean, July 12 °C above January.
fn weather() -> String {
    let mut text = "date,tmin,tmax,rain\n".to_owned();
    let first = chrono::NaiveDate::from_ymd_opt(2020, 1, 1).unwrap();
    for date in first.iter_days().take(3 * 365 + 1) {
        let turn = f64::from(chrono::Datelike::ordinal(&date)) / 365.0 * std::f64::consts::TAU;
        let mean_c = 9.0 - 6.0 * turn.cos();
        writeln!(text, "{date},{:.1},{:.1},2.0", mean_c - 4.0, mean_c + 4.0).unwrap();
    }
    text
}

fn saved(sitting: &Sitting) -> String {
    std::fs::read_to_string(sitting.path("garden.ron")).unwrap()
}

#[test]
fn the_place_is_set_by_typing_over_its_numbers() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    sitting.types("L", "Place and climate");
    sitting.sees("longest day 17.1 h");
    // The latitude takes the place of the old one, key by key; the frosts follow across the equator.
    sitting.types("-43.5", "20 Nov");
    sitting.sees("-43.5");
    sitting.sees("1 Apr");
    sitting.keys("\x1b[B\x1b[B");
    sitting.types("12", "12 ");
    sitting.types(ENTER, "u undoes");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    let text = saved(&sitting);
    for field in [
        "latitude_deg: -43.5",
        "elevation_m: 12,",
        "last_frost: (month: 11, day: 20)",
        "first_frost: (month: 4, day: 1)",
    ] {
        assert!(text.contains(field), "{field} in {text}");
    }
}

#[test]
fn records_that_are_not_there_are_told_of_and_those_that_are_set_the_climate() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    sitting.types("L", "Place and climate");
    // From the first field up to the last one, and to the choice before the first.
    sitting.types(&format!("{UP}w"), "< weather file >");
    sitting.types(ENTER, "cannot read");
    sitting.sees("Place and climate");
    std::fs::write(sitting.path("weather.csv"), "date,tmin,tmax\n2020-01-01,cold,8\n").unwrap();
    sitting.types(ENTER, "line 2");
    assert_eq!(saved(&sitting), THREE_BEDS, "nothing was changed");
    std::fs::write(sitting.path("weather.csv"), weather()).unwrap();
    sitting.types(ENTER, "u undoes");
    sitting.sees_no_more("Place and climate");
    sitting.types("3", "from 3 weather years");
    sitting.types("u", "by year-to-year variation");
    sitting.types(CTRL_R, "from 3 weather years");
    sitting.types("L", "Own weather records");
    sitting.keys(ESC);
    sitting.sees_no_more("Own weather records");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    assert!(saved(&sitting).contains("climate: Weather(file: \"weather.csv\")"), "{}", saved(&sitting));
}

#[test]
fn own_months_are_typed_into_a_grid() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    sitting.types("L", "Place and climate");
    sitting.types(&format!("{UP}o"), "< own months >");
    sitting.sees("Jan  Feb");
    // Past the spread from year to year into the grid: the minimum of January, then of February.
    sitting.keys("\x1b[B\x1b[B");
    sitting.types("-2.5\x1b[C-1", "-2.5");
    sitting.types(ENTER, "u undoes");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    let text = saved(&sitting);
    assert!(text.contains("Normals(") && text.contains("-2.5") && text.contains("-1.0"), "{text}");
}

#[test]
fn a_number_just_come_to_is_typed_over() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    sitting.types("a", "Place a crop in A1");
    sitting.types("leek", "leek");
    sitting.types(ENTER, "Place Leek in A1");
    // The form begins in "from"; below it stands the end of the strip.
    sitting.keys("\x1b[B");
    sitting.types("120", "120");
    sitting.types(ENTER, "u undoes");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    assert!(saved(&sitting).contains("to_mm: 1200,"), "{}", saved(&sitting));
}
