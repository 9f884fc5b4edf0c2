//! `reckon daylight`, `radiation`, `evaporation` and `heat`: sun and warmth of one day.

use anyhow::{Result, bail};
use serde::Serialize;

use super::super::Desk;
use super::super::answer::Answer;
use super::super::args::{EvaporationArgs, HeatArgs, SunArgs};
use super::super::fit::rounded;
use super::super::read;
use crate::climate::heat::Method;
use crate::climate::{evaporation as evaporating, heat as warmth, sun};

/// Temperatures of the air that are believed, in °C: a little beyond the extremes recorded on earth (World Meteorological
/// Organization, weather and climate extremes archive, from memory: -89.2 and 56.7).
const AIR_C: (f64, f64) = (-90.0, 60.0);

#[derive(Serialize)]
struct Daylight {
    hours: f64,
    geometric_hours: f64,
}

/// `reckon daylight`.
pub fn daylight(desk: &Desk, args: &SunArgs) -> Result<Answer> {
    let (latitude, date) = (read::latitude(&args.latitude)?, read::date(&args.date)?);
    let answer = Daylight {
        hours: rounded(sun::day_length_h(latitude, date), 4),
        geometric_hours: rounded(sun::geometric_hours(latitude, date), 4),
    };
    Answer::of(desk, &answer, |page| {
        page.line(&format!("{:.2} hours from sunrise to sunset", answer.hours));
        page.line(&format!("{:.2} hours by the sun's centre on the horizon (FAO-56)", answer.geometric_hours));
    })
}

#[derive(Serialize)]
struct Radiation {
    mj_m2_day: f64,
}

/// `reckon radiation`.
pub fn radiation(desk: &Desk, args: &SunArgs) -> Result<Answer> {
    let (latitude, date) = (read::latitude(&args.latitude)?, read::date(&args.date)?);
    let answer = Radiation { mj_m2_day: rounded(sun::extraterrestrial_mj_m2_day(latitude, date), 4) };
    Answer::of(desk, &answer, |page| {
        page.line(&format!("{:.2} MJ per m² and day above the air (FAO-56)", answer.mj_m2_day));
    })
}

#[derive(Serialize)]
struct Evaporation {
    mm_day: f64,
}

/// `reckon evaporation`.
pub fn evaporation(desk: &Desk, args: &EvaporationArgs) -> Result<Answer> {
    let (latitude, date) = (read::latitude(&args.latitude)?, read::date(&args.date)?);
    let (tmin_c, tmax_c) = temperatures(&args.tmin, &args.tmax)?;
    let mm_day = evaporating::hargreaves_mm_day(latitude, date, tmin_c, tmax_c);
    let answer = Evaporation { mm_day: rounded(mm_day, 4) };
    Answer::of(desk, &answer, |page| {
        page.line(&format!("{:.2} mm a day, reference evaporation (Hargreaves, FAO-56)", answer.mm_day));
    })
}

#[derive(Serialize)]
struct Heat {
    degree_days: f64,
}

/// `reckon heat`.
pub fn heat(desk: &Desk, args: &HeatArgs) -> Result<Answer> {
    let (tmin_c, tmax_c) = temperatures(&args.tmin, &args.tmax)?;
    let base_c = read::number_within("--base", &args.base, AIR_C.0, AIR_C.1)?;
    let upper_c =
        args.upper.as_deref().map(|upper| read::number_within("--upper", upper, AIR_C.0, AIR_C.1)).transpose()?;
    if upper_c.is_some_and(|upper_c| upper_c <= base_c) {
        bail!("--upper is not above --base; warmth is counted between the two");
    }
    let method = match args.method.trim().to_lowercase().as_str() {
        "sine" => Method::Sine,
        "mean" => Method::Mean,
        other => bail!("--method is `{other}`; give sine or mean"),
    };
    let degree_days = warmth::degree_days(tmin_c, tmax_c, base_c, upper_c, method);
    let answer = Heat { degree_days: rounded(degree_days, 4) };
    Answer::of(desk, &answer, |page| page.line(&format!("{:.2} degree-days", answer.degree_days)))
}

fn temperatures(tmin: &str, tmax: &str) -> Result<(f64, f64)> {
    let tmin_c = read::number_within("--tmin", tmin, AIR_C.0, AIR_C.1)?;
    let tmax_c = read::number_within("--tmax", tmax, AIR_C.0, AIR_C.1)?;
    if tmin_c > tmax_c {
        bail!("--tmin {tmin_c} is above --tmax {tmax_c}");
    }
    Ok((tmin_c, tmax_c))
}
