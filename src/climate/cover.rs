//! What a cover adds to the air over a bed, and what it takes from the light.
//!
//! At night a cover keeps a little warmth in. By day the air under it warms with the sun, so the lift of the maximum grows with
//! the radiation that reaches the ground, and growers open tunnels, frames and cloches before they scorch: a clear winter's day of the
//! continents warms a tunnel more than a dull one by the sea. The figures are starting values within the ranges that extension
//! services give (light fleece 1 to 3 °C of frost protection; unheated tunnels hardly more than 1 °C at night, 5 to 15 °C on
//! bright days with the doors shut; films, glass and fleece pass 80 to 90 % of the light: common practice, no single source).
//! Those of tunnels were chosen on crops grown through winter in them (`tests/calibrated/trials.rs`).
//!
//! Where it stops being true: still, clear nights, on which a tunnel may be no warmer than the open; two covers one over the
//! other; covers put on for part of the year. A grower's own thermometer is better.

use crate::garden::Cover;

use super::table::{Day, DayTable};

/// Radiation at the ground for which a cover's lift of the maximum is given, MJ m⁻² day⁻¹: about a day of early spring in the middle
/// latitudes. The lift grows in proportion to the radiation.
pub const LIFT_SOLAR_MJ_M2: f64 = 10.0;

/// Most that a lift grows to, as a share of that given (starting value: 13.5 °C in a tunnel, doors shut).
const LIFT_SHARE_MOST: f64 = 1.5;

/// Temperature at which tunnels, glass and cloches are opened, °C (common practice, no published source).
pub const VENT_C: f64 = 25.0;

/// Lift of the maximum that is left when a cover stands open, °C (starting value).
const VENTED_LIFT_C: f64 = 1.0;

/// What a cover does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// Added to the day's minimum, °C.
    pub tmin_c: f64,
    /// Added to the day's maximum where `LIFT_SOLAR_MJ_M2` reach the ground, °C.
    pub tmax_c: f64,
    /// Share of the light that comes through, 0 to 1.
    pub light_share: f64,
    /// Whether it is opened when it grows hot.
    pub is_vented: bool,
}

/// The lift of a cover; starting values, see the head of this file.
pub fn lift(cover: Cover) -> Lift {
    let of = |tmin_c, tmax_c, light_share, is_vented| Lift { tmin_c, tmax_c, light_share, is_vented };
    match cover {
        Cover::Open => of(0.0, 0.0, 1.0, false),
        Cover::Fleece => of(2.0, 2.7, 0.85, false),
        Cover::Mesh => of(0.5, 0.9, 0.90, false),
        Cover::Cloche => of(1.5, 6.3, 0.85, true),
        Cover::UnheatedTunnel => of(2.0, 9.0, 0.80, true),
        Cover::Glass => of(2.5, 9.0, 0.85, true),
    }
}

impl Lift {
    /// One day under the cover.
    #[must_use]
    pub fn of_day(&self, day: Day) -> Day {
        let lift_c = self.tmax_c * (day.solar_mj_m2 / LIFT_SOLAR_MJ_M2).clamp(0.0, LIFT_SHARE_MOST);
        let mut tmax_c = day.tmax_c + lift_c;
        if self.is_vented {
            tmax_c = tmax_c.min(VENT_C.max(day.tmax_c + VENTED_LIFT_C.min(lift_c)));
        }
        let tmin_c = (day.tmin_c + self.tmin_c).min(tmax_c);
        Day { tmin_c, tmax_c, tmean_c: f64::midpoint(tmin_c, tmax_c), ..day }
    }
}

impl DayTable {
    /// The same days under a cover; day length and radiation stay those of the open. Meant for a table of the open air.
    #[must_use]
    pub fn under(&self, cover: Cover) -> Self {
        if cover == Cover::Open {
            return self.clone();
        }
        let lift = lift(cover);
        self.map(|day| lift.of_day(day))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::super::reference;
    use super::*;

    const COVERS: [Cover; 6] =
        [Cover::Open, Cover::Fleece, Cover::Mesh, Cover::Cloche, Cover::UnheatedTunnel, Cover::Glass];

    #[test]
    fn a_tunnel_helps_more_in_march_than_in_december_and_is_opened_in_july() {
        let open = reference().unwrap().day_table(2027);
        let tunnel = open.under(Cover::UnheatedTunnel);
        let gain = |date: &str| {
            let date = date.parse().unwrap();
            tunnel.day(date).tmax_c - open.day(date).tmax_c
        };
        assert!(gain("2027-03-25") > 2.0 * gain("2027-12-21"));
        assert!(gain("2027-07-20") < gain("2027-04-20"));
        assert!(tunnel.day("2027-07-20".parse().unwrap()).tmax_c <= VENT_C + 1e-9);
    }

    #[test]
    fn one_day_worked_by_hand() {
        // Half of the sun that the lift is given for: +4.5 by day, +2 by night: 7 to 16.5, mean 11.75.
        let day = Day { tmin_c: 5.0, tmax_c: 12.0, tmean_c: 8.5, day_length_h: 11.0, ra_mj_m2: 15.0, solar_mj_m2: 5.0 };
        let under = lift(Cover::UnheatedTunnel).of_day(day);
        assert!((under.tmin_c - 7.0).abs() < 1e-12 && (under.tmax_c - 16.5).abs() < 1e-12);
        assert!((under.tmean_c - 11.75).abs() < 1e-12);
        // Twice that sun: one and a half times the lift.
        let bright = lift(Cover::UnheatedTunnel).of_day(Day { tmax_c: 2.0, solar_mj_m2: 20.0, ..day });
        assert!((bright.tmax_c - 15.5).abs() < 1e-12);
        // Hotter than the opening temperature outside: one degree is left.
        let hot = Day { tmax_c: 31.0, solar_mj_m2: 25.0, ..day };
        assert!((lift(Cover::Glass).of_day(hot).tmax_c - 32.0).abs() < 1e-12);
    }

    #[test]
    fn no_cover_cools_a_day_and_none_turns_it_upside_down() {
        let open = reference().unwrap().day_table(2028);
        for cover in COVERS {
            for (before, after) in open.days().iter().zip(open.under(cover).days()) {
                assert!(after.tmin_c >= before.tmin_c && after.tmax_c >= before.tmax_c && after.tmin_c <= after.tmax_c);
            }
        }
    }
}
