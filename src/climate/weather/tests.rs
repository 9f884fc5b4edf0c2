#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::*;

fn date(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// A file of a whole year: minimum by month, maximum ten above.
fn year_file(year: i32, separator: char, number: impl Fn(f64) -> String) -> String {
    let mut text = ["date", "tmin", "tmax", "rain"].join(&separator.to_string());
    for date in NaiveDate::from_ymd_opt(year, 1, 1).unwrap().iter_days().take_while(|date| date.year() == year) {
        let tmin = f64::from(date.month());
        let fields = [date.to_string(), number(tmin), number(tmin + 10.0), number(1.0)];
        text.push_str(&format!("\n{}", fields.join(&separator.to_string())));
    }
    text
}

fn error(text: &str) -> String {
    Weather::parse(text).unwrap_err().to_string()
}

#[test]
fn a_clean_file_is_read_without_repairs() {
    let read = Weather::parse(&year_file(2027, ',', |n| n.to_string())).unwrap();
    assert!(read.repairs.is_empty(), "{:?}", read.repairs);
    let weather = read.weather;
    assert_eq!(
        (weather.first(), weather.last(), weather.years()),
        (date("2027-01-01"), date("2027-12-31"), vec![2027])
    );
    assert_eq!(weather.day(date("2027-03-04")), Some(WeatherDay { tmin_c: 3.0, tmax_c: 13.0, rain_mm: Some(1.0) }));
    assert_eq!((weather.day(date("2026-12-31")), weather.day(date("2028-01-01"))), (None, None));
    let table = weather.day_table(54.0, 2027).unwrap();
    assert!((table.day(date("2027-12-31")).tmean_c - 17.0).abs() < 1e-12);
    assert_eq!(weather.day_tables(54.0).len(), 1);
}

#[test]
fn marks_line_ends_blank_lines_case_synonyms_and_other_columns_do_not_matter() {
    let text = "\u{feff}# my station\r\n\r\nDate,Wind,Temp Max (°C),Precip_mm,MIN_TEMP\r\n2027-01-01,3,9.5,0.2,1\r\n\r\n2027-01-02,x,8,0,-1\r\n";
    let read = Weather::parse(text).unwrap();
    assert!(read.repairs.is_empty(), "{:?}", read.repairs);
    assert_eq!(read.weather.days()[0], WeatherDay { tmin_c: 1.0, tmax_c: 9.5, rain_mm: Some(0.2) });
    assert_eq!(read.weather.days()[1], WeatherDay { tmin_c: -1.0, tmax_c: 8.0, rain_mm: Some(0.0) });
}

#[test]
fn decimal_commas_between_semicolons_or_in_quotes_are_read_and_said() {
    let by_point = Weather::parse(&year_file(2027, ',', |n| format!("{n:.1}"))).unwrap();
    for separator in [';', '\t'] {
        let read = Weather::parse(&year_file(2027, separator, |n| format!("{n:.1}").replace('.', ","))).unwrap();
        assert_eq!(read.weather, by_point.weather);
        assert_eq!(read.repairs, ["1095 numbers are written with a decimal comma and read as such"]);
    }
    let quoted = Weather::parse("date,tmin,tmax\n2027-01-01,\"1,5\",3").unwrap();
    assert!((quoted.weather.days()[0].tmin_c - 1.5).abs() < 1e-12);
    assert_eq!(quoted.repairs, ["1 number is written with a decimal comma and read as such"]);
}

#[test]
fn decimal_commas_between_commas_are_refused_with_their_line() {
    assert_eq!(
        error("date,tmin,tmax\n2027-01-01,1,5\n2027-01-02,1,5,3,5\n"),
        "line 3: 5 values for 3 columns; if 12.5 is written 12,5, separate the values with semicolons"
    );
    assert_eq!(error("date,tmin,tmax\n2027-01-01,1"), "line 2: 2 values for 3 columns");
}

#[test]
fn fahrenheit_taken_for_celsius_is_refused_and_named_fahrenheit_converted() {
    let fahrenheit = |n: f64| format!("{:.1}", n * 1.8 + 32.0);
    assert_eq!(
        error(&year_file(2027, ',', fahrenheit)),
        // Maxima above 57 °F (13.9 °C) are those of months 4 to 12: 275 days, the first on line 92 (31 + 28 + 31 + 2).
        "line 92: tmax 57.2 °C is hotter than any place on earth, and so are 274 more days in the file; is it Fahrenheit? \
         name the columns tmin_f and tmax_f, or convert them"
    );
    let named = year_file(2027, ',', fahrenheit).replace("tmin,tmax", "tmin_f,tmax (°F)");
    let read = Weather::parse(&named).unwrap();
    assert_eq!(read.repairs, ["temperatures are in Fahrenheit by the names of their columns and were converted"]);
    assert!((read.weather.day(date("2027-04-01")).unwrap().tmax_c - 14.0).abs() < 0.05);
    assert_eq!(error("date,tmin,tmax\n2027-01-01,-80,3"), "line 2: tmin -80 °C is colder than any place on earth");
}

#[test]
fn short_gaps_are_filled_in_straight_lines_and_said() {
    let text = "date,tmin,tmax\n2027-03-01,0,8\n2027-03-05,4,16\n2027-03-06,NA,17\n2027-03-07,6,18\n";
    let read = Weather::parse(text).unwrap();
    assert_eq!(
        read.repairs,
        ["4 missing days filled in between the days around: 2027-03-02 to 2027-03-04, 2027-03-06"]
    );
    let third = read.weather.day(date("2027-03-03")).unwrap();
    assert!((third.tmin_c - 2.0).abs() < 1e-12 && (third.tmax_c - 12.0).abs() < 1e-12);
    assert_eq!(read.weather.days().len(), 7);
}

#[test]
fn a_gap_of_a_week_is_filled_and_one_of_eight_days_refused_by_its_line_and_days() {
    let gap = |to: &str| format!("date,tmin,tmax\n2027-03-01,0,8\n{to},4,16\n");
    assert_eq!(Weather::parse(&gap("2027-03-09")).unwrap().weather.days().len(), 9);
    assert_eq!(
        error(&gap("2027-03-10")),
        "line 3: no records from 2027-03-02 to 2027-03-09, 8 days; up to 7 missing days in a row are filled in"
    );
}

#[test]
fn days_out_of_order_are_sorted_and_doubled_ones_refused_with_both_lines() {
    let read = Weather::parse("date,tmin,tmax\n2027-03-02,2,8\n2027-03-01,1,7\n").unwrap();
    assert_eq!(read.repairs, ["days were out of order and were sorted"]);
    assert!((read.weather.days()[0].tmin_c - 1.0).abs() < 1e-12);
    assert_eq!(
        error("date,tmin,tmax\n2027-03-02,2,8\n2027-03-01,1,7\n\n2027-03-02,2,8\n"),
        "line 5: 2027-03-02 is on line 2 already; keep one of the two"
    );
}

#[test]
fn other_faults_name_their_line_and_what_to_do() {
    for (text, message) in [
        ("", "there is no day in it; give a line of names (date,tmin,tmax,rain) and a line for each day"),
        (
            "date,tmin,tmax\n",
            "there is no day in it; give a line of names (date,tmin,tmax,rain) and a line for each day",
        ),
        ("date,tmin,tmax\n2027-01-01,9,3", "line 2: tmin 9 is above tmax 3; exchange or correct them"),
        ("date,tmin,tmax\n01/02/2027,1,3", "line 2: `01/02/2027` is not a date; write dates as 2027-03-15"),
        ("date,tmin,tmax\n1027-01-02,1,3", "line 2: the year 1027 is outside 1900 to 2200"),
        ("date,tmin,tmax\n2027-01-02,1,warm", "line 2: tmax `warm` is not a number"),
        ("date,tmin,tmax,rain\n2027-01-02,1,3,-4", "line 2: rain -4 mm in a day is outside 0 to 1900"),
        ("date,tmin,tmax\n2027-01-02,T,3", "line 2: tmin `T` is not a number"),
        ("\ndate,tmin,min,tmax\n", "line 2: two columns for tmin: `tmin` and `min`; keep one"),
        (
            "2027-01-02,1,3",
            "line 1: no column `date` among `2027-01-02,1,3`; the first line names the columns: date,tmin,tmax,rain",
        ),
        (
            "date,tmean\n",
            "line 1: no column `tmin` among `date,tmean`; the first line names the columns: date,tmin,tmax,rain",
        ),
    ] {
        assert_eq!(error(text), message, "{text:?}");
    }
}

#[test]
fn rain_may_be_missing_or_a_trace_and_is_said() {
    let text = "date,tmin,tmax,rain\n2027-03-01,0,8,tr\n2027-03-02,0,8,\n2027-03-03,0,8,-9999\n2027-03-04,0,8,2\n";
    let read = Weather::parse(text).unwrap();
    assert_eq!(read.repairs, ["1 trace of rain counted as 0 mm", "2 days have no rain recorded"]);
    assert_eq!(read.weather.days()[0].rain_mm, Some(0.0));
    assert_eq!(read.weather.days()[2].rain_mm, None);
}

#[test]
fn normals_are_the_means_of_whole_months_and_need_every_month() {
    let normals = Weather::parse(&year_file(2027, ',', |n| n.to_string())).unwrap().weather.normals().unwrap();
    assert!((normals.tmin_c[6] - 7.0).abs() < 1e-9 && (normals.tmax_c[6] - 17.0).abs() < 1e-9);
    assert_eq!(normals.rain_mm.map(|rain| (rain[1], rain[2])), Some((28.0, 31.0)));
    assert!((normals.spread_c - DEFAULT_SPREAD_C).abs() < 1e-12, "one year has no spread of its own");
    let whole = year_file(2027, ',', |n| n.to_string());
    let short = whole.lines().take(340).collect::<Vec<_>>().join(
        "
",
    );
    let error = Weather::parse(&short).unwrap().weather.normals().unwrap_err();
    assert_eq!(error.to_string(), "no whole December is recorded; a year of days is the least that makes normals");
}

#[test]
fn the_spread_is_that_of_the_months_from_year_to_year() {
    let first = date("2025-01-01");
    let days = first.iter_days().take_while(|date| date.year() < 2028).map(|date| {
        let tmin_c = f64::from(date.year() - 2026);
        WeatherDay { tmin_c, tmax_c: tmin_c + 8.0, rain_mm: None }
    });
    let normals = Weather::from_days(first, days.collect()).unwrap().normals().unwrap();
    // Means -1, 0 and 1 above the middle: the standard deviation of the three is 1.
    assert!((normals.spread_c - 1.0).abs() < 1e-9 && normals.rain_mm.is_none());
}

proptest! {
    #[test]
    fn whatever_a_file_holds_it_is_read_or_refused_in_one_line(text in "\\PC{0,80}", body in "[-0-9,;./\\n\" T°\\x{feff}]{0,120}") {
        for text in [text.clone(), format!("date,tmin,tmax\n{body}"), format!("date;tmin;tmax;rain\n2027-01-01;1;2;{text}\n{body}")] {
            match Weather::parse(&text) {
                Ok(read) => prop_assert!(read.weather.days().iter().all(|day| day.tmin_c <= day.tmax_c)),
                Err(error) => {
                    let message = error.to_string();
                    prop_assert!(!message.contains('\n') && message.chars().count() < 250, "{}", message);
                }
            }
        }
    }
}
