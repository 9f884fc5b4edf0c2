//! `reckon daylight`, `radiation`, `evaporation` and `heat`: sun and warmth of one day.

use anyhow::{Result, bail};
use serde::Serialize;

use super::super::Common;
use super::super::answer::Answer;
use super::super::args::{EvaporationArgs, HeatArgs, SunArgs};
use super::super::fit::rounded;
use crate::climate::heat::Method;
use crate::climate::{evaporation as evaporating, heat as warmth, sun};

#[derive(Serialize)]
struct Daylight {
    hours: f64,
    geometric_hours: f64,
}

/// `reckon daylight`.
pub fn daylight(common: &Common, args: &SunArgs) -> Result<Answer> {
    let (latitude, date) = (args.latitude, args.date);
    let answer = Daylight {
        hours: rounded(sun::day_length_h(latitude, date), 4),
        geometric_hours: rounded(sun::geometric_hours(latitude, date), 4),
    };
    Answer::of(common, &answer, |page| {
        let polar = match answer.hours {
            hours if hours >= 24.0 => " (the sun does not set)",
            hours if hours <= 0.0 => " (the sun does not rise)",
            _ => "",
        };
        page.line(&format!("{:.2} hours from sunrise to sunset{polar}", answer.hours));
        page.line(&format!("{:.2} hours by FAO-56 eq. 34, the sun's centre on the horizon", answer.geometric_hours));
    })
}

#[derive(Serialize)]
struct Radiation {
    mj_m2_day: f64,
}

/// `reckon radiation`.
pub fn radiation(common: &Common, args: &SunArgs) -> Result<Answer> {
    let (latitude, date) = (args.latitude, args.date);
    let answer = Radiation { mj_m2_day: rounded(sun::extraterrestrial_mj_m2_day(latitude, date), 4) };
    Answer::of(common, &answer, |page| {
        page.line(&format!(
            "{:.1} MJ on a square metre that day, above the atmosphere (FAO-56 eq. 21)",
            answer.mj_m2_day
        ));
    })
}

#[derive(Serialize)]
struct Evaporation {
    mm_day: f64,
}

/// `reckon evaporation`.
pub fn evaporation(common: &Common, args: &EvaporationArgs) -> Result<Answer> {
    let (latitude, date) = (args.latitude, args.date);
    let (tmin_c, tmax_c) = range_of_day(args.tmin, args.tmax)?;
    let mm_day = evaporating::hargreaves_mm_day(latitude, date, tmin_c, tmax_c);
    let answer = Evaporation { mm_day: rounded(mm_day, 4) };
    Answer::of(common, &answer, |page| {
        // A millimetre on a square metre is a litre.
        page.line(&format!("{mm_day:.1} mm that day, {mm_day:.1} litres from each square metre (FAO-56 eq. 52)"));
        page.paragraph(
            "",
            "",
            "For a short green cover with enough water; wind and humidity are not taken into account.",
        );
    })
}

#[derive(Serialize)]
struct Heat {
    degree_days: f64,
}

/// `reckon heat`.
pub fn heat(common: &Common, args: &HeatArgs) -> Result<Answer> {
    let (tmin, tmax) = range_of_day(args.tmin, args.tmax)?;
    let (base, upper, method) = (args.base, args.upper, args.method);
    if let Some(upper) = upper.filter(|upper| *upper <= base) {
        bail!("--upper {upper} is not above --base {base}; warmth is counted between the two");
    }
    let answer = Heat { degree_days: rounded(warmth::degree_days(tmin, tmax, base, upper, method), 4) };
    Answer::of(common, &answer, |page| {
        let by = if method == Method::Sine { "a single sine" } else { "the mean of the day" };
        let below = upper.map_or(String::new(), |upper| format!(" and up to {upper}"));
        page.line(&format!("{:.2} degree-days above {base}{below}, by {by}", answer.degree_days));
    })
}

/// The day's lowest and highest temperature.
fn range_of_day(tmin: f64, tmax: f64) -> Result<(f64, f64)> {
    if tmin > tmax {
        bail!("--tmin {tmin} is above --tmax {tmax}; exchange or correct them");
    }
    Ok((tmin, tmax))
}
