//! A garden whose site goes by daily records in a file beside it.

use std::fmt::Write as _;

use chrono::{Datelike, NaiveDate};
use serde_json::Value;

use super::bench::{Bench, SMALL};

/// Four invented years of days, the middle two a little warmer, with rain every third day; all moved by so many degrees.
fn records_moved(by_c: f64) -> Vec<(NaiveDate, f64, f64, f64)> {
    let first: NaiveDate = "2021-01-01".parse().unwrap();
    let day = |date: NaiveDate| {
        let turn = f64::from(date.ordinal()) / 365.0 * std::f64::consts::TAU;
        let year_c = [-1.2, 0.6, 1.4, -0.8][(date.year() - 2021) as usize];
        let mean = 9.0 - 6.5 * (turn - 0.5).cos() + year_c + by_c;
        (date, mean - 4.0, mean + 4.0, if date.ordinal().is_multiple_of(3) { 4.0 } else { 0.0 })
    };
    first.iter_days().take(4 * 365 + 1).map(day).collect()
}

fn csv(days: &[(NaiveDate, f64, f64, f64)]) -> String {
    let mut text = "date,tmin,tmax,rain\n".to_owned();
    for (date, tmin, tmax, rain) in days {
        writeln!(text, "{date},{tmin:.1},{tmax:.1},{rain:.1}").unwrap();
    }
    text
}

fn records() -> String {
    csv(&records_moved(0.0))
}

/// The small garden with open ends, so that the weather decides when things are picked and cleared.
fn open_ended() -> String {
    let mut text = SMALL.to_owned();
    for (given, open) in [
        ("plant: Some(\"2027-06-01\"), clear: Some(\"2027-11-30\")", "plant: Some(\"2027-06-01\")"),
        ("plant: Some(\"2027-06-01\"), clear: Some(\"2027-08-01\")", "plant: Some(\"2027-06-01\")"),
        ("sow: Some(\"2027-05-10\"), clear: Some(\"2027-09-20\")", "sow: Some(\"2027-05-10\")"),
        ("plant: Some(\"2027-04-19\"), clear: Some(\"2027-09-13\")", "plant: Some(\"2027-04-19\")"),
    ] {
        assert!(text.contains(given), "{given}");
        text = text.replacen(given, open, 1);
    }
    text
}

fn going_by(garden: &str, climate: &str) -> String {
    assert!(garden.contains("currency: \"GBP\","));
    garden.replacen("currency: \"GBP\",", &format!("currency: \"GBP\",\n        climate: {climate},"), 1)
}

/// A garden in a folder of its own, going by `weather.csv` beside it.
fn bench_with(records: Option<&[u8]>) -> Bench {
    let bench = Bench::new();
    std::fs::create_dir(bench.path("plot")).unwrap();
    bench.write("plot/small.ron", going_by(SMALL, "Weather(file: \"weather.csv\")").as_bytes());
    bench.write("plot/open.ron", going_by(&open_ended(), "Weather(file: \"weather.csv\")").as_bytes());
    if let Some(records) = records {
        bench.write("plot/weather.csv", records);
    }
    bench
}

const COMMANDS: [&str; 4] = [
    "check plot/open.ron",
    "free plot/open.ron",
    "fit plot/open.ron A1",
    "list plot/open.ron --from 2027-01-01 --to 2028-12-31",
];

/// What every command answers, with nothing on standard error.
fn answers(bench: &Bench) -> Vec<Value> {
    let answer = |words: &&str| {
        let said = bench.run(&format!("{words} --json"));
        assert!([0, 1].contains(&said.code) && said.err.is_empty(), "{words}: {}", said.err);
        serde_json::from_str(&said.out).unwrap()
    };
    COMMANDS.iter().map(answer).collect()
}

#[test]
fn records_lie_beside_the_garden_file_and_every_command_goes_by_them() {
    let mild = answers(&bench_with(Some(records().as_bytes())));
    let warm = answers(&bench_with(Some(csv(&records_moved(3.0)).as_bytes())));
    for ((words, mild), warm) in COMMANDS.iter().zip(&mild).zip(&warm) {
        assert_ne!(mild, warm, "{words} does not see the weather");
    }
    // In the warmer place potatoes are sooner out of the ground.
    let freed = |answers: &[Value]| answers[1][2]["free_from"].as_str().unwrap().to_owned();
    assert!(freed(&warm) < freed(&mild), "{} {}", freed(&warm), freed(&mild));
    // In the colder one they are not ripe before frost.
    let cold = answers(&bench_with(Some(csv(&records_moved(-4.0)).as_bytes())));
    let is_lost = |answers: &[Value]| answers[0].to_string().contains("not ripe before frost");
    assert!(is_lost(&cold) && !is_lost(&warm), "{}", cold[0]);
}

#[test]
fn the_same_days_are_read_from_files_of_many_kinds() {
    let days = records_moved(0.0);
    let plain = records();
    let expected = answers(&bench_with(Some(plain.as_bytes())));
    let mut other_order = "Rain (mm);Max temp;Station;DATE;Min temp\n".to_owned();
    let mut quoted = "\"date\",\"tmin\",\"tmax\",\"rain\"\n".to_owned();
    let mut compact = "# kept by hand\n\ndate\ttn\ttx\trr\n".to_owned();
    for (date, tmin, tmax, rain) in &days {
        writeln!(other_order, "{rain:.1};{tmax:.1};north; {date} ;{tmin:.1}").unwrap();
        writeln!(quoted, "\"{date}\",\"{tmin:.1}\",\"{tmax:.1}\",\"{rain:.1}\"").unwrap();
        writeln!(compact, "{}\t{tmin:.1}\t{tmax:.1}\t{rain:.1}", date.format("%Y%m%d")).unwrap();
    }
    for (what, text) in [
        ("Windows line ends", plain.replace('\n', "\r\n")),
        ("a byte order mark", format!("\u{feff}{plain}")),
        ("both", format!("\u{feff}{}", plain.replace('\n', "\r\n"))),
        ("semicolons", plain.replace(',', ";")),
        ("other columns in another order", other_order),
        ("quoted fields", quoted),
        ("tabs, short dates, a comment", compact),
        ("no end of the last line", plain.trim_end().to_owned()),
        ("capitals and spaces", plain.replacen("date,tmin,tmax,rain", " Date , T_min , T-Max , Rainfall ", 1)),
    ] {
        assert_eq!(answers(&bench_with(Some(text.as_bytes()))), expected, "{what}");
    }
}

#[test]
fn what_was_mended_is_told_on_standard_error_alone() {
    let days = records_moved(0.0);
    let mut commas = "date;tmin;tmax;rain\n".to_owned();
    let mut fahrenheit = "date,tmin_f,tmax_f,rain\n".to_owned();
    for (date, tmin, tmax, rain) in &days {
        writeln!(commas, "{date};{tmin:.1};{tmax:.1};{rain:.1}").unwrap();
        writeln!(fahrenheit, "{date},{:.1},{:.1},{rain}", tmin * 1.8 + 32.0, tmax * 1.8 + 32.0).unwrap();
    }
    let holed = records().replacen("2021-03-02,", "#2021-03-02,", 1);
    let swapped = {
        let mut lines: Vec<&str> = holed.lines().collect();
        lines.swap(300, 301);
        lines.join("\n")
    };
    for (what, text, named) in [
        ("a missing day", holed.clone(), "1 missing day filled in between the days around: 2021-03-02"),
        ("decimal commas", commas.replacen(".0\n", ",0\n", 1), "1 number is written with a decimal comma"),
        ("days out of order", swapped, "days were out of order and were sorted"),
        ("columns in Fahrenheit", fahrenheit, "in Fahrenheit by the names of their columns and were converted"),
        ("a trace of rain", records().replacen(",0.0\n", ",trace\n", 1), "1 trace of rain counted as 0 mm"),
    ] {
        let bench = bench_with(Some(text.as_bytes()));
        for words in COMMANDS {
            for json in ["", " --json"] {
                let said = bench.run(&format!("{words}{json}"));
                assert!([0, 1].contains(&said.code), "{what}: {words}: {}", said.err);
                assert!(said.err.lines().all(|line| line.starts_with("note: ")), "{what}: {}", said.err);
                assert!(said.err.contains("weather.csv") && said.err.contains(named), "{what}: {}", said.err);
                assert!(!said.out.is_empty() && !said.out.contains("weather.csv"), "{what}: {}", said.out);
            }
        }
    }
    // Fahrenheit that says so is the same weather.
    let free = |text: &str| bench_with(Some(text.as_bytes())).json("free plot/open.ron --bed A3", 0);
    let mut fahrenheit = "date,tmin_f,tmax_f\n".to_owned();
    for (date, tmin, tmax, _) in &days {
        writeln!(fahrenheit, "{date},{:.3},{:.3}", tmin * 1.8 + 32.0, tmax * 1.8 + 32.0).unwrap();
    }
    assert_eq!(free(&fahrenheit)[0]["free_from"], free(&records())[0]["free_from"]);
}

#[test]
fn records_that_cannot_be_used_are_refused_with_their_file_and_line() {
    let good = records();
    let line_of = |date: &str| good.lines().position(|line| line.starts_with(date)).unwrap() + 1;
    let gap: String = good
        .lines()
        .filter(|line| !("2021-02-01".."2021-02-09").contains(&line.split(',').next().unwrap()))
        .fold(String::new(), |text, line| text + line + "\n");
    let fahrenheit =
        csv(&records_moved(0.0).iter().map(|d| (d.0, d.1 * 1.8 + 32.0, d.2 * 1.8 + 32.0, d.3)).collect::<Vec<_>>());
    let short: String = good.split_inclusive('\n').take(100).collect();
    let twice = format!("line {}: 2021-01-04 is on line {} already", line_of("2021-01-05"), line_of("2021-01-04"));
    let gap_line = format!("line {}: no records from 2021-02-01 to 2021-02-08, 8 days", line_of("2021-02-01"));
    for (what, text, named) in [
        ("none", None, "weather.csv"),
        (
            "minimum above maximum",
            Some(good.replacen("2021-01-05,", "2021-01-05,30,1,0\n#", 1)),
            "line 6: tmin 30 is above",
        ),
        ("a day twice", Some(good.replacen("2021-01-05,", "2021-01-04,", 1)), twice.as_str()),
        ("a gap of eight days", Some(gap), &gap_line),
        ("one day of Fahrenheit", Some(good.replacen("2021-07-05,", "2021-07-05,61,83,0\n#", 1)), "is it Fahrenheit?"),
        ("all in Fahrenheit", Some(fahrenheit), "more days in the file; is it Fahrenheit?"),
        (
            "decimal commas between commas",
            Some(good.replacen("2021-01-05,", "2021-01-05,1,5,6,5,0,0\n#", 1)),
            "line 6: 7 values for 4 columns; if 12.5 is written 12,5",
        ),
        (
            "words for a number",
            Some(good.replacen("2021-01-05,", "2021-01-05,warm,6,0\n#", 1)),
            "line 6: tmin `warm` is not a number",
        ),
        (
            "a date of another order",
            Some(good.replacen("2021-01-05,", "05/01/2021,", 1)),
            "line 6: `05/01/2021` is not a date",
        ),
        ("no such day", Some(good.replacen("2021-03-01,", "2021-02-30,", 1)), "`2021-02-30` is not a date"),
        ("no minimum", Some(good.replacen("tmin", "humidity", 1)), "line 1: no column `tmin`"),
        (
            "two maxima",
            Some(good.replacen("tmin", "tx", 1).replacen("rain", "tmin", 1)),
            "line 1: two columns for tmax",
        ),
        ("negative rain", Some(good.replacen("2021-01-05,", "2021-01-05,1,6,-3\n#", 1)), "line 6: rain -3 mm"),
        ("a hundred days", Some(short), "no whole"),
        ("names without days", Some("date,tmin,tmax,rain\n".to_owned()), "there is no day in it"),
        ("empty", Some(String::new()), "there is no day in it"),
    ] {
        let bench = bench_with(text.as_ref().map(String::as_bytes));
        for words in [
            "check plot/small.ron",
            "free plot/small.ron --json",
            "list plot/small.ron",
            "fit plot/small.ron A1",
            "plot/small.ron",
        ] {
            let said = bench.run(words);
            said.is_refused(&format!("{what}: {words}"));
            assert!(said.err.contains(named) && said.err.contains("weather.csv"), "{what}: {}", said.err);
        }
    }
    let bytes = bench_with(Some(b"date,tmin,tmax\n2021-01-01,\xff\xfe,3\n"));
    bytes.run("check plot/small.ron").is_refused("no text");
    let folder = bench_with(None);
    std::fs::create_dir(folder.path("plot/weather.csv")).unwrap();
    folder.run("check plot/small.ron").is_refused("a folder");
}

#[test]
fn a_file_in_another_folder_is_refused() {
    let bench = bench_with(Some(records().as_bytes()));
    bench.write("weather.csv", records().as_bytes());
    for elsewhere in
        ["../weather.csv", "sub/weather.csv", "/tmp/weather.csv", "..", ".", "sub\\\\weather.csv", "C:weather.csv", ""]
    {
        bench.write("plot/other.ron", going_by(SMALL, &format!("Weather(file: \"{elsewhere}\")")).as_bytes());
        for words in ["check plot/other.ron", "free plot/other.ron", "plot/other.ron"] {
            let said = bench.run(words);
            assert_eq!((said.code, said.out.as_str()), (2, ""), "{elsewhere}: {words}");
            assert!(said.err.contains("climate: Weather(file:"), "{elsewhere}: {}", said.err);
        }
    }
}

#[test]
fn a_climate_that_is_not_there_is_refused_not_replaced() {
    let bench = Bench::new();
    bench.write("small.ron", going_by(SMALL, "Book(\"maritime-uplands\")").as_bytes());
    let said = bench.run("check small.ron");
    said.is_refused("a slip in a climate's name");
    assert!(said.err.contains("did you mean `maritime-upland`?"), "{}", said.err);
}

#[test]
fn free_says_how_sure_the_day_is_and_what_that_rests_on() {
    // Potatoes stand in A3; without a clearing day of their own the weather decides when they go.
    let bench = bench_with(Some(records().as_bytes()));
    bench.write("normals.ron", open_ended().as_bytes());
    // Two years say nothing of how much years differ.
    std::fs::create_dir(bench.path("two")).unwrap();
    bench.write("two/open.ron", bench.read("plot/open.ron").as_bytes());
    let two: String = records().split_inclusive('\n').take(1 + 2 * 365).collect();
    bench.write("two/weather.csv", two.as_bytes());
    for (file, basis) in [
        ("plot/open.ron", "the recorded years"),
        ("normals.ron", "the spread of the site's normals"),
        ("two/open.ron", "the spread of the site's normals"),
    ] {
        let answer = bench.json(&format!("free {file} --bed A3"), 0);
        let [early, from, late] =
            ["free_from_early", "free_from", "free_from_late"].map(|key| answer[0][key].as_str().unwrap());
        assert!(early <= from && from <= late && early < late, "{file}: {early} {from} {late}");
        assert_eq!(answer[0]["range_from"], basis, "{file}");
        let text = bench.run(&format!("free {file} --bed A3")).out.replace("\n  ", " ");
        assert!(text.contains(&format!("between {early} and {late} in eight years out of ten, by {basis}")), "{text}");
    }
    // A clearing day that is given has no range.
    let given = bench.json("free plot/small.ron --bed A3", 0);
    assert_eq!(given[0]["free_from_early"], given[0]["free_from_late"]);
    assert!(given[0]["range_from"].is_null());
    // Warmer and colder years make the range: with every year the same it closes.
    let same: Vec<_> = (2021..2025)
        .flat_map(|year| {
            let first = NaiveDate::from_ymd_opt(year, 1, 1).unwrap();
            first.iter_days().take_while(move |date| date.year() == year).map(|date| {
                let turn = f64::from(date.ordinal()) / 365.0 * std::f64::consts::TAU;
                let mean = 9.0 - 6.5 * (turn - 0.5).cos();
                (date, mean - 4.0, mean + 4.0, 0.0)
            })
        })
        .collect();
    let range = |bench: &Bench| {
        let answer = bench.json("free plot/open.ron --bed A3", 0);
        let [early, late] = ["free_from_early", "free_from_late"]
            .map(|key| answer[0][key].as_str().unwrap().parse::<NaiveDate>().unwrap());
        (late - early).num_days()
    };
    // A day either way: leap days move the sun by one.
    assert!(range(&bench_with(Some(csv(&same).as_bytes()))) <= 2);
    assert!(range(&bench) > 5);
}
