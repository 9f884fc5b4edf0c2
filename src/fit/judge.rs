//! Judges two plantings week by week, and seeks the nearest change with which they fit.

use chrono::NaiveDate;

use super::discs::share_taken;
use super::neighbours::{
    LOOKED_AT_MAX, Neighbourhood, along, in_the_middle, least_distance_mm, least_own_distance_mm, n_pairs_along,
    neighbourhoods, work_of,
};
use super::{Change, FITS_MAX, FitReport, Sharer, Verdict, WeekFit, Which};
use crate::garden::Layout;
use crate::growth::{CoverCurve, Stages, mature_radius_mm};
use crate::layout::set_out;
use crate::units::{Mm, Point, Rect, Week, days_between};

/// Most weeks by which the joining crop is moved in search of a fit (starting value).
const SHIFT_WEEKS_MAX: i64 = 8;

/// The host's spacing is widened in steps of this, up to half as much again (starting value).
const WIDEN_STEP: Mm = Mm(10);

/// Most weeks looked at: twenty years, for permanent crops beside each other.
const WEEKS_MAX: i64 = 1040;

/// After this many weeks, four years, plants are weighed again only once a radius has grown by [`GROWN_SHARE`] of its full size.
const WEEKS_EACH: usize = 4 * 52;
const GROWN_SHARE: f64 = 0.005;

/// Work allowed for all weeks of two plantings together, roughly, in steps of a few nanoseconds (starting value: a few hundredths of a
/// second). Beyond it a selection of their stations stands for all of them.
pub const WORK_MAX: u64 = 10_000_000;

/// The search for a change costs this many times the work of the judgement: the change is weighed for other weeks and other
/// hosts.
const WORK_OF_CHANGE: u64 = 2;

/// What any two plantings cost, however few their stations.
const LEAST_WORK: u64 = 2_500;

/// What each week costs, even if nothing is weighed in it.
const WORK_A_WEEK: u64 = 15;

/// What each pair costs in the search for neighbours, and how many pairs are looked at whatever they cost.
const WORK_A_PAIR: u64 = 5;
const PAIRS_LEAST: usize = 2_000;

/// What each station costs before any is weighed: it is set out and put in order.
const WORK_A_STATION: u64 = 20;

/// Least share of its days from entry to first pick that the quick crop must have stood for "out by" a week to be useful advice
/// (starting value): before that nothing of it can be eaten, not even young.
const USEFUL_STAND: f64 = 0.5;

/// How both were set out, so that a wider host can be tried.
#[derive(Debug, Clone, Copy)]
pub struct HostGround<'a> {
    /// The standing crop's layout.
    pub host_layout: &'a Layout,
    /// Its strip.
    pub host_strip: Rect,
    /// Its setback.
    pub host_setback: Option<Mm>,
    /// The joining crop's layout; `between` moves with the host, anything else stays where it is.
    pub joins_layout: &'a Layout,
    /// Its strip.
    pub joins_strip: Rect,
    /// Its setback.
    pub joins_setback: Option<Mm>,
}

/// Judges two plantings that share ground.
///
/// Cost: where discs never meet, two sorts and a sweep of the stations. Otherwise, for each week, the different
/// neighbourhoods (a few dozen in regular patterns).
pub fn judge(stands: &Sharer<'_>, joins: &Sharer<'_>) -> FitReport {
    judge_on_ground(stands, joins, None)
}

/// Judges two plantings as [`judge`] does; with the ground given, a wider host is among the changes tried.
///
/// The changes are tried in this order: clear the quick crop by the week before the first bad one, if it has been picked by
/// then; put the joining crop in up to eight weeks earlier or later, the fewest weeks first; widen the host by up to half.
pub fn judge_on_ground(stands: &Sharer<'_>, joins: &Sharer<'_>, ground: Option<&HostGround<'_>>) -> FitReport {
    judge_with_change(stands, joins, ground).0
}

/// The same, with its approximate cost in the unit of [`judge_weeks`].
pub fn judge_with_change(stands: &Sharer<'_>, joins: &Sharer<'_>, ground: Option<&HostGround<'_>>) -> (FitReport, u64) {
    let (mut report, pair, mut work) = weigh_weeks(stands, joins, WORK_MAX);
    if let Some(mut pair) = pair.filter(|_| report.verdict != Verdict::Fits) {
        work *= WORK_OF_CHANGE;
        report.nearest_change = nearest_change(&mut pair, stands, joins, &report, ground);
    }
    (report, work)
}

/// Judges two plantings as [`judge`] does, without looking for a change that would help: much cheaper where they do not fit,
/// which matters when a whole garden is gone through. Also gives what it cost, which is not much more than `work_max`.
pub fn judge_weeks(stands: &Sharer<'_>, joins: &Sharer<'_>, work_max: u64) -> (FitReport, u64) {
    let (report, _, work) = weigh_weeks(stands, joins, work_max.min(WORK_MAX));
    (report, work)
}

/// Least cost of two plantings with these numbers of stations, in the unit of [`judge_weeks`].
pub fn least_work(n_stands: u64, n_joins: u64) -> u64 {
    LEAST_WORK.saturating_add(n_stands.saturating_add(n_joins).saturating_mul(WORK_A_STATION))
}

/// The report week by week, the geometry if the two ever stand together, and what it cost.
fn weigh_weeks(stands: &Sharer<'_>, joins: &Sharer<'_>, work_max: u64) -> (FitReport, Option<Pair>, u64) {
    let mut report = FitReport {
        verdict: Verdict::Fits,
        share_lost_max: 0.0,
        sufferer: None,
        weeks: Vec::new(),
        first_bad_week: None,
        worst_week: None,
        n_affected: 0,
        out_by_week: None,
        nearest_change: None,
    };
    let mut work = least_work(stands.stations.len() as u64, joins.stations.len() as u64);
    let Some(common) = Common::of(&stands.stages, &joins.stages) else { return (report, None, work) };
    if stands.stations.is_empty() || joins.stations.is_empty() {
        return (report, None, work);
    }
    let mut pair = Pair::new(stands.stations, joins.stations, radii(stands, joins), work_max);
    let curves = Curves::new(stands, joins, &stands.stages, &joins.stages);
    pair.look_closer(common, &curves);
    let work_a_week = pair.close.as_ref().map_or(0, Close::work);
    let n_pairs = pair.close.as_ref().map_or(0, |close| close.n_pairs);
    work += WORK_A_PAIR * n_pairs;

    let mut lost_most = [0.0_f64; 2];
    let mut before: Option<([f64; 2], Weighed)> = None;
    for (week, day) in common.weeks() {
        let radii = pair.radii_on(&curves, day);
        let is_long = report.weeks.len() >= WEEKS_EACH;
        let weighed = match before {
            // Once both are fully grown nothing changes any more.
            Some((same, weighed)) if pair.is_as_large(same, radii, is_long) => weighed,
            _ => {
                work += work_a_week;
                let weighed = pair.weigh(radii);
                before = Some((radii, weighed));
                weighed
            }
        };
        let share = weighed.lost_most[0].max(weighed.lost_most[1]);
        let verdict = Verdict::of_share(share);
        if verdict != Verdict::Fits && report.first_bad_week.is_none() {
            report.first_bad_week = Some(week);
        }
        if share > report.share_lost_max {
            report.share_lost_max = share;
            report.worst_week = Some(week);
            report.n_affected = weighed.n_affected;
        }
        lost_most = [lost_most[0].max(weighed.lost_most[0]), lost_most[1].max(weighed.lost_most[1])];
        report.weeks.push(WeekFit {
            week,
            verdict,
            share_lost_max: share,
            n_affected: weighed.n_affected,
            clearance_mm: pair.least_mm - radii[0] - radii[1],
        });
    }
    work += WORK_A_WEEK * report.weeks.len() as u64;
    report.verdict = Verdict::of_share(report.share_lost_max);
    if report.share_lost_max > FITS_MAX {
        report.sufferer = Some(if lost_most[0] > lost_most[1] { Which::Stands } else { Which::Joins });
    }
    report.out_by_week = match report.first_bad_week {
        Some(bad) => {
            let (quick, _) = quick_of(stands, joins);
            Some(bad.plus(-1))
                .filter(|week| *week >= Week::of(common.from) && has_useful_stand(&quick.stages, week.sunday()))
        }
        None => report.weeks.last().map(|last| last.week),
    };
    (report, Some(pair), work)
}

/// The crop that is cleared first.
fn quick_of<'a, 'b>(stands: &'a Sharer<'b>, joins: &'a Sharer<'b>) -> (&'a Sharer<'b>, Which) {
    if joins.stages.clear <= stands.stages.clear { (joins, Which::Joins) } else { (stands, Which::Stands) }
}

/// Whether a crop that is out by the end of that day has stood long enough to be of use.
fn has_useful_stand(stages: &Stages, last_day: NaiveDate) -> bool {
    let to_pick = days_between(stages.enters, stages.first_pick);
    days_between(stages.enters, last_day) as f64 >= USEFUL_STAND * to_pick as f64
}

/// The days on which both stand.
#[derive(Debug, Clone, Copy)]
pub(super) struct Common {
    pub(super) from: NaiveDate,
    pub(super) until: NaiveDate,
}

impl Common {
    pub(super) fn of(one: &Stages, other: &Stages) -> Option<Self> {
        let (from, until) = (one.enters.max(other.enters), one.clear.min(other.clear));
        (from < until).then_some(Self { from, until })
    }

    pub(super) fn last_day(self) -> NaiveDate {
        self.until.pred_opt().unwrap_or(self.from)
    }

    /// Each week, with the last day in it on which both stand: plants are largest then.
    fn weeks(self) -> impl DoubleEndedIterator<Item = (Week, NaiveDate)> {
        let (first, last_day) = (Week::of(self.from), self.last_day());
        let n_weeks = (Week::of(last_day).weeks_since(first) + 1).min(WEEKS_MAX);
        (0..n_weeks).map(move |n| {
            let week = first.plus(n);
            (week, week.sunday().min(last_day))
        })
    }
}

pub(super) struct Curves([CoverCurve; 2]);

impl Curves {
    pub(super) fn new(stands: &Sharer<'_>, joins: &Sharer<'_>, stands_stages: &Stages, joins_stages: &Stages) -> Self {
        Self([CoverCurve::new(stands.crop, stands_stages), CoverCurve::new(joins.crop, joins_stages)])
    }
}

pub(super) fn radii(stands: &Sharer<'_>, joins: &Sharer<'_>) -> [f64; 2] {
    [mature_radius_mm(stands.crop), mature_radius_mm(joins.crop)]
}

/// What was weighed on one day; the standing crop first.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Weighed {
    lost_most: [f64; 2],
    /// Sum over stations of the share lost.
    pub(super) lost_in_all: [f64; 2],
    n_affected: usize,
}

/// The geometry of two plantings; the standing crop first.
pub(super) struct Pair {
    stations: [Vec<Point>; 2],
    /// How many stations each of these stands for.
    n_each: [usize; 2],
    mature_mm: [f64; 2],
    least_mm: f64,
    /// About what all weeks may cost together.
    work_max: u64,
    /// Only worked out once discs are known to meet.
    close: Option<Close>,
}

struct Close {
    neighbourhoods: [Vec<Neighbourhood>; 2],
    least_own_mm: [f64; 2],
    /// About how many pairs were looked at to find them.
    n_pairs: u64,
}

/// How many pairs of stations along the bed may be looked at for that much work.
fn n_pairs_max(work_max: u64) -> usize {
    ((work_max / WORK_A_PAIR / 2) as usize).clamp(PAIRS_LEAST, LOOKED_AT_MAX)
}

impl Close {
    /// About what one weighing costs.
    fn work(&self) -> u64 {
        self.neighbourhoods.iter().map(|around| work_of(around)).sum()
    }
}

impl Pair {
    pub(super) fn new(stands: &[Point], joins: &[Point], mature_mm: [f64; 2], work_max: u64) -> Self {
        let (stations, n_each) = in_the_middle(along(stands, joins), mature_mm[0] + mature_mm[1]);
        let n_pairs_max = n_pairs_max(work_max);
        let least_mm = least_distance_mm(&stations[1], &stations[0], n_pairs_max);
        Self { stations, n_each, mature_mm, least_mm, work_max, close: None }
    }

    /// Whether plants have not grown since they were weighed; if they stand for long, whether they have hardly grown.
    fn is_as_large(&self, before: [f64; 2], radii: [f64; 2], is_long: bool) -> bool {
        let is_same = |of: usize| {
            before[of].to_bits() == radii[of].to_bits()
                || is_long && (radii[of] - before[of]).abs() < GROWN_SHARE * self.mature_mm[of]
        };
        is_same(0) && is_same(1)
    }

    pub(super) fn radii_on(&self, curves: &Curves, day: NaiveDate) -> [f64; 2] {
        [self.mature_mm[0] * curves.0[0].on(day).sqrt(), self.mature_mm[1] * curves.0[1].on(day).sqrt()]
    }

    /// Finds neighbours if discs meet while both crops stand. Discs only grow, so if they do not meet on the last day they never
    /// meet.
    pub(super) fn look_closer(&mut self, common: Common, curves: &Curves) {
        let radii = self.radii_on(curves, common.last_day());
        if self.close.is_some() || self.least_mm >= radii[0] + radii[1] {
            return;
        }
        let reach_mm = self.mature_mm[0] + self.mature_mm[1];
        let [stands, joins] = &self.stations;
        // Each of the two gets half of the work; fully grown plants are not weighed again.
        let grown_on = curves.0.iter().map(CoverCurve::full_on).max().unwrap_or(common.until);
        let n_weeks = days_between(common.from, common.until.min(grown_on)) / 7 + 2;
        let work_max = self.work_max / 2 / n_weeks.clamp(1, WEEKS_MAX) as u64;
        let n_pairs_max = n_pairs_max(self.work_max);
        self.close = Some(Close {
            neighbourhoods: [
                neighbourhoods(stands, joins, reach_mm, n_pairs_max, work_max),
                neighbourhoods(joins, stands, reach_mm, n_pairs_max, work_max),
            ],
            least_own_mm: [least_own_distance_mm(stands, n_pairs_max), least_own_distance_mm(joins, n_pairs_max)],
            n_pairs: [n_pairs_along(stands, joins, reach_mm), n_pairs_along(joins, stands, reach_mm)]
                .map(|n| n.min(n_pairs_max) as u64)
                .iter()
                .sum(),
        });
    }

    pub(super) fn weigh(&self, radii: [f64; 2]) -> Weighed {
        let mut weighed = Weighed::default();
        let Some(close) = &self.close else { return weighed };
        if self.least_mm >= radii[0] + radii[1] {
            return weighed;
        }
        for (this, other) in [(0, 1), (1, 0)] {
            let others_apart = 2.0 * radii[other] <= close.least_own_mm[other];
            for around in &close.neighbourhoods[this] {
                let share = share_taken(radii[this], &around.others, radii[other], others_apart);
                weighed.lost_most[this] = weighed.lost_most[this].max(share);
                let n_stations = around.n_stations * self.n_each[this];
                weighed.lost_in_all[this] += share * n_stations as f64;
                if share > FITS_MAX {
                    weighed.n_affected += n_stations;
                }
            }
        }
        weighed
    }

    /// Whether every week fits; the late weeks, in which discs are largest, are looked at first.
    fn fits(&mut self, common: Common, curves: &Curves) -> bool {
        self.look_closer(common, curves);
        common.weeks().rev().all(|(_, day)| self.fits_at(self.radii_on(curves, day)))
    }

    /// Whether no station loses more than still fits; stops at the first that does.
    fn fits_at(&self, radii: [f64; 2]) -> bool {
        let Some(close) = self.close.as_ref().filter(|_| self.least_mm < radii[0] + radii[1]) else { return true };
        [(0, 1), (1, 0)].into_iter().all(|(this, other)| {
            let others_apart = 2.0 * radii[other] <= close.least_own_mm[other];
            let share = |around: &Neighbourhood| share_taken(radii[this], &around.others, radii[other], others_apart);
            close.neighbourhoods[this].iter().all(|around| share(around) <= FITS_MAX)
        })
    }
}

fn nearest_change(
    pair: &mut Pair,
    stands: &Sharer<'_>,
    joins: &Sharer<'_>,
    report: &FitReport,
    ground: Option<&HostGround<'_>>,
) -> Option<Change> {
    let (quick, which) = quick_of(stands, joins);
    if let Some(week) = report.out_by_week
        && quick.stages.first_pick <= week.sunday()
    {
        return Some(Change::OutBy(which, week));
    }
    for n_weeks in 1..=SHIFT_WEEKS_MAX {
        for shift in [-n_weeks, n_weeks] {
            let moved = joins.stages.shifted_days(7 * shift);
            let curves = Curves::new(stands, joins, &stands.stages, &moved);
            if Common::of(&stands.stages, &moved).is_none_or(|common| pair.fits(common, &curves)) {
                return Some(Change::ShiftWeeks(shift));
            }
        }
    }
    widened(stands, joins, ground?)
}

/// The least spacing of the host at which both fit, found by halving: a wider host never fits worse.
fn widened(stands: &Sharer<'_>, joins: &Sharer<'_>, ground: &HostGround<'_>) -> Option<Change> {
    let now = match ground.host_layout {
        Layout::Grid { spacing_mm } | Layout::Offset { spacing_mm } => *spacing_mm,
        Layout::Rows { row_mm, .. } => *row_mm,
        _ => return None,
    };
    let common = Common::of(&stands.stages, &joins.stages)?;
    let curves = Curves::new(stands, joins, &stands.stages, &joins.stages);
    let fits_at = |n_steps: i32| {
        let wider = now + WIDEN_STEP * n_steps;
        let layout = match *ground.host_layout {
            Layout::Offset { .. } => Layout::Offset { spacing_mm: wider },
            Layout::Rows { in_row_mm, run, .. } => Layout::Rows { row_mm: wider, in_row_mm, run },
            _ => Layout::Grid { spacing_mm: wider },
        };
        let Ok(host) = set_out(&layout, ground.host_strip, ground.host_setback, 1, None) else { return false };
        let joined = match ground.joins_layout {
            Layout::Between { .. } => {
                set_out(ground.joins_layout, ground.joins_strip, ground.joins_setback, 1, Some(&host))
                    .map_or_else(|_| Vec::new(), |joined| joined.stations)
            }
            _ => joins.stations.to_vec(),
        };
        // If one of them has no stations left, the ground is not shared.
        !host.stations.is_empty()
            && !joined.is_empty()
            && Pair::new(&host.stations, &joined, radii(stands, joins), WORK_MAX).fits(common, &curves)
    };
    let (mut least, mut most) = (1, now.0 / 2 / WIDEN_STEP.0);
    if most < 1 || !fits_at(most) {
        return None;
    }
    while least < most {
        let middle = i32::midpoint(least, most);
        if fits_at(middle) {
            most = middle;
        } else {
            least = middle + 1;
        }
    }
    Some(Change::WidenHost((now + WIDEN_STEP * most).0))
}
