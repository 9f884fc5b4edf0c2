//! Gathers the planting list of a plan.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use super::{ListOptions, layout_words, raised_words, setback_words, severity_word, strip_words};
use crate::crops::{Crop, Raised};
use crate::garden::{Layout, Planting, PlantingId, Severity};
use crate::layout::{SowingNeed, sowing_need};
use crate::season::{Plan, Standing};
use crate::units::Week;

/// Everything the planting list says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlantingList {
    /// The garden's name.
    pub garden: String,
    /// First day.
    pub from: NaiveDate,
    /// Last day.
    pub to: NaiveDate,
    /// The only bed it speaks of, if it does not speak of all.
    pub bed: Option<String>,
    /// Weeks in which there is something to do.
    pub weeks: Vec<ListWeek>,
    /// By crop, in order of names.
    pub totals: Vec<CropTotal>,
    /// Open findings of what stands within the span: breaches and cautions, gravest first.
    pub findings: Vec<OpenFinding>,
    /// Open notes that are not listed.
    pub n_notes: usize,
    /// Cautions of the crops listed.
    pub take_care: Vec<CropCaution>,
}

/// One week's work.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ListWeek {
    /// Such as `2027-W09`.
    pub week: String,
    /// Its Monday.
    pub monday: NaiveDate,
    /// Its Sunday.
    pub sunday: NaiveDate,
    /// To be sown.
    pub sow: Vec<Sowing>,
    /// To be set out in beds.
    pub plant: Vec<SettingOut>,
    /// To be cleared.
    pub clear: Vec<Clearing>,
    /// To be picked for the first time.
    pub pick: Vec<Picking>,
}

/// What a planting is, wherever the list names it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Named {
    /// The day.
    pub date: NaiveDate,
    /// The planting's number, such as `p12`.
    pub planting: String,
    /// The crop's name.
    pub crop: String,
    /// Variety, or nothing.
    pub variety: String,
    /// The bed's id.
    pub bed: String,
    /// It has happened already.
    pub is_done: bool,
}

/// Ground and count of a planting.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Place {
    /// The strip in words, in cm.
    pub strip: String,
    /// The layout in words, in cm.
    pub layout: String,
    /// Stations × clump = plants, in words.
    pub count: String,
    /// Stations.
    pub stations: u64,
    /// Plants at each.
    pub clump: u32,
    /// Plants.
    pub plants: u64,
}

/// Something to sow.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sowing {
    /// What and where.
    #[serde(flatten)]
    pub named: Named,
    /// Seeds, spares included.
    pub seeds: u64,
    /// Their weight in grams, where the book counts seeds in a gram.
    pub seed_g: Option<f64>,
    /// Modules to fill (0 where it is sown in place).
    pub modules: u64,
    /// Trays.
    pub trays: u64,
    /// Where it is sown in place: its ground and count.
    pub in_place: Option<Place>,
}

/// Something to set out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SettingOut {
    /// What and where.
    #[serde(flatten)]
    pub named: Named,
    /// How it was raised, in words.
    pub raised: &'static str,
    /// Sets, tubers, crowns, slips or cuttings to have ready, in words; nothing for plants out of modules.
    pub to_have: Option<String>,
    /// Its ground and count.
    pub place: Place,
}

/// Something to clear.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Clearing {
    /// What and where.
    #[serde(flatten)]
    pub named: Named,
    /// Its strip in words, in cm.
    pub strip: String,
    /// What goes into any of its ground next: planting, crop and day.
    pub then: Option<NextIn>,
}

/// Something to pick for the first time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Picking {
    /// What and where.
    #[serde(flatten)]
    pub named: Named,
    /// The day of the last pick, as reckoned.
    pub until: NaiveDate,
}

/// What follows in a piece of ground.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NextIn {
    /// The planting's number.
    pub planting: String,
    /// The crop's name.
    pub crop: String,
    /// The day it goes in.
    pub date: NaiveDate,
}

/// What a crop comes to within the span.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CropTotal {
    /// The crop's name.
    pub crop: String,
    /// Plants that go into beds within the span.
    pub plants: u64,
    /// Seeds sown within the span, spares included.
    pub seeds: u64,
    /// Their weight in grams; `None` if the book does not know it.
    pub seed_g: Option<f64>,
    /// Sets, tubers, crowns, slips and cuttings that go in within the span.
    pub sets: u64,
    /// Modules.
    pub modules: u64,
}

/// A finding nobody has accepted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OpenFinding {
    /// `breach` or `caution`.
    pub severity: &'static str,
    /// The bed's id.
    pub bed: String,
    /// The planting's number, if it is about one.
    pub planting: Option<String>,
    /// One sentence.
    pub sentence: String,
}

/// What can hurt.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CropCaution {
    /// Names of the crops that share it.
    pub crops: Vec<String>,
    /// The caution.
    pub caution: String,
}

/// A planting of the plan with all that the list needs of it.
struct Entry<'a> {
    planting: &'a Planting,
    standing: &'a Standing,
    crop: &'a Crop,
    bed_idx: usize,
    need: SowingNeed,
    /// The crop of the planting between whose stations it is set.
    host_name: Option<&'a str>,
}

impl PlantingList {
    /// Gathers the list; the days default to the first and last day on which anything happens.
    pub fn of_plan(plan: &Plan, options: &ListOptions) -> Self {
        let entries = entries_of(plan, options.bed.as_deref());
        let first = entries.iter().map(Entry::begins).min().unwrap_or_default();
        let from = options.from.unwrap_or(first);
        let last = entries.iter().map(|entry| entry.standing.stages.clear).max().unwrap_or(from);
        let to = options.to.unwrap_or(last);
        let is_listed = |day: NaiveDate| from <= day && day <= to;
        let mut weeks: BTreeMap<Week, ListWeek> = BTreeMap::new();
        let mut totals: BTreeMap<&str, CropTotal> = BTreeMap::new();
        let mut cautions: BTreeMap<&str, &str> = BTreeMap::new();
        for entry in &entries {
            let stages = &entry.standing.stages;
            let total = totals.entry(&entry.crop.name).or_default();
            if let Some(sow) = stages.sow.filter(|&day| is_listed(day)) {
                week_of(&mut weeks, sow).sow.push(entry.sowing(sow));
                total.seeds += entry.need.n_seeds;
                total.modules += entry.need.n_modules;
                total.seed_g = add_g(total.seed_g, entry.need.seed_g);
            }
            if is_listed(stages.enters) {
                if !entry.is_sown_in_place() {
                    week_of(&mut weeks, stages.enters).plant.push(entry.setting_out());
                }
                total.plants += entry.standing.n_plants;
                if !entry.is_from_seed() {
                    total.sets += entry.need.n_seeds;
                }
            }
            if is_listed(stages.clear) {
                week_of(&mut weeks, stages.clear).clear.push(entry.clearing(&entries));
            }
            if entry.is_picked() && is_listed(stages.first_pick) {
                week_of(&mut weeks, stages.first_pick).pick.push(entry.picking());
            }
            let is_within = entry.begins() <= to && stages.clear >= from;
            if let Some(caution) = entry.crop.caution.as_ref().filter(|_| is_within) {
                cautions.insert(&entry.crop.name, caution);
            }
        }
        let (findings, n_notes) = open_findings(plan, options.bed.as_deref(), from, to);
        Self {
            garden: plan.garden().name.clone(),
            from,
            to,
            bed: options.bed.clone(),
            weeks: weeks.into_values().map(ListWeek::by_day).collect(),
            totals: totals
                .into_iter()
                .filter(|(_, total)| total.plants + total.seeds + total.sets > 0)
                .map(|(name, total)| CropTotal { crop: name.to_owned(), ..total })
                .collect(),
            findings,
            n_notes,
            take_care: crops_by_caution(&cautions),
        }
    }
}

/// Plantings that are worked out, by day of entry, then bed, then number.
fn entries_of<'a>(plan: &'a Plan, only_bed: Option<&str>) -> Vec<Entry<'a>> {
    let mut entries = Vec::new();
    for (bed_idx, (bed, season)) in plan.garden().beds.iter().zip(plan.beds()).enumerate() {
        if only_bed.is_some_and(|only| only != bed.id) {
            continue;
        }
        for standing in &season.standing {
            let planting = plan.garden().planting(standing.id);
            let crop = plan.book().crops().get(standing.crop_idx);
            if let (Some(planting), Some(crop)) = (planting, crop) {
                let need = sowing_need(standing.n_stations, planting.clump, &crop.seed, planting.raised);
                let host_name = match planting.layout {
                    Layout::Between { host } => crop_name_of(plan, host),
                    _ => None,
                };
                entries.push(Entry { planting, standing, crop, bed_idx, need, host_name });
            }
        }
    }
    entries.sort_by_key(|entry| (entry.standing.stages.enters, entry.bed_idx, entry.planting.id));
    entries
}

fn crop_name_of(plan: &Plan, id: PlantingId) -> Option<&str> {
    let crop_idx = plan.standing(id)?.crop_idx;
    plan.book().crops().get(crop_idx).map(|crop| crop.name.as_str())
}

fn week_of(weeks: &mut BTreeMap<Week, ListWeek>, day: NaiveDate) -> &mut ListWeek {
    let week = Week::of(day);
    weeks.entry(week).or_insert_with(|| ListWeek {
        week: week.to_string(),
        monday: week.monday(),
        sunday: week.sunday(),
        sow: Vec::new(),
        plant: Vec::new(),
        clear: Vec::new(),
        pick: Vec::new(),
    })
}

/// Crops with the same caution share it, in order of the first one's name.
fn crops_by_caution(cautions: &BTreeMap<&str, &str>) -> Vec<CropCaution> {
    let mut shared: Vec<CropCaution> = Vec::new();
    for (&crop, &caution) in cautions {
        match shared.iter_mut().find(|other| other.caution == caution) {
            Some(other) => other.crops.push(crop.to_owned()),
            None => shared.push(CropCaution { crops: vec![crop.to_owned()], caution: caution.to_owned() }),
        }
    }
    shared
}

impl ListWeek {
    /// Each kind of work in order of days; within a day the order in which beds are walked stays.
    fn by_day(mut self) -> Self {
        self.sow.sort_by_key(|sowing| sowing.named.date);
        self.plant.sort_by_key(|setting_out| setting_out.named.date);
        self.clear.sort_by_key(|clearing| clearing.named.date);
        self.pick.sort_by_key(|picking| picking.named.date);
        self
    }
}

fn add_g(sum_g: Option<f64>, more_g: Option<f64>) -> Option<f64> {
    match (sum_g, more_g) {
        (Some(sum_g), Some(more_g)) => Some(sum_g + more_g),
        (sum_g, more_g) => sum_g.or(more_g),
    }
}

impl Entry<'_> {
    fn begins(&self) -> NaiveDate {
        let stages = &self.standing.stages;
        stages.sow.map_or(stages.enters, |sow| sow.min(stages.enters))
    }

    fn is_sown_in_place(&self) -> bool {
        self.planting.raised == Raised::InPlace
    }

    /// It is ripe before it is cleared, and it is grown to be eaten (a green manure yields nothing).
    fn is_picked(&self) -> bool {
        let stages = &self.standing.stages;
        stages.first_pick < stages.clear && self.crop.yields.typical_kg_per_m2 > 0.0
    }

    fn is_from_seed(&self) -> bool {
        matches!(self.planting.raised, Raised::InPlace | Raised::Module)
    }

    fn named(&self, date: NaiveDate, is_done: bool) -> Named {
        Named {
            date,
            planting: self.planting.id.to_string(),
            crop: self.crop.name.clone(),
            variety: self.planting.variety.clone(),
            bed: self.planting.bed.clone(),
            is_done,
        }
    }

    fn place(&self) -> Place {
        let (layout, clump) = (&self.planting.layout, self.planting.clump);
        let (n_stations, n_plants) = (self.standing.n_stations, self.standing.n_plants);
        Place {
            strip: strip_words(self.planting),
            layout: self
                .host_name
                .map_or_else(|| layout_words(layout), |host| format!("between the stations of {host}"))
                + &setback_words(layout, self.planting.setback_mm),
            count: super::count_words(layout, n_stations, clump, n_plants),
            stations: n_stations,
            clump,
            plants: n_plants,
        }
    }

    fn sowing(&self, sow: NaiveDate) -> Sowing {
        Sowing {
            named: self.named(sow, self.planting.real.sow.is_some()),
            seeds: self.need.n_seeds,
            seed_g: self.need.seed_g,
            modules: self.need.n_modules,
            trays: self.need.n_trays,
            in_place: self.is_sown_in_place().then(|| self.place()),
        }
    }

    fn setting_out(&self) -> SettingOut {
        SettingOut {
            named: self.named(self.standing.stages.enters, self.planting.real.plant.is_some()),
            raised: raised_words(self.planting.raised),
            to_have: (!self.is_from_seed()).then(|| super::propagules(self.need.n_seeds, self.planting.raised)),
            place: self.place(),
        }
    }

    fn picking(&self) -> Picking {
        let stages = &self.standing.stages;
        let is_done = self.planting.real.first_pick.is_some();
        Picking { named: self.named(stages.first_pick, is_done), until: stages.last_pick }
    }

    fn clearing(&self, entries: &[Entry<'_>]) -> Clearing {
        let clear = self.standing.stages.clear;
        let shares_ground = |other: &Entry<'_>| {
            other.bed_idx == self.bed_idx
                && self
                    .standing
                    .ground
                    .iter()
                    .any(|mine| other.standing.ground.iter().any(|theirs| mine.shared_with(*theirs).is_some()))
        };
        // Entries are in order of the day they go in.
        let start = entries.partition_point(|entry| entry.standing.stages.enters < clear);
        let next = entries.iter().skip(start).find(|entry| shares_ground(entry));
        Clearing {
            named: self.named(clear, self.planting.real.clear.is_some()),
            strip: strip_words(self.planting),
            then: next.map(|entry| NextIn {
                planting: entry.planting.id.to_string(),
                crop: entry.crop.name.clone(),
                date: entry.standing.stages.enters,
            }),
        }
    }
}

/// Breaches and cautions that nobody accepted, of what stands within the span; and how many notes there are.
fn open_findings(plan: &Plan, only_bed: Option<&str>, from: NaiveDate, to: NaiveDate) -> (Vec<OpenFinding>, usize) {
    let is_within = |id: PlantingId| {
        plan.standing(id).is_none_or(|standing| standing.stages.enters <= to && standing.stages.clear > from)
    };
    let mut findings = Vec::new();
    let mut n_notes = 0;
    for finding in plan.findings() {
        let Some(bed) = plan.garden().beds.get(finding.bed_idx) else { continue };
        let is_elsewhere = only_bed.is_some_and(|only| only != bed.id);
        if finding.accepted.is_some() || is_elsewhere || !finding.planting.is_none_or(is_within) {
            continue;
        }
        if finding.severity == Severity::Note {
            n_notes += 1;
            continue;
        }
        findings.push(OpenFinding {
            severity: severity_word(finding.severity),
            bed: bed.id.clone(),
            planting: finding.planting.map(|id| id.to_string()),
            sentence: plan.headline(finding),
        });
    }
    (findings, n_notes)
}
