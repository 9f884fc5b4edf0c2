//! `reckon dates` and `reckon emergence`: a planting's life at a place, with no garden file.

use std::sync::Arc;

use anyhow::{Result, bail};
use chrono::NaiveDate;
use serde::Serialize;

use super::super::Desk;
use super::super::answer::Answer;
use super::super::args::{DatesArgs, EmergenceArgs};
use super::super::fit::rounded;
use super::super::read;
use super::plant_of;
use crate::climate::{self, Climate};
use crate::crops::{Crop, PlantRef, Raised};
use crate::garden::{Cover, PlannedDates, RealDates};
use crate::growth::{self, Almanac, Emergence};

/// Temperatures of soil that are believed, in °C (starting values: frozen ground, and bare sand in the sun).
const SOIL_C: (f64, f64) = (-30.0, 70.0);

const COVERS: [(&str, Cover); 7] = [
    ("open", Cover::Open),
    ("fleece", Cover::Fleece),
    ("mesh", Cover::Mesh),
    ("cloche", Cover::Cloche),
    ("tunnel", Cover::UnheatedTunnel),
    ("unheated-tunnel", Cover::UnheatedTunnel),
    ("glass", Cover::Glass),
];

#[derive(Serialize)]
struct Dates {
    sow: Option<NaiveDate>,
    emerge: Option<NaiveDate>,
    plant: NaiveDate,
    first_pick: NaiveDate,
    last_pick: NaiveDate,
    clear: NaiveDate,
    clear_early: NaiveDate,
    clear_late: NaiveDate,
    climate: String,
}

/// `reckon dates`.
pub fn dates(desk: &Desk, args: &DatesArgs) -> Result<Answer> {
    let crop = crop_of(desk, &args.crop.join(" "))?;
    let climate = climate_of(args)?;
    let cover = match args.cover.as_deref().map(|word| word.trim().to_lowercase().replace([' ', '_'], "-")) {
        None => Cover::Open,
        Some(word) => match COVERS.iter().find(|(known, _)| *known == word) {
            Some((_, cover)) => *cover,
            None => bail!("--cover is `{word}`; give open, fleece, mesh, cloche, tunnel or glass"),
        },
    };
    let sow = args.sow.as_deref().map(read::date).transpose()?;
    let plant = args.plant.as_deref().map(read::date).transpose()?;
    let raised = raised_for(crop, plant.is_some());
    let planned = PlannedDates { sow, plant, ..PlannedDates::default() };
    let almanac = Almanac::new(&Arc::new(climate.clone()), None);
    let stages = almanac.stages_under(cover, crop, raised, &planned, &RealDates::default())?;
    let spread = almanac.spread(cover, crop, raised, &planned, &RealDates::default())?;
    let seedling = almanac.seedling(crop, raised, &stages, cover);
    let answer = Dates {
        sow: stages.sow,
        emerge: seedling.emerge,
        plant: stages.enters,
        first_pick: stages.first_pick,
        last_pick: stages.last_pick,
        clear: stages.clear,
        clear_early: spread.early.clear,
        clear_late: spread.late.clear,
        climate: climate.name.clone(),
    };
    Answer::of(desk, &answer, |page| {
        page.line(&format!("{} in the climate `{}`, latitude {}", crop.name, climate.name, climate.latitude_deg));
        let mut row = |label: &str, day: Option<NaiveDate>| {
            if let Some(day) = day {
                page.line(&format!("{label:<12} {day}"));
            }
        };
        row("sow", answer.sow);
        row("emerge", answer.emerge);
        row("in the bed", Some(answer.plant));
        row("first pick", Some(answer.first_pick));
        row("last pick", Some(answer.last_pick));
        row("clear", Some(answer.clear));
        page.line(&format!("clear in one year of ten by {}, in one after {}", answer.clear_early, answer.clear_late));
        page.line("The range comes from the spread of the climate's months, not from recorded years.");
    })
}

/// Sets, tubers and the like are planted; a crop that is sown both ways is taken as the question has it.
fn raised_for(crop: &Crop, is_planted: bool) -> Raised {
    let ways = &crop.seed.raised;
    let usual = ways.first().copied().unwrap_or(Raised::Direct);
    if is_planted && usual == Raised::Direct {
        return ways.iter().copied().find(|way| *way != Raised::Direct).unwrap_or(usual);
    }
    usual
}

fn climate_of(args: &DatesArgs) -> Result<Climate> {
    let latitude = args.latitude.as_deref().map(read::latitude).transpose()?;
    let climate = match (&args.climate, latitude) {
        (Some(name), _) => climate::by_name(name)?,
        (None, Some(latitude)) => climate::nearest(latitude, 0)?,
        (None, None) => climate::reference()?,
    };
    Ok(match latitude {
        Some(latitude) => climate.moved_to(latitude, climate.elevation_m),
        None => climate,
    })
}

fn crop_of<'a>(desk: &'a Desk, name: &str) -> Result<&'a Crop> {
    match plant_of(&desk.book, name)? {
        PlantRef::Crop(idx) if desk.book.crops().get(idx).is_some() => Ok(&desk.book.crops()[idx]),
        _ => bail!("the crop book knows the family of `{name}`, but not how it grows"),
    }
}

#[derive(Serialize)]
struct Emerging {
    days: Option<f64>,
    reason: Option<&'static str>,
}

/// `reckon emergence`.
pub fn emergence(desk: &Desk, args: &EmergenceArgs) -> Result<Answer> {
    let crop = crop_of(desk, &args.crop.join(" "))?;
    let soil_c = read::number_within("--soil", &args.soil, SOIL_C.0, SOIL_C.1)?;
    let answer = match growth::emergence(crop, soil_c) {
        Emergence::Days(days) => Emerging { days: Some(rounded(days, 2)), reason: None },
        Emergence::TooCold => Emerging { days: None, reason: Some("too cold") },
        Emergence::TooHot => Emerging { days: None, reason: Some("too hot") },
        Emergence::Unknown => bail!("the published table has neither {} nor its kin", crop.name),
    };
    Answer::of(desk, &answer, |page| match (answer.days, answer.reason) {
        (Some(days), _) => page.line(&format!("{days:.0} days from sowing to emergence in soil at {soil_c} °C")),
        (None, reason) => page.line(&format!("{} at {soil_c} °C: nothing comes up", reason.unwrap_or_default())),
    })
}
