//! Dates, counts, lists and sentences.

use chrono::NaiveDate;

use crate::garden::MonthDay;
use crate::units::{Rect, Week};

/// Days from one year's day to the next, for saying how long ago something was.
pub(super) const DAYS_PER_YEAR: i64 = 365;

/// A day: `3 May 2027`.
pub fn date(day: NaiveDate) -> String {
    day.format("%-d %b %Y").to_string()
}

/// A day of any year: `22 May`.
pub fn month_day(day: MonthDay) -> String {
    // A leap year has them all.
    NaiveDate::from_ymd_opt(2024, day.month, day.day).map_or_else(String::new, |day| day.format("%-d %b").to_string())
}

/// A week by number and its Monday.
pub fn week(week: Week) -> String {
    format!("{week} (from {})", date(week.monday()))
}

/// How long so many days are, in the unit one would use: `5 days`, `7 weeks`, `2 years`, `almost 2 years`.
pub fn span(n_days: i64) -> String {
    match n_days {
        ..14 => plural(n_days, "day"),
        14..DAYS_PER_YEAR => plural(n_days / 7, "week"),
        _ => match (n_days / DAYS_PER_YEAR, n_days % DAYS_PER_YEAR) {
            (n_years, 0..=30) => plural(n_years, "year"),
            (n_years, 31..=273) => format!("more than {}", plural(n_years, "year")),
            (n_years, _) => format!("almost {}", plural(n_years + 1, "year")),
        },
    }
}

/// `1 year`, `2 years`.
pub fn plural(n: i64, unit: &str) -> String {
    if n == 1 { format!("1 {unit}") } else { format!("{n} {unit}s") }
}

/// A number with as few decimals as it needs, two at most.
pub fn decimal(number: f64) -> String {
    let hundredths = (number * 100.0).round();
    let is_whole = |of: f64| (hundredths / of).fract() == 0.0;
    let n_decimals = if is_whole(100.0) { 0 } else { 2 - usize::from(is_whole(10.0)) };
    format!("{number:.n_decimals$}")
}

/// A count with its noun: `1 plant`, `128 plants`.
pub fn counted(n: u64, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {many}") }
}

/// `leek, kale and pea`.
pub fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// A clause as a sentence of its own.
pub fn sentence(clause: &str) -> String {
    let mut letters = clause.chars();
    let first: String = letters.next().map(|first| first.to_uppercase().collect()).unwrap_or_default();
    let ending = if clause.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{first}{}{ending}", letters.as_str())
}

/// Ground in cm along and across the bed.
pub fn grounds(rects: &[Rect]) -> String {
    let one = |rect: &Rect| format!("{} to {} cm along and {} to {} cm across", rect.x0, rect.x1, rect.y0, rect.y1);
    let words: Vec<String> = rects.iter().take(3).map(one).collect();
    if rects.len() > 3 { format!("{} and other ground", words.join(", ")) } else { list(&words) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_are_told_in_the_unit_one_would_use() {
        let told = [1, 5, 13, 14, 364, 365, 395, 396, 692, 730].map(span);
        let words = ["1 day", "5 days", "13 days", "2 weeks", "52 weeks", "1 year", "1 year", "more than 1 year"];
        assert_eq!(told[..8], words);
        assert_eq!(told[8..], ["almost 2 years", "2 years"]);
    }

    #[test]
    fn one_is_singular_and_none_plural() {
        assert_eq!([0, 1, 2].map(|n| counted(n, "breach", "breaches")), ["0 breaches", "1 breach", "2 breaches"]);
        assert_eq!([0, 1, 2].map(|n| plural(n, "week")), ["0 weeks", "1 week", "2 weeks"]);
    }

    #[test]
    fn numbers_have_the_decimals_they_need() {
        assert_eq!([1.0, 0.5, 2.345, 120.0].map(decimal), ["1", "0.5", "2.35", "120"]);
        assert_eq!(month_day(MonthDay { month: 2, day: 29 }), "29 Feb");
    }

    #[test]
    fn lists_and_sentences_end_as_one_writes_them() {
        let words = |n: usize| list(&["leek", "kale", "pea"].map(str::to_owned)[..n]);
        assert_eq!([words(0), words(1), words(2), words(3)], ["", "leek", "leek and kale", "leek, kale and pea"]);
        assert_eq!([sentence("put it in later"), sentence("why?")], ["Put it in later.", "Why?"]);
    }
}
