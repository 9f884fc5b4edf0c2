//! What single fields must hold to: numbers within their limits, texts, days and their order.

use std::fmt;

use chrono::{Datelike, NaiveDate};

use super::limits::{self, Limit};
use super::problem::{Place, Problem, problem, quoted};
use crate::units::text::is_steering;

pub(super) fn check_limit<T: PartialOrd + fmt::Display + Copy>(
    place: &Place,
    field: &'static str,
    limit: &Limit<T>,
    value: T,
    hint: &str,
    out: &mut Vec<Problem>,
) {
    if let Some(message) = limit.refusal(value) {
        out.push(problem(place.clone(), field, message, hint));
    }
}

pub(super) fn check_date(place: &Place, field: &'static str, date: NaiveDate, out: &mut Vec<Problem>) {
    check_limit(place, field, &limits::YEAR, date.year(), "write dates as \"2027-03-15\"", out);
}

#[derive(Clone, Copy, PartialEq)]
pub(super) enum Lines {
    One,
    Many,
}

/// A name that must be there.
pub(super) fn check_name(place: &Place, field: &'static str, text: &str, out: &mut Vec<Problem>) {
    if text.trim().is_empty() {
        out.push(problem(place.clone(), field, "it is empty".to_owned(), "give it a name"));
    } else {
        check_line(place, field, text, out);
    }
}

pub(super) fn check_line(place: &Place, field: &'static str, text: &str, out: &mut Vec<Problem>) {
    check_text(place, field, text, limits::NAME_CHARS, Lines::One, out);
}

pub(super) fn check_notes(place: &Place, field: &'static str, text: &str, out: &mut Vec<Problem>) {
    check_text(place, field, text, limits::NOTES_CHARS, Lines::Many, out);
}

pub(super) fn check_text(
    place: &Place,
    field: &'static str,
    text: &str,
    n_chars_most: usize,
    lines: Lines,
    out: &mut Vec<Problem>,
) {
    let is_allowed = |c: char| !is_steering(c) || (lines == Lines::Many && matches!(c, '\n' | '\t'));
    if let Some(bad) = text.chars().find(|c| !is_allowed(*c)) {
        let message = format!("`{}` has a control character (U+{:04X})", quoted(text), u32::from(bad));
        out.push(problem(place.clone(), field, message, "take that character out"));
    }
    // No text has more characters than bytes, so most need no counting.
    if text.len() > n_chars_most {
        let n_chars = text.chars().count();
        if n_chars > n_chars_most {
            let message = format!("`{}` has {n_chars} characters; {n_chars_most} are the most", quoted(text));
            out.push(problem(place.clone(), field, message, "shorten it"));
        }
    }
}

/// A day's field, what is done on it, and where and when, if it is given.
type Done = (&'static str, &'static str, Option<(Place, NaiveDate)>);

/// Whether the days that are given follow one another; a planting is cleared at least a day after it is sown or planted.
pub(super) fn check_order<const N: usize>(days: [Done; N], out: &mut Vec<Problem>) {
    let mut earlier: Option<(&str, NaiveDate)> = None;
    for (field, done, day) in days {
        let Some((place, day)) = day else { continue };
        if let Some((earlier_done, earlier_day)) = earlier {
            if day < earlier_day {
                let message = format!("it is {done} on {day}, before it is {earlier_done} on {earlier_day}");
                out.push(problem(place, field, message, "exchange or correct the two dates"));
            } else if day == earlier_day && done == "cleared" && matches!(earlier_done, "sown" | "planted") {
                let message = format!("it is cleared on {day}, the day on which it is {earlier_done}");
                out.push(problem(place, field, message, "clear it at least a day later"));
            }
        }
        earlier = Some((done, day));
    }
}
