//! `reckon dates` and `reckon emergence`: a planting's life at a place, with no garden file.

use std::path::Path;
use std::sync::Arc;

use anyhow::{Context as _, Result, anyhow, bail};
use chrono::NaiveDate;
use serde::Serialize;

use super::super::Common;
use super::super::answer::Answer;
use super::super::args::{DatesArgs, EmergenceArgs};
use super::super::fit::rounded;
use super::super::words::word_of;
use super::plant_of;
use crate::climate::{self, Climate};
use crate::crops::{Crop, CropBook, PlantRef, Raised};
use crate::export::Page;
use crate::garden::{PlannedDates, RealDates, limits};
use crate::growth::{Almanac, Emergence, Limit, Spread, Stages, emergence as emergence_of, emergence_of_row};
use crate::store;
use crate::units::text::shown_path;
use crate::words::{climate_words, limit_words, raised_words};

/// What does not happen has no date.
#[derive(Serialize)]
struct Dates {
    crop: String,
    raised: String,
    cover: String,
    climate: String,
    latitude_deg: f64,
    sow: Option<NaiveDate>,
    emerge: Option<NaiveDate>,
    plant: Option<NaiveDate>,
    first_pick: Option<NaiveDate>,
    first_pick_early: Option<NaiveDate>,
    first_pick_late: Option<NaiveDate>,
    last_pick: Option<NaiveDate>,
    clear: Option<NaiveDate>,
    clear_early: Option<NaiveDate>,
    clear_late: Option<NaiveDate>,
    /// Why nothing is picked.
    reason: Option<String>,
    limits: Vec<Told>,
}

/// What growth or weather forbids.
#[derive(Serialize)]
struct Told {
    what: &'static str,
    says: String,
}

/// `reckon dates`.
pub fn dates(common: &Common, args: &DatesArgs) -> Result<Answer> {
    let crop = crop_of(&common.book, &args.crop.join(" "))?;
    let (planned, raised) = match (args.sow, args.plant) {
        (sow @ Some(_), None) => (PlannedDates { sow, ..PlannedDates::default() }, way_of_sowing(crop, args.raised)?),
        (None, plant @ Some(_)) => {
            (PlannedDates { plant, ..PlannedDates::default() }, way_of_planting(crop, args.raised)?)
        }
        _ => bail!("give one day to start from, --sow DATE or --plant DATE"),
    };
    let cover = args.cover;
    let climate = climate_of(args)?;
    let almanac = Almanac::new(&Arc::new(climate.clone()), None);
    let growing = almanac.growing(crop, raised, cover);
    let stages = growing.stages(&planned, &RealDates::default())?;
    let spread = growing.spread(&planned, &RealDates::default())?;
    let emerge = growing.seedling(&stages).emerge;
    let limits = growing.limits(&stages);
    let mut answer = Dates {
        crop: crop.name.clone(),
        raised: word_of(&raised),
        cover: word_of(&cover),
        climate: climate.name.clone(),
        latitude_deg: climate.latitude_deg,
        sow: stages.sow,
        emerge,
        plant: (raised != Raised::InPlace).then_some(stages.enters),
        first_pick: None,
        first_pick_early: None,
        first_pick_late: None,
        last_pick: None,
        clear: None,
        clear_early: None,
        clear_late: None,
        reason: None,
        limits: limits.iter().map(|limit| Told { what: kind(limit), says: limit_words(limit) }).collect(),
    };
    answer.fill_in(&stages, &spread, &limits);
    Answer::of(common, &answer, |page| write(page, &answer, raised, &climate))
}

impl Dates {
    /// The days of picking and clearing, as far as there are any.
    fn fill_in(&mut self, stages: &Stages, spread: &Spread, limits: &[Limit]) {
        let is_lost = stages.first_pick >= stages.clear;
        let never = |limit: &&Limit| {
            matches!(
                limit,
                Limit::TooColdToEmerge { emerges: None, .. } | Limit::NotRipeInTime { ripe: None, is_frost: false, .. }
            )
        };
        if let Some(limit) = limits.iter().find(never) {
            self.reason = Some(limit_words(limit));
            return;
        }
        self.clear = Some(stages.clear);
        self.clear_early = Some(spread.early.clear.min(stages.clear));
        self.clear_late = Some(spread.late.clear.max(stages.clear));
        if is_lost {
            let ends = limits.iter().find(|limit| matches!(limit, Limit::NotRipeInTime { .. }));
            self.reason = Some(ends.map_or_else(|| "not ripe before frost ends it".to_owned(), limit_words));
        } else {
            self.first_pick = Some(stages.first_pick);
            self.first_pick_early = Some(spread.early.first_pick.min(stages.first_pick));
            self.first_pick_late = Some(spread.late.first_pick.max(stages.first_pick));
            self.last_pick = Some(stages.last_pick);
        }
    }
}

/// The short name of a limit.
fn kind(limit: &Limit) -> &'static str {
    match limit {
        Limit::TooColdToEmerge { .. } => "too cold",
        Limit::TooHotToEmerge { .. } => "too hot",
        Limit::BeforeLastFrost { .. } => "before last frost",
        Limit::ShootsBeforeLastFrost { .. } => "shoots before last frost",
        Limit::NotRipeInTime { is_frost: true, .. } => "too late for frost",
        Limit::NotRipeInTime { is_frost: false, .. } => "too late for light",
        Limit::Bolts { .. } => "bolts",
        Limit::Killed { .. } => "killed",
        Limit::PickedTooSoon { .. } => "picked too soon",
    }
}

fn write(page: &mut Page, answer: &Dates, raised: Raised, climate: &Climate) {
    let how = from_words(raised);
    let under = match answer.cover.as_str() {
        "open" => String::new(),
        "mesh" | "fleece" | "glass" => format!(", under {}", answer.cover),
        cover => format!(", under a {cover}"),
    };
    page.line(&format!("{}, {how}{under}", answer.crop));
    page.paragraph("", "  ", &format!("climate: {}, latitude {}", climate_words(climate), climate.latitude_deg));
    page.blank();
    let rows = [
        ("sown", answer.sow, None),
        ("comes up", answer.emerge, None),
        ("planted", answer.plant, None),
        ("first picked", answer.first_pick, answer.first_pick_early.zip(answer.first_pick_late)),
        ("last picked", answer.last_pick, None),
        ("ground free", answer.clear, answer.clear_early.zip(answer.clear_late)),
    ];
    let mut has_range = false;
    for (word, day, range) in rows {
        let Some(day) = day else { continue };
        let range = range.filter(|(early, late)| early < late);
        has_range |= range.is_some();
        let between = range.map_or(String::new(), |(early, late)| format!("   between {early} and {late}"));
        page.line(&format!("  {word:<13} {day}{between}"));
    }
    if let Some(reason) = &answer.reason {
        page.paragraph("  ", "  ", &format!("nothing is picked: {reason}"));
    }
    if has_range {
        page.paragraph(
            "  ",
            "  ",
            "In eight years out of ten the day lies between the two, by the spread of the climate's months.",
        );
    }
    for limit in answer.limits.iter().filter(|limit| answer.reason.as_ref() != Some(&limit.says)) {
        page.paragraph("  ! ", "    ", &limit.says);
    }
}

const fn is_sown(raised: Raised) -> bool {
    matches!(raised, Raised::InPlace | Raised::Module)
}

/// How a crop is raised that is to be sown: the book's first way that begins with sowing.
fn way_of_sowing(crop: &Crop, asked: Option<Raised>) -> Result<Raised> {
    let ways = &crop.seed.raised;
    match (asked, ways.iter().copied().find(|way| is_sown(*way))) {
        (Some(asked), _) if !is_sown(asked) => {
            bail!("what is raised from a {} is planted; give --plant DATE", word_of(&asked))
        }
        (_, None) => {
            let from = ways.first().map_or("sets", |way| from_words(*way));
            bail!("{} is planted {from}, not sown; give --plant DATE", crop.name)
        }
        (asked, Some(usual)) => Ok(asked.unwrap_or(usual)),
    }
}

/// How a crop is raised that is to be planted: the book's first way that ends with planting.
fn way_of_planting(crop: &Crop, asked: Option<Raised>) -> Result<Raised> {
    let ways = &crop.seed.raised;
    match asked {
        Some(Raised::InPlace) => bail!("with --raised in-place it is sown where it grows; give --sow DATE"),
        // Any seed may be started in modules; sets, tubers and the like exist of some crops alone.
        Some(Raised::Module) if ways.iter().any(|way| is_sown(*way)) => Ok(Raised::Module),
        Some(asked) if ways.contains(&asked) => Ok(asked),
        Some(asked) => {
            let known: Vec<String> = ways.iter().map(word_of).collect();
            bail!("the book does not raise {} from a {}; it knows {}", crop.name, word_of(&asked), known.join(", "))
        }
        None => ways.iter().copied().find(|way| *way != Raised::InPlace).ok_or_else(|| {
            anyhow!("{} is sown in place; give --sow DATE, or --raised module to plant it all the same", crop.name)
        }),
    }
}

/// How a crop is raised, as it follows the crop's name.
const fn from_words(raised: Raised) -> &'static str {
    match raised {
        Raised::Module => "raised in modules",
        _ => raised_words(raised),
    }
}

/// The climate that is asked for: months of one's own, a kind of climate by its name, the nearest place; each at the place's latitude
/// and height if they are given. Else the one of the book's months.
fn climate_of(args: &DatesArgs) -> Result<Climate> {
    let climate = match (&args.months, &args.climate, args.latitude) {
        (Some(file), _, latitude) => return own_months(file, latitude.unwrap_or_default(), args.elevation),
        (None, Some(name), _) => {
            let name = name.trim();
            climate::by_name(&name.to_lowercase().replace([' ', '_'], "-")).or_else(|_| climate::by_name(name))?
        }
        (None, None, Some(latitude_deg)) => climate::nearest(latitude_deg, args.longitude, args.elevation)?,
        (None, None, None) => climate::reference()?,
    };
    Ok(match args.latitude {
        Some(latitude_deg) => climate.moved_to(latitude_deg, args.elevation.unwrap_or(climate.elevation_m)),
        None => climate,
    })
}

fn own_months(file: &Path, latitude_deg: f64, elevation_m: Option<i32>) -> Result<Climate> {
    let text = store::read_text(file, limits::WEATHER_BYTES)?;
    let normals = climate::parse_months(&text).with_context(|| shown_path(file))?;
    Ok(Climate::of_months(normals, latitude_deg, elevation_m.unwrap_or_default(), shown_path(file)))
}

/// The crop of a name, of which the book knows how it grows.
///
/// # Errors
/// No such name, or one of which the book knows the family only.
pub fn crop_of<'a>(book: &'a CropBook, name: &str) -> Result<&'a Crop> {
    match plant_of(book, name)? {
        PlantRef::Crop(idx) => book.crops().get(idx).with_context(|| format!("there is no crop `{name}`")),
        known @ PlantRef::Known(_) => {
            let (name, ..) = book.plant_names(known);
            bail!("the book knows {name} by name and family only, not how it grows; choose another crop")
        }
    }
}

#[derive(Serialize)]
struct Emerging {
    days: Option<f64>,
    reason: Option<&'static str>,
}

/// `reckon emergence`.
pub fn emergence(common: &Common, args: &EmergenceArgs) -> Result<Answer> {
    let name = args.crop.join(" ");
    let soil_c = args.soil;
    let (name, found) = look_up(&common.book, &name, soil_c)?;
    let answer = match found {
        Emergence::Days(days) => Emerging { days: Some(rounded(days, 2)), reason: None },
        Emergence::TooCold => Emerging { days: None, reason: Some("too cold") },
        Emergence::TooHot => Emerging { days: None, reason: Some("too hot") },
        Emergence::Unknown => {
            bail!(
                "the published table (Harrington & Minges 1954) has neither {name} nor a near relative of it; choose another crop"
            )
        }
    };
    Answer::of(common, &answer, |page| {
        page.line(&match (answer.days, answer.reason) {
            (Some(days), _) => format!("{name}: {days:.0} days from sowing to seedlings in soil of {soil_c} °C"),
            (None, reason) => {
                format!("{name}: {soil_c} °C is {}; the table has no seedlings there", reason.unwrap_or_default())
            }
        });
        page.line("Seed 13 mm deep in moist soil (Harrington & Minges 1954).");
    })
}

/// By the book's crop of that name, else by the name that the table prints.
fn look_up(book: &CropBook, name: &str, soil_c: f64) -> Result<(String, Emergence)> {
    let printed = || emergence_of_row(&name.trim().to_lowercase(), soil_c);
    match plant_of(book, name) {
        Ok(plant) => {
            let by_book = match plant {
                PlantRef::Crop(idx) => {
                    book.crops().get(idx).map_or(Emergence::Unknown, |crop| emergence_of(crop, soil_c))
                }
                PlantRef::Known(_) => Emergence::Unknown,
            };
            let found = if by_book == Emergence::Unknown { printed() } else { by_book };
            Ok((book.plant_names(plant).0.to_owned(), found))
        }
        Err(fault) => match printed() {
            Emergence::Unknown => Err(fault),
            found => Ok((name.trim().to_lowercase(), found)),
        },
    }
}
