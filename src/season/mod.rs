//! When ground frees up, what could follow, every finding of a plan.
//!
//! A [`Plan`] holds a garden and everything worked out of it: a function of the garden, the weather read for its site, and the book.
//! What is asked of it is a function of the plan. A [`Sitting`] holds the plan that is worked on, edit by edit, with the way back.
//!
//! Ground is occupied from the day a planting goes in (`enters`) to the day its ground is free again (`clear`, not counted); what it
//! occupies is what its layout claims ([`crate::layout::claimed_ground`]). Each bed is worked out alone, so an edit costs no more
//! than the beds it reaches.
//!
//! Where this stops being true: days come from the site's normals, so no single cold spring moves them; what a crop is worth
//! and what households want are counted from the book's usual yield, not from what was picked; the weights by which
//! candidates are ranked are starting values (see `follow`), good for an order, not for a promise.

mod accept;
mod bounds;
mod covered;
mod entry;
mod explained;
mod findings;
mod follow;
mod free;
mod free_up;
mod gaps;
mod inputs;
mod jobs;
mod limits;
mod listing;
mod order;
mod outlook;
mod pairs;
mod plan;
mod preview;
mod propose;
mod rotate;
mod set_out;
mod shade;
mod sharing;
mod site;
mod sitting;
mod slot;
#[cfg(test)]
pub(crate) mod tests;
mod types;
mod work_out;

pub use accept::rule_name;
pub use bounds::Help;
pub use covered::Covered;
pub use explained::{Elsewhere, Explained, More};
pub use jobs::{Job, JobKind, Jobs, Need, Tended, Unpicked};
pub use order::FindingCounts;
pub use pairs::WeighedPair;
pub use plan::Plan;
pub use preview::Sought;
pub use site::WeekNormals;
pub use sitting::{Replayed, Sitting};
pub use types::*;
