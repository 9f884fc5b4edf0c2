//! Running sums over a year that repeats itself, so that a date is found by a binary search instead of day by day.

use super::day::CommonDay;

/// Absorbs the rounding errors of sums over thousands of years.
const EPSILON: f64 = 1e-6;

/// Sums of one value over the days of a year, from its first day on.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Prefix {
    /// `sums[n]` is the sum over the first `n` days.
    sums: Box<[f64]>,
}

impl Prefix {
    /// Values are never negative; a table has one for each of the 365 days.
    pub(super) fn new(values: impl Iterator<Item = f64>) -> Self {
        let mut sum = 0.0;
        let sums = std::iter::once(0.0).chain(values.map(|value| {
            sum += value;
            sum
        }));
        Self { sums: sums.collect() }
    }

    fn total(&self) -> f64 {
        self.sums.last().copied().unwrap_or(0.0)
    }

    /// The sum from the start of the year 0 to the start of a day.
    fn at(&self, day: CommonDay) -> f64 {
        day.year() as f64 * self.total() + self.sums.get(day.idx()).copied().unwrap_or(0.0)
    }

    /// The sum over the days `from..to`; 0 if `to` comes before `from`.
    pub(super) fn between(&self, from: CommonDay, to: CommonDay) -> f64 {
        let years = (to.year() - from.year()) as f64 * self.total();
        let sum = |day: CommonDay| self.sums.get(day.idx()).copied().unwrap_or(0.0);
        (years + sum(to) - sum(from)).max(0.0)
    }

    /// The earliest day such that the sum from the start of `from` to its own start is at least `amount`; `None` if all values are 0.
    pub(super) fn reached(&self, from: CommonDay, amount: f64) -> Option<CommonDay> {
        if amount <= EPSILON {
            return Some(from);
        }
        let total = self.total();
        if total <= EPSILON {
            return None;
        }
        let target = self.at(from) + amount - EPSILON;
        let year = (target / total).floor();
        let idx = self.sums.partition_point(|sum| *sum < target - year * total);
        Some(CommonDay::new(year as i64, idx as i64))
    }

    /// The latest day such that the sum from its own start to the start of `to` is at least `amount`; `None` if all values are 0.
    pub(super) fn back_from(&self, to: CommonDay, amount: f64) -> Option<CommonDay> {
        if amount <= EPSILON {
            return Some(to);
        }
        let total = self.total();
        if total <= EPSILON {
            return None;
        }
        let target = self.at(to) - amount + EPSILON;
        let year = (target / total).floor();
        let n = self.sums.partition_point(|sum| *sum <= target - year * total);
        Some(CommonDay::new(year as i64, n as i64 - 1))
    }

    /// The value of one day.
    pub(super) fn of_day(&self, day: CommonDay) -> f64 {
        let idx = day.idx();
        match (self.sums.get(idx), self.sums.get(idx + 1)) {
            (Some(before), Some(after)) => after - before,
            _ => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::fixture::day;
    use super::*;

    #[test]
    fn a_sum_of_ones_counts_days_over_new_year() {
        let ones = Prefix::new((0..365).map(|_| 1.0));
        let start = CommonDay::of(day("2027-12-20"));
        assert_eq!(ones.reached(start, 20.0).map(CommonDay::date), Some(day("2028-01-09")));
        assert_eq!(
            ones.back_from(CommonDay::of(day("2028-01-09")), 20.0).map(CommonDay::date),
            Some(day("2027-12-20"))
        );
        assert!((ones.between(start, start.plus(730)) - 730.0).abs() < 1e-9);
        assert_eq!(Prefix::new((0..365).map(|_| 0.0)).reached(start, 1.0), None);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn a_search_finds_what_a_walk_finds(
            values in proptest::collection::vec(prop_oneof![Just(0.0), 0.1_f64..1.0], 365), start in 0_i64..365, amount in 0.5_f64..400.0,
        ) {
            let table = Prefix::new(values.iter().copied());
            prop_assume!(values.iter().sum::<f64>() > 1.0);
            let from = CommonDay::new(2027, start);
            let (mut walked, mut sum) = (from, 0.0);
            while sum < amount - 1e-6 {
                sum += values[walked.idx()];
                walked = walked.plus(1);
            }
            let found = table.reached(from, amount).unwrap();
            prop_assert!((found.0 - walked.0).abs() <= i64::from((sum - amount).abs() < 1e-4), "{found:?} {walked:?}");
            let back = table.back_from(found, amount).unwrap();
            prop_assert!(back >= from && table.between(back, found) >= amount - 1e-4);
        }
    }
}
