//! What an edit is called, for undo and for the line that says what was done.

use chrono::NaiveDate;

use super::naming::{Words, name};
use super::{Bed, Deed, Edit, Garden, Planting};
use crate::units::days_between;

impl Edit {
    /// What the edit does, for undo: "place leek in B2". The garden is the one before the edit is made.
    pub fn title(&self, garden: &Garden) -> String {
        self.title_naming(garden, &|_| None)
    }

    /// The same with the names a book has for crops; where it has none for an id, the id is told in words.
    pub fn title_naming(&self, garden: &Garden, name_of: &dyn Fn(&str) -> Option<String>) -> String {
        let words = Words { plantings: &garden.plantings, name_of };
        let crop_words = |id: &str| words.crop(id);
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
            Self::Put(entry) => entry.tells().title(Deed::Put, &words),
            Self::Change(entry) => entry.tells().title(Deed::Change, &words),
            Self::Take(key) => match key.find(garden) {
                Some(entry) => entry.tells().title(Deed::Take, &words),
                None => format!("take out {}", key.list().about().one),
            },
            Self::SetSite(_) => "change the site".to_owned(),
            Self::Rename(to) => format!("rename the garden to {}", name(to)),
            Self::Several { title, .. } => title.clone(),
        }
    }
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

/// The verb follows from what differs; if more than one thing does, the first of: crop, bed, ground, dates, and only then the
/// smaller things.
fn change_title(before: &Planting, after: &Planting, crop_words: &dyn Fn(&str) -> String) -> String {
    let (crop, bed) = (crop_words(&before.crop), name(&before.bed));
    if before.crop != after.crop {
        return format!("replace {crop} by {} in {bed}", crop_words(&after.crop));
    }
    if before.bed != after.bed {
        return format!("move {crop} from {bed} to {}", name(&after.bed));
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
