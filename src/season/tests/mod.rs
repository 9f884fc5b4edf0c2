//! Small gardens built in code.

mod edges;
mod edits;
pub mod findings;
mod following;
mod freeing;
mod listing;
mod places;
mod ranking;
mod southern;
mod spread;
mod turns;

use std::sync::{Arc, OnceLock};

use chrono::NaiveDate;

use super::{Finding, Plan, Says, Sitting};
use crate::crops::{CropBook, Raised};
use crate::garden::{
    Bed, BedKind, Cover, EntryId, Garden, Happened, Happening, Layout, PlannedDates, Planting, PlantingId, RealDates,
    Severity, Side, SoilTexture,
};
use crate::units::Mm;

pub fn book() -> Arc<CropBook> {
    static BOOK: OnceLock<Arc<CropBook>> = OnceLock::new();
    Arc::clone(BOOK.get_or_init(|| Arc::new(CropBook::embedded().unwrap())))
}

pub fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

pub fn bed(id: &str, width_cm: i32, length_cm: i32) -> Bed {
    Bed {
        id: id.to_owned(),
        name: String::new(),
        width_mm: Mm::from_cm(width_cm),
        length_mm: Mm::from_cm(length_cm),
        east_mm: Mm::ZERO,
        south_mm: Mm::ZERO,
        bearing_deg: 0,
        kind: BedKind::Bed,
        cover: Cover::Open,
        soil: SoilTexture::Loam,
        renewed_yearly: false,
        notes: String::new(),
    }
}

/// A garden of beds of 120 × 300 cm.
pub fn garden(bed_ids: &[&str]) -> Garden {
    let mut garden = Garden::empty("Test garden");
    garden.beds = bed_ids.iter().map(|id| bed(id, 120, 300)).collect();
    garden
}

pub fn grid(spacing_cm: i32) -> Layout {
    Layout::Grid { spacing_mm: Mm::from_cm(spacing_cm) }
}

/// A planting over the whole of a bed of 120 × 300 cm, planted out on a day and cleared on another.
pub fn planting(id: u32, bed: &str, crop: &str, layout: Layout, plant: NaiveDate, clear: NaiveDate) -> Planting {
    let raised = book().crop(crop).map_or(Raised::Module, |crop| {
        let is_planted = |raised: &&Raised| **raised != Raised::InPlace;
        crop.seed.raised.iter().find(is_planted).copied().unwrap_or(Raised::InPlace)
    });
    let mut planned = PlannedDates { clear: Some(clear), ..PlannedDates::default() };
    if raised == Raised::InPlace {
        planned.sow = Some(plant);
    } else {
        planned.plant = Some(plant);
    }
    Planting {
        id: PlantingId(id),
        bed: bed.to_owned(),
        crop: crop.to_owned(),
        variety: String::new(),
        from_mm: Mm::ZERO,
        to_mm: Mm::from_cm(300),
        side: Side::Whole,
        layout,
        setback_mm: None,
        clump: 1,
        raised,
        planned,
        notes: String::new(),
    }
}

pub fn happened(id: u32, date: NaiveDate, what: Happening) -> Happened {
    Happened { id: EntryId(1), planting: PlantingId(id), date, what }
}

/// The planting on a strip only, in cm.
pub fn on_strip(mut planting: Planting, from_cm: i32, to_cm: i32) -> Planting {
    (planting.from_mm, planting.to_mm) = (Mm::from_cm(from_cm), Mm::from_cm(to_cm));
    planting
}

pub fn plan(garden: Garden) -> Plan {
    Plan::new(garden, &book())
}

pub fn sitting(garden: Garden) -> Sitting {
    Sitting::new(plan(garden))
}

pub fn says<'a>(plan: &'a Plan, rule: &str) -> Vec<&'a Finding> {
    plan.findings().into_iter().filter(|finding| super::rule_name(&finding.says) == rule).collect()
}

pub fn is_sharing(finding: &Finding) -> bool {
    matches!(finding.says, Says::Overlap { .. } | Says::Crowding { .. })
}

/// Everything worked out, for comparison.
pub fn worked_out(plan: &Plan) -> String {
    format!("{:#?}", plan.beds())
}

pub fn worst_of(plan: &Plan, rule: &str) -> Option<Severity> {
    says(plan, rule).into_iter().map(|finding| finding.severity).max()
}
