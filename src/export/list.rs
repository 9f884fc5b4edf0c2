//! Gathers the planting list of a plan.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use super::ListOptions;
use crate::garden::{PlantingId, Severity};
use crate::season::{Job, JobKind, Jobs, Need, Plan, Tended, Unpicked};
use crate::units::Week;
use crate::words::{
    count_words, headline, layout_words, propagules, raised_words, setback_words, severity_word, strip_words,
};

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
    /// It is grown to be eaten and cleared without a pick.
    pub is_unpicked: bool,
    /// Of what is cleared without a pick, the day on which it would be ripe if it were left.
    pub would_be_ripe: Option<NaiveDate>,
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
    /// Where it comes from and whom to ask; empty where nothing is said of that.
    pub source: String,
}

impl PlantingList {
    /// Gathers the list; the days default to the first and last day on which anything happens.
    pub fn of_plan(plan: &Plan, options: &ListOptions) -> Self {
        let jobs = Jobs::of_plan(plan);
        let is_told = |one: &Tended<'_>| options.bed.as_ref().is_none_or(|only| *only == one.planting.bed);
        let told: Vec<&Tended<'_>> = jobs.plantings().iter().filter(|one| is_told(one)).collect();
        let first = told.iter().map(|one| one.begins()).min().unwrap_or_default();
        let from = options.from.unwrap_or(first);
        let last = told.iter().map(|one| one.standing.stages.clear).max().unwrap_or(from);
        let to = options.to.unwrap_or(last);
        let mut totals: BTreeMap<&str, CropTotal> = BTreeMap::new();
        let mut cautions: BTreeMap<&str, (&str, &str)> = BTreeMap::new();
        for one in &told {
            let is_within = one.begins() <= to && one.standing.stages.clear >= from;
            if let Some(caution) = one.crop.caution.as_ref().filter(|_| is_within) {
                cautions.insert(&one.crop.name, (caution, plan.book().source_words(&one.crop.caution_source)));
            }
        }
        let mut weeks: BTreeMap<Week, ListWeek> = BTreeMap::new();
        for job in jobs.all().iter().filter(|job| from <= job.day && job.day <= to) {
            let Some(one) = jobs.planting(job.planting).filter(|one| is_told(one)) else { continue };
            totals.entry(&one.crop.name).or_default().add(job, one);
            week_of(&mut weeks, job.day).add(job, one, &jobs);
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
fn crops_by_caution(cautions: &BTreeMap<&str, (&str, &str)>) -> Vec<CropCaution> {
    let mut shared: Vec<CropCaution> = Vec::new();
    for (&crop, &(caution, source)) in cautions {
        match shared.iter_mut().find(|other| (other.caution.as_str(), other.source.as_str()) == (caution, source)) {
            Some(other) => other.crops.push(crop.to_owned()),
            None => shared.push(CropCaution {
                crops: vec![crop.to_owned()],
                caution: caution.to_owned(),
                source: source.to_owned(),
            }),
        }
    }
    shared
}

impl ListWeek {
    fn add(&mut self, job: &Job, one: &Tended<'_>, jobs: &Jobs<'_>) {
        let named = named(job, one);
        match job.kind {
            JobKind::SowInPlace | JobKind::SowInModules => {
                let Need::Seed(need) = &job.need else { return };
                self.sow.push(Sowing {
                    named,
                    seeds: need.n_seeds,
                    seed_g: need.seed_g,
                    modules: need.n_modules,
                    trays: need.n_trays,
                    in_place: (job.kind == JobKind::SowInPlace).then(|| place(one)),
                });
            }
            JobKind::SetOut => {
                let to_have = match job.need {
                    Need::Propagules(n) => Some(propagules(n, one.planting.raised)),
                    _ => None,
                };
                let raised = raised_words(one.planting.raised);
                self.plant.push(SettingOut { named, raised, to_have, place: place(one) });
            }
            JobKind::Pick { until } => self.pick.push(Picking { named, until }),
            JobKind::Clear { next, unpicked } => {
                let then = next.and_then(|id| jobs.planting(id)).map(|next| NextIn {
                    planting: next.planting.id.to_string(),
                    crop: next.crop.name.clone(),
                    date: next.standing.stages.enters,
                });
                let would_be_ripe = match unpicked {
                    Some(Unpicked::BeforeRipe { ripe }) => Some(ripe),
                    Some(Unpicked::NeverRipe) | None => None,
                };
                let (strip, is_unpicked) = (strip_words(one.planting), unpicked.is_some());
                self.clear.push(Clearing { named, strip, then, is_unpicked, would_be_ripe });
            }
        }
    }

    /// Each kind of work in order of days; within a day the order in which beds are walked stays.
    fn by_day(mut self) -> Self {
        self.sow.sort_by_key(|sowing| sowing.named.date);
        self.plant.sort_by_key(|setting_out| setting_out.named.date);
        self.clear.sort_by_key(|clearing| clearing.named.date);
        self.pick.sort_by_key(|picking| picking.named.date);
        self
    }
}

impl CropTotal {
    fn add(&mut self, job: &Job, one: &Tended<'_>) {
        if let Need::Seed(need) = &job.need {
            self.seeds += need.n_seeds;
            self.modules += need.n_modules;
            self.seed_g = add_g(self.seed_g, need.seed_g);
        }
        if let Need::Propagules(n) = job.need {
            self.sets += n;
        }
        if matches!(job.kind, JobKind::SowInPlace | JobKind::SetOut) {
            self.plants += one.standing.n_plants;
        }
    }
}

fn add_g(sum_g: Option<f64>, more_g: Option<f64>) -> Option<f64> {
    match (sum_g, more_g) {
        (Some(sum_g), Some(more_g)) => Some(sum_g + more_g),
        (sum_g, more_g) => sum_g.or(more_g),
    }
}

fn named(job: &Job, one: &Tended<'_>) -> Named {
    Named {
        date: job.day,
        planting: job.planting.to_string(),
        crop: one.crop.name.clone(),
        variety: one.planting.variety.clone(),
        bed: one.planting.bed.clone(),
        is_done: job.is_done,
    }
}

fn place(one: &Tended<'_>) -> Place {
    let (layout, clump) = (&one.planting.layout, one.planting.clump);
    let (n_stations, n_plants) = (one.standing.n_stations, one.standing.n_plants);
    let set_out =
        one.host.map_or_else(|| layout_words(layout), |host| format!("between the stations of {}", host.name));
    Place {
        strip: strip_words(one.planting),
        layout: set_out + &setback_words(layout, one.planting.setback_mm),
        count: count_words(layout, n_stations, clump, n_plants),
        stations: n_stations,
        clump,
        plants: n_plants,
    }
}

/// Breaches and cautions neither accepted nor kept quiet, of what stands within the span; and how many notes there are.
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
        if plan.quiet_by(finding).is_some() {
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
            sentence: headline(plan, finding),
        });
    }
    (findings, n_notes)
}
