//! How much warmth above a base a day gave.
//!
//! Follows the single sine of Baskerville & Emin 1969, Ecology 50:514-517, with a horizontal cutoff at the upper threshold. The
//! day is one sine from tmin to tmax; what lies above the base counts, and what lies above the upper threshold counts as if it
//! were at the threshold. Where it stops being true: it measures warmth, not growth, and a sum means something only with the base
//! and the method with which it was published.

use std::f64::consts::PI;

/// How a day's warmth is reckoned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Method {
    /// One sine a day between the two temperatures, horizontal cutoff (Baskerville & Emin 1969).
    Sine,
    /// `max(0, mean − base)`, the mean being that of tmin and tmax; with an upper threshold the mean is limited to it.
    Mean,
    /// Both temperatures are limited to between base and upper threshold before their mean is taken (the "86/50" rule of maize
    /// growers).
    ClampedMean,
}

/// Degree-days of one day, in the unit of the temperatures; never negative. A `tmin` above `tmax` is swapped with it.
pub fn degree_days(tmin: f64, tmax: f64, base: f64, upper: Option<f64>, method: Method) -> f64 {
    let (tmin, tmax) = if tmin <= tmax { (tmin, tmax) } else { (tmax, tmin) };
    let upper = upper.unwrap_or(f64::INFINITY);
    match method {
        Method::Sine => (sine_above(tmin, tmax, base) - sine_above(tmin, tmax, upper.max(base))).max(0.0),
        Method::Mean => (f64::midpoint(tmin, tmax).min(upper) - base).max(0.0),
        Method::ClampedMean => {
            let held = |t: f64| t.min(upper).max(base);
            f64::midpoint(held(tmin), held(tmax)) - base
        }
    }
}

/// Mean over a day of a rate that rises in a straight line from 0 at `base` to 1 at `optimum`, stays there up to `ceiling` and falls
/// in a straight line to 0 at `maximum`; the day is one sine from tmin to tmax, as above.
pub fn mean_rate(tmin: f64, tmax: f64, [base, optimum, ceiling, maximum]: [f64; 4]) -> f64 {
    let (tmin, tmax) = if tmin <= tmax { (tmin, tmax) } else { (tmax, tmin) };
    let between = |low: f64, high: f64| {
        let high = high.max(low + LEAST_RISE_C);
        (sine_above(tmin, tmax, low) - sine_above(tmin, tmax, high)) / (high - low)
    };
    (between(base, optimum) - between(ceiling, maximum)).clamp(0.0, 1.0)
}

/// Steepest rise or fall of a rate: from nothing to all over this many °C.
const LEAST_RISE_C: f64 = 0.1;

/// Mean over a day of what lies above a threshold, of one sine from tmin to tmax.
fn sine_above(tmin: f64, tmax: f64, threshold: f64) -> f64 {
    if tmax <= threshold {
        return 0.0;
    }
    let mean = f64::midpoint(tmin, tmax);
    if tmin >= threshold {
        return mean - threshold;
    }
    let half_range = (tmax - tmin) / 2.0;
    let angle = ((threshold - mean) / half_range).clamp(-1.0, 1.0).asin();
    ((mean - threshold) * (PI / 2.0 - angle) + half_range * angle.cos()) / PI
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_day_half_above_the_base_gives_the_half_range_over_pi() {
        // Mean at the base: the upper half of the sine, whose mean over the whole day is range/2 / π = 10 / π.
        assert!((degree_days(0.0, 20.0, 10.0, None, Method::Sine) - 10.0 / PI).abs() < 1e-12);
        assert!(degree_days(0.0, 20.0, 10.0, None, Method::Mean).abs() < 1e-12);
        assert!((degree_days(0.0, 20.0, 10.0, None, Method::ClampedMean) - 5.0).abs() < 1e-12);
    }

    #[test]
    fn a_rate_through_a_day_by_hand() {
        let cardinals = [8.0, 28.0, 32.0, 40.0];
        // All of the day on the rise, on the level, and on the fall.
        assert!((mean_rate(10.0, 20.0, cardinals) - 7.0 / 20.0).abs() < 1e-12);
        assert!((mean_rate(29.0, 31.0, cardinals) - 1.0).abs() < 1e-12);
        assert!((mean_rate(34.0, 38.0, cardinals) - 0.5).abs() < 1e-12);
        // Half of the day below the base: 10 / π degrees above it.
        assert!((mean_rate(-2.0, 18.0, cardinals) - 10.0 / PI / 20.0).abs() < 1e-12);
        // Mean on the ceiling, half of the day above it by 8 / π degrees of 8; below it by as much of 20 under the optimum of 32.
        assert!((mean_rate(24.0, 40.0, [12.0, 32.0, 32.0, 40.0]) - (1.0 - 8.0 / PI / 20.0 - 1.0 / PI)).abs() < 1e-9);
        assert!(mean_rate(-9.0, 8.0, cardinals).abs() < 1e-12 && mean_rate(40.0, 45.0, cardinals).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn the_sine_lies_between_the_mean_and_the_clamped_mean_s_bounds(
            tmin in -30.0_f64..40.0, range in 0.0_f64..30.0, base in 0.0_f64..15.0, span in 1.0_f64..30.0,
        ) {
            let tmax = tmin + range;
            let upper = base + span;
            let sine = degree_days(tmin, tmax, base, Some(upper), Method::Sine);
            prop_assert!((0.0..=span + 1e-9).contains(&sine));
            prop_assert!(degree_days(tmin, tmax, base, None, Method::Sine) + 1e-9 >= degree_days(tmin, tmax, base, None, Method::Mean));
            // A warmer day never gives less.
            prop_assert!(degree_days(tmin + 1.0, tmax + 1.0, base, Some(upper), Method::Sine) + 1e-9 >= sine);
        }
    }
}
