//! Garden files: opening one, and writing a new one.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write as _};
use std::path::Path;
use std::sync::Arc;

use anyhow::{Context as _, Result, anyhow, bail};
use serde::Serialize;

use super::Desk;
use super::answer::Answer;
use super::args::NewArgs;
use super::read::Lengths;
use crate::climate::{self, Weather};
use crate::export::counted;
use crate::garden::{Bed, BedKind, ClimateChoice, Cover, Edit, Garden, SoilTexture};
use crate::season::Plan;
use crate::store;
use crate::units::Mm;

/// The garden of a file.
///
/// # Errors
/// The file cannot be read or does not hold together; the message is the reading room's own.
pub fn garden_of(file: &Path) -> Result<Garden> {
    let text = store::read_text(file, crate::garden::limits::FILE_BYTES)?;
    Ok(Garden::from_ron(&text, &file.display().to_string())?)
}

/// The garden of a file, worked out.
///
/// # Errors
/// As [`garden_of`].
pub fn plan_of(desk: &Desk, file: &Path) -> Result<Plan> {
    let garden = garden_of(file)?;
    let weather = weather_of(&garden, file)?;
    say_what_waits(file);
    Ok(Plan::with_weather(garden, &desk.book, weather))
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
        "open it full screen to bring them back"
    } else {
        "they belong to other contents than the file has now; opening it full screen puts them aside"
    };
    let words = format!("note: {}: {edits} not in the file yet; {then}", file.display());
    // A stream that is gone is no reason not to go on.
    let _ = writeln!(std::io::stderr(), "{}", crate::units::text::shown(&words));
}

/// The weather records that a garden names, read from beside its file. What was mended in them is said on standard error.
///
/// # Errors
/// The records cannot be read or do not hold together; the message names the line.
pub fn weather_of(garden: &Garden, file: &Path) -> Result<Option<Arc<Weather>>> {
    let (weather, repairs) = weather_and_repairs_of(garden, file)?;
    for repair in &repairs {
        // A stream that is gone is no reason not to go on.
        let _ = writeln!(std::io::stderr(), "note: {repair}");
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
        climate::of_site(&garden.site, None).with_context(|| file.display().to_string())?;
        return Ok((None, Vec::new()));
    };
    let path = file.with_file_name(name);
    let text = store::read_text(&path, crate::garden::limits::FILE_BYTES)?;
    let read = Weather::parse(&text).with_context(|| format!("the weather records {}", path.display()))?;
    let repairs = read.repairs.iter().map(|repair| format!("{}: {repair}", path.display())).collect();
    climate::of_site(&garden.site, Some(&read.weather)).with_context(|| path.display().to_string())?;
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
}

/// `new`: writes a garden file where there is none.
pub fn new(desk: &Desk, args: &NewArgs) -> Result<Answer> {
    let stem = args.file.file_stem().map(|stem| stem.to_string_lossy().into_owned());
    let name = args.name.clone().or(stem).unwrap_or_else(|| "garden".to_owned());
    if name.trim().is_empty() {
        bail!("--name is empty; give the garden a name");
    }
    let mut garden = Garden::empty(&name);
    // The name passes the same checks as one typed on the screen.
    Edit::Rename(name.clone()).apply_to(&mut garden).context("--name")?;
    let mut lengths = Lengths::default();
    for text in &args.beds {
        let bed = bed_of(&mut lengths, text)?;
        let at = garden.beds.len();
        Edit::AddBed { at, bed }.apply_to(&mut garden).with_context(|| format!("--bed {text}"))?;
    }
    write_where_none_is(&args.file, garden.to_ron().as_bytes())?;
    let written = Written { file: args.file.display().to_string(), name: &name, beds: garden.beds.len() };
    let answer = Answer::of(desk, &written, |page| {
        let beds = counted(garden.beds.len() as u64, "bed", "beds");
        page.line(&format!("wrote {} with {beds}; open it with `bedfellow {0}`", written.file));
    })?;
    Ok(answer.with_remarks(lengths.remarks))
}

fn bed_of(lengths: &mut Lengths, text: &str) -> Result<Bed> {
    let Some((id, size)) = text.split_once('=') else {
        bail!("--bed is `{text}`; give an id and a size in cm, such as A1=120x240");
    };
    let (width_mm, length_mm) = lengths.size("--bed", size)?;
    Ok(Bed {
        id: id.trim().to_owned(),
        name: String::new(),
        width_mm,
        length_mm,
        east_mm: Mm::ZERO,
        south_mm: Mm::ZERO,
        bearing_deg: 0,
        kind: BedKind::default(),
        cover: Cover::default(),
        soil: SoilTexture::default(),
        notes: String::new(),
    })
}

/// Writes a file that must not exist yet; the system itself refuses if it does, so nothing can slip in between.
fn write_where_none_is(file: &Path, bytes: &[u8]) -> Result<()> {
    let shown = file.display();
    let mut new = OpenOptions::new().write(true).create_new(true).open(file).map_err(|err| match err.kind() {
        ErrorKind::AlreadyExists => anyhow!("{shown} is there already and is not written over; choose another name"),
        _ => anyhow!("cannot write {shown}: {err}"),
    })?;
    if let Err(err) = new.write_all(bytes).and_then(|()| new.sync_all()) {
        drop(new);
        // Half a garden is of no use, and it is our own file.
        let _ = std::fs::remove_file(file);
        bail!("cannot write {shown}: {err}");
    }
    Ok(())
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
