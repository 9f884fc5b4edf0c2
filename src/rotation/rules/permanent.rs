//! How long a permanent bed is kept.

use crate::garden::Severity;
use crate::rotation::check::{Raw, View};
use crate::rotation::{Because, Rule};

/// Strict rule of IOBC-WPRS, Integrated Production of soft fruits (guideline 4.2): strawberry beds are not kept beyond
/// three years. The other permanent crops have no published limit, only a usual life.
const BED_YEARS_MAX: &[(&str, u8)] = &[("strawberry", 3)];

/// Source of the limits.
pub(in crate::rotation) const SOURCE: &str =
    "IOBC-WPRS Integrated Production guideline 4.2 soft fruits, strict rules and recommendations (iobc-wprs.org)";

/// Years a bed of the crop is kept at most, where a published rule limits it.
pub(in crate::rotation) fn bed_years_max(name: &str) -> Option<u8> {
    BED_YEARS_MAX.iter().find(|(crop, _)| *crop == name).map(|(_, years)| *years)
}

/// A bed kept beyond its years.
pub(in crate::rotation) fn examine(view: &View<'_>, pos: usize, found: &mut dyn FnMut(Raw)) {
    let about = view.stand(pos);
    let Some(years_max) = view.facts(pos).bed_years_max else { return };
    if about.last_year - about.first_year + 1 > i32::from(years_max) {
        found(Raw {
            asked_years: Some(u32::from(years_max)),
            ..Raw::about(pos, Severity::Breach, Rule::FamilyReturn, Because::BedTooOld)
        });
    }
}
