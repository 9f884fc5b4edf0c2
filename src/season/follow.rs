//! What could go into a bed on a day, ranked, each with its reasons.
//!
//! The order comes from adding up weights, all of them starting values, in the spirit of how a grower weighs it up: first
//! whether it is the season and the ground is free long enough, then what rotation says, then who wants it and what it is
//! worth. Food that ripens in time goes before green manures and what will not ripen, and a breach of rotation to the end, whatever
//! else speaks for it. The same plan and day give the same order.

use chrono::{Days, NaiveDate};

use super::entry::{WAIT_DAYS, entering_on, next_day, wise_entry};
use super::free::{Stretch, claims_across, free_from, largest_free};
use super::plan::Plan;
use super::rotate::History;
use super::{Candidate, Reason, SoilCover, Standing, limits};
use crate::crops::{Crop, Feeding, PlantRef, Raised};
use crate::garden::{Amendment, BedKind, Cover, RealDates, Severity};
use crate::growth::Stages;
use crate::rotation::{Rule, Stand, StandKey, Taxon, rotation_years};
use crate::units::{Week, days_between};

/// Weights, all starting values.
mod weight {
    pub const IN_SEASON: f64 = 20.0;
    pub const WAIT_A_WEEK: f64 = -2.0;
    pub const BOUGHT_IN: f64 = -12.0;
    pub const CLEAN: f64 = 15.0;
    pub const ROTATION_NOTE: f64 = 8.0;
    pub const ROTATION_CAUTION: f64 = -12.0;
    pub const GOOD_AFTER: f64 = 4.0;
    pub const WHOLE_BED: f64 = 8.0;
    pub const NOTHING_FREE: f64 = -30.0;
    pub const RIPE_IN_TIME: f64 = 10.0;
    pub const CLEARED_EARLY: f64 = -6.0;
    pub const NOT_RIPE: f64 = -40.0;
    pub const UNWISE: f64 = -25.0;
    pub const WANTED: f64 = 10.0;
    pub const WANTED_WEEK: f64 = 1.0;
    pub const WANTED_WEEKS_MAX: f64 = 10.0;
    pub const WORTH_MAX: f64 = 12.0;
    pub const GREEN_MANURE_WINTER: f64 = 14.0;
    pub const GREEN_MANURE_GAP: f64 = 6.0;
    pub const NO_TIME_TO_COVER: f64 = -40.0;
    pub const FED: f64 = 4.0;
    pub const HUNGRY_AGAIN: f64 = -4.0;
}

/// Weeks of empty ground worth a green manure. Starting value.
const GREEN_MANURE_GAP_WEEKS: i64 = 8;
/// Weeks below which a green manure is of no use: the quickest take as long to cover the ground. Starting value.
const GREEN_MANURE_LEAST_WEEKS: i64 = 4;
/// Days before the end of the growing season in which a green manure is sown to cover the ground over winter. Starting value: three
/// months, August to October in the middle latitudes.
const WINTER_COVER_DAYS: i64 = 92;
/// Days for which compost or manure feeds a heavy feeder. Starting value: half a year.
const FED_DAYS: u64 = 182;

/// What the candidates of one bed are weighed against.
struct Scales<'a> {
    plan: &'a Plan,
    bed_idx: usize,
    day: NaiveDate,
    today: NaiveDate,
    history: History,
    /// First and last pick of every planting still to be picked, by crop.
    picks: Vec<Vec<(NaiveDate, NaiveDate)>>,
    /// The largest free stretch by day of entry.
    free_on: Vec<(NaiveDate, Option<Stretch>)>,
}

/// One crop, weighed.
struct Weighed<'a> {
    crop: &'a Crop,
    candidate: Candidate,
    reasons: Vec<(f64, Reason)>,
    /// Food that ripens before its ground is needed, with nothing grave against it.
    is_food_in_time: bool,
    minor_per_m2_week: Option<f64>,
}

impl Weighed<'_> {
    fn add(&mut self, weight: f64, reason: Reason) {
        self.candidate.score += weight;
        self.reasons.push((weight, reason));
    }
}

impl Plan {
    /// What could go into a bed on a day, best first; plants must be raised from that day on.
    pub fn candidates(&self, bed_idx: usize, day: NaiveDate) -> Vec<Candidate> {
        self.candidates_seen_from(bed_idx, day, day)
    }

    /// What could go into a bed on a day to come, best first, if raising can begin `today`.
    pub fn candidates_seen_from(&self, bed_idx: usize, day: NaiveDate, today: NaiveDate) -> Vec<Candidate> {
        candidates(self, bed_idx, day, today)
    }
}

fn candidates(plan: &Plan, bed_idx: usize, day: NaiveDate, today: NaiveDate) -> Vec<Candidate> {
    let Some(bed) = plan.garden().beds.get(bed_idx) else { return Vec::new() };
    let takes_permanent = matches!(bed.kind, BedKind::Permanent | BedKind::Border);
    let mut scales = Scales {
        plan,
        bed_idx,
        day,
        today,
        history: History::of_bed(plan.inputs(), bed_idx, plan.standing_in(bed_idx), None),
        picks: picks_from(plan, day),
        free_on: Vec::new(),
    };
    let crops = plan.book().crops().iter().enumerate();
    let mut weighed: Vec<Weighed<'_>> = crops
        .filter(|(_, crop)| takes_permanent || !crop.is_permanent)
        .filter_map(|(crop_idx, crop)| scales.weigh(crop_idx, crop))
        .collect();

    let most = weighed.iter().filter_map(|one| one.minor_per_m2_week).fold(0.0, f64::max);
    for one in &mut weighed {
        if let Some(minor_per_m2_week) = one.minor_per_m2_week.filter(|_| most > 0.0) {
            one.add(weight::WORTH_MAX * minor_per_m2_week / most, Reason::Worth { minor_per_m2_week });
        }
        one.reasons.sort_by(|(one, _), (other, _)| other.total_cmp(one));
        one.candidate.reasons = std::mem::take(&mut one.reasons).into_iter().map(|(_, reason)| reason).collect();
    }
    let is_breach = |one: &Weighed<'_>| one.candidate.worst == Some(Severity::Breach);
    weighed.sort_by(|one, other| {
        is_breach(one)
            .cmp(&is_breach(other))
            .then_with(|| other.is_food_in_time.cmp(&one.is_food_in_time))
            .then_with(|| other.candidate.score.total_cmp(&one.candidate.score))
            .then_with(|| one.crop.id.cmp(&other.crop.id))
    });
    weighed.into_iter().map(|one| one.candidate).collect()
}

fn picks_from(plan: &Plan, day: NaiveDate) -> Vec<Vec<(NaiveDate, NaiveDate)>> {
    let mut picks = vec![Vec::new(); plan.book().crops().len()];
    for standing in plan.beds().iter().flat_map(|bed| &bed.standing) {
        if standing.stages.last_pick >= day
            && let Some(of_crop) = picks.get_mut(standing.crop_idx)
        {
            of_crop.push((standing.stages.first_pick, standing.stages.last_pick));
        }
    }
    picks
}

impl<'a> Scales<'a> {
    /// Weighs one crop; `None` if books do not put it into the ground within the weeks one would wait.
    fn weigh(&mut self, crop_idx: usize, crop: &'a Crop) -> Option<Weighed<'a>> {
        let (raised, enters, stages) = self.way_in(crop)?;
        let sow_by = stages.sow;
        let is_bought_in = raised == Raised::Module && sow_by.is_none_or(|sow_by| sow_by < self.today);
        let candidate = Candidate {
            crop_idx,
            enters,
            sow_by: if is_bought_in { None } else { sow_by },
            is_bought_in,
            first_pick: stages.first_pick,
            clear: stages.clear,
            score: 0.0,
            reasons: Vec::new(),
            worst: None,
        };
        let mut one = Weighed {
            crop,
            candidate,
            reasons: Vec::with_capacity(8),
            is_food_in_time: !crop.is_green_manure(),
            minor_per_m2_week: None,
        };
        self.weigh_season(&mut one);
        self.weigh_growth(&mut one, raised, &stages);
        let stretch = self.weigh_ground(&mut one, &stages);
        self.weigh_rotation(&mut one, &stages, stretch);
        self.weigh_wants(&mut one, &stages);
        self.weigh_feeding(&mut one, stretch);
        let price = self.plan.inputs().index.worth.minor_per_kg.get(&crop_idx);
        one.minor_per_m2_week = price.map(|&minor_per_kg| {
            let weeks = days_between(stages.enters, stages.clear).max(7) as f64 / 7.0;
            f64::from(minor_per_kg) * crop.yields.typical_kg_per_m2 / weeks
        });
        Some(one)
    }

    /// How and when it goes in: the usual way that can still be raised, else the usual way from bought plants.
    fn way_in(&self, crop: &Crop) -> Option<(Raised, NaiveDate, Stages)> {
        let almanac = self.plan.almanac();
        let cover = self.plan.garden().beds.get(self.bed_idx)?.cover;
        let latest = self.day.checked_add_days(Days::new(WAIT_DAYS))?;
        let mut bought_in = None;
        for &raised in &crop.seed.raised {
            let growing = almanac.growing(crop, raised, cover);
            let Some(enters) = wise_entry(growing, self.day).filter(|enters| *enters <= latest) else { continue };
            let planned = entering_on(raised, enters);
            let Ok(stages) = growing.stages(&planned, &RealDates::default()) else { continue };
            if raised != Raised::Module || stages.sow.is_some_and(|sow_by| sow_by >= self.today) {
                return Some((raised, enters, stages));
            }
            bought_in = bought_in.or(Some((raised, enters, stages)));
        }
        bought_in
    }

    fn weigh_season(&self, one: &mut Weighed<'_>) {
        let Candidate { enters, sow_by, is_bought_in, .. } = one.candidate;
        if enters == self.day {
            one.add(weight::IN_SEASON, Reason::InSeason);
        } else {
            let n_days = days_between(self.day, enters);
            one.add(weight::IN_SEASON + weight::WAIT_A_WEEK * n_days as f64 / 7.0, Reason::InSeasonFrom(enters));
        }
        if is_bought_in {
            one.add(weight::BOUGHT_IN, Reason::BoughtIn);
        } else if let Some(sow_by) = sow_by.filter(|sow_by| *sow_by < enters) {
            one.add(0.0, Reason::SowBy(sow_by));
        }
    }

    /// The gravest that growth and weather have against it.
    fn weigh_growth(&self, one: &mut Weighed<'_>, raised: Raised, stages: &Stages) {
        let cover = self.plan.garden().beds.get(self.bed_idx).map_or(Cover::Open, |bed| bed.cover);
        let cautions = limits::cautions(self.plan.almanac().growing(one.crop, raised, cover), stages);
        if let Some((_, limit)) = cautions.first() {
            one.is_food_in_time = false;
            one.add(weight::UNWISE, Reason::Growth(*limit));
        }
    }

    /// The ground it would take, and whether it is free long enough.
    fn weigh_ground(&mut self, one: &mut Weighed<'_>, stages: &Stages) -> Option<Stretch> {
        let enters = one.candidate.enters;
        let bed = self.plan.garden().beds.get(self.bed_idx)?;
        let standing = self.plan.standing_in(self.bed_idx);
        let known = self.free_on.iter().find(|(day, _)| *day == enters).map(|(_, stretch)| *stretch);
        let stretch = known.unwrap_or_else(|| {
            let found = largest_free(bed, standing, enters, next_day(enters));
            self.free_on.push((enters, found));
            found
        });
        let Some(stretch) = stretch else {
            let (all_free_on, _) = free_from(standing.iter(), enters);
            one.is_food_in_time = false;
            one.add(weight::NOTHING_FREE, Reason::NothingFree { on: enters, all_free_on });
            return None;
        };
        let ground = stretch.ground(bed.width_mm);
        let share = ground.area_m2() / Stretch::whole(bed).ground(bed.width_mm).area_m2().max(f64::MIN_POSITIVE);
        if share >= 1.0 {
            one.add(weight::WHOLE_BED, Reason::WholeBedFree);
        } else {
            one.add(weight::WHOLE_BED * share, Reason::ShareFree(share));
        }
        let after =
            standing.iter().filter(|standing| standing.stages.enters > enters && claims_across(standing, ground));
        let next: Option<&Standing> = after.min_by_key(|standing| standing.stages.enters);
        if one.crop.is_green_manure() {
            self.weigh_green_manure(one, next);
        } else if let Some(next) = next {
            let next = next.stages.enters;
            if stages.clear <= next {
                one.add(weight::RIPE_IN_TIME, Reason::OutInTime { clear: stages.clear });
            } else if stages.first_pick < next {
                one.add(weight::CLEARED_EARLY, Reason::ClearedEarly { next });
            } else {
                one.is_food_in_time = false;
                one.add(weight::NOT_RIPE, Reason::NotRipe { next });
            }
        } else {
            one.add(weight::RIPE_IN_TIME, Reason::FirstPick(stages.first_pick));
        }
        Some(stretch)
    }

    fn weigh_green_manure(&self, one: &mut Weighed<'_>, next: Option<&Standing>) {
        let enters = one.candidate.enters;
        let cover = self.plan.garden().beds.get(self.bed_idx).map_or(Cover::Open, |bed| bed.cover);
        let season = self.plan.almanac().growing_season_on(cover, enters);
        // Where nothing ever stops growing there is no winter to cover.
        let has_winter = season.is_some_and(|(opens, closes)| days_between(opens, closes) < 365);
        let is_before_winter =
            has_winter && season.is_some_and(|(_, closes)| days_between(enters, closes) <= WINTER_COVER_DAYS);
        let n_weeks = next.map(|next| days_between(enters, next.stages.enters) / 7);
        let is_long = n_weeks.is_none_or(|n_weeks| n_weeks >= GREEN_MANURE_GAP_WEEKS);
        let outlives_winter =
            self.plan.almanac().growing(one.crop, Raised::InPlace, cover).outlives_winter(enters).unwrap_or(true);
        if is_long && is_before_winter && outlives_winter {
            one.add(weight::GREEN_MANURE_WINTER, Reason::Covers(SoilCover::OverWinter));
        } else if is_long && is_before_winter {
            one.add(weight::GREEN_MANURE_GAP, Reason::Covers(SoilCover::UntilHardFrosts));
        } else if is_long {
            one.add(weight::GREEN_MANURE_GAP, Reason::Covers(SoilCover::Meanwhile));
        } else if let Some(n_weeks) = n_weeks {
            let weight =
                if n_weeks < GREEN_MANURE_LEAST_WEEKS { weight::NO_TIME_TO_COVER } else { weight::CLEARED_EARLY };
            one.add(weight, Reason::SoonNeeded { n_weeks });
        }
    }

    fn weigh_rotation(&self, one: &mut Weighed<'_>, stages: &Stages, stretch: Option<Stretch>) {
        let Some(bed) = self.plan.garden().beds.get(self.bed_idx) else { return };
        let (first_year, last_year) = rotation_years(stages.enters, stages.clear);
        let stand = Stand {
            key: StandKey::Proposed,
            taxon: Taxon::Plant(PlantRef::Crop(one.candidate.crop_idx)),
            first_year,
            last_year,
            from: Some(stages.enters),
            until: Some(stages.clear),
            ground: vec![stretch.unwrap_or(Stretch::whole(bed)).ground(bed.width_mm)],
        };
        let said = self.history.check_one(self.plan.inputs(), &stand);
        let objects = |rule: Rule| !matches!(rule, Rule::GoodAfter | Rule::Exempt);
        let mut worst: Option<&_> = None;
        for finding in said.iter().filter(|finding| objects(finding.rule)) {
            if worst.is_none_or(|known: &crate::rotation::RotationFinding| finding.severity > known.severity) {
                worst = Some(finding);
            }
        }
        one.candidate.worst = worst.map(|finding| finding.severity);
        match worst {
            None => one.add(weight::CLEAN, Reason::CleanInRotation),
            Some(finding) => {
                let weight = match finding.severity {
                    Severity::Note => weight::ROTATION_NOTE,
                    // A breach is put last whatever its score.
                    Severity::Caution | Severity::Breach => weight::ROTATION_CAUTION,
                };
                one.add(weight, Reason::Rotation(Box::new(finding.clone())));
            }
        }
        if let Some(good) = said.iter().find(|finding| finding.rule == Rule::GoodAfter) {
            one.add(weight::GOOD_AFTER, Reason::Rotation(Box::new(good.clone())));
        }
    }

    fn weigh_wants(&self, one: &mut Weighed<'_>, stages: &Stages) {
        let wanted = self.plan.inputs().index.worth.wanted_g_per_week.get(&one.candidate.crop_idx);
        let g_per_week = wanted.copied().unwrap_or(0);
        if g_per_week == 0 {
            return;
        }
        let picks = self.picks.get(one.candidate.crop_idx).map_or(&[][..], Vec::as_slice);
        let (first, last) = (Week::of(stages.first_pick), Week::of(stages.last_pick));
        let n_weeks = last.weeks_since(first) + 1;
        let is_picked = |week: Week| picks.iter().any(|(from, to)| *from <= week.sunday() && *to >= week.monday());
        let n_open = (0..n_weeks).filter(|&n| !is_picked(first.plus(n))).count();
        let weight = weight::WANTED + (n_open as f64 * weight::WANTED_WEEK).min(weight::WANTED_WEEKS_MAX);
        one.add(weight, Reason::Wanted { g_per_week, n_open_weeks: n_open as u32, from: first });
    }

    /// What stood there last, and whether the soil was fed since.
    fn weigh_feeding(&self, one: &mut Weighed<'_>, stretch: Option<Stretch>) {
        let Some((bed, stretch)) = self.plan.garden().beds.get(self.bed_idx).zip(stretch) else { return };
        let enters = one.candidate.enters;
        let ground = stretch.ground(bed.width_mm);
        let before = self.plan.standing_in(self.bed_idx).iter();
        let before = before.filter(|standing| standing.stages.clear <= enters && standing.claims(ground));
        let before = before.max_by_key(|standing| (standing.stages.clear, standing.id));
        let before = before
            .and_then(|standing| Some((standing.crop_idx, self.plan.book().crops().get(standing.crop_idx)?.feeding)));
        let fed_from = enters.checked_sub_days(Days::new(FED_DAYS)).unwrap_or(enters);
        let is_fed = self.history.amendments.iter().any(|given| {
            matches!(given.amendment, Amendment::Compost | Amendment::Manure)
                && given.date >= fed_from
                && given.date <= enters
        });
        match (one.crop.feeding, before) {
            (Feeding::Heavy, _) if is_fed => one.add(weight::FED, Reason::Fed),
            (Feeding::Heavy, Some((crop_idx, Feeding::Heavy))) => {
                one.add(weight::HUNGRY_AGAIN, Reason::HungryAgain { after: crop_idx });
            }
            (Feeding::Light, Some((crop_idx, Feeding::Heavy))) => {
                one.add(weight::FED, Reason::AsksLittle { after: crop_idx });
            }
            _ => {}
        }
    }
}
