//! What an edit is called, for undo and for the line that says what was done, and which beds it touches.

use chrono::NaiveDate;

use super::{Bed, Edit, Garden, Planting, PlantingId, SoilGift};
use crate::units::days_between;
use crate::units::text::cut;

impl Edit {
    /// What the edit does, for undo: "place leek in B2". The garden is the one before the edit is made.
    pub fn title(&self, garden: &Garden) -> String {
        self.title_naming(garden, &|_| None)
    }

    /// The same with the names a book has for crops; where it has none for an id, the id is told in words.
    pub fn title_naming(&self, garden: &Garden, name_of: &dyn Fn(&str) -> Option<String>) -> String {
        let crop_words = |id: &str| name_of(id).map_or_else(|| words(id), |known| name(&known));
        match self {
            Self::AddPlanting(planting) => {
                let (crop, bed) = (crop_words(&planting.crop), name(&planting.bed));
                match planting.host().and_then(|host| garden.planting(host)) {
                    Some(host) => format!("place {crop} between {} in {bed}", crop_words(&host.crop)),
                    None => format!("place {crop} in {bed}"),
                }
            }
            Self::RemovePlanting(id) => match garden.planting(*id) {
                Some(planting) => format!("remove {} from {}", crop_words(&planting.crop), name(&planting.bed)),
                None => format!("remove planting {id}"),
            },
            Self::ChangePlanting(planting) => match garden.planting(planting.id) {
                Some(before) => change_title(before, planting, &crop_words),
                None => format!("change planting {}", planting.id),
            },
            Self::AddBed { bed, .. } => format!("add bed {}", name(&bed.id)),
            Self::RemoveBed(id) => format!("remove bed {}", name(id)),
            Self::ChangeBed { id, bed } => change_bed_title(id, bed, garden.bed(id)),
            Self::AddPast { past, .. } => {
                format!("add {} {} to the history of {}", crop_words(&past.what), past.year, name(&past.bed))
            }
            Self::RemovePast { at } => match garden.past.get(*at) {
                Some(past) => {
                    format!("take {} {} out of the history of {}", crop_words(&past.what), past.year, name(&past.bed))
                }
                None => "take a past crop out".to_owned(),
            },
            Self::AddHazard { seen, .. } => format!("note {} in {}", words(&seen.hazard), name(&seen.bed)),
            Self::RemoveHazard { at } => match garden.hazards_seen.get(*at) {
                Some(seen) => format!("take back {} in {}", words(&seen.hazard), name(&seen.bed)),
                None => "take back a hazard".to_owned(),
            },
            Self::AddSoil { entry, .. } => format!("give {} to {}", gift_name(entry.gift), name(&entry.bed)),
            Self::RemoveSoil { at } => match garden.soil_log.get(*at) {
                Some(entry) => format!("take back {} given to {}", gift_name(entry.gift), name(&entry.bed)),
                None => "take back an entry of the soil log".to_owned(),
            },
            Self::Accept { accepted, .. } => {
                format!("accept a finding on {}", what_stands(accepted.planting, garden, &crop_words))
            }
            Self::Unaccept { at } => match garden.accepted.get(*at) {
                Some(accepted) => {
                    format!("no longer accept a finding on {}", what_stands(accepted.planting, garden, &crop_words))
                }
                None => "no longer accept a finding".to_owned(),
            },
            Self::SetReturn { family, years: Some(0) } => format!("leave {} out of rotation", words(family)),
            Self::SetReturn { family, years: Some(1) } => format!("bring {} back after 1 year", words(family)),
            Self::SetReturn { family, years: Some(years) } => {
                format!("bring {} back after {years} years", words(family))
            }
            Self::SetReturn { family, years: None } => {
                format!("bring {} back after the book's usual years", words(family))
            }
            Self::SetSite(_) => "change the site".to_owned(),
            Self::Rename(to) => format!("rename the garden to {}", name(to)),
            Self::Several { title, .. } => title.clone(),
        }
    }

    /// Ids of the beds whose derived results depend on what it changes; `None` is every bed. The garden is the
    /// one before the edit is made.
    ///
    /// A bed put in or taken out shifts the places of those after it in the walk, and so is every bed.
    /// A renamed bed is named by both its ids.
    pub fn touched_beds(&self, garden: &Garden) -> Option<Vec<String>> {
        let bed_of = |id: PlantingId| garden.planting(id).map(|planting| planting.bed.clone());
        let mut beds: Vec<String> = match self {
            Self::AddPlanting(planting) => vec![planting.bed.clone()],
            Self::RemovePlanting(id) => bed_of(*id).into_iter().collect(),
            Self::ChangePlanting(planting) => bed_of(planting.id).into_iter().chain([planting.bed.clone()]).collect(),
            Self::AddBed { .. } | Self::RemoveBed(_) | Self::SetReturn { .. } | Self::SetSite(_) => return None,
            Self::ChangeBed { id, bed } => vec![id.clone(), bed.id.clone()],
            Self::AddPast { past, .. } => vec![past.bed.clone()],
            Self::RemovePast { at } => garden.past.get(*at).map(|past| past.bed.clone()).into_iter().collect(),
            Self::AddHazard { seen, .. } => vec![seen.bed.clone()],
            Self::RemoveHazard { at } => {
                garden.hazards_seen.get(*at).map(|seen| seen.bed.clone()).into_iter().collect()
            }
            Self::AddSoil { entry, .. } => vec![entry.bed.clone()],
            Self::RemoveSoil { at } => garden.soil_log.get(*at).map(|entry| entry.bed.clone()).into_iter().collect(),
            Self::Accept { accepted, .. } => bed_of(accepted.planting).into_iter().collect(),
            Self::Unaccept { at } => {
                garden.accepted.get(*at).and_then(|accepted| bed_of(accepted.planting)).into_iter().collect()
            }
            Self::Rename(_) => Vec::new(),
            Self::Several { edits, .. } => several_touched(edits, garden)?,
        };
        let mut seen = std::collections::HashSet::new();
        beds.retain(|bed| seen.insert(bed.clone()));
        Some(beds)
    }
}

/// Beds touched by edits made one after the other. A later edit may speak of a planting, place or bed that an
/// earlier one changes, so places in lists are answered by the whole list's beds once the list has changed.
fn several_touched(edits: &[Edit], garden: &Garden) -> Option<Vec<String>> {
    let mut beds = Vec::new();
    for edit in edits {
        beds.extend(edit.touched_beds(garden)?);
        let of_list: Option<Vec<&String>> = match edit {
            Edit::RemovePast { .. } => Some(garden.past.iter().map(|past| &past.bed).collect()),
            Edit::RemoveHazard { .. } => Some(garden.hazards_seen.iter().map(|seen| &seen.bed).collect()),
            Edit::RemoveSoil { .. } => Some(garden.soil_log.iter().map(|entry| &entry.bed).collect()),
            Edit::Unaccept { .. } => Some(
                garden
                    .accepted
                    .iter()
                    .filter_map(|accepted| garden.planting(accepted.planting))
                    .map(|planting| &planting.bed)
                    .collect(),
            ),
            _ => None,
        };
        if edits.len() > 1 {
            beds.extend(of_list.into_iter().flatten().cloned());
        }
    }
    Some(beds)
}

fn change_bed_title(id: &str, bed: &Bed, before: Option<&Bed>) -> String {
    if bed.id != id {
        return format!("rename bed {} to {}", name(id), name(&bed.id));
    }
    let verb = match before {
        Some(before) if (before.width_mm, before.length_mm) != (bed.width_mm, bed.length_mm) => "resize",
        Some(before)
            if (before.east_mm, before.south_mm, before.bearing_deg)
                != (bed.east_mm, bed.south_mm, bed.bearing_deg) =>
        {
            "move"
        }
        _ => "change",
    };
    format!("{verb} bed {}", name(id))
}

/// The verb follows from what differs; if more than one thing does, the first of: crop, bed, what happened,
/// ground, dates, and only then the smaller things.
fn change_title(before: &Planting, after: &Planting, crop_words: &dyn Fn(&str) -> String) -> String {
    let (crop, bed) = (crop_words(&before.crop), name(&before.bed));
    if before.crop != after.crop {
        return format!("replace {crop} by {} in {bed}", crop_words(&after.crop));
    }
    if before.bed != after.bed {
        return format!("move {crop} from {bed} to {}", name(&after.bed));
    }
    if before.real != after.real {
        return format!("record what happened to {crop} in {bed}");
    }
    let (was, is) = ((before.from_mm, before.to_mm), (after.from_mm, after.to_mm));
    if was != is {
        let (was_mm, is_mm) = (i64::from(was.1.0) - i64::from(was.0.0), i64::from(is.1.0) - i64::from(is.0.0));
        return match is_mm.cmp(&was_mm) {
            std::cmp::Ordering::Less => format!("shorten {crop} in {bed}"),
            std::cmp::Ordering::Greater => format!("lengthen {crop} in {bed}"),
            std::cmp::Ordering::Equal => format!("move {crop} along {bed}"),
        };
    }
    if before.side != after.side {
        return format!("move {crop} across {bed}");
    }
    if before.planned != after.planned {
        return dates_title(before, after, &crop, &bed);
    }
    let is_set_out_anew =
        before.layout != after.layout || before.setback_mm != after.setback_mm || before.clump != after.clump;
    if is_set_out_anew {
        return format!("set out {crop} in {bed} anew");
    }
    if before.raised != after.raised {
        return format!("raise {crop} in {bed} another way");
    }
    if before.variety != after.variety {
        return format!("change the variety of {crop} in {bed}");
    }
    format!("change the notes on {crop} in {bed}")
}

fn dates_title(before: &Planting, after: &Planting, crop: &str, bed: &str) -> String {
    let days = |planting: &Planting| -> [Option<NaiveDate>; 5] {
        let planned = &planting.planned;
        [planned.sow, planned.plant, planned.first_pick, planned.last_pick, planned.clear]
    };
    let shifts: Vec<Option<i64>> = days(before)
        .into_iter()
        .zip(days(after))
        .filter(|pair| *pair != (None, None))
        .map(|(was, is)| Some(days_between(was?, is?)))
        .collect();
    let other = || format!("change the dates of {crop} in {bed}");
    match shifts.split_last() {
        Some((Some(last), rest)) if rest.iter().all(|shift| *shift == Some(*last)) => {
            let (span, direction) = (span_words(last.abs()), if *last < 0 { "earlier" } else { "later" });
            format!("move {crop} in {bed} {span} {direction}")
        }
        Some((Some(last), rest)) if rest.iter().all(|shift| *shift == Some(0)) && after.planned.clear.is_some() => {
            let span = span_words(last.abs());
            if *last < 0 {
                format!("clear {crop} in {bed} {span} earlier")
            } else {
                format!("keep {crop} in {bed} {span} longer")
            }
        }
        _ => other(),
    }
}

/// `a week`, `3 weeks`, `a day`, `10 days`.
fn span_words(n_days: i64) -> String {
    match (n_days, n_days % 7) {
        (7, _) => "a week".to_owned(),
        (1, _) => "a day".to_owned(),
        (_, 0) => format!("{} weeks", n_days / 7),
        _ => format!("{n_days} days"),
    }
}

pub(super) fn gift_name(gift: SoilGift) -> &'static str {
    match gift {
        SoilGift::Compost => "compost",
        SoilGift::Manure => "manure",
        SoilGift::FreshManure => "fresh manure",
        SoilGift::Lime => "lime",
        SoilGift::Mulch => "mulch",
    }
}

fn what_stands(id: PlantingId, garden: &Garden, crop_words: &dyn Fn(&str) -> String) -> String {
    match garden.planting(id) {
        Some(planting) => format!("{} in {}", crop_words(&planting.crop), name(&planting.bed)),
        None => format!("planting {id}"),
    }
}

/// An id as words: `salad-onion` is "salad onion".
fn words(id: &str) -> String {
    name(&id.replace(['-', '_'], " "))
}

/// A name, harmless and short enough for a title.
fn name(text: &str) -> String {
    const N_CHARS: usize = 30;
    cut(text, N_CHARS)
}
