//! The rules, one file for each. Each looks at one stand and at what was there before it.

pub(super) mod family;
pub(super) mod follow;
pub(super) mod hazard;
pub(super) mod permanent;
pub(super) mod soil;

use super::timeline::{Log, Raw, Timeline};

/// Asks the rules that look at a stand and what was given to its ground, whatever stood there before.
pub(super) fn about_a_stand(timeline: &Timeline<'_>, log: &Log, pos: usize, found: &mut dyn FnMut(Raw)) {
    permanent::examine(timeline, pos, found);
    soil::examine(timeline, log, pos, found);
}
