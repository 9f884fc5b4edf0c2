//! The land equivalent ratio: how much ground the two crops would need apart.

use super::Sharer;
use super::judge::{Common, Curves, Pair, WORK_MAX, radii};

/// The land equivalent ratio: Σ yield together ÷ yield alone (Willey 1979).
///
/// Each pair is (together, alone), both per unit of the same area under the same management. Above 1, sharing saves land.
pub fn land_equivalent_ratio(pairs: &[(f64, f64)]) -> f64 {
    pairs.iter().map(|(together, alone)| together / alone).sum()
}

/// Estimates the land equivalent ratio of a pair before anything is harvested. A face must label it as an estimate.
///
/// `1 - loss of the host + ground share × time share × (1 - loss of the joining crop)`. The loss of a crop is the mean share of
/// its discs taken on the last common day. The ground share is the part of `ground_m2` that the joining stations would fill at
/// the book's spacing, at most all of it. The time share is the part of the joining crop's days on which the host stands too. All
/// of it is a starting value: yield is taken to fall as the disc does, which measured pairs (LER 1.0 to 2.2 in the literature)
/// bear out only in direction.
pub fn estimate_land_equivalent_ratio(stands: &Sharer<'_>, joins: &Sharer<'_>, ground_m2: f64) -> f64 {
    let Some(common) = Common::of(&stands.stages, &joins.stages) else { return 1.0 };
    if stands.stations.is_empty() || joins.stations.is_empty() || ground_m2 <= 0.0 {
        return 1.0;
    }
    let radii = radii(stands, joins);
    let curves = Curves::new(stands, joins, &stands.stages, &joins.stages);
    let mut pair = Pair::new(stands.stations, joins.stations, radii, WORK_MAX);
    pair.look_closer(common, &curves);
    let weighed = pair.weigh(pair.radii_on(&curves, common.last_day()));
    let loss_of = |idx: usize, n: usize| (weighed.lost_in_all[idx] / n as f64).clamp(0.0, 1.0);

    let station_m2 = (2.0 * radii[1] / 1000.0).powi(2);
    let ground_share = (joins.stations.len() as f64 * station_m2 / ground_m2).min(1.0);
    let days = |from: chrono::NaiveDate, until: chrono::NaiveDate| (until - from).num_days() as f64;
    let time_share = days(common.from, common.until) / days(joins.stages.enters, joins.stages.clear);
    1.0 - loss_of(0, stands.stations.len()) + ground_share * time_share * (1.0 - loss_of(1, joins.stations.len()))
}
