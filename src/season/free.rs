//! When ground frees up: strip by strip, for a whole bed, and for how long.
//!
//! A bed is cut along its length wherever the ground of a planting begins or ends, and into halves of its width where the
//! two differ. Each piece is free from the first day on which nothing stands on it; pieces with the same answer are
//! joined again. Interplantings stand like any other. A line along an edge shares its ground ([`super::sharing`] judges by
//! stations what goes beside it), so that it keeps a piece taken only if its band is as wide as the piece: garlic along
//! both edges leaves the bed free between them. The bed as a whole is free once the lines are out too.
//! Cost: pieces × plantings of one bed at most.

use chrono::{Days, NaiveDate};

use super::{FreeStrip, FreeUp, Standing};
use crate::garden::{Bed, Side};
use crate::units::{Mm, Rect, days_between};

/// A stretch of a bed on one side or across its whole width.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stretch {
    pub from_mm: Mm,
    pub to_mm: Mm,
    pub side: Side,
}

impl Stretch {
    /// The whole of a bed.
    pub fn whole(bed: &Bed) -> Self {
        Self { from_mm: Mm::ZERO, to_mm: bed.length_mm, side: Side::Whole }
    }

    /// Its ground in a bed of that width.
    pub fn ground(self, bed_width: Mm) -> Rect {
        let (y0, y1) = self.side.across(bed_width);
        Rect { x0: self.from_mm, x1: self.to_mm, y0, y1 }
    }
}

/// Whether nothing stands on that ground in `from..until`.
pub(super) fn is_free(standing: &[Standing], ground: Rect, from: NaiveDate, until: NaiveDate) -> bool {
    !standing.iter().any(|standing| standing.stands_within(from, until) && standing.claims(ground))
}

/// The first day on or after `day` with none of these plantings standing, and the next day one of them goes in.
/// They come by the day they enter.
pub(super) fn free_from<'a>(
    standing: impl Iterator<Item = &'a Standing>,
    day: NaiveDate,
) -> (NaiveDate, Option<NaiveDate>) {
    let mut free_from = day;
    for standing in standing {
        if standing.stages.enters > free_from {
            return (free_from, Some(standing.stages.enters));
        }
        free_from = free_from.max(standing.stages.clear);
    }
    (free_from, None)
}

/// Cuts a bed into stretches by the ground of `standing`, asks each, and joins neighbours that give the same answer.
fn stretches<T: PartialEq + Copy>(bed: &Bed, standing: &[&Standing], answer: impl Fn(Rect) -> T) -> Vec<(Stretch, T)> {
    let grounds = standing.iter().flat_map(|standing| &standing.ground);
    let cuts = grounds.flat_map(|rect| [rect.x0, rect.x1]).collect();
    stretches_between(bed, cuts, |stretch| answer(stretch.ground(bed.width_mm)))
}

/// The same with the cuts given.
fn stretches_between<T: PartialEq + Copy>(
    bed: &Bed,
    mut cuts: Vec<Mm>,
    answer: impl Fn(Stretch) -> T,
) -> Vec<(Stretch, T)> {
    cuts.extend([Mm::ZERO, bed.length_mm]);
    cuts.retain(|cut| (Mm::ZERO..=bed.length_mm).contains(cut));
    cuts.sort_unstable();
    cuts.dedup();
    let mut joined: Vec<(Stretch, T)> = Vec::new();
    let mut join = |stretch: Stretch, answer: T| {
        // Of the two halves the last but one may be the neighbour.
        let neighbour =
            joined.iter_mut().rev().take(2).find(|(before, known)| {
                before.side == stretch.side && before.to_mm == stretch.from_mm && *known == answer
            });
        match neighbour {
            Some((before, _)) => before.to_mm = stretch.to_mm,
            None => joined.push((stretch, answer)),
        }
    };
    for (&from_mm, &to_mm) in cuts.iter().zip(cuts.iter().skip(1)) {
        let [left, right] = [Side::Left, Side::Right].map(|side| Stretch { from_mm, to_mm, side });
        let answers = [left, right].map(&answer);
        if answers[0] == answers[1] {
            join(Stretch { side: Side::Whole, ..left }, answers[0]);
        } else {
            join(left, answers[0]);
            join(right, answers[1]);
        }
    }
    joined
}

/// Which ground of a planting counts as taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Taken {
    /// All of it.
    All,
    /// What it claims from one side of a piece to the other.
    Across,
}

/// The stretches of a bed on which nothing stands in `from..until`, along the bed. Cost: a sort of the plantings.
fn free_stretches(bed: &Bed, standing: &[Standing], from: NaiveDate, until: NaiveDate, taken: Taken) -> Vec<Stretch> {
    let within = || standing.iter().filter(|standing| standing.stands_within(from, until));
    let whole = Rect::of_size(bed.length_mm, bed.width_mm);
    if within().flat_map(|standing| &standing.ground).any(|rect| rect.shared_with(whole) == Some(whole)) {
        return Vec::new();
    }
    let taken = [Side::Left, Side::Right].map(|side| {
        let (y0, y1) = side.across(bed.width_mm);
        let grounds = within().flat_map(|standing| &standing.ground).filter(|rect| match taken {
            Taken::All => rect.y0 < y1 && y0 < rect.y1,
            Taken::Across => rect.y0 <= y0 && rect.y1 >= y1,
        });
        united(grounds.map(|rect| (rect.x0, rect.x1)).collect())
    });
    let cuts = taken.iter().flatten().flat_map(|(x0, x1)| [*x0, *x1]).collect();
    let is_free = |stretch: Stretch| {
        let taken = &taken[usize::from(stretch.side == Side::Right)];
        let next = taken.get(taken.partition_point(|(_, x1)| *x1 <= stretch.from_mm));
        next.is_none_or(|(x0, _)| *x0 >= stretch.to_mm)
    };
    let asked = stretches_between(bed, cuts, is_free);
    asked.into_iter().filter(|(_, is_free)| *is_free).map(|(stretch, _)| stretch).collect()
}

/// Intervals that touch or overlap made one, in order.
fn united(mut intervals: Vec<(Mm, Mm)>) -> Vec<(Mm, Mm)> {
    intervals.sort_unstable();
    let mut united: Vec<(Mm, Mm)> = Vec::new();
    for (start, end) in intervals {
        match united.last_mut() {
            Some((_, reached)) if start <= *reached => *reached = end.max(*reached),
            _ => united.push((start, end)),
        }
    }
    united
}

/// The largest stretch free in `from..until`, lines along an edge sharing theirs; of equal ones the first along the bed.
pub(super) fn largest_free(bed: &Bed, standing: &[Standing], from: NaiveDate, until: NaiveDate) -> Option<Stretch> {
    largest(bed, &free_stretches(bed, standing, from, until, Taken::Across))
}

/// The same on which nothing at all stands, not even a line along an edge.
pub(super) fn largest_bare(bed: &Bed, standing: &[Standing], from: NaiveDate, until: NaiveDate) -> Option<Stretch> {
    largest(bed, &free_stretches(bed, standing, from, until, Taken::All))
}

/// A half of the width that is free beside a stretch free across the whole width is looked at along both.
fn largest(bed: &Bed, free: &[Stretch]) -> Option<Stretch> {
    let mut best: Option<(i64, Stretch)> = None;
    for side in [Side::Whole, Side::Left, Side::Right] {
        let mut run: Option<Stretch> = None;
        for stretch in free.iter().filter(|stretch| stretch.side == side || stretch.side == Side::Whole) {
            let joined = match run {
                Some(before) if before.to_mm == stretch.from_mm => Stretch { to_mm: stretch.to_mm, ..before },
                _ => Stretch { side, ..*stretch },
            };
            run = Some(joined);
            let area_mm2 = joined.ground(bed.width_mm).area_mm2();
            if best.is_none_or(|(most, _)| area_mm2 > most) {
                best = Some((area_mm2, joined));
            }
        }
    }
    best.map(|(_, stretch)| stretch)
}

/// Whether it claims that ground from one side to the other: the bands of lines along an edge are narrower.
pub(super) fn claims_across(standing: &Standing, ground: Rect) -> bool {
    standing
        .ground
        .iter()
        .filter_map(|rect| rect.shared_with(ground))
        .any(|shared| shared.y0 <= ground.y0 && shared.y1 >= ground.y1)
}

/// When a bed frees up, seen from a day; without the range of that day.
pub(super) fn free_up(bed: &Bed, standing: &[Standing], day: NaiveDate) -> FreeUp {
    let ahead: Vec<&Standing> = standing.iter().filter(|standing| standing.stages.clear > day).collect();
    let strips: Vec<FreeStrip> = stretches(bed, &ahead, |ground| {
        free_from(ahead.iter().copied().filter(|standing| claims_across(standing, ground)), day)
    })
    .into_iter()
    .map(|(Stretch { from_mm, to_mm, side }, (free_from, until))| FreeStrip { from_mm, to_mm, side, free_from, until })
    .collect();
    let (whole_bed_free_from, next_entry) = free_from(ahead.iter().copied(), day);
    let enters_later = |standing: &&&Standing| standing.stages.enters > day;
    let free_from = strips.iter().map(|strip| strip.free_from).min().unwrap_or(whole_bed_free_from);
    FreeUp {
        free_from,
        free_from_early: free_from,
        free_from_late: free_from,
        whole_bed_free_from,
        standing: ahead.iter().filter(|standing| standing.stands_on(day)).map(|standing| standing.id).collect(),
        next: ahead.iter().filter(enters_later).map(|standing| standing.id).collect(),
        empty_weeks: next_entry.map(|entry| days_between(whole_bed_free_from, entry) / 7),
        bare_weeks: bare_days(&ahead, day) / 7,
        strips,
    }
}

/// Days of the twelve months from `day` on which nothing at all stands.
fn bare_days(ahead: &[&Standing], day: NaiveDate) -> i64 {
    let end = day.checked_add_days(Days::new(365)).unwrap_or(day);
    let (mut n_days, mut bare_from) = (0, day);
    for standing in ahead {
        if standing.stages.enters >= end {
            break;
        }
        n_days += days_between(bare_from, standing.stages.enters).max(0);
        bare_from = bare_from.max(standing.stages.clear);
    }
    n_days + days_between(bare_from, end).max(0)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::tests::{bed, day, garden, grid, on_strip, plan, planting};
    use super::*;
    use crate::garden::Layout;

    proptest! {
        #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn united_ground_frees_the_same_stretches_as_each_planting_asked(
            strips in proptest::collection::vec((0..29_i32, 1..12_i32, 0..5_usize), 0..12)
        ) {
            let mut garden = garden(&["A1"]);
            for (id, (from, length, kind)) in (1..).zip(strips) {
                let mut one = planting(id, "A1", "leek", grid(20), day(2027, 6, 1), day(2027, 9, 1));
                one.side = [Side::Whole, Side::Left, Side::Right, Side::Whole, Side::Left][kind];
                if kind > 2 {
                    one.layout = Layout::Edge { spacing_mm: Mm(150), along: Side::Whole };
                }
                garden.plantings.push(on_strip(one, from * 10, (from + length).min(30) * 10));
            }
            let plan = plan(garden);
            let (bed, standing) = (bed("A1", 120, 300), plan.standing_in(0));
            let all: Vec<&Standing> = standing.iter().collect();
            for (taken, takes) in [
                (Taken::All, Standing::claims as fn(&Standing, Rect) -> bool),
                (Taken::Across, claims_across),
            ] {
                let asked = stretches(&bed, &all, |ground| !all.iter().any(|standing| takes(standing, ground)));
                let one_by_one: Vec<Stretch> =
                    asked.into_iter().filter(|(_, is_free)| *is_free).map(|(stretch, _)| stretch).collect();
                prop_assert_eq!(free_stretches(&bed, standing, day(2027, 6, 1), day(2027, 9, 1), taken), one_by_one);
            }
        }
    }
}
