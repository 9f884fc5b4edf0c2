//! One bed worked out: the days, ground and counts of its plantings, and every finding about them.

use chrono::{Days, NaiveDate};

use super::accept::{mark_accepted, planting_named};
use super::bounds::{self, NotListed};
use super::inputs::Inputs;
use super::set_out::counts;
use super::{BedSeason, Finding, NotSetOut, Says, Standing, gaps, limits, listing, rotate, sharing};
use crate::garden::{Bed, Planting, RealDates, Severity};
use crate::growth::Growing;
use crate::layout::claimed_ground;

/// Days by which a planting may miss the months books give and nothing is said: a hard or kind spring, and the height of the place,
/// move them by as much, and what growth has against it is said anyway. Starting value: a month.
const GRACE_DAYS: u64 = 30;

/// Works out one bed from the plantings given (ascending by number).
pub(super) fn work_out(inputs: Inputs<'_>, bed_idx: usize, plantings: &[&Planting]) -> BedSeason {
    let Some(bed) = inputs.bed(bed_idx) else { return BedSeason::default() };
    let mut season = stand_all(inputs, bed_idx, bed, plantings);
    let mut not_listed = NotListed::default();
    let BedSeason { standing, findings, .. } = &mut season;
    sharing::check_pairs(inputs, bed_idx, bed, standing, plantings, findings, &mut not_listed);
    rotate::check_bed(inputs, bed_idx, standing, findings, &mut not_listed);
    gaps::check_bed(inputs, bed_idx, bed, &season.standing, &mut season.findings);
    for finding in &mut season.findings {
        let named = planting_named(&season.standing, finding);
        if let Some(places) = named.and_then(|id| inputs.index.accepted.get(&id)) {
            mark_accepted(inputs.garden, inputs.book, &season.standing, finding, places);
        }
    }
    bounds::put_in_order(bed_idx, &mut season.findings, not_listed);
    season.standing.shrink_to_fit();
    season.findings.shrink_to_fit();
    listing::put_in_groups(inputs.garden, inputs.book, &mut season);
    season
}

/// The days, ground and counts of all plantings, with the findings about each alone.
fn stand_all(inputs: Inputs<'_>, bed_idx: usize, bed: &Bed, plantings: &[&Planting]) -> BedSeason {
    let mut season =
        BedSeason { standing: Vec::with_capacity(plantings.len()), findings: Vec::new(), groups: Vec::new() };
    for &planting in plantings {
        if let Some(standing) = stand(inputs, bed_idx, bed, planting, plantings, &mut season.findings) {
            season.standing.push(standing);
        }
    }
    season.standing.sort_by_key(|standing| (standing.stages.enters, standing.id));
    season
}

/// One planting worked out; `None` if its crop or its days are not known (a finding says so).
pub(super) fn stand(
    inputs: Inputs<'_>,
    bed_idx: usize,
    bed: &Bed,
    planting: &Planting,
    in_bed: &[&Planting],
    findings: &mut Vec<Finding>,
) -> Option<Standing> {
    let mut tell = |severity, says| {
        findings.push(Finding { severity, bed_idx, planting: Some(planting.id), says, accepted: None });
    };
    let Some(crop_idx) = inputs.book.crop_idx(&planting.crop) else {
        tell(Severity::Breach, Says::UnknownCrop { crop: planting.crop.clone() });
        return None;
    };
    let crop = inputs.book.crops().get(crop_idx)?;
    let growing = inputs.almanac.growing(crop, planting.raised, bed.cover);
    let real = inputs.real(planting.id);
    let stages = match growing.stages(&planting.planned, &real) {
        Ok(stages) => stages,
        Err(error) => {
            tell(Severity::Breach, Says::NoDates { why: error });
            return None;
        }
    };
    let strip = planting.strip(bed.width_mm);
    let (n_stations, n_plants, n_lines) = match counts(bed, planting, in_bed) {
        Ok(counted) => {
            if counted.n_stations == 0 {
                tell(Severity::Breach, Says::NoStations { why: NotSetOut::NoRoom });
            }
            (counted.n_stations, counted.n_plants, counted.n_lines)
        }
        Err(why) => {
            tell(Severity::Breach, Says::NoStations { why });
            (0, 0, 0)
        }
    };
    if let Some(severity) = season_missed(growing, &real, stages.enters) {
        tell(severity, Says::OutOfSeason { enters: stages.enters });
    }
    limits::check(inputs, bed_idx, bed, crop, planting, &stages, findings);
    Some(Standing {
        id: planting.id,
        crop_idx,
        stages,
        ground: claimed_ground(&planting.layout, strip),
        n_stations,
        n_plants,
        n_lines,
    })
}

/// How grave it is that a planting goes in on that day; `None` if books put it in then, or not long before or after.
///
/// The months are those under the bed's cover, whose frosts end earlier and begin later: a cover gets no further grace. What really
/// happened is no more than a note: nothing can be done about it.
fn season_missed(growing: Growing<'_>, real: &RealDates, enters: NaiveDate) -> Option<Severity> {
    if growing.is_in_season(enters) {
        return None;
    }
    let near = [enters.checked_sub_days(Days::new(GRACE_DAYS)), enters.checked_add_days(Days::new(GRACE_DAYS))];
    let is_near = near.into_iter().flatten().any(|day| growing.is_in_season(day));
    let has_happened = real.plant.or(real.sow).is_some();
    (!is_near).then_some(if has_happened { Severity::Note } else { Severity::Caution })
}
