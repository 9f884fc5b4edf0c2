//! Reads a planting as the command line gives it: `CROP LAYOUT [SPACING] [xCLUMP] DATE..DATE`.
//!
//! It is read from the right, since only the crop's name may have several words.

use anyhow::{Context as _, Result, anyhow, bail};
use clap::ValueEnum as _;

use super::super::read::{self, Lengths};
use super::super::words::{LayoutWord, word_of};
use super::plant_of;
use crate::crops::{Crop, CropBook, PlantRef, Raised};
use crate::garden::{Cover, Layout, PlannedDates, PlantingId, RealDates, Run, Side};
use crate::growth::{Almanac, Stages};
use crate::units::Mm;

/// Number that stands for the planting a `between` is set into, where there is no garden to count it.
const HOST: PlantingId = PlantingId(1);

/// A planting of one argument.
pub struct Asked<'a> {
    /// The crop.
    pub crop: &'a Crop,
    /// How it is set out.
    pub layout: Layout,
    /// Plants at each station.
    pub clump: u32,
    /// Its days.
    pub stages: Stages,
}

/// Reads one argument.
///
/// # Errors
/// A part that is missing or cannot be read; the message names the option and the part.
pub fn asked<'a>(book: &'a CropBook, option: &str, text: &str, lengths: &mut Lengths) -> Result<Asked<'a>> {
    let mut words: Vec<&str> = text.split_whitespace().collect();
    let form = "give \"CROP LAYOUT [SPACING] [xCLUMP] DATE..DATE\"";
    let Some(days) = words.pop().filter(|word| word.contains("..")) else {
        bail!("{option} `{text}` does not end in two days; {form}");
    };
    let layout_of = |word: &&str| LayoutWord::from_str(word, true).ok();
    let at = words.iter().enumerate().rev().find_map(|(idx, word)| Some((idx, layout_of(word)?)));
    let Some((layout_idx, layout_word)) = at else {
        let known: Vec<String> = LayoutWord::value_variants().iter().map(word_of).collect();
        bail!("{option} `{text}` names no layout ({}); {form}", known.join(", "));
    };
    let (name, rest) = (words.get(..layout_idx).unwrap_or_default(), words.get(layout_idx + 1..).unwrap_or_default());
    let crop = match plant_of(book, &name.join(" ")).with_context(|| option.to_owned())? {
        PlantRef::Crop(idx) => book.crops().get(idx).with_context(|| format!("{option}: no such crop"))?,
        known @ PlantRef::Known(_) => {
            let (name, ..) = book.plant_names(known);
            bail!("{option}: the book knows {name} by name and family only, not how it is spaced; choose another crop");
        }
    };
    let mut spacing = None;
    let mut clump = None;
    for word in rest {
        if let Some(number) = word.strip_prefix(['x', 'X', '×']) {
            clump = Some(read::named(&format!("{option} clump"), number, read::clump)?);
        } else if spacing.replace(*word).is_some() {
            bail!("{option} `{text}` has two spacings; {form}");
        }
    }
    let layout = layout(crop, option, layout_word, spacing, lengths)?;
    let clump = clump.unwrap_or(match layout {
        Layout::Grid { .. } | Layout::Offset { .. } | Layout::Between { .. } => crop.spacing.clump,
        Layout::Rows { .. } | Layout::Edge { .. } => crop.spacing.row_clump,
        Layout::Drill { .. } | Layout::Broadcast { .. } => 1,
    });
    let raised = usual_way(crop, &layout, clump);
    let stages = stages(crop, option, raised, days)?;
    Ok(Asked { crop, layout, clump, stages })
}

/// The layout of a word and a spacing; what is not given is the book's.
fn layout(crop: &Crop, option: &str, word: LayoutWord, spacing: Option<&str>, lengths: &mut Lengths) -> Result<Layout> {
    let name = format!("{option} spacing");
    let missing = |what: &str| anyhow!("{option}: the book has no {what} for {}; give a spacing", crop.name);
    let mut single = |book: Option<Mm>, what: &str| match spacing {
        Some(text) => Ok(lengths.whole(&name, &read::named(&name, text, read::length)?)),
        None => book.ok_or_else(|| missing(what)),
    };
    let book = &crop.spacing;
    Ok(match word {
        LayoutWord::Grid => Layout::Grid { spacing_mm: single(book.equidistant_mm, "equal spacing")? },
        LayoutWord::Offset => Layout::Offset { spacing_mm: single(book.equidistant_mm, "equal spacing")? },
        LayoutWord::Edge => {
            let spacing_mm = single(book.in_row_mm.or(book.equidistant_mm), "spacing in the row")?;
            Layout::Edge { spacing_mm, along: Side::Left }
        }
        LayoutWord::Between => {
            if spacing.is_some() {
                bail!("{option}: between takes its places from the other crop; leave the spacing out");
            }
            Layout::Between { host: HOST }
        }
        LayoutWord::Rows | LayoutWord::Drill | LayoutWord::Broadcast => {
            let (row_mm, in_row_mm) = match spacing {
                Some(text) => lengths.whole_size(&name, &read::named(&name, text, read::size)?),
                None => (
                    book.row_mm.ok_or_else(|| missing("row distance"))?,
                    book.in_row_mm.ok_or_else(|| missing("spacing in the row"))?,
                ),
            };
            let plants_per_m = 1000.0 / in_row_mm.as_f64();
            match word {
                LayoutWord::Rows => Layout::Rows { row_mm, in_row_mm, run: Run::Along },
                LayoutWord::Drill => Layout::Drill { row_mm, plants_per_m, run: Run::Along },
                _ => Layout::Broadcast { plants_per_m2: plants_per_m * 1000.0 / row_mm.as_f64() },
            }
        }
    })
}

/// The days it stands, and what the calendar makes of them. No site is named: the book's own months hold.
fn stages(crop: &Crop, option: &str, raised: Raised, days: &str) -> Result<Stages> {
    let (enters, clear) = days.split_once("..").with_context(|| format!("{option}: `{days}` is not two days"))?;
    let day = |text| read::named(&format!("{option} day"), text, read::date);
    let (enters, clear) = (day(enters)?, day(clear)?);
    if clear <= enters {
        bail!("{option}: {} is cleared on {clear}, not after it goes in on {enters}", crop.name);
    }
    let planned = PlannedDates { plant: Some(enters), clear: Some(clear), ..PlannedDates::default() };
    let almanac = Almanac::by_book(false);
    almanac
        .growing(crop, raised, Cover::Open)
        .stages(&planned, &RealDates::default())
        .with_context(|| option.to_owned())
}

/// How it is raised if nothing is said: lines and scatters from seed in place, clumps in modules where the book knows
/// that way, else the book's usual way.
fn usual_way(crop: &Crop, layout: &Layout, clump: u32) -> Raised {
    let ways = &crop.seed.raised;
    let is_sown_thick = matches!(layout, Layout::Drill { .. } | Layout::Broadcast { .. });
    if is_sown_thick && ways.contains(&Raised::InPlace) {
        Raised::InPlace
    } else if clump > 1 && ways.contains(&Raised::Module) {
        Raised::Module
    } else {
        ways.first().copied().unwrap_or(Raised::Module)
    }
}
