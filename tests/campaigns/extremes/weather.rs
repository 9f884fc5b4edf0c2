//! Files of weather records at the extremes of what such a file may hold, written from the README's format and limits alone.

use std::fmt::Write as _;

use super::file::{CROPS, File, Planting, SIZE, day, own_crop};

/// Bytes a file of weather records may have, and days.
const FILE_BYTES: usize = 8 * 1024 * 1024;
const N_DAYS: usize = 40_000;

/// A kind of weather file.
pub struct Kind {
    pub name: &'static str,
    /// Whether it holds records that can be used; others are refused.
    pub is_sound: bool,
    /// The text: about a hundredth of the limits, or as much as they allow.
    pub text: fn(usize) -> String,
}

/// How much of the limits a text takes, in hundredths.
fn bytes(hundredths: usize) -> usize {
    FILE_BYTES / 100 * hundredths
}

fn n_days(hundredths: usize) -> usize {
    (N_DAYS / 100 * hundredths).max(1_200)
}

fn with_days(head: &str, n: usize, mut line: impl FnMut(usize) -> String) -> String {
    let mut text = format!("{head}\n");
    for n in 0..n {
        let _ = writeln!(text, "{},{}", day(n), line(n));
    }
    text
}

/// The coldest and the hottest that is believed by turns, and all the rain.
fn swings(hundredths: usize) -> String {
    with_days("date,tmin,tmax,rain", n_days(hundredths), |n| {
        if n % 2 == 0 { "-70,-70,1900" } else { "57,57,0" }.to_owned()
    })
}

/// Every day the same, so that nothing ever freezes, and nothing rains.
fn sameness(hundredths: usize) -> String {
    with_days("date,tmin,tmax,rain", n_days(hundredths), |_| "20,20,0".to_owned())
}

/// A year as it might be, over and over, each a little other.
fn ordinary_years(hundredths: usize) -> String {
    with_days("date,tmin,tmax,rain", n_days(hundredths), |n| {
        let warmth = 8.0 - 8.0 * (n as f64 * std::f64::consts::TAU / 365.25).cos() + (n / 365 * 7 % 5) as f64 * 0.4;
        format!("{:.1},{:.1},{}", warmth - 4.0, warmth + 5.0, n % 7)
    })
}

/// Numbers as long as the file has room for.
fn long_numbers(hundredths: usize) -> String {
    let n = n_days(hundredths);
    let digits = "0".repeat((bytes(hundredths) / n).saturating_sub(40) / 3);
    with_days("date,tmin,tmax,rain", n, |n| format!("1.{digits},{}.{digits},0.{digits}", 2 + n % 9))
}

/// The same with commas.
fn long_numbers_with_commas(hundredths: usize) -> String {
    long_numbers(hundredths).replace(',', ";").replace('.', ",")
}

/// Other columns than those that are asked for, as many as the file has room for, on every line.
fn idle_columns(hundredths: usize) -> String {
    let n = n_days(hundredths);
    let idle = ",".repeat((bytes(hundredths) / n).saturating_sub(40));
    with_days(&format!("date,tmin,tmax,rain{idle}"), n, |n| format!("1,{},0{idle}", 2 + n % 9))
}

/// The same on few lines.
fn idle_columns_of_a_year(hundredths: usize) -> String {
    let n = 800;
    let idle = ",x".repeat((bytes(hundredths) / (n + 2) / 2).saturating_sub(20));
    with_days(&format!("date,tmin,tmax,rain{idle}"), n, |n| format!("1,{},0{idle}", 2 + n % 9))
}

/// One line with more columns than anybody has.
fn endless_head(hundredths: usize) -> String {
    format!("date,tmin,tmax{}\n1950-01-01,1,2", ",x".repeat(bytes(hundredths) / 2 - 40))
}

/// The same in quotes.
fn endless_head_in_quotes(hundredths: usize) -> String {
    format!("date,tmin,tmax{}\n1950-01-01,1,2", ",\"\"".repeat(bytes(hundredths) / 3 - 40))
}

/// One name without end, of many words.
fn endless_name(hundredths: usize) -> String {
    format!("date,tmin,{}\n1950-01-01,1,2", "a ".repeat(bytes(hundredths) / 2 - 40))
}

/// One name without end, of one word.
fn endless_word(hundredths: usize) -> String {
    "é".repeat(bytes(hundredths) / 2 - 40)
}

/// Quotes that are opened and closed, and never a line end.
fn quotes(hundredths: usize) -> String {
    format!("date,tmin,tmax\n1950-01-01,1,\"{}", "\"\"".repeat(bytes(hundredths) / 2 - 40))
}

/// Lines of which none is a day.
fn remarks(hundredths: usize) -> String {
    "#\n".repeat(bytes(hundredths) / 2)
}

/// One number past all bounds.
fn endless_number(hundredths: usize) -> String {
    format!("date,tmin,tmax\n1950-01-01,1,{}", "9".repeat(bytes(hundredths) - 60))
}

/// As many gaps as there can be, each as long as is filled in.
fn gaps(hundredths: usize) -> String {
    let mut text = "date,tmin,tmax,rain\n".to_owned();
    for n in (0..n_days(hundredths)).step_by(8) {
        let _ = writeln!(text, "{},{},{},", day(n), n % 9, n % 9 + 9);
    }
    text
}

/// The last day first.
fn backwards(hundredths: usize) -> String {
    let text = ordinary_years(hundredths);
    let (head, days) = text.split_once('\n').unwrap();
    let days: Vec<&str> = days.lines().rev().collect();
    format!("{head}\n{}\n", days.join("\n"))
}

/// One day over and over.
fn twice(hundredths: usize) -> String {
    with_days("date,tmin,tmax", n_days(hundredths), |_| "1,2".to_owned()).replace("1900-01-02", "1900-01-01")
}

/// A day in January and one in December of every year, and nothing between.
fn far_apart(hundredths: usize) -> String {
    let mut text = "date,tmin,tmax\n".to_owned();
    for n in (0..n_days(hundredths)).step_by(183) {
        let _ = writeln!(text, "{},1,2", day(n));
    }
    text
}

pub const KINDS: &[Kind] = &[
    Kind { name: "swings", is_sound: true, text: swings },
    Kind { name: "sameness", is_sound: true, text: sameness },
    Kind { name: "ordinary-years", is_sound: true, text: ordinary_years },
    Kind { name: "long-numbers", is_sound: true, text: long_numbers },
    Kind { name: "long-numbers-with-commas", is_sound: true, text: long_numbers_with_commas },
    Kind { name: "idle-columns", is_sound: true, text: idle_columns },
    Kind { name: "idle-columns-of-a-year", is_sound: true, text: idle_columns_of_a_year },
    Kind { name: "gaps", is_sound: true, text: gaps },
    Kind { name: "backwards", is_sound: true, text: backwards },
    Kind { name: "endless-head", is_sound: false, text: endless_head },
    Kind { name: "endless-head-in-quotes", is_sound: false, text: endless_head_in_quotes },
    Kind { name: "endless-name", is_sound: false, text: endless_name },
    Kind { name: "endless-word", is_sound: false, text: endless_word },
    Kind { name: "endless-number", is_sound: false, text: endless_number },
    Kind { name: "quotes", is_sound: false, text: quotes },
    Kind { name: "remarks", is_sound: false, text: remarks },
    Kind { name: "twice", is_sound: false, text: twice },
    Kind { name: "far-apart", is_sound: false, text: far_apart },
];

/// A garden that asks for the records: so many plantings of crops that all grow otherwise, in the open and under every cover, over
/// some years.
pub fn garden(n: usize) -> String {
    let mut file = File::at_site("by weather", ", climate: Weather(file: \"weather.csv\")");
    let covers = ["Open", "Fleece", "Mesh", "Cloche", "UnheatedTunnel", "Glass"];
    let n_own = n.min(1_000) / 2;
    (0..n_own).for_each(|at| file.put("own_crops", &own_crop(at, 0, 2)));
    for idx in 0..n.div_ceil(20) {
        let (width_mm, length_mm) = SIZE;
        let cover = covers[idx % covers.len()];
        let entry = format!("(id: \"B{idx}\", width_mm: {width_mm}, length_mm: {length_mm}, cover: {cover})");
        file.put("beds", &entry);
    }
    for at in 0..n {
        let (bed, turn) = (at / 20, at % 20);
        let dates = format!("plant: \"{}-{:02}-10\"", 2026 + turn / 4, turn % 4 * 2 + 3);
        let own = format!("own{}", at % n_own);
        let crop = if at % 2 == 0 { own.as_str() } else { CROPS[(at + bed) % CROPS.len()] };
        file.planting(&Planting { id: at + 1, bed, crop, dates: &dates, ..Planting::default() });
    }
    file.done()
}
