//! Garden files: opening one, and writing a new one.

use std::path::Path;
use std::sync::Arc;

use anyhow::{Context as _, Result, bail};
use serde::Serialize;

use super::Common;
use super::answer::{self, Answer};
use super::args::NewArgs;
use super::read::{Lengths, NewBed};
use crate::climate::{self, Weather};
use crate::garden::{Bed, BedKind, ClimateChoice, Cover, Edit, Garden, MonthDay, Site, SoilTexture};
use crate::season::Plan;
use crate::store;
use crate::units::Mm;
use crate::units::text::{as_argument, shown, shown_path};
use crate::words::{climate_words, counted, month_day};

/// The garden of a file.
///
/// # Errors
/// The file cannot be read or does not hold together; the message is the reading room's own.
pub fn garden_of(file: &Path) -> Result<Garden> {
    let text = store::read_text(file, crate::garden::limits::FILE_BYTES)?;
    Ok(Garden::from_ron(&text, &file.to_string_lossy())?)
}

/// The garden of a file, worked out.
///
/// # Errors
/// As [`garden_of`].
pub fn plan_of(common: &Common, file: &Path) -> Result<Plan> {
    let garden = garden_of(file)?;
    let weather = weather_of(&garden, file)?;
    say_what_waits(file);
    Ok(Plan::with_weather(garden, &common.book, weather))
}

/// Edits in the journal of a garden are not in its file, and so not in what is reckoned from it: said on standard error.
fn say_what_waits(file: &Path) {
    // A journal that cannot be read is told where the garden is opened.
    let Ok(waiting) = store::journal_of(file, crate::garden::limits::FILE_BYTES) else { return };
    if waiting.n_records == 0 {
        return;
    }
    let edits = counted(waiting.n_records as u64, "edit is", "edits are");
    let then = if waiting.is_for_file {
        if waiting.n_records == 1 {
            "open it full screen to bring it back"
        } else {
            "open it full screen to bring them back"
        }
    } else {
        "they belong to other contents than the file has now; opening it full screen puts them aside"
    };
    answer::note(&format!("{}: {edits} not in the file yet; {then}", shown_path(file)));
}

/// The weather records that a garden names, read from beside its file. What was mended in them is said on standard error.
///
/// # Errors
/// The records cannot be read or do not hold together; the message names the line.
pub fn weather_of(garden: &Garden, file: &Path) -> Result<Option<Arc<Weather>>> {
    let (weather, repairs) = weather_and_repairs_of(garden, file)?;
    for repair in &repairs {
        answer::note(repair);
    }
    Ok(weather)
}

/// The same, saying nothing: what was mended was said when the garden was opened.
///
/// # Errors
/// As [`weather_of`].
pub fn weather_quietly(garden: &Garden, file: &Path) -> Result<Option<Arc<Weather>>> {
    Ok(weather_and_repairs_of(garden, file)?.0)
}

fn weather_and_repairs_of(garden: &Garden, file: &Path) -> Result<(Option<Arc<Weather>>, Vec<String>)> {
    let ClimateChoice::Weather { file: name } = &garden.site.climate else {
        // A climate that is not known is said here; the plan alone would take the nearest.
        climate::of_site(&garden.site, None).with_context(|| shown_path(file))?;
        return Ok((None, Vec::new()));
    };
    let path = file.with_file_name(name);
    let text = store::read_text(&path, crate::garden::limits::WEATHER_BYTES)?;
    let read = Weather::parse(&text).with_context(|| format!("the weather records {}", shown_path(&path)))?;
    let repairs = read.repairs.iter().map(|repair| format!("{}: {repair}", shown_path(&path))).collect();
    climate::of_site(&garden.site, Some(&read.weather)).with_context(|| shown_path(&path))?;
    Ok((Some(Arc::new(read.weather)), repairs))
}

/// The place of a bed in the garden's order.
///
/// # Errors
/// There is no bed of that id, in capitals or not, or several; the message names those there are.
pub fn bed_idx_of(plan: &Plan, id: &str) -> Result<usize> {
    let ids: Vec<&str> = plan.garden().beds.iter().map(|bed| bed.id.as_str()).collect();
    bed_among(&ids, id)
}

/// The id itself, else the only one that differs from it in nothing but capitals.
fn bed_among(ids: &[&str], id: &str) -> Result<usize> {
    if let Some(idx) = ids.iter().position(|known| *known == id) {
        return Ok(idx);
    }
    let small = id.to_lowercase();
    let alike: Vec<(usize, &str)> =
        ids.iter().copied().enumerate().filter(|(_, known)| known.to_lowercase() == small).collect();
    match (alike.as_slice(), ids) {
        ([(idx, _)], _) => Ok(*idx),
        ([], []) => bail!("there is no bed `{id}`; the garden has no beds yet"),
        ([], _) => bail!("there is no bed `{id}`; the garden has {}", shortened(ids)),
        (_, _) => {
            let alike: Vec<&str> = alike.iter().map(|(_, known)| *known).collect();
            bail!("there is no bed `{id}`; it may mean {}", shortened(&alike))
        }
    }
}

/// The first dozen of a list, in one line.
fn shortened(ids: &[&str]) -> String {
    const SHOWN: usize = 12;
    let rest = ids.len().saturating_sub(SHOWN);
    let shown: Vec<&str> = ids.iter().take(SHOWN).copied().collect();
    if rest == 0 { shown.join(", ") } else { format!("{} and {rest} more", shown.join(", ")) }
}

#[derive(Serialize)]
struct Written<'a> {
    file: String,
    name: &'a str,
    beds: usize,
    latitude: f64,
    elevation_m: i32,
    last_frost: String,
    first_frost: String,
    /// Whose months stand for its own.
    climate: String,
    /// Whether the place was given; else it is a starting value.
    is_place_given: bool,
}

/// `new`: writes a garden file where there is none.
pub fn new(common: &Common, args: &NewArgs) -> Result<Answer> {
    let stem = args.file.file_stem().map(|stem| shown(&stem.to_string_lossy()).into_owned());
    let name = args.name.clone().or(stem).unwrap_or_else(|| "garden".to_owned());
    if name.trim().is_empty() {
        bail!("--name is empty; give the garden a name");
    }
    let mut garden = Garden::empty(&name);
    // The name passes the same checks as one typed on the screen.
    Edit::Rename(name.clone()).apply_to(&mut garden).context("--name")?;
    if let Some(latitude_deg) = args.latitude {
        let site = site_at(&garden.site, latitude_deg, args)?;
        Edit::SetSite(site).apply_to(&mut garden).context("--latitude")?;
    }
    let mut lengths = Lengths::default();
    for new in &args.beds {
        let bed = bed_of(&mut lengths, new);
        let at = garden.beds.len();
        Edit::AddBed { at, bed }
            .apply_to(&mut garden)
            .with_context(|| format!("--bed {}={}", new.id, new.size.given))?;
    }
    store::write_whole_new(&args.file, garden.to_ron().as_bytes())?;
    let (site, file) = (&garden.site, args.file.display().to_string());
    let written = Written {
        name: &name,
        beds: garden.beds.len(),
        latitude: site.latitude_deg,
        elevation_m: site.elevation_m,
        last_frost: month_day(site.last_frost),
        first_frost: month_day(site.first_frost),
        climate: climate_words(&climate::of_site(site, None)?),
        is_place_given: args.latitude.is_some(),
        file,
    };
    let answer = Answer::of(common, &written, |page| {
        let beds = counted(garden.beds.len() as u64, "bed", "beds");
        let command = format!("`bedfellow {}`", as_argument(&written.file));
        page.pieces(&["wrote", &written.file, &format!("with {beds}; open it with"), &command]);
        let place = format!(
            "latitude {}, {} m high, last frost {}, first frost {}, climate: {}",
            written.latitude, written.elevation_m, written.last_frost, written.first_frost, written.climate
        );
        let words = if written.is_place_given {
            format!("the place: {place}; `L` on the screen changes it")
        } else {
            format!(
                "the place is a starting value ({place}): set yours with `L` on the screen before trusting any date"
            )
        };
        page.paragraph("", "", &words);
    })?;
    Ok(answer.with_remarks(lengths.remarks))
}

/// A place with the frosts that the climate there has; where it has none, those of before stay.
fn site_at(before: &Site, latitude_deg: f64, args: &NewArgs) -> Result<Site> {
    let elevation_m = args.elevation.unwrap_or(before.elevation_m);
    let climate = ClimateChoice::Nearest;
    let site = Site { latitude_deg, longitude_deg: args.longitude, elevation_m, climate, ..before.clone() };
    let (last, first) = climate::frosts_of_its_own(&climate::of_site(&site, None)?);
    let turned = |day: MonthDay| {
        let is_other_half = (latitude_deg < 0.0) != (before.latitude_deg < 0.0);
        if is_other_half { climate::half_a_year_on(day) } else { day }
    };
    let last_frost = last.unwrap_or_else(|| turned(site.last_frost));
    let first_frost = first.unwrap_or_else(|| turned(site.first_frost));
    Ok(Site { last_frost, first_frost, ..site })
}

fn bed_of(lengths: &mut Lengths, new: &NewBed) -> Bed {
    let (width_mm, length_mm) = lengths.whole_size("--bed", &new.size);
    Bed {
        id: new.id.clone(),
        name: String::new(),
        width_mm,
        length_mm,
        east_mm: Mm::ZERO,
        south_mm: Mm::ZERO,
        bearing_deg: 0,
        kind: BedKind::default(),
        cover: Cover::default(),
        soil: SoilTexture::default(),
        renewed_yearly: false,
        notes: String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bed_is_found_without_its_capitals_unless_two_would_do() {
        let ids = ["A1", "b2", "B2", "É1"];
        for (id, idx) in [("A1", 0), ("a1", 0), ("b2", 1), ("B2", 2), ("é1", 3)] {
            assert_eq!(bed_among(&ids, id).unwrap(), idx, "{id}");
        }
        let told = |ids: &[&str], id| bed_among(ids, id).unwrap_err().to_string();
        assert_eq!(told(&["ab", "AB"], "Ab"), "there is no bed `Ab`; it may mean ab, AB");
        assert_eq!(told(&["A1"], "Z9"), "there is no bed `Z9`; the garden has A1");
        assert_eq!(told(&[], "Z9"), "there is no bed `Z9`; the garden has no beds yet");
    }
}
