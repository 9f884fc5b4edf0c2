//! How long a permanent bed is kept.

use crate::garden::Severity;
use crate::rotation::timeline::{Raw, Timeline};
use crate::rotation::{Because, Rule};

/// A bed kept beyond its years.
pub(in crate::rotation) fn examine(timeline: &Timeline<'_>, pos: usize, found: &mut dyn FnMut(Raw)) {
    let about = timeline.stand(pos);
    let Some(years_max) = timeline.facts(pos).bed_years_max else { return };
    if about.last_year - about.first_year + 1 > i32::from(years_max) {
        found(Raw {
            asked_years: Some(u32::from(years_max)),
            ..Raw::about(pos, Severity::Breach, Rule::FamilyReturn, Because::BedTooOld)
        });
    }
}
